"""The declarative test that says on which boats a part is found."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from garboard.catalogue.table import Table
from garboard.catalogue.vocabulary import Vocabulary

Facts = Mapping[str, tuple[str, ...] | None]
"""What is stated of a boat, by fact; None, like a missing key, means that nobody has stated it.

Under `UNKNOWN` are the fittings that were asked about and nobody could tell of.
"""

FITTED = "fitted"
UNKNOWN = "fitted_unknown"


def open_fittings(among: Iterable[str], facts: Facts) -> tuple[str, ...]:
    """The fittings of which nobody has told whether she has them.

    >>> open_fittings(["gas", "heads"], {"fitted": ("mains",), "fitted_unknown": ("gas",)})
    ('gas',)
    """
    if facts.get(FITTED) is None:
        return tuple(among)
    unknown = facts.get(UNKNOWN) or ()
    return tuple(each for each in among if each in unknown)


@dataclass(frozen=True, slots=True, kw_only=True)
class Clause:
    """One question to a boat: is the fact any of these?"""

    fact: str
    among: tuple[str, ...]

    def answer(self, facts: Facts) -> bool | None:
        """Yes, no, or None where the fact is not stated."""
        stated = facts.get(self.fact)
        if stated is None:
            return None
        if not set(self.among).isdisjoint(stated):
            return True
        return None if self.fact == FITTED and open_fittings(self.among, facts) else False


@dataclass(frozen=True, slots=True, kw_only=True)
class Applies:
    """A test of a boat: any one alternative, of which every clause must be met.

    One alternative without clauses, the usual value, is met by every boat.
    """

    alternatives: tuple[tuple[Clause, ...], ...] = ((),)

    def holds(self, facts: Facts) -> bool:
        """Whether what is stated is enough to say that the test is met.

        >>> bolted = Applies(alternatives=((Clause(fact="keel", among=("bolted-iron",)),),))
        >>> bolted.holds({"keel": ("bolted-iron",)}), bolted.holds({"keel": None})
        (True, False)
        """
        return any(all(clause.answer(facts) for clause in each) for each in self.alternatives)

    def unstated(self, facts: Facts) -> tuple[str, ...]:
        """The facts the test still turns on; none where it is met or refused whatever they are.

        >>> bolted = Applies(alternatives=((Clause(fact="keel", among=("bolted-iron",)),),))
        >>> bolted.unstated({}), bolted.unstated({"keel": ("none",)})
        (('keel',), ())
        """
        if self.holds(facts):
            return ()
        still_open = (
            clause.fact
            for each in self.alternatives
            if all(clause.answer(facts) is not False for clause in each)
            for clause in each
            if clause.answer(facts) is None
        )
        return tuple(dict.fromkeys(still_open))

    def counting(self, fact: str, facts: Facts) -> tuple[str, ...]:
        """The answers to a fact that would count for the test; none that other facts leave without effect.

        >>> nets = (Clause(fact="hulls", among=("2", "3")), Clause(fact="fitted", among=("trampoline",)))
        >>> between = Applies(alternatives=(nets,))
        >>> between.counting("fitted", {}), between.counting("fitted", {"hulls": ("1",)})
        (('trampoline',), ())
        """
        counting = (
            word
            for each in self.alternatives
            if all(clause.fact == fact or clause.answer(facts) is not False for clause in each)
            for clause in each
            if clause.fact == fact
            for word in clause.among
        )
        return tuple(dict.fromkeys(counting))

    def is_of_fitted(self, facts: Facts) -> bool:
        """Whether it is a test of fittings alone, one of which is stated to be there.

        >>> nets = (Clause(fact="hulls", among=("2", "3")), Clause(fact="fitted", among=("trampoline",)))
        >>> between = Applies(alternatives=(nets,))
        >>> between.is_of_fitted({"hulls": ("1",), "fitted": ("trampoline",)})
        True
        """
        asked = [[clause for clause in each if clause.fact == FITTED] for each in self.alternatives]
        return all(asked) and any(clause.answer(facts) for each in asked for clause in each)

    def refusing(self, facts: Facts) -> tuple[str, ...]:
        """The stated facts that speak against the boat; none where the test is met or still open."""
        if self.holds(facts) or self.unstated(facts):
            return ()
        against = (
            clause.fact
            for each in self.alternatives
            for clause in each
            if clause.answer(facts) is False
        )
        return tuple(dict.fromkeys(against))

    def asks(self, fact: str) -> tuple[str, ...]:
        """The answers to a fact that the test names anywhere."""
        named = (
            word
            for each in self.alternatives
            for clause in each
            if clause.fact == fact
            for word in clause.among
        )
        return tuple(dict.fromkeys(named))


def read_applies(table: Table, vocabulary: Vocabulary) -> Applies:
    """The test written in the cell `applies` of a table; every boat where there is none.

    Every key must hold; a key holds if the fact is any word of its list; of the tables under `any` one
    must hold besides. What is wrong is added to the problems of the table.
    """
    if "applies" not in table:
        return Applies()
    written = table.inner("applies")
    if not len(written):
        written.refuse("", "this test asks nothing", "Leave it out for every boat")
    base = _clauses(written, vocabulary)
    if "any" not in written:
        return Applies(alternatives=(base,))
    return Applies(
        alternatives=tuple(
            base + _clauses(Table(f"{written.where} any", each, table.problems), vocabulary)
            for each in written.tables("any")
        )
    )


def _clauses(table: Table, vocabulary: Vocabulary) -> tuple[Clause, ...]:
    clauses: list[Clause] = []
    for fact in table:
        if fact == "any":
            continue
        answers = vocabulary.answers(fact)
        if not answers:
            known = ", ".join((*vocabulary.facts, "visit", "fitted"))
            table.refuse(fact, "there is no such fact", f"Use one of {known}")
            continue
        among = table.several_of(fact, answers, vocabulary.groups.get(fact))
        clauses.append(Clause(fact=fact, among=among))
    return tuple(clauses)

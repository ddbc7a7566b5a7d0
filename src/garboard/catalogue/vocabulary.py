"""The closed vocabularies: zones, methods, reasons, purposes, the facts a test may ask of a boat."""

from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources.abc import Traversable

from garboard.catalogue.table import Groups, Table, table_of
from garboard.notebook.problem import Problem

Words = Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Vocabulary:
    """Every closed vocabulary, each word with its plain meaning.

    `zones` in the order of the catalogue; `how` as past participles ("sounded with a hammer"); `reasons`
    as clauses ("the antifouling was left on"); `slots` with the question that fills each; `facts` by fact
    and answer; `groups` by fact, and under `purposes`, a name for several words; `fittings` with the
    question that finds out; `labels` what each fact is called where it is asked for; `masts` by rig; `kinds` what
    entries are called, one and several, where that is not the name of their kind.
    """

    zones: tuple[str, ...]
    per: Words
    how: Words
    reasons: Words
    purposes: Words
    visits: Words
    lying: Words
    urgencies: Words
    slots: Words
    facts: Mapping[str, Words]
    groups: Mapping[str, Groups]
    fittings: Words
    labels: Words
    masts: Mapping[str, int]
    kinds: Mapping[str, tuple[str, ...]]

    def answers(self, fact: str) -> Words:
        """The answers known to a fact, with their words; none where there is no such fact."""
        return {"fitted": self.fittings, "visit": self.visits}.get(fact, self.facts.get(fact, {}))

    def kind(self, kind: str, count: int = 1) -> str:
        """What entries of a kind are called, so many of them.

        Args:
            kind: Its name in the notebook.
            count: How many, 0 or more.
        """
        one, several = self.kinds.get(kind, (kind, f"{kind}s"))
        return one if count == 1 else several


def read_vocabulary(root: Traversable, problems: list[Problem]) -> Vocabulary:
    """The vocabularies and fittings under a root; what is wrong with them is added to `problems`."""
    table = table_of(root, "vocabulary.toml", problems)
    fact_tables = table.inner("facts")
    facts = {fact: _words(fact_tables, fact) for fact in fact_tables}
    purposes = _words(table, "purposes")
    groups = _groups(table.inner("groups"), {**facts, "purposes": purposes})
    labels = _words(table, "labels")
    masts = table.inner("masts")
    kinds = table.inner("kinds")
    vocabulary = Vocabulary(
        zones=table.texts("zones"),
        per=_words(table, "per"),
        how=_words(table, "how"),
        reasons=_words(table, "reasons"),
        purposes=purposes,
        visits=_words(table, "visits"),
        lying=_words(table, "lying"),
        urgencies=_words(table, "urgencies"),
        slots=_words(table, "slots"),
        facts=facts,
        groups=groups,
        fittings=_fittings(table_of(root, "fittings.toml", problems)),
        labels=labels,
        kinds={kind: kinds.texts(kind) for kind in kinds},
        masts={rig: masts.count(rig) or 1 for rig in masts},
    )
    for fact in facts.keys() ^ labels.keys():
        table.refuse("labels", f"{fact!r} has a label or answers, and not both", "Write the other")
    for rig in masts:
        if rig not in facts.get("rig", {}):
            masts.refuse(rig, "there is no such rig", "Use a rig of facts.rig")
    table.close()
    return vocabulary


def _words(table: Table, key: str) -> Words:
    inner = table.inner(key)
    if not len(inner):
        inner.refuse("", "this vocabulary is empty", "Write its words")
    return {word: inner.text(word) for word in inner}


def _fittings(table: Table) -> Words:
    said: dict[str, str] = {}
    for slug in table:
        fitting = table.inner(slug)
        said[slug] = fitting.text("say")
        if not said[slug].endswith("?"):
            fitting.refuse(
                "say", f"{said[slug]!r} is not a question", "End it with a question mark"
            )
        fitting.close()
    return said


def _groups(table: Table, known: Mapping[str, Words]) -> Mapping[str, Groups]:
    groups: dict[str, Groups] = {}
    for fact in table:
        inner = table.inner(fact)
        groups[fact] = {name: inner.several_of(name, known.get(fact, {})) for name in inner}
        for name in groups[fact]:
            if name in known.get(fact, {}):
                inner.refuse(name, "a word of the vocabulary has this name", "Choose another name")
    return groups

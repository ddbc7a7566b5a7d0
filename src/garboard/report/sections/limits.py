"""What was not examined: counted, near the front, with what it could hide and what would lift it."""

from collections import Counter

from garboard.catalogue.naming import capital, named_together
from garboard.catalogue.parts import catalogue, is_duty
from garboard.notebook.body import Limitation, Place
from garboard.report.document import (
    Block,
    Column,
    Heading,
    Items,
    Paragraph,
    Span,
    Table,
    Text,
    plain,
)
from garboard.report.sections.case import Case
from garboard.report.sections.words import counted, listed


def not_examined(case: Case) -> tuple[Block, ...]:
    """The counted list of limitations, methods not used, and gaps the surveyor answers for."""
    blocks: list[Block] = [
        Heading(level=1, text="What was not examined", label="not-examined"),
        Paragraph(text=plain(_counted(case)), kind="lead"),
    ]
    blocks += _table(case)
    blocks += _methods_not_used(case)
    blocks += _scope(case)
    blocks += _answered(case)
    return tuple(blocks)


def _counted(case: Case) -> str:
    states: Counter[str] = Counter(state.state for state in case.places)
    wanted = (
        ("examined", "examined as a whole"),
        ("examined in part", "examined in part"),
        ("not reached", "not reached"),
        ("not fitted", "not fitted on this boat"),
        ("not called for", "left out as not called for"),
        ("not written up", "sounded, read or observed without an examination recorded"),
        ("silent", "without any record"),
    )
    said = [f"{states[state]} {words}" for state, words in wanted if states[state]]
    total = sum(states.values())
    return (
        f"This survey called for {counted(total, 'place')} of the boat: {listed(said)}. “Not fitted”, “not "
        "called for” and “not reached” are three different things. Nothing is said in this report of what "
        "was not reached, however sound its surroundings were."
    )


def _table(case: Case) -> list[Block]:
    alike: dict[tuple[object, ...], list[Limitation]] = {}
    for entry in case.limitations:
        alike.setdefault(_told(entry.body), []).append(entry.body)
    rows = [_row(number, bodies) for number, bodies in enumerate(alike.values(), 1)]
    if not rows:
        return []
    return [
        Table(
            caption="Limitations: what was not reached, why, what it could hide, what would lift it",
            number=next(case.tables),
            columns=(
                Column(name="No.", align="right", share=0.35),
                Column(name="Not reached", share=2.0),
                Column(name="Why", share=1.4),
                Column(name="Could hide", share=1.7),
                Column(name="Would be lifted by", share=1.7),
            ),
            rows=tuple(rows),
            label="table-limitations",
            rests_on=tuple(entry.id for entry in case.limitations),
        )
    ]


def _told(of: Limitation) -> tuple[object, ...]:
    """What like places must share to stand in one row."""
    place = of.place
    where = (place.part, place.words, place.station_m, place.level_m)
    return (where, of.not_reached, of.reasons, of.could_hide, of.would_lift, of.offered)


def _row(number: int, alike: list[Limitation]) -> tuple[Text, ...]:
    reasons = catalogue().vocabulary.reasons
    body = alike[0]
    why = listed([reasons.get(reason, reason) for reason in body.reasons])
    lifted = f"{body.would_lift} {f'({body.offered})' if body.offered else ''}".strip()
    return (
        plain(str(number)),
        (
            Span(text=capital(named_together(each.place for each in alike)), style="strong"),
            Span(text=f": {body.not_reached}"),
        ),
        plain(capital(why)),
        plain(capital(body.could_hide)),
        plain(capital(lifted)),
    )


def _methods_not_used(case: Case) -> list[Block]:
    vocabulary = catalogue().vocabulary
    by_method: dict[str, dict[str, list[Place]]] = {}
    for state in case.states:
        for how in state.unused:
            parts = by_method.setdefault(how, {})
            parts.setdefault(state.called.part.id, []).append(state.called.place)
    if not by_method:
        return []
    items = tuple(
        (
            Span(text=f"Not {vocabulary.how[how]}: ", style="strong"),
            Span(text=f"{'; '.join(map(named_together, parts.values()))}."),
        )
        for how, parts in by_method.items()
    )
    return [
        Heading(level=2, text="Methods called for and not used"),
        Paragraph(
            text=plain(
                "These parts were examined, but without the method named; what only that method shows "
                "remains unknown there."
            )
        ),
        Items(items=items),
    ]


def _scope(case: Case) -> list[Block]:
    instruction = case.instruction
    items = [*instruction.exclusions]
    items += [f"Left to a specialist: {each}" for each in instruction.specialists]
    if not items:
        return []
    return [
        Heading(level=2, text="Outside this instruction"),
        Items(items=tuple(plain(capital(each)) for each in items)),
    ]


def _answered(case: Case) -> list[Block]:
    # What the surveyor owed himself says nothing of the boat.
    answered = [gap for gap in case.gaps if gap.answer and not is_duty(gap.part)]
    if not answered:
        return []
    return [
        Heading(level=2, text="Answered in words"),
        Items(
            items=tuple(
                plain(f"{capital(gap.where)}: {gap.what}. {gap.answer}") for gap in answered
            )
        ),
    ]

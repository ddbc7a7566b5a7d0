"""What was not examined: counted, near the front, with what it could hide and what would lift it."""

from collections import Counter

from garboard.catalogue.naming import named
from garboard.catalogue.parts import catalogue
from garboard.notebook.body import Limitation
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
from garboard.report.sections.words import capital, counted, listed


def not_examined(case: Case) -> tuple[Block, ...]:
    """The counted list of limitations, methods not used, and gaps the surveyor answers for."""
    blocks: list[Block] = [
        Heading(level=1, text="What was not examined", label="not-examined", new_page=True),
        Paragraph(text=plain(_counted(case)), kind="lead"),
    ]
    blocks += _table(case)
    blocks += _methods_not_used(case)
    blocks += _scope(case)
    blocks += _answered(case)
    return tuple(blocks)


def _counted(case: Case) -> str:
    states: Counter[str] = Counter(state.state for state in case.states)
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
    reasons = catalogue().vocabulary.reasons
    rows: list[tuple[Text, ...]] = []
    for entry in case.survey.of(Limitation):
        body = entry.body
        why = listed([reasons.get(reason, reason) for reason in body.reasons])
        lifted = f"{body.would_lift} {f'({body.offered})' if body.offered else ''}".strip()
        rows.append(
            (
                plain(str(len(rows) + 1)),
                (
                    Span(text=capital(named(body.place)), style="strong"),
                    Span(text=f": {body.not_reached}"),
                ),
                plain(capital(why)),
                plain(capital(body.could_hide)),
                plain(capital(lifted)),
            )
        )
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
            rests_on=tuple(entry.id for entry in case.survey.of(Limitation)),
        )
    ]


def _methods_not_used(case: Case) -> list[Block]:
    vocabulary = catalogue().vocabulary
    by_method: dict[str, list[str]] = {}
    for state in case.states:
        for how in state.unused:
            names = by_method.setdefault(how, [])
            name = state.called.part.name
            if name not in names:
                names.append(name)
    if not by_method:
        return []
    items = tuple(
        (
            Span(text=f"Not {vocabulary.how[how]}: ", style="strong"),
            Span(text=f"{'; '.join(names)}."),
        )
        for how, names in by_method.items()
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
    answered = [gap for gap in case.gaps if gap.answer]
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

"""The findings, by urgency, each with its evidence and what is recommended."""

from garboard.catalogue.naming import capital, located, named
from garboard.judgement.grounds import rests_on
from garboard.judgement.ranking import URGENCIES, Advice, Ranked, totals
from garboard.notebook.body import (
    Examination,
    Limitation,
    Observation,
    Photo,
    ReadingSet,
    Sounding,
    Told,
)
from garboard.notebook.entry import Entry
from garboard.report.document import (
    Block,
    Column,
    FindingBlock,
    Heading,
    Paragraph,
    RecommendationBlock,
    Span,
    Table,
    Text,
    plain,
)
from garboard.report.sections.case import Case
from garboard.report.sections.words import band, counted, day, listed, marked, together

_KNOWN = {"seen": "seen", "measured": "measured", "inferred": "inferred", "told": "told"}


def findings(case: Case) -> tuple[Block, ...]:
    """All findings in detail."""
    blocks: list[Block] = [
        Heading(level=1, text="Findings and recommendations", label="findings", new_page=True)
    ]
    if not case.findings:
        return (*blocks, Paragraph(text=plain("No finding is recorded.")))
    blocks.append(
        Paragraph(
            text=plain(
                "Each finding says where it is, how it is known, why it matters and what to do. The order "
                "is that of urgency; by when something must be done does not say how bad it is. Costs are "
                "bands with their basis; the yard's quotation counts."
            ),
            kind="small",
        )
    )
    blocks += _costs(case)
    for urgency in URGENCIES:
        group = [each for each in case.findings if each.entry.body.urgency == urgency]
        if group:
            blocks.append(Heading(level=2, text=capital(urgency)))
            blocks += [_block(each, case) for each in group]
    return tuple(blocks)


def listed_by_date(case: Case) -> tuple[Block, ...]:
    """For an insurer: what is required, dated, and apart from it what is maintenance; with room to sign off."""
    blocks: list[Block] = [Heading(level=1, text="Required, by date", label="required")]
    if not any(each.advice for each in case.findings):
        return (
            *blocks,
            Paragraph(text=plain("Nothing is required: no finding asks for anything.")),
        )
    blocks.append(
        Paragraph(
            text=plain(
                "Every item of the first list is meant as a condition; the second list is the boat's "
                "ordinary maintenance and is not. The owner signs and dates each item when it is done and "
                "keeps the evidence named; an owner's signature is the owner's statement, not the "
                "surveyor's."
            )
        )
    )
    for sort, caption in (("required", "Required items"), ("maintenance", "Maintenance")):
        rows = [
            (
                (Span(text=str(each.number), to=f"finding-{each.number}"),),
                plain(advice.entry.body.what),
                plain(advice.entry.body.by_when),
                plain(advice.entry.body.verified),
                plain(""),
            )
            for each in case.findings
            for advice in each.advice
            if advice.entry.body.sort == sort
        ]
        if rows:
            blocks.append(
                Table(
                    caption=caption,
                    number=next(case.tables),
                    columns=(
                        Column(name="No.", align="right", share=0.4),
                        Column(name="What", share=3.0),
                        Column(name="By when", share=1.5),
                        Column(name="Verified by", share=2.0),
                        Column(name="Done, date and signature", share=1.5),
                    ),
                    rows=tuple(rows),
                    label=f"table-{sort}",
                )
            )
    return tuple(blocks)


def _costs(case: Case) -> tuple[Block, ...]:
    """What the recommendations may cost together, by urgency and in all; nothing where no cost is given."""
    summed = totals(case.findings)
    if not summed:
        return ()
    return (
        Table(
            caption="Costs together, by urgency",
            number=next(case.tables),
            columns=(
                Column(name="By when", share=1.5),
                Column(name="May cost together", share=3.0),
            ),
            rows=tuple(
                (plain(capital(each.urgency or "in all")), plain(together(each))) for each in summed
            ),
            label="table-costs",
            rests_on=tuple(
                cost.id for each in case.findings for advice in each.advice for cost in advice.costs
            ),
        ),
        Paragraph(
            text=plain(
                "From the sum of the lowest to the sum of the highest figures of the cost bands. Work done "
                "together may cost less, and what comes to light when it is opened up may cost more."
            ),
            kind="small",
        ),
    )


def _block(each: Ranked, case: Case) -> FindingBlock:
    body = each.entry.body
    pictures = tuple(
        case.picture(
            photo, f"photo-{photo.id}" if case.shown_with[photo.id][0] == each.number else ""
        )
        for photo in case.photos_of(each)
    )
    urgency = f"{capital(body.urgency)}{f' ({body.within})' if body.within else ''}"
    return FindingBlock(
        number=each.number,
        label=f"finding-{each.number}",
        title=body.title,
        urgency=urgency,
        because=body.because,
        where="; ".join(located(place) for place in body.places),
        seen=marked(body.seen.replace("\n\n", " ")),
        how_known=listed([_KNOWN[each] for each in body.how_known]),
        why=body.why,
        evidence=_evidence(body.evidence, case),
        recommendations=tuple(_advice(advice) for advice in each.advice),
        pictures=pictures,
        rests_on=(each.entry.id, *(entry.id for entry in rests_on(each.entry, case.survey))),
    )


def _advice(advice: Advice) -> RecommendationBlock:
    body = advice.entry.body
    return RecommendationBlock(
        what=f"{body.what} {body.why}".strip(),
        by_whom=body.by_whom,
        by_when=body.by_when,
        verified=body.verified,
        cost=band([cost.body for cost in advice.costs]),
        caution=body.caution,
    )


def _evidence(ids: tuple[str, ...], case: Case) -> tuple[Text, ...]:
    """What a finding rests on, in words; soundings of one part are counted, not listed."""
    words: list[Text] = []
    soundings: dict[str, list[str]] = {}
    entries = {e.id: e for each in ids for e in case.survey.current(each)}
    for each, entry in entries.items():
        match entry.body:
            case Sounding() as body:
                soundings.setdefault(body.place.part, []).append(body.heard)
            case ReadingSet() as body:
                words.append(plain(f"{counted(len(body.readings), 'reading')} of {body.quantity}, {body.name}"))  # fmt: skip
            case Observation() as body:
                words.append(
                    plain(f"{named(body.place)} observed {_clock(case, each)}: {body.seen}")
                )
            case Examination() as body:
                words.append(
                    plain(
                        f"{named(body.place)} examined {_clock(case, each)}, {_extent(entry, case)}"
                    )
                )
            case Limitation() as body:
                words.append(plain(f"{named(body.place)}, not reached: {body.not_reached}"))
            case Told() as body:
                words.append(plain(f"told by {body.who}: “{body.said}”"))
            case Photo() as body:
                words.append(plain(f"photograph {body.number}"))
            case _:
                pass
    for heard in soundings.values():
        kinds = [f"{heard.count(kind)} {kind}" for kind in ("sound", "dull", "hollow", "not sounded") if kind in heard]  # fmt: skip
        words.append(plain(f"{counted(len(heard), 'sounding')}: {listed(kinds)}"))
    return tuple(words)


def _extent(of: Entry[Examination], case: Case) -> str:
    """How far a place was examined, as its zone says it: a limitation makes the whole a part."""
    states = {state.state for state in case.states if of in state.examinations}
    is_in_part = of.body.extent == "part" or "examined in part" in states
    return "in part" if is_in_part else of.body.extent


def _clock(case: Case, entry_id: str) -> str:
    at = case.lived(case.survey.done_at(case.survey.by_id[entry_id]))
    on = "" if case.surveyed == day(at) else f" on {day(at)}"
    return f"at {at:%H:%M}{on}"

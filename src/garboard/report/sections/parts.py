"""The boat zone by zone: every called place with how far it was examined, how, and what was found."""

from collections.abc import Mapping
from types import MappingProxyType

from garboard.catalogue.naming import capital, named, named_together
from garboard.catalogue.parts import Zone, catalogue, is_duty
from garboard.judgement.states import PartState, State, covers
from garboard.notebook.body import Examination, Observation, Place
from garboard.report.document import Block, Column, Heading, Paragraph, Span, Table, Text, plain
from garboard.report.sections.case import Case


def zone_by_zone(case: Case) -> tuple[Block, ...]:
    """One table a zone, in the order of the catalogue."""
    blocks: list[Block] = [
        Heading(level=1, text="The boat, zone by zone", label="zones", new_page=True),
        Paragraph(
            text=plain(
                "Every place this survey called for, how far it was examined, by which methods, and what was "
                "found. Sound places are recorded as carefully as bad ones: they are evidence of the boat's "
                f"state on the day. {_key(case)}"
            ),
            kind="small",
        ),
    ]
    for zone in catalogue().zones:
        states = [each for each in case.states if each.called.part.zone == zone.slug]
        if states:
            blocks += _zone(zone, states, case)
    return (*blocks, *_also_examined(case))


def _key(case: Case) -> str:
    """The words for the ways of examining that the tables use in short."""
    used = {how for state in case.states for entry in state.examinations for how in entry.body.how}
    words = [
        f"“{how}”, {meant}" for how, meant in catalogue().vocabulary.how.items() if how in used
    ]
    return f"In the tables: {'; '.join(words)}." if words else ""


def _zone(zone: Zone, states: list[PartState], case: Case) -> list[Block]:
    rows: list[tuple[Text, ...]] = []
    brief: dict[State, dict[str, list[Place]]] = {}
    for group in _alike(states):
        first, found = group[0], _found(group, case)
        if first.state in _BRIEFLY and not found:
            alike = brief.setdefault(first.state, {}).setdefault(first.called.part.id, [])
            alike += [each.called.place for each in group]
        else:
            rows.append((_place(group), plain(_how_far(first)), found))
    ids = [entry.id for state in states for entry in (*state.examinations, *state.limitations)]
    cautions = list(dict.fromkeys(s.called.part.caution for s in states if s.called.part.caution))
    blocks: list[Block] = [Heading(level=2, text=zone.name, label=f"zone-{zone.slug}")]
    rests_on = tuple(dict.fromkeys(ids))
    if rows:
        blocks.append(
            Table(
                caption=f"{zone.name}: places examined",
                number=next(case.tables),
                columns=(
                    Column(name="Place", share=1.5),
                    Column(name="Examined", share=1.1),
                    Column(name="Found", share=3.5),
                ),
                rows=tuple(rows),
                label=f"table-zone-{zone.slug}",
                rests_on=rests_on,
            )
        )
    blocks += (
        Paragraph(
            text=(
                Span(text=f"{_STATES[state]}: ", style="strong"),
                Span(text=f"{'; '.join(map(named_together, parts.values()))}."),
            ),
            kind="body" if state in _MISSED else "small",
            rests_on=() if rows else rests_on,
        )
        for state, parts in brief.items()
    )
    if cautions and zone.slug in _CAUTIOUS:
        blocks.append(Paragraph(text=plain(" ".join(cautions[:3])), kind="caution"))
    return blocks


_STATES: Mapping[State, str] = MappingProxyType(
    {
        "examined": "Whole",
        "examined in part": "In part",
        "not reached": "Not reached",
        "not fitted": "Not fitted",
        "not called for": "Not called for",
        "not written up": "Sounded, read or observed; examination not recorded",
        "silent": "No record",
    }
)
# Of these the names are enough, where nothing else was recorded: the limitations stand in their own table.
_BRIEFLY: tuple[State, ...] = ("not reached", "not fitted", "not called for", "silent")

# What nobody saw is no fine print.
_MISSED: tuple[State, ...] = ("not reached", "silent")

# Zones whose cautions the reader of the report needs, not only whoever examines.
_CAUTIOUS = ("gas-and-heating", "fuel", "electrical")


def _alike(states: list[PartState]) -> list[list[PartState]]:
    """Places of one part that stand alike share a row; every one of them has its own entry."""
    groups: list[list[PartState]] = []
    for state in states:
        if groups and _signature(groups[-1][0]) == _signature(state):
            groups[-1].append(state)
        else:
            groups.append([state])
    return groups


def _signature(state: PartState) -> tuple[object, ...]:
    return (
        state.called.part.id,
        state.state,
        tuple(
            (e.body.extent, e.body.how, e.body.outcome, e.body.found) for e in state.examinations
        ),
        tuple(entry.id for entry in state.limitations),
    )


def _place(group: list[PartState]) -> Text:
    name = group[0].called.part.name
    which = named_together(each.called.place for each in group).removeprefix(name)
    return (Span(text=capital(name), style="strong"), Span(text=which))


def _how_far(state: PartState) -> str:
    words = _STATES[state.state]
    shares = [e.body.share_pct for e in state.examinations if e.body.share_pct is not None]
    if shares and state.state == "examined in part":
        words += f", about {shares[0]:.0f} %"
    how = list(dict.fromkeys(how for entry in state.examinations for how in entry.body.how))
    return f"{words}: {', '.join(how)}" if how else words


def _found(group: list[PartState], case: Case) -> Text:
    state = group[0]
    outcomes = [_outcome(entry.body) for entry in state.examinations]
    spans = [Span(text=f"{each} ") for each in outcomes if each]
    if state.examinations:
        spans += [
            Span(text=f"Not reached: {entry.body.not_reached}. ") for entry in state.limitations
        ]
    spans += [
        Span(text=f"Finding {each.number}. ", to=f"finding-{each.number}")
        for each in case.findings
        if any(_is_at(place, group) for place in each.entry.body.places)
    ]
    spans += [
        Span(text=f"Observed: {_observed(entry.body)} ")
        for entry in case.survey.of(Observation)
        if entry.id not in case.taken_up and _is_at(entry.body.place, group)
    ]
    return tuple(spans)


def _outcome(body: Examination) -> str:
    if body.found and body.outcome in ("defect", "doubtful"):
        return f"{capital(body.outcome)}: {body.found}"
    if body.found:
        return body.found
    said = {
        "sound": "Sound as far as examined.",
        "doubtful": "Doubtful; not described.",
        "defect": "A defect; not described.",
    }
    return said.get(body.outcome or "", "")


def _observed(body: Observation) -> str:
    sizes = (("long", body.length_mm), ("wide", body.width_mm), ("deep", body.depth_mm))
    words = [f"{value:g} mm {name}" for name, value in sizes if value is not None]
    counted = [] if body.count is None else [f"{body.count} counted"]
    return f"{', '.join((body.seen.rstrip('.'), *counted, *words))}."


def _is_at(stated: Place, group: list[PartState]) -> bool:
    return any(covers(stated, state.called.place) for state in group)


def _also_examined(case: Case) -> list[Block]:
    """Examinations and observations of places the schedule did not call for: they are evidence all the same."""
    told = {entry.id for state in case.states for entry in state.examinations}
    rows = [
        (entry.id, entry.body.place, _outcome(entry.body))
        for entry in case.survey.of(Examination)
        if entry.id not in told and (entry.body.found or not is_duty(entry.body.place.part))
    ]
    rows += [
        (entry.id, entry.body.place, _observed(entry.body))
        for entry in case.survey.of(Observation)
        if entry.id not in case.taken_up
        and not any(covers(entry.body.place, state.called.place) for state in case.states)
    ]
    if not rows:
        return []
    return [
        Heading(level=2, text="Also examined"),
        Table(
            caption="Places examined or observed beyond those called for",
            number=next(case.tables),
            columns=(Column(name="Place", share=1.5), Column(name="Found", share=4.6)),
            rows=tuple((plain(capital(named(place))), plain(found)) for _, place, found in rows),
            label="table-also-examined",
            rests_on=tuple(each for each, _, _ in rows),
        ),
    ]

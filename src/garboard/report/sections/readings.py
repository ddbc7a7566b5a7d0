"""The readings and what they mean: what stands out first, then a family at a time, drawn and tabled."""

from collections.abc import Callable, Iterator, Sequence, Set
from dataclasses import dataclass
from functools import cache

from garboard.boat.hull import Hull, hull_of
from garboard.catalogue.naming import named
from garboard.catalogue.parts import catalogue
from garboard.drawings.hull import View
from garboard.drawings.laminate import detectability, moisture_strips
from garboard.drawings.maps import Affected, Struck, Value, readings_map, soundings_map
from garboard.methods.declaration import METHODS
from garboard.methods.moisture import MoistureMap, moisture_maps
from garboard.methods.result import Result
from garboard.methods.sounding import Coverage, coverages, patches
from garboard.notebook.body import Conditions, Place, Side, Sounding
from garboard.report.document import (
    Block,
    Column,
    Drawing,
    Heading,
    Items,
    Paragraph,
    Span,
    Table,
    Text,
    plain,
)
from garboard.report.sections.case import Case
from garboard.report.sections.couples import couples
from garboard.report.sections.gear import keel, stern_gear
from garboard.report.sections.laminate import drying
from garboard.report.sections.metal import anodes, pits, plating, potentials
from garboard.report.sections.systems import batteries, flooding
from garboard.report.sections.words import capital, counted, day, measure


def _nothing(_: Case) -> list[Block]:
    return []


@dataclass(frozen=True, slots=True, kw_only=True)
class _Family:
    """Results told together: the modules whose methods make them, what is drawn of them, and what that has tabled.

    `tabled` are the methods whose values stand in a table of the drawn part already.
    """

    name: str
    modules: tuple[str, ...]
    drawn: Callable[[Case], list[Block]] = _nothing
    tabled: tuple[str, ...] = ()


_FAMILIES = (
    _Family(
        name="Pits",
        modules=("pits",),
        drawn=pits,
        tabled=("pits.pit_share_pct", "pits.pit_floor_mm", "pits.pitting_factor"),
    ),
    _Family(name="Anodes", modules=("anodes",), drawn=anodes),
    _Family(
        name="Potentials",
        modules=("potentials",),
        drawn=potentials,
        tabled=("potentials.in_sea_water_mv",),
    ),
    _Family(name="Bonding", modules=("continuity",)),
    _Family(
        name="Metals together",
        modules=("couples", "alloys"),
        drawn=couples,
        tabled=("couples.gap_v", "couples.area_ratio"),
    ),
    _Family(name="Thickness to be expected", modules=("extremes",)),
    _Family(
        name="Laminate and wood",
        modules=("drying", "blisters", "hardness", "wood", "strikes"),
        drawn=drying,
    ),
    _Family(
        name="Stern gear and steering",
        modules=("stern_gear", "shafting", "propeller", "blades", "slip", "steering"),
        drawn=stern_gear,
    ),
    _Family(name="Keel and rig", modules=("keel", "rig", "guardrails"), drawn=keel),
    _Family(name="Flooding and pumps", modules=("flooding",), drawn=flooding),
    _Family(name="Electrical", modules=("wiring", "batteries", "mains"), drawn=batteries),
    _Family(name="Gas and ventilation", modules=("gas", "ventilation")),
    _Family(name="Engine", modules=("engine", "oil")),
    _Family(name="Lights and ground tackle", modules=("lights", "ground_tackle")),
    _Family(name="Gauge and air", modules=("gauge", "climate")),
    _Family(name="The boat's figures", modules=("figures", "identity")),
)

_DRAWN = frozenset({"moisture", "comparison", "patch", "sounding", "plating", "wastage"})
# Verdicts whose reason is printed under the table.
_TELLING = ("beyond", "at the limit", "cannot say")
# Methods whose value is the middle of a wide range; the range stands in the first caveat.
_RANGED = ("drying.drying_range_days", "extremes.area_to_renew_m2")


# How far round a blow the map is shaded: a working figure, about the width a hand hammer tells.
_HEARD_M = 0.15


def readings(case: Case) -> tuple[Block, ...]:
    """What stands out, then all families that have readings."""
    hull = _hull(case)
    stands_out = _stands_out(case)
    blocks: list[Block] = [
        *_family("Moisture", _moisture(case, hull)),
        *_family("Soundings", _soundings(case, hull)),
        *_family("Plating", plating(case, hull)),
    ]
    for family in _FAMILIES:
        blocks += _told(family, case)
    told = _DRAWN.union(*(family.modules for family in _FAMILIES))
    rest = dict.fromkeys(_module(r) for r in case.results if _module(r) not in told)
    blocks += _told(_Family(name="Other readings", modules=tuple(rest)), case)
    if not blocks:
        return ()
    return (
        Heading(level=1, text="Readings and what they mean", label="readings", new_page=True),
        *stands_out,
        *_once(blocks),
    )


def drawing(view: View, case: Case, label: str, used: tuple[str, ...]) -> Drawing:
    """A view as a numbered figure."""
    return Drawing(
        svg=view.svg,
        alt=view.alt,
        caption=view.title,
        number=next(case.figures),
        label=label,
        rests_on=used,
    )


def _hull(case: Case) -> Hull | None:
    try:
        return hull_of(case.boat)
    except ValueError:
        return None


def _family(name: str, blocks: list[Block]) -> list[Block]:
    return [Heading(level=2, text=name), *blocks] if blocks else []


def _stands_out(case: Case) -> list[Block]:
    """The worst value for each criterion on each part and side, with how many others are past it too."""
    groups: dict[tuple[str, str, str | None], list[Result]] = {}
    for result in case.results:
        if result.verdict in ("beyond", "at the limit") and result.criterion:
            place = result.place
            key = (result.criterion.id, place.part if place else "", place.side if place else None)
            groups.setdefault(key, []).append(result)
    if not groups:
        words = "Of the readings that have a limit, none lies beyond it."
        return [Paragraph(text=plain(words))]
    rows = []
    for group in groups.values():
        worst = max(group, key=_past)
        more = f" (and {counted(len(group) - 1, 'more place')})" if len(group) > 1 else ""
        assert worst.criterion is not None
        rows.append(
            (
                plain(f"{capital(worst.what)}{more}"),
                plain(measure(worst.value, worst.uncertainty, worst.unit)),
                plain(f"{worst.criterion.beyond} {worst.criterion.limit:g} {worst.criterion.unit}"),
                plain(worst.judged),
            )
        )
    return [
        Table(
            caption="What stands out: the worst value of each kind, and the limit it was judged by",
            number=next(case.tables),
            columns=(
                Column(name="What", share=3.4),
                Column(name="Value", align="right", share=1.4),
                Column(name="Trouble lies", share=1.2),
                Column(name="Judged", share=1.6),
            ),
            rows=tuple(rows),
            label="table-stands-out",
        )
    ]


def _past(result: Result) -> float:
    assert result.criterion is not None
    assert result.value is not None
    past = result.value - result.criterion.limit
    return past if result.criterion.beyond == "above" else -past


def _moisture(case: Case, hull: Hull | None) -> list[Block]:
    maps = moisture_maps(case.survey)
    shared = (
        [caveat for caveat in maps[0].caveats if all(caveat in m.caveats for m in maps)]
        if maps
        else []
    )
    blocks: list[Block] = [Items(items=tuple(map(plain, shared)))] if shared else []
    for index, each in enumerate(maps, 1):
        blocks.append(Heading(level=3, text=f"Set “{each.name}”, {each.instrument}, {each.scale}"))
        blocks.append(Paragraph(text=plain(each.said), rests_on=each.used))
        blocks += _reference(each, case)
        placed = any(reading.place.station_m is not None for reading in each.readings)
        if hull and placed:
            view = readings_map(
                hull,
                [_value(each, i) for i in range(len(each.readings))],
                what=f"moisture, set “{each.name}”",
                unit="",
                ends=_ends(each),
                affected=[
                    Affected(side=area.side, outline=ring, words="raised readings")
                    for area in each.areas
                    if area.side in ("port", "starboard")
                    for ring in area.rings
                ],
            )
            blocks.append(drawing(view, case, f"figure-moisture-{index}", each.used))
        blocks.append(
            Drawing(
                svg=moisture_strips(each),
                alt=f"Every moisture reading of the set {each.name} beside the dry reference. {each.said}",
                caption=f"Readings of the set “{each.name}” beside the boat's own dry reference",
                number=next(case.figures),
                label=f"figure-strips-{index}",
                rests_on=each.used,
            )
        )
        own = [caveat for caveat in each.caveats if caveat not in shared]
        if own:
            blocks.append(Items(items=tuple(map(plain, own))))
    return blocks


def _reference(of: MoistureMap, case: Case) -> list[Block]:
    if of.reference is None:
        return []
    facts = (
        ("Dry readings of this boat", f"{len(of.reference.values)}, median {of.reference.median:g}, spread {of.reference.spread:.2g} (scale units)"),
        ("Raised above", f"{of.reference.raised_above:.3g}"),
        ("Much raised above", f"{of.reference.much_raised_above:.3g}"),
        ("Raised", f"{of.raised} of {of.judged} readings; a dry hull would show at most {of.by_accident}"),
    )  # fmt: skip
    rows = [(plain(name), plain(words)) for name, words in facts]
    rows += [
        (
            plain(f"Area, {_zone(area.part, area.side, area.number)}"),
            plain(
                f"{area.area_m2:.2g} m², stations {area.stations_m[0]:.1f} to {area.stations_m[1]:.1f} m, "
                f"{counted(area.readings, 'reading')}, highest {area.highest:g}"
            ),
        )
        for area in of.areas
    ]
    return [
        Table(
            caption=f"The dry reference of the set “{of.name}”, and the areas that stand above it",
            number=next(case.tables),
            columns=(Column(name="What", share=1.5), Column(name="Value", share=3.0)),
            rows=tuple(rows),
            rests_on=of.used,
        )
    ]


def _ends(of: MoistureMap) -> tuple[float, float]:
    """From the least reading to the greatest, or at least to much raised, so that a dry map looks dry."""
    values = [reading.value for reading in of.readings]
    far = [of.reference.much_raised_above] if of.reference else []
    return min(values), max([*values, *far])


def _value(of: MoistureMap, index: int) -> Value:
    reading = of.readings[index]
    if reading.judged == "dry reference":
        return Value(place=reading.place, value=reading.value, as_read=reading.as_read, mark="reference")  # fmt: skip
    beyond = reading.judged == "much raised"
    return Value(
        place=reading.place,
        value=reading.value,
        as_read=reading.as_read,
        mark="beyond" if beyond else "",
    )


def _soundings(case: Case, hull: Hull | None) -> list[Block]:
    struck = case.survey.of(Sounding)
    found = [each for each in coverages(case.survey) if each.how == "sounded"]
    if not struck:
        return []
    heard = [entry.body.heard for entry in struck]
    words = ", ".join(f"{heard.count(kind)} {kind}" for kind in ("sound", "dull", "hollow", "not sounded") if kind in heard)  # fmt: skip
    used = tuple(entry.id for entry in struck)
    blocks: list[Block] = [
        Paragraph(
            text=plain(f"{counted(len(struck), 'place')} of the grid: {words}."), rests_on=used
        )
    ]
    blocks += _coverage(found, case)
    if hull and any(entry.body.place.station_m is not None for entry in struck):
        view = soundings_map(
            hull,
            [Struck(place=entry.body.place, heard=entry.body.heard) for entry in struck],
            radius_m=_HEARD_M,
            affected=[
                Affected(side=patch.side, outline=ring, words="dull or hollow")
                for patch in patches(case.survey)
                if patch.side in ("port", "starboard")
                for ring in patch.rings
            ],
        )
        blocks.append(drawing(view, case, "figure-soundings", used))
    widest = max(found, key=lambda each: len(each.strikes), default=None)
    if widest:
        zone = _zone(widest.part, widest.side, widest.number)
        blocks.append(
            Drawing(
                svg=detectability(widest),
                alt=f"Probability of having struck a round patch by its size, {zone}. {widest.said}",
                caption=f"How small a patch the soundings would have met: {zone}",
                number=next(case.figures),
                label="figure-detectability",
                width="half",
                rests_on=widest.used,
            )
        )
    blocks += _patches(case)
    return blocks


def _coverage(found: Sequence[Coverage], case: Case) -> list[Block]:
    if not found:
        return []
    rows = tuple(
        (
            plain(capital(_zone(each.part, each.side, each.number))),
            plain(str(len(each.strikes))),
            plain(f"{each.area_m2:.1f} m²"),
            plain(measure(each.across_m, each.uncertainty_m, "m")),
            plain(f"{each.unseen_m:.2f} m"),
        )
        for each in found
    )
    return [
        Table(
            caption="Coverage: the smallest round patch that would have been struck with 95 % probability",
            number=next(case.tables),
            columns=(
                Column(name="Zone", share=2.4),
                Column(name="Struck", align="right", share=0.8),
                Column(name="Area", align="right", share=1.0),
                Column(name="Smallest patch, across", align="right", share=1.5),
                Column(name="Largest place not struck", align="right", share=1.5),
            ),
            rows=rows,
            label="table-coverage",
            rests_on=tuple(dict.fromkeys(each for c in found for each in c.used)),
        ),
        Paragraph(
            text=plain(
                "From the real positions of the soundings. A patch that was struck may still have sounded "
                "sound; the figure says what could have been missed, not what is there."
            ),
            kind="small",
        ),
    ]


def _patches(case: Case) -> list[Block]:
    items = tuple(
        plain(
            f"{capital(_zone(each.part, each.side, each.number))}: {each.dull} dull and {each.hollow} hollow "
            f"over {each.area_m2:.2g} m², stations {each.stations_m[0]:.1f} to {each.stations_m[1]:.1f} m."
        )
        for each in patches(case.survey)
    )
    return [Items(items=items)] if items else []


def _told(family: _Family, case: Case) -> list[Block]:
    """A family: what is drawn of it, its results, why the telling ones are so, and what could not be computed."""
    found = [r for r in case.results if _module(r) in family.modules]
    shown = [r for r in found if r.value is not None and r.method not in family.tabled]
    made = family.drawn(case)
    said = {"".join(span.text for span in item) for b in made if isinstance(b, Items) for item in b.items}  # fmt: skip
    blocks = [
        *made,
        *([_results(family.name, shown, case)] if shown else []),
        *_why(shown, said),
        *_not_computed([r for r in found if r.value is None]),
    ]
    return _family(family.name, blocks)


def _module(result: Result) -> str:
    return result.method.split(".")[0]


def _results(name: str, found: Sequence[Result], case: Case) -> Table:
    """Value, limit, verdict and method of each; without the columns of limits where none of them has one."""
    used = tuple(dict.fromkeys(each for result in found for each in result.used))
    whats = [result.what for result in found]
    names = [_named(result, whats.count(result.what) > 1, case) for result in found]
    values = [plain(measure(each.value, each.uncertainty, each.unit)) for each in found]
    methods = [
        (Span(text=str(case.methods[each.method][0]), to="table-methods"),) for each in found
    ]
    what = Column(name="What", share=3.4)
    value = Column(name="Value", align="right", share=1.4)
    method = Column(name="Method", align="right", share=0.6)
    if all(map(_is_free, found)):
        return Table(
            caption=f"{name}: results, for which no limit is held",
            number=next(case.tables),
            columns=(what, value, method),
            rows=tuple(zip(names, values, methods, strict=True)),
            rests_on=used,
        )
    limits = [plain(_limit(each)) for each in found]
    judged = [plain("" if _is_free(each) else each.judged) for each in found]
    return Table(
        caption=f"{name}: results",
        number=next(case.tables),
        columns=(
            what,
            value,
            Column(name="Trouble lies", share=1.2),
            Column(name="Judged", share=1.4),
            method,
        ),
        rows=tuple(zip(names, values, limits, judged, methods, strict=True)),
        rests_on=used,
    )


def _is_free(result: Result) -> bool:
    return result.criterion is None and result.verdict == "not comparable"


def _limit(result: Result) -> str:
    limit = result.criterion
    if limit is None:
        return "no limit held" if _is_free(result) else ""
    unit = "%" if limit.unit.startswith("% ") else limit.unit
    return f"{limit.beyond} {limit.limit:g} {unit}"


def _named(result: Result, is_repeated: bool, case: Case) -> Text:
    """What was computed, with the time where the same was at several visits."""
    first = case.survey.by_id[result.used[0]] if is_repeated and result.used else None
    is_visit = first is not None and isinstance(first.body, Conditions)
    when = f", {day(first.at)}, {first.at:%H:%M}" if first and is_visit else ""
    return plain(f"{capital(result.what)}{when}")


def _why(shown: Sequence[Result], said: Set[str]) -> list[Block]:
    """The first caveat of each telling result or range, those alike together, and the cautions of its work."""
    telling = [r for r in shown if r.verdict in _TELLING or r.method in _RANGED]
    cautions = dict.fromkeys(each for r in telling for each in r.caveats if each in _cautions())
    reasons: dict[str, list[str]] = {}
    for result in telling:
        own = [each for each in result.caveats if each not in cautions]
        if own and own[0] not in said:
            reasons.setdefault(own[0], []).append(result.what)
    return [
        *(_small(f"{capital('; '.join(whats))}.", f" {why}") for why, whats in reasons.items()),
        *(Paragraph(text=plain(each), kind="caution") for each in cautions),
    ]


def _not_computed(found: Sequence[Result]) -> list[Block]:
    """What readings were taken for and cannot give, those of one reason in one sentence."""
    reasons: dict[str, list[str]] = {}
    for result in found:
        why = result.caveats[0] if result.caveats else result.uncertainty_why
        reasons.setdefault(why, []).append(result.what)
    return [
        _small("Could not be computed:", f" {'; '.join(dict.fromkeys(whats))}. {why}".rstrip())
        for why, whats in reasons.items()
    ]


def _small(lead: str, words: str) -> Paragraph:
    return Paragraph(text=(Span(text=lead, style="strong"), Span(text=words)), kind="small")


@cache
def _cautions() -> frozenset[str]:
    """What the methods themselves say before work, as their results repeat it."""
    return frozenset(each.defer for each in METHODS.values() if each.defer)


def _once(blocks: Sequence[Block]) -> Iterator[Block]:
    """The blocks, a caution that stood once left out afterwards."""
    stood: set[Text] = set()
    for block in blocks:
        if isinstance(block, Paragraph) and block.kind == "caution":
            if block.text in stood:
                continue
            stood.add(block.text)
        yield block


def _zone(part: str, side: Side | None, number: int | None) -> str:
    return named(Place(part=part, side=side, number=number)) if part in catalogue().parts else part

"""The readings and what they mean: what stands out first, then a family at a time, drawn and tabled."""

from collections.abc import Callable, Iterator, Sequence, Set
from dataclasses import dataclass
from functools import cache

from garboard.boat.hull import Hull, hull_of
from garboard.catalogue.naming import capital, located, named
from garboard.catalogue.parts import catalogue
from garboard.drawings.hull import View
from garboard.drawings.laminate import detectability, moisture_strips
from garboard.drawings.sets import moisture_view, soundings_view
from garboard.methods.declaration import METHODS
from garboard.methods.moisture import MoistureMap, moisture_maps
from garboard.methods.patch import EDGE
from garboard.methods.result import Result
from garboard.methods.sounding import Coverage, How, coverages, patches, uncovered
from garboard.methods.written import judged_words, measure, signed, trouble_lies
from garboard.methods.zone import skin_words
from garboard.notebook.body import Conditions, Place, ReadingSet, Side, Sounding
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
from garboard.report.sections.coatings import coatings
from garboard.report.sections.couples import couples
from garboard.report.sections.gear import keel, stern_gear
from garboard.report.sections.laminate import drying, strikes
from garboard.report.sections.metal import anodes, pits, plating, potentials
from garboard.report.sections.systems import batteries, flooding
from garboard.report.sections.views import said_of_maps
from garboard.report.sections.words import counted, day


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
    _Family(name="Coatings", modules=("coating",), drawn=coatings),
    _Family(
        name="Laminate and wood",
        modules=("drying", "blisters", "hardness", "wood"),
        drawn=drying,
    ),
    _Family(name="Recorded strikes", modules=("strikes",), drawn=strikes),
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
# Methods whose value says little without their first caveat: a range, or what custom or a standard makes of it.
_EXPLAINED = (
    "blisters.density_per_tenth_m2",
    "coating.specified_pct",
    "drying.drying_range_days",
    "engine.power_from_fuel_kw",
    "extremes.area_to_renew_m2",
    "ground_tackle.customary_bower_kg",
    "keel.widest_gap_mm",
    "oil.change_pct",
    "oil.per_100_h",
    "propeller.departure_pct",
    "propeller.uneven_deg",
    "rig.breaking_kn",
    "wood.fastening_left_pct",
)
_OF_WOOD = ("wood.corrected_pct",)
_WOOD_READ = "Read as per cent of water in the wood, which is judged timber by timber under Laminate and wood."
# The figures that are drawn on the schematic hull.
_MAPS = ("figure-moisture", "figure-soundings", "figure-thickness", "figure-films")
# Names that differ only behind their first comma are counted where there are more.
_MOST_NAMED = 4


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
    blocks += _family("Read and not judged", _as_read(case))
    if not blocks:
        return ()
    return (
        Heading(level=1, text="Readings and what they mean", label="readings", new_page=True),
        *stands_out,
        *(said_of_maps(case) if any(map(_is_map, blocks)) else ()),
        *_once(blocks),
    )


def _is_map(block: Block) -> bool:
    return isinstance(block, Drawing) and block.label.startswith(_MAPS)


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
    apart = [
        Paragraph(text=plain(f"Moisture, set “{each.name}”. {each.apart}"), rests_on=each.used)
        for each in moisture_maps(case.survey)
        if each.apart and not _is_of_wood(each, case)
    ]
    if not groups:
        return [Paragraph(text=plain(_none_beyond(case.results))), *apart]
    rows = []
    for group in groups.values():
        worst = max(group, key=_past)
        more = f" (and {counted(len(group) - 1, 'more place')})" if len(group) > 1 else ""
        assert worst.criterion is not None
        rows.append(
            (
                plain(f"{capital(_in_unit(worst))}{more}"),
                plain(_value_of(worst)),
                plain(trouble_lies(worst.criterion)),
                plain(judged_words(worst)),
            )
        )
    return [
        Table(
            caption="What stands out: the worst value of each kind, and the limit it was judged by",
            number=next(case.tables),
            columns=(
                Column(name="What", share=3.3),
                Column(name="Value", align="right", share=1.4),
                Column(name="Trouble lies", share=1.5),
                Column(name="Judged", share=1.4),
            ),
            rows=tuple(rows),
            label="table-stands-out",
        ),
        *apart,
    ]


def _none_beyond(results: Sequence[Result]) -> str:
    """What is said where nothing lies beyond a limit: of readings that nobody could judge, no more than that."""
    is_unjudged = any(each.value is None or each.verdict == "cannot say" for each in results)
    if not any(each.verdict == "within" and each.criterion for each in results):
        why = " What was missing is said with each." if is_unjudged else ""
        return f"No reading could be judged by a limit.{why}"
    rest = " Others could not be judged; why is said with each." if is_unjudged else ""
    return f"Of the readings that were judged by a limit, none lies beyond it.{rest}"


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
        named_by = ", ".join(filter(None, (f"Set “{each.name}”", each.instrument, each.scale)))
        blocks.append(Heading(level=3, text=named_by))
        is_wood = _is_of_wood(each, case)
        if is_wood:
            blocks.append(Paragraph(text=plain(_WOOD_READ), rests_on=each.used))
        else:
            blocks.append(Paragraph(text=plain(each.said), rests_on=each.used))
            blocks += _reference(each, case)
            blocks.append(_all_readings(each, index, case))
        own = [caveat for caveat in each.caveats if caveat not in shared]
        if own:
            blocks.append(Items(items=tuple(map(plain, own))))
        if hull and any(reading.place.station_m is not None for reading in each.readings):
            view = moisture_view(hull, each, unit="%" if is_wood else "")
            blocks.append(drawing(view, case, f"figure-moisture-{index}", each.used))
    return [*blocks, *_not_covered(case, "read with a moisture meter")]


def _is_of_wood(of: MoistureMap, case: Case) -> bool:
    return any(r.method in _OF_WOOD and of.entry in r.used for r in case.results)


def _all_readings(of: MoistureMap, index: int, case: Case) -> Drawing:
    beside = " beside the boat's own dry reference" if of.reference else ""
    return Drawing(
        svg=moisture_strips(of),
        alt=f"Every moisture reading of the set {of.name}{beside}. {of.said}",
        caption=f"Readings of the set “{of.name}”{beside}",
        number=next(case.figures),
        label=f"figure-strips-{index}",
        rests_on=of.used,
    )


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
            plain(f"Area, {skin_words((area.part, area.side, area.number))}"),
            plain(
                f"{area.about}, {_stations(area.stations_m)}, "
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


def _soundings(case: Case, hull: Hull | None) -> list[Block]:
    struck = case.survey.of(Sounding)
    found = [each for each in coverages(case.survey) if each.how == "sounded"]
    if not struck:
        return []
    heard = [entry.body.heard for entry in struck]
    words = ", ".join(f"{heard.count(kind)} {kind}" for kind in ("sound", "dull", "hollow", "not sounded") if kind in heard)  # fmt: skip
    used = tuple(entry.id for entry in struck)
    blocks: list[Block] = [
        Paragraph(text=plain(f"{capital(counted(len(struck), 'place'))}: {words}."), rests_on=used)
    ]
    blocks += _coverage(found, case)
    blocks += _not_covered(case, "sounded")
    blocks += _patches(case)
    if hull and any(entry.body.place.station_m is not None for entry in struck):
        view = soundings_view(hull, [entry.body for entry in struck], patches(case.survey))
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


def _not_covered(case: Case, how: How) -> list[Block]:
    """The zones whose places do not say how closely they were covered, those of one reason in one sentence."""
    zones: dict[str, list[str]] = {}
    for each in uncovered(case.survey):
        if each.how == how:
            zones.setdefault(each.why, []).append(_zone(each.part, each.side, each.number))
    items = tuple(
        (
            Span(text=f"{capital('; '.join(places))}: ", style="strong"),
            Span(text=why),
        )
        for why, places in zones.items()
    )
    return [Items(items=items)] if items else []


def _patches(case: Case) -> list[Block]:
    found = patches(case.survey)
    items = tuple(
        plain(f"{capital(_zone(each.part, each.side, each.number))}: {each.said}") for each in found
    )
    outlined = any(each.area_m2 for each in found)
    return [
        *([Items(items=items)] if items else []),
        *([Paragraph(text=plain(EDGE), kind="small")] if outlined else []),
    ]


def _stations(ends_m: tuple[float, float]) -> str:
    """From which station to which, or the one where both are the same.

    >>> _stations((3.0, 6.04)), _stations((4.0, 4.02))
    ('stations 3.0 to 6.0 m', 'station 4.0 m')
    """
    first, last = (f"{each:.1f}" for each in ends_m)
    return f"station {first} m" if first == last else f"stations {first} to {last} m"


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


def _as_read(case: Case) -> list[Block]:
    """The readings of sets that no method makes anything of: they are evidence all the same."""
    used = {each for result in case.results for each in result.used}
    sets = [entry for entry in case.survey.of(ReadingSet) if entry.id not in used]
    rows = tuple(
        (
            plain(capital(located(reading.place))),
            plain(", ".join(filter(None, (entry.body.quantity, entry.body.mode)))),
            plain(signed(f"{reading.as_read}\N{NO-BREAK SPACE}{entry.body.unit}")),
        )
        for entry in sets
        for reading in entry.body.readings
    )
    if not rows:
        return []
    return [
        Table(
            caption="Readings that no method here judges, as they were read",
            number=next(case.tables),
            columns=(
                Column(name="Where", share=3.3),
                Column(name="What was read", share=3.0),
                Column(name="Read", align="right", share=1.2),
            ),
            rows=rows,
            rests_on=tuple(entry.id for entry in sets),
        )
    ]


def _module(result: Result) -> str:
    return result.method.split(".")[0]


def _results(name: str, found: Sequence[Result], case: Case) -> Table:
    """Value, limit, verdict and method of each; without the columns of limits where none of them has one."""
    used = tuple(dict.fromkeys(each for result in found for each in result.used))
    whats = [result.what for result in found]
    names = [_named(result, whats.count(result.what) > 1, case) for result in found]
    values = [plain(_value_of(each)) for each in found]
    methods = [
        (Span(text=str(case.methods[each.method][0]), to="table-methods"),) for each in found
    ]
    what = Column(name="What", share=3.3)
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
    judged = [plain("" if _is_free(each) else judged_words(each)) for each in found]
    return Table(
        caption=f"{name}: results",
        number=next(case.tables),
        columns=(
            what,
            value,
            Column(name="Trouble lies", share=1.5),
            Column(name="Judged", share=1.4),
            method,
        ),
        rows=tuple(zip(names, values, limits, judged, methods, strict=True)),
        rests_on=used,
    )


def _is_free(result: Result) -> bool:
    return result.criterion is None and result.verdict == "not comparable"


def _limit(result: Result) -> str:
    if result.criterion is None:
        return "no limit held" if _is_free(result) else ""
    return trouble_lies(result.criterion)


def _value_of(result: Result) -> str:
    """Value and uncertainty; of what they are per cent stands with what was computed."""
    unit = "%" if result.unit.startswith("% of ") else result.unit
    return measure(result.value, result.uncertainty, unit)


def _in_unit(result: Result) -> str:
    """What was computed, and of what it is per cent where it is."""
    return f"{result.what}, in {result.unit}" if result.unit.startswith("% of ") else result.what


def _named(result: Result, is_repeated: bool, case: Case) -> Text:
    """What was computed, with the time where the same was at several visits."""
    first = case.survey.by_id[result.used[0]] if is_repeated and result.used else None
    is_visit = first is not None and isinstance(first.body, Conditions)
    at = case.lived(first.at) if first and is_visit else None
    when = f", {day(at)}, {at:%H:%M}" if at else ""
    return plain(f"{capital(_in_unit(result))}{when}")


def _why(shown: Sequence[Result], said: Set[str]) -> list[Block]:
    """The first caveat of each result that needs it, those alike together, and the cautions of its work."""
    telling = [
        r
        for r in shown
        if r.verdict in _TELLING or (r.method in _EXPLAINED and r.verdict == "not comparable")
    ]
    cautions = dict.fromkeys(each for r in telling for each in r.caveats if each in _cautions())
    reasons: dict[str, list[str]] = {}
    for result in telling:
        own = [each for each in result.caveats if each not in cautions]
        if own and own[0] not in said:
            reasons.setdefault(own[0], []).append(result.what)
    return [
        *(_small(f"{capital(_together(whats))}.", f" {why}") for why, whats in reasons.items()),
        *(Paragraph(text=plain(each), kind="caution") for each in cautions),
    ]


def _not_computed(found: Sequence[Result]) -> list[Block]:
    """What readings were taken for and cannot give, those of one reason in one sentence."""
    reasons: dict[str, list[str]] = {}
    for result in found:
        why = result.caveats[0] if result.caveats else result.uncertainty_why
        reasons.setdefault(why, []).append(result.what)
    return [
        _small("Could not be computed:", f" {_together(whats)}. {why}".rstrip())
        for why, whats in reasons.items()
    ]


def _together(whats: Sequence[str]) -> str:
    """Names in a list; many of one thing at several places are counted."""
    by_thing: dict[str, list[str]] = {}
    for what in dict.fromkeys(whats):
        by_thing.setdefault(what.partition(",")[0], []).append(what)
    return "; ".join(
        f"{thing} ({len(named)} places)" if len(named) > _MOST_NAMED else "; ".join(named)
        for thing, named in by_thing.items()
    )


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

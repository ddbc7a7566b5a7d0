"""Pits: their depth against the plate they are in, what is left under them, how uneven the attack is.

A pit depth's `original` is the plate's thickness as built; where it is not given, the nearest thickness reading
of the same side lends its own. Pits never enter the mean of a plate.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import floor, sqrt
from statistics import fmean

from garboard.catalogue.naming import named
from garboard.methods.campaign import latest
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.gauge import doubt_in
from garboard.methods.panels import Panel, allowances, panels
from garboard.methods.plating import DEFER, diminution_pct, diminution_uncertainty_pct
from garboard.methods.result import Criterion, Result, verdict_of
from garboard.methods.zone import metre_words
from garboard.notebook.body import Place, Reading, ReadingSet
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

# A thickness reading this near lends its plate to a pit.
_NEAR_M = 1.0
_DEEPEST = 10


@method(
    name="Depth of a pit as a share of the plate",
    what_for="Whether a pit is a matter for filler, for welding, or for more.",
    symbols={"depth_mm": "mm", "original_mm": "plate as built, mm", "result": "% of the plate"},
    limits=(
        "Cleaned to metal and probed for undercutting. A thickness gauge does not see pits on the face it "
        "stands on."
    ),
    source="definition, as used in Lloyd's Register, Naval Survey Guidance for Steel Ships (2001), Ch 12",
    standing="guidance",
    text="read",
    defer=DEFER,
)
def pit_share_pct(depth_mm: float, original_mm: float) -> float:
    """Depth over the plate's original thickness.

    Args:
        depth_mm: From the sound surface to the floor, mm; 0 or more.
        original_mm: The plate as built, mm; above 0.

    Returns:
        Per cent; above 100 the depth and the plate do not belong together.

    Raises:
        ValueError: The plate is not above zero, or the depth negative.

    >>> round(pit_share_pct(1.8, 6.0), 1)
    30.0
    """
    if original_mm <= 0 or depth_mm < 0:
        raise ValueError(
            f"A pit is 0 mm or more in a plate above 0; {depth_mm:g} in {original_mm:g} mm was given."
        )
    return 100 * depth_mm / original_mm


@method(
    name="Plate left under a pit",
    what_for="The thickness at the floor of a pit.",
    symbols={"plate_mm": "round the pit, now, mm", "depth_mm": "mm", "result": "mm"},
    limits="One face only: a pit on the other face opposite takes more.",
    source="definition",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def pit_floor_mm(plate_mm: float, depth_mm: float) -> float:
    """The plate round the pit less its depth; 0 where it is through.

    Args:
        plate_mm: Thickness round the pit now, mm; 0 or more.
        depth_mm: Of the pit, mm; 0 or more.

    Returns:
        mm, 0 or more.

    Raises:
        ValueError: A length is negative.

    >>> round(pit_floor_mm(6.0, 1.8), 1)
    4.2
    """
    if plate_mm < 0 or depth_mm < 0:
        raise ValueError(
            f"Thickness and depth are 0 mm or more; {plate_mm:g} and {depth_mm:g} were given."
        )
    return max(0.0, plate_mm - depth_mm)


@method(
    name="Pitting factor",
    what_for="How uneven the attack is: the deepest pit against the mean loss.",
    symbols={"deepest_mm": "mm", "mean_loss_mm": "mm", "result": "1 where the loss is even"},
    limits="Undefined where the plate round the pits has lost almost nothing.",
    source="ASTM G46, pitting factor; definition from memory",
    standing="standard",
    text="memory",
)
def pitting_factor(deepest_mm: float, mean_loss_mm: float) -> float:
    """Deepest penetration over mean penetration.

    Args:
        deepest_mm: Deepest penetration from the original surface, mm; 0 or more.
        mean_loss_mm: Mean loss of the plate, mm; above 0.

    Returns:
        A ratio.

    Raises:
        ValueError: The mean loss is not above zero, or the depth negative.

    >>> round(pitting_factor(2.6, 0.4), 1)
    6.5
    """
    if mean_loss_mm <= 0 or deepest_mm < 0:
        raise ValueError(
            "A pitting factor needs a mean loss above zero and a depth of 0 mm or more; "
            f"{mean_loss_mm:g} and {deepest_mm:g} mm were given."
        )
    return deepest_mm / mean_loss_mm


@method(
    name="Mean of the deepest pits",
    what_for="A figure the next survey can compare with, steadier than the deepest pit alone.",
    symbols={"depths_mm": "mm", "result": "mm"},
    limits="The ten deepest, or all where there are fewer.",
    source="common practice",
    standing="common practice",
    text="read",
)
def mean_of_deepest_mm(depths_mm: Sequence[float]) -> float:
    """Mean of the ten deepest, or of all where there are fewer.

    Args:
        depths_mm: `(n,)` depths, mm; at least one.

    Returns:
        mm.

    Raises:
        ValueError: There is no pit.

    >>> mean_of_deepest_mm((0.5, 1.5))
    1.0
    """
    if not depths_mm:
        raise ValueError("A mean of pits needs one pit or more; none was given.")
    return fmean(sorted(depths_mm, reverse=True)[:_DEEPEST])


@dataclass(frozen=True, slots=True, kw_only=True)
class PittedPanel:
    """The pits of one metre of one side of a part.

    `place` is the deepest pit's; `original_mm` is the plate as built with its standard uncertainty, `plate_mm` the plate
    round the pits now, each None where nobody knows it. `used` are the entries of pits and plate.
    """

    place: Place
    words: str
    depths_mm: tuple[float, ...]
    uncertainty_mm: float
    original_mm: float | None
    original_u_mm: float
    plate_mm: float | None
    plate_u_mm: float
    used: tuple[str, ...]


def pitted_panels(survey: Survey) -> tuple[PittedPanel, ...]:
    """The pits of the latest survey, panel by panel."""
    plates = panels(survey)
    by_panel: dict[tuple[object, ...], list[tuple[Entry[ReadingSet], Reading]]] = defaultdict(list)
    for entry in latest(survey, "pit depth"):
        for reading in entry.body.readings:
            by_panel[_key_of(entry, reading)].append((entry, reading))
    return tuple(_pitted(survey, pits, plates) for _, pits in sorted(by_panel.items(), key=_order))


def results(survey: Survey) -> tuple[Result, ...]:
    """For each panel with pits: the deepest against the plate, what is left under it, the pitting factor."""
    is_steel = survey.boat is not None and survey.boat.material == "steel"
    return tuple(
        result
        for panel in pitted_panels(survey)
        for result in (
            _share(panel, is_steel),
            *_floor(panel, allowances(survey, panel.place.part)[1], is_steel),
            _factor(panel),
        )
    )


def _pitted(
    survey: Survey,
    pits: Sequence[tuple[Entry[ReadingSet], Reading]],
    plates: Sequence[Panel],
) -> PittedPanel:
    entry, deepest = max(pits, key=lambda pit: pit[1].value)
    place = deepest.place
    panel = _plate_round(place, plates)
    gauged = panel if panel and not panel.spots[0].through_paint else None
    stated = [float(reading.original) for _, reading in pits if reading.original]
    originals = [each for each in stated if each > 0]
    original_mm, original_u_mm = None, 0.0
    if originals:
        original_mm = min(originals)
    elif panel:
        original_mm, original_u_mm = panel.original_mm, panel.original_u_mm
    zone = named(Place(part=place.part, side=place.side, number=place.number))
    metre = metre_words(None if place.station_m is None else floor(place.station_m))
    return PittedPanel(
        place=place,
        words=", ".join(filter(None, (zone, metre))),
        depths_mm=tuple(reading.value for _, reading in pits),
        uncertainty_mm=doubt_in(survey, entry.body.instrument).reading_mm,
        original_mm=original_mm,
        original_u_mm=original_u_mm,
        plate_mm=gauged.mean_mm if gauged else None,
        plate_u_mm=(gauged.mean_u_mm or 0.0) if gauged else 0.0,
        used=tuple(
            dict.fromkeys([each.id for each, _ in pits] + list(panel.used if panel else ()))
        ),
    )


def _share(panel: PittedPanel, is_steel: bool) -> Result:
    what = f"deepest pit of {panel.words}"
    deepest = max(panel.depths_mm)
    if panel.original_mm is None:
        why = f"The deepest pit is {deepest:g} mm, but the thickness of the plate is not known."
        return _cannot_say("pits.pit_share_pct", what, panel, why)
    limit = criteria()["pits-depth"] if is_steel else None
    value = pit_share_pct(deepest, panel.original_mm)
    doubt = diminution_uncertainty_pct(
        panel.original_mm, panel.original_u_mm, deepest, panel.uncertainty_mm
    )
    return Result(
        method="pits.pit_share_pct",
        what=what,
        value=value,
        unit="%",
        verdict=verdict_of(value, doubt, limit) if limit else "not comparable",
        used=panel.used,
        uncertainty=doubt,
        criterion=limit,
        place=panel.place,
        caveats=(_counted(panel.depths_mm), "Deeper ones may lie under scale, paint or lining."),
    )


def _counted(depths_mm: Sequence[float]) -> str:
    count, deepest = len(depths_mm), max(depths_mm)
    if count == 1:
        return f"One pit measured, {deepest:g} mm deep."
    which = "the ten deepest" if count > _DEEPEST else "they"
    return (
        f"{count} pits measured, the deepest {deepest:g} mm; {which} average "
        f"{mean_of_deepest_mm(depths_mm):.1f} mm."
    )


def _floor(panel: PittedPanel, local: Criterion | None, is_steel: bool) -> Iterator[Result]:
    """What is left under the deepest pit: as a local loss, and on steel as a share of the plate."""
    if panel.original_mm is None:
        return
    gauged = panel.plate_mm is not None
    around = panel.plate_mm if panel.plate_mm is not None else panel.original_mm
    left = pit_floor_mm(around, max(panel.depths_mm))
    loss = diminution_pct(panel.original_mm, left)
    doubt = diminution_uncertainty_pct(
        panel.original_mm,
        panel.original_u_mm,
        left,
        sqrt(panel.uncertainty_mm**2 + panel.plate_u_mm**2),
    )
    caveats = (
        f"{left:.1f} mm left: the plate round the pit was taken as {around:.2f} mm"
        + ("." if gauged else ", as built, since it was not gauged; less may be left."),
        "Welding a pit is a matter for the welder and the naval architect, ashore.",
    )
    held = [("local loss at", loss, "%", local)]
    if is_steel:
        held.append(("plate left under", 100 - loss, "% of the original", criteria()["pits-floor"]))
    for what, value, unit, limit in held:
        yield Result(
            method="pits.pit_floor_mm",
            what=f"{what} the deepest pit of {panel.words}",
            value=value,
            unit=unit,
            verdict=verdict_of(value, doubt, limit) if limit else "not comparable",
            used=panel.used,
            uncertainty=doubt,
            criterion=limit,
            place=panel.place,
            caveats=caveats if limit else ("No limit is held for it.", *caveats),
        )


def _factor(panel: PittedPanel) -> Result:
    what = f"pitting factor of {panel.words}"
    if panel.original_mm is None or panel.plate_mm is None:
        why = "The mean loss of the plate round the pits is not known."
        return _cannot_say("pits.pitting_factor", what, panel, why)
    loss = panel.original_mm - panel.plate_mm
    if loss <= 2 * panel.plate_u_mm:
        why = "The plate round the pits has lost too little for a ratio; the attack is local."
        return _cannot_say("pits.pitting_factor", what, panel, why)
    deepest = loss + max(panel.depths_mm)
    value = pitting_factor(deepest, loss)
    return Result(
        method="pits.pitting_factor",
        what=what,
        value=value,
        unit="times the mean loss",
        verdict="not comparable",
        used=panel.used,
        uncertainty=value
        * sqrt((panel.uncertainty_mm / deepest) ** 2 + (panel.plate_u_mm / loss) ** 2),
        place=panel.place,
        caveats=("No limit holds for it alone: it says how far pits run ahead of the mean.",),
    )


def _plate_round(place: Place, plates: Iterable[Panel]) -> Panel | None:
    """The panel whose nearest spot lies within a metre of a place on the same side; the same part first."""
    near: list[tuple[bool, float, int, Panel]] = []
    for index, panel in enumerate(plates):
        if panel.side != place.side:
            continue
        apart = [_apart_m(place, spot.place) for spot in panel.spots]
        known = [each for each in apart if each is not None]
        if known and min(known) <= _NEAR_M:
            near.append((panel.part != place.part, min(known), index, panel))
    return min(near)[3] if near else None


def _apart_m(one: Place, other: Place) -> float | None:
    """How far apart two places of one side are; of one part without stations, no way at all."""
    if one.station_m is None or other.station_m is None:
        return 0.0 if one.part == other.part and one.station_m is other.station_m else None
    down = 0.0
    if one.level_m is not None and other.level_m is not None:
        down = one.level_m - other.level_m
    return sqrt((one.station_m - other.station_m) ** 2 + down**2)


def _key_of(entry: Entry[ReadingSet], reading: Reading) -> tuple[object, ...]:
    place = reading.place
    metre = None if place.station_m is None else floor(place.station_m)
    return (place.part, place.side, place.number, metre, entry.body.instrument)


def _order(
    each: tuple[tuple[object, ...], list[tuple[Entry[ReadingSet], Reading]]],
) -> tuple[object, ...]:
    part, side, number, metre, instrument = each[0]
    return (part, side or "", number or 0, -99 if metre is None else metre, instrument)


def _cannot_say(about: str, what: str, panel: PittedPanel, why: str) -> Result:
    return Result(
        method=about,
        what=what,
        value=None,
        unit="%" if about.endswith("pct") else "times the mean loss",
        verdict="cannot say",
        used=panel.used,
        place=panel.place,
        caveats=(why,),
    )

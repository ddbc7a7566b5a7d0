"""What lies between the readings: the lowest thickness to be expected, the deepest pit, the area to renew.

The readings of one side of one part, of one original thickness and one gauge, are taken together. Plating judged so
is read at places chosen in advance, not where it looked thin.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from math import ceil, erfc, exp, lgamma, log, pi, sqrt
from statistics import NormalDist, fmean, stdev
from types import MappingProxyType

from garboard.catalogue.naming import named
from garboard.methods.comparison import share_interval
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.panels import Panel, Spot, panels
from garboard.methods.patch import area_m2
from garboard.methods.pits import PittedPanel, pitted_panels
from garboard.methods.plating import DEFER, diminution_pct, renewal_mm
from garboard.methods.result import Criterion, Result, verdict_of
from garboard.methods.zone import between, point_of, zone_words
from garboard.notebook.body import Place
from garboard.notebook.fold import Survey

SHARE = 0.95
CONFIDENCE = 0.95
"""By convention: with 95 % confidence, 95 % of the plate is thicker."""

_STEPS = 1000
_BISECTIONS = 60
_LIMITS: Mapping[str, str] = MappingProxyType(
    {"steel": "extremes-local-steel", "aluminium": "extremes-local-aluminium"}
)


@method(
    name="One-sided tolerance factor",
    what_for="How many standard deviations below the mean a limit lies that most of the plate exceeds.",
    symbols={
        "readings": "number of readings",
        "share": "of the plate that is to be thicker, 0 to 1",
        "confidence": "0 to 1",
        "result": "standard deviations of the readings",
    },
    limits="Normal scatter; independent places, not picked for being thin. Three readings or more.",
    source="one-sided limit of a normal population with mean and spread unknown; terms of ISO 16269-6:2014",
    standing="standard",
    text="second hand",
)
@cache
def tolerance_factor(readings: int, share: float = SHARE, confidence: float = CONFIDENCE) -> float:
    """The factor that holds with the confidence asked for, from the joint law of mean and spread.

    Args:
        readings: 3 or more.
        share: Above 0.5, below 1.
        confidence: Above 0.5, below 1.

    Returns:
        Standard deviations.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(tolerance_factor(10), 3)
    2.911
    """
    if readings < 3 or not 0.5 < share < 1 or not 0.5 < confidence < 1:
        raise ValueError(
            "A tolerance factor needs three readings or more, and a share and a confidence from above 0.5 to below "
            f"1; {readings}, {share:g} and {confidence:g} were given."
        )
    quantile, root = NormalDist().inv_cdf(share), sqrt(readings)
    spreads = _spreads(readings - 1)

    def held(factor: float) -> float:
        return sum(
            weight * 0.5 * erfc(-root * (factor * ratio - quantile) / sqrt(2))
            for ratio, weight in spreads
        )

    low, high = 0.0, 1.0
    while held(high) < confidence:
        high *= 2
    for _ in range(_BISECTIONS):
        middle = (low + high) / 2
        low, high = (middle, high) if held(middle) < confidence else (low, middle)
    return (low + high) / 2


def _spreads(freedom: int) -> list[tuple[float, float]]:
    """Ratios of found to true spread, each with its weight, for Simpson's rule."""
    most = sqrt((freedom + 12 * sqrt(2 * freedom) + 80) / freedom)
    step = most / _STEPS
    scale = log(2) + freedom / 2 * log(freedom / 2) - lgamma(freedom / 2)
    found = []
    for index in range(1, _STEPS + 1):
        ratio = index * step
        density = exp(scale + (freedom - 1) * log(ratio) - freedom * ratio**2 / 2)
        rule = 1 if index == _STEPS else 4 if index % 2 else 2
        found.append((ratio, density * rule * step / 3))
    return found


@method(
    name="Lowest thickness to be expected",
    what_for="The thickness that nearly all of a plate exceeds, between the readings as well.",
    symbols={
        "readings_mm": "mm",
        "share": "of the plate that is thicker, 0 to 1",
        "confidence": "0 to 1",
        "result": "mm",
    },
    limits=(
        "Normal scatter, places chosen in advance. Corroded plate is often skewed to the thin side: then this is too "
        "hopeful, and the smallest reading or the deepest pits speak instead. Pits are left out."
    ),
    source="mean less the one-sided tolerance factor times the standard deviation; terms of ISO 16269-6:2014",
    standing="standard",
    text="second hand",
    defer=DEFER,
)
def lowest_mm(
    readings_mm: Sequence[float], share: float = SHARE, confidence: float = CONFIDENCE
) -> float:
    """Mean less factor times standard deviation.

    Args:
        readings_mm: `(n,)` readings, mm; three or more.
        share: Above 0.5, below 1.
        confidence: Above 0.5, below 1.

    Returns:
        mm; may fall below zero where the readings are few and scatter.

    Raises:
        ValueError: Fewer than three readings, or a share or confidence out of its range.

    >>> round(lowest_mm((9.6, 9.8, 9.5, 9.9, 9.7, 9.4, 9.8, 9.7, 9.6, 9.5)), 2)
    9.19
    """
    factor = tolerance_factor(len(readings_mm), share, confidence)
    return fmean(readings_mm) - factor * stdev(readings_mm)


@method(
    name="Confidence of the smallest reading",
    what_for="How far the thinnest of the readings may stand for the plate, whatever the scatter.",
    symbols={
        "readings": "number of readings",
        "share": "of the plate that is thicker than the smallest, 0 to 1",
        "result": "0 to 1",
    },
    limits="Independent places chosen in advance; nothing is supposed of the scatter.",
    source="1 less the share to the power of the number; definition of a distribution-free limit",
    standing="standard",
    text="read",
)
def smallest_confidence(readings: int, share: float = SHARE) -> float:
    """Chance that one reading at least fell in the thinnest part.

    Args:
        readings: 1 or more.
        share: Above 0, below 1.

    Returns:
        0 to 1.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(smallest_confidence(20), 3)
    0.642
    """
    if readings < 1 or not 0 < share < 1:
        raise ValueError(
            "A confidence needs one reading or more and a share between 0 and 1; "
            f"{readings} and {share:g} were given."
        )
    return float(1 - share**readings)


@method(
    name="Readings needed",
    what_for="How many readings until the smallest stands for nearly all of the plate.",
    symbols={"share": "0 to 1", "confidence": "0 to 1", "result": "number of readings"},
    limits="As for the confidence of the smallest reading.",
    source="smallest n with 1 less the share to the power of n at least the confidence",
    standing="standard",
    text="read",
)
def readings_needed(share: float = SHARE, confidence: float = CONFIDENCE) -> int:
    """The smallest number that does.

    Args:
        share: Above 0, below 1.
        confidence: Above 0, below 1.

    Raises:
        ValueError: An argument is out of its range.

    >>> readings_needed()
    59
    """
    if not 0 < share < 1 or not 0 < confidence < 1:
        raise ValueError(
            f"A share and a confidence lie between 0 and 1; {share:g} and {confidence:g} were given."
        )
    return ceil(log(1 - confidence) / log(share) - 1e-9)


@method(
    name="Law of the deepest pits",
    what_for="Place and spread of the deepest pits of equal patches.",
    symbols={"depths_mm": "deepest pit of each patch, mm", "result": "place and spread, mm"},
    limits="Ten patches or more of one size and one exposure; pits far shallower than the plate.",
    source=(
        "Gumbel's law by maximum likelihood; its use for the deepest pit: Shibata, J. Res. NIST 99 (1994) 327, "
        "abstract read; ASTM G46 and G16, scopes read"
    ),
    standing="guidance",
    text="second hand",
)
def deepest_law_mm(depths_mm: Sequence[float]) -> tuple[float, float]:
    """The place and spread under which the depths are likeliest.

    Args:
        depths_mm: `(n,)` depths, mm; two or more that differ.

    Returns:
        Place and spread, mm.

    Raises:
        ValueError: Fewer than two depths, or all alike.

    >>> [round(each, 4) for each in deepest_law_mm((0.62, .48, .71, .55, .83, .59, .66, .52, .94, .60))]
    [0.5891, 0.0996]
    """
    if len(depths_mm) < 2 or max(depths_mm) == min(depths_mm):
        raise ValueError(
            f"The law of the deepest pits needs depths that differ; {tuple(depths_mm)} were given."
        )
    least, mean = min(depths_mm), fmean(depths_mm)

    def weights(spread: float) -> list[float]:
        return [exp(-(each - least) / spread) for each in depths_mm]

    low, high = 0.0, max(depths_mm) - least
    for _ in range(_BISECTIONS):
        middle = (low + high) / 2
        each = weights(middle)
        weighed = sum(x * w for x, w in zip(depths_mm, each, strict=True)) / sum(each)
        low, high = (middle, high) if middle < mean - weighed else (low, middle)
    spread = (low + high) / 2
    return least - spread * log(fmean(weights(spread))), spread


@method(
    name="Deepest pit to be expected",
    what_for="The deepest pit of a whole plate, from those of the patches that were measured.",
    symbols={
        "place_mm": "of the law of the deepest pits, mm",
        "spread_mm": "of that law, mm",
        "patches": "patches in the whole plate, 1 or more",
        "chance": "that the deepest is no deeper, 0 to 1",
        "result": "mm",
    },
    limits="The whole is ten to twenty times what was measured at most; one kind of attack throughout.",
    source="Gumbel's law for the largest of many patches; Shibata, J. Res. NIST 99 (1994) 327, abstract read",
    standing="guidance",
    text="second hand",
    defer=DEFER,
)
def deepest_mm(
    place_mm: float, spread_mm: float, patches: float, chance: float = CONFIDENCE
) -> float:
    """The depth that the deepest of all patches stays above with the chance left over.

    Args:
        place_mm: mm.
        spread_mm: mm; above 0.
        patches: 1 or more.
        chance: Above 0, below 1.

    Returns:
        mm.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(deepest_mm(0.589097, 0.0995749, 50), 4)
    1.2744
    """
    if spread_mm <= 0 or patches < 1 or not 0 < chance < 1:
        raise ValueError(
            "A deepest pit needs a spread above 0, one patch or more and a chance between 0 and 1; "
            f"{spread_mm:g} mm, {patches:g} and {chance:g} were given."
        )
    return place_mm + spread_mm * (log(patches) - log(-log(chance)))


@method(
    name="Standard uncertainty of the deepest pit",
    what_for="How far few patches leave the deepest pit open.",
    symbols={
        "spread_mm": "of the law, mm",
        "measured": "patches measured",
        "patches": "patches in the whole plate",
        "chance": "0 to 1",
        "result": "mm",
    },
    limits="The form for many patches; with ten it is a little too small.",
    source="information matrix of Gumbel's law",
    standing="common practice",
    text="memory",
)
def deepest_uncertainty_mm(
    spread_mm: float, measured: int, patches: float, chance: float = CONFIDENCE
) -> float:
    """From the variances of place and spread and what they share.

    Args:
        spread_mm: mm; above 0.
        measured: Patches measured, 2 or more.
        patches: 1 or more.
        chance: Above 0, below 1.

    Returns:
        mm.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(deepest_uncertainty_mm(0.1, 10, 1, 0.367879441171442), 4)
    0.0333
    """
    if spread_mm <= 0 or measured < 2 or patches < 1 or not 0 < chance < 1:
        raise ValueError(
            "An uncertainty needs a spread above 0, two patches or more and a chance between 0 and 1; "
            f"{spread_mm:g} mm, {measured}, {patches:g} and {chance:g} were given."
        )
    reduced = log(patches) - log(-log(chance))
    over = 1 + 6 / pi**2 * (_ONE_LESS_EULER + reduced) ** 2
    return spread_mm * sqrt(over / measured)


_ONE_LESS_EULER = 1 - 0.577215664902


@method(
    name="Area to renew",
    what_for="How much plate lies below its renewal thickness, as the share of the readings has it.",
    symbols={
        "readings_mm": "mm",
        "renewal_mm": "mm",
        "area_m2": "plate that the readings stand for, m²",
        "result": "m², with the low and high end of its 95 % interval",
    },
    limits="Places chosen in advance over the whole area; neighbours are alike, so the interval is too narrow.",
    source="share of readings times area; interval of Clopper & Pearson, Biometrika 26 (1934) 404",
    standing="common practice",
    text="memory",
    defer=DEFER,
)
def area_to_renew_m2(
    readings_mm: Sequence[float], renewal_mm: float, area_m2: float
) -> tuple[float, float, float]:
    """Share below the limit times the area.

    Args:
        readings_mm: `(n,)` readings, mm; one or more.
        renewal_mm: mm.
        area_m2: m²; 0 or more.

    Returns:
        The area, and the low and high end of its interval, m².

    Raises:
        ValueError: There is no reading, or the area is negative.

    >>> [round(each, 2) for each in area_to_renew_m2((5, 5, 5, 4), 4.5, 8.0)]
    [2.0, 0.05, 6.45]
    """
    if not readings_mm or area_m2 < 0:
        raise ValueError(
            "An area to renew needs one reading or more and an area of 0 m² or more; "
            f"{len(readings_mm)} and {area_m2:g} were given."
        )
    below = sum(each < renewal_mm for each in readings_mm)
    low, high = share_interval(below, len(readings_mm))
    return area_m2 * below / len(readings_mm), area_m2 * low, area_m2 * high


def results(survey: Survey) -> tuple[Result, ...]:
    """For each plated side the lowest to be expected and the area to renew; for each pitted part the deepest pit.

    Sides and parts read at too few places are named together in one "cannot say".
    """
    metal = survey.boat.material if survey.boat else None
    if metal is None or metal not in _LIMITS:
        return ()
    limit = criteria()[_LIMITS[metal]]
    fewest = criteria()["extremes-readings"].limit
    sides, pitted = _sides(survey), _pitted(survey)
    return (
        *(r for each in sides if len(each[0]) >= fewest for r in _of_side(each, limit)),
        *_too_few_read([spots for spots, _ in sides if len(spots) < fewest]),
        *(_deepest(survey, pits) for pits in pitted if len(pits) >= fewest),
        *_too_few_pitted([pits for pits in pitted if len(pits) < fewest]),
    )


# Plating


def _sides(survey: Survey) -> tuple[tuple[tuple[Spot, ...], float], ...]:
    """The spots of each side of a part, with their original thickness; those that read thicker left out."""
    found: dict[tuple[object, ...], list[tuple[Panel, Spot]]] = defaultdict(list)
    for panel in panels(survey):
        for spot in panel.spots:
            key = (
                panel.part,
                panel.side,
                panel.number,
                panel.original_mm,
                spot.through_paint,
                spot.gauge,
            )
            if panel.original_mm is not None and spot not in panel.thicker:
                found[key].append((panel, spot))
    return tuple(
        (tuple(spot for _, spot in each), each[0][0].original_mm or 0.0) for each in found.values()
    )


def _of_side(side: tuple[tuple[Spot, ...], float], limit: Criterion) -> Iterator[Result]:
    spots, original_mm = side
    yield _lowest(spots, original_mm, limit)
    required_mm = renewal_mm(original_mm, limit.limit)
    if any(spot.thickness_mm < required_mm for spot in spots):
        yield _to_renew(spots, required_mm)


def _lowest(spots: Sequence[Spot], original_mm: float, limit: Criterion) -> Result:
    """By mean and spread; where the readings are skewed to the thin side by the smallest, if they are enough."""
    place, words, used = _about(spots)
    what = f"greatest loss to be expected over 95 % of {words}"
    readings = [spot.thickness_mm for spot in spots]
    confidence = smallest_confidence(len(readings))
    smallest = (
        f"The smallest of {len(readings)} readings, {min(readings):g} mm, supports {100 * confidence:.0f} % confidence "
        "that 95 % of the plate is thicker, whatever the scatter."
    )
    is_skewed = _skew(readings) < criteria()["extremes-skew"].limit
    skewed = "The readings are skewed to the thin side, so a limit by mean and spread would be too hopeful."
    if is_skewed and confidence < CONFIDENCE:
        return Result(
            method="extremes.lowest_mm",
            what=what,
            value=None,
            unit="%",
            verdict="cannot say",
            used=used,
            place=place,
            caveats=(skewed, f"{smallest} {readings_needed()} readings would support 95 %."),
        )
    low_mm = min(readings) if is_skewed else max(0.0, lowest_mm(readings))
    value = diminution_pct(original_mm, low_mm)
    # The smallest is one reading, and as doubtful as one; a mean leaves what the readings share.
    gauge = spots[0].doubt
    doubt = 100 * (gauge.reading_mm if is_skewed else gauge.common_mm) / original_mm
    rest = "the rest may be thinner"
    if is_skewed:
        rest = f"that is the smallest reading itself, and {rest}"
    return Result(
        method="extremes.smallest_confidence" if is_skewed else "extremes.lowest_mm",
        what=what,
        value=value,
        unit="%",
        verdict=verdict_of(value, doubt, limit),
        used=used,
        uncertainty=doubt,
        criterion=limit,
        place=place,
        caveats=(
            f"With 95 % confidence 95 % of the plate is thicker than {low_mm:.2f} mm of {original_mm:g} mm; {rest}.",
            *((skewed,) if is_skewed else ()),
            smallest,
            "Supposes that the places were not picked for being thin, and leaves pits out.",
        ),
    )


def _too_few_read(sides: Sequence[Sequence[Spot]]) -> Iterator[Result]:
    if not sides:
        return
    counts: dict[str, list[str]] = defaultdict(list)
    for spots in sides:
        counts[_about(spots)[1]].append(str(len(spots)))
    listed = "; ".join(f"{words} {' and '.join(each)}" for words, each in counts.items())
    fewest = criteria()["extremes-readings"].limit
    yield Result(
        method="extremes.lowest_mm",
        what="greatest loss to be expected over 95 % of the plate where few readings were taken",
        value=None,
        unit="%",
        verdict="cannot say",
        used=tuple(dict.fromkeys(spot.entry for spots in sides for spot in spots)),
        caveats=(
            f"Fewer than {fewest:.0f} readings of one side, gauge and original thickness say too little of the plate "
            f"between them: {listed}.",
        ),
    )


def _skew(readings: Sequence[float]) -> float:
    """Skewness over its standard error in a normal sample; negative where the thin side has the longer tail."""
    count, mean = len(readings), fmean(readings)
    second = fmean((each - mean) ** 2 for each in readings)
    if second < 1e-12:
        return 0.0
    raw = fmean((each - mean) ** 3 for each in readings) / second**1.5
    return float(raw) / sqrt(6 * (count - 2) / ((count + 1) * (count + 3)))


def _to_renew(spots: Sequence[Spot], required_mm: float) -> Result:
    place, words, used = _about(spots)
    readings = [spot.thickness_mm for spot in spots]
    points = [point for spot in spots if (point := point_of(spot.place)) is not None]
    below = sum(each < required_mm for each in readings)
    what = f"plate below {required_mm:.2f} mm on {words}"
    extent = area_m2([between(points)]) if len(points) == len(spots) else 0.0
    if extent <= 0:
        return Result(
            method="extremes.area_to_renew_m2",
            what=what,
            value=None,
            unit="m²",
            verdict="cannot say",
            used=used,
            place=place,
            caveats=(
                f"{below} of {len(spots)} readings; their places do not enclose an area, so it is not known.",
            ),
        )
    area, low, high = area_to_renew_m2(readings, required_mm, extent)
    return Result(
        method="extremes.area_to_renew_m2",
        what=what,
        value=area,
        unit="m²",
        verdict="not comparable",
        used=used,
        uncertainty_why="An interval is given, since a share is not even about its middle.",
        place=place,
        caveats=(
            f"{below} of {len(spots)} readings over {extent:.2g} m², the outline of the places read: between "
            f"{low:.2g} and {high:.2g} m² with 95 % confidence, were they independent.",
            "What is cut out is settled by the yard and the naval architect, plate by plate.",
        ),
    )


def _about(spots: Sequence[Spot]) -> tuple[Place, str, tuple[str, ...]]:
    first = spots[0].place
    place = Place(part=first.part, side=first.side, number=first.number)
    words = zone_words((first.part, first.side, first.number))
    return place, words, tuple(dict.fromkeys(spot.entry for spot in spots))


# Pits


def _pitted(survey: Survey) -> tuple[tuple[PittedPanel, ...], ...]:
    found: dict[tuple[str, float | None], list[PittedPanel]] = defaultdict(list)
    for panel in pitted_panels(survey):
        if panel.place.station_m is not None:
            found[panel.place.part, panel.original_mm].append(panel)
    return tuple(tuple(each) for each in found.values())


def _too_few_pitted(parts: Sequence[Sequence[PittedPanel]]) -> Iterator[Result]:
    if not parts:
        return
    listed = "; ".join(f"{named(Place(part=pits[0].place.part))} {len(pits)} m" for pits in parts)
    fewest = criteria()["extremes-readings"].limit
    yield Result(
        method="extremes.deepest_mm",
        what="deepest pit to be expected where few were measured",
        value=None,
        unit="mm",
        verdict="cannot say",
        used=tuple(dict.fromkeys(each for pits in parts for panel in pits for each in panel.used)),
        caveats=(
            f"Fewer than {fewest:.0f} metres with pits say too little of the rest: {listed}.",
        ),
    )


def _deepest(survey: Survey, pits: Sequence[PittedPanel]) -> Result:
    part = named(Place(part=pits[0].place.part))
    what = f"deepest pit to be expected on {part}, both sides"
    used = tuple(dict.fromkeys(each for panel in pits for each in panel.used))
    deepest = [max(panel.depths_mm) for panel in pits]
    length_m = survey.boat.loa_m if survey.boat else None
    why = ""
    if length_m is None:
        why = "The length of the boat is not known, so the rest of the plate is not."
    elif min(deepest) == max(deepest):
        why = "The deepest pits are all alike, as if one of them had been noted for each."
    if why or length_m is None:
        return Result(
            method="extremes.deepest_mm",
            what=what,
            value=None,
            unit="mm",
            verdict="cannot say",
            used=used,
            place=Place(part=pits[0].place.part),
            caveats=(why,),
        )
    patches = max(len(pits), 2 * ceil(length_m))
    place_mm, spread_mm = deepest_law_mm(deepest)
    value = deepest_mm(place_mm, spread_mm, patches)
    original_mm = pits[0].original_mm
    share = f", {100 * value / original_mm:.0f} % of the plate" if original_mm else ""
    return Result(
        method="extremes.deepest_mm",
        what=what,
        value=value,
        unit="mm",
        verdict="not comparable",
        used=used,
        uncertainty=deepest_uncertainty_mm(spread_mm, len(pits), patches),
        place=Place(part=pits[0].place.part),
        caveats=(
            f"From the deepest pit of each of {len(pits)} metres to {patches} metres in all: with 95 % chance none "
            f"is deeper than {value:.1f} mm{share}.",
            "Metres without a pit were not counted, and one kind of attack is supposed throughout.",
        ),
    )

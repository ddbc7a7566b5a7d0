"""Films of paint: the mean and the thinnest of a coat against what was specified, and the film near a place.

A "film thickness" is the dry film at a place, µm; its `original` is what the coat's maker or its specification asks
for. The films of one part, side and specification are one coat.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from math import hypot, sqrt
from statistics import fmean, stdev

from garboard.catalogue.naming import located
from garboard.methods.bounds import not_below_zero
from garboard.methods.campaign import GAP, Sets, latest
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.instrument import uncertainty_of
from garboard.methods.measured import above_zero
from garboard.methods.result import Criterion, Result, verdict_of
from garboard.methods.zone import Zone, zone_of, zone_words
from garboard.notebook.body import Place
from garboard.notebook.fold import Survey

USUAL_UNCERTAINTY_UM = 5.0
"""Standard uncertainty of one reading of a film gauge tried on its shims, µm; a working figure."""

DEFER = "The paint's maker and the specification stand above it; thickness says nothing of how a coat holds."

_RULE = "the 80 and 20 per cent rule of ISO 19840 for steelwork"
# How far from a place a film still speaks of it.
_NEAR_M = 0.5
_METAL = ("steel", "aluminium")


@dataclass(frozen=True, slots=True, kw_only=True)
class Film:
    """One film read at a place, µm, with its standard uncertainty and what was specified, where that is known."""

    entry: str
    at: datetime
    place: Place
    film_um: float
    uncertainty_um: float
    specified_um: float | None


@method(
    name="Film against its specification",
    what_for="Whether a coat is as thick as it was meant to be, in the mean and at its thinnest.",
    symbols={
        "film_um": "dry film, the mean of a coat or one place, µm",
        "specified_um": "dry film asked for, µm",
        "result": "% of what was specified",
    },
    limits=(
        "Dry film of the whole system that was specified; later coats count in. Rough or blasted steel reads high "
        "unless the gauge was set on it. A magnetic or eddy-current gauge needs metal underneath."
    ),
    source="definition; readings by ISO 2808, from memory",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def specified_pct(film_um: float, specified_um: float) -> float:
    """Film over specification.

    Args:
        film_um: µm; 0 or more.
        specified_um: µm; above 0.

    Returns:
        Per cent.

    Raises:
        ValueError: An argument is out of its range.

    >>> specified_pct(240, 300)
    80.0
    """
    not_below_zero(film_um=film_um)
    above_zero(specified_um=specified_um)
    return 100 * film_um / specified_um


@method(
    name="Share of thin places",
    what_for="How many of the places read lie under what was specified.",
    symbols={
        "films_um": "dry films of one coat, µm",
        "specified_um": "dry film asked for, µm",
        "result": "% of the readings",
    },
    limits="Places picked for looking thin make it worse than the coat is.",
    source="definition",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def thin_share_pct(films_um: Sequence[float], specified_um: float) -> float:
    """Readings under the specification over all of them.

    Args:
        films_um: `(n,)` µm; one or more, 0 or more each.
        specified_um: µm; above 0.

    Returns:
        Per cent.

    Raises:
        ValueError: There is no reading, or an argument is out of its range.

    >>> thin_share_pct((290, 310, 300, 350), 300)
    25.0
    """
    above_zero(specified_um=specified_um)
    if not films_um or min(films_um) < 0:
        raise ValueError("A share needs one film or more, each of 0 µm or more.")
    return 100 * sum(each < specified_um for each in films_um) / len(films_um)


def films_of(survey: Survey, sets: Sets) -> tuple[Film, ...]:
    """The films of some sets, in the order they were read."""
    return tuple(
        Film(
            entry=entry.id,
            at=survey.done_at(entry),
            place=reading.place,
            film_um=reading.value,
            uncertainty_um=uncertainty_of(survey, entry.body.instrument, USUAL_UNCERTAINTY_UM),
            specified_um=float(reading.original) or None if reading.original else None,
        )
        for entry in sets
        for reading in entry.body.readings
    )


def near(found: Sequence[Film], place: Place, at: datetime) -> tuple[Film, ...]:
    """The films of one survey with a reading that lie within half a metre of its place.

    Of another part only where both have station and level, so that they lie on one skin; without stations only of
    the same words.
    """
    return tuple(each for each in found if abs(each.at - at) <= GAP and _is_near(each.place, place))


def mean_u_um(found: Sequence[Film]) -> float:
    """Standard uncertainty of the mean of some films: their scatter, and the gauge's, which all of them share."""
    scatter = stdev(each.film_um for each in found) if len(found) > 1 else 0.0
    return hypot(scatter / sqrt(len(found)), max(each.uncertainty_um for each in found))


def results(survey: Survey) -> tuple[Result, ...]:
    """For each coat its mean, its thinnest place and how many places are thin; without a specification its mean."""
    is_metal = survey.boat is not None and survey.boat.material in _METAL
    coats: dict[tuple[Zone, float | None], list[Film]] = defaultdict(list)
    for each in films_of(survey, latest(survey, "film thickness")):
        coats[zone_of(each.place), each.specified_um].append(each)
    return tuple(
        result
        for (zone, specified_um), coat in coats.items()
        for result in _of_coat(zone_words(zone), specified_um, coat, is_metal)
    )


def _is_near(one: Place, other: Place) -> bool:
    if one.side != other.side:
        return False
    is_one_part = (one.part, one.number) == (other.part, other.number)
    if one.station_m is None or other.station_m is None:
        return is_one_part and one.station_m == other.station_m and one.words == other.words != ""
    are_placed = one.level_m is not None and other.level_m is not None
    down = (one.level_m or 0.0) - (other.level_m or 0.0) if are_placed else 0.0
    return (is_one_part or are_placed) and hypot(one.station_m - other.station_m, down) <= _NEAR_M


def _of_coat(
    words: str, specified_um: float | None, coat: Sequence[Film], is_metal: bool
) -> Iterator[Result]:
    read_um = [each.film_um for each in coat]
    mean_um, doubt_um = fmean(read_um), mean_u_um(coat)
    thinnest = min(coat, key=lambda each: each.film_um)
    counted = f"{len(coat)} readings" if len(coat) > 1 else "One reading"
    said = f"{counted}, {min(read_um):g} to {max(read_um):g} µm, mean {mean_um:.0f} µm"
    base = () if is_metal else ("Off metal only an ultrasonic gauge tried on a known step reads a film.",)  # fmt: skip
    if specified_um is None:
        yield _result(
            coat,
            "coating.specified_pct",
            f"mean film on {words}",
            (mean_um, doubt_um, "µm"),
            None,
            (f"{said}; what was specified is not known, so nothing is judged.", *base, DEFER),
        )
        return
    said = f"{said}, of {specified_um:g} µm specified."
    low_um, low_u_um = thinnest.film_um, thinnest.uncertainty_um
    for what, about, value, doubt, limit in (
        (f"mean film on {words}", "specified_pct", specified_pct(mean_um, specified_um), 100 * doubt_um / specified_um, "coating-mean"),
        (f"thinnest film read on {located(thinnest.place)}", "specified_pct", specified_pct(low_um, specified_um), 100 * low_u_um / specified_um, "coating-least"),
        (f"places under the specified film on {words}", "thin_share_pct", thin_share_pct(read_um, specified_um), None, "coating-thin-share"),
    ):  # fmt: skip
        held = criteria()[limit]
        yield _result(
            coat,
            f"coating.{about}",
            what,
            (value, doubt, held.unit),
            held,
            (said, *base, f"By {_RULE}, from memory, which a yacht's paint need not follow.", DEFER),
        )  # fmt: skip


def _result(
    coat: Sequence[Film],
    about: str,
    what: str,
    found: tuple[float, float | None, str],
    limit: Criterion | None,
    caveats: tuple[str, ...],
) -> Result:
    value, doubt, unit = found
    first = coat[0].place
    return Result(
        method=about,
        what=what,
        value=value,
        unit=unit,
        verdict=verdict_of(value, doubt, limit) if limit else "not comparable",
        used=tuple(dict.fromkeys(each.entry for each in coat)),
        uncertainty=doubt,
        uncertainty_why="" if doubt else "A count of the places read.",
        criterion=limit,
        place=Place(part=first.part, side=first.side, number=first.number),
        caveats=caveats,
    )

"""Moisture of timber: a meter's reading corrected, what the air explains of it, and the threshold of decay.

A set of moisture readings in per cent on a wooden boat is read as wood: its `calibration` names the species the meter
was set to, its `mode` says pins or no pins. Drawn fastenings are diameters with the original beside them.
"""

from collections import defaultdict
from collections.abc import Sequence
from math import hypot

from garboard.catalogue.naming import named
from garboard.methods.campaign import latest
from garboard.methods.climate import conditions_for
from garboard.methods.comparison import share_interval
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.result import Result, verdict_of
from garboard.methods.zone import Zone, zone_of, zone_words
from garboard.notebook.body import Conditions, Place, Reading, ReadingSet
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

METER_U_PCT = 1.5
"""Standard uncertainty of a wood meter within its range, points of moisture; instruments' handbooks say 1 to 2."""

SPECIES_U_PCT = 3.0
"""Added where the species is not known; a working figure, wide on purpose."""

TEMPERATURE_U_PCT_PER_C = 0.05
"""By which two handbooks' rules of temperature differ, points a degree."""

DEFER = (
    "A low reading does not exclude decay, since decayed wood dries out: hammer and probe decide, with the owner's "
    "consent."
)

_WOODEN = frozenset(["carvel", "clinker", "strip", "cold-moulded", "plywood"])
_FASTENINGS = "plank-fastenings"


@method(
    name="Moisture that air explains",
    what_for="Is this timber wetter than the air about it makes it?",
    symbols={"air_c": "°C", "humidity_pct": "% relative humidity", "result": "% of the dry mass"},
    limits=(
        "The end state: a thick frame takes months. Within about two points, by species and history; not for timber "
        "immersed, salt-laden or treated with preservative."
    ),
    source=(
        "USDA Wood Handbook (2010), ch. 4, eq. 4-5 (Hailwood and Horrobin); page and names read in part, metric "
        "coefficients read where they are ascribed to Simpson 1998, FPL-RN-0268"
    ),
    standing="guidance",
    text="second hand",
)
def air_explains_pct(air_c: float, humidity_pct: float) -> float:
    """Equilibrium moisture content of wood in fresh air.

    Args:
        air_c: -1 to 70 °C.
        humidity_pct: 5 to 95 %.

    Returns:
        Per cent of the dry mass.

    Raises:
        ValueError: Temperature or humidity out of range.

    >>> round(air_explains_pct(20, 65), 2)
    12.0
    """
    if not -1 <= air_c <= 70 or not 5 <= humidity_pct <= 95:
        raise ValueError(
            "What air explains is known from -1 to 70 °C and 5 to 95 %; "
            f"{air_c:g} °C and {humidity_pct:g} % were given."
        )
    mass = 349 + 1.29 * air_c + 0.0135 * air_c**2
    k = 0.805 + 0.000736 * air_c - 2.73e-6 * air_c**2
    one = 6.27 - 0.00938 * air_c - 0.000303 * air_c**2
    two = 1.91 + 0.0407 * air_c - 0.000293 * air_c**2
    held = k * humidity_pct / 100
    bound = one * held + 2 * one * two * held**2
    return 1800 / mass * (held / (1 - held) + bound / (1 + one * held + one * two * held**2))


@method(
    name="Wood meter reading corrected",
    what_for="Take the temperature of the wood, and the species, out of a pin meter's reading.",
    symbols={
        "read_pct": "as read, %",
        "wood_c": "°C",
        "species_slope": "of the species, 1 where the meter is set to it",
        "species_offset_pct": "of the species, 0 where the meter is set to it, %",
        "result": "% of the dry mass",
    },
    limits=(
        "From about 7 % to fibre saturation, 25 to 30 %; above it a guide only. Salt, preservative, glue lines and "
        "paint with metal read high. Resistance by pins; capacitance follows density instead."
    ),
    source="combined form after Garrahan, as used with ASTM D4444",
    standing="common practice",
    text="memory",
    defer=DEFER,
)
def corrected_pct(
    read_pct: float, wood_c: float, species_slope: float = 1.0, species_offset_pct: float = 0.0
) -> float:
    """The reading at 20 °C and for the species.

    Args:
        read_pct: 0 or more.
        wood_c: -20 to 60 °C.
        species_slope: Above 0.
        species_offset_pct: Per cent.

    Returns:
        Per cent of the dry mass; not below 0.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(corrected_pct(15, 10), 2)
    16.11
    """
    if read_pct < 0 or not -20 <= wood_c <= 60 or species_slope <= 0:
        raise ValueError(
            "A correction needs a reading of 0 % or more, wood from -20 to 60 °C and a slope above 0; "
            f"{read_pct:g} %, {wood_c:g} °C and {species_slope:g} were given."
        )
    x = wood_c + 2.8
    at_20 = (read_pct + 0.567 - 0.0260 * x + 0.000051 * x**2) / (0.881 * 1.0056**x)
    return max(0.0, float(at_20 - species_offset_pct) / species_slope)


@method(
    name="Standard uncertainty of a corrected reading",
    what_for="How far a wood reading may be out.",
    symbols={
        "wood_c": "°C",
        "species_known": "whether the meter was set to the species",
        "result": "percentage points",
    },
    limits="Clean, untreated, fresh-water timber below fibre saturation.",
    source="meter 1.5 points, temperature 0.05 a degree from 20 °C, species 3 where not known; by root of squares",
    standing="working figure",
    text="read",
)
def corrected_uncertainty_pct(wood_c: float, species_known: bool) -> float:
    """Meter, temperature and species, by root of squares.

    Args:
        wood_c: °C.
        species_known: Whether the species is allowed for.

    Returns:
        Percentage points.

    >>> round(corrected_uncertainty_pct(20, False), 2)
    3.35
    """
    return hypot(
        METER_U_PCT,
        TEMPERATURE_U_PCT_PER_C * abs(wood_c - 20),
        0.0 if species_known else SPECIES_U_PCT,
    )


@method(
    name="Fastening left",
    what_for="How much of a drawn fastening still holds.",
    symbols={
        "original_mm": "shank when new, mm",
        "least_mm": "thinnest place of the shank, mm",
        "result": "% of the section",
    },
    limits="Round shanks. What the metal has become, brittle or spongy, is not in it.",
    source="definition: square of the ratio of diameters",
    standing="common practice",
    text="read",
    defer="Drawn by the yard, with the owner's consent, and made good.",
)
def fastening_left_pct(original_mm: float, least_mm: float) -> float:
    """Section left over section when new.

    Args:
        original_mm: Above 0.
        least_mm: 0 to the original.

    Returns:
        Per cent.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(fastening_left_pct(6.0, 4.8))
    64
    """
    if original_mm <= 0 or not 0 <= least_mm <= original_mm:
        raise ValueError(
            f"A shank lies from 0 to its original, which is above 0; {least_mm:g} of {original_mm:g} mm was given."
        )
    return 100 * (least_mm / original_mm) ** 2


def results(survey: Survey) -> tuple[Result, ...]:
    """For each timber its wettest reading against the threshold of decay; for drawn fastenings what is left."""
    return (
        *(result for entry in _wood_sets(survey) for result in _of_set(survey, entry)),
        *(result for entry in latest(survey, "diameter") for result in _of_fastenings(entry)),
    )


def _wood_sets(survey: Survey) -> tuple[Entry[ReadingSet], ...]:
    if survey.boat is None or survey.boat.material not in _WOODEN:
        return ()
    return tuple(
        each for each in latest(survey, "moisture") if each.body.unit == "%" and each.body.readings
    )


def _of_set(survey: Survey, entry: Entry[ReadingSet]) -> tuple[Result, ...]:
    conditions = conditions_for(survey, entry)
    seen = conditions.body if conditions else None
    used = (entry.id, *((conditions.id,) if conditions else ()))
    zones: dict[Zone, list[Reading]] = defaultdict(list)
    for reading in entry.body.readings:
        zones[zone_of(reading.place)].append(reading)
    wood_c = None if seen is None else seen.surface_c if seen.surface_c is not None else seen.air_c
    return tuple(
        _of_timber(entry.body, zone, readings, wood_c, seen, used)
        for zone, readings in zones.items()
    )


def _of_timber(
    read: ReadingSet,
    zone: Zone,
    readings: Sequence[Reading],
    wood_c: float | None,
    seen: Conditions | None,
    used: tuple[str, ...],
) -> Result:
    part, side, number = zone
    what = f"wettest place of {zone_words(zone)}"
    wettest = max(readings, key=lambda each: each.value)
    if wood_c is None or not -20 <= wood_c <= 60:
        return Result(
            method="wood.corrected_pct",
            what=what,
            value=None,
            unit="%",
            verdict="cannot say",
            used=used,
            place=Place(part=part, side=side, number=number),
            caveats=(
                f"Read as {wettest.value:g} %; the temperature of the wood was not recorded, so it is not corrected.",
            ),
        )
    value = corrected_pct(wettest.value, wood_c)
    doubt = corrected_uncertainty_pct(wood_c, bool(read.calibration))
    serious, decay = criteria()["wood-saturation"], criteria()["wood-decay"]
    limit = serious if value > serious.limit else decay
    return Result(
        method="wood.corrected_pct",
        what=what,
        value=value,
        unit="%",
        verdict=verdict_of(value, doubt, limit),
        used=used,
        uncertainty=doubt,
        criterion=limit,
        place=wettest.place,
        caveats=(
            f"{_highest_of(len(readings))}, {wettest.value:g} % as read, corrected from {wood_c:g} °C.",
            *(
                ()
                if read.calibration
                else ("The species the meter was set to was not noted as the calibration.",)
            ),
            *(
                ("Above fibre saturation a meter is a guide only.",)
                if value > serious.limit
                else ()
            ),
            *_of_air(value, seen),
            "Salt, preservative, glue lines and paint with metal read high: compare with a dry place of the same timber.",
            DEFER,
        ),
    )


def _highest_of(count: int) -> str:
    return f"The highest of {count} readings" if count > 1 else "One reading"


def _of_air(value: float, seen: Conditions | None) -> tuple[str, ...]:
    """What the air of the day explains of a reading."""
    if seen is None or seen.air_c is None or seen.humidity_pct is None:
        return ("Air and humidity were not recorded, so what they explain is not known.",)
    try:
        explained = air_explains_pct(seen.air_c, seen.humidity_pct)
    except ValueError:
        return ()
    over = value - explained
    said = (
        f"the reading exceeds it by {over:.0f}" if over > 2 else "the reading is no more than that"
    )
    return (f"Air like that of the day explains up to {explained:.0f} %; {said}.",)


# Fastenings


def _of_fastenings(entry: Entry[ReadingSet]) -> tuple[Result, ...]:
    drawn = [each for each in entry.body.readings if each.place.part == _FASTENINGS]
    if not drawn:
        return ()
    known = [each for each in drawn if each.original and float(each.original) >= each.value > 0]
    what = f"section left of the worst of {len(drawn)} drawn: {named(Place(part=_FASTENINGS))}"
    if not known:
        return (
            Result(
                method="wood.fastening_left_pct",
                what=what,
                value=None,
                unit="%",
                verdict="cannot say",
                used=(entry.id,),
                place=drawn[0].place,
                caveats=("The shanks' diameter when new was not given as the original.",),
            ),
        )
    left = {
        index: fastening_left_pct(float(each.original), each.value)
        for index, each in enumerate(known)
    }
    worst = min(left, key=lambda index: left[index])
    wasted = sum(value < 50 for value in left.values())
    _, most = share_interval(wasted, len(known))
    return (
        Result(
            method="wood.fastening_left_pct",
            what=what,
            value=left[worst],
            unit="%",
            verdict="not comparable",
            used=(entry.id,),
            uncertainty_why="A calliper on a wasted shank: a tenth of a millimetre in five is four points.",
            place=known[worst].place,
            caveats=(
                f"{wasted} of {len(known)} had lost more than half of their section; of all of them up to "
                f"{100 * most:.0f} % may have, with 95 % confidence.",
                "No limit is held for how many may be wasted; a few sound ones do not clear the rest.",
            ),
        ),
    )

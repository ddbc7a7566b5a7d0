"""Hardness of laminate and what a sample holds: cure by an indenter, glass by burning the resin off.

A set of hardness readings at one place is one piece; each reading's `original` is the resin maker's value for full
cure. The highest and the lowest reading are dropped, as the trade does.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from math import sqrt
from statistics import fmean, stdev

from garboard.catalogue.naming import capital
from garboard.methods.campaign import latest
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.result import Result, verdict_of
from garboard.methods.wastage import coverage_factor
from garboard.methods.zone import Zone, place_words, zone_of
from garboard.notebook.body import Reading, ReadingSet
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

GLASS_G_PER_CM3 = 2.56
RESIN_G_PER_CM3 = 1.2
"""Densities of E-glass and cured polyester, as laminate rules take them; from memory."""

TOOL_U = 1.5
"""Standard uncertainty between tools, in units of the scale: three units apart are usual; from memory."""

DEFER = "The resin maker's value for full cure stands above it; hardness says nothing of strength."


@method(
    name="Hardness of a piece",
    what_for="A steady figure from readings that strike glass and resin by turns.",
    symbols={"readings": "scale units", "result": "scale units"},
    limits=(
        "Ten to twelve readings a side at about 25 °C, tool square, checked on a hard and a soft disc; laminate of "
        "1.5 mm or more. Over glass it reads high, over a veil low, and a wax skin low."
    ),
    source="a resin maker's fabrication guide; standard ASTM D2583 or EN 59 from memory",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def piece_hardness(readings: Sequence[float]) -> float:
    """Mean without the highest and the lowest.

    Args:
        readings: `(n,)` scale units; three or more.

    Returns:
        Scale units.

    Raises:
        ValueError: Fewer than three readings.

    >>> piece_hardness((38, 42, 40, 44, 36, 41, 39, 43, 40, 37))
    40.0
    """
    if len(readings) < 3:
        raise ValueError(
            f"A piece needs three readings or more, since two are dropped; {len(readings)} were given."
        )
    return fmean(sorted(readings)[1:-1])


@method(
    name="Half-width of a mean hardness",
    what_for="What the mean of a few readings is worth.",
    symbols={"readings": "scale units", "result": "scale units, 95 % half-width"},
    limits="Normal scatter; difference between tools comes on top, about three units.",
    source="Student's t on all readings",
    standing="standard",
    text="read",
)
def half_width(readings: Sequence[float]) -> float:
    """Student's t times the standard deviation over the root of the number.

    Args:
        readings: `(n,)` scale units; two or more.

    Returns:
        Scale units.

    Raises:
        ValueError: Fewer than two readings.

    >>> round(half_width((38, 42, 40, 44, 36, 41, 39, 43, 40, 37)), 2)
    1.85
    """
    if len(readings) < 2:
        raise ValueError(f"A half-width needs two readings or more; {len(readings)} was given.")
    count = len(readings)
    return coverage_factor(0.975, count - 1) * stdev(readings) / sqrt(count)


@method(
    name="Cure against the maker's value",
    what_for="Whether a new laminate or a repair has cured.",
    symbols={
        "hardness": "of the piece, scale units",
        "full_cure": "the resin maker's value, same scale",
        "result": "%",
    },
    limits="The same scale and resin; gelcoat and laminate differ.",
    source="definition",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def cure_pct(hardness: float, full_cure: float) -> float:
    """Hardness over the maker's value.

    Args:
        hardness: 0 or more.
        full_cure: Above 0.

    Returns:
        Per cent.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(cure_pct(36, 40))
    90
    """
    if hardness < 0 or full_cure <= 0:
        raise ValueError(
            f"A cure needs a hardness of 0 or more and a full one above 0; {hardness:g} and {full_cure:g} were given."
        )
    return 100 * hardness / full_cure


@method(
    name="Glass content by burning off",
    what_for="How much of a laminate is glass, by mass.",
    symbols={
        "crucible_g": "g",
        "with_sample_g": "crucible and dry sample, g",
        "with_ash_g": "crucible and what is left, g",
        "result": "0 to 1",
    },
    limits=(
        "Gelcoat taken off: filler and pigment count as glass. Five samples or more; about 0.01 each, more between "
        "samples. A laboratory's test: a plug needs consent and a plan to make it good."
    ),
    source="ASTM D2584, ISO 1172",
    standing="standard",
    text="memory",
    defer="A laboratory does it; a naval architect says what it means.",
)
def glass_share(crucible_g: float, with_sample_g: float, with_ash_g: float) -> float:
    """Ash over sample.

    Args:
        crucible_g: 0 or more.
        with_sample_g: Above the crucible.
        with_ash_g: Between the two.

    Returns:
        By mass, 0 to 1.

    Raises:
        ValueError: The masses are not in that order.

    >>> round(glass_share(25.000, 29.600, 26.750), 4)
    0.3804
    """
    if not 0 <= crucible_g <= with_ash_g <= with_sample_g or crucible_g == with_sample_g:
        raise ValueError(
            "Crucible, crucible with ash and crucible with sample weigh more in that order; "
            f"{crucible_g:g}, {with_ash_g:g} and {with_sample_g:g} g were given."
        )
    return (with_ash_g - crucible_g) / (with_sample_g - crucible_g)


@method(
    name="Glass content by volume",
    what_for="The share of a laminate's volume that is glass.",
    symbols={
        "glass_by_mass": "0 to 1",
        "glass_g_per_cm3": "g/cm³",
        "resin_g_per_cm3": "g/cm³",
        "result": "0 to 1",
    },
    limits="No voids, no filler.",
    source="definition",
    standing="standard",
    text="read",
)
def glass_by_volume(
    glass_by_mass: float,
    glass_g_per_cm3: float = GLASS_G_PER_CM3,
    resin_g_per_cm3: float = RESIN_G_PER_CM3,
) -> float:
    """Volume of glass over volume of both.

    Args:
        glass_by_mass: 0 to 1.
        glass_g_per_cm3: Above 0.
        resin_g_per_cm3: Above 0.

    Returns:
        0 to 1.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(glass_by_volume(0.35), 3)
    0.202
    """
    _mixture(glass_by_mass, glass_g_per_cm3, resin_g_per_cm3)
    glass = glass_by_mass / glass_g_per_cm3
    return glass / (glass + (1 - glass_by_mass) / resin_g_per_cm3)


@method(
    name="Density of a laminate without voids",
    what_for="What a sample would weigh if it held no air.",
    symbols={
        "glass_by_mass": "0 to 1",
        "glass_g_per_cm3": "g/cm³",
        "resin_g_per_cm3": "g/cm³",
        "result": "g/cm³",
    },
    limits="No filler.",
    source="rule of mixtures",
    standing="standard",
    text="read",
)
def solid_g_per_cm3(
    glass_by_mass: float,
    glass_g_per_cm3: float = GLASS_G_PER_CM3,
    resin_g_per_cm3: float = RESIN_G_PER_CM3,
) -> float:
    """One over the sum of the volumes of a gram.

    Args:
        glass_by_mass: 0 to 1.
        glass_g_per_cm3: Above 0.
        resin_g_per_cm3: Above 0.

    Returns:
        g/cm³.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(solid_g_per_cm3(0.30), 3)
    1.428
    """
    _mixture(glass_by_mass, glass_g_per_cm3, resin_g_per_cm3)
    return 1 / (glass_by_mass / glass_g_per_cm3 + (1 - glass_by_mass) / resin_g_per_cm3)


@method(
    name="Voids in a laminate",
    what_for="How much of a sample is air.",
    symbols={"solid_g_per_cm3": "g/cm³", "found_g_per_cm3": "g/cm³", "result": "%"},
    limits="As good as the densities of glass and resin taken: one per cent of them is one per cent of voids.",
    source="definition",
    standing="standard",
    text="read",
)
def void_pct(solid_g_per_cm3: float, found_g_per_cm3: float) -> float:
    """What is missing from the density without voids.

    Args:
        solid_g_per_cm3: Above 0.
        found_g_per_cm3: Above 0.

    Returns:
        Per cent; negative where the densities taken do not fit the sample.

    Raises:
        ValueError: A density is not above zero.

    >>> round(void_pct(1.504, 1.45), 2)
    3.59
    """
    if solid_g_per_cm3 <= 0 or found_g_per_cm3 <= 0:
        raise ValueError(
            f"A density is above zero; {solid_g_per_cm3:g} and {found_g_per_cm3:g} g/cm³ were given."
        )
    return 100 * (solid_g_per_cm3 - found_g_per_cm3) / solid_g_per_cm3


def results(survey: Survey) -> tuple[Result, ...]:
    """For each piece its cure against the maker's value, or its hardness where that is not known."""
    return tuple(
        _of_piece(entry, readings)
        for entry in latest(survey, "hardness")
        for readings in _pieces(entry.body)
    )


def _pieces(read: ReadingSet) -> Iterator[tuple[Reading, ...]]:
    found: dict[tuple[Zone, str], list[Reading]] = defaultdict(list)
    for reading in read.readings:
        found[zone_of(reading.place), reading.place.words].append(reading)
    yield from (tuple(each) for each in found.values())


def _of_piece(entry: Entry[ReadingSet], readings: Sequence[Reading]) -> Result:
    place = readings[0].place
    values = [each.value for each in readings]
    full = {each.original for each in readings if each.original and float(each.original) > 0}
    fewest = criteria()["hardness-readings"]
    name = f"hardness of {place_words(place)}"
    why = ""
    if len(values) < 3:
        why = f"{len(values)} readings are too few for a mean without the highest and lowest; take ten or more."
    elif len(full) > 1:
        why = f"Two values of the maker's for one piece: {', '.join(sorted(full))}; give one resin its own."
    if why:
        return Result(
            method="hardness.piece_hardness",
            what=name,
            value=None,
            unit="scale units",
            verdict="cannot say",
            used=(entry.id,),
            place=place,
            caveats=(why,),
        )
    mean = piece_hardness(values)
    width = half_width(values)
    doubt = sqrt((width / 2) ** 2 + TOOL_U**2)
    caveats: tuple[str, ...] = (
        f"Mean of {len(values) - 2} of {len(values)} readings, {mean:.0f} with a half-width of {width:.1f}; tools "
        "differ by about three.",
        *((_sentence(fewest.say),) if len(values) < fewest.limit else ()),
        DEFER,
    )
    about, what, unit, limit = "hardness.piece_hardness", name, "scale units", "hardness-low"
    value = mean
    if full:
        maker = float(full.pop())
        about, what, limit = "hardness.cure_pct", f"cure by {name}", "hardness-cure"
        value, doubt, unit = cure_pct(mean, maker), 100 * doubt / maker, "% of the maker's value"
    else:
        caveats = ("The maker's value for full cure was not given as the original.", *caveats)
    return Result(
        method=about,
        what=what,
        value=value,
        unit=unit,
        verdict=verdict_of(value, doubt, criteria()[limit]),
        used=(entry.id,),
        uncertainty=doubt,
        criterion=criteria()[limit],
        place=place,
        caveats=caveats,
    )


def _mixture(glass_by_mass: float, glass_g_per_cm3: float, resin_g_per_cm3: float) -> None:
    if not 0 <= glass_by_mass <= 1 or glass_g_per_cm3 <= 0 or resin_g_per_cm3 <= 0:
        raise ValueError(
            "A laminate holds 0 to 1 of glass, and both densities are above zero; "
            f"{glass_by_mass:g}, {glass_g_per_cm3:g} and {resin_g_per_cm3:g} g/cm³ were given."
        )


def _sentence(words: str) -> str:
    return f"{capital(words)}."

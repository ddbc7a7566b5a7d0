"""How long a wet laminate would take to dry, as a range: diffusion through a plane sheet after Fick.

The range spans a factor of twenty at least, so it tells months from years from decades and never gives a date. It is
worked out where a set of moisture readings stands above the boat's own dry reference, for the thickness of laminate
measured on that boat, at the temperature of the air of the day.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, erf, exp, pi, sqrt
from statistics import median

from garboard.methods.climate import conditions_for
from garboard.methods.declaration import method
from garboard.methods.moisture import MoistureMap, moisture_maps
from garboard.methods.result import Result
from garboard.methods.zone import skin_words, zone_of
from garboard.notebook.body import Place
from garboard.notebook.fold import Survey

GAS_J_PER_MOL_K = 8.314462618
"""Molar gas constant; CODATA."""

FAST_M2_PER_S, USUAL_M2_PER_S, SLOW_M2_PER_S = 1e-12, 2e-13, 5e-14
"""Diffusivity of water in glass laminate at 20 °C; orders of magnitude from memory, chosen wide."""

EASY_KJ_PER_MOL, USUAL_KJ_PER_MOL, STIFF_KJ_PER_MOL = 25.0, 35.0, 50.0
"""Activation energy; from memory. A study of 2012 implies about 27 (abstract read)."""

HALF = 0.5
MOST = 0.9

DEFER = "A coating maker's drying and moisture limits stand above it; before treatment a sample decides."

_DAY_S = 86_400.0
_TERMS = 60
_BISECTIONS = 60
_SHORT = 0.005
_EARLY = 0.05
_CENTURY_D = 36_525.0
_WARMEST_C, _COLDEST_C = 60.0, 5.0


@method(
    name="Share dried",
    what_for="How much of the water that will leave has left.",
    symbols={"fourier": "diffusivity × time / thickness²", "result": "0 to 1"},
    limits=(
        "Both faces open; a sheet closed on one face counts double its thickness. Even wetness to begin with; no "
        "voids, cracks, wicking, blister fluid or barrier coat. It dries to the air's own equilibrium, not to zero."
    ),
    source="Crank, The Mathematics of Diffusion (1975), plane sheet",
    standing="common practice",
    text="memory",
)
def dried_share(fourier: float) -> float:
    """The series of a plane sheet; its form for short times where that is the better.

    Args:
        fourier: 0 or more.

    Returns:
        0 to 1.

    Raises:
        ValueError: The argument is negative.

    >>> round(dried_share(0.1), 5)
    0.69788
    """
    if fourier < 0:
        raise ValueError(f"A time is 0 or more; {fourier:g} was given.")
    if fourier < _SHORT:
        return 4 * sqrt(fourier / pi)
    odd = range(1, 2 * _TERMS, 2)
    return 1 - 8 / pi**2 * sum(exp(-((k * pi) ** 2) * fourier) / k**2 for k in odd)


@method(
    name="Time for a share",
    what_for="When a share of the water has left, in units of the sheet.",
    symbols={"share": "0 to below 1", "result": "diffusivity × time / thickness²"},
    limits="As for the share dried.",
    source="Crank, The Mathematics of Diffusion (1975), plane sheet, turned round",
    standing="common practice",
    text="memory",
)
def fourier_for(share: float) -> float:
    """The inverse of the share dried.

    Args:
        share: 0 to below 1.

    Returns:
        0 or more.

    Raises:
        ValueError: The share is out of its range.

    >>> round(fourier_for(0.9), 5)
    0.21202
    """
    if not 0 <= share < 1:
        raise ValueError(f"A share lies from 0 to below 1; {share:g} was given.")
    low, high = 0.0, 1.0
    while dried_share(high) < share:
        high *= 2
    for _ in range(_BISECTIONS):
        middle = (low + high) / 2
        low, high = (middle, high) if dried_share(middle) < share else (low, middle)
    return (low + high) / 2


@method(
    name="Diffusivity at a temperature",
    what_for="How much faster a warm laminate dries.",
    symbols={
        "at_20_m2_per_s": "at 20 °C, m²/s",
        "activation_kj_per_mol": "kJ/mol",
        "laminate_c": "°C",
        "result": "m²/s",
    },
    limits="5 to 60 °C, below the resin's softening. Vacuum and dried air are not in it.",
    source="Arrhenius' law",
    standing="common practice",
    text="read",
)
def diffusivity_m2_per_s(
    at_20_m2_per_s: float, activation_kj_per_mol: float, laminate_c: float
) -> float:
    """Diffusivity at 20 °C times the Arrhenius factor.

    Args:
        at_20_m2_per_s: m²/s; above 0.
        activation_kj_per_mol: kJ/mol; 0 or more.
        laminate_c: 5 to 60 °C.

    Returns:
        m²/s.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(diffusivity_m2_per_s(1.0, 35, 40), 2)
    2.5
    """
    if at_20_m2_per_s <= 0 or activation_kj_per_mol < 0:
        raise ValueError(
            "A diffusivity is above zero and an activation energy 0 or more; "
            f"{at_20_m2_per_s:g} m²/s and {activation_kj_per_mol:g} kJ/mol were given."
        )
    if not _COLDEST_C <= laminate_c <= _WARMEST_C:
        raise ValueError(
            f"Drying is worked out from {_COLDEST_C:g} to {_WARMEST_C:g} °C, not at {laminate_c:g}."
        )
    inverse = 1 / (laminate_c + 273.15) - 1 / 293.15
    return at_20_m2_per_s * exp(-activation_kj_per_mol * 1000 / GAS_J_PER_MOL_K * inverse)


@method(
    name="Drying time of a laminate",
    what_for="How long until a share of the water has left, for one diffusivity.",
    symbols={
        "thickness_mm": "of the laminate, mm",
        "share": "of the water that will leave, 0 to below 1",
        "diffusivity_m2_per_s": "m²/s",
        "open_faces": "1 where the other face is lined or painted, else 2",
        "result": "days",
    },
    limits="As for the share dried. Never printed alone: the diffusivity of a boat's laminate is not known.",
    source="Crank, The Mathematics of Diffusion (1975), plane sheet",
    standing="common practice",
    text="memory",
    defer=DEFER,
)
def drying_days(
    thickness_mm: float, share: float, diffusivity_m2_per_s: float, open_faces: int = 1
) -> float:
    """Time for a share, times thickness squared over diffusivity.

    Args:
        thickness_mm: mm; above 0.
        share: 0 to below 1.
        diffusivity_m2_per_s: m²/s; above 0.
        open_faces: 1 or 2.

    Returns:
        Days.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(drying_days(8, 0.5, 2e-13), 1)
    728.6
    """
    if thickness_mm <= 0 or diffusivity_m2_per_s <= 0 or open_faces not in (1, 2):
        raise ValueError(
            "A drying time needs a thickness and a diffusivity above zero and one or two open faces; "
            f"{thickness_mm:g} mm, {diffusivity_m2_per_s:g} m²/s and {open_faces} were given."
        )
    path_m = thickness_mm / 1000 * 2 / open_faces
    return fourier_for(share) * path_m**2 / diffusivity_m2_per_s / _DAY_S


@method(
    name="Range of drying times",
    what_for="Whether drying is a matter of months, years or decades.",
    symbols={
        "thickness_mm": "of the laminate, mm",
        "share": "of the water that will leave, 0 to below 1",
        "laminate_c": "°C",
        "open_faces": "1 or 2",
        "result": "days: shortest, middle, longest",
    },
    limits="The three are printed together, never one alone. Solid laminate without a barrier coat or blister fluid.",
    source=(
        "Fick's law with diffusivities of 1e-12, 2e-13 and 5e-14 m²/s at 20 °C and activation energies of 25 to 50 "
        "kJ/mol, chosen wide"
    ),
    standing="working figure",
    text="memory",
    defer=DEFER,
)
def drying_range_days(
    thickness_mm: float, share: float, laminate_c: float, open_faces: int = 1
) -> tuple[float, float, float]:
    """The drying time for the fastest, the usual and the slowest laminate.

    Args:
        thickness_mm: mm; above 0.
        share: 0 to below 1.
        laminate_c: 5 to 60 °C.
        open_faces: 1 or 2.

    Returns:
        Days: shortest, middle, longest.

    Raises:
        ValueError: An argument is out of its range.

    >>> [round(each) for each in drying_range_days(8, 0.5, 20)]
    [146, 729, 2915]
    """
    fast, usual, slow = _diffusivities(laminate_c)
    return (
        drying_days(thickness_mm, share, fast, open_faces),
        drying_days(thickness_mm, share, usual, open_faces),
        drying_days(thickness_mm, share, slow, open_faces),
    )


@method(
    name="Wetness at a depth",
    what_for="Why a week ashore dries the gelcoat and not the hull.",
    symbols={
        "depth_mm": "from the open face, mm",
        "thickness_mm": "of the laminate, mm",
        "days": "since it began to dry",
        "diffusivity_m2_per_s": "m²/s",
        "result": "share of the first wetness still there, 0 to 1",
    },
    limits="One face open, the other closed; as for the share dried.",
    source="Crank, The Mathematics of Diffusion (1975), plane sheet",
    standing="common practice",
    text="memory",
)
def wetness(
    depth_mm: float, thickness_mm: float, days: float, diffusivity_m2_per_s: float
) -> float:
    """The series for the profile of a sheet open on one face; its form for short times where that is the better.

    Args:
        depth_mm: 0 to the thickness, mm.
        thickness_mm: mm; above 0.
        days: Above 0.
        diffusivity_m2_per_s: m²/s; above 0.

    Returns:
        0 to 1.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(wetness(1, 10, 90, 2e-13), 3)
    0.429
    """
    if thickness_mm <= 0 or not 0 <= depth_mm <= thickness_mm:
        raise ValueError(
            f"A depth lies within a laminate above zero; {depth_mm:g} of {thickness_mm:g} mm was given."
        )
    if days <= 0 or diffusivity_m2_per_s <= 0:
        raise ValueError(
            f"Time and diffusivity are above zero; {days:g} days and {diffusivity_m2_per_s:g} m²/s were given."
        )
    fourier = diffusivity_m2_per_s * days * _DAY_S / (thickness_mm / 1000) ** 2
    along = depth_mm / thickness_mm
    if fourier < _EARLY:
        # The front from the open face, and its mirror image behind the closed one.
        reach = 2 * sqrt(fourier)
        return max(0.0, erf(along / reach) + erf((2 - along) / reach) - 1)
    roots = [(2 * k + 1) * pi / 2 for k in range(_TERMS)]
    return sum(
        (-1.0) ** k * 2 / root * cos(root * (1 - along)) * exp(-(root**2) * fourier)
        for k, root in enumerate(roots)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Drying:
    """How a laminate would dry: days to lose half and nine tenths, each shortest, middle, longest.

    `curve` is days against the share dried, for the fastest, the usual and the slowest laminate.
    """

    name: str
    thickness_mm: float
    laminate_c: float
    open_faces: int
    half_days: tuple[float, float, float]
    most_days: tuple[float, float, float]
    curve: tuple[tuple[float, tuple[float, float, float]], ...]
    used: tuple[str, ...]


def drying_of(
    name: str,
    thickness_mm: float,
    laminate_c: float,
    open_faces: int = 1,
    used: tuple[str, ...] = (),
) -> Drying:
    """The range of drying of one laminate, with its curve.

    Args:
        name: What dries, in words.
        thickness_mm: mm; above 0.
        laminate_c: 5 to 60 °C.
        open_faces: 1 or 2.
        used: Ids of the entries it rests on.

    Raises:
        ValueError: An argument is out of its range.
    """
    half = drying_range_days(thickness_mm, HALF, laminate_c, open_faces)
    most = drying_range_days(thickness_mm, MOST, laminate_c, open_faces)
    # From the first tenth of the fastest to nearly all of the slowest, even steps of the logarithm.
    first, last = half[0] / 30, most[2] * 2
    times = [first * (last / first) ** (each / 80) for each in range(81)]
    path_m = thickness_mm / 1000 * 2 / open_faces
    fast, usual, slow = _diffusivities(laminate_c)

    def share(diffusivity: float, days: float) -> float:
        return dried_share(diffusivity * days * _DAY_S / path_m**2)

    return Drying(
        name=name,
        thickness_mm=thickness_mm,
        laminate_c=laminate_c,
        open_faces=open_faces,
        half_days=half,
        most_days=most,
        curve=tuple(
            (days, (share(fast, days), share(usual, days), share(slow, days))) for days in times
        ),
        used=used,
    )


def in_words(days: float) -> str:
    """A time in the unit that suits what is known of it.

    >>> in_words(12), in_words(146), in_words(2914), in_words(90_000)
    ('12 days', '5 months', '8 years', 'over a century')
    """
    if days < 60:
        return "a day or less" if days < 1.5 else f"{days:.0f} days"
    if days > _CENTURY_D:
        return "over a century"
    months = days / 30.44
    return f"{months:.0f} months" if months < 24 else f"{days / 365.25:.0f} years"


def dryings(survey: Survey) -> tuple[Drying, ...]:
    """The drying of each set of moisture readings that stands above its dry reference, where it can be worked out."""
    return tuple(
        drying_of(skin_words(zone_of(_widest(wet))), thickness_mm, laminate_c, used=used)
        for wet in _wet(survey)
        if not _why_not(survey, wet)
        for thickness_mm, laminate_c, used in _given(survey, wet)
    )


def results(survey: Survey) -> tuple[Result, ...]:
    """For each set that stands above its dry reference: days to lose half of the water, shortest to longest."""
    return tuple(_result(survey, wet) for wet in _wet(survey))


def _diffusivities(laminate_c: float) -> tuple[float, float, float]:
    """Of the fastest, the usual and the slowest laminate at a temperature, m²/s."""
    ends = (EASY_KJ_PER_MOL, STIFF_KJ_PER_MOL)
    return (
        max(diffusivity_m2_per_s(FAST_M2_PER_S, each, laminate_c) for each in ends),
        diffusivity_m2_per_s(USUAL_M2_PER_S, USUAL_KJ_PER_MOL, laminate_c),
        min(diffusivity_m2_per_s(SLOW_M2_PER_S, each, laminate_c) for each in ends),
    )


def _wet(survey: Survey) -> tuple[MoistureMap, ...]:
    if survey.boat is None or survey.boat.material not in ("grp", "sandwich"):
        return ()
    return tuple(
        each
        for each in moisture_maps(survey)
        if each.verdict == "beyond" and any("deck" not in area.part for area in each.areas)
    )


def _widest(wet: MoistureMap) -> Place:
    """The zone of the largest raised area of a set."""
    area = max(wet.areas, key=lambda each: each.area_m2 or 0.0)
    return Place(part=area.part, side=area.side, number=area.number)


def _why_not(survey: Survey, wet: MoistureMap) -> str:
    boat = survey.boat
    if boat is not None and (boat.material == "sandwich" or boat.construction == "cored"):
        return "The hull has a core, which drying by diffusion through a solid laminate does not describe."
    if not _thicknesses(survey):
        return "The thickness of the laminate was not measured; read it by ultrasound at a cut edge or a known step."
    temperature = _temperature(survey, wet)
    if temperature is None:
        return "The temperature of the air was not recorded."
    if not _COLDEST_C <= temperature[0] <= _WARMEST_C:
        return f"At {temperature[0]:g} °C drying is not worked out; from {_COLDEST_C:g} to {_WARMEST_C:g} °C it is."
    return ""


def _thicknesses(survey: Survey) -> list[tuple[str, float]]:
    """Laminate thicknesses below the boot-top, mm, each with the id of its entry; of the whole hull where none are."""
    read = [
        (entry.id, reading.place.part, reading.value)
        for entry in survey.sets("thickness")
        for reading in entry.body.readings
        if reading.value > 0 and "deck" not in reading.place.part
    ]
    bottom = [(each, value) for each, part, value in read if "bottom" in part]
    return bottom or [(each, value) for each, _, value in read]


def _temperature(survey: Survey, wet: MoistureMap) -> tuple[float, str] | None:
    entry = next(each for each in survey.sets("moisture") if each.id == wet.entry)
    conditions = conditions_for(survey, entry)
    if conditions is None or conditions.body.air_c is None:
        return None
    return conditions.body.air_c, conditions.id


def _given(survey: Survey, wet: MoistureMap) -> Iterator[tuple[float, float, tuple[str, ...]]]:
    """Thickness, temperature and the entries they rest on."""
    thicknesses = _thicknesses(survey)
    temperature = _temperature(survey, wet)
    if thicknesses and temperature:
        used = dict.fromkeys((wet.entry, *(each for each, _ in thicknesses), temperature[1]))
        yield median(value for _, value in thicknesses), temperature[0], tuple(used)


def _result(survey: Survey, wet: MoistureMap) -> Result:
    place = _widest(wet)
    words = skin_words(zone_of(place))
    why = _why_not(survey, wet)
    if why:
        return Result(
            method="drying.drying_range_days",
            what=f"drying time, {words}",
            value=None,
            unit="days",
            verdict="cannot say",
            used=(wet.entry,),
            place=place,
            caveats=(why,),
        )
    (thickness_mm, laminate_c, used) = next(_given(survey, wet))
    found = drying_of(words, thickness_mm, laminate_c, used=used)
    short, usual, long = found.half_days
    most_short, _, most_long = found.most_days
    return Result(
        method="drying.drying_range_days",
        what=f"time until half the water has left, {words}: {in_words(short)} to {in_words(long)}, middle",
        value=usual,
        unit="days",
        verdict="not comparable",
        used=used,
        uncertainty_why="A range is given: the diffusivity of this laminate is known within a factor of twenty.",
        place=place,
        caveats=(
            f"Half in {in_words(short)} to {in_words(long)}, nine tenths in {in_words(most_short)} to "
            f"{in_words(most_long)}: {thickness_mm:g} mm of solid laminate, dry inside face closed, kept at "
            f"{laminate_c:g} °C. No date follows from it.",
            "Blister fluid, voids, cracks and a barrier coat are not in it, and a falling meter shows the surface first.",
            DEFER,
        ),
    )

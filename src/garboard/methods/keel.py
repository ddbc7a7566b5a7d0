"""Keel bolts: what they carry when the keel hangs level, what they have lost, and what a grounding does.

What the entries hold: "diameter" on `keel-bolt`, numbered, is that of the most wasted place seen, thread root
included, with that of a new bolt there as `original`; "length" on `keel-bolt` with the same number is the distance
of its centre from the edge that is pressed when the keel hangs level; "length" on `iron-keel` or `lead-keel` with
"gravity" named is how far the keel's centre of gravity lies below the joint; the keel's mass is the boat's ballast.
"gap" on `keel-joint` is what a feeler found.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import hypot, pi, sqrt

from garboard.boat.figures import GRAVITY_M_PER_S2
from garboard.boat.units import KNOT_M_PER_S
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.measured import (
    Measured,
    above_zero,
    gear_of,
    judged,
    measured,
    surely_passed,
    unlimited,
    unsaid,
)
from garboard.methods.result import Result
from garboard.methods.zone import place_words
from garboard.notebook.body import Boat, Place
from garboard.notebook.fold import Survey

CAUTION = (
    "Keep clear of a keel in slings or half off its blocks, and let no one loosen or torque a keel bolt without the "
    "builder's figure and the keel supported."
)
DEFER = "The builder's data, ISO 12215-9 and a naval architect; only a drawn bolt shows its whole length."

# Standard uncertainties where no instrument states one, working figures.
_SIZE_MM = 0.1
_LENGTH_M = 0.005
_GAP_MM = 0.05
_MASS_RATIO = 0.05


@method(
    name="Moment of a keel held level",
    what_for="What the keel joint carries with the boat on her side.",
    symbols={
        "keel_kg": "kg",
        "gravity_below_m": "centre of gravity below the joint, m",
        "result": "N m",
    },
    limits="The weight alone, hanging level; nothing of waves, grounding or fatigue.",
    source="statics",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def keel_moment_nm(keel_kg: float, gravity_below_m: float) -> float:
    """Weight times its lever.

    Args:
        keel_kg: Above 0.
        gravity_below_m: Above 0.

    Returns:
        N m.

    Raises:
        ValueError: An argument is not above zero.

    >>> round(keel_moment_nm(2000, 0.75))
    14710
    """
    above_zero(keel_kg=keel_kg, gravity_below_m=gravity_below_m)
    return keel_kg * GRAVITY_M_PER_S2 * gravity_below_m


@method(
    name="Equal loads of keel bolts",
    what_for="The load of each bolt if all carry alike, the kinder of two assumptions.",
    symbols={
        "moment_nm": "N m",
        "arms_m": "of each bolt to the pressed edge, m",
        "result": "N, each",
    },
    limits=(
        "Stiff flange turning on its pressed edge; no preload, prying or fatigue; not for canting or lifting keels. "
        "10 mm in the arms decides on a narrow flange: look at both shares."
    ),
    source="statics",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def equal_load_n(moment_nm: float, arms_m: Sequence[float]) -> float:
    """Moment over the sum of the arms.

    Args:
        moment_nm: 0 or more.
        arms_m: `(n,)` m; one or more, above 0 each.

    Returns:
        N.

    Raises:
        ValueError: The moment is negative, there is no bolt, or an arm is not above zero.

    >>> round(equal_load_n(14710, (0.20, 0.04) * 4) / 1000, 2)
    15.32
    """
    _carried(moment_nm, arms_m)
    return moment_nm / sum(arms_m)


@method(
    name="Loads of keel bolts by distance",
    what_for="The load of each bolt if it stretches as far as it lies from the edge, the harder of two assumptions.",
    symbols={
        "moment_nm": "N m",
        "arms_m": "of each bolt to the pressed edge, m",
        "result": "N, of each bolt in turn",
    },
    limits="As for the equal loads: a rigid keel and a rigid hull, the bolts alone carrying.",
    source="statics",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def loads_by_arm_n(moment_nm: float, arms_m: Sequence[float]) -> tuple[float, ...]:
    """Moment shared in proportion to the arms.

    Args:
        moment_nm: 0 or more.
        arms_m: `(n,)` m; one or more, above 0 each.

    Returns:
        `(n,)` N.

    Raises:
        ValueError: The moment is negative, there is no bolt, or an arm is not above zero.

    >>> round(max(loads_by_arm_n(14710, (0.20, 0.04) * 4)) / 1000, 2)
    17.68
    """
    _carried(moment_nm, arms_m)
    squares = sum(each**2 for each in arms_m)
    return tuple(moment_nm * each / squares for each in arms_m)


@method(
    name="Stress of a bolt",
    what_for="Load over what is left of the bolt.",
    symbols={
        "load_n": "N",
        "section_mm2": "of the thread's root or the waste, mm²",
        "result": "MPa",
    },
    limits="Pull alone. Crevice corrosion and cracks beneath the nut are not seen.",
    source="definition",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def stress_mpa(load_n: float, section_mm2: float) -> float:
    """Load over section.

    Args:
        load_n: 0 or more.
        section_mm2: Above 0.

    Returns:
        MPa.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(stress_mpa(17680, 245), 1)
    72.2
    """
    above_zero(section_mm2=section_mm2)
    if load_n < 0:
        raise ValueError(f"A load is 0 N or more; {load_n:g} was given.")
    return load_n / section_mm2


@method(
    name="Class diameter of keel bolts",
    what_for="The diameter a guide for racing yachts would ask of each bolt.",
    symbols={
        "keel_kg": "kg",
        "gravity_below_m": "m",
        "yield_mpa": "MPa",
        "arms_m": "m",
        "result": "mm, at least 12.7",
    },
    limits="Equal shares with a factor of 2 on yield, which is what its 2.55 (8 over pi) comes to.",
    source="form of the ABS Guide for Building and Classing Offshore Racing Yachts, 1986 to 1994",
    standing="class rule",
    text="memory",
    defer=DEFER,
)
def class_bolt_mm(
    keel_kg: float, gravity_below_m: float, yield_mpa: float, arms_m: Sequence[float]
) -> float:
    """The root of eight over pi times the equal load over yield.

    Args:
        keel_kg: Above 0.
        gravity_below_m: Above 0.
        yield_mpa: Above 0.
        arms_m: `(n,)` m; one or more, above 0 each.

    Returns:
        mm.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(class_bolt_mm(2000, 0.75, 205, (0.20, 0.04) * 4), 1)
    13.8
    """
    above_zero(yield_mpa=yield_mpa)
    load_n = equal_load_n(keel_moment_nm(keel_kg, gravity_below_m), arms_m)
    return max(12.7, sqrt(8 / pi * load_n / yield_mpa))


@method(
    name="Loss of a keel bolt",
    what_for="How much of a bolt's diameter is gone.",
    symbols={"original_mm": "mm", "found_mm": "least seen, mm", "result": "% of the diameter"},
    limits="At the places seen: bolts waste at the joint, which no one sees before they are drawn.",
    source="definition",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def diameter_loss_pct(original_mm: float, found_mm: float) -> float:
    """Missing diameter over the original.

    Args:
        original_mm: Above 0.
        found_mm: 0 or more.

    Returns:
        Per cent; negative where the bolt reads thicker.

    Raises:
        ValueError: An argument is out of its range.

    >>> diameter_loss_pct(20, 16)
    20.0
    """
    above_zero(original_mm=original_mm)
    if found_mm < 0:
        raise ValueError(f"A diameter is 0 mm or more; {found_mm:g} was given.")
    return 100 * (original_mm - found_mm) / original_mm


@method(
    name="Section left of a bolt",
    what_for="What a loss of diameter means for strength.",
    symbols={"loss_pct": "% of the diameter", "result": "ratio of the section"},
    limits="Wasted evenly all round.",
    source="geometry",
    standing="common practice",
    text="read",
)
def section_left_ratio(loss_pct: float) -> float:
    """The square of the diameter left.

    Args:
        loss_pct: 0 to 100.

    Returns:
        Ratio, 0 to 1.

    Raises:
        ValueError: The loss is out of its range.

    >>> round(section_left_ratio(20), 2)
    0.64
    """
    if not 0 <= loss_pct <= 100:
        raise ValueError(f"A loss is 0 to 100 %; {loss_pct:g} was given.")
    return (1 - loss_pct / 100) ** 2


@method(
    name="Torque for a preload",
    what_for="To see whether a torque that somebody names is plausible.",
    symbols={
        "preload_n": "N",
        "diameter_mm": "mm",
        "k": "0.2 dry, 0.15 greased",
        "result": "N m",
    },
    limits="Good to 25 or 30 %. No bolt is tightened on it: old bolts wait for the builder's figure.",
    source="the usual formula of torque and preload",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def torque_nm(preload_n: float, diameter_mm: float, k: float = 0.2) -> float:
    """Coefficient times preload times diameter.

    Args:
        preload_n: 0 or more.
        diameter_mm: Above 0.
        k: Above 0.

    Returns:
        N m.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(torque_nm(110250 / 2, 20))
    220
    """
    above_zero(diameter_mm=diameter_mm, k=k)
    if preload_n < 0:
        raise ValueError(f"A preload is 0 N or more; {preload_n:g} was given.")
    return k * preload_n * diameter_mm / 1000


@method(
    name="Force of a grounding",
    what_for="A range for what a keel took when the boat stopped.",
    symbols={
        "displacement_kg": "kg",
        "speed_kn": "kn",
        "stopped_in_m": "way in which she stopped, m",
        "result": "N at the keel's tip",
    },
    limits="The way is a guess: give a range. Even slowing; the first blow is harder.",
    source="energy of motion over the way",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def grounding_force_n(displacement_kg: float, speed_kn: float, stopped_in_m: float) -> float:
    """Energy over the way.

    Args:
        displacement_kg: Above 0.
        speed_kn: 0 or more.
        stopped_in_m: Above 0.

    Returns:
        N.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(grounding_force_n(6000, 6, 0.3) / 1000, 1)
    95.3
    """
    above_zero(displacement_kg=displacement_kg, stopped_in_m=stopped_in_m)
    if speed_kn < 0:
        raise ValueError(f"A speed is 0 kn or more; {speed_kn:g} was given.")
    return displacement_kg * (speed_kn * KNOT_M_PER_S) ** 2 / (2 * stopped_in_m)


@method(
    name="Couple at the root of the keel",
    what_for="How hard a grounding pulled the fore end of the root down and pressed its after end up.",
    symbols={
        "force_n": "at the tip, N",
        "height_m": "tip below the root, m",
        "chord_m": "length of the root, m",
        "result": "N",
    },
    limits="Fore end pulled, after end pressed: look for the damage at the after end, inside.",
    source="statics",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def root_couple_n(force_n: float, height_m: float, chord_m: float) -> float:
    """Force times height over the root.

    Args:
        force_n: 0 or more.
        height_m: Above 0.
        chord_m: Above 0.

    Returns:
        N.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(root_couple_n(95270, 1.2, 1.5) / 1000, 1)
    76.2
    """
    above_zero(height_m=height_m, chord_m=chord_m)
    if force_n < 0:
        raise ValueError(f"A force is 0 N or more; {force_n:g} was given.")
    return force_n * height_m / chord_m


@method(
    name="Widest gap of the joint",
    what_for="How far the joint of keel and hull has opened, to compare with the weight on and off.",
    symbols={"gaps_mm": "by feeler along the joint, mm", "result": "mm"},
    limits="Filler may hide it, and a blade that does not enter is no proof. Its growth counts, not its size.",
    source="definition",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def widest_gap_mm(gaps_mm: Sequence[float]) -> float:
    """The greatest gap.

    Args:
        gaps_mm: `(n,)` mm; one or more, 0 or more each.

    Returns:
        mm.

    Raises:
        ValueError: There is no gap, or one is negative.

    >>> widest_gap_mm((3.0, 1.3, 0.0))
    3.0
    """
    if not gaps_mm or min(gaps_mm) < 0:
        raise ValueError(f"A joint needs gaps of 0 mm or more; {tuple(gaps_mm)} were given.")
    return max(gaps_mm)


# Of a survey


@dataclass(frozen=True, slots=True, kw_only=True)
class Bolt:
    """A keel bolt: its distance from the pressed edge, m, what it carries with the keel hanging level, N.

    The load is in proportion to the distance. `left_ratio` is of its section, None where the new size was not noted.
    """

    place: Place
    station_m: float | None
    arm_m: float
    load_n: float
    left_ratio: float | None
    used: tuple[str, ...]


def bolts(survey: Survey) -> tuple[Bolt, ...]:
    """The bolts of the joint with their loads; none where the loads cannot be told."""
    sizes = _sizes(survey)
    arms, levers, keel_kg = _arms(survey), _levers(survey), _keel_kg(survey)
    if not arms or not keel_kg or _why_not(keel_kg, levers, arms, _unread(arms, sizes)):
        return ()
    moment = keel_moment_nm(keel_kg, levers[-1].value)
    return tuple(
        Bolt(
            place=gear_of(arm.place),
            station_m=size.place.station_m if arm.place.station_m is None else arm.place.station_m,
            arm_m=arm.value,
            load_n=load,
            left_ratio=_left(size) if size.original else None,
            used=tuple(dict.fromkeys((arm.entry, size.entry, levers[-1].entry))),
        )
        for arm, load in zip(
            arms, loads_by_arm_n(moment, [each.value for each in arms]), strict=True
        )
        for size in (sizes[gear_of(arm.place)],)
    )


def results(survey: Survey) -> tuple[Result, ...]:
    """Loss and stress of the bolts and the gap of the joint, as far as readings were taken of them."""
    return (*_of_loss(survey), *_of_stress(survey), *_of_joint(survey))


def _of_loss(survey: Survey) -> Iterator[Result]:
    for each in measured(survey, "diameter", "keel-bolt", uncertainty=_SIZE_MM):
        what = f"loss of {place_words(each.place)}"
        if not each.original:
            why = "The diameter of the new bolt was not noted."
            yield unsaid("keel.diameter_loss_pct", what, "% of the diameter", [each], why, CAUTION)
            continue
        loss = diameter_loss_pct(each.original, each.value)
        left = _left(each)
        said = [
            f"{each.value:g} mm of {each.original:g} mm: {100 * left:.0f} % of the section is left where it was seen.",
            "Bolts waste at the joint, out of sight: only a drawn bolt shows it.",
            CAUTION,
        ]
        doubt = 100 * each.uncertainty / each.original
        limits = (criteria()["keel-bolt-loss"], criteria()["keel-bolt-stop"])
        limit = surely_passed(loss, doubt, *limits)
        yield judged("keel.diameter_loss_pct", what, loss, doubt, limit, [each], said)


def _of_stress(survey: Survey) -> Iterator[Result]:
    arms = _arms(survey)
    if not arms:
        return
    limit = criteria()["keel-bolt-stress"]
    levers, keel_kg, sizes = _levers(survey), _keel_kg(survey), _sizes(survey)
    why = _why_not(keel_kg, levers, arms, _unread(arms, sizes))
    if why or not keel_kg:
        yield unsaid("keel.stress_mpa", "stress of the keel bolts", limit.unit, arms, why, CAUTION)
        return
    moment = keel_moment_nm(keel_kg, levers[-1].value)
    values = [each.value for each in arms]
    equal = equal_load_n(moment, values)
    for arm, load in zip(arms, loads_by_arm_n(moment, values), strict=True):
        yield _stressed(arm, sizes, (equal, load), levers[-1])


def _arms(survey: Survey) -> tuple[Measured, ...]:
    return measured(survey, "length", "keel-bolt", uncertainty=_LENGTH_M)


def _levers(survey: Survey) -> tuple[Measured, ...]:
    read = measured(survey, "length", "iron-keel", "lead-keel", uncertainty=_LENGTH_M)
    return tuple(each for each in read if "gravity" in each.named)


def _keel_kg(survey: Survey) -> float | None:
    boats = survey.of(Boat)
    return boats[-1].body.ballast_kg if boats else None


def _sizes(survey: Survey) -> Mapping[Place, Measured]:
    read = measured(survey, "diameter", "keel-bolt", uncertainty=_SIZE_MM)
    return {gear_of(each.place): each for each in read if each.value > 0}


def _unread(arms: Sequence[Measured], sizes: Mapping[Place, Measured]) -> list[Measured]:
    return [each for each in arms if gear_of(each.place) not in sizes]


def _left(size: Measured) -> float:
    """What is left of a bolt's section, where its new size is known."""
    return section_left_ratio(max(0.0, diameter_loss_pct(size.original or size.value, size.value)))


def _stressed(
    arm: Measured,
    bolts: Mapping[Place, Measured],
    loads: tuple[float, float],
    lever: Measured,
) -> Result:
    bolt = bolts[gear_of(arm.place)]
    section = pi * bolt.value**2 / 4
    equal, stress = (stress_mpa(load, section) for load in loads)
    doubt = stress * hypot(
        _MASS_RATIO,
        lever.uncertainty / lever.value,
        arm.uncertainty / arm.value,
        2 * bolt.uncertainty / bolt.value,
    )
    said = [
        f"{stress:.0f} MPa with the load in proportion to the distance, {equal:.0f} MPa with equal shares; keel "
        "held level, weight alone.",
        "The mass of the keel is taken as the ballast stated.",
        f"Limit and metal are to be taken from the certificate. {DEFER}",
        CAUTION,
    ]
    return judged(
        "keel.stress_mpa",
        f"stress of {place_words(bolt.place)}",
        stress,
        doubt,
        criteria()["keel-bolt-stress"],
        [bolt, arm, lever],
        said,
    )


def _why_not(
    keel_kg: float | None,
    levers: Sequence[Measured],
    arms: Sequence[Measured],
    unread: Sequence[Measured],
) -> str:
    """Why the bolts' stress cannot be told; empty where it can."""
    if not keel_kg:
        return "The boat's ballast is not stated."
    if not levers or not levers[-1].value:
        return "How far the keel's centre of gravity lies below the joint was not read."
    if unread:
        numbers = ", ".join(place_words(each.place) for each in unread)
        return f"The diameter was not read of {numbers}."
    if min(each.value for each in arms) <= 0:
        return "A bolt was noted on the pressed edge itself, where it carries nothing."
    return ""


def _of_joint(survey: Survey) -> Iterator[Result]:
    gaps = measured(survey, "gap", "keel-joint", uncertainty=_GAP_MM)
    if not gaps:
        return
    widest = max(gaps, key=lambda each: each.value)
    is_open = sum(each.value > 0 for each in gaps)
    at = "" if widest.place.station_m is None else f" at {widest.place.station_m:.2f} m"
    yield unlimited(
        "keel.widest_gap_mm",
        "widest gap of the keel joint",
        widest_gap_mm([each.value for each in gaps]),
        "mm",
        widest.uncertainty,
        [widest, *gaps],
        [
            f"No limit is published for it. Open at {is_open} of {len(gaps)} places, widest{at}.",
            "A joint that opens or weeps is the first sign of bolts or floors giving way: measure it again with the "
            "weight on and off, and have bolts drawn or radiographed.",
            CAUTION,
        ],
    )


def _carried(moment_nm: float, arms_m: Sequence[float]) -> None:
    if moment_nm < 0:
        raise ValueError(f"A moment is 0 N m or more; {moment_nm:g} was given.")
    if not arms_m or min(arms_m) <= 0:
        raise ValueError(
            f"Bolts that carry have arms above zero; {tuple(arms_m)} were given, in metres."
        )

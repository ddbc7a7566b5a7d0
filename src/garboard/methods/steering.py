"""Rudder and steering: play in the bearings, balance of the blade, its force, and the stock that carries it.

What the entries hold, side or number telling several rudders apart: "play" on `rudder-stock` is the clearance of a
bearing on the diameter, on `rudder-hangings` that of a pintle in its gudgeon, whose pin's "diameter" is read on the
same part; "angle" on `rudder-stops-and-tube` is how far the rudder swings, one reading for each side; "area" on
`rudder-blade` is the whole blade's, and the part ahead of the stock where "ahead" is named. Play of a blade's edge and
of the wheel has no limit of its own, and is answered so. The stock is not judged from a survey: blade, speed and
material have to be put together by hand, with the methods here.
"""

from collections.abc import Iterator, Sequence
from math import hypot, pi, sqrt

from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.measured import (
    Measured,
    above_zero,
    belonging,
    gear_of,
    judged,
    measured,
    unlimited,
    unsaid,
)
from garboard.methods.result import Result
from garboard.methods.zone import place_words
from garboard.notebook.body import Place
from garboard.notebook.fold import Survey

CAUTION = "Keep hands out of the gap between blade and hull, and out of quadrant and stops, while a rudder swings."
DEFER = "ISO 12215-8 and the builder's drawing; a naval architect decides on a stock."

# Standard uncertainties where no instrument states one, working figures.
_PLAY_MM = 0.1
_SIZE_MM = 0.1
_ANGLE_DEG = 1.0
_AREA_CM2 = 50.0


# Play


@method(
    name="Play at the tip of a rudder",
    what_for="How far a blade's tip moves for the clearance of its two bearings, to tell that from a loose blade.",
    symbols={
        "upper_mm": "clearance of the upper bearing on the diameter, mm",
        "lower_mm": "of the lower, mm",
        "between_m": "from bearing to bearing, m",
        "below_m": "from the lower bearing to the tip, m",
        "result": "mm, from side to side",
    },
    limits="Stiff stock and blade: what moves more than this bends, twists or is loose on its stock.",
    source="geometry of a lever in two bearings",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def tip_play_mm(upper_mm: float, lower_mm: float, between_m: float, below_m: float) -> float:
    """The lower clearance, and the tilt that both allow.

    Args:
        upper_mm: 0 or more.
        lower_mm: 0 or more.
        between_m: Above 0.
        below_m: 0 or more.

    Returns:
        mm.

    Raises:
        ValueError: An argument is out of its range.

    >>> tip_play_mm(1.0, 1.0, 0.6, 1.2)
    5.0
    """
    above_zero(between_m=between_m)
    if min(upper_mm, lower_mm, below_m) < 0:
        raise ValueError(
            "Clearances and the length below are 0 or more; "
            f"{upper_mm:g} mm, {lower_mm:g} mm and {below_m:g} m were given."
        )
    return lower_mm + (lower_mm + upper_mm) * below_m / between_m


@method(
    name="Play of a bush",
    what_for="The clearance of a stock in its bush, by the greatest of several readings.",
    symbols={"readings_mm": "on the diameter, mm", "result": "mm"},
    limits=(
        "Plain bushes. Needle, ball and self-aligning bearings are due at any knock; a synthetic bush swells in water "
        "and may be fitted with 1.5 mm and more."
    ),
    source="definition",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def play_mm(readings_mm: Sequence[float]) -> float:
    """The greatest reading.

    Args:
        readings_mm: `(n,)` mm; one or more, 0 or more each.

    Returns:
        mm.

    Raises:
        ValueError: There is no reading, or one is negative.

    >>> play_mm((0.4, 0.6))
    0.6
    """
    if not readings_mm or min(readings_mm) < 0:
        raise ValueError(f"Play needs readings of 0 mm or more; {tuple(readings_mm)} were given.")
    return max(readings_mm)


@method(
    name="Wear of a pintle",
    what_for="The play of a pin in its eye in terms of the pin.",
    symbols={"play_mm": "mm", "pin_mm": "diameter of the pin, mm", "result": "% of the pin"},
    limits="Each pair by itself; the rudder must be kept from lifting off.",
    source="definition",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def pin_wear_pct(play_mm: float, pin_mm: float) -> float:
    """Play over the pin.

    Args:
        play_mm: 0 or more.
        pin_mm: Above 0.

    Returns:
        Per cent.

    Raises:
        ValueError: An argument is out of its range.

    >>> pin_wear_pct(1.5, 20)
    7.5
    """
    above_zero(pin_mm=pin_mm)
    if play_mm < 0:
        raise ValueError(f"Play is 0 mm or more; {play_mm:g} was given.")
    return 100 * play_mm / pin_mm


@method(
    name="Clearance of a new metal bush",
    what_for="What a rudder's metal bush is built with, to see how much of its play is wear.",
    symbols={"stock_mm": "diameter of the stock, mm", "result": "mm on the diameter, at least"},
    limits="As built, of metal; written for high-speed light craft.",
    source="a class rule for high-speed light craft, on a public rule page",
    standing="class rule",
    text="read",
    defer=DEFER,
)
def bush_mm(stock_mm: float) -> float:
    """A thousandth of the stock and a millimetre.

    Args:
        stock_mm: Above 0.

    Returns:
        mm.

    Raises:
        ValueError: The diameter is not above zero.

    >>> bush_mm(40)
    1.04
    """
    above_zero(stock_mm=stock_mm)
    return stock_mm / 1000 + 1.0


@method(
    name="Stop angle",
    what_for="How far the rudder swings before its stop.",
    symbols={"readings_deg": "to one side, °", "result": "°"},
    limits="From the centreline, unloaded; the stop must meet before quadrant, ram or drive end.",
    source="definition",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def stop_angle_deg(readings_deg: Sequence[float]) -> float:
    """The greatest reading, without sign.

    Args:
        readings_deg: `(n,)` °; one or more.

    Returns:
        Degrees, 0 or more.

    Raises:
        ValueError: There is no reading.

    >>> stop_angle_deg((-36, 35))
    36
    """
    if not readings_deg:
        raise ValueError("A stop angle needs one reading or more; none was given.")
    return max(abs(each) for each in readings_deg)


# The blade


@method(
    name="Balance of a rudder",
    what_for="The share of the blade that helps to turn it.",
    symbols={"ahead_m2": "ahead of the stock's axis", "area_m2": "whole blade", "result": "ratio"},
    limits="Usually 0 hung, 0.10 to 0.15 half skeg, 0.15 to 0.20 spade; over about 0.25 it runs away.",
    source="definition",
    standing="common practice",
    text="read",
)
def balance_ratio(ahead_m2: float, area_m2: float) -> float:
    """Area ahead over the whole; any unit that both share.

    Args:
        ahead_m2: 0 to the whole.
        area_m2: Above 0.

    Returns:
        Ratio, 0 to 1.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(balance_ratio(0.09, 0.45), 3)
    0.2
    """
    above_zero(area_m2=area_m2)
    if not 0 <= ahead_m2 <= area_m2:
        raise ValueError(
            f"The area ahead is a part of the whole; {ahead_m2:g} of {area_m2:g} is not."
        )
    return ahead_m2 / area_m2


@method(
    name="Force on a rudder",
    what_for="A screening load for the blade and its stock.",
    symbols={
        "area_m2": "m²",
        "aspect": "height squared over area",
        "speed_kn": "greatest at sea, surfing included, kn",
        "in_race": "in the propeller's race",
        "result": "N",
    },
    limits=(
        "Profile of an aerofoil going ahead; 35° and no grounding. The speed, squared, decides. Flat plates and hung "
        "rudders may be governed by going astern."
    ),
    source="form of IACS UR S10",
    standing="class rule",
    text="memory",
    defer=DEFER,
)
def rudder_force_n(
    area_m2: float, aspect: float, speed_kn: float, *, in_race: bool = True
) -> float:
    """Area times speed squared, with the rule's coefficients.

    Args:
        area_m2: Above 0.
        aspect: Above 0; more than 2 counts as 2.
        speed_kn: Above 0.
        in_race: Whether the propeller's race meets it.

    Returns:
        N.

    Raises:
        ValueError: An argument is not above zero.

    >>> round(rudder_force_n(0.45, 2.5, 8))
    5576
    """
    above_zero(area_m2=area_m2, aspect=aspect, speed_kn=speed_kn)
    shape = (min(aspect, 2.0) + 2) / 3
    return 132 * shape * 1.1 * (1.0 if in_race else 0.8) * area_m2 * speed_kn**2


@method(
    name="Torque of a rudder",
    what_for="What steering gear and stock have to hold.",
    symbols={
        "force_n": "N",
        "chord_m": "mean, m",
        "balance": "share of the area ahead of the stock",
        "result": "N m",
    },
    limits="Going ahead: centre of pressure at 0.33 of the chord, and never nearer than a tenth of it.",
    source="a class society's public guidance for large yachts",
    standing="class rule",
    text="read",
    defer=DEFER,
)
def rudder_torque_nm(force_n: float, chord_m: float, balance: float) -> float:
    """Force times its lever.

    Args:
        force_n: Above 0.
        chord_m: Above 0.
        balance: 0 to 1.

    Returns:
        N m.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(rudder_torque_nm(5576, 0.424, 0.15), 1)
    425.6
    """
    above_zero(force_n=force_n, chord_m=chord_m)
    if not 0 <= balance <= 1:
        raise ValueError(f"A balance is a ratio of 0 to 1; {balance:g} was given.")
    return force_n * max(chord_m * (0.33 - balance), 0.1 * chord_m)


@method(
    name="Rudder stock",
    what_for="Whether a solid stock is plausible for its torque and bending.",
    symbols={
        "torque_nm": "N m",
        "bending_nm": "N m; force times the arm below the lower bearing for a spade, else 0",
        "allowed_mpa": "allowed equivalent stress, MPa",
        "result": "mm",
    },
    limits=(
        "Solid round stock, no crevice corrosion, no grounding. The force is good to a factor of 1.5, the diameter to "
        "7 % for that cause. A screen only."
    ),
    source="equivalent stress of bending and torsion (von Mises)",
    standing="common practice",
    text="read",
    defer=DEFER,
)
def stock_mm(torque_nm: float, bending_nm: float, allowed_mpa: float) -> float:
    """The diameter whose surface is stressed as allowed.

    Args:
        torque_nm: 0 or more.
        bending_nm: 0 or more.
        allowed_mpa: Above 0.

    Returns:
        mm.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(stock_mm(425.5, 2788, 118), 1)
    62.4
    """
    above_zero(allowed_mpa=allowed_mpa)
    if torque_nm < 0 or bending_nm < 0:
        raise ValueError(
            f"Torque and bending are 0 N m or more; {torque_nm:g} and {bending_nm:g} were given."
        )
    moment = 1000 * sqrt(bending_nm**2 + 0.75 * torque_nm**2)
    return float((32 * moment / (pi * allowed_mpa)) ** (1 / 3))


@method(
    name="Class rudder stock",
    what_for="A ship's rule for the same, to compare.",
    symbols={
        "torque_nm": "N m",
        "bending_nm": "N m",
        "result": "mm, steel of 235 MPa yield",
    },
    limits="As the rule: steel of 235 MPa, solid and round. Never a limit for a yacht.",
    source="form of IACS UR S10",
    standing="class rule",
    text="memory",
    defer=DEFER,
)
def class_stock_mm(torque_nm: float, bending_nm: float) -> float:
    """The rule's diameter for torsion, raised for bending.

    Args:
        torque_nm: Above 0.
        bending_nm: 0 or more.

    Returns:
        mm.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(class_stock_mm(425.5, 2788), 1)
    62.2
    """
    above_zero(torque_nm=torque_nm)
    if bending_nm < 0:
        raise ValueError(f"Bending is 0 N m or more; {bending_nm:g} was given.")
    raised = (1 + 4 / 3 * (bending_nm / torque_nm) ** 2) ** (1 / 6)
    return float(4.2 * torque_nm ** (1 / 3) * raised)


# Of a survey


def results(survey: Survey) -> tuple[Result, ...]:
    """Bearings, hangings, stops and balance, as far as readings were taken of them."""
    return (
        *_of_stock(survey),
        *_of_hangings(survey),
        *_of_stops(survey),
        *_of_balance(survey),
        *(
            unlimited(
                "steering.play_mm",
                f"play of {place_words(each.place)}",
                play_mm((each.value,)),
                "mm",
                each.uncertainty,
                [each],
                [
                    "No limit is published for it: find where it comes from, each bearing and each joint by itself.",
                    CAUTION,
                ],
            )
            for each in measured(
                survey, "play", "rudder-blade", "steering-linkage", uncertainty=_PLAY_MM
            )
        ),
    )


def _of_stock(survey: Survey) -> Iterator[Result]:
    stocks = measured(survey, "diameter", "rudder-stock", uncertainty=_SIZE_MM)
    for each in measured(survey, "play", "rudder-stock", uncertainty=_PLAY_MM):
        stock = belonging(each.place, stocks)
        yield judged(
            "steering.play_mm",
            f"play of the bearing, {place_words(each.place)}",
            play_mm((each.value,)),
            each.uncertainty,
            criteria()["rudder-bush"],
            [each] if stock is None else [each, stock],
            [
                _for_size(stock),
                f"Noted for a new bearing: {each.original:g} mm." if each.original else "",
                "Needle, ball and self-aligning bearings are due at any knock.",
                CAUTION,
            ],
        )


def _for_size(stock: Measured | None) -> str:
    if stock is None:
        return "The stock's diameter was not read; the limit is that of 40 to 50 mm."
    built = f"a metal bush is built with at least {bush_mm(stock.value):.2f} mm (a class rule of light craft)"
    if 40 <= stock.value <= 50:
        return f"Stock of {stock.value:g} mm: {built}."
    return f"Stock of {stock.value:g} mm, the limit that of 40 to 50 mm; {built}."


def _of_hangings(survey: Survey) -> Iterator[Result]:
    pins = measured(survey, "diameter", "rudder-hangings", uncertainty=_SIZE_MM)
    for each in measured(survey, "play", "rudder-hangings", uncertainty=_PLAY_MM):
        what = f"play of the hangings, {place_words(each.place)}"
        own = [one for one in pins if one.place == each.place and one.value > 0]
        pin = own[-1] if own else belonging(each.place, pins)
        limit = criteria()["rudder-hangings"]
        if pin is None:
            why = f"The pin's diameter was not read; the play is {each.value:g} mm."
            yield unsaid("steering.pin_wear_pct", what, limit.unit, [each], why, CAUTION)
            continue
        worn = pin_wear_pct(each.value, pin.value)
        doubt = 100 / pin.value * hypot(each.uncertainty, worn / 100 * pin.uncertainty)
        said = [f"{each.value:g} mm on a pin of {pin.value:g} mm.", CAUTION]
        yield judged("steering.pin_wear_pct", what, worn, doubt, limit, [each, pin], said)


def _of_stops(survey: Survey) -> Iterator[Result]:
    for each in measured(survey, "angle", "rudder-stops-and-tube", uncertainty=_ANGLE_DEG):
        yield judged(
            "steering.stop_angle_deg",
            f"rudder against its stop, {place_words(each.place)}",
            stop_angle_deg((each.value,)),
            each.uncertainty,
            criteria()["rudder-stop-angle"],
            [each],
            [CAUTION],
        )


def _of_balance(survey: Survey) -> Iterator[Result]:
    gear: dict[Place, list[Measured]] = {}
    for each in measured(survey, "area", "rudder-blade", uncertainty=_AREA_CM2):
        gear.setdefault(gear_of(each.place), []).append(each)
    for place, found in gear.items():
        what = f"balance of {place_words(place)}"
        ahead = [each for each in found if "ahead" in each.named]
        whole = [each for each in found if "ahead" not in each.named]
        limit = criteria()["rudder-balance"]
        if len(ahead) != 1 or len(whole) != 1 or not ahead[0].value <= whole[0].value > 0:
            why = "It needs the area of the whole blade, and of the part ahead of the stock, once each."
            yield unsaid("steering.balance_ratio", what, limit.unit, found, why)
            continue
        (part,), (blade,) = ahead, whole
        share = balance_ratio(part.value, blade.value)
        doubt = hypot(part.uncertainty, share * blade.uncertainty) / blade.value
        said = ["A spade rudder usually has 0.15 to 0.20, one on half a skeg 0.10 to 0.15."]
        yield judged("steering.balance_ratio", what, share, doubt, limit, [part, blade], said)

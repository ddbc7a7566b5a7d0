"""Zones of the boat that readings are kept apart by: a part, its side and number, and its share of the shell."""

import re
from collections.abc import Callable, Sequence
from typing import Literal

from garboard.boat.hull import Hull, hull_of
from garboard.catalogue.naming import named
from garboard.methods.patch import Point, Ring
from garboard.notebook.body import Place, Side
from garboard.notebook.fold import Survey

Zone = tuple[str, Side | None, int | None]
Levels = Callable[[float], tuple[float, float]]

_STATION_STEP_M = 0.1

# Parts of the catalogue that are a test of many things, so that only the note says of which.
_TESTS = (
    "bonding-potential",
    "hull-isolation",
    "hull-leakage",
    "smells-on-boarding",
    "trial-after-run",
    "trial-electrical-load",
    "trial-rest-readings",
    "trial-speed-and-power",
)
# A name of the catalogue that tells of several things, of which a reading is taken on one.
_SEVERAL = re.compile(r",| and | or ")
_CALLED = {"gas-and-co-detection": "gas alarm", "rudder-stops-and-tube": "rudder stops"}


def zone_of(place: Place) -> Zone:
    """The zone a place lies in."""
    return place.part, place.side, place.number


def zone_words(zone: Zone) -> str:
    """A zone in words: the catalogue's name of the part, where it has one.

    >>> zone_words(("bottom-laminate", "port", None))
    'bottom laminate, port'
    """
    part, side, number = zone
    return named(Place(part=part, side=side, number=number))


def skin_words(zone: Zone) -> str:
    """A zone of the skin by what was read, not by the reading.

    >>> skin_words(("bottom-moisture", "port", None))
    'bottom laminate, port'
    """
    return zone_words(zone).removeprefix("moisture of the ")


def place_words(place: Place) -> str:
    """A single thing in a few words: part and number, side, and what was noted of it; of a test only the note.

    >>> place_words(Place(part="anode", number=2, side="port", words="hull, 5.0 m"))
    'anode 2, port, hull, 5.0 m'
    >>> place_words(Place(part="dc-wiring")), place_words(Place(part="trial-after-run", words="coolant"))
    ('low-voltage wiring', 'coolant')
    """
    number = "" if place.number is None else str(place.number)
    if place.part in _TESTS and place.words:
        return ", ".join(filter(None, (place.words, place.side, number)))
    return ", ".join(
        filter(None, (f"{_thing(place.part)} {number}".strip(), place.side, place.words))
    )


def _thing(part: str) -> str:
    """The catalogue's name of a part where it is that of one thing, else its id in words."""
    name = named(Place(part=part))
    return _CALLED.get(part) or (part.replace("-", " ") if _SEVERAL.search(name) else name)


def touched_words(place: Place) -> str:
    """What the tip or cell of an instrument was held to, and at which station.

    >>> touched_words(Place(part="bonding-potential", side="port", words="hull plate", station_m=3.0))
    'hull plate, port, 3.00 m aft of the stem'
    """
    thing = place_words(place)
    return thing if place.station_m is None else f"{thing}, {place.station_m:.2f} m aft of the stem"


def metre_words(metre: int | None) -> str:
    """A metre of the boat's length in words, counted from 0 at the stem; empty for None.

    >>> metre_words(3)
    '3 to 4 m from the stem'
    """
    return "" if metre is None else f"{metre} to {metre + 1} m from the stem"


def levels_words(levels_m: tuple[float, float]) -> str:
    """From the lowest to the highest level, in words.

    >>> levels_words((-0.9, -0.4)), levels_words((-0.2, 0.3)), levels_words((0.1, 0.1))
    ('0.4 to 0.9 m below the boot-top', '0.2 m below to 0.3 m above the boot-top', '0.1 m above the boot-top')
    """
    low, high = (round(each, 1) + 0.0 for each in levels_m)
    if low < 0 < high:
        return f"{-low:.1f} m below to {high:.1f} m above the boot-top"
    near, far = sorted((abs(low), abs(high)))
    depth = f"{near:.1f}" if near == far else f"{near:.1f} to {far:.1f}"
    return f"{depth} m {'below' if low < 0 else 'above'} the boot-top"


def point_of(place: Place) -> Point | None:
    """Station and level of a place, m, where both are known."""
    if place.station_m is None or place.level_m is None:
        return None
    return place.station_m, place.level_m


def shell_of(survey: Survey) -> Hull | None:
    """The schematic hull of the survey's boat, or None where its particulars do not suffice."""
    if survey.boat is None:
        return None
    try:
        return hull_of(survey.boat)
    except ValueError:
        return None


def levels_of(zone: Zone, hull: Hull | None) -> Levels | None:
    """By station the lowest and highest level of a zone: bottom up to the boot-top, topsides above it.

    None where the zone is no side of the shell; beyond the ends of the hull the levels of its ends hold.
    """
    part, side, _ = zone
    if hull is None or side not in ("port", "starboard"):
        return None

    def ends(station_m: float) -> tuple[float, float]:
        reach = hull.reach(min(hull.length_m, max(0.0, station_m)))
        return reach.keel_m, reach.sheer_m

    match boot_top_side(part):
        case "below":
            return lambda station_m: (min(ends(station_m)[0], 0.0), 0.0)
        case "above":
            return lambda station_m: (max(ends(station_m)[0], 0.0), ends(station_m)[1])
        case None:
            return None


def boot_top_side(part: str) -> Literal["below", "above"] | None:
    """On which side of the boot-top a part of the shell ends there; None where it does not.

    >>> boot_top_side("bottom-laminate"), boot_top_side("topside-gelcoat"), boot_top_side("rudder-blade")
    ('below', 'above', None)
    """
    words = part.split("-")
    if "bottom" in words:
        return "below"
    return "above" if "topside" in words or "topsides" in words else None


def panel_of(zone: Zone, hull: Hull | None) -> Ring | None:
    """A zone's outline on the unrolled shell, or None where it is no side of the shell."""
    levels = levels_of(zone, hull)
    if hull is None or levels is None:
        return None
    steps = max(2, round(hull.length_m / _STATION_STEP_M))
    stations = [hull.length_m * each / steps for each in range(steps + 1)]
    spans = [(station, *levels(station)) for station in stations]
    wide = [each for each in spans if each[2] - each[1] > 1e-6]
    return (
        *((station, low) for station, low, _ in wide),
        *((station, high) for station, _, high in reversed(wide)),
    )


def between(points: Sequence[Point]) -> Ring:
    """The convex outline of points, counter-clockwise; fewer than three corners where they lie in a line.

    >>> between([(0, 0), (1, 0), (0.5, 0.2), (1, 1), (0, 1)])
    ((0, 0), (1, 0), (1, 1), (0, 1))
    """
    ordered = sorted(set(points))
    return (*_half(ordered), *_half(ordered[::-1]))


def _half(ordered: Sequence[Point]) -> list[Point]:
    corners: list[Point] = []
    for point in ordered:
        while len(corners) > 1 and _turn(corners[-2], corners[-1], point) <= 0:
            corners.pop()
        corners.append(point)
    return corners[:-1]


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

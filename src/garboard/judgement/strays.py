"""Strays: places that do not lie on the boat, each with the number that is off and where the hull ends there.

Only what the schematic hull can tell is judged. It shows where the shell ends, and roughly how far anything that is
hung, stepped or built on it can reach.
"""

from dataclasses import dataclass
from typing import Literal

from garboard.boat.hull import Hull
from garboard.catalogue.parts import catalogue
from garboard.methods.zone import boot_top_side, levels_words
from garboard.notebook.body import Place

SLACK_M = 0.30
"""How far beside the drawn shell a place may lie: a working figure, for freeboard and girth are drawn from few measures."""

OVERHANG_M = 3.0
"""How far bowsprits, platforms, keels and deckhouses may reach past what is drawn: a working figure."""

BOOT_TOP_M = 0.10
"""How far past the boot-top a place on a part that ends there may lie: a working figure, for it is a band."""

SHELL = frozenset(
    {
        "bilge-turn", "boot-top", "bottom-coating", "bottom-gelcoat", "bottom-laminate", "bottom-moisture",
        "bottom-plate-thickness", "caulking", "chine-and-strakes", "ferro-cement", "garboard", "hull-pits",
        "hull-window", "moulded-and-strip-skin", "plank-fastenings", "planking", "slamming-zone", "stem",
        "topside-fairness", "topside-gelcoat", "topside-laminate", "waterline-and-chine-plating", "wood-sheathing",
    }
)  # fmt: skip
"""The parts that lie on the shell between its foot and the sheer."""

# What stands so high above the deck that its levels are not judged.
_ALOFT_ZONES = ("rig", "navigation")
_ALOFT_PARTS = ("upperworks",)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stray:
    """What is wrong with a place: the field of it that is off, what that says, and what to do."""

    field: Literal["station_m", "level_m"]
    what: str
    do: str


def stray(place: Place, hull: Hull) -> Stray | None:
    """What puts a place off the boat; None where it lies on her, or where the drawing cannot tell.

    Args:
        place: Any place; without a station nothing is said of it.
        hull: The schematic hull of the boat.
    """
    station = place.station_m
    if station is None:
        return None
    slack = SLACK_M if place.part in SHELL else OVERHANG_M
    if not -slack <= station <= hull.length_m + slack:
        return Stray(
            field="station_m",
            what=f"{_station(station)} is not on the boat: her hull is {hull.length_m:.2f} m long",
            do="Correct the station, or her length",
        )
    if place.level_m is None or _lies_within(place, hull, station, place.level_m, slack):
        return None
    here = hull.reach_about(station, place.side or "starboard", 0.0)
    top = here.sheer_m if place.part in SHELL else here.deck_m
    return Stray(
        field="level_m",
        what=(
            f"{_level(place.level_m)} is off the hull, which at {_station(station)} goes from "
            f"{levels_words((here.foot_m, top))}"
        ),
        do="Correct the level or the station, or her draught and freeboard; or say where in words instead",
    )


def levels_on(part: str) -> tuple[float | None, float | None]:
    """The lowest and the highest level, m, at which a place still lies on a part that ends at the boot-top.

    None where the boot-top is no end of it. A place past it is on the boat, yet hardly on this part: that is said
    where it is placed, and refused nowhere.

    >>> levels_on("bottom-laminate"), levels_on("topside-gelcoat"), levels_on("rudder-blade")
    ((None, 0.1), (-0.1, None), (None, None))
    """
    side = boot_top_side(part)
    return -BOOT_TOP_M if side == "above" else None, BOOT_TOP_M if side == "below" else None


def _lies_within(
    place: Place, hull: Hull, station_m: float, level_m: float, slack_m: float
) -> bool:
    reach = hull.reach_about(station_m, place.side or "starboard", SLACK_M)
    if place.part in SHELL:
        return reach.foot_m - slack_m <= level_m <= reach.sheer_m + slack_m
    part = catalogue().parts.get(place.part)
    is_aloft = place.part in _ALOFT_PARTS or (part is not None and part.zone in _ALOFT_ZONES)
    return reach.foot_m - slack_m <= level_m and (is_aloft or level_m <= reach.deck_m + slack_m)


def _station(station_m: float) -> str:
    """A station in words.

    >>> _station(4.2), _station(-0.5)
    ('4.20 m aft of the stem', '0.50 m before the stem')
    """
    return f"{abs(station_m):.2f} m {'before' if station_m < 0 else 'aft of'} the stem"


def _level(level_m: float) -> str:
    """A level in words.

    >>> _level(-1.3), _level(0.4)
    ('1.30 m below the boot-top', '0.40 m above the boot-top')
    """
    return f"{abs(level_m):.2f} m {'below' if level_m < 0 else 'above'} the boot-top"

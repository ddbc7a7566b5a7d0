"""A schematic hull made from main particulars: enough to place things on, measure between and draw.

Three fair lines carry it: the centreline profile, the sheer, and the plan of the deck; sections between them
are round or have chines. It is never the builder's lines, and says in `Hull.assumptions` what it took for granted.

Axes: `station_m` aft of the stem, `height_m` above the waterline (down negative), half-breadth from the
centreline. A place on the skin is a station and a level: metres along the section from the lower edge of the
boot-top, down negative; past the centreline it goes on down the keel, past the sheer it goes on across the deck.
The unrolled shell has exactly these two axes: stations true, girths stretched out, as in a shell expansion.
On the centreline itself (stem, keel, skeg, rudder) there is no girth to follow: there a level is plumb.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from itertools import accumulate, pairwise
from math import cos, dist, isfinite, pi, sin, sqrt

from garboard.boat.appendage import (
    Appendage,
    drives,
    keels,
    motor_rudders,
    rudders,
    shallow_keel,
    tunnel,
)
from garboard.boat.area import Offset, Point, clipped, volume_m3
from garboard.notebook.body import Boat, Keel, Place, Side

BOOT_TOP_M = 0.05
"""Lower edge of the boot-top above the waterline, where levels are counted from (working figure)."""

SEA_WATER_KG_PER_M3 = 1025.0

_TOUCH_M = 1e-6
_SWEEP_FROM_M = 0.25
_SWEEP_OVER_M = 0.40

_CHINE_AT_STEM = 0.42

_STEPS = 32
_DECK_STEPS = 6
_CAMBER = 0.08
_MOST_SKINS = 2_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """How far the skin goes at a station, as levels: foot of the keel, centreline, sheer, middle of the deck."""

    foot_m: float
    keel_m: float
    sheer_m: float
    deck_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Hull:
    """A schematic hull; lengths in m, `chines` a side, exponents as the functions of this module use them.

    `waterline_at_m` is the station where the waterline begins; `freeboards_m` are those at stem, waist and
    stern; `rake_m` is how far the head of the transom stands before its foot; `fullness` is that of the section
    at stem, midships and stern, `turn` how round its bottom is.
    """

    name: str
    length_m: float
    waterline_m: float
    waterline_at_m: float
    beam_m: float
    canoe_draught_m: float
    draught_m: float
    freeboards_m: tuple[float, float, float]
    rake_m: float
    transom: float
    deck_fullness: float
    forefoot: float
    transom_depth: float
    chines: int
    fullness: tuple[float, float, float]
    turn: tuple[float, float, float]
    appendages: tuple[Appendage, ...] = ()
    mast_at_m: tuple[float, ...] = ()
    displacement_kg: float | None = None
    assumptions: tuple[str, ...] = ()
    # By station; a map asks for the skin of each of its places several times.
    _skins: dict[float, list[tuple[float, Offset]]] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    # The three lines

    def bottom(self, station_m: float) -> float:
        """Height of the centreline profile, from the stem head round the forefoot to the transom, m."""
        along = (station_m - self.waterline_at_m) / self.waterline_m
        if along < 0:
            return self._stem(station_m / self.waterline_at_m)
        deepest, draught = 0.5, self.canoe_draught_m
        if along <= deepest:
            return -draught * (1 - float(((deepest - along) / deepest) ** self.forefoot))
        run = (1 - self.transom_depth) * ((along - deepest) / (1 - deepest)) ** 2
        return -draught * (1 - run)

    def _stem(self, share: float) -> float:
        """The stem above the waterline: a parabola that leaves the forefoot without a knuckle."""
        return self.freeboards_m[0] * (1 - share) * (1 - self._stem_bend * share)

    @property
    def _stem_bend(self) -> float:
        forefoot_slope = self.canoe_draught_m * self.forefoot / (0.5 * self.waterline_m)
        return min(0.9, max(-0.3, 1 - forefoot_slope * self.waterline_at_m / self.freeboards_m[0]))

    def sheer(self, station_m: float) -> float:
        """Height of the sheer above the waterline, aft that of the raked transom, m."""
        head = self.length_m - self.rake_m
        if station_m <= head or self.rake_m == 0:
            return self._fair_sheer(station_m)
        foot = 0.7 * self.bottom(self.length_m) + 0.3 * self._fair_sheer(self.length_m)
        down = (station_m - head) / self.rake_m
        return self._fair_sheer(head) * (1 - down) + foot * down

    def _fair_sheer(self, station_m: float) -> float:
        """A parabola through the three freeboards."""
        fore, waist, aft = self.freeboards_m
        along, low = station_m / self.length_m, 0.65
        drop = waist - fore
        second = (aft - fore - drop / low) / (1 - low)
        first = drop / low - second * low
        return fore + first * along + second * along**2

    def boot_top(self, station_m: float) -> float:
        """Height of the lower edge of the boot-top, which sweeps up under a counter, m."""
        if station_m < self.waterline_at_m + 0.5 * self.waterline_m:
            return BOOT_TOP_M
        near = max(0.0, self.bottom(station_m) + _SWEEP_FROM_M)
        sweep = near**2 / (2 * _SWEEP_OVER_M) if near < _SWEEP_OVER_M else near - _SWEEP_OVER_M / 2
        return BOOT_TOP_M + sweep

    def deck_half_breadth(self, station_m: float) -> float:
        """Half-breadth of the deck at the sheer, m."""
        return self.section(station_m)[-1][0]

    def _plan(self, along: float) -> float:
        widest = 0.58
        if along <= widest:
            return 1 - float(((widest - max(0.0, along)) / widest) ** self.deck_fullness)
        return 1 - (1 - self.transom) * ((along - widest) / (1 - widest)) ** 2

    # The skin

    def section(self, station_m: float) -> tuple[Offset, ...]:
        """Half a section from the centreline up to the sheer: half-breadths and heights, m.

        Raises:
            ValueError: The station is not on the hull.
        """
        self._check(station_m)
        half = self.beam_m / 2 * self._plan(station_m / self.length_m)
        top = self._fair_sheer(station_m)
        low = min(self.bottom(station_m), top)
        whole = self._whole_section(station_m, half, top, low)
        if station_m <= self.length_m - self.rake_m:
            return whole
        return clipped(whole, low, self.sheer(station_m))

    def _whole_section(
        self, station_m: float, half: float, top: float, low: float
    ) -> tuple[Offset, ...]:
        """The section as it would be without the rake of the transom."""
        if self.chines == 1:
            return self._one_chine(station_m, half, top, low)
        full, turn = (self._schedule(each, station_m) for each in (self.fullness, self.turn))
        steps = self.chines + 1 if self.chines else _STEPS
        angles = (pi / 2 * each / steps for each in range(steps + 1))
        rounded = [
            (half * sin(each) ** (2 / turn), top - (top - low) * max(0.0, cos(each)) ** (2 / full))
            for each in angles
        ]
        return ((0.0, low), *rounded[1:-1], (half, top))

    def _one_chine(
        self, station_m: float, half: float, top: float, low: float
    ) -> tuple[Offset, ...]:
        """A section of two panels; the chine leaves the stem at 0.42 of its height and runs down to the quarter."""
        bend = self._stem_bend
        root = sqrt((1 + bend) ** 2 - 4 * bend * (1 - _CHINE_AT_STEM))
        start = self.waterline_at_m * 2 * (1 - _CHINE_AT_STEM) / (1 + bend + root)
        if station_m <= start:
            return ((0.0, low), (0.0, low), (half, top))
        aft = -0.22 * self.canoe_draught_m
        fall = max(0.0, 1 - (station_m - start) / (0.62 * self.length_m - start))
        height = aft + (_CHINE_AT_STEM * self.freeboards_m[0] - aft) * float(fall**2.2)
        along = (station_m - start) / (self.length_m - start)
        out = min(0.93 * self.beam_m / 2 * self._plan(along), 0.97 * half)
        return ((0.0, low), (out, min(max(height, low), top)), (half, top))

    def _schedule(self, values: tuple[float, float, float], station_m: float) -> float:
        bow, middle, stern = values
        along = station_m / self.length_m
        if along < 0.55:
            return bow + (middle - bow) * _smooth(along / 0.55)
        return middle + (stern - middle) * _smooth((along - 0.55) / 0.45)

    def waterline_half_breadth(self, station_m: float, height_m: float = 0.0) -> float:
        """Half-breadth of the section at a height, m; 0 where the section does not reach down to it."""
        section = self.section(station_m)
        if height_m <= section[0][1]:
            return 0.0
        return clipped(section, section[0][1], height_m)[-1][0]

    def foot(self, station_m: float) -> float:
        """Height of the lowest thing on the centreline: the canoe body, or keel, skeg or rudder under it, m."""
        heights = [self.bottom(station_m)]
        for each in self.appendages:
            if each.kind in ("keel", "bulb", "skeg", "rudder") and not each.offset_m:
                heights += each.heights_at(station_m)
        return min(heights)

    # Places

    def reach(self, station_m: float, side: Side = "starboard") -> Reach:
        """How far the skin goes at a station; on the centreline its levels are plumb.

        Raises:
            ValueError: The station is not on the hull.
        """
        skin = self._skin(station_m)
        levels = [level for level, _ in skin]
        if side == "centre":
            levels = [height - self.boot_top(station_m) for _, (_, height) in skin]
        return Reach(
            foot_m=levels[0],
            keel_m=levels[1],
            sheer_m=levels[-1 - _DECK_STEPS],
            deck_m=levels[-1],
        )

    def reach_about(self, station_m: float, side: Side, within_m: float) -> Reach:
        """The farthest that the skin goes within a distance of a station; beyond an end, as at that end."""
        stations = (station_m + each for each in (-within_m, 0.0, within_m))
        found = [self.reach(min(self.length_m, max(0.0, each)), side) for each in stations]
        return Reach(
            foot_m=min(each.foot_m for each in found),
            keel_m=min(each.keel_m for each in found),
            sheer_m=max(each.sheer_m for each in found),
            deck_m=max(each.deck_m for each in found),
        )

    def _skin(self, station_m: float) -> list[tuple[float, Offset]]:
        """Half a section with its levels: foot, centreline, sides to the sheer, deck to its middle."""
        found = self._skins.get(station_m)
        if found is None:
            if len(self._skins) >= _MOST_SKINS:
                self._skins.clear()
            found = self._skins[station_m] = self._measured_skin(station_m)
        return found

    def _measured_skin(self, station_m: float) -> list[tuple[float, Offset]]:
        sides = self.section(station_m)
        half, top = sides[-1]
        deck = [
            (half * (1 - each), top + _CAMBER * half * (1 - (1 - each) ** 2))
            for each in (step / _DECK_STEPS for step in range(1, _DECK_STEPS + 1))
        ]
        line = [(0.0, self.foot(station_m)), *sides, *deck]
        lengths = list(accumulate((dist(a, b) for a, b in pairwise(line)), initial=0.0))
        datum = self._datum(station_m, line, lengths)
        return [(length - datum, at) for length, at in zip(lengths, line, strict=True)]

    def _datum(self, station_m: float, line: Sequence[Offset], lengths: Sequence[float]) -> float:
        """Length along the line at the boot-top; where the skin begins above it, as much below its beginning."""
        boot_top = self.boot_top(station_m)
        if line[1][1] >= boot_top:
            return lengths[1] - (line[1][1] - boot_top)
        for (a, b), (start, end) in zip(pairwise(line[1:]), pairwise(lengths[1:]), strict=True):
            if b[1] >= boot_top > a[1]:
                return start + (end - start) * (boot_top - a[1]) / (b[1] - a[1])
        return lengths[-1 - _DECK_STEPS]

    def point(self, station_m: float, level_m: float, side: Side = "starboard") -> Point:
        """The point of the skin at a station and level: station, half-breadth (port negative), height, m.

        Raises:
            ValueError: The place is not on the hull.
        """
        skin = self._skin(station_m)
        low, high = skin[0][0], skin[-1][0]
        if side == "centre":
            low, high = (each[1][1] - self.boot_top(station_m) for each in (skin[0], skin[-1]))
        if not low - 1e-9 <= level_m <= high + 1e-9:
            raise ValueError(
                f"At {station_m:.2f} m aft of the stem the skin goes from {low:.2f} to {high:.2f} m from the "
                f"boot-top; {level_m:.2f} m is not on it."
            )
        if side == "centre":
            return (station_m, 0.0, self._on_centreline(station_m, level_m, skin))
        half, height = _at(skin, level_m)
        return (station_m, -half if side == "port" else half, height)

    def _on_centreline(
        self, station_m: float, level_m: float, skin: Sequence[tuple[float, Offset]]
    ) -> float:
        """The height on the centreline nearest to a plumb level: keel and bottom, or the middle of the deck."""
        height = self.boot_top(station_m) + level_m
        bottom, deck = skin[1][1][1], skin[-1][1][1]
        if height <= bottom:
            return height
        return bottom if height - bottom < deck - height else deck

    def point_of(self, place: Place) -> Point:
        """The point of the skin at a place; a place of no side is taken to starboard.

        Raises:
            ValueError: The place has no station and level, or is not on the hull.
        """
        station, level = _coordinates(place)
        return self.point(station, level, place.side or "starboard")

    def nearest_point(self, station_m: float, level_m: float, side: Side = "starboard") -> Point:
        """The point of the skin at a station and level, moved if need be to the nearest on the hull.

        Raises:
            ValueError: A number is not finite.
        """
        if not (isfinite(station_m) and isfinite(level_m)):
            raise ValueError(f"Station {station_m} and level {level_m} are not a place.")
        station = min(self.length_m, max(0.0, station_m))
        skin = self._skin(station)
        low, high = skin[0][0], skin[-1][0]
        if side == "centre":
            low, high = (each[1][1] - self.boot_top(station) for each in (skin[0], skin[-1]))
        return self.point(station, min(high, max(low, level_m)), side)

    def shell_level(self, point: Point) -> float:
        """The level of a point of the skin, or of the nearest of its section, on the unrolled shell, m.

        Raises:
            ValueError: The station is not on the hull.
        """
        station, across, height = point
        return _level(self._skin(station), (abs(across), height))

    def place(self, point: Point, part: str) -> Place:
        """The place of a point on the skin, or of the nearest of its section.

        Raises:
            ValueError: The station is not on the hull.
        """
        station, across, height = point
        if across == 0:
            level = height - self.boot_top(station)
            return Place(part=part, side="centre", station_m=station, level_m=level)
        side: Side = "port" if across < 0 else "starboard"
        return Place(part=part, side=side, station_m=station, level_m=self.shell_level(point))

    def _check(self, station_m: float) -> None:
        if not -_TOUCH_M <= station_m <= self.length_m + _TOUCH_M:
            raise ValueError(
                f"The hull is {self.length_m:.2f} m long; {station_m:.2f} m aft of the stem is not on it."
            )


def volume_of_displacement_m3(hull: Hull) -> float:
    """Volume below the waterline, canoe body and appendages, m³."""
    body = volume_m3(hull.section, 0.0, hull.length_m, stations=60)
    return body + sum(each.volume_m3 for each in hull.appendages)


# From particulars


def hull_of(boat: Boat) -> Hull:
    """A schematic hull from the main particulars of a boat.

    Length and beam must be known; everything else is taken from them where nobody has stated it, and said so
    in `assumptions`. The canoe body is made as deep as the stated weight asks for.

    Raises:
        ValueError: Length or beam is missing, or the particulars contradict each other.
    """
    missing = [
        words
        for words, value in (("the length of hull", boat.loa_m), ("the beam", boat.beam_m))
        if not value
    ]
    if missing or not boat.loa_m or not boat.beam_m:
        raise ValueError(f"To draw the hull, state {' and '.join(missing)} of the boat.")
    if boat.lwl_m and boat.lwl_m > boat.loa_m:
        raise ValueError(
            f"The waterline is stated as {boat.lwl_m:.2f} m and the hull as {boat.loa_m:.2f} m; "
            "a waterline is not longer than its hull."
        )
    said: list[str] = []
    bare = _bare(boat, boat.loa_m, boat.beam_m, said)
    hull = _to_weight(boat, bare, said)
    said.append(f"The boot-top was taken to begin {BOOT_TOP_M:.2f} m above the waterline.")
    if hull.appendages:
        said.append("Keel, rudder and propeller are drawn by their kind, where they usually stand.")
    if boat.keel in ("lifting", "centreboard"):
        said.append("The keel is drawn lowered, down to the stated draught.")
    if boat.chines and boat.chines > 1:
        said.append(f"The {boat.chines} chines are spaced evenly round the section.")
    return replace(hull, assumptions=tuple(said))


def is_sailing(boat: Boat) -> bool:
    """Whether a boat is to be drawn as a sailing boat: she has a rig, sails or ballast."""
    return boat.rig not in (None, "none") or bool(boat.sail_area_m2) or bool(boat.ballast_kg)


def _bare(boat: Boat, length_m: float, beam_m: float, said: list[str]) -> Hull:
    """The hull without its depth below the waterline and without appendages."""
    sailing = is_sailing(boat)
    if boat.hulls and boat.hulls > 1:
        beam_m = length_m / 9
        said.append(
            f"One hull of {boat.hulls} is drawn, with a beam of {beam_m:.2f} m, a ninth of its length."
        )
    waterline = boat.lwl_m or length_m * (0.87 if sailing else 0.92)
    if not boat.lwl_m:
        said.append(f"The waterline was taken as {waterline:.2f} m long.")
    freeboard = boat.freeboard_m or length_m * (0.105 if sailing else 0.125)
    if not boat.freeboard_m:
        said.append(f"The mean freeboard was taken as {freeboard:.2f} m.")
    draught = boat.draught_m or waterline * (0.19 if sailing else 0.09)
    if not boat.draught_m:
        said.append(f"The draught was taken as {draught:.2f} m.")
    spring = (1.22, 0.94, 0.99) if sailing else (1.32, 0.92, 0.93)
    forward = (length_m - waterline) * (0.6 if sailing else 0.8)
    return Hull(
        name=boat.name,
        length_m=length_m,
        waterline_m=waterline,
        waterline_at_m=max(forward, 0.002 * length_m),
        beam_m=beam_m,
        canoe_draught_m=draught,
        draught_m=draught,
        rake_m=0.035 * length_m if sailing else 0.0,
        freeboards_m=(spring[0] * freeboard, spring[1] * freeboard, spring[2] * freeboard),
        transom=0.70 if sailing else 0.90,
        deck_fullness=2.1 if sailing else 2.7,
        forefoot=2.4 if sailing else 4.5,
        transom_depth=0.0 if sailing else 0.62,
        chines=boat.chines or 0,
        fullness=(1.25, 3.4, 4.2) if sailing else (1.3, 4.5, 5.0),
        turn=(1.0, 1.7, 1.8) if sailing else (1.0, 1.5, 1.6),
        mast_at_m=tuple(length_m * each for each in _MASTS[boat.rig or "none"]),
        displacement_kg=boat.displacement_kg,
    )


_MASTS = {
    "none": (),
    "sloop": (0.405,),
    "cutter": (0.43,),
    "ketch": (0.35, 0.79),
    "yawl": (0.38, 0.90),
    "schooner": (0.29, 0.56),
    "gaff": (0.36,),
    "unstayed": (0.24,),
}


def _to_weight(boat: Boat, bare: Hull, said: list[str]) -> Hull:
    """The hull with its canoe body as deep as stated, or as its weight asks, and with its appendages."""

    def with_depth(depth_m: float) -> Hull:
        body = replace(bare, canoe_draught_m=depth_m)
        return replace(body, appendages=_appendages(boat, body))

    share = {None: 1, 1: 1, 2: 2, 3: 1}[boat.hulls]
    if boat.canoe_draught_m:
        hull = with_depth(boat.canoe_draught_m)
        if boat.displacement_kg:
            said += _compared(hull, boat.displacement_kg / share)
    elif boat.displacement_kg:
        volume = boat.displacement_kg / share / SEA_WATER_KG_PER_M3
        depth, words = _depth_for(volume, with_depth, bare.draught_m)
        hull = with_depth(depth)
        said.append(words)
    else:
        depth = min(0.062 * bare.waterline_m, 0.9 * bare.draught_m)
        said.append(f"The canoe body was taken as {depth:.2f} m deep, for want of a weight.")
        hull = with_depth(depth)
    return hull


def _depth_for(
    volume: float, with_depth: Callable[[float], Hull], deepest_m: float
) -> tuple[float, str]:
    """The depth of canoe body that displaces a volume, and what is to be said of it."""

    def spare(depth_m: float) -> float:
        return volume_of_displacement_m3(with_depth(depth_m)) - volume

    low, high = 0.01 * deepest_m, deepest_m
    at_low, at_high = spare(low), spare(high)
    if at_high < 0:
        return high, (
            "The stated weight would float this hull deeper than the stated draught; have both checked."
        )
    if at_low > 0:
        return low, "The stated weight is less than this hull would displace; have it checked."
    depth = low + (high - low) * -at_low / (at_high - at_low)
    for _ in range(20):
        found = spare(depth)
        if abs(found) <= 1e-5 * volume:
            break
        low, high = (low, depth) if found > 0 else (depth, high)
        at_low, at_high = (at_low, found) if found > 0 else (found, at_high)
        depth = low + (high - low) * -at_low / (at_high - at_low)
    return depth, (
        f"The canoe body was made {depth:.2f} m deep, so that the hull floats at the stated weight."
    )


def _compared(hull: Hull, displacement_kg: float) -> list[str]:
    drawn = volume_of_displacement_m3(hull) * SEA_WATER_KG_PER_M3
    if abs(drawn / displacement_kg - 1) <= 0.1:
        return []
    return [
        f"As drawn the hull displaces {drawn:.0f} kg in sea water, and {displacement_kg:.0f} kg is stated; "
        "the stated depth of the canoe body was kept."
    ]


def _appendages(boat: Boat, body: Hull) -> tuple[Appendage, ...]:
    sailing = is_sailing(boat)
    keel: Keel = boat.keel or ("bolted-iron" if sailing else "none")
    found = list(keels(body, keel))
    shafts = boat.drive in (None, "shaft") and boat.speed != "planing"
    if (
        not sailing
        and boat.keel is None
        and shafts
        and body.draught_m - body.canoe_draught_m > 0.12
    ):
        found.append(shallow_keel(body))
    twin = len(boat.engines) > 1
    offset = body.beam_m * 0.22 if twin else 0.0
    if sailing or boat.rudder in ("keel-hung", "transom", "full-skeg", "part-skeg"):
        found += rudders(body, boat.rudder or ("keel-hung" if keel == "long" else "spade"))
    elif boat.rudder or boat.drive in (None, "shaft"):
        pair = offset or (body.beam_m * 0.22 if boat.rudder == "twin" else 0.0)
        found.append(motor_rudders(body, pair))
    if boat.drive:
        hub = 0.885 if twin else 0.765 if sailing else 0.84
        aperture = keel == "long" and not twin
        found += drives(body, boat.drive, offset_m=offset, hub=hub, aperture=aperture)
    if "bow-thruster" in boat.fitted:
        found.append(tunnel(body))
    return tuple(found)


def _coordinates(place: Place) -> tuple[float, float]:
    if place.station_m is None or place.level_m is None:
        raise ValueError(
            f"A place on the skin has a station and a level; {place.part} has not both."
        )
    return place.station_m, place.level_m


def _smooth(share: float) -> float:
    """From 0 to 1 without a corner."""
    inside = min(1.0, max(0.0, share))
    return inside * inside * (3 - 2 * inside)


def _at(skin: Sequence[tuple[float, Offset]], level_m: float) -> Offset:
    """The point of a section at a level."""
    for (low, a), (high, b) in pairwise(skin):
        if level_m <= high and high > low:
            share = max(0.0, (level_m - low) / (high - low))
            return (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)
    return skin[-1][1]


def _level(skin: Sequence[tuple[float, Offset]], at: Offset) -> float:
    """The level of the point of a section nearest to a point."""
    best, nearest = skin[0][0], dist(skin[0][1], at)
    for (low, a), (high, b) in pairwise(skin):
        if high <= low:
            continue
        along = ((at[0] - a[0]) * (b[0] - a[0]) + (at[1] - a[1]) * (b[1] - a[1])) / (
            high - low
        ) ** 2
        share = min(1.0, max(0.0, along))
        foot = (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)
        if dist(foot, at) < nearest:
            best, nearest = low + (high - low) * share, dist(foot, at)
    return best

"""A grid of places on the skin, or a line of them, in the order in which somebody walks it."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import floor, isfinite
from typing import Literal

from garboard.boat.hull import Hull
from garboard.notebook.body import Place, Side

MOST_PLACES = 5_000

_SLACK = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """From one distance to another in even steps, m; backwards where the second is the less."""

    first_m: float
    last_m: float
    step_m: float

    def places(self) -> tuple[float, ...]:
        """The distances, to the millimetre.

        Raises:
            ValueError: The step is not above zero, or there would be too many.

        >>> Run(first_m=1.0, last_m=0.0, step_m=0.4).places()
        (1.0, 0.6, 0.2)
        """
        if not all(map(isfinite, (self.first_m, self.last_m, self.step_m))):
            raise ValueError("Give numbers for first, last and step.")
        if self.first_m == self.last_m:
            return (self.first_m,)
        if not self.step_m > 0:
            raise ValueError(f"Give a step above zero; {self.step_m:g} m leads nowhere.")
        count = floor(abs(self.last_m - self.first_m) / self.step_m + _SLACK) + 1
        if count > MOST_PLACES:
            raise ValueError(f"That would be {count} steps; take longer ones.")
        way = self.step_m if self.last_m > self.first_m else -self.step_m
        return tuple(round(self.first_m + way * each, 3) for each in range(count))


@dataclass(frozen=True, slots=True, kw_only=True)
class Walk:
    """Stations and levels to be visited: station by station, or level by level; there and back if so wanted."""

    stations: Run
    levels: Run
    by: Literal["station", "level"] = "station"
    there_and_back: bool = False

    def places(self, part: str, side: Side, hull: Hull | None = None) -> tuple[Place, ...]:
        """The places in order; those that do not lie on the hull are left out.

        Args:
            part: The part they lie on.
            side: The side of the boat.
            hull: The schematic hull; where there is none, nothing is left out.

        Raises:
            ValueError: The runs lead nowhere, or to too many places.
        """
        stations, levels = self.stations.places(), self.levels.places()
        if len(stations) * len(levels) > MOST_PLACES:
            raise ValueError(
                f"That would be {len(stations) * len(levels)} places; take longer steps."
            )
        outer, inner = (stations, levels) if self.by == "station" else (levels, stations)
        found: list[Place] = []
        row_number = 0
        for each in outer:
            row = [
                Place(part=part, side=side, station_m=station, level_m=level)
                for other in inner
                for station, level in [(each, other) if self.by == "station" else (other, each)]
                if hull is None or _is_on(hull, station, level, side)
            ]
            found += row[::-1] if self.there_and_back and row_number % 2 else row
            row_number += bool(row)
        return tuple(found)


def are_taken(places: Iterable[Place], taken: Iterable[Place]) -> tuple[bool, ...]:
    """Of each place whether something stands there already, to the centimetre."""
    there = {_near(each) for each in taken}
    return tuple(_near(each) in there for each in places)


def _near(place: Place) -> tuple[object, ...]:
    at = [None if each is None else round(each, 2) for each in (place.station_m, place.level_m)]
    return (place.part, place.side, place.number, *at)


def _is_on(hull: Hull, station_m: float, level_m: float, side: Side) -> bool:
    try:
        hull.point(station_m, level_m, side)
    except ValueError:
        return False
    return True

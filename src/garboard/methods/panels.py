"""Panels of plating as a survey read them, and what two surveys read at the same places.

A panel is one metre of one side of one part. Its mean and its least reading are judged apart, since a limit on
a mean says nothing about a hole. Readings of different gauges, modes or scales never share a panel, nor do plates
of different original thickness.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from math import floor, hypot, sqrt
from statistics import fmean
from types import MappingProxyType

from garboard.catalogue.naming import named
from garboard.methods.campaign import campaigns
from garboard.methods.coating import Film, films_of, mean_u_um, near
from garboard.methods.criteria import criteria
from garboard.methods.gauge import (
    ALUMINIUM_M_PER_S,
    STEEL_M_PER_S,
    GaugeDoubt,
    coating_uncertainty_mm,
    doubt_in,
    metal_under_coating_mm,
)
from garboard.methods.plating import (
    mean_uncertainty_mm,
    renewal_mm,
)
from garboard.methods.result import Criterion
from garboard.methods.wastage import (
    DAYS_A_YEAR,
    SHORTEST_INTERVAL_Y,
    Wastage,
    wastage_of,
)
from garboard.methods.zone import metre_words
from garboard.notebook.body import Place, Reading, ReadingSet, Side
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

# How near two readings must lie to be of one place.
_SAME_STATION_M = 0.15
_SAME_LEVEL_M = 0.10
# Makes 0.15 m count as within 0.15 m.
_SLACK_M = 1e-9

_LOCAL: Mapping[str, str] = MappingProxyType(
    {"steel": "plating-local-steel", "aluminium": "plating-local-aluminium"}
)
_MEAN: Mapping[str, str] = MappingProxyType(
    {"steel": "plating-mean-steel", "aluminium": "plating-mean-aluminium"}
)

_M_PER_S: Mapping[str, float] = MappingProxyType(
    {"steel": STEEL_M_PER_S, "aluminium": ALUMINIUM_M_PER_S}
)
_MEMBERS = ("frames", "stringer", "engine-bearer", "hollow-sections")


@dataclass(frozen=True, slots=True, kw_only=True)
class Paint:
    """Paint that a gauge read through and that was taken off: its film, and what it showed as, mm."""

    film_mm: float
    shown_mm: float
    entries: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """One thickness reading where it was taken.

    `doubt` is that of the gauge and of the `paint` taken off; `through_paint` says that paint may have been counted
    as metal, since nobody measured it; `gauge` names instrument, mode and scale, which are never mixed.
    """

    entry: str
    at: datetime
    place: Place
    thickness_mm: float
    original_mm: float | None
    is_reference: bool
    doubt: GaugeDoubt
    through_paint: bool
    gauge: tuple[str, ...]
    paint: Paint | None = None


Pairs = tuple[tuple[Spot, Spot], ...]
"""Places read twice: the earlier spot and the present one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """One metre of one side of a part, as one gauge read it.

    `metre` counts from 0 at the stem, None where no station was noted. `original_mm` is None where nobody
    knows it, `original_u_mm` its standard uncertainty, `original_from` where it came from. `mean_mm` leaves out
    the `thicker` spots that read above the original, and is None where none is left. `limit_mm` is the mean
    thickness at which the panel is renewed, `least_limit_mm` the local one, both None where no limit applies.
    `earlier_mm` is the mean of the places read twice, `wastage` what they show, `local_wastage` what the thinnest of
    them shows.
    """

    part: str
    side: Side | None
    number: int | None
    metre: int | None
    spots: tuple[Spot, ...]
    thicker: tuple[Spot, ...]
    original_mm: float | None
    original_u_mm: float
    original_from: str
    mean_mm: float | None
    mean_u_mm: float | None
    limit_mm: float | None
    least_limit_mm: float | None
    earlier_mm: float | None
    wastage: Wastage | None
    local_wastage: Wastage | None
    earlier_used: tuple[str, ...]
    why_no_wastage: str

    @property
    def least(self) -> Spot:
        """The thinnest spot."""
        return min(self.spots, key=lambda spot: spot.thickness_mm)

    @property
    def place(self) -> Place:
        """The middle of the panel."""
        return Place(
            part=self.part,
            side=self.side,
            number=self.number,
            station_m=None if self.metre is None else self.metre + 0.5,
        )

    @property
    def name(self) -> str:
        """The part as the catalogue calls it."""
        return named(Place(part=self.part))

    @property
    def words(self) -> str:
        """The panel in words, without its part."""
        number = "" if self.number is None else f"number {self.number}"
        where = metre_words(self.metre)
        return ", ".join(filter(None, (number, self.side, where))) or "the whole part"

    @property
    def used(self) -> tuple[str, ...]:
        """The ids of the entries the present thickness rests on."""
        paints = (each for spot in self.spots if spot.paint for each in spot.paint.entries)
        return tuple(dict.fromkeys((*(spot.entry for spot in self.spots), *paints)))


# From the survey to panels


def spots_of(survey: Survey, sets: Iterable[Entry[ReadingSet]]) -> tuple[Spot, ...]:
    """The readings of thickness sets, each at its place, with measured paint taken off."""
    sets = tuple(sets)
    doubts = {each.body.instrument: doubt_in(survey, each.body.instrument) for each in sets}
    metal = survey.boat.material if survey.boat else None
    coat = _Coat(
        films=tuple(
            film
            for found in campaigns(survey, "film thickness")
            for film in films_of(survey, found)
        ),
        metal_m_per_s=_M_PER_S.get(metal) if metal else None,
    )
    return tuple(
        coat.taken_off(
            Spot(
                entry=entry.id,
                at=survey.done_at(entry),
                place=reading.place,
                thickness_mm=reading.value,
                original_mm=_stated_mm(reading),
                is_reference=reading.reference,
                doubt=doubts[entry.body.instrument],
                through_paint=_through_paint(entry.body),
                gauge=(entry.body.instrument, entry.body.mode, entry.body.scale),
            )
        )
        for entry in sets
        for reading in entry.body.readings
    )


def panels(survey: Survey) -> tuple[Panel, ...]:
    """The panels of the latest survey of thickness, in order of part, side and metre.

    On a hull that is not metal only what has an original is plate; the rest is laminate, which `drying` reads.
    """
    found = campaigns(survey, "thickness")
    if not found:
        return ()
    latest, *earlier = (spots_of(survey, sets) for sets in found)
    read_twice = tuple(_read_twice(before, latest) for before in earlier)
    by_key: dict[tuple[object, ...], list[Spot]] = defaultdict(list)
    known = {spot: _original_of(spot, latest) for spot in latest}
    material = survey.boat.material if survey.boat else None
    is_metal = material is None or material in _MEAN
    for spot in latest:
        if not is_metal and known[spot][0] is None:
            continue
        by_key[_key_of(spot, known[spot][0])].append(spot)
    return tuple(
        _panel(survey, tuple(spots), known[spots[0]], read_twice)
        for _, spots in sorted(by_key.items(), key=lambda each: _order_of(each[1][0]))
    )


def same_places(earlier: Iterable[Spot], now: Iterable[Spot]) -> Pairs:
    """Spots read twice, nearest first; each spot is matched once.

    One place is the same part, side and number, stations within 0.15 m and levels within 0.10 m; where neither
    has a station, the same words.
    """
    near = sorted(
        (
            (distance, then, spot)
            for then in earlier
            for spot in now
            if (distance := _apart_m(then.place, spot.place)) is not None
        ),
        key=lambda each: (
            each[0],
            each[1].entry,
            each[2].entry,
            each[1].thickness_mm,
            each[2].thickness_mm,
        ),
    )
    pairs: list[tuple[Spot, Spot]] = []
    taken: set[int] = set()
    for _, then, spot in near:
        if id(then) not in taken and id(spot) not in taken:
            taken |= {id(then), id(spot)}
            pairs.append((then, spot))
    return tuple(pairs)


def paint_words(spots: Sequence[Spot]) -> str:
    """What paint was taken off readings, in a sentence; empty where none was."""
    paints = [spot.paint for spot in spots if spot.paint]
    if not paints:
        return ""
    films = _from_to([each.film_mm for each in paints])
    shown = _from_to([each.shown_mm for each in paints])
    return (
        f"The gauge read through paint whose film was measured near by: {films} mm of it, which the gauge shows as "
        f"{shown} mm of metal, are taken off."
    )


def allowances(survey: Survey, part: str) -> tuple[Criterion | None, Criterion | None]:
    """The limits on the mean and on one place of a part, for the boat's own metal; None where none is held.

    The limit on a mean is written for plating; a frame or another member has that on one place alone.
    """
    metal = survey.boat.material if survey.boat else None
    if metal is None or metal not in _MEAN:
        return None, None
    of_mean = None if part in _MEMBERS else criteria()[_MEAN[metal]]
    return of_mean, criteria()[_LOCAL[metal]]


def _panel(
    survey: Survey,
    spots: tuple[Spot, ...],
    original: tuple[float | None, float, str],
    read_twice: Sequence[Pairs],
) -> Panel:
    original_mm, original_u_mm, original_from = original
    first = spots[0]
    thicker = tuple(
        spot
        for spot in spots
        if original_mm is not None
        and spot.thickness_mm > original_mm + 2 * sqrt(spot.doubt.reading_mm**2 + original_u_mm**2)
    )
    sound = [spot.thickness_mm for spot in spots if spot not in thicker]
    limits = [
        renewal_mm(original_mm, limit.limit) if limit and original_mm else None
        for limit in allowances(survey, first.place.part)
    ]
    pairs, wastage, why = _wastage(spots, read_twice, limits[0])
    thinnest = sorted(pairs, key=lambda pair: pair[1].thickness_mm)[:1]
    return Panel(
        part=first.place.part,
        side=first.place.side,
        number=first.place.number,
        metre=_metre(first.place),
        spots=spots,
        thicker=thicker,
        original_mm=original_mm,
        original_u_mm=original_u_mm,
        original_from=original_from,
        mean_mm=fmean(sound) if sound else None,
        mean_u_mm=_mean_u_mm(sound, max((spot.doubt for spot in spots), key=_worth))
        if sound
        else None,
        limit_mm=limits[0],
        least_limit_mm=limits[1],
        earlier_mm=fmean(then.thickness_mm for then, _ in pairs) if pairs else None,
        wastage=wastage,
        local_wastage=_shown(thinnest, limits[1]) if thinnest else None,
        earlier_used=tuple(dict.fromkeys(then.entry for then, _ in pairs)),
        why_no_wastage=why,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Coat:
    """The paint of a hull as its films were read, over a metal whose velocity is known or None."""

    films: tuple[Film, ...]
    metal_m_per_s: float | None

    def taken_off(self, spot: Spot) -> Spot:
        """A spot without the paint it was read through, where films near it tell how much that is."""
        found = near(self.films, spot.place, spot.at) if spot.through_paint else ()
        if not found or self.metal_m_per_s is None:
            return spot
        film_mm = fmean(film.film_um for film in found) / 1000
        try:
            metal_mm = metal_under_coating_mm(spot.thickness_mm, film_mm, self.metal_m_per_s)
        except ValueError:
            return spot
        doubt_mm = coating_uncertainty_mm(film_mm, mean_u_um(found) / 1000, self.metal_m_per_s)
        return replace(
            spot,
            thickness_mm=metal_mm,
            doubt=GaugeDoubt(
                reading_mm=hypot(spot.doubt.reading_mm, doubt_mm),
                common_mm=hypot(spot.doubt.common_mm, doubt_mm),
            ),
            through_paint=False,
            paint=Paint(
                film_mm=film_mm,
                shown_mm=spot.thickness_mm - metal_mm,
                entries=tuple(dict.fromkeys(film.entry for film in found)),
            ),
        )


def _read_twice(before: Iterable[Spot], latest: Iterable[Spot]) -> Pairs:
    """The places read at an earlier survey and again with each gauge of the latest one."""
    before, by_gauge = tuple(before), defaultdict[tuple[str, ...], list[Spot]](list)
    for spot in latest:
        by_gauge[spot.gauge].append(spot)
    return tuple(pair for spots in by_gauge.values() for pair in same_places(before, spots))


def _wastage(
    spots: tuple[Spot, ...], read_twice: Sequence[Pairs], required_mm: float | None
) -> tuple[Pairs, Wastage | None, str]:
    """The pairs and the wastage of the earlier survey that shows the greater rate, or why there is none."""
    found: list[tuple[Pairs, Wastage]] = []
    why = "No place of this panel was read at an earlier survey." if read_twice else ""
    for everywhere in read_twice:
        here = {id(spot) for spot in spots}
        pairs = tuple(pair for pair in everywhere if id(pair[1]) in here)
        if not pairs:
            continue
        years = _years(pairs)
        if any(then.through_paint != now.through_paint for then, now in pairs):
            why = "Paint was counted at one of the two surveys only, so they are not comparable."
        elif years < SHORTEST_INTERVAL_Y:
            why = f"The two surveys lie only {years:.1f} years apart."
        else:
            found.append((pairs, _shown(pairs, required_mm)))
    if not found:
        return (), None, why
    pairs, wastage = max(found, key=lambda each: each[1].rate_mm_per_y)
    return pairs, wastage, ""


def _shown(pairs: Sequence[tuple[Spot, Spot]], required_mm: float | None) -> Wastage:
    return wastage_of(
        [then.thickness_mm for then, _ in pairs],
        [now.thickness_mm for _, now in pairs],
        _years(pairs),
        earlier=max((then.doubt for then, _ in pairs), key=_worth),
        now=pairs[0][1].doubt,
        required_mm=required_mm,
    )


def _years(pairs: Sequence[tuple[Spot, Spot]]) -> float:
    spans = [(now.at - then.at).total_seconds() / 86_400 for then, now in pairs]
    return fmean(spans) / DAYS_A_YEAR


def _original_of(spot: Spot, all_spots: Sequence[Spot]) -> tuple[float | None, float, str]:
    """The original thickness, its standard uncertainty, and where it came from."""
    if spot.original_mm is not None:
        return spot.original_mm, 0.0, "as stated"
    if spot.is_reference:
        return None, 0.0, ""
    references = [
        each.thickness_mm
        for each in all_spots
        if each.is_reference
        and each.thickness_mm > 0
        and (each.place.part, each.place.side) == (spot.place.part, spot.place.side)
        and each.gauge == spot.gauge
    ]
    if not references:
        return None, 0.0, ""
    doubt = _mean_u_mm(references, spot.doubt)
    return fmean(references), doubt, "assumed from sound plate of the same part"


def _mean_u_mm(readings_mm: Sequence[float], doubt: GaugeDoubt) -> float:
    return mean_uncertainty_mm(readings_mm, doubt.reading_mm, doubt.common_mm)


def _worth(doubt: GaugeDoubt) -> tuple[float, float]:
    return (doubt.common_mm, doubt.reading_mm)


def _key_of(spot: Spot, original_mm: float | None) -> tuple[object, ...]:
    place = spot.place
    return (
        place.part, place.side, place.number, _metre(place), original_mm, spot.through_paint, *spot.gauge
    )  # fmt: skip


def _order_of(spot: Spot) -> tuple[object, ...]:
    place = spot.place
    metre = _metre(place)
    return (
        place.part,
        place.side or "",
        place.number or 0,
        -99 if metre is None else metre,
        spot.gauge,
        spot.original_mm or 0.0,
    )


def _metre(place: Place) -> int | None:
    return None if place.station_m is None else floor(place.station_m)


def _apart_m(one: Place, other: Place) -> float | None:
    """How far two readings lie apart where they are of one place, else None."""
    if (one.part, one.side, one.number) != (other.part, other.side, other.number):
        return None
    if one.station_m is None or other.station_m is None:
        return 0.0 if one.station_m is other.station_m and one.words == other.words != "" else None
    if (one.level_m is None) != (other.level_m is None):
        return None
    along = abs(one.station_m - other.station_m)
    down = abs((one.level_m or 0.0) - (other.level_m or 0.0))
    if along > _SAME_STATION_M + _SLACK_M or down > _SAME_LEVEL_M + _SLACK_M:
        return None
    return sqrt(along**2 + down**2)


def _stated_mm(reading: Reading) -> float | None:
    return float(reading.original) if reading.original and float(reading.original) > 0 else None


def _from_to(values_mm: Sequence[float]) -> str:
    low, high = f"{min(values_mm):.2f}", f"{max(values_mm):.2f}"
    return low if low == high else f"{low} to {high}"


def _through_paint(readings: ReadingSet) -> bool:
    mode = readings.mode.casefold().replace("-", " ")
    return readings.through_coating and "echo to echo" not in mode

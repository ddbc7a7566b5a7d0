"""Maps on the unrolled shell, one half a side: readings, thicknesses and soundings where they were taken.

Every number is a dot filled by the one even scale with the number beside it; what is affected is outlined and
hatched; what nobody read or struck stays blank.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from math import isfinite
from typing import Literal

from garboard.boat.hull import Hull
from garboard.catalogue.naming import capital
from garboard.drawings import svg
from garboard.drawings.hull import Hand, View
from garboard.drawings.lines import TONE
from garboard.drawings.panels import Panel, Spot, found_on, panel_lines, panels_for, skins
from garboard.drawings.sheet import MARGIN_MM, SHEET_MM, furniture
from garboard.notebook.body import Heard, Place

_DOT_MM = 1.3
_NUMBER_MM = 1.95
_SCALE_MM = 36.0
_FEW = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Value:
    """A number at a place, with its digits as read; a reference is drawn square, one beyond its limit ringed."""

    place: Place
    value: float
    as_read: str
    mark: Literal["", "reference", "beyond"] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Thickness:
    """A thickness at a place, mm, with what was there when new, if it is known."""

    place: Place
    measured_mm: float
    as_read: str
    original_mm: float | None = None
    mark: Literal["", "reference", "beyond"] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Struck:
    """A place where the hammer was used, or could not be, and what it said."""

    place: Place
    heard: Heard


@dataclass(frozen=True, slots=True, kw_only=True)
class Affected:
    """An area on one side, by stations and levels of its outline, m, in either sense of turning."""

    side: Hand
    outline: tuple[tuple[float, float], ...]
    words: str = "affected area"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pointing:
    """One panel in which something is being placed: where just now, and the places that come next."""

    panel: Panel
    here: Place | None = None
    ahead: tuple[Place, ...] = ()


def readings_map(
    hull: Hull,
    values: Sequence[Value],
    *,
    what: str,
    unit: str,
    ends: tuple[float, float] | None = None,
    affected: Sequence[Affected] = (),
    at: Pointing | None = None,
) -> View:
    """Readings of one quantity on the skin, darker the higher.

    Args:
        hull: The schematic hull.
        values: Readings; one whose place has no station and level is named in words and not drawn.
        what: The quantity and its scale, as the legend says it.
        unit: Its unit, or empty for a comparative scale.
        ends: Values at the pale and at the dark end; else the least and the greatest reading.
        affected: Areas to outline and hatch.
        at: The one panel to draw, with what is being placed in it; else all that the readings need.

    Raises:
        ValueError: A value is not finite.
    """
    numbers = [each.value for each in values]
    low, high = ends or (min(numbers, default=0.0), max(numbers, default=1.0))
    dots = [
        _Dot(
            place=each.place,
            share=_share(each.value, low, high),
            words=each.as_read,
            mark=each.mark,
        )
        for each in values
    ]
    in_unit = f"{what}, {unit}" if unit else what
    legend = _Legend(words=in_unit, low=low, high=high, marks=_marks(dots), affected=affected)
    return _numbers_map(hull, dots, what, legend, at)


def thickness_map(
    hull: Hull,
    thicknesses: Sequence[Thickness],
    *,
    affected: Sequence[Affected] = (),
    at: Pointing | None = None,
) -> View:
    """Plate thicknesses on the skin: the number is the thickness in mm, the dot darker the more is gone.

    A reading without an original is drawn open. The scale runs from nothing gone to the greatest loss, and
    to a fifth at least.

    Raises:
        ValueError: A thickness is not finite, or an original is not above zero.
    """
    losses = [_loss_pct(each) for each in thicknesses]
    most = max([20.0, *(each for each in losses if each is not None)])
    dots = [
        _Dot(
            place=each.place,
            share=None if loss is None else _share(loss, 0.0, most),
            words=each.as_read,
            mark=each.mark,
        )
        for each, loss in zip(thicknesses, losses, strict=True)
    ]
    legend = _Legend(
        words="per cent of the original gone; numbers are mm",
        low=0.0,
        high=most,
        marks=_marks(dots),
        affected=affected,
    )
    return _numbers_map(hull, dots, "Plate thickness", legend, at)


def soundings_map(
    hull: Hull,
    struck: Sequence[Struck],
    *,
    radius_m: float,
    affected: Sequence[Affected] = (),
    at: Pointing | None = None,
) -> View:
    """What the hammer said, and how far round each blow it was heard; the rest of the skin stays blank.

    Args:
        hull: The schematic hull.
        struck: Places struck, and places that could not be.
        radius_m: How far from a blow a fault would have been heard, m; above 0.
        affected: Areas to outline and hatch.
        at: The one panel to draw, with what is being placed in it; else all that the soundings need.

    Raises:
        ValueError: The radius is not above zero.
    """
    if not radius_m > 0:
        raise ValueError(f"A blow is heard some way round it; {radius_m} m is not above zero.")
    found, unplaced = found_on(hull, [(each.place, each) for each in struck])
    panels = (at.panel,) if at else panels_for(hull, [each for each, _ in found])
    parts: list[str] = []
    for panel in panels:
        here = [(panel.at(spot), each) for spot, each in found if panel.shows(spot)]
        # Distances along the skin are true where it is laid flat, not as it is seen.
        if not panel.is_profile:
            parts += _shaded(
                hull, panel, [at for at, each in here if each.heard != "not sounded"], radius_m
            )
        parts += panel_lines(hull, panel)
        parts += _hatched(hull, panel, affected)
        parts += _ahead(hull, at)
        parts += [svg.sounding_mark(each.heard, where, 1.9) for where, each in here]
        parts += _here(hull, at)
    if at:
        struck = [each for spot, each in found if at.panel.shows(spot)]
    counts = {heard: sum(each.heard == heard for each in struck) for heard in svg.HEARD_MARKS}
    reach = "" if panels[0].is_profile else f"within {svg.number(radius_m)} m of a blow"
    legend, foot = _soundings_legend(counts, reach, panels[-1].foot_mm + 5.0, affected)
    told = ", ".join(f"{count} {heard}" for heard, count in counts.items())
    alt = f"Soundings of {hull.name} on {_where(panels)}: {told}."
    if reach:
        alt += f" Shaded is what lies {reach}."
    return _map_view(hull, "Soundings", alt, [*parts, *legend], foot + 12.0, panels, unplaced)


def _shaded(
    hull: Hull, panel: Panel, struck: Sequence[svg.Point], radius_m: float
) -> Iterator[str]:
    """What lies within a radius of a blow, on the skin and nowhere else."""
    reach = radius_m * panel.frame.mm_per_m
    discs = [svg.circle(each, reach, fill=TONE, width_mm=0) for each in struck]
    shading = svg.cut(skins(hull, panel), discs)
    yield svg.cut([panel.corners()], [shading]) if panel.is_detail else shading


# Pointing


def _ahead(hull: Hull, at: Pointing | None) -> Iterator[str]:
    """The places still to be visited, as small open marks."""
    for spot in _shown(hull, at, at.ahead if at else ()):
        yield svg.circle(spot, 0.7, fill=svg.PAPER, width_mm=svg.FINE_MM, colour=svg.HAIRLINE)


def _here(hull: Hull, at: Pointing | None) -> Iterator[str]:
    """The place that is being filled in, in the sights of a cross."""
    for x, y in _shown(hull, at, (at.here,) if at and at.here else ()):
        yield svg.circle((x, y), 2.1, width_mm=svg.BOLD_MM, colour=svg.ACCENT)
        for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            ends = ((x + 2.1 * dx, y + 2.1 * dy), (x + 4.2 * dx, y + 4.2 * dy))
            yield svg.line(*ends, width_mm=svg.BOLD_MM, colour=svg.ACCENT)


def _shown(hull: Hull, at: Pointing | None, places: Sequence[Place]) -> Iterator[svg.Point]:
    if at:
        found, _ = found_on(hull, [(each, None) for each in places])
        yield from (at.panel.at(spot) for spot, _ in found if at.panel.shows(spot))


# Numbers


@dataclass(frozen=True, slots=True, kw_only=True)
class _Dot:
    place: Place
    share: float | None
    words: str
    mark: Literal["", "reference", "beyond"]


_KINDS = {
    "plain": "reading",
    "reference": "reference, known to be good",
    "beyond": "beyond the limit",
    "open": "nothing to compare with",
}
_NOWHERE = Place(part="legend")
_SAMPLES = {
    "plain": _Dot(place=_NOWHERE, share=0.4, words="", mark=""),
    "reference": _Dot(place=_NOWHERE, share=0.1, words="", mark="reference"),
    "beyond": _Dot(place=_NOWHERE, share=0.85, words="", mark="beyond"),
    "open": _Dot(place=_NOWHERE, share=None, words="", mark=""),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Legend:
    words: str
    low: float
    high: float
    marks: tuple[tuple[str, str], ...]
    affected: Sequence[Affected]


def _share(value: float, low: float, high: float) -> float:
    svg.number(value)
    return min(1.0, max(0.0, (value - low) / (high - low))) if high > low else 0.0


def _loss_pct(each: Thickness) -> float | None:
    svg.number(each.measured_mm)
    if each.original_mm is None:
        return None
    if not each.original_mm > 0:
        raise ValueError(f"An original thickness is above zero, not {each.original_mm} mm.")
    return 100 * (1 - each.measured_mm / each.original_mm)


def _marks(dots: Sequence[_Dot]) -> tuple[tuple[str, str], ...]:
    """The kinds of dot that occur, each with the words of the legend."""
    here = {_kind(each) for each in dots}
    return tuple((kind, words) for kind, words in _KINDS.items() if kind in here)


def _kind(dot: _Dot) -> str:
    if dot.mark:
        return dot.mark
    return "open" if dot.share is None else "plain"


def _numbers_map(
    hull: Hull, dots: Sequence[_Dot], what: str, legend: _Legend, at: Pointing | None
) -> View:
    found, unplaced = found_on(hull, [(each.place, each) for each in dots])
    panels = (at.panel,) if at else panels_for(hull, [each for each, _ in found])
    parts: list[str] = []
    dropped = 0
    for panel in panels:
        here = [(panel.at(spot), dot) for spot, dot in found if panel.shows(spot)]
        parts += [*panel_lines(hull, panel), *_hatched(hull, panel, legend.affected)]
        parts += _ahead(hull, at)
        parts += [_drawn(dot, where) for where, dot in here]
        numbers, left = _numbers(here)
        parts += numbers
        parts += _here(hull, at)
        dropped += left
    drawn_legend, foot = _numbers_legend(legend, panels[-1].foot_mm + 6.0)
    alt = _numbers_alt(hull, dots, what, panels, legend.affected)
    if dropped:
        unplaced += f" Numbers that found no room: {dropped}; the list of readings has them all."
    return _map_view(
        hull, what, alt, [*parts, *drawn_legend], foot + 12.0, panels, unplaced.strip()
    )


def _numbers_alt(
    hull: Hull,
    dots: Sequence[_Dot],
    what: str,
    panels: Sequence[Panel],
    affected: Sequence[Affected],
) -> str:
    values = sorted(
        (number, each.words) for each in dots if (number := _number_in(each.words)) is not None
    )
    spread = f", from {values[0][1]} to {values[-1][1]}" if values else ""
    many = "One area is" if len(affected) == 1 else f"{len(affected)} areas are"
    areas = f" {many} outlined." if affected else ""
    return f"{what} of {hull.name} on {_where(panels)}: {len(dots)} readings{spread}.{areas}"


def _number_in(words: str) -> float | None:
    try:
        number = float(words)
    except ValueError:
        return None
    return number if isfinite(number) else None


def _drawn(dot: _Dot, at: svg.Point) -> str:
    fill = svg.PAPER if dot.share is None else svg.sequential(dot.share)
    if dot.mark == "reference":
        x, y = at
        return svg.rectangle(
            (x - _DOT_MM, y - _DOT_MM), 2 * _DOT_MM, 2 * _DOT_MM, fill=fill, width_mm=svg.FINE_MM
        )
    shape = svg.circle(at, _DOT_MM, fill=fill, width_mm=svg.FINE_MM)
    if dot.mark == "beyond":
        shape += svg.circle(at, _DOT_MM + 0.7, width_mm=svg.BOLD_MM * 0.7)
    return shape


_Box = tuple[float, float, float, float]


def _numbers(dots: Sequence[tuple[svg.Point, _Dot]]) -> tuple[list[str], int]:
    """Numbers beside their dots where there is room, those beyond a limit first; and how many found none."""
    taken = _Taken()
    for at, dot in dots:
        taken.add(_round(at, dot))
    drawn: list[str] = []
    for at, dot in sorted(dots, key=lambda each: each[1].mark != "beyond"):
        for box in _boxes(at, dot):
            if taken.is_free(box):
                taken.add(box)
                drawn.append(svg.text((box[0], box[3]), dot.words, size_mm=_NUMBER_MM, halo=True))
                break
    return drawn, len(dots) - len(drawn)


def _boxes(at: svg.Point, dot: _Dot) -> tuple[_Box, ...]:
    """Where a number may stand by its dot: over it, under it, to the right, to the left."""
    x, y = at
    width, cap = svg.text_width_mm(dot.words, _NUMBER_MM), _NUMBER_MM * 0.7
    reach = _DOT_MM + (1.3 if dot.mark == "beyond" else 0.6)
    corners = (
        (x - width / 2, y - reach),
        (x - width / 2, y + reach + cap),
        (x + reach, y + cap / 2),
        (x - reach - width, y + cap / 2),
    )
    return tuple((left, base - cap, left + width, base) for left, base in corners)


class _Taken:
    """The boxes already on the paper, in cells, so that looking for a free place stays quick."""

    def __init__(self) -> None:
        self._cells: dict[tuple[int, int], list[_Box]] = {}

    def add(self, box: _Box) -> None:
        """Take a box."""
        for cell in self._cells_of(box):
            self._cells.setdefault(cell, []).append(box)

    def is_free(self, box: _Box) -> bool:
        """Whether nothing taken reaches into a box."""
        return not any(
            _overlap(box, each)
            for cell in self._cells_of(box)
            for each in self._cells.get(cell, ())
        )

    @staticmethod
    def _cells_of(box: _Box) -> list[tuple[int, int]]:
        left, top, right, foot = (int(each // 8) for each in box)
        return [(x, y) for x in range(left, right + 1) for y in range(top, foot + 1)]


def _round(at: svg.Point, dot: _Dot) -> _Box:
    x, y = at
    reach = _DOT_MM + (0.9 if dot.mark == "beyond" else 0.1)
    return (x - reach, y - reach, x + reach, y + reach)


def _overlap(one: _Box, other: _Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _hatched(hull: Hull, panel: Panel, affected: Sequence[Affected]) -> list[str]:
    """The affected areas of one panel; an outline inside another of the same words is a hole in it."""
    here = [(each.words, ring) for each in affected if (ring := _ring(hull, panel, each))]
    areas = [
        svg.polygons(
            [ring for said, ring in here if said == words],
            fill=svg.RISING.fill,
            width_mm=svg.LINE_MM,
            dash=svg.DASHED,
        )
        for words in dict.fromkeys(said for said, _ in here)
    ]
    return [svg.cut([panel.corners()], areas)] if panel.is_detail and areas else areas


def _ring(hull: Hull, panel: Panel, area: Affected) -> list[svg.Point]:
    """The outline of an area on a panel; empty where the panel does not show it."""
    if panel.shows_side not in (None, area.side):
        return []
    # An outline has a corner every few millimetres; a few of them tell whether it lies on deck.
    some = _spots(hull, area, area.outline[:: max(1, len(area.outline) // _FEW)])
    is_on_deck = 2 * sum(spot.is_on_deck for spot in some) > len(some)
    if is_on_deck != (panel.shows_side is None):
        return []
    if is_on_deck or panel.is_profile:
        return [panel.at(spot) for spot in _spots(hull, area, area.outline)]
    return [panel.frame.at(*at) for at in area.outline]


def _spots(hull: Hull, area: Affected, corners: Sequence[tuple[float, float]]) -> list[Spot]:
    places = [
        (Place(part="area", side=area.side, station_m=station_m, level_m=level_m), None)
        for station_m, level_m in corners
    ]
    return [spot for spot, _ in found_on(hull, places)[0]]


# Legends


@dataclass(frozen=True, slots=True, kw_only=True)
class _Item:
    """One thing in a legend: a mark, drawn about a point, and its words."""

    drawn: Callable[[svg.Point], str]
    words: str
    mark_mm: float = 2.6


def _flowed(items: Iterable[_Item], left_mm: float, y_mm: float) -> tuple[list[str], float]:
    """Items set one after the other in lines of their own; and where the last line stands, mm."""
    parts: list[str] = []
    x, y = left_mm, y_mm
    for each in items:
        wide = each.mark_mm + 1.4 + svg.text_width_mm(each.words, svg.SMALL_MM)
        if x > left_mm and x + wide > SHEET_MM - MARGIN_MM:
            x, y = left_mm, y + 4.6
        parts.append(each.drawn((x + each.mark_mm / 2, y)))
        at = (x + each.mark_mm + 1.4, y + 0.75)
        parts.append(svg.text(at, each.words, size_mm=svg.SMALL_MM))
        x += wide + 4.5
    return parts, y


def _numbers_legend(legend: _Legend, y_mm: float) -> tuple[list[str], float]:
    """The scale with its ends and middle, then the kinds of dot and the hatching."""
    items = [
        _Item(
            drawn=partial(_drawn, _SAMPLES[kind]),
            words=words,
            mark_mm=4.0 if kind == "beyond" else 2.6,
        )
        for kind, words in legend.marks
    ]
    parts, foot = _flowed(
        [*items, *_affected_items(legend.affected)], MARGIN_MM + _SCALE_MM + 9.0, y_mm + 1.2
    )
    return [*_scale(legend, y_mm), *parts], max(foot, y_mm + 4.0)


def _scale(legend: _Legend, y_mm: float) -> list[str]:
    x, step, height = MARGIN_MM, _SCALE_MM / 24, 2.4
    parts = [
        svg.rectangle(
            (x + step * each, y_mm),
            step + 0.05,
            height,
            fill=svg.sequential((each + 0.5) / 24),
            width_mm=0,
        )
        for each in range(24)
    ]
    parts.append(svg.rectangle((x, y_mm), _SCALE_MM, height, width_mm=svg.HAIR_MM))
    width = legend.high - legend.low
    places = 0 if width >= 10 else 1 if width >= 1 else 2
    for share in (0.0, 0.5, 1.0) if width > 0 else (0.0,):
        at = (x + _SCALE_MM * share, y_mm + height + 2.6)
        value = f"{legend.low + width * share:.{places}f}"
        parts.append(svg.text(at, value, size_mm=svg.SMALL_MM, anchor="middle"))
    parts.append(svg.text((x, y_mm - 1.4), legend.words, size_mm=svg.SMALL_MM))
    return parts


def _affected_items(affected: Sequence[Affected]) -> list[_Item]:
    """One swatch for all that is hatched."""
    words = "; ".join(dict.fromkeys(each.words for each in affected))
    return [_Item(drawn=_swatch, words=words, mark_mm=5.0)] if affected else []


def _swatch(at: svg.Point) -> str:
    x, y = at
    corners = [(x - 2.5, y - 1.2), (x + 2.5, y - 1.2), (x + 2.5, y + 1.2), (x - 2.5, y + 1.2)]
    return svg.polygon(corners, fill=svg.RISING.fill, width_mm=svg.LINE_MM, dash=svg.DASHED)


def _soundings_legend(
    counts: Mapping[Heard, int], reach: str, y_mm: float, affected: Sequence[Affected]
) -> tuple[list[str], float]:
    items = [
        _Item(drawn=partial(svg.sounding_mark, heard), words=f"{heard}, {count}")
        for heard, count in counts.items()
    ]
    shaded = _Item(
        drawn=lambda at: svg.rectangle((at[0] - 2.5, at[1] - 1.2), 5.0, 2.4, fill=TONE, width_mm=0),
        words=reach,
        mark_mm=5.0,
    )
    return _flowed(
        [*items, *([shaded] if reach else []), *_affected_items(affected)], MARGIN_MM, y_mm
    )


def _where(panels: Sequence[Panel]) -> str:
    return "the boat as she is seen" if panels[0].is_profile else "the unrolled shell"


def _map_view(
    hull: Hull,
    what: str,
    alt: str,
    parts: Iterable[str],
    foot_mm: float,
    panels: Sequence[Panel],
    note: str,
) -> View:
    title = f"{capital(what)} on {_where(panels)}"
    told = " ".join(filter(None, (capital(alt), note, f"{svg.SCHEMATIC}.")))
    foot, height_mm = furniture(panels[0].frame, foot_mm, note)
    drawn = svg.drawing(
        SHEET_MM,
        height_mm,
        title=f"{hull.name}: {title}",
        desc=told,
        parts=[*parts, svg.text((MARGIN_MM, 4.2), title, weight=600), *foot],
        hatches=[svg.RISING],
    )
    return View(svg=drawn, title=title, alt=told)

"""The hull as it is pointed at in the yard: a drawing of one panel, how its points are read, and what is left to do."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import pairwise
from typing import Any, get_args

from garboard.boat.hull import Hull
from garboard.boat.walk import Run, Walk, are_taken
from garboard.catalogue.naming import capital
from garboard.drawings import svg
from garboard.drawings.hull import View
from garboard.drawings.maps import Pointing, readings_map
from garboard.drawings.panels import Look, Panel, panel_for
from garboard.drawings.sets import HEARD_M, moisture_view, set_view, soundings_view
from garboard.drawings.sheet import SHEET_MM
from garboard.judgement.strays import SLACK_M
from garboard.methods.moisture import moisture_map
from garboard.methods.sounding import Coverage, How, Uncovered, coverage_of, patches, struck_at
from garboard.methods.zone import Zone, panel_of, shell_of, zone_words
from garboard.notebook.body import Boat, Place, ReadingSet, Sounding
from garboard.notebook.fold import Survey
from garboard.notebook.shape import write

SOUNDINGS = "soundings"
_REACHES = 240
# Steep edges, as those of a keel, are followed to the centimetre, to which places are kept.
_EDGE_M = 0.01
_STEEP_M = 0.05
# The panels on which station and level are straight lines.
_SHELL: tuple[Look, ...] = tuple(each for each in get_args(Look) if "shell" in each)
_LEFT = svg.Hatch(angle_deg=135, spacing_mm=1.8, colour=svg.HAIRLINE)


def pad_of(survey: Survey, look: str, of: str = "", part: str = "") -> dict[str, Any]:
    """One panel with what was read on it so far, or what the soundings make; their marks are the page's to draw.

    A point (x, y) of the drawing, mm, lies at station (x - zero_mm[0]) / mm_per_m aft, the other way round where the
    bow is to the right, and at level (zero_mm[1] - y) / mm_per_m, if that is within the foot and the sheer that
    `reach` has for the station. `boat` is the id of the entry by which she is drawn. `holds_mm` is the box of the
    drawing that the boat takes up; `left` a drawing of the same size of what was not struck yet, and `said` how
    closely it was, where a part is named.

    Args:
        survey: The survey.
        look: A side unrolled, whole or one half: "port-shell", "port-shell-forward" and their like.
        of: What is placed: "soundings", or the id of a reading set; the bare boat where it is empty.
        part: The part that it is placed on.

    Raises:
        ValueError: There is no such panel or set, or the hull cannot be drawn yet.
    """
    if look not in _SHELL:
        raise ValueError(f'There is no drawing called "{look}" to point at.')
    hull = shell_of(survey)
    if hull is None:
        raise ValueError("To draw the hull, state the length of hull and the beam of the boat.")
    panel = panel_for(hull, look)
    drawn = _view(survey, hull, of, Pointing(panel=panel))
    window = panel.window
    how = _how(survey, of)
    zone: Zone = (part, panel.shows_side, None)
    covered = coverage_of(survey, zone, how) if part and how else None
    return {
        "look": look,
        "boat": survey.of(Boat)[-1].id,
        "side": panel.shows_side,
        "svg": drawn.svg,
        "alt": _struck(survey, hull, panel) if of == SOUNDINGS else drawn.alt,
        "zero_mm": list(panel.frame.zero_mm),
        "mm_per_m": panel.frame.mm_per_m,
        "bow": panel.frame.bow,
        "holds_mm": [0.0, panel.head_mm, SHEET_MM, round(panel.foot_mm + 2.0 - panel.head_mm, 2)],
        "from_m": max(0.0, window.fore_m) if window else 0.0,
        "to_m": min(hull.length_m, window.aft_m) if window else hull.length_m,
        "reach": list(_reaches(hull)),
        "slack_m": SLACK_M,
        "said": _said(zone, how, covered) if part and how else [],
        "left": _left(survey, panel, zone, covered) if part and how == "sounded" else "",
    }


def grid_of(
    survey: Survey, place: Mapping[str, Any], walk: Mapping[str, Any], of: str = SOUNDINGS
) -> dict[str, Any]:
    """The places of a grid in the order in which it is walked, and the first of them that is still free.

    Args:
        survey: The survey.
        place: The part, and the side; a number where there are several.
        walk: `stations` and `levels`, each a run as `Run` has it, and the fields of `Walk` that are not the default.
        of: What is placed: "soundings", or the id of a reading set.

    Raises:
        ValueError: The runs lead nowhere, to too many places, or to none on the hull.
    """
    runs = {name: Run(**walk[name]) for name in ("stations", "levels")}
    along = Walk(**{**walk, **runs})
    places = along.places(place["part"], place["side"], shell_of(survey))
    if not places:
        raise ValueError("None of this grid lies on the hull.")
    places = tuple(replace(each, number=place.get("number")) for each in places)
    taken = are_taken(places, _placed(survey, of))
    return {
        "places": [write(each) for each in places],
        "at": taken.index(False) if False in taken else len(places),
    }


def _placed(survey: Survey, of: str) -> list[Place]:
    if of == SOUNDINGS:
        return [each.place for each in survey.bodies(Sounding)]
    sets = (each.body for each in survey.of(ReadingSet) if each.id == of)
    return [reading.place for each in sets for reading in each.readings]


def _view(survey: Survey, hull: Hull, of: str, at: Pointing) -> View:
    if not of:
        return readings_map(hull, [], what="nothing placed yet", unit="", at=at)
    if of == SOUNDINGS:
        # The page draws the marks themselves: a picture of thousands would take a phone seconds.
        return soundings_view(hull, [], patches(survey), at=at)
    entry = next((each for each in survey.of(ReadingSet) if each.id == of), None)
    if entry is None:
        raise ValueError("That set of readings is not here.")
    if entry.body.quantity == "moisture" and entry.body.readings:
        return moisture_view(hull, moisture_map(survey, entry), at=at)
    return set_view(hull, entry.body, at=at)


def _struck(survey: Survey, hull: Hull, panel: Panel) -> str:
    """The drawing of soundings in words, for those who do not see it."""
    heard = Counter(
        each.heard for each in survey.bodies(Sounding) if each.place.side == panel.shows_side
    )
    told = ", ".join(f"{count} {words}" for words, count in heard.items()) or "none yet"
    return f"{panel.name} of {hull.name}. Soundings on this side: {told}. {svg.SCHEMATIC}."


def _how(survey: Survey, of: str) -> How | None:
    """By what the skin is covered; None where nothing is said of how closely."""
    if of == SOUNDINGS:
        return "sounded"
    is_moisture = any(
        each.id == of and each.body.quantity == "moisture" for each in survey.of(ReadingSet)
    )
    return "read with a moisture meter" if is_moisture else None


def _reaches(hull: Hull) -> Iterator[list[float]]:
    """Station, foot and sheer, m, along the hull; a straight line between two neighbours misses by little."""
    stations = [n * hull.length_m / _REACHES for n in range(_REACHES + 1)]
    yield _reach(hull, 0.0)
    for before, after in pairwise(stations):
        if abs(hull.reach(after).foot_m - hull.reach(before).foot_m) > _STEEP_M:
            steps = int((after - before) / _EDGE_M)
            yield from (_reach(hull, before + n * _EDGE_M) for n in range(1, steps + 1))
        yield _reach(hull, after)


def _reach(hull: Hull, station_m: float) -> list[float]:
    reach = hull.reach(station_m)
    return [round(station_m, 3), round(reach.foot_m, 3), round(reach.sheer_m, 3)]


def _said(zone: Zone, how: How, covered: Coverage | Uncovered | None) -> list[str]:
    match covered:
        case Coverage():
            return [covered.said, *covered.caveats]
        case Uncovered():
            return [f"{capital(zone_words(zone))}: {covered.why}"]
        case None:
            return [f"{capital(zone_words(zone))}: not {how} yet."]


def _left(survey: Survey, panel: Panel, zone: Zone, covered: Coverage | Uncovered | None) -> str:
    """What lies farther from every blow than it is heard, hatched; the largest place without one in a broken ring."""
    ring = covered.panel if isinstance(covered, Coverage) else panel_of(zone, shell_of(survey))
    if not ring:
        return ""
    at, mm_per_m = panel.frame.at, panel.frame.mm_per_m
    outline = [at(*each) for each in ring]
    heard = "".join(_disc(at(*each), HEARD_M * mm_per_m) for each in struck_at(survey, zone))
    parts = [
        f'<mask id="left">{svg.polygon(outline, fill="#ffffff", width_mm=0)}<path d="{heard}"/></mask>'
        f'<g mask="url(#left)">{svg.polygon(outline, fill=_LEFT.fill, width_mm=0)}</g>'
    ]
    if isinstance(covered, Coverage):
        centre = at(*covered.unseen_at)
        parts.append(svg.circle(centre, covered.unseen_m / 2 * mm_per_m, dash=svg.DASHED))
        parts.append(svg.middle_text(centre, f"{covered.unseen_m:.2f} m"))
    return svg.drawing(
        SHEET_MM,
        panel.foot_mm + 2.0,
        title=f"Not yet sounded: {zone_words(zone)}",
        desc="Hatched is what lies farther from every blow than it is heard.",
        parts=[svg.cut([panel.corners()], parts)] if panel.is_detail else parts,
        hatches=[_LEFT],
    )


def _disc(centre: svg.Point, radius_mm: float) -> str:
    """A disc as data of a path, so that thousands are one element."""
    left, y, radius = (svg.number(each) for each in (centre[0] - radius_mm, centre[1], radius_mm))
    across = svg.number(2 * radius_mm)
    return f"M{left} {y}a{radius} {radius} 0 1 1 {across} 0a{radius} {radius} 0 1 1 -{across} 0Z"

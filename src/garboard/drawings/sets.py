"""Whole sets on the hull, as the report and the desk both show them: moisture, other readings, soundings."""

from collections.abc import Sequence

from garboard.boat.hull import Hull
from garboard.drawings.hull import View
from garboard.drawings.maps import (
    Affected,
    Pointing,
    Struck,
    Thickness,
    Value,
    readings_map,
    soundings_map,
    thickness_map,
)
from garboard.methods.moisture import JudgedReading, MoistureMap
from garboard.methods.sounding import SoundedPatch
from garboard.notebook.body import Reading, ReadingSet, Sounding

HEARD_M = 0.15
"""How far round a blow the map is shaded: a working figure, about the width a hand hammer tells."""


def moisture_view(
    hull: Hull, of: MoistureMap, *, unit: str = "", at: Pointing | None = None
) -> View:
    """A set of moisture readings, the dry reference square, much raised ones ringed, raised areas outlined.

    Args:
        hull: The schematic hull.
        of: The map of one set.
        unit: What the legend says; empty for a comparative scale.
        at: The one panel to draw, with what is being placed in it.
    """
    return readings_map(
        hull,
        [_value(each) for each in of.readings],
        what=f"moisture, set “{of.name}”",
        unit=unit,
        ends=_ends(of),
        affected=[
            Affected(side=area.side, outline=ring, words="raised readings, edge reckoned")
            for area in of.areas
            if area.side in ("port", "starboard")
            for ring in area.rings
        ],
        at=at,
    )


def set_view(hull: Hull, of: ReadingSet, *, at: Pointing | None = None) -> View:
    """Any set of readings as it was read; thicknesses beside what they were when new.

    Args:
        hull: The schematic hull.
        of: The set.
        at: The one panel to draw, with what is being placed in it.
    """
    if of.quantity == "thickness":
        return thickness_map(hull, [_thickness(each) for each in of.readings], at=at)
    values = [
        Value(
            place=each.place,
            value=each.value,
            as_read=each.as_read,
            mark="reference" if each.reference else "",
        )
        for each in of.readings
    ]
    unit = "" if of.unit == "scale" else of.unit
    return readings_map(hull, values, what=f"{of.quantity}, set “{of.name}”", unit=unit, at=at)


def soundings_view(
    hull: Hull,
    struck: Sequence[Sounding],
    found: Sequence[SoundedPatch],
    *,
    at: Pointing | None = None,
) -> View:
    """What the hammer said, with what was heard otherwise than sound outlined.

    Args:
        hull: The schematic hull.
        struck: The soundings.
        found: The patches that they make.
        at: The one panel to draw, with what is being placed in it.
    """
    return soundings_map(
        hull,
        [Struck(place=each.place, heard=each.heard) for each in struck],
        radius_m=HEARD_M,
        affected=[
            Affected(side=patch.side, outline=ring, words="dull or hollow, edge reckoned")
            for patch in found
            if patch.side in ("port", "starboard")
            for ring in patch.rings
        ],
        at=at,
    )


def _ends(of: MoistureMap) -> tuple[float, float]:
    """From the least reading to the greatest, or at least to much raised, so that a dry map looks dry."""
    values = [reading.value for reading in of.readings]
    far = [of.reference.much_raised_above] if of.reference else []
    return min(values), max([*values, *far])


def _value(reading: JudgedReading) -> Value:
    return Value(
        place=reading.place,
        value=reading.value,
        as_read=reading.as_read,
        mark="reference"
        if reading.judged == "dry reference"
        else "beyond"
        if reading.judged == "much raised"
        else "",
    )


def _thickness(reading: Reading) -> Thickness:
    original_mm = float(reading.original) if reading.original else None
    return Thickness(
        place=reading.place,
        measured_mm=reading.value,
        as_read=reading.as_read,
        original_mm=original_mm or None,
        mark="reference" if reading.reference else "",
    )

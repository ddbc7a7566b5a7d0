"""What the circumstances of a moisture set allow to be said: which verdicts must wait, and what stands beside it."""

from collections.abc import Iterator, Sequence
from datetime import datetime

from garboard.catalogue.naming import capital
from garboard.catalogue.parts import catalogue
from garboard.methods.climate import dew_margin_c
from garboard.methods.criteria import criteria
from garboard.notebook.body import Conditions, Place, ReadingSet
from garboard.notebook.entry import Entry

# Hulls are seen to fall for days and some for weeks after lift-out; common practice.
_SETTLED_H = 14 * 24

# The zones of the catalogue whose parts lie in the water.
_WET_ZONES = ("hull", "keel", "steering-and-drive", "openings", "wooden-hull", "multihull")


def why_high_must_wait(
    read: ReadingSet, read_at: datetime, conditions: Entry[Conditions] | None
) -> tuple[str, ...]:
    """Why high readings of a set, read at a time, cannot be judged yet; empty where they can."""
    if conditions is None:
        return ()
    found = []
    hours = _hours_ashore(read_at, conditions.body)
    too_soon = hours is not None and hours < criteria()["moisture-ashore"].limit
    if too_soon and _was_under_water(read):
        found.append(_sentence(criteria()["moisture-ashore"].say))
    margin_c = _margin_c(conditions.body)
    if margin_c is not None and margin_c <= criteria()["skin-wet"].limit:
        found.append(_sentence(criteria()["skin-wet"].say + "; read it again dry"))
    return tuple(found)


def why_low_must_wait(conditions: Entry[Conditions] | None) -> tuple[str, ...]:
    """Why low readings of a set cannot be judged; empty where they can."""
    surface_c = conditions.body.surface_c if conditions else None
    if surface_c is None or surface_c > 0:
        return ()
    return ("The skin was at or below freezing, and frost makes readings low; read it again.",)


def caveats(
    read: ReadingSet, read_at: datetime, conditions: Entry[Conditions] | None
) -> Iterator[str]:
    """What stands beside the readings of a set, read at a time, whatever they say."""
    if not read.calibration:
        yield "The numbers are steps of the meter's own scale, not per cent of water."
    yield from _about_reference(read)
    if read.through_coating:
        yield "Read through the coating; metal or carbon in it reads high, thick filler low."
    if conditions is None:
        yield "The conditions were not recorded: time since lift-out, weather, coating, air and skin."
        return
    seen = conditions.body
    under_water = _was_under_water(read)
    if under_water:
        yield _since_lift_out(_hours_ashore(read_at, seen))
    if seen.washed is False:
        yield "The hull had not been washed; salt on the skin reads high."
    if seen.rain_last_day:
        yield "It had rained within the last day."
    if seen.antifouling and under_water:
        yield f"Antifouling: {seen.antifouling.rstrip('.')}. Metal or carbon in a coating reads high."
    yield _above_dew(_margin_c(seen))


def _about_reference(read: ReadingSet) -> Iterator[str]:
    """Why what was marked as dry may not be."""
    dry = [each.place for each in read.readings if each.reference]
    judged = {each.place.part for each in read.readings if not each.reference}
    alike = sum(each.part in judged for each in dry)
    under_water = sum(not _is_above_water(each) for each in dry)
    if alike:
        yield f"{_of_dry(alike, dry)} on the very part that is judged by them: a part that is wet all over looks dry beside itself."
    if under_water:
        yield (
            f"{_of_dry(under_water, dry)} below the waterline, where the laminate takes up water, so raised readings "
            "may be missed. Read the topsides well above the boot-top, same laminate and coating."
        )


def _of_dry(count: int, dry: Sequence[Place]) -> str:
    if count == len(dry):
        return "The readings marked as dry lie"
    return f"{count} of the {len(dry)} readings marked as dry {'lies' if count == 1 else 'lie'}"


def _was_under_water(read: ReadingSet) -> bool:
    """Whether any of the skin that was judged lies below the boot-top; where nobody knows, it may."""
    return not all(_is_above_water(each.place) for each in read.readings if not each.reference)


def _is_above_water(place: Place) -> bool:
    if place.level_m is not None:
        return place.level_m >= 0
    part = catalogue().parts.get(place.part)
    return part is not None and (part.zone not in _WET_ZONES or part.id.startswith("topside"))


def _above_dew(margin_c: float | None) -> str:
    if margin_c is None:
        return "How far the skin stood above the dew point is not known."
    if margin_c <= criteria()["skin-wet"].limit:
        return "The skin stood at or below the dew point."
    stood = f"The skin stood {margin_c:.1f} °C above the dew point"
    if margin_c < criteria()["skin-near-dew"].limit:
        return f"{stood}, so it may have been damp and read high for that alone."
    return f"{stood}."


def _since_lift_out(hours: float | None) -> str:
    if hours is None:
        return "The time since lift-out is not known."
    ashore = f"{hours:.0f} hours" if hours < 48 else f"{hours / 24:.0f} days"
    read = f"Read {ashore} after lift-out"
    if hours < _SETTLED_H:
        return f"{read}; many hulls fall for days and some for weeks after it, so repeat high readings."
    return f"{read}."


def _hours_ashore(read_at: datetime, seen: Conditions) -> float | None:
    if seen.lifted is None or seen.lifted > read_at:
        return None
    return (read_at - seen.lifted).total_seconds() / 3600


def _margin_c(seen: Conditions) -> float | None:
    if seen.surface_c is None or seen.air_c is None or not seen.humidity_pct:
        return None
    try:
        return dew_margin_c(seen.surface_c, seen.air_c, seen.humidity_pct)
    except ValueError:
        return None


def _sentence(words: str) -> str:
    return f"{capital(words)}."

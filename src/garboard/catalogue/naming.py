"""How a place of the boat is called in a sentence."""

from collections.abc import Mapping
from functools import cache

from garboard.catalogue.parts import catalogue
from garboard.notebook.body import Place


def part_id(text: str) -> str:
    """The id of the part that a text names by its id or its name; the text itself where it names none.

    >>> part_id("Topside laminate"), part_id("keel-joint"), part_id("nothing")
    ('topside-laminate', 'keel-joint', 'nothing')
    """
    return _ids().get(text.strip().casefold(), text)


@cache
def _ids() -> Mapping[str, str]:
    named_so = {each.name.casefold(): each.id for each in catalogue().parts.values()}
    return {**named_so, **{each: each for each in catalogue().parts}}


def named(place: Place) -> str:
    """The part a place lies on, in words.

    >>> named(Place(part="seacock", side="starboard", number=3))
    'seacock, starboard 3'
    """
    part = catalogue().parts.get(place.part)
    name = part.name if part else place.part
    rest = " ".join(str(each) for each in (place.side, place.number) if each)
    return f"{name}, {rest}" if rest else name


def located(place: Place) -> str:
    """A place in words, with where on the skin it lies.

    >>> located(Place(part="keel-joint", station_m=4.2, words="at the forward end"))
    'keel-to-hull joint, at the forward end, 4.20 m aft of the stem'
    """
    words = [named(place)]
    if place.words:
        words.append(place.words)
    if place.station_m is not None:
        words.append(f"{place.station_m:.2f} m aft of the stem")
    if place.level_m is not None:
        side = "below" if place.level_m < 0 else "above"
        words.append(f"{abs(place.level_m):.2f} m {side} the boot-top")
    return ", ".join(words)


def key(place: Place) -> str:
    """A place in a form that stays the same: part id, side, number."""
    return " ".join(str(each) for each in (place.part, place.side, place.number) if each)

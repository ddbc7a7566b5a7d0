"""How a place of the boat, and the client, is called in a sentence."""

from collections.abc import Iterable, Mapping
from functools import cache
from itertools import groupby

from garboard.catalogue.parts import catalogue
from garboard.notebook.body import Instruction, Place


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


def capital(words: str) -> str:
    """Words with their first letter large, the others as they are.

    >>> capital("keel-to-hull joint, GRP")
    'Keel-to-hull joint, GRP'
    """
    return words[:1].upper() + words[1:]


def named(place: Place) -> str:
    """The part a place lies on, in words.

    >>> named(Place(part="seacock", side="starboard", number=3))
    'seacock, starboard 3'
    """
    part = catalogue().parts.get(place.part)
    name = part.name if part else place.part
    rest = " ".join(str(each) for each in (place.side, place.number) if each)
    return f"{name}, {rest}" if rest else name


def named_together(places: Iterable[Place]) -> str:
    """Places of one part, in words: its name once, then which of them, numbers that follow each other as a range.

    >>> named_together(Place(part="seacock", side="port", number=each) for each in (1, 2, 3, 5))
    'seacock, port 1 to 3 and 5'
    """
    found = list(places)
    sides = {side: [p.number for p in found if p.side == side] for side in dict.fromkeys(p.side for p in found)}  # fmt: skip
    which = [" ".join(filter(None, (side, _ranged(filter(None, numbers))))) for side, numbers in sides.items()]  # fmt: skip
    return ", ".join((named(Place(part=found[0].part)), *filter(None, which)))


def _ranged(numbers: Iterable[int]) -> str:
    runs: list[str] = []
    for _, run in groupby(enumerate(sorted(set(numbers))), lambda each: each[1] - each[0]):
        first, *rest = [number for _, number in run]
        runs.append(f"{first} to {rest[-1]}" if rest else str(first))
    *before, last = runs or [""]
    return f"{', '.join(before)} and {last}" if before else last


def addressed(asked: Instruction) -> str:
    r"""The client with the address, in a line.

    >>> addressed(Instruction(client="Tamsin Orrowby", purpose="buy", client_address="3 Quay Row,\n\nOrrow"))
    'Tamsin Orrowby, 3 Quay Row, Orrow'
    """
    lines = (each.strip(", \t") for each in (asked.client, *asked.client_address.splitlines()))
    return ", ".join(filter(None, lines))


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

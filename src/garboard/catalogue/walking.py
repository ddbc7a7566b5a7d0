"""In which order a boat is walked: data, one order for each kind of boat and visit.

`orders()` raises `CatalogueError`, which lists everything wrong with the data at once.
"""

from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable

from garboard.catalogue.applies import Applies, Facts, read_applies
from garboard.catalogue.parts import Catalogue, catalogue
from garboard.catalogue.table import Table, refuse_if_any, table_of
from garboard.notebook.body import Place
from garboard.notebook.problem import Problem

_SIDES = ("none", "starboard", "centre", "port")
_TOGETHER = ("number", "side")


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """A stretch of the walk: what it takes, and whether it keeps like numbers or a side together.

    It takes the places of its `zones` and `parts`, or what the instruction names where `asked`; of its
    `sides` alone where it has any, "none" being a place without a side.
    """

    zones: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    sides: tuple[str, ...] = ()
    together: str = ""
    asked: bool = False

    def takes(self, zone: str, place: Place, asked: tuple[str, ...]) -> bool:
        """Whether a place of a zone belongs to this leg."""
        named = (
            zone in self.zones or place.part in self.parts or (self.asked and place.part in asked)
        )
        return named and (not self.sides or (place.side or "none") in self.sides)

    def rank(self, zone: str, rank_of_part: int, place: Place) -> tuple[int, ...]:
        """What sorts a place within this leg."""
        zone_rank = self.zones.index(zone) if zone in self.zones else -1
        part_rank = self.parts.index(place.part) if place.part in self.parts else rank_of_part
        side = _SIDES.index(place.side or "none")
        number = place.number or 0
        match self.together:
            case "number":
                return (side, number, zone_rank, part_rank)
            case "side":
                return (side, zone_rank, part_rank, number)
            case _:
                return (zone_rank, part_rank, side, number)


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkingOrder:
    """The legs for one kind of boat, purpose or visit; no purposes means any."""

    id: str
    say: str
    applies: Applies
    purposes: tuple[str, ...]
    legs: tuple[Leg, ...]

    def suits(self, facts: Facts, purpose: str) -> bool:
        """Whether the boat does not refuse this order."""
        if self.purposes and purpose not in self.purposes:
            return False
        return self.applies.holds(facts) or bool(self.applies.unstated(facts))


@cache
def orders() -> tuple[WalkingOrder, ...]:
    """The walking orders of this release, the most particular first.

    Raises:
        CatalogueError: The data are wrong; it lists all that is wrong with them.
    """
    return read_orders(files("garboard.catalogue"), catalogue())


def read_orders(root: Traversable, known: Catalogue) -> tuple[WalkingOrder, ...]:
    """The orders of `walking_orders.toml` under a root.

    Raises:
        CatalogueError: The file is wrong; it lists all that is wrong with it.
    """
    problems: list[Problem] = []
    table = table_of(root, "walking_orders.toml", problems)
    found = tuple(
        _order(Table(f"walking_orders.toml: order {index}", each, problems), known)
        for index, each in enumerate(table.tables("order"), 1)
    )
    table.close()
    if found and (found[-1].purposes or found[-1].applies != Applies()):
        table.refuse("order", "the last order does not suit every boat", "End with one that does")
    refuse_if_any(problems)
    return found


def _order(table: Table, known: Catalogue) -> WalkingOrder:
    order = WalkingOrder(
        id=table.text("id"),
        say=table.text("say"),
        applies=read_applies(table, known.vocabulary),
        purposes=(
            table.several_of("purposes", known.vocabulary.purposes) if "purposes" in table else ()
        ),
        legs=tuple(
            _leg(Table(f"{table.where} leg {index}", each, table.problems), known)
            for index, each in enumerate(table.tables("legs"), 1)
        ),
    )
    for zone in known.vocabulary.zones:
        if not any(zone in leg.zones and not leg.sides for leg in order.legs):
            table.refuse(
                "legs",
                f"no leg takes all that is left of {zone}",
                "Add the zone to a leg without sides",
            )
    table.close()
    return order


def _leg(table: Table, known: Catalogue) -> Leg:
    leg = Leg(
        zones=table.several_of("zones", known.vocabulary.zones, needed=False),
        parts=table.several_of("parts", known.parts, needed=False),
        sides=table.several_of("sides", _SIDES, needed=False),
        together=table.one_of("together", _TOGETHER) if "together" in table else "",
        asked=table.flag("asked"),
    )
    if not (leg.zones or leg.parts or leg.asked):
        table.refuse("", "this leg takes nothing", "Give it zones, parts or asked")
    table.close()
    return leg

"""The small named cast that the tests share: the invented boats and people of the demo."""

from datetime import UTC, datetime, timedelta
from typing import Any, TypeVar

from garboard.notebook.body import Boat, Engine, Place, Sounding
from garboard.notebook.entry import Entry
from garboard.notebook.ids import uuid7

B = TypeVar("B")

DAY = datetime(2026, 5, 12, 9, 0, tzinfo=UTC)
SURVEY = str(uuid7(DAY, 1))
OTHER_SURVEY = str(uuid7(DAY, 2))

QUILLET = Boat(
    name="Quillet",
    identity_number="XX-QLT00417C898",
    year=1998,
    loa_m=10.20,
    lwl_m=8.75,
    beam_m=3.35,
    draught_m=1.85,
    displacement_kg=5200,
    ballast_kg=2150,
    material="grp",
    construction="single skin",
    keel="bolted-iron",
    rudder="full-skeg",
    drive="shaft",
    rig="sloop",
    mast="alloy",
    mast_step="deck",
    standing="wire",
    fuel="diesel",
    deck=("grp-sandwich",),
    exhaust="wet",
    speed="displacement",
    hulls=1,
    engines=(Engine(described="diesel", power_kw=20),),
)
HARROWMERE = Boat(
    name="Harrowmere",
    year=1989,
    loa_m=13.60,
    lwl_m=12.40,
    beam_m=4.10,
    draught_m=1.30,
    displacement_kg=18_500,
    material="steel",
    construction="plate",
    chines=1,
    keel="none",
    rudder="twin",
    drive="shaft",
    rig="none",
    fuel="diesel",
    deck=("metal",),
    exhaust="wet",
    speed="semi-displacement",
    hulls=1,
    engines=(Engine(described="port diesel"), Engine(described="starboard diesel")),
)


def entry_id(number: int) -> str:
    """An id that sorts by its number."""
    return str(uuid7(DAY + timedelta(seconds=number), number))


def entry(number: int, body: B, *, replaces: tuple[int, ...] = (), **envelope: Any) -> Entry[B]:
    """An entry of the survey, numbered for easy reading."""
    given: dict[str, Any] = {
        "id": entry_id(number),
        "survey": SURVEY,
        "at": DAY + timedelta(seconds=number),
        "author": "Ines Caldervane",
        "device": "tablet-1",
        "replaces": tuple(entry_id(each) for each in replaces),
        "why": "misread" if replaces else None,
    }
    return Entry(body=body, **{**given, **envelope})


def sounding(station_m: float = 3.2, heard: Any = "sound") -> Sounding:
    """A sounding on the port bottom."""
    return Sounding(
        place=Place(part="bottom-laminate", side="port", station_m=station_m, level_m=-0.45),
        heard=heard,
    )

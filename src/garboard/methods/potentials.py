"""Half-cell potentials: what protects the metal in the water, and against which electrode it was read.

A potential without a named reference electrode means nothing and is refused. Limits are held against silver/silver
chloride in sea water; readings are brought to it first.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import log10, sqrt
from types import MappingProxyType

from garboard.methods.campaign import latest
from garboard.methods.climate import conditions_for
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.result import Criterion, Result, verdict_of
from garboard.methods.zone import touched_words
from garboard.notebook.body import Boat, Place, Reading, ReadingSet
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

SEA_SALINITY = 35.0
SEAWATER_CELL = "Ag/AgCl/seawater"

READING_UNCERTAINTY_MV = 20.0
"""Standard uncertainty of a potential read from a boat: cell, its position, and the current's own drop; common
practice."""

CAUTION = "Nobody in the water to take readings while shore power is aboard or near."


@dataclass(frozen=True, slots=True, kw_only=True)
class Electrode:
    """A reference electrode: its potential against the standard hydrogen electrode at 25 °C, mV.

    `uncertainty_mv` is its own standard uncertainty; `is_open` says that its chloride is the water's;
    `also` are other names it goes by, as `_plain` writes them.
    """

    name: str
    she_mv: float
    uncertainty_mv: float
    is_open: bool
    also: tuple[str, ...]
    source: str


_REVIEW = "International Journal of Corrosion (2010), review of reference electrodes, table 2; read"

# In this order; words that say nothing are dropped last.
_SPELLINGS = (
    ("sea water|sw", "seawater"),
    ("saturated", "sat"),
    ("silver (silver )?chloride", "ag agcl"),
    ("copper (copper )?sul(ph|f)ate", "cu cuso4"),
    ("in|electrode|half|cell|reference", ""),
)

ELECTRODES: Mapping[str, Electrode] = MappingProxyType(
    {
        each.name: each
        for each in (
            Electrode(
                name=SEAWATER_CELL,
                she_mv=250.0,
                uncertainty_mv=5.0,
                is_open=True,
                also=(),
                source="0.24 to 0.26 V; from memory",
            ),
            Electrode(
                name="Ag/AgCl/sat KCl",
                she_mv=197.0,
                uncertainty_mv=5.0,
                is_open=False,
                also=("ag agcl sat", "ag agcl gel"),
                source=_REVIEW,
            ),
            Electrode(
                name="Ag/AgCl/1 mol KCl",
                she_mv=236.0,
                uncertainty_mv=5.0,
                is_open=False,
                also=("ag agcl 1 m kcl",),
                source=_REVIEW,
            ),
            Electrode(
                name="Cu/CuSO4",
                she_mv=316.0,
                uncertainty_mv=5.0,
                is_open=False,
                also=("cse", "cu cuso4 sat", "sat cu cuso4"),
                source=_REVIEW,
            ),
            Electrode(
                name="SCE",
                she_mv=241.0,
                uncertainty_mv=5.0,
                is_open=False,
                also=("calomel", "sat calomel"),
                source=_REVIEW,
            ),
            Electrode(
                name="Zn/seawater",
                she_mv=-780.0,
                uncertainty_mv=20.0,
                is_open=False,
                also=("zinc", "zn", "zinc seawater"),
                source="-0.78 V within 0.02 V; from memory",
            ),
            Electrode(
                name="SHE",
                she_mv=0.0,
                uncertainty_mv=0.0,
                is_open=False,
                also=("standard hydrogen", "hydrogen"),
                source="definition",
            ),
        )
    }
)
"""The reference electrodes by name."""


def electrode(name: str) -> Electrode:
    """The electrode of a name, however it is written.

    Raises:
        ValueError: The name is empty or not known.
    """
    asked = _plain(name)
    if not asked:
        raise ValueError("A potential needs its reference electrode; none was named.")
    for each in ELECTRODES.values():
        if asked == _plain(each.name) or asked in each.also:
            return each
    known = ", ".join(ELECTRODES)
    raise ValueError(f'The reference electrode "{name}" is not known. Known are: {known}.')


@method(
    name="Potential against another electrode",
    what_for="Bring a reading to the electrode a limit is written for.",
    symbols={
        "potential_mv": "mV against `read_with`",
        "read_with": "reference electrode of the reading",
        "wanted": "reference electrode wanted",
        "result": "mV against `wanted`",
    },
    limits=(
        "At 25 °C; the silver chloride cell in sea water is known within 10 mV, a zinc within 20. A cell open to "
        "water of another salinity is corrected first, see in_sea_water_mv."
    ),
    source="electrode potentials of International Journal of Corrosion (2010), table 2; zinc and sea-water silver "
    "chloride from memory",
    standing="guidance",
    text="read",
)
def converted_mv(potential_mv: float, read_with: str, wanted: str) -> float:
    """The potential by way of the hydrogen electrode.

    Args:
        potential_mv: mV against the electrode it was read with.
        read_with: Its name.
        wanted: Name of the electrode wanted.

    Returns:
        mV.

    Raises:
        ValueError: An electrode is not named or not known.

    >>> converted_mv(-800, "Ag/AgCl/seawater", "Cu/CuSO4")
    -866.0
    """
    return potential_mv + electrode(read_with).she_mv - electrode(wanted).she_mv


@method(
    name="Shift of an open silver chloride cell",
    what_for="A dry silver chloride cell follows the water's chloride: brackish water makes it read too negative.",
    symbols={
        "salinity": "practical salinity",
        "water_c": "°C",
        "result": "mV to be added to the reading",
    },
    limits=(
        "Practical salinity 0.5 to 42. Cells filled with their own salt need none. Within about 10 mV; fresh "
        "water's other salts and its voltage drop make it worse."
    ),
    source="Nernst equation, chloride taken as proportional to salinity, against 35",
    standing="common practice",
    text="read",
)
def chloride_shift_mv(salinity: float, water_c: float = 25.0) -> float:
    """What the cell itself has risen above its potential at a salinity of 35.

    Args:
        salinity: Practical salinity, 0.5 to 42.
        water_c: Of the water, -2 to 40 °C.

    Returns:
        mV; positive below 35.

    Raises:
        ValueError: Salinity or temperature is out of its range.

    >>> round(chloride_shift_mv(5), 1)
    50.0
    """
    if not 0.5 <= salinity <= 42 or not -2 <= water_c <= 40:
        raise ValueError(
            "The correction holds from a salinity of 0.5 to 42 and from -2 to 40 °C; "
            f"{salinity:g} and {water_c:g} °C were given."
        )
    per_decade_mv = 1000 * 8.314462618 / 96485.33212 * (water_c + 273.15) * 2.302585092994046
    return per_decade_mv * log10(SEA_SALINITY / salinity)


@method(
    name="Potential as in sea water",
    what_for="A reading of any electrode in any water, as the sea-water silver chloride cell would read it.",
    symbols={
        "potential_mv": "mV as read",
        "read_with": "reference electrode",
        "salinity": "practical salinity of the water",
        "water_c": "°C",
        "result": "mV against Ag/AgCl/seawater",
    },
    limits="The chloride correction holds for chloride cells in sea and brackish water; others are moved by their difference alone.",
    source="the two together",
    standing="guidance",
    text="read",
    defer=CAUTION,
)
def in_sea_water_mv(
    potential_mv: float, read_with: str, salinity: float = SEA_SALINITY, water_c: float = 25.0
) -> float:
    """The reading with the open cell's shift taken out, against the sea-water silver chloride cell.

    Args:
        potential_mv: As read, mV.
        read_with: Name of the electrode.
        salinity: Practical salinity, 0.5 to 42; matters to an open cell only.
        water_c: Of the water, -2 to 40 °C.

    Returns:
        mV.

    Raises:
        ValueError: The electrode is not named or not known, or the water is out of range.

    >>> round(in_sea_water_mv(-850, "Ag/AgCl/seawater", 5))
    -800
    """
    shift = chloride_shift_mv(salinity, water_c) if electrode(read_with).is_open else 0.0
    return converted_mv(potential_mv + shift, read_with, SEAWATER_CELL)


@method(
    name="Protective shift",
    what_for="How far the anodes push a metal below the potential it takes when it corrodes freely.",
    symbols={
        "protected_mv": "mV with the anodes",
        "free_mv": "mV without, same electrode",
        "result": "mV",
    },
    limits="The same place, electrode and water; without anodes long enough to come to rest, a day or so.",
    source="common practice: 200 mV or more in the negative direction",
    standing="common practice",
    text="read",
    defer=CAUTION,
)
def shift_mv(protected_mv: float, free_mv: float) -> float:
    """Protected less free; negative where the metal is protected.

    Args:
        protected_mv: With the anodes, mV.
        free_mv: Freely corroding, mV against the same electrode.

    Returns:
        mV.

    >>> shift_mv(-800, -600)
    -200
    """
    return protected_mv - free_mv


@dataclass(frozen=True, slots=True, kw_only=True)
class Potential:
    """One potential as it would be read with the sea-water silver chloride cell.

    `potential_mv` is None, with `why`, where it cannot be told; `is_free` says that it was read without anodes;
    `mode` is that of its set, such as "shore lead in"; `used` are the ids of the entries it rests on.
    """

    entry: str
    used: tuple[str, ...]
    place: Place
    read_mv: float
    electrode: str
    potential_mv: float | None
    uncertainty_mv: float
    is_free: bool
    mode: str = ""
    why: str = ""
    caveats: tuple[str, ...] = ()


def potentials(survey: Survey) -> tuple[Potential, ...]:
    """The potentials of a survey, in the order they were read."""
    return tuple(
        _potential(survey, entry, reading)
        for entry in latest(survey, "potential")
        for reading in entry.body.readings
    )


# What hangs on the hull and is of another metal.
_OTHER_METAL = re.compile(r"propeller|shaft|rudder|bracket|thruster|fitting|seacock", re.IGNORECASE)


def band_of(boat: Boat | None) -> tuple[Criterion, Criterion] | None:
    """The limits for a boat's hull, least and most negative; None where none are held."""
    family = _hull_family(boat)
    if family is None:
        return None
    return criteria()[f"potentials-{family}-under"], criteria()[f"potentials-{family}-over"]


def results(survey: Survey) -> tuple[Result, ...]:
    """Each potential against the band of the hull; and the shift where it was read without anodes too."""
    found = potentials(survey)
    band = band_of(survey.boat)
    held = tuple(_held(each, band) for each in found if not each.is_free)
    return held + tuple(_shifts(found))


def _potential(survey: Survey, entry: Entry[ReadingSet], reading: Reading) -> Potential:
    read = entry.body
    value, why, doubt, caveats = None, "", READING_UNCERTAINTY_MV, list[str]()
    conditions = conditions_for(survey, entry)
    try:
        cell = electrode(read.electrode)
    except ValueError as problem:
        why = str(problem)
    else:
        doubt = sqrt(READING_UNCERTAINTY_MV**2 + cell.uncertainty_mv**2)
        seen = conditions.body if conditions else None
        salinity = seen.salinity if seen else None
        water_c = seen.water_c if seen and seen.water_c is not None else 25.0
        if cell.is_open and salinity is None:
            caveats.append(
                "The water's salinity was not recorded and was taken as 35; in brackish water this cell reads "
                "too negative."
            )
        if cell.name.startswith("Zn"):
            caveats.append("Read with a zinc, which is less steady than silver chloride.")
        if seen and seen.lying != "afloat":
            why = "The boat was not afloat: a potential is read in the water she lies in."
        else:
            try:
                value = in_sea_water_mv(
                    reading.value,
                    read.electrode,
                    SEA_SALINITY if salinity is None else salinity,
                    water_c,
                )
            except ValueError as problem:
                why = str(problem)
    mode = read.mode.casefold()
    return Potential(
        entry=entry.id,
        used=(entry.id, *((conditions.id,) if conditions else ())),
        place=reading.place,
        read_mv=reading.value,
        electrode=read.electrode,
        potential_mv=value,
        uncertainty_mv=doubt,
        is_free="free" in mode or "without anodes" in mode,
        mode=read.mode,
        why=why,
        caveats=tuple(caveats),
    )


def _held(potential: Potential, band: tuple[Criterion, Criterion] | None) -> Result:
    circumstance = f" ({potential.mode})" if potential.mode else ""
    what = f"potential at {touched_words(potential.place)}{circumstance}"
    value = potential.potential_mv
    if value is None:
        return Result(
            method="potentials.in_sea_water_mv",
            what=what,
            value=None,
            unit="mV",
            verdict="cannot say",
            used=potential.used,
            place=potential.place,
            caveats=(potential.why,),
        )
    is_hull = not _OTHER_METAL.search(f"{potential.place.part} {potential.place.words}")
    limit = _nearer(value, band) if band and is_hull else None
    return Result(
        method="potentials.in_sea_water_mv",
        what=f"{what}, against {SEAWATER_CELL}",
        value=value,
        unit="mV",
        verdict=verdict_of(value, potential.uncertainty_mv, limit) if limit else "not comparable",
        used=potential.used,
        uncertainty=potential.uncertainty_mv,
        criterion=limit,
        place=potential.place,
        caveats=(
            *potential.caveats,
            f"Read as {potential.read_mv:g} mV with {electrode(potential.electrode).name}.",
            *(() if band else ("No limits are held for a hull of this material.",)),
            *(
                ()
                if is_hull
                else ("The limits are those of the hull's own metal, which this is not.",)
            ),
            "Anodes in place and the boat at rest for a day; once with the shore lead and once without.",
            CAUTION,
        ),
    )


def _nearer(value: float, band: tuple[Criterion, Criterion]) -> Criterion:
    """The limit of the band that a potential is nearer to, or beyond."""
    under, over = band
    return under if value - over.limit > under.limit - value else over


def _shifts(found: Sequence[Potential]) -> Iterator[Result]:
    """The shift at each place that was read with and without anodes."""
    limit = criteria()["potentials-shift"]
    for free in found:
        if not free.is_free:
            continue
        what = f"protective shift at {touched_words(free.place)}"
        held = next((e for e in found if not e.is_free and e.place == free.place), None)
        if held is None or held.potential_mv is None or free.potential_mv is None:
            why = free.why or (held.why if held else "It was not read with the anodes as well.")
            yield Result(
                method="potentials.shift_mv",
                what=what,
                value=None,
                unit="mV",
                verdict="cannot say",
                used=free.used,
                place=free.place,
                caveats=(why,),
            )
            continue
        value = shift_mv(held.potential_mv, free.potential_mv)
        doubt = sqrt(2) * READING_UNCERTAINTY_MV
        yield Result(
            method="potentials.shift_mv",
            what=what,
            value=value,
            unit="mV",
            verdict=verdict_of(value, doubt, limit),
            used=tuple(dict.fromkeys((*held.used, *free.used))),
            uncertainty=doubt,
            criterion=limit,
            place=free.place,
            caveats=(
                f"{_mv(free.potential_mv)} without anodes, {_mv(held.potential_mv)} with them.",
                CAUTION,
            ),
        )


def _mv(potential_mv: float) -> str:
    return f"{potential_mv:.0f} mV".replace("-", "\N{MINUS SIGN}")


def _hull_family(boat: Boat | None) -> str | None:
    match boat.material if boat else None:
        case "steel":
            return "steel"
        case "aluminium":
            return "aluminium"
        case "grp" | "sandwich":
            alloy_drive = boat is not None and boat.drive in ("saildrive", "sterndrive")
            return "grp-alloy-drive" if alloy_drive else "grp"
        case "carvel" | "clinker" | "strip" | "cold-moulded" | "plywood":
            return "wood"
        case _:
            return None


def _plain(name: str) -> str:
    """A name in lower case, its marks turned to single spaces, its common spellings to one."""
    words = " ".join("".join(c if c.isalnum() else " " for c in name.casefold()).split())
    for spelt, plain in _SPELLINGS:
        words = re.sub(rf"\b{spelt}\b", plain, words)
    return " ".join(words.split())

"""Hypothesis strategies for entries, shared by all property tests."""

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta, timezone
from typing import Any

from cast import SURVEY
from hypothesis import strategies as st

from garboard.notebook.body import (
    Arrangement,
    Boat,
    Cost,
    Examination,
    Finding,
    Limitation,
    Observation,
    Place,
    Reading,
    ReadingSet,
    Remark,
    Sounding,
    Told,
    Unknown,
    Withdrawal,
)
from garboard.notebook.canonical import canonical
from garboard.notebook.entry import Entry
from garboard.notebook.ids import uuid7

words = st.text(st.characters(codec="utf-8", exclude_characters="\x00"), max_size=20)
ids = st.integers(1, 30).map(lambda n: str(uuid7(datetime(2026, 5, 12, tzinfo=UTC), n)))
moments = st.builds(
    lambda seconds, minutes: (
        datetime(2026, 5, 12, tzinfo=UTC).astimezone(timezone(timedelta(minutes=minutes)))
        + timedelta(seconds=seconds)
    ),
    st.integers(0, 100_000),
    st.integers(-720, 720),
)
parts = st.sampled_from(["rudder-blade", "keel-joint"])
places = st.builds(
    Place,
    part=parts,
    side=st.sampled_from([None, "port", "starboard", "centre"]),
    number=st.none() | st.integers(1, 99),
    station_m=st.none() | st.floats(0, 20),
    level_m=st.none() | st.floats(-5, 5),
)
decimals = st.decimals(0, 100, places=2, allow_nan=False).map(str)
json_values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53) + 1, 2**53 - 1)
    | st.floats(allow_nan=False, allow_infinity=False)
    | words,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(words, inner, max_size=3),
    max_leaves=8,
)
bodies: st.SearchStrategy[Any] = st.one_of(
    st.builds(Sounding, place=places, heard=st.sampled_from(["sound", "dull", "hollow"])),
    st.builds(
        Examination, place=places, extent=st.sampled_from(["whole", "part"]), how=st.just(("look",))
    ),
    st.builds(Limitation, place=places, not_reached=words, reasons=st.just(("lined",))),
    st.builds(Observation, place=places, seen=words, count=st.none() | st.integers(0, 99)),
    st.builds(Told, who=words, said=words, about=st.lists(parts, max_size=2).map(tuple)),
    st.builds(Remark, text=words),
    st.builds(
        Arrangement,
        what=st.sampled_from(["contact", "fee", "visit", "follow-up"]),
        words=words,
        on=st.none() | st.dates(date(2000, 1, 1), date(2100, 1, 1)),
    ),
    st.builds(
        ReadingSet,
        name=words,
        quantity=st.just("thickness"),
        unit=st.just("mm"),
        instrument=words,
        readings=st.lists(st.builds(Reading, place=places, as_read=decimals), max_size=3).map(
            tuple
        ),
    ),
    st.builds(
        Boat,
        name=words,
        loa_m=st.none() | st.floats(2, 40),
        numbers=st.dictionaries(st.sampled_from(["seacock", "hatch"]), st.integers(0, 20)),
    ),
    st.builds(
        Finding,
        name=words,
        title=words,
        seen=words,
        why=words,
        urgency=st.sampled_from(["before launching", "keep under watch"]),
        because=words,
        how_known=st.just(("seen",)),
        places=st.tuples(places),
        evidence=st.lists(ids, max_size=2).map(tuple),
    ),
    st.builds(
        Cost,
        recommendation=ids,
        low_minor=st.integers(0, 10**6),
        high_minor=st.integers(10**6, 10**7),
        currency=st.just("EUR"),
        basis=words,
        on=st.dates(max_value=date(2026, 11, 1)),
    ),
    st.builds(
        lambda kind, value: Unknown(kind=f"later {kind}", json=canonical(value).decode()),
        words,
        json_values,
    ),
)


@st.composite
def entries(draw: Callable[[st.SearchStrategy[Any]], Any]) -> Entry[Any]:
    """One entry; it may replace others, which may be absent."""
    own = draw(ids)
    replaces = tuple(each for each in draw(st.lists(ids, max_size=2, unique=True)) if each != own)
    body = draw(bodies)
    if replaces and draw(st.booleans()):
        body = Withdrawal()
    return Entry(
        id=own,
        survey=SURVEY,
        at=draw(moments),
        author="Ines Caldervane",
        device=draw(st.sampled_from(["tablet-1", "tablet-2", "desk"])),
        body=body,
        replaces=replaces,
        why="because" if replaces else None,
    )


notebooks = st.lists(entries(), min_size=1, max_size=12)

"""Readings that cannot be, or say too little, are answered in words; none of them stops the results."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from math import isfinite
from typing import Any, get_args

import pytest
from cast import DAY, HARROWMERE, QUILLET, entry
from hypothesis import given, settings
from hypothesis import strategies as st

from garboard.catalogue.parts import catalogue
from garboard.methods.library import methods, results_of
from garboard.methods.result import Result, Verdict
from garboard.notebook.body import (  # fmt: skip
    Boat,
    Conditions,
    Instrument,
    InstrumentCheck,
    Place,
    Quantity,
    Reading,
    ReadingSet,
)
from garboard.notebook.entry import Entry
from garboard.notebook.fold import fold
from garboard.notebook.vet import Known, Vetted, vet

PARTS = sorted(catalogue().parts)
ELECTRODE = "Ag/AgCl/seawater"

# Each unit a quantity is given in, with values from one end of what can be shown to the other.
SHOWN: dict[Quantity, tuple[str, tuple[str, ...]]] = {
    "moisture": ("scale", ("0", "12", "1000")),
    "thickness": ("mm", ("0", "5.6", "500")),
    "pit depth": ("mm", ("0", "1.8", "100")),
    "potential": ("mV", ("-3000", "-800", "0", "3000")),
    "resistance": ("ohm", ("0", "0.2", "1000000000")),
    "mass": ("kg", ("0", "0.6", "10000")),
    "anode loss": ("%", ("0", "40", "100")),
    "temperature": ("°C", ("-60", "20", "1200")),
    "voltage": ("V", ("-1000", "0", "12.6", "1000")),
    "current": ("A", ("-10000", "0", "0.05", "10000")),
    "gap": ("mm", ("0", "1.3", "1000")),
    "play": ("mm", ("0", "0.8", "1000")),
    "hardness": ("scale", ("0", "40", "1000")),
    "length": ("m", ("0", "0.6", "200")),
    "diameter": ("mm", ("0", "30", "5000")),
    "pitch": ("mm", ("0", "400", "10000")),
    "run-out": ("mm", ("0", "0.1", "100")),
    "angle": ("deg", ("-360", "0", "35", "360")),
    "revolutions": ("rpm", ("0", "1500", "20000")),
    "speed": ("kn", ("0", "7", "100")),
    "pressure": ("bar", ("-1", "0", "0.037", "500")),
    "flow": ("l/min", ("0", "20", "100000")),
    "area": ("cm²", ("0", "70", "1000000")),
    "time": ("s", ("0", "0.028", "1000000")),
    "frequency": ("Hz", ("0", "1130", "1000000")),
    "capacity": ("Ah", ("0", "90", "100000")),
    "concentration": ("ppm", ("0", "35", "1000000")),
    "viscosity": ("mm²/s", ("0", "14.2", "100000")),
    "film thickness": ("µm", ("0", "250", "20000")),
}

# What families listen for in the words of a place, a set, a scale or a note.
WORDS = (
    "", "rest", "off", "load test", "compression", "coolant fresh", "fuel", "propane", "oxygen",
    "carbon monoxide", "iron 120 h", "water", "insulation", "5 × selective", "blade 1, 0.7 R", "hub",
    "coupling", "intermediate", "deflection", "class I", "bare", "stainless 316", "gravity", "long",
    "wide", "high", "fuse", "500 V", "reference strikes",
)  # fmt: skip


def vetted(*bodies: object, boat: Boat = QUILLET) -> Vetted:
    entries: list[Entry[Any]] = [entry(1, boat)]
    entries += [entry(number, body) for number, body in enumerate(bodies, 2)]
    return vet(entries, known=Known(parts=PARTS), now=DAY + timedelta(days=1))


def results_from(*bodies: object, boat: Boat = QUILLET) -> tuple[Result, ...]:
    found = vetted(*bodies, boat=boat)
    assert found.problems == ()
    return results_of(fold(found.accepted))


def refused(*bodies: object) -> str:
    return " ".join(str(each) for each in vetted(*bodies, boat=HARROWMERE).problems)


def reading_set(quantity: Quantity, unit: str, *values: str, **more: Any) -> ReadingSet:
    place = Place(part=more.pop("part", "bottom-plate-thickness"), side="port", station_m=3.2)
    return ReadingSet(
        name=more.pop("name", "set"),
        quantity=quantity,
        unit=unit,
        instrument="meter",
        readings=tuple(Reading(place=place, as_read=each, original=more.get("original", "")) for each in values),
        **{key: each for key, each in more.items() if key != "original"},
    )  # fmt: skip


def moisture(
    read: Sequence[float], dry: Sequence[float] = (), name: str = "hull", **more: Any
) -> ReadingSet:
    rows = [("bottom-moisture", -0.4, False, each) for each in read]
    rows += [("topside-laminate", 0.6, True, each) for each in dry]
    return ReadingSet(
        name=name,
        quantity="moisture",
        unit=more.pop("unit", "scale"),
        instrument="moisture meter",
        readings=tuple(
            Reading(
                place=Place(part=part, side="port", station_m=1 + 0.3 * number, level_m=level),
                as_read=f"{value:g}",
                reference=is_dry,
            )
            for number, (part, level, is_dry, value) in enumerate(rows)
        ),
        **more,
    )


def raised(results: Sequence[Result]) -> dict[str, Result]:
    head = "raised moisture readings, "
    return {each.what.removeprefix(head): each for each in results if each.what.startswith(head)}


def test_a_negative_thickness_never_gets_in() -> None:
    said = refused(reading_set("thickness", "mm", "-5.6"))

    assert "-5.6 mm cannot be" in said
    assert "from 0 to 500 mm" in said


def test_a_potential_of_five_volts_never_gets_in() -> None:
    said = refused(reading_set("potential", "mV", "5000", part="anode", electrode=ELECTRODE))

    assert "5000 mV cannot be" in said


@pytest.mark.parametrize("text", ["NaN", "nan", "inf", "-Infinity", "1e3", "five", "5,6", "", " 5"])
def test_text_that_is_no_number_never_gets_in(text: str) -> None:
    assert f'"{text}" is not a number' in refused(reading_set("thickness", "mm", text))


@pytest.mark.parametrize("text", ["NaN", "six"])
def test_an_original_that_is_no_number_never_gets_in(text: str) -> None:
    said = refused(reading_set("thickness", "mm", "5.6", original=text))

    assert f'reading 1 original: "{text}" is not a number' in said


@pytest.mark.parametrize(
    ("quantity", "unit"), [("thickness", "in"), ("potential", "V"), ("moisture", "%")]
)
def test_a_unit_the_quantity_is_not_given_in_never_gets_in(quantity: Quantity, unit: str) -> None:
    said = refused(reading_set(quantity, unit, "0.25"))

    assert "Use " in said


def test_what_was_refused_leaves_its_neighbours_to_be_judged() -> None:
    bad, good = (reading_set("thickness", "mm", each, original="6.0") for each in ("-5.6", "5.6"))

    found = vetted(bad, good, boat=HARROWMERE)

    losses = [each for each in results_of(fold(found.accepted)) if each.method == "plating.diminution_pct"]  # fmt: skip
    assert len(found.problems) == 1
    assert losses
    assert all(each.value == pytest.approx(100 * 0.4 / 6) for each in losses)


def test_ten_equal_moisture_readings_without_a_dry_place_are_not_judged() -> None:
    found = raised(results_from(moisture([15] * 10)))["hull"]

    assert (found.value, found.verdict) == (None, "not comparable")
    assert found.caveats[0].startswith("No dry reference was read on this boat")


def test_ten_equal_moisture_readings_like_their_reference_are_not_distinguished() -> None:
    found = raised(results_from(moisture([15] * 10, [15] * 10)))["hull"]

    assert (found.value, found.verdict) == (0.0, "within")
    assert "0 of 10 readings" in found.caveats[0]


def test_one_moisture_reading_and_one_dry_place_are_too_few() -> None:
    found = raised(results_from(moisture([15], [12])))["hull"]

    assert (found.value, found.verdict) == (None, "cannot say")
    assert "too few to judge by" in found.caveats[0]


def test_one_thickness_is_worth_what_its_gauge_is() -> None:
    found = results_from(reading_set("thickness", "mm", "5.6", original="6.0"), boat=HARROWMERE)

    mean = next(each for each in found if each.what.startswith("mean loss"))
    assert mean.value == pytest.approx(100 * 0.4 / 6)
    assert mean.uncertainty == pytest.approx(100 * 0.1 / 6)


def test_a_scale_changed_half_way_makes_two_sets_each_with_its_own_reference() -> None:
    deep = moisture([12, 13, 14], [10] * 8, name="deep", scale="deep")
    shallow = moisture([101, 100, 100], [100] * 8, name="shallow", scale="shallow")

    together = raised(results_from(deep, shallow))

    assert together["deep"] == raised(results_from(deep))["deep"]
    assert (together["deep"].verdict, together["shallow"].verdict) == ("beyond", "within")


@pytest.mark.parametrize(
    "other", [{"scale": "shallow"}, {"unit": "%", "calibration": "own, of this laminate"}]
)
def test_the_reference_of_one_scale_or_unit_never_serves_another(other: dict[str, Any]) -> None:
    with_reference = moisture([12, 13], [10, 11] * 5, name="with", scale="deep")

    found = raised(results_from(with_reference, moisture([14, 15], name="without", **other)))

    assert found["with"].verdict == "within"
    assert found["without"].verdict == "not comparable"


def test_a_plate_whose_original_is_zero_is_not_known() -> None:
    found = results_from(reading_set("thickness", "mm", "5.6", original="0"), boat=HARROWMERE)

    (loss,) = (each for each in found if each.method == "plating.diminution_pct")
    assert loss.verdict == "cannot say"
    assert "original thickness is not known" in loss.caveats[0]


def test_sound_plate_that_reads_zero_lends_no_original() -> None:
    read = reading_set("thickness", "mm", "5.6", "0")
    sound = replace(read.readings[1], reference=True)

    found = results_from(replace(read, readings=(read.readings[0], sound)), boat=HARROWMERE)

    verdicts = {each.verdict for each in found if each.method == "plating.diminution_pct"}
    assert verdicts == {"cannot say"}


def test_a_potential_against_no_electrode_says_why_it_means_nothing() -> None:
    found = results_from(reading_set("potential", "mV", "-900", part="anode"), boat=HARROWMERE)

    (held,) = (each for each in found if each.method.startswith("potentials."))
    assert (held.value, held.verdict) == (None, "cannot say")
    assert "electrode" in " ".join(held.caveats)


def test_a_boat_of_no_size_at_all_stops_nothing() -> None:
    nothing = replace(HARROWMERE, loa_m=0.0, lwl_m=0.0, beam_m=0.0, draught_m=0.0, displacement_kg=0.0)  # fmt: skip

    found = results_from(reading_set("thickness", "mm", "5.6", original="6.0"), boat=nothing)

    assert any(each.method == "plating.diminution_pct" for each in found)
    assert not [each for each in found if each.method.startswith("figures.")]


def test_every_quantity_is_tried() -> None:
    assert set(SHOWN) == set(get_args(Quantity))


@st.composite
def reading_sets(draw: st.DrawFn) -> ReadingSet:
    quantity = draw(st.sampled_from(sorted(SHOWN)))
    unit, values = SHOWN[quantity]
    parts = draw(st.lists(st.sampled_from(PARTS), min_size=1, max_size=2))
    readings = st.builds(
        Reading,
        place=st.builds(
            Place,
            part=st.sampled_from(parts),
            side=st.sampled_from([None, "port", "starboard", "centre"]),
            number=st.sampled_from([None, 1]),
            station_m=st.sampled_from([None, -4.0, 0.0, 3.0, 150.0]),
            level_m=st.sampled_from([None, -0.4, 0.0, 30.0]),
            words=st.sampled_from(WORDS),
        ),
        as_read=st.sampled_from(values),
        original=st.sampled_from(("", *values)),
        to=st.sampled_from(["", "shaft"]),
        reference=st.booleans(),
        note=st.sampled_from(WORDS),
    )
    return ReadingSet(
        name=draw(st.sampled_from(WORDS)) or "set",
        quantity=quantity,
        unit=unit,
        instrument=draw(st.sampled_from(["one", "another", ""])),
        readings=tuple(draw(st.lists(readings, max_size=10))),
        scale=draw(st.sampled_from(WORDS)),
        mode=draw(st.sampled_from(["", "insulation", "echo-to-echo", "reference strikes"])),
        electrode=draw(st.sampled_from(["", ELECTRODE, "a nail"])),
    )


extremes = st.sampled_from([None, -60.0, 20.0, 120.0])
conditions = st.builds(
    Conditions,
    lying=st.sampled_from(["ashore", "afloat"]),
    began=st.just(DAY),
    air_c=extremes,
    surface_c=extremes,
    water_c=extremes,
    humidity_pct=st.sampled_from([None, 0.0, 50.0, 100.0]),
    salinity=st.sampled_from([None, 0.0, 5.0, 50.0]),
)
instruments = st.builds(
    Instrument,
    name=st.sampled_from(["one", "another"]),
    described=st.just("meter"),
    quantity=st.sampled_from(sorted(SHOWN)),
    unit=st.just("mm"),
    resolution=st.sampled_from([None, 0.0, 0.1, 10_000.0]),
    uncertainty=st.sampled_from([None, 0.0, 0.1, 10_000.0]),
)
tries = st.builds(
    InstrumentCheck,
    instrument=st.sampled_from(["one", "another"]),
    on=st.just("step"),
    when=st.just("before"),
    expected=st.sampled_from([None, -5.0, 0.0, 4.0]),
    read=st.sampled_from([None, 0.0, 4.0]),
)
boats = st.sampled_from(
    [
        QUILLET,
        HARROWMERE,
        replace(HARROWMERE, material="aluminium"),
        replace(QUILLET, material="carvel"),
        replace(QUILLET, displacement_kg=0.0, lwl_m=0.0),
        Boat(name="Quillet"),
    ]
)


@given(boats, st.lists(reading_sets() | conditions | instruments | tries, max_size=5))
@settings(deadline=None)
def test_whatever_gets_in_stops_nothing_and_what_cannot_be_said_says_why(
    boat: Boat, bodies: list[object]
) -> None:
    found = vetted(*bodies, boat=boat)

    results = results_of(fold(found.accepted))

    for each in results:
        assert each.method in methods()
        assert each.verdict in get_args(Verdict)
        assert each.value is None or isfinite(each.value)
        assert each.uncertainty is None or isfinite(each.uncertainty)
        if each.value is None:
            assert each.verdict in ("cannot say", "not comparable")
            assert each.caveats

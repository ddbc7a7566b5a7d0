from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from cast import DAY, HARROWMERE, QUILLET, entry
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import potentials
from garboard.methods.potentials import (
    ELECTRODES,
    SEAWATER_CELL,
    band_of,
    chloride_shift_mv,
    converted_mv,
    electrode,
    in_sea_water_mv,
    shift_mv,
)
from garboard.methods.result import Result
from garboard.notebook.body import Boat, Conditions, Place, Reading, ReadingSet
from garboard.notebook.fold import Survey, fold

names = st.sampled_from(sorted(ELECTRODES))
millivolts = st.floats(-2000, 2000)


def read(*as_read: str, electrode: str = SEAWATER_CELL, mode: str = "") -> ReadingSet:
    place = Place(part="bonding-potential", side="port", words="hull plate")
    return ReadingSet(
        name="potentials",
        quantity="potential",
        unit="mV",
        instrument="meter",
        electrode=electrode,
        mode=mode,
        readings=tuple(Reading(place=place, as_read=each) for each in as_read),
    )


def afloat(salinity: float | None = 35.0, **changes: Any) -> Conditions:
    given: dict[str, Any] = {"lying": "afloat", "began": DAY, "salinity": salinity, "water_c": 25}
    return Conditions(**{**given, **changes})


def survey_of(*bodies: Any, boat: Any = HARROWMERE) -> Survey:
    return fold([entry(number, body) for number, body in enumerate((boat, *bodies), 1)])


def only(*bodies: Any, boat: Any = HARROWMERE) -> Result:
    (result,) = potentials.results(survey_of(*bodies, boat=boat))
    return result


@given(potential_mv=millivolts, one=names, other=names)
def test_converting_there_and_back_changes_nothing(
    potential_mv: float, one: str, other: str
) -> None:
    there = converted_mv(potential_mv, one, other)

    assert converted_mv(there, other, one) == pytest.approx(potential_mv)


@given(potential_mv=millivolts, one=names, other=names, third=names)
def test_converting_by_way_of_a_third_electrode_changes_nothing(
    potential_mv: float, one: str, other: str, third: str
) -> None:
    round_about = converted_mv(converted_mv(potential_mv, one, third), third, other)

    assert round_about == pytest.approx(converted_mv(potential_mv, one, other))


@given(one=st.floats(0.5, 42), other=st.floats(0.5, 42), water_c=st.floats(-2, 40))
def test_the_fresher_the_water_the_more_an_open_cell_is_out(
    one: float, other: float, water_c: float
) -> None:
    fresher, salter = sorted((one, other))

    assert chloride_shift_mv(fresher, water_c) >= chloride_shift_mv(salter, water_c)


@given(potential_mv=millivolts, salinity=st.floats(0.5, 42), name=names)
def test_salinity_moves_an_open_cell_only(potential_mv: float, salinity: float, name: str) -> None:
    shift = in_sea_water_mv(potential_mv, name, salinity) - in_sea_water_mv(potential_mv, name)

    expected = chloride_shift_mv(salinity) if electrode(name).is_open else 0.0
    assert shift == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("Ag/AgCl/seawater", "Ag/AgCl/seawater"),
        ("ag-agcl seawater", "Ag/AgCl/seawater"),
        ("Silver/silver chloride, sea water", "Ag/AgCl/seawater"),
        ("Ag/AgCl (sea water) half-cell", "Ag/AgCl/seawater"),
        ("silver chloride (saturated)", "Ag/AgCl/sat KCl"),
        ("saturated copper/copper sulfate", "Cu/CuSO4"),
        ("CSE", "Cu/CuSO4"),
        ("copper/copper sulphate", "Cu/CuSO4"),
        ("zinc", "Zn/seawater"),
        ("sce", "SCE"),
    ],
)
def test_an_electrode_is_known_however_it_is_written(written: str, name: str) -> None:
    assert electrode(written).name == name


def test_every_name_means_one_electrode_only() -> None:
    every = [name for each in ELECTRODES.values() for name in each.also]

    assert len(every) == len(set(every))


@pytest.mark.parametrize(
    ("name", "why"),
    [("", "none was named"), ("brass nail", "brass nail"), ("Ag/AgCl", "is not known")],
)
def test_a_potential_without_a_known_electrode_is_refused(name: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        converted_mv(-800, name, SEAWATER_CELL)

    result = only(read("-800", electrode=name), afloat())
    assert (result.verdict, result.value) == ("cannot say", None)
    assert why in result.caveats[0]


@pytest.mark.parametrize(
    ("as_read", "verdict", "criterion"),
    [
        ("-700", "beyond", "potentials-steel-under"),
        ("-800", "at the limit", "potentials-steel-under"),
        ("-900", "within", "potentials-steel-under"),
        ("-950", "within", "potentials-steel-over"),
        ("-1150", "beyond", "potentials-steel-over"),
    ],
)
def test_a_steel_hull_is_under_within_or_over_its_protection(
    as_read: str, verdict: str, criterion: str
) -> None:
    result = only(read(as_read), afloat())

    assert result.verdict == verdict
    assert result.criterion is not None
    assert result.criterion.id == criterion


def test_a_brackish_reading_is_brought_to_sea_water_before_it_is_judged() -> None:
    result = only(read("-850"), afloat(salinity=5))

    assert result.value == pytest.approx(-800, abs=0.5)
    assert result.verdict == "at the limit"


def test_an_open_cell_in_water_of_unknown_salinity_is_told() -> None:
    result = only(read("-900"), afloat(salinity=None))

    assert any("salinity was not recorded" in each for each in result.caveats)


def test_fresh_water_beyond_the_correction_cannot_be_judged() -> None:
    result = only(read("-900"), afloat(salinity=0.1))

    assert result.verdict == "cannot say"
    assert "0.1" in result.caveats[0]


def test_a_saturated_cell_needs_no_salinity() -> None:
    result = only(read("-850", electrode="Ag/AgCl/sat KCl"), afloat(salinity=None))

    assert result.value == pytest.approx(-903)
    assert not any("salinity" in each for each in result.caveats)


def test_a_zinc_is_taken_with_more_doubt_and_told() -> None:
    zinc = only(read("230", electrode="zinc"), afloat())
    silver = only(read("-800"), afloat())

    assert zinc.value == pytest.approx(-800)
    assert (zinc.uncertainty or 0) > (silver.uncertainty or 0)
    assert any("Read with a zinc" in each for each in zinc.caveats)


def test_a_potential_read_ashore_cannot_be_judged() -> None:
    result = only(read("-900"), afloat(lying="ashore"))

    assert result.verdict == "cannot say"
    assert "not afloat" in result.caveats[0]


@pytest.mark.parametrize(
    ("boat", "band"),
    [
        (QUILLET, (-750, -1000)),
        (Boat(name="Quillet", material="grp", drive="saildrive"), (-900, -1050)),
        (Boat(name="Quillet", material="aluminium"), (-900, -1100)),
        (Boat(name="Quillet", material="carvel"), (-550, -600)),
        (HARROWMERE, (-800, -1050)),
    ],
)
def test_the_band_follows_the_hull(boat: Boat, band: tuple[float, float]) -> None:
    limits = band_of(boat)

    assert limits is not None
    assert (limits[0].limit, limits[1].limit) == band


def test_a_hull_without_limits_is_converted_and_not_judged() -> None:
    result = only(read("-900"), afloat(), boat=Boat(name="Quillet", material="ferro"))

    assert (result.value, result.verdict) == (-900, "not comparable")


def test_the_electrode_is_always_told() -> None:
    assert SEAWATER_CELL in only(read("-900", electrode="CSE"), afloat()).what
    assert any("Cu/CuSO4" in each for each in only(read("-900", electrode="CSE"), afloat()).caveats)


def test_a_reading_of_many_is_told_by_what_was_touched_and_how_the_boat_lay() -> None:
    place = Place(part="bonding-potential", side="port", words="hull plate", station_m=3.0)
    shore_in = replace(read(mode="shore lead in"), readings=(Reading(place=place, as_read="-650"),))

    what = only(shore_in, afloat()).what

    assert "at hull plate, port, 3.00 m aft of the stem (shore lead in)" in what


def test_the_water_a_potential_was_corrected_for_is_among_its_evidence() -> None:
    survey = survey_of(read("-850"), afloat(salinity=5.0))

    (result,) = potentials.results(survey)

    assert len(result.used) == 2


@pytest.mark.parametrize(
    ("free", "verdict"), [("-500", "within"), ("-700", "at the limit"), ("-800", "beyond")]
)
def test_a_shift_of_two_hundred_millivolts_is_wanted(free: str, verdict: str) -> None:
    survey = survey_of(read("-900"), read(free, mode="freely corroding"), afloat())

    *_, shift = potentials.results(survey)

    assert shift.method == "potentials.shift_mv"
    assert shift.value == shift_mv(-900, float(free))
    assert shift.verdict == verdict


def test_a_free_potential_without_its_twin_makes_no_shift_and_no_verdict_on_protection() -> None:
    (result,) = potentials.results(survey_of(read("-600", mode="without anodes"), afloat()))

    assert result.verdict == "cannot say"
    assert "with the anodes as well" in result.caveats[0]


def test_the_conditions_before_the_reading_count() -> None:
    ashore = entry(2, afloat(lying="ashore"))
    launched = entry(3, afloat(), at=DAY + timedelta(hours=2))
    reading = entry(4, read("-900"), at=DAY + timedelta(hours=3))
    survey = fold([entry(1, HARROWMERE), ashore, launched, reading])

    (result,) = potentials.results(survey)

    assert result.verdict == "within"


@pytest.mark.parametrize(("salinity", "water_c"), [(0.1, 20), (50, 20), (35, 60)])
def test_water_no_sea_has_is_refused(salinity: float, water_c: float) -> None:
    with pytest.raises(ValueError, match="were given"):
        chloride_shift_mv(salinity, water_c)


def test_a_bronze_propeller_is_not_judged_by_the_limits_of_the_steel_hull() -> None:
    turned = read("-600")
    bronze = replace(
        turned, readings=(replace(turned.readings[0], place=Place(part="propeller", side="port")),)
    )

    (result,) = potentials.results(
        fold([entry(1, HARROWMERE), entry(2, afloat()), entry(3, bronze)])
    )

    assert result.verdict == "not comparable"
    assert any("hull's own metal" in each for each in result.caveats)

"""Films of paint: judged against what was specified, and taken off a thickness that was read through them."""

from datetime import UTC, datetime
from typing import Any

import pytest
from cast import HARROWMERE, QUILLET, entry
from hypothesis import given
from hypothesis import strategies as st

from garboard.methods import coating, thinning
from garboard.methods.coating import specified_pct, thin_share_pct
from garboard.methods.panels import panels
from garboard.methods.result import Result
from garboard.notebook.body import Boat, Instrument, Place, Reading, ReadingSet
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey, fold

GAUGE = Instrument(
    name="film gauge",
    described="magnetic, on its shims",
    quantity="film thickness",
    unit="µm",
    uncertainty=2.0,
)


def films(
    *as_read: str, original: str = "", part: str = "bottom-coating", at: Any = None, **place: Any
) -> Any:
    where = Place(part=part, side="port", **{"station_m": 3.2, "level_m": -0.4, **place})
    body = ReadingSet(
        name="films",
        quantity="film thickness",
        unit="µm",
        instrument="film gauge",
        readings=tuple(Reading(place=where, as_read=each, original=original) for each in as_read),
    )
    return body if at is None else entry(90, body, at=at)


def plate(as_read: str, mode: str = "single echo", **place: Any) -> ReadingSet:
    where = Place(
        part="bottom-plate-thickness", side="port", **{"station_m": 3.2, "level_m": -0.4, **place}
    )
    return ReadingSet(
        name="plate",
        quantity="thickness",
        unit="mm",
        instrument="gauge",
        mode=mode,
        through_coating=True,
        readings=(Reading(place=where, as_read=as_read, original="6.0"),),
    )  # fmt: skip


def survey_of(*bodies: Any, boat: Boat = HARROWMERE) -> Survey:
    return fold(
        body if isinstance(body, Entry) else entry(number, body)
        for number, body in enumerate((boat, GAUGE, *bodies), 1)
    )


def results(*bodies: Any, boat: Boat = HARROWMERE) -> dict[str, Result]:
    found = coating.results(survey_of(*bodies, boat=boat))
    return {each.what.split(" on ")[0].split(" read")[0]: each for each in found}


@given(st.floats(0, 2000), st.floats(1, 2000))
def test_a_share_of_the_specification_gives_back_the_film(film: float, specified: float) -> None:
    assert specified_pct(film, specified) * specified / 100 == pytest.approx(film, abs=1e-6)


@given(st.lists(st.floats(0, 2000), min_size=1), st.floats(1, 2000))
def test_a_share_of_thin_places_lies_between_none_and_all(
    read: list[float], specified: float
) -> None:
    share = thin_share_pct(read, specified)

    assert 0 <= share <= 100
    assert (share == 0) == (min(read) >= specified)


def test_arguments_out_of_range_are_refused_with_their_values() -> None:
    with pytest.raises(ValueError, match="film_um is 0 or more; -1"):
        specified_pct(-1, 300)
    with pytest.raises(ValueError, match="specified_um is above zero; 0"):
        specified_pct(300, 0)
    with pytest.raises(ValueError, match="one film or more"):
        thin_share_pct((), 300)


def test_a_coat_as_thick_as_specified_is_within() -> None:
    found = results(films("330", "320", "340", "310", original="300"))

    assert [each.verdict for each in found.values()] == ["within"] * 3
    assert found["mean film"].value == pytest.approx(100 * 325 / 300)


def test_a_thin_coat_is_to_be_checked_and_never_fails() -> None:
    found = results(films("230", "210", "250", "225", original="300"))

    assert [each.judged for each in found.values()] == ["have this checked"] * 3
    assert found["places under the specified film"].value == 100
    assert found["thinnest film"].value == pytest.approx(70)
    assert "210 to 250 µm" in found["thinnest film"].caveats[0]


def test_one_thin_place_does_not_hide_in_a_good_mean() -> None:
    found = results(
        films("360", "380", "370", "350", "360", "390", "380", "370", "210", original="300")
    )

    assert found["mean film"].verdict == "within"
    assert found["thinnest film"].verdict == "beyond"
    assert found["places under the specified film"].verdict == "within"


def test_without_a_specification_the_mean_is_told_and_not_judged() -> None:
    (mean,) = results(films("180", "220")).values()

    assert (mean.value, mean.unit, mean.verdict) == (200, "µm", "not comparable")
    assert "not known" in mean.caveats[0]


@pytest.mark.parametrize(("boat", "said"), [(QUILLET, True), (HARROWMERE, False)])
def test_off_metal_a_film_needs_another_gauge(boat: Boat, said: bool) -> None:
    (mean,) = results(films("180"), boat=boat).values()

    assert any("ultrasonic" in each for each in mean.caveats) is said


# Paint taken off a thickness


def test_measured_paint_is_taken_off_what_a_gauge_read_through_it() -> None:
    survey = survey_of(plate("5.9"), films("300"))

    (panel,) = panels(survey)

    assert panel.mean_mm == pytest.approx(5.9 - 0.30 * 5920 / 2500)
    losses = [each for each in thinning.results(survey) if each.method == "plating.diminution_pct"]
    assert [each.verdict for each in losses] == ["within", "within"]
    assert all(any("0.30 mm of it" in caveat for caveat in each.caveats) for each in losses)
    assert all(len(each.used) == 2 for each in losses)


def test_the_doubt_of_the_paint_is_the_plate_s_doubt_too() -> None:
    (through,) = panels(survey_of(plate("5.9"), films("300")))
    (bare,) = panels(survey_of(plate("5.9", mode="echo-to-echo"), films("300")))

    assert through.mean_u_mm is not None
    assert bare.mean_u_mm is not None
    assert through.mean_u_mm**2 == pytest.approx(
        bare.mean_u_mm**2 + (5920 / 2500) ** 2 * (0.002**2 + 0.03**2)
    )


@pytest.mark.parametrize(
    "film",
    [
        films("300", station_m=3.8),
        films("300", level_m=0.2),
        films("300", level_m=None),
        films("300", at=datetime(2020, 6, 9, tzinfo=UTC)),
        films("3000"),
    ],
    ids=["too far along", "too far down", "of another part and no level", "of another year", "thicker than all that was read"],
)  # fmt: skip
def test_paint_that_does_not_speak_of_the_place_is_not_taken_off(film: Any) -> None:
    (panel,) = panels(survey_of(plate("5.9"), film))

    assert panel.mean_mm == pytest.approx(5.9)
    assert panel.spots[0].through_paint


def test_an_echo_to_echo_reading_has_left_the_paint_out_already() -> None:
    (panel,) = panels(survey_of(plate("5.5", mode="echo to echo"), films("300")))

    assert panel.mean_mm == pytest.approx(5.5)


def test_paint_of_the_same_part_needs_no_level() -> None:
    film = films("200", part="bottom-plate-thickness", level_m=None)

    (panel,) = panels(survey_of(plate("5.9"), film))

    assert panel.mean_mm == pytest.approx(5.9 - 0.2 * 5920 / 2500)

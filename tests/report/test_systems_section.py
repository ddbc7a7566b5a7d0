"""What the readings section draws of batteries and of water through openings."""

from typing import Any

from cast import DAY, QUILLET, entry

from garboard.methods.library import results_of
from garboard.notebook.body import Instruction, Place, Quantity, Reading, ReadingSet
from garboard.notebook.fold import fold
from garboard.report.compose import compose
from garboard.report.document import Drawing

BUY = Instruction(client="Tamsin Orrowby", purpose="buy")


def one(quantity: Quantity, unit: str, place: Place, as_read: str) -> ReadingSet:
    return ReadingSet(
        name="set",
        quantity=quantity,
        unit=unit,
        instrument="meter",
        readings=(Reading(place=place, as_read=as_read),),
    )


def drawn(*bodies: Any) -> dict[str, Drawing]:
    survey = fold([entry(n, body) for n, body in enumerate((BUY, QUILLET, *bodies), 1)])
    made = compose(survey, results_of(survey), (), at=DAY)
    return {b.label: b for b in made.blocks if isinstance(b, Drawing)}


def battery(words: str, as_read: str) -> ReadingSet:
    return one("voltage", "V", Place(part="lead-acid-battery", number=1, words=words), as_read)


INTAKE = one("diameter", "mm", Place(part="seacock", number=3, side="port", station_m=4.5, level_m=-0.5), "25")  # fmt: skip
PUMP = one("flow", "l/min", Place(part="electric-bilge-pump", number=1), "20")


def test_a_battery_at_rest_is_drawn() -> None:
    assert "12.48 V" in drawn(battery("at rest", "12.48"))["figure-rest-voltage"].alt


def test_a_battery_of_twelve_cells_is_drawn_as_of_six() -> None:
    assert "12.60 V" in drawn(battery("at rest", "25.2"))["figure-rest-voltage"].alt


def test_a_battery_under_load_is_not_drawn_as_rested() -> None:
    assert "figure-rest-voltage" not in drawn(battery("load test", "10.9"))


def test_an_opening_is_drawn_against_what_the_pumps_were_measured_to_move() -> None:
    figure = drawn(INTAKE, PUMP)["figure-inflow"]

    assert "25 mm" in figure.alt
    assert "pumps: 20 L/min" in figure.alt


def test_an_opening_without_measured_pumps_says_so() -> None:
    assert "was not measured" in drawn(INTAKE)["figure-inflow"].caption


def test_without_openings_the_pumps_are_set_against_customary_bores() -> None:
    assert "customary bores" in drawn(PUMP)["figure-inflow"].caption


def test_without_such_readings_nothing_is_drawn() -> None:
    assert not {"figure-inflow", "figure-rest-voltage"} & set(drawn())

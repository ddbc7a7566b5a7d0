"""A grid of places on the skin, in the order in which somebody walks it."""

from dataclasses import replace

import pytest
from cast import QUILLET

from garboard.boat.hull import hull_of
from garboard.boat.walk import Run, Walk, are_taken
from garboard.notebook.body import Place

SLOOP = hull_of(QUILLET)


def run(first: float, last: float, step: float = 0.5) -> Run:
    return Run(first_m=first, last_m=last, step_m=step)


def walked(walk: Walk) -> list[tuple[float | None, float | None]]:
    return [
        (each.station_m, each.level_m) for each in walk.places("bottom-laminate", "port", SLOOP)
    ]


TWO_BY_TWO = Walk(stations=run(4.0, 4.5), levels=run(-0.2, -0.7))


def test_a_grid_is_walked_station_by_station() -> None:
    assert walked(TWO_BY_TWO) == [(4.0, -0.2), (4.0, -0.7), (4.5, -0.2), (4.5, -0.7)]


def test_a_grid_is_walked_level_by_level() -> None:
    found = walked(replace(TWO_BY_TWO, by="level"))

    assert found == [(4.0, -0.2), (4.5, -0.2), (4.0, -0.7), (4.5, -0.7)]


def test_there_and_back_turns_every_other_row() -> None:
    found = walked(replace(TWO_BY_TWO, there_and_back=True))

    assert found == [(4.0, -0.2), (4.0, -0.7), (4.5, -0.7), (4.5, -0.2)]


def test_places_off_the_hull_are_left_out() -> None:
    found = walked(Walk(stations=run(-1.0, 11.0, 1.0), levels=run(-0.1, -0.1)))

    assert found
    assert all(0 <= (station or 0) <= SLOOP.length_m for station, _ in found)


def test_without_a_hull_nothing_is_left_out() -> None:
    walk = Walk(stations=run(-1.0, 20.0, 1.0), levels=run(0.0, 0.0))

    assert len(walk.places("bottom-laminate", "port")) == 22


def test_steps_add_up_to_the_millimetre() -> None:
    assert run(0.0, 0.9, 0.3).places() == (0.0, 0.3, 0.6, 0.9)
    assert run(1.0, 0.0, 0.25).places() == (1.0, 0.75, 0.5, 0.25, 0.0)


@pytest.mark.parametrize(
    ("broken", "said"),
    [(run(0, 1, 0), "step above zero"), (run(0, 100, 0.001), "longer ones"), (run(0, float("inf")), "numbers")],
)  # fmt: skip
def test_a_run_that_leads_nowhere_is_refused(broken: Run, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        broken.places()


def test_too_many_places_are_refused() -> None:
    walk = Walk(stations=run(0, 100, 0.1), levels=run(0, 1, 0.1))

    with pytest.raises(ValueError, match="longer steps"):
        walk.places("bottom-laminate", "port")


def test_a_place_is_taken_by_what_stands_within_a_centimetre_on_the_same_part() -> None:
    places = TWO_BY_TWO.places("bottom-laminate", "port", SLOOP)
    there = [replace(places[0], station_m=4.003), replace(places[1], part="keel")]

    assert are_taken(places, there) == (True, False, False, False)
    assert are_taken([Place(part="stem")], [Place(part="stem")]) == (True,)

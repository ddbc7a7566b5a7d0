import pytest
from cast import QUILLET, entry, entry_id

from garboard.methods.declaration import METHODS
from garboard.methods.figures import results
from garboard.notebook.body import Boat
from garboard.notebook.fold import fold


def test_every_figure_names_a_declared_method() -> None:
    found = results(fold([entry(1, QUILLET)]))

    assert len(found) >= 5
    assert {each.method for each in found} <= set(METHODS)


def test_no_figure_passes_a_verdict() -> None:
    for each in results(fold([entry(1, QUILLET)])):
        assert (each.verdict, each.criterion) == ("not comparable", None)
        assert each.used == (entry_id(1),)
        assert each.uncertainty


def test_the_figures_of_quillet_are_those_of_her_particulars() -> None:
    found = {each.what: each.value for each in results(fold([entry(1, QUILLET)]))}

    assert found["ballast ratio"] == pytest.approx(2150 / 5200)


def test_a_boat_without_dimensions_has_no_figures() -> None:
    assert results(fold([entry(1, Boat(name="Quillet"))])) == ()

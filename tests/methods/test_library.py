from cast import HARROWMERE, entry

from garboard.methods.library import methods, results_of
from garboard.notebook.body import Place, Reading, ReadingSet
from garboard.notebook.fold import fold

FAMILIES = {
    "anodes", "climate", "continuity", "figures", "gauge", "identity", "moisture", "pits", "plating",
    "potentials", "sounding", "wastage",
}  # fmt: skip


def test_every_family_is_declared_by_importing_the_library() -> None:
    families = {each.split(".")[0] for each in methods()}

    assert families >= FAMILIES


def test_the_results_of_a_survey_come_from_every_family_that_has_readings() -> None:
    plate = Place(part="bottom-plate-thickness", side="port", station_m=3.2)
    thickness = ReadingSet(
        name="bottom",
        quantity="thickness",
        unit="mm",
        instrument="gauge",
        readings=(Reading(place=plate, as_read="5.6", original="6.0"),),
    )
    bond = ReadingSet(
        name="bonding",
        quantity="resistance",
        unit="ohm",
        instrument="meter",
        readings=(Reading(place=Place(part="anode"), as_read="0.2", to="shaft"),),
    )
    survey = fold([entry(1, HARROWMERE), entry(2, thickness), entry(3, bond)])

    families = {result.method.split(".")[0] for result in results_of(survey)}

    assert families >= {"gauge", "plating", "continuity"}


def test_every_result_names_a_declared_method_and_says_why_where_it_cannot_say() -> None:
    bare = ReadingSet(
        name="bottom",
        quantity="thickness",
        unit="mm",
        instrument="gauge",
        readings=(Reading(place=Place(part="bottom-plate-thickness"), as_read="5.6"),),
    )

    results = results_of(fold([entry(1, HARROWMERE), entry(2, bare)]))

    assert {result.method for result in results} <= set(methods())
    assert all(result.caveats for result in results if result.verdict == "cannot say")

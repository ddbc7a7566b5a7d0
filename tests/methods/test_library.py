from datetime import timedelta

from cast import DAY, HARROWMERE, QUILLET, entry

from garboard.methods.library import Families, methods, results_of
from garboard.notebook.body import Conditions, Place, Reading, ReadingSet, Sounding
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


def test_one_reading_reckons_the_families_anew_that_read_it_and_no_other() -> None:
    families = Families()
    blows = [entry(n, blow(n)) for n in range(2, 40)]
    before = families.results_of(fold([entry(1, HARROWMERE), *blows]))
    plate = Place(part="bottom-plate-thickness", side="port", station_m=3.2)
    read = ReadingSet(
        name="bottom",
        quantity="thickness",
        unit="mm",
        instrument="gauge",
        readings=(Reading(place=plate, as_read="5.6", original="6.0"),),
    )

    after = families.results_of(fold([entry(1, HARROWMERE), *blows, entry(40, read)]))

    kept = {id(each) for each in before}
    anew = {each.method.split(".")[0] for each in after if id(each) not in kept}
    assert "sounding" in {each.method.split(".")[0] for each in before}
    assert anew == {"extremes", "gauge", "plating"}


def test_a_correction_whose_first_entry_comes_later_is_reckoned_anew() -> None:
    families = Families()
    place = Place(part="bottom-laminate", side="port", station_m=3.2, level_m=-0.4)
    read = ReadingSet(name="port", quantity="moisture", unit="scale", scale="deep", instrument="meter", readings=(Reading(place=place, as_read="12"),))  # fmt: skip
    lifted = Conditions(began=DAY, lying="ashore", lifted=DAY - timedelta(hours=1))
    corrected = entry(30, read, replaces=(2,), at=DAY + timedelta(days=3))
    held = [entry(1, QUILLET), entry(3, lifted, at=DAY), corrected]
    families.results_of(fold(held))

    survey = fold([*held, entry(2, read)])

    assert families.results_of(survey) == results_of(survey) != results_of(fold(held))


def blow(n: int) -> Sounding:
    place = Place(part="bottom-plate", side="port", station_m=n * 0.3, level_m=-0.2 - n % 3 * 0.2)
    return Sounding(place=place, heard="sound")

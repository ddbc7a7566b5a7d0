import json
from typing import Any

from cast import QUILLET, entry

from garboard.methods.library import results_of
from garboard.notebook.body import Instruction, Place, Reading, ReadingSet, Side
from garboard.notebook.fold import fold
from garboard.yard.meaning import meaning_of

ASKED = Instruction(client="Tamsin Orrowby", purpose="buy")


def read(name: str, side: Side | None, *values: str) -> ReadingSet:
    readings = tuple(
        Reading(place=Place(part="topside-laminate", side=side), as_read=each) for each in values
    )
    return ReadingSet(name=name, quantity="moisture", unit="scale", instrument="meter", readings=readings)  # fmt: skip


def meant(*sets: ReadingSet) -> list[dict[str, Any]]:
    bodies = (QUILLET, ASKED, *sets)
    survey = fold(entry(number, body) for number, body in enumerate(bodies, 1))
    results: list[dict[str, Any]] = json.loads(json.dumps(meaning_of(survey, results_of(survey))))[
        "results"
    ]
    return results


def test_what_readings_mean_is_told_where_they_were_read() -> None:
    told = meant(read("port", "port", "12", "13"), read("both", None, "14"))

    by_what = {each["what"]: each["keys"] for each in told}
    assert by_what["raised moisture readings, port"] == ["topside-laminate port"]
    assert set(by_what["raised moisture readings, both"]) == {
        "topside-laminate port",
        "topside-laminate starboard",
    }


def test_what_was_not_worked_out_says_why_before_anything_else() -> None:
    told = meant(read("port", "port", "12", "13"))

    (raised,) = (each for each in told if each["what"] == "raised moisture readings, port")
    assert raised["value"] == "not computed"
    assert raised["said"].startswith("No dry reference was read on this boat")
    assert raised["said"] not in raised["caveats"]


def test_what_stands_out_comes_first_with_what_it_was_judged_by() -> None:
    gone = Reading(place=Place(part="anode", number=2), as_read="95")
    anodes = ReadingSet(name="anodes", quantity="anode loss", unit="%", instrument="by eye", readings=(gone,))  # fmt: skip

    first, *others = meant(anodes)

    assert first["keys"] == ["anode 2"]
    assert first["said"].startswith("Have this checked (trouble: above 50")
    # Reckoned before the anodes, and no limit holds for it.
    assert "displacement/length ratio" in [each["what"] for each in others]

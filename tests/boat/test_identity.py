"""The craft identity number: parts and queries, never a refusal."""

from dataclasses import replace

import pytest
from cast import QUILLET
from hypothesis import given
from hypothesis import strategies as st

from garboard.boat.identity import disagreements, read_identity


@pytest.mark.parametrize(
    ("number", "form", "built", "model_year"),
    [
        ("XYZ4A123C526", "without country", "March 2025", 2026),
        ("XYZ4A123L425", "without country", "December 2024", 2025),
        ("FR-XYZ4A123C526", "with country", "March 2025", 2026),
        ("FRXYZ4A123C526", "with country", "March 2025", 2026),
        ("fr‑xyz4a123c526", "with country", "March 2025", 2026),
        ("XYZ12345M79A", "older, model year", "August 1978", 1979),
        ("XYZ12345M79F", "older, model year", "January 1979", 1979),
        ("XYZ123450478", "older, straight year", "April 1978", None),
    ],
)
def test_a_number_that_keeps_its_form_gives_its_parts_and_no_query(
    number: str, form: str, built: str, model_year: int | None
) -> None:
    identity = read_identity(number)

    assert (identity.form, identity.built, identity.model_year) == (form, built, model_year)
    assert identity.maker == "XYZ"
    assert identity.queries == ()


@pytest.mark.parametrize(
    ("number", "asks"),
    [
        ("XYZ4O123C526", "letter O"),
        ("GB-XYZ4Q123A526", "letter Q"),
        ("XYZ4A123M526", "M stands there"),
        ("XYZ-4A123C526", "hyphens between its characters"),
        ("XYZ4A123C52", "11 characters"),
        ("F1-XYZ4A123C526", "F1 stands in its place"),
        ("XYZ4A123C530", "ends in 5 and the model year is 2030"),
        ("XX-QLT00417C898", "XX is the code of no country"),
        ("XYZ4Ä123C526", "holds Ä"),
    ],
)
def test_a_number_that_breaks_its_form_is_queried_in_a_sentence(number: str, asks: str) -> None:
    identity = read_identity(number)

    assert [asks in each for each in identity.queries] == [True]
    assert all(each.endswith(".") for each in identity.queries)


@given(st.text(max_size=30))
def test_no_text_whatever_is_refused(text: str) -> None:
    identity = read_identity(text)

    assert identity.text == text
    assert identity.queries or identity.form != "unknown"


@given(st.integers(1974, 2069), st.integers(-1, 2), st.sampled_from("ABCDEFGHIJKL"))
def test_a_year_of_build_within_two_of_the_model_year_is_found(
    model_year: int, before: int, month: str
) -> None:
    built = model_year - before

    identity = read_identity(f"XYZ4A123{month}{built % 10}{model_year % 100:02}")

    assert (identity.year, identity.queries) == (built, ())


def test_a_stated_year_the_number_does_not_point_to_is_a_disagreement() -> None:
    identity = read_identity(QUILLET.identity_number)

    assert disagreements(identity, QUILLET) == ()
    assert "1998" in disagreements(identity, replace(QUILLET, year=2003))[0]

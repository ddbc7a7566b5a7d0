"""Ids after RFC 9562, canonical JSON after RFC 8785."""

from datetime import UTC, datetime, timedelta, timezone
from uuid import UUID

import pytest

from garboard.notebook.canonical import canonical
from garboard.notebook.ids import derived_id, is_uuid7, uuid7


def test_the_example_of_the_standard_comes_out() -> None:
    """RFC 9562 (2024), appendix A.6: 22 February 2022, 14:22:22 -05:00, rand_a 0xCC3, rand_b 0x18C4DC0C0C07398F."""
    at = datetime(2022, 2, 22, 14, 22, 22, tzinfo=timezone(timedelta(hours=-5)))

    made = uuid7(at, 0xCC3 << 62 | 0x18C4DC0C0C07398F)

    assert made == UUID("017F22E2-79B0-7CC3-98C4-DC0C0C07398F")
    assert made.version == 7


def test_ids_sort_by_time() -> None:
    early, late = datetime(2026, 5, 12, tzinfo=UTC), datetime(2026, 5, 12, 0, 0, 1, tzinfo=UTC)

    assert derived_id(early, "z") < derived_id(late, "a")


def test_the_same_content_at_the_same_time_has_the_same_id() -> None:
    at = datetime(2026, 5, 12, tzinfo=UTC)

    assert derived_id(at, "a", "b") == derived_id(at, "a", "b")
    assert derived_id(at, "a", "b") != derived_id(at, "ab")
    assert is_uuid7(derived_id(at, "a"))


@pytest.mark.parametrize("text", ["", "x", "017F22E2-79B0-7CC3-98C4-DC0C0C07398F", str(UUID(int=0, version=4))])  # fmt: skip
def test_only_a_canonical_uuid7_is_one(text: str) -> None:
    assert not is_uuid7(text)


def test_a_time_before_1970_has_no_id() -> None:
    with pytest.raises(ValueError, match="cannot hold the time 1960"):
        uuid7(datetime(1960, 1, 1, tzinfo=UTC), 0)


def test_the_property_sorting_example_of_the_standard_comes_out() -> None:
    """RFC 8785 (2020), section 3.2.3: keys sort by UTF-16 code units."""
    value = {
        "€": "Euro Sign",
        "\r": "Carriage Return",
        "\ufb33": "Hebrew Letter Dalet With Dagesh",
        "1": "One",
        "\U0001f600": "Emoji: Grinning Face",
        "\u0080": "Control",
        "ö": "Latin Small Letter O With Diaeresis",
    }

    text = canonical(value).decode()

    order = ["Carriage", "One", "Control", "Latin", "Euro", "Emoji", "Hebrew"]
    assert [text.index(each) for each in order] == sorted(text.index(each) for each in order)


def test_the_serialisation_example_of_the_standard_comes_out() -> None:
    """RFC 8785 (2020), section 3.2.2 and 3.2.4, the example object and its octets."""
    value = {
        "numbers": [333333333.33333329, 1e30, 4.50, 2e-3, 0.000000000000000000000000001],
        "string": "\u20ac$\u000f\u000aA'\u0042\u0022\u005c\\\"/",
        "literals": [None, True, False],
    }

    assert canonical(value).decode() == (
        '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
        '"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    )


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.0, "0"), (-0.0, "0"), (5e-324, "5e-324"), (1.7976931348623157e308, "1.7976931348623157e+308"),
        (9007199254740992.0, "9007199254740992"), (295147905179352830000.0, "295147905179352830000"),
        (9.999999999999997e22, "9.999999999999997e+22"), (1e23, "1e+23"), (1.0000000000000001e23, "1.0000000000000001e+23"),
        (999999999999999700000.0, "999999999999999700000"), (1e21, "1e+21"), (9.999999999999997e-7, "9.999999999999997e-7"),
        (0.000001, "0.000001"), (333333333.33333325, "333333333.33333325"),
    ],
)  # fmt: skip
def test_numbers_are_written_as_the_standard_lists_them(value: float, text: str) -> None:
    """RFC 8785 (2020), appendix B, number serialisation samples."""
    assert canonical(value).decode() == text


def test_what_json_cannot_carry_is_refused() -> None:
    with pytest.raises(ValueError, match="cannot be written as canonical JSON"):
        canonical(float("nan"))

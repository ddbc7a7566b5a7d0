"""Photographs put by to be laid over: of this survey and of those before it, never of another client's."""

from dataclasses import replace

import pytest
from cast import QUILLET, SURVEY, entry
from starlette.testclient import TestClient

from garboard.desk.context import Desk
from garboard.notebook.body import Instruction, Photo, Place

OTHER = "0197b000-0000-7000-8000-00000000b0a7"


RUDDER = Place(part="rudder-blade")


def photo(number: int, place: Place | None = RUDDER) -> Photo:
    return Photo(
        number=number, file=f"{number}.jpg", sha256="0" * 64, media_type="image/jpeg", caption="The rudder", place=place,
    )  # fmt: skip


def listed(browser: TestClient) -> list[str]:
    found = browser.get(f"/api/earlier/{SURVEY}").json()["photographs"]
    return [each["number"] for each in found]


@pytest.mark.parametrize(
    ("client", "numbers"), [("Tamsin Orrowby", ["1", "7"]), ("Somebody else", ["1"])]
)
def test_those_of_an_earlier_survey_are_listed_for_the_same_client_alone(
    browser: TestClient, desk: Desk, client: str, numbers: list[str]
) -> None:
    asked = Instruction(client="Tamsin Orrowby", purpose="buy")
    before = Instruction(client=client, purpose="insure")
    desk.surveys.add([entry(1, QUILLET), entry(2, asked), entry(3, photo(1))])
    desk.surveys.add(
        replace(entry(number, body), survey=OTHER)
        for number, body in ((11, QUILLET), (12, before), (13, photo(7)))
    )

    assert listed(browser) == numbers


def test_a_photograph_of_no_part_is_not_listed(browser: TestClient, desk: Desk) -> None:
    desk.surveys.add([entry(1, QUILLET), entry(2, photo(1)), entry(3, photo(2, None))])

    assert listed(browser) == ["1"]

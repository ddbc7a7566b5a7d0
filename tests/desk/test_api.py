"""The API: what is sent twice is held once, what is refused is named, what is acknowledged is there."""

import json
from dataclasses import replace
from hashlib import sha256
from typing import Any

import pytest
from cast import OTHER_SURVEY, QUILLET, SURVEY, entry
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openapi_spec_validator import validate
from starlette.routing import Route
from starlette.testclient import TestClient
from strategies import entries as any_entries

from garboard.desk.api import entries, files, openapi
from garboard.desk.context import Desk
from garboard.notebook.body import (
    KINDS,
    Memo,
    Observation,
    Photo,
    Place,
    Recording,
    Remark,
    Told,
)
from garboard.notebook.entry import to_json

BOAT = entry(1, QUILLET)
SEEN = entry(2, Observation(place=Place(part="keel-joint"), seen="open"))
HERS = entry(3, Remark(text="of the other boat"), survey=OTHER_SURVEY)
PHOTO = b"\xff\xd8\xff" + bytes(range(256)) * 40
HASH = sha256(PHOTO).hexdigest()


def push(browser: TestClient, *sent: Any) -> dict[str, Any]:
    body = [each if isinstance(each, dict) else to_json(each) for each in sent]
    answer = browser.post("/api/entries", json={"entries": body})
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def pull(browser: TestClient, **asked: Any) -> dict[str, Any]:
    found: dict[str, Any] = browser.get("/api/entries", params=asked).json()
    return found


def test_entries_come_back_as_they_were_sent(browser: TestClient) -> None:
    push(browser, BOAT, SEEN)

    found = pull(browser)

    assert found["entries"] == [to_json(BOAT), to_json(SEEN)]
    assert not found["more"]


def test_sending_again_does_no_harm(browser: TestClient) -> None:
    first = push(browser, BOAT, SEEN)

    again = push(browser, SEEN, BOAT)

    assert (first["new"], again["new"]) == (2, 0)
    assert set(again["held"]) == {BOAT.id, SEEN.id}
    assert len(pull(browser)["entries"]) == 2


def test_what_makes_no_sense_is_named_and_its_neighbours_are_kept(browser: TestClient) -> None:
    wrong = {**to_json(SEEN), "body": {"place": {"part": "keel-jont"}, "seen": "x"}}
    broken = {**to_json(SEEN), "id": "7"}

    found = push(browser, broken, BOAT, wrong)

    assert found["held"] == [BOAT.id]
    assert [(each["number"], each["id"]) for each in found["refused"]] == [(0, "7"), (2, SEEN.id)]
    assert "not a UUIDv7" in found["refused"][0]["problems"][0]
    assert 'Did you mean "keel-joint"?' in found["refused"][1]["problems"][0]


NOWHERE = Place(part="keel-jont")


@pytest.mark.parametrize(
    "body",
    [
        Memo(file="m.webm", sha256=HASH, seconds=4.0, place=NOWHERE),
        Recording(file="s.wav", sha256=HASH, place=NOWHERE),
        Remark(text="look again", place=NOWHERE),
        Photo(number=1, file="a.jpg", sha256=HASH, media_type="image/jpeg", caption="", place=NOWHERE),
        Told(who="the owner", said="it leaks", about=("keel-joint", "keel-jont")),
    ],
)  # fmt: skip
def test_what_was_recorded_at_a_part_that_there_is_not_is_refused_by_itself(
    browser: TestClient, body: Any
) -> None:
    found = push(browser, BOAT, entry(3, body), SEEN)

    assert found["held"] == [BOAT.id, SEEN.id]
    ((refused,),) = (each["problems"] for each in found["refused"])
    assert 'there is no part "keel-jont". Did you mean "keel-joint"?' in refused


def test_a_part_that_the_boat_gets_later_in_the_same_batch_may_be_spoken_of_before(
    browser: TestClient,
) -> None:
    spoken = Memo(file="m.webm", sha256=HASH, seconds=4.0, place=Place(part="skin-fitting", number=12))  # fmt: skip
    counted = replace(QUILLET, numbers={"skin-fitting": 12})

    found = push(browser, entry(3, spoken), BOAT, entry(4, counted, replaces=(1,)))

    assert found["refused"] == []
    assert len(found["held"]) == 3


def test_what_cannot_be_read_is_named_in_the_words_of_its_form(browser: TestClient) -> None:
    rows = [{"place": {"part": "keel-joint", "station_m": 500}, "as_read": "12"}]
    body = {"name": "a", "quantity": "moisture", "unit": "scale", "instrument": "m", "readings": rows}  # fmt: skip

    found = push(browser, {**to_json(SEEN), "kind": "reading set", "body": body})

    assert found["refused"][0]["problems"] == [
        "Reading set, reading 1, “Station”: 500 m cannot be. Give a value from -5 to 150 m."
    ]


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"at": "x"}, 'Observation, its time: "x" is not a date and time with its offset.'),
        ({"body": None}, "Observation: what was done is not told by its fields."),
        ({"body": {"seen": "x"}}, "Observation, “Place”: it is missing."),
        ({"author": ""}, "Observation, who wrote it: it is missing."),
        ({"kind": "withdrawal", "body": {}}, "Withdrawal: a withdrawal names what it withdraws and why. Name the entries it takes back, and say the reason."),
        ({"body": {"place": {"part": "stem"}, "seen": None}}, "Observation, “What was seen”: it is empty. Write text."),
        ({"id": None}, "Observation, its id: it is missing. Write it in lower case with hyphens."),
        ({"at": None}, "Observation, its time: it is missing. Write it as 2026-05-12T09:41:07+01:00."),
        ({"at": [None]}, "Observation, its time: a list is not a date and time with its offset."),
        ({"why": {"a": None}}, "Observation, the reason for it: a table is not text."),
        ({"body": {"place": None, "seen": "x"}}, "Observation, “Place”: nothing stands where a table of fields belongs."),
        ({"kind": "novelty", "body": json.loads("[" * 800 + "]" * 800)}, "Entry, what was done: This cannot be written as canonical JSON: it is nested more than 100 deep."),
        ({"kind": ""}, "Entry, of which kind it is: the kind is missing."),
    ],
)  # fmt: skip
def test_what_is_wrong_with_an_entry_is_told_in_no_inner_names(
    browser: TestClient, changed: dict[str, Any], said: str
) -> None:
    found = push(browser, {**to_json(SEEN), **changed})

    ((problem,),) = (each["problems"] for each in found["refused"])
    assert problem.startswith(said)


@pytest.mark.parametrize("name", ["id", "survey", "at"])
def test_what_an_entry_leaves_out_is_named(browser: TestClient, name: str) -> None:
    sent = {each: value for each, value in to_json(SEEN).items() if each != name}

    found = push(browser, sent)

    ((problem,),) = (each["problems"] for each in found["refused"])
    assert "it is missing" in problem
    assert "None" not in problem


def test_half_a_character_costs_its_entry_alone(browser: TestClient) -> None:
    broken = {**to_json(SEEN), "id": "\ud800", "body": {"place": {"part": "stem"}, "seen": "\ud800", "\ud800": 1}}  # fmt: skip
    sent = json.dumps({"entries": [broken, to_json(BOAT)]})

    answer = browser.post("/api/entries", content=sent)

    assert answer.status_code == 200
    assert answer.json()["held"] == [BOAT.id]
    assert [each["number"] for each in answer.json()["refused"]] == [0]


def test_another_content_under_an_id_that_is_taken_is_refused(browser: TestClient) -> None:
    push(browser, SEEN)

    found = push(browser, entry(2, Observation(place=Place(part="keel-joint"), seen="shut")))

    assert found["held"] == []
    assert "already taken" in found["refused"][0]["problems"][0]


def test_a_kind_of_a_newer_version_is_kept_and_passed_on(browser: TestClient) -> None:
    newer = {**to_json(SEEN), "kind": "smell", "body": {"of": ["diesel", 2.5]}}

    push(browser, newer)

    assert pull(browser)["entries"] == [newer]


def test_pulling_goes_on_from_its_cursor(browser: TestClient) -> None:
    push(browser, BOAT, SEEN, HERS)

    first = pull(browser, limit=2)
    then = pull(browser, since=first["cursor"], limit=2)
    last = pull(browser, since=then["cursor"])

    assert [len(each["entries"]) for each in (first, then, last)] == [2, 1, 0]
    assert [each["more"] for each in (first, then, last)] == [True, False, False]
    assert last["cursor"] == then["cursor"]


def test_one_survey_can_be_pulled_alone(browser: TestClient) -> None:
    push(browser, BOAT, HERS)

    assert [each["id"] for each in pull(browser, survey=OTHER_SURVEY)["entries"]] == [HERS.id]


def test_a_device_can_ask_what_is_missing(browser: TestClient) -> None:
    push(browser, BOAT)

    answer = browser.post("/api/entries/missing", json={"ids": [SEEN.id, BOAT.id]})

    assert answer.json() == {"missing": [SEEN.id]}


def test_the_surveys_are_listed_with_their_cursors(browser: TestClient) -> None:
    push(browser, BOAT, SEEN)

    (found,) = browser.get("/api/surveys").json()["surveys"]

    assert (found["id"], found["boat"]) == (SURVEY, "Quillet")
    assert pull(browser, since=found["cursor"])["entries"] == []


def test_news_is_told_once_for_what_arrived(desk: Desk, browser: TestClient) -> None:
    push(browser, BOAT, SEEN)

    assert entries.news_after(desk, 0, None) == 2
    assert entries.news_after(desk, 2, None) is None


@pytest.mark.parametrize(
    ("path", "body", "said"),
    [
        ("/api/entries", b"{", "not JSON"),
        ("/api/entries", b"[" * 100_000, "not JSON"),
        ("/api/entries", b"[]", 'a list \\"entries\\"'),
        ("/api/entries", b'{"entries": 5}', 'a list \\"entries\\"'),
        ("/api/entries", json.dumps({"entries": [{}] * 2001}).encode(), "send 2000 or fewer"),
        ("/api/entries/missing", b'{"ids": null}', 'a list \\"ids\\"'),
        ("/api/files/missing", b"{}", 'a list \\"sha256\\"'),
        ("/api/files/missing", b'{"sha256": ["x"]}', "is not a SHA-256"),
        ("/api/files/missing", b'{"sha256": [null]}', "number 1: nothing stands where one belongs"),
        (
            "/api/entries/missing",
            b'{"ids": ["x", {}]}',
            "number 2: a table stands where one belongs",
        ),
        (
            "/api/entries/missing",
            b'{"ids": ["\\ud800"]}',
            r"number 1: \"?\" is no id or hash. Write it in plain letters and digits.",
        ),
        ("/api/files/missing", '{"sha256": ["é"]}'.encode(), r"number 1: \"é\" is no id or hash"),
        ("/api/entries", b"\xff", "byte 1 is not UTF-8"),
        ("/api/entries", b"1" * 5000, "a number in it has too many digits"),
    ],
)
def test_nonsense_is_answered_in_words(
    browser: TestClient, path: str, body: bytes, said: str
) -> None:
    answer = browser.post(path, content=body)

    assert answer.status_code in (400, 413, 422)
    assert said in answer.text


@pytest.mark.parametrize(
    ("method", "path", "said"),
    [
        ("GET", "/api/nonesuch", "There is nothing at this address. "),
        ("DELETE", "/api/entries", "That cannot be done at this address. "),
    ],
)
def test_an_address_that_makes_no_sense_is_answered_in_words(
    browser: TestClient, method: str, path: str, said: str
) -> None:
    answer = browser.request(method, path)

    (problem,) = answer.json()["problems"]
    assert problem == f"{said}/api/openapi.json says what can be asked here."


@pytest.mark.parametrize("asked", ["since=-1", "since=x", "limit=x", "survey=x", f"since={'9' * 30}"])  # fmt: skip
def test_a_question_that_makes_no_sense_is_answered_in_words(
    browser: TestClient, asked: str
) -> None:
    answer = browser.get(f"/api/entries?{asked}")

    assert answer.status_code == 400
    assert answer.json()["problems"]


def test_a_stranger_gets_words_and_no_page(stranger: TestClient) -> None:
    answer = stranger.post("/api/entries", json={"entries": [to_json(BOAT)]})

    assert answer.status_code == 401
    assert "Sign in first" in answer.json()["problems"][0]


def test_a_device_comes_in_by_its_token(browser: TestClient) -> None:
    token = browser.cookies["garboard"]
    browser.cookies.clear()
    del browser.headers["sec-fetch-site"]

    answer = browser.post(
        "/api/entries",
        json={"entries": [to_json(BOAT)]},
        headers={"authorization": f"Bearer {token}"},
    )

    assert answer.json()["new"] == 1


@settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
    max_examples=20,
    deadline=None,
)
@given(st.lists(any_entries(), max_size=12), st.randoms())
def test_pushed_in_any_order_and_any_often_the_same_is_held(
    browser: TestClient, sent: list[Any], dice: Any
) -> None:
    again = [*sent, *sent]
    dice.shuffle(again)

    push(browser, *sent)
    first = {json.dumps(each, sort_keys=True) for each in pull(browser)["entries"]}
    push(browser, *again)

    assert {json.dumps(each, sort_keys=True) for each in pull(browser)["entries"]} == first


# Files


def put(browser: TestClient, piece: bytes, offset: int, hash_: str = HASH) -> Any:
    return browser.put(f"/api/files/{hash_}?offset={offset}", content=piece)


def test_a_file_goes_on_where_it_broke_off(browser: TestClient) -> None:
    put(browser, PHOTO[:4000], 0)

    arrived = browser.get(f"/api/files/{HASH}/offset").json()
    put(browser, PHOTO[arrived["offset"] :], arrived["offset"])
    done = browser.post(f"/api/files/{HASH}/finish").json()
    back = browser.get(f"/api/files/{HASH}")

    assert arrived == {"offset": 4000, "whole": False}
    assert done == {"sha256": HASH, "size": len(PHOTO), "media_type": "image/jpeg"}
    assert back.content == PHOTO
    assert back.headers["content-security-policy"] == "sandbox"
    assert back.headers["content-disposition"].startswith("attachment")


def test_a_piece_sent_again_does_no_harm(browser: TestClient) -> None:
    put(browser, PHOTO[:4000], 0)
    put(browser, PHOTO[2000:6000], 2000)
    put(browser, PHOTO[6000:], 6000)

    browser.post(f"/api/files/{HASH}/finish")

    assert browser.get(f"/api/files/{HASH}").content == PHOTO


def test_a_piece_beyond_what_arrived_is_refused(browser: TestClient) -> None:
    answer = put(browser, PHOTO[4000:], 4000)

    assert answer.status_code == 422
    assert "Go on from 0" in answer.json()["problems"][0]


def test_other_bytes_than_announced_are_not_kept(browser: TestClient) -> None:
    put(browser, b"something else", 0)

    answer = browser.post(f"/api/files/{HASH}/finish")

    assert answer.status_code == 422
    assert "another file" in answer.json()["problems"][0]
    assert browser.get(f"/api/files/{HASH}").status_code == 404


def test_a_device_can_ask_which_files_are_missing(browser: TestClient) -> None:
    put(browser, PHOTO, 0)
    browser.post(f"/api/files/{HASH}/finish")

    other = "0" * 64
    answer = browser.post("/api/files/missing", json={"sha256": [other, HASH]})

    assert answer.json() == {"missing": [other]}


@pytest.mark.parametrize("name", ["x", "..%2f..%2fgarboard.sqlite", "A" * 64])
def test_no_other_name_reaches_the_disk(browser: TestClient, name: str) -> None:
    assert put(browser, b"x", 0, name).status_code in (404, 422)


# The description


def test_the_description_is_valid() -> None:
    validate(openapi.description())


def test_every_address_is_described_and_no_other() -> None:
    routes = [
        route
        for module in (entries, files, openapi)
        for route in module.ROUTES
        if isinstance(route, Route)
    ]
    served = {
        (route.path, method.lower()) for route in routes for method in (route.methods or ()) if method != "HEAD"
    }  # fmt: skip

    described = {
        (path, method) for path, acts in openapi.description()["paths"].items() for method in acts
    }

    assert described == served


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_is_described(kind: str) -> None:
    schemas = openapi.description()["components"]["schemas"]

    entry_schema = schemas["".join(word.capitalize() for word in kind.split()) + "Entry"]

    assert entry_schema["properties"]["kind"] == {"const": kind}

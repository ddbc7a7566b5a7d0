"""Soundings: their map, how small a patch they would have met; recorded strikes with their references."""

import io
import re
import threading
import wave
from html import unescape

import pytest
from cast import QUILLET, SURVEY, entry, sounding
from httpx2 import Response
from recorded import LAMINATE, Struck, wav
from starlette.testclient import TestClient
from struck import RATE_HZ, recorded, sound

from garboard.desk.context import Desk
from garboard.notebook.body import Boat, Place, Recording, Sounding
from garboard.notebook.entry import Entry

BASE = f"/s/{SURVEY}/soundings"
FORM = {
    "place.part": "bottom-laminate",
    "place.side": "starboard",
    "place.station_m": "3.4",
    "place.level_m": "-0.6",
    "reference": ["no", "yes"],
    "unprocessed": ["no", "yes"],
    "hammer": "plastic face, 160 g",
}
GRID = [
    Sounding(
        place=Place(part="bottom-laminate", side="port", station_m=2 + each % 8, level_m=-0.2 - each // 8 / 4),
        heard="dull" if each == 3 else "sound",
    )
    for each in range(24)
]  # fmt: skip


def words(text: str) -> str:
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", text)))


def recordings(desk: Desk) -> tuple[Entry[Recording], ...]:
    found = desk.surveys.get(SURVEY)
    assert found is not None
    return found.of(Recording)


def strike(number: int = 1) -> bytes:
    """The sound of the so-manieth strike."""
    struck = Struck()
    sounds = [wav(recorded(sound(struck.chance), struck.chance)) for _ in range(number)]
    return sounds[-1]


def send(browser: TestClient, content: bytes, name: str = "a1.wav", **changes: str) -> Response:
    files = {"sound": (name, content, "audio/wav")}
    return browser.post(BASE, data={**FORM, **changes}, files=files)


@pytest.fixture
def sounded(desk: Desk) -> None:
    desk.surveys.add([entry(1, QUILLET), *(entry(2 + n, each) for n, each in enumerate(GRID))])


@pytest.fixture
def struck(desk: Desk) -> Struck:
    """Six strikes on good laminate and one that rings hollow, with their sounds."""
    found = Struck()
    for _ in range(6):
        found.add(wav(recorded(sound(found.chance), found.chance)), reference=True)
    found.add(wav(recorded(sound(found.chance), found.chance)))
    desk.surveys.add(found.entries)
    for content in found.sounds.values():
        desk.blobs.put([content])
    return found


@pytest.mark.usefixtures("sounded")
def test_the_map_stands_with_what_was_heard_otherwise(browser: TestClient) -> None:
    page = browser.get(BASE).text

    assert "24 places: 23 sound, 1 dull." in words(page)
    assert re.search(
        r"Bottom laminate, port : 1 dull, station 5.0 m: one blow alone. How far it reaches was not found: sound around it.",
        words(page),
    )
    assert "taken halfway to the places beside it that were found otherwise" in page
    assert "<svg" in page


@pytest.mark.usefixtures("sounded")
def test_the_smallest_patch_that_would_have_been_met_is_said_zone_by_zone(
    browser: TestClient,
) -> None:
    page = browser.get(f"{BASE}/coverage", headers={"hx-request": "true"}).text

    assert re.search(r"Bottom laminate, port sounded 24 [\d.]+ m² [\d.]+ ± 0.2 m", words(page))
    assert "Met is not yet found" in page
    assert (
        page.count(
            "Of 100 figures written with ±, about 95 lie no further than that from the true value"
        )
        == 1
    )
    assert "<svg" in page


def test_soundings_without_places_say_why_nothing_is_worked_out(
    browser: TestClient, desk: Desk
) -> None:
    bare = Sounding(place=Place(part="deck-structure", side="port"), heard="sound")
    desk.surveys.add([entry(1, QUILLET), entry(2, bare)])

    assert "so there is no map" in browser.get(BASE).text
    assert "have no station and level" in words(browser.get(f"{BASE}/coverage").text)


def test_a_boat_that_cannot_be_drawn_has_no_map(browser: TestClient, desk: Desk) -> None:
    desk.surveys.add([entry(1, Boat(name="Quillet")), entry(2, sounding())])

    page = browser.get(BASE)

    assert page.status_code == 200
    assert "so there is no map" in page.text


@pytest.mark.usefixtures("struck")
def test_recorded_strikes_stand_beside_their_references(browser: TestClient) -> None:
    page = browser.get(f"{BASE}/strikes").text

    assert page.count("A reference, on structure known to be good.") == 6
    assert "Suggested: as reference. The strike is not told from the reference strikes." in words(
        page
    )
    assert (
        "A suggestion where to listen again, not a verdict. No uncertainty can be given with it"
        in page
    )
    assert page.count("<svg") == 1
    assert page.count("<audio") == 7
    assert "Not validated on boats." in page


def test_the_sound_of_a_strike_can_be_listened_to(
    browser: TestClient, desk: Desk, struck: Struck
) -> None:
    first = recordings(desk)[0]

    answer = browser.get(f"{BASE}/{first.id}/sound")

    assert answer.content == struck.sounds[first.body.sha256]
    assert answer.headers["content-type"] == "audio/wav"


def test_a_strike_whose_sound_is_not_here_is_said_so(browser: TestClient, desk: Desk) -> None:
    found = Struck()
    found.add(strike())
    desk.surveys.add(found.entries)

    assert "Its sound is not kept here" in browser.get(f"{BASE}/strikes").text


def test_a_strike_is_kept_byte_for_byte_with_its_place(browser: TestClient, desk: Desk) -> None:
    desk.surveys.add([entry(1, QUILLET)])
    content = strike()

    answer = send(browser, content)

    (kept,) = recordings(desk)
    assert answer.status_code == 303
    assert desk.blobs.read(kept.body.sha256) == content
    assert kept.body.place == LAMINATE
    assert (kept.body.file, kept.body.reference, kept.body.unprocessed) == ("a1.wav", True, True)


def test_two_strikes_of_one_name_are_told_apart(browser: TestClient, desk: Desk) -> None:
    desk.surveys.add([entry(1, QUILLET)])

    send(browser, strike(1), "C:\\sounds\\a1.wav")
    send(browser, strike(2), "a1.wav")

    assert [each.body.file for each in recordings(desk)] == ["a1.wav", "a1-2.wav"]


def test_two_strikes_of_one_name_without_an_ending_are_told_apart(
    browser: TestClient, desk: Desk
) -> None:
    desk.surveys.add([entry(1, QUILLET)])

    for number in (1, 2):
        send(browser, strike(number), "keel")

    assert [each.body.file for each in recordings(desk)] == ["keel", "keel-2"]


def test_a_strike_that_is_sent_twice_at_once_is_evidence_of_one(
    browser: TestClient, desk: Desk
) -> None:
    desk.surveys.add([entry(1, QUILLET)])
    together, said = threading.Barrier(3), []

    def strike_twice() -> None:
        together.wait()
        said.append(send(browser, strike()))

    threads = [threading.Thread(target=strike_twice) for _ in range(3)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()

    assert sorted(each.status_code for each in said) == [303, 422, 422]
    assert any("this strike is here already, as a1.wav" in unescape(each.text) for each in said)
    assert len(recordings(desk)) == 1


def test_a_strike_that_was_kept_is_said_so_on_the_page_it_leads_to(
    browser: TestClient, desk: Desk
) -> None:
    desk.surveys.add([entry(1, QUILLET)])

    send(browser, strike())

    assert "Kept: recorded strike" in unescape(browser.get(BASE).text)


def long_one() -> bytes:
    content = io.BytesIO()
    with wave.open(content, "wb") as file:
        file.setparams((1, 2, RATE_HZ, 0, "NONE", ""))
        file.writeframes(bytes(2 * RATE_HZ * 61))
    return content.getvalue()


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "Choose the file of the strike."),
        (b"ID3 not a wave", "no uncompressed WAV file"),
        (long_one(), "longer than a minute"),
    ],
    ids=["none", "another file", "too long"],
)
def test_what_is_no_strike_is_refused_beside_its_field(
    browser: TestClient, desk: Desk, content: bytes, said: str
) -> None:
    desk.surveys.add([entry(1, QUILLET)])

    answer = send(browser, content)

    assert answer.status_code == 422
    assert said in unescape(answer.text)
    assert 'value="plastic face, 160 g"' in answer.text
    assert recordings(desk) == ()


def test_a_strike_without_a_part_keeps_no_file(browser: TestClient, desk: Desk) -> None:
    desk.surveys.add([entry(1, QUILLET)])

    answer = send(browser, strike(), **{"place.part": ""})

    assert answer.status_code == 422
    assert "It is missing." in answer.text
    assert not any((desk.folder / "originals").rglob("??????*"))

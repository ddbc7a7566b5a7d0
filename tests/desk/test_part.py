"""One place of the boat: everything known of it is shown, and what is recorded is kept entry by entry."""

from html import unescape

import pytest
from cast import QUILLET, SURVEY, entry
from starlette.testclient import TestClient

from garboard.desk.context import Desk
from garboard.notebook.body import (
    Examination,
    Finding,
    Instruction,
    Limitation,
    Memo,
    Observation,
    Photo,
    Place,
    Reading,
    ReadingSet,
    Recording,
    Remark,
    Sounding,
    Told,
)
from garboard.notebook.fold import Survey

COCK = Place(part="seacock", number=2)
HASH = "ab" * 32
LIKE = entry(
    11,
    Examination(
        place=Place(part="seacock", number=1),
        extent="whole",
        how=("look", "operate"),
        outcome="sound",
        found="turns freely",
    ),
)
KNOWN = [
    LIKE,
    entry(12, Limitation(place=COCK, not_reached="behind the drawers", reasons=("stowed-gear",))),
    entry(13, Observation(place=COCK, seen="green stain", defect=True, length_mm=12.5)),
    entry(14, Sounding(place=COCK, heard="dull")),
    entry(15, ReadingSet(name="pads", quantity="moisture", unit="scale", instrument="meter", readings=(Reading(place=COCK, as_read="17"),))),
    entry(16, Photo(number=7, file="a.jpg", sha256=HASH, media_type="image/jpeg", caption="valve shut", place=COCK)),
    entry(17, Memo(file="b.wav", sha256=HASH, seconds=3, words="stiff at the end", place=COCK)),
    entry(18, Recording(file="c.wav", sha256=HASH, place=COCK)),
    entry(19, Told(who="the seller", said="changed in 2019", about=("seacock",))),
    entry(20, Remark(text="ask again", place=COCK)),
    entry(21, Finding(name="cock", title="Valve stained", seen="x", why="y", urgency="for information", because="z", how_known=("seen",), places=(COCK,))),
]  # fmt: skip


@pytest.fixture
def page(desk: Desk) -> str:
    """The page of the second seacock in a survey with one seacock examined."""
    asked = Instruction(client="Tamsin Orrowby", purpose="buy")
    desk.surveys.add([entry(1, QUILLET), entry(2, asked), LIKE])
    return f"/s/{SURVEY}/part/seacock%202"


def now(desk: Desk) -> Survey:
    found = desk.surveys.get(SURVEY)
    assert found is not None
    return found


def test_it_says_how_the_part_is_examined_and_what_to_beware_of(
    browser: TestClient, page: str
) -> None:
    shown = unescape(browser.get(page).text)

    assert "<h1>Seacock, 2</h1>" in shown
    assert "a stuck valve that breaks afloat sinks the boat" in shown
    assert "backing pad split or decayed" in shown
    assert "Nothing recorded." in shown
    assert 'rel="prev"' in shown
    assert 'rel="next"' in shown


def test_everything_recorded_of_it_is_shown(browser: TestClient, desk: Desk, page: str) -> None:
    desk.surveys.add(KNOWN)

    shown = unescape(browser.get(page).text)

    for words in (
        "behind the drawers", "stowed gear was in the way", "green stain", "12.5 mm long",
        "1 sounding: 1 dull", "pads: 1 reading of moisture", "valve shut", "stiff at the end", "c.wav",
        "changed in 2019", "ask again", "Valve stained",
    ):  # fmt: skip
        assert words in shown
    assert "turns freely" not in shown


def test_a_place_beyond_the_schedule_has_a_page_and_an_unknown_part_has_none(
    browser: TestClient, page: str
) -> None:
    beyond = browser.get(f"/s/{SURVEY}/part/sterndrive-leg")
    unknown = browser.get(f"/s/{SURVEY}/part/no-such-part")

    assert (beyond.status_code, unknown.status_code) == (200, 404)
    assert "not in the schedule" in beyond.text


def test_an_examination_is_kept_and_the_walk_goes_on(
    browser: TestClient, desk: Desk, page: str
) -> None:
    form = {
        "examination.extent": "part",
        "examination.how": ["look", "operate"],
        "examination.share_pct": "60",
        "examination.found": "stiff",
        "examination.place.words": "heads inlet",
        "onward": "seacock 3",
    }

    answer = browser.post(f"{page}/examination", data=form)

    assert answer.headers["location"] == f"/s/{SURVEY}/part/seacock%203"
    (made,) = (each.body for each in now(desk).of(Examination) if each.id != LIKE.id)
    assert made == Examination(
        place=Place(part="seacock", number=2, words="heads inlet"),
        extent="part",
        how=("look", "operate"),
        share_pct=60,
        found="stiff",
    )
    assert "Seacock, 2, heads inlet" in browser.get(page).text


def test_what_is_wrong_stands_beside_its_field_and_nothing_is_kept(
    browser: TestClient, desk: Desk, page: str
) -> None:
    form = {"examination.extent": "whole", "examination.share_pct": "160", "examination.found": "x"}

    answer = browser.post(f"{page}/examination", data=form)

    assert answer.status_code == 422
    assert "Give a value from 0 to 100 %." in answer.text
    assert ">x</textarea>" in answer.text
    assert now(desk).of(Examination) == (LIKE,)


def test_as_last_fills_the_form_in_and_keeps_nothing(
    browser: TestClient, desk: Desk, page: str
) -> None:
    offered = browser.get(page).text
    filled = browser.get(f"{page}?as={LIKE.id}").text

    assert f"?as={LIKE.id}#examination" in offered
    assert "Filled in as for seacock, 1." in filled
    assert "turns freely" in filled
    assert now(desk).of(Examination) == (LIKE,)


def test_as_last_is_not_offered_from_another_part(
    browser: TestClient, desk: Desk, page: str
) -> None:
    shown = browser.get(f"/s/{SURVEY}/part/skin-fitting%201?as={LIKE.id}").text

    assert "turns freely" not in shown


def test_a_limitation_begins_with_what_the_catalogue_proposes(
    browser: TestClient, page: str
) -> None:
    shown = unescape(browser.get(page).text)

    assert 'value="a valve that cannot be closed or that breaks when it is"' in shown
    assert 'value="access cleared and the valve freed ashore by the yard"' in shown


def test_a_limitation_needs_a_reason(browser: TestClient, desk: Desk, page: str) -> None:
    answer = browser.post(f"{page}/limitation", data={"limitation.not_reached": "all of it"})

    assert answer.status_code == 422
    assert now(desk).of(Limitation) == ()


def test_a_way_called_for_and_not_used_leads_to_its_limitation(
    browser: TestClient, desk: Desk, page: str
) -> None:
    first = f"/s/{SURVEY}/part/seacock%201"
    shown = unescape(browser.get(first).text)

    begun = unescape(browser.get(f"{first}?without=sound").text)

    assert "It was not sounded with a hammer, which is called for." in shown
    assert ">Not sounded with a hammer</textarea>" in begun


@pytest.mark.parametrize(
    ("kind", "form", "cls"),
    [
        ("observation", {"seen": "green stain", "defect": ["no", "yes"], "place.side": "port"}, Observation),
        ("sounding", {"heard": "dull", "hammer": "soft face"}, Sounding),
    ],
)  # fmt: skip
def test_what_was_seen_and_heard_is_kept_at_its_place(
    browser: TestClient,
    desk: Desk,
    page: str,
    kind: str,
    form: dict[str, str],
    cls: type[Observation | Sounding],
) -> None:
    answer = browser.post(
        f"{page}/{kind}", data={f"{kind}.{name}": text for name, text in form.items()}
    )

    assert answer.headers["location"] == page
    (made,) = now(desk).of(cls)
    assert (made.body.place.part, made.body.place.number) == ("seacock", 2)


def test_a_box_that_is_ticked_says_yes(browser: TestClient, desk: Desk, page: str) -> None:
    form = {"observation.seen": "green stain", "observation.defect": ["no", "yes"]}

    browser.post(f"{page}/observation", data=form)

    (made,) = now(desk).bodies(Observation)
    assert made.defect


def test_what_was_seen_leads_to_the_finding_that_rests_on_it_or_to_one_to_be_written(
    browser: TestClient, desk: Desk, page: str
) -> None:
    stain, crack = KNOWN[2], entry(30, Observation(place=COCK, seen="crack", defect=True))
    finding = entry(31, Finding(name="stain", title="Stained", seen="x", why="y", urgency="for information", because="z", how_known=("seen",), places=(COCK,), evidence=(stain.id,)))  # fmt: skip
    desk.surveys.add([stain, crack, finding])

    shown = unescape(browser.get(page).text)

    assert f'<a href="/s/{SURVEY}/finding/{finding.id}">Finding 1: Stained</a>' in shown
    assert f"/finding/new?part=seacock&number=2&evidence={crack.id}" in shown
    assert f"evidence={stain.id}" not in shown


def test_a_finding_begun_from_what_was_seen_has_its_words_and_a_heading(
    browser: TestClient, desk: Desk, page: str
) -> None:
    seen = Observation(place=COCK, seen="A crack in the body, weeping. Not new.", defect=True)
    crack = entry(30, seen)
    desk.surveys.add([crack])

    begun = browser.get(f"/s/{SURVEY}/finding/new?part=seacock&number=2&evidence={crack.id}").text

    assert 'value="Seacock, 2: crack in the body"' in begun
    assert ">A crack in the body, weeping. Not new.</textarea>" in begun


def test_what_was_not_reached_is_one_step_away_like_what_was_examined(
    browser: TestClient, page: str
) -> None:
    shown = unescape(browser.get(page).text)
    opened = browser.get(f"{page}?record=limitation").text

    for kind, words in (("examination", "Examined"), ("limitation", "Not reached")):
        assert f'href="{page}?record={kind}#{kind}">{words}</a>' in shown
    assert '<details id="limitation" open>' in opened
    assert '<details id="examination">' in opened


def test_photographs_can_be_added_on_it(browser: TestClient, page: str) -> None:
    shown = browser.get(page).text

    assert f'action="/s/{SURVEY}/photographs/of/seacock%202"' in shown


def test_a_sounding_off_the_boat_is_refused_in_words(browser: TestClient, page: str, desk: Desk) -> None:  # fmt: skip
    at = page.replace("seacock%202", "bottom-laminate%20port")

    answer = browser.post(f"{at}/sounding", data={"sounding.heard": "dull", "sounding.place.station_m": "52"})  # fmt: skip

    assert answer.status_code == 422
    assert "52.00 m aft of the stem is not on the boat" in answer.text
    survey = desk.surveys.get(SURVEY)
    assert survey is not None
    assert not survey.of(Sounding)

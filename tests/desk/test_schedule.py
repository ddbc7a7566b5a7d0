"""The schedule: every place that is called for, counted by how it stands, and what was left out with its reason."""

from dataclasses import replace
from html import unescape

import pypdfium2
import pytest
from cast import DAY, QUILLET, SURVEY, entry
from starlette.testclient import TestClient

from garboard.catalogue.naming import key
from garboard.catalogue.parts import catalogue
from garboard.desk.checklist import checklist
from garboard.desk.context import Desk
from garboard.judgement.states import part_states
from garboard.judgement.steps import step_of
from garboard.judgement.stretches import Stop, place_at, stops, stretches
from garboard.notebook.body import (
    Boat,
    Examination,
    Instruction,
    Limitation,
    Observation,
    Place,
)
from garboard.notebook.fold import Survey

PAGE = f"/s/{SURVEY}/schedule"
BOAT, ASKED = entry(1, QUILLET), entry(2, Instruction(client="Tamsin Orrowby", purpose="buy"))
JOINT, STEM, BLADE = (Place(part=each) for each in ("keel-joint", "stem", "rudder-blade"))
EXAMINED = entry(3, Examination(place=JOINT, extent="part", share_pct=60, how=("look",)))
MISSED = entry(4, Limitation(place=STEM, not_reached="all of it", reasons=("antifouling-on",)))
SEEN = entry(5, Observation(place=BLADE, seen="a crack"))


@pytest.fixture
def survey(desk: Desk) -> Survey:
    """A survey of which one place was examined, one not reached, and one looked at without a record."""
    desk.surveys.add([BOAT, ASKED, EXAMINED, MISSED, SEEN])
    return now(desk)


def now(desk: Desk) -> Survey:
    found = desk.surveys.get(SURVEY)
    assert found is not None
    return found


def silent_places(survey: Survey) -> list[Stop]:
    return [s for s in stops(part_states(survey)) if s.state.is_place and s.state.state == "silent"]


def text(answer: object) -> str:
    return unescape(getattr(answer, "text", ""))


def test_every_called_place_is_shown_and_counted_by_how_it_stands(
    browser: TestClient, survey: Survey
) -> None:
    total = sum(each.is_place for each in part_states(survey))

    shown = text(browser.get(PAGE))

    assert f"{total} places are called for" in shown
    assert f"<b>{total - 3}</b> nothing recorded" in shown
    for words in ("not reached", "examined in part", "noted, examination not recorded"):
        assert f"<b>1</b> {words}" in shown
    assert shown.count("/part/") >= total


def test_a_duty_of_the_surveyors_own_is_shown_by_itself_and_counts_as_no_place(
    browser: TestClient, survey: Survey
) -> None:
    duties = [each.key for each in stops(part_states(survey)) if not each.state.is_place]

    whole = text(browser.get(PAGE))
    alone = text(browser.get(f"{PAGE}?show=duties"))
    places = text(browser.get(f"{PAGE}?show=silent"))
    rest = text(browser.get(f"{PAGE}/rest"))

    assert "danger-told" in duties
    assert f"and {len(duties)} duties of your own." in whole
    assert all(f"/part/{each}" in alone and f"/part/{each}" not in places for each in duties)
    assert not any(f'value="{each}"' in rest for each in duties)
    assert f"nothing recorded at {len(silent_places(survey))} places" in step_of(survey).waits_for


def test_only_those_with_nothing_recorded_can_be_shown(browser: TestClient, survey: Survey) -> None:
    shown = text(browser.get(f"{PAGE}?show=silent"))

    assert f"/s/{SURVEY}/part/keel-joint" not in shown
    assert f"/s/{SURVEY}/part/skeg" in shown


@pytest.mark.parametrize(
    ("asked", "shown", "hidden"),
    [("found", "rudder-blade", "stem"), ("limited", "stem", "rudder-blade")],
)
def test_what_is_looked_for_most_can_be_shown_alone(
    browser: TestClient, desk: Desk, survey: Survey, asked: str, shown: str, hidden: str
) -> None:
    cracked = Examination(place=BLADE, extent="whole", how=("look",), outcome="defect")
    desk.surveys.add([entry(6, cracked)])

    page = text(browser.get(f"{PAGE}?show={asked}"))

    assert f"/part/{shown}" in page
    assert f"/part/{hidden}" not in page
    assert f'<a href="{PAGE}?show={asked}" aria-current="true">' in page


def test_each_stretch_is_open_and_counts_how_its_places_stand(
    browser: TestClient, survey: Survey
) -> None:
    shown = text(browser.get(PAGE))

    assert shown.count("<details open>") == len(stretches(stops(part_states(survey))))
    assert "1 examined in part" in shown


def test_what_is_not_answered_is_said_with_the_parts_that_hang_on_it(
    browser: TestClient, desk: Desk
) -> None:
    desk.surveys.add([entry(1, replace(QUILLET, hulls=None, fitted=("heads",))), ASKED])
    hanging = {e.called.part.id for e in part_states(now(desk)) if "hulls" in e.called.unstated}

    shown = text(browser.get(PAGE))

    link = f'<a href="/s/{SURVEY}/boat#hulls">How many hulls</a>'
    assert "1 particular of the boat is not answered" in shown
    assert f'{link} <span class="quiet">{len(hanging)} parts hang on it' in shown
    assert f'Called for because it is not answered: <a href="/s/{SURVEY}/boat#hulls">' in shown


def test_the_caution_stands_before_the_work(browser: TestClient, survey: Survey) -> None:
    shown = text(browser.get(PAGE))

    assert "Never stand or reach under a hull or keel that is being lifted" in shown


def test_what_is_left_out_is_told_apart_with_its_reason(
    browser: TestClient, survey: Survey
) -> None:
    shown = text(browser.get(PAGE))

    assert "not fitted</td><td>as stated: keel, bolted iron" in shown
    assert "not called for</td><td>no visit agreed for it" in shown


def test_without_an_instruction_the_page_says_what_is_missing(
    browser: TestClient, desk: Desk
) -> None:
    desk.surveys.add([BOAT])

    shown = text(browser.get(PAGE))

    assert "The schedule follows from the instruction and from the boat" in shown


def test_a_part_that_was_asked_for_corrects_the_instruction(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    left = next(iter(left_out_of(survey)))

    answer = browser.post(f"{PAGE}/ask", data={"part": left, "why": "the client, by telephone"})

    assert answer.status_code == 303
    (stands,) = now(desk).of(Instruction)
    assert stands.body.asked_parts == (left,)
    assert (stands.replaces, stands.why) == ((ASKED.id,), "the client, by telephone")
    assert left in {each.called.part.id for each in part_states(now(desk))}


def left_out_of(survey: Survey) -> list[str]:
    called = {each.called.part.id for each in part_states(survey)}
    return [each for each in catalogue().parts if each not in called]


def test_who_asked_has_to_be_said(browser: TestClient, desk: Desk, survey: Survey) -> None:
    answer = browser.post(f"{PAGE}/ask", data={"part": "sterndrive-leg", "why": " "})

    assert answer.status_code == 422
    assert "Say who asked, and why" in text(answer)
    assert now(desk).of(Instruction) == (ASKED,)


def test_a_part_is_split_into_numbers_by_a_correction_of_the_boat(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    form = {"of": BOAT.id, "of.skin-fitting": "3", "part": "bilge", "count": "2", "why": "counted outside and in"}  # fmt: skip

    answer = browser.post(f"{PAGE}/numbers", data=form)

    assert answer.status_code == 303
    (stands,) = now(desk).of(Boat)
    assert stands.body.numbers == {"skin-fitting": 3, "bilge": 2}
    assert (stands.replaces, stands.why) == ((BOAT.id,), "counted outside and in")
    keys = [each.key for each in stops(part_states(now(desk)))]
    assert [each for each in keys if each.startswith("skin-fitting")] == [f"skin-fitting {n}" for n in (1, 2, 3)]  # fmt: skip


def test_numbers_that_are_as_they_were_write_nothing(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    browser.post(f"{PAGE}/numbers", data={"of.skin-fitting": ""})

    assert now(desk).of(Boat) == (BOAT,)


def test_numbers_counted_elsewhere_meanwhile_are_not_overwritten_unseen(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    shown = browser.get(f"{PAGE}/numbers").text
    theirs = entry(30, replace(BOAT.body, numbers={"skin-fitting": 8}), replaces=(1,))
    desk.surveys.add([theirs])

    answer = browser.post(f"{PAGE}/numbers", data={"of": BOAT.id, "of.skin-fitting": "3"})

    assert f'name="of" value="{BOAT.id}"' in shown
    assert answer.status_code == 422
    assert "what you wrote is not kept" in text(answer)
    assert 'name="of.skin-fitting" inputmode="numeric" autocomplete="off" value="3"' in answer.text
    assert now(desk).of(Boat) == (theirs,)


@pytest.mark.parametrize("typed", ["many", "-1", "401", "2.5", "9" * 5000])
def test_a_number_nobody_can_count_is_refused_beside_its_field(
    browser: TestClient, desk: Desk, survey: Survey, typed: str
) -> None:
    answer = browser.post(f"{PAGE}/numbers", data={"of.skin-fitting": typed})

    assert answer.status_code == 422
    assert "Give a whole number from 0 to 400" in text(answer)
    assert now(desk).of(Boat) == (BOAT,)


def test_a_name_of_the_boats_own_stands_beside_its_number(desk: Desk, survey: Survey) -> None:
    place = Place(part="seacock", number=2, words="heads inlet")
    desk.surveys.add([entry(6, Examination(place=place, extent="whole", how=("look",)))])

    named = {each.key: each.name for each in stops(part_states(now(desk)))}

    assert named["seacock 2"] == "seacock, 2, heads inlet"
    assert named["seacock 3"] == "seacock, 3"


def test_the_walk_goes_by_stretches_of_one_zone_and_loses_no_place(survey: Survey) -> None:
    along = stops(part_states(survey))

    walked = stretches(along)

    assert [stop for each in walked for group in each.groups for stop in group.stops] == list(along)
    assert len({each.slug for each in walked}) == len(walked)


@pytest.mark.parametrize("written", ["seacock 2", "topside-laminate port", "keel-joint", "wire-stay starboard 3"])  # fmt: skip
def test_a_key_names_its_place(written: str) -> None:
    place = place_at(written)

    assert place is not None
    assert key(place) == written


@pytest.mark.parametrize("written", ["", "no-such-part", "seacock 0", "seacock 2 port", "seacock x"])  # fmt: skip
def test_what_is_no_key_names_nothing(written: str) -> None:
    assert place_at(written) is None


def printed(pdf: bytes) -> list[str]:
    """The text of each page."""
    document = pypdfium2.PdfDocument(pdf)
    return [page.get_textpage().get_text_bounded() for page in document]


def test_the_checklist_holds_every_place_by_its_key_and_the_reasons_at_every_foot(
    survey: Survey,
) -> None:
    along = stops(part_states(survey))[:40]

    pages = printed(checklist(survey, along, DAY))

    lines = [line.strip() for page in pages for line in page.splitlines()]
    assert {each.key for each in along} <= set(lines)
    for number, page in enumerate(pages, 1):
        assert "49 person on board" in page
        assert f"page {number} of {len(pages)}" in page
    assert "Quillet: checklist" in pages[0]
    assert "Tie the ladder" in pages[0]


def test_the_same_checklist_is_the_same_file_whatever_the_boat_is_called(desk: Desk) -> None:
    odd = replace(QUILLET, name='#sys "Quillet" \u4f60 *bold*')
    desk.surveys.add([entry(1, odd), ASKED])
    along = stops(part_states(now(desk)))[:5]

    pdf = checklist(now(desk), along, DAY)

    assert pdf == checklist(now(desk), along, DAY)
    assert '#sys "Quillet" ‹U+4F60› *bold*' in printed(pdf)[0]


def test_the_checklist_is_handed_out_as_a_pdf(browser: TestClient, survey: Survey) -> None:
    answer = browser.get(f"{PAGE}/checklist.pdf?show=silent")

    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["content-disposition"] == 'inline; filename="Quillet-checklist.pdf"'


def test_what_holds_for_many_places_is_said_once_and_kept_for_each(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    silent = silent_places(survey)
    one, other = silent[0], silent[1]
    form = {"places": [one.key, other.key], "holds": "not reached", "reasons": ["no-time-agreed"]}

    answer = browser.post(f"{PAGE}/rest", data=form)

    assert answer.status_code == 303
    made = [each.body for each in now(desk).of(Limitation) if each.body.reasons == ("no-time-agreed",)]  # fmt: skip
    assert [key(each.place) for each in made] == [one.key, other.key]
    assert [each.could_hide for each in made] == [one.part.could_hide, other.part.could_hide]
    assert [each.would_lift for each in made] == [one.part.would_lift, other.part.would_lift]
    assert f"{len(silent) - 2} nothing recorded" in text(browser.get(PAGE)).replace("<b>", "").replace("</b>", "")  # fmt: skip


def test_many_places_not_fitted_are_kept_as_such(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    silent = silent_places(survey)

    browser.post(f"{PAGE}/rest", data={"places": silent[3].key, "holds": "not fitted", "found": "None seen."})  # fmt: skip

    (made,) = (each.body for each in now(desk).of(Examination) if each.body.extent == "not fitted")
    assert (key(made.place), made.found) == (silent[3].key, "None seen.")


@pytest.mark.parametrize(
    ("form", "said"),
    [
        ({"holds": "not reached", "reasons": "no-time-agreed"}, "Tick the places"),
        ({"places": "mast-lower", "holds": "not reached"}, "reason"),
        ({"places": "mast-lower", "reasons": "no-time-agreed"}, "Say what holds"),
    ],
)
def test_the_rest_without_places_reason_or_what_holds_is_refused_and_nothing_kept(
    browser: TestClient, desk: Desk, survey: Survey, form: dict[str, str], said: str
) -> None:
    before = len(survey.by_id)
    silent = silent_places(survey)
    sent = {name: silent[0].key if name == "places" else value for name, value in form.items()}

    answer = browser.post(f"{PAGE}/rest", data=sent)

    assert answer.status_code == 422
    assert said in text(answer)
    assert "This field" not in answer.text
    assert len(now(desk).by_id) == before

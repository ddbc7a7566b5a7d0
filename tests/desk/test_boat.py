"""The boat: looked at as she is typed, kept as a correction, and chosen between where two disagree."""

import re
from dataclasses import fields, replace
from html import unescape

import pytest
from cast import QUILLET, SURVEY, entry
from desk.conftest import ZONE
from starlette.testclient import TestClient

from garboard.catalogue.parts import catalogue
from garboard.desk.context import Desk
from garboard.desk.filled import texts_of
from garboard.desk.pages.boat import GROUPS, fittings_asked
from garboard.notebook.body import Boat, Engine, Instruction, Withdrawal
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

PAGE = f"/s/{SURVEY}/boat"
FULL = replace(QUILLET, fitted=("heads", "bow-thruster"), numbers={"skin-fitting": 8})
FIRST = entry(1, FULL)
ASKED = entry(2, Instruction(client="Tamsin Orrowby", purpose="buy"))


@pytest.fixture
def kept(desk: Desk) -> None:
    """A survey with a boat."""
    desk.surveys.add([FIRST, ASKED])


def now(desk: Desk) -> Survey:
    found = desk.surveys.get(SURVEY)
    assert found is not None
    return found


def form(boat: Boat = FULL, of: str = FIRST.id, **changed: str) -> dict[str, str | list[str]]:
    """The form as a browser sends it."""
    texts = texts_of(boat, ZONE)
    found: dict[str, str | list[str]] = {
        name: text.split("\n") if name in ("deck", "fitted", "fitted_unknown") and text else text
        for name, text in texts.items()
        if not name.startswith("numbers")
    }
    return {**found, "of": of, **{path.replace("__", "."): text for path, text in changed.items()}}


def test_every_particular_has_its_place_on_the_page() -> None:
    grouped = [name for names in GROUPS.values() for name in names]

    assert sorted([*grouped, "fitted", "fitted_unknown", "fitted_none", "numbers"]) == sorted(
        each.name for each in fields(Boat)
    )


def test_every_question_about_fittings_is_asked_once_and_under_a_heading() -> None:
    asked = [slug for _, questions in fittings_asked() for slug, _ in questions]

    assert asked == list(catalogue().vocabulary.fittings)
    assert "" not in dict(fittings_asked())


def test_the_first_boat_of_a_survey_is_kept_plain(browser: TestClient, desk: Desk) -> None:
    desk.surveys.add([ASKED])

    answer = browser.post(PAGE, data={"of": "", "name": "Quillet", "loa_m": "33 ft 6 in"})

    assert answer.status_code == 303
    (made,) = now(desk).of(Boat)
    assert (made.body.loa_m, made.replaces, made.why) == (10.2108, (), None)


def test_a_change_is_a_correction_with_its_reason_and_keeps_what_the_form_does_not_hold(
    browser: TestClient, desk: Desk, kept: None
) -> None:
    answer = browser.post(PAGE, data=form(beam_m="3.40", why="measured with the tape"))

    assert answer.status_code == 303
    (made,) = now(desk).of(Boat)
    assert made.body == replace(FULL, beam_m=3.4)
    assert (made.replaces, made.why) == ((FIRST.id,), "measured with the tape")


def test_an_unchanged_form_writes_nothing_in_whatever_order_its_ticks_come(
    browser: TestClient, desk: Desk, kept: None
) -> None:
    sent = {**form(), "fitted": ["bow-thruster", "heads"]}

    answer = browser.post(PAGE, data=sent)

    assert answer.headers["location"] == PAGE
    assert "Nothing was changed, so nothing was written." in browser.get(PAGE).text
    assert now(desk).of(Boat) == (FIRST,)


def test_a_change_without_its_reason_comes_back_as_typed(
    browser: TestClient, desk: Desk, kept: None
) -> None:
    answer = browser.post(PAGE, data=form(beam_m="3.40"))

    assert answer.status_code == 422
    assert "Say why it is corrected: Beam of hull." in answer.text
    assert 'value="3.40"' in answer.text
    assert now(desk).of(Boat) == (FIRST,)


def test_filling_in_what_was_blank_asks_for_no_reason(browser: TestClient, desk: Desk) -> None:
    told = Boat(name="Quillet", loa_m=10.2, engines=(Engine(described="diesel"),))
    desk.surveys.add([entry(1, told), ASKED])

    answer = browser.post(PAGE, data=form(told, hulls="1", engines__0__power_kw="18 hp"))

    assert answer.status_code == 303
    (made,) = now(desk).of(Boat)
    assert made.body.hulls == 1
    assert made.body.engines == (Engine(described="diesel", power_kw=13.42),)
    assert (made.replaces, made.why) == ((FIRST.id,), "what was blank is filled in")


def test_a_power_typed_in_horsepower_comes_back_with_it_beside_the_kilowatts(
    browser: TestClient, desk: Desk
) -> None:
    told = Boat(name="Quillet", engines=(Engine(described="diesel"),))
    desk.surveys.add([entry(1, told), ASKED])
    browser.post(PAGE, data=form(told, engines__0__power_kw="18 hp"))

    shown = browser.get(PAGE).text

    assert 'value="13.42"' in shown
    assert "18 hp, 18.2 metric hp" in shown


def test_what_is_not_answered_stands_at_the_head_with_the_parts_that_hang_on_it(
    browser: TestClient, desk: Desk
) -> None:
    desk.surveys.add([entry(1, replace(QUILLET, hulls=None)), ASKED])

    shown = browser.get(PAGE).text

    assert f'<a href="{PAGE}#hulls">How many hulls</a>' in shown
    assert 'id="hulls"' in shown
    assert f'<a href="{PAGE}#rudder">' not in shown


def test_what_cannot_be_read_stands_beside_its_field(
    browser: TestClient, desk: Desk, kept: None
) -> None:
    answer = browser.post(PAGE, data=form(beam_m="broad", year="3026", why="x"))

    assert answer.status_code == 422
    assert "is not a quantity" in unescape(answer.text)
    assert "Give a value from 1700 to 2200." in answer.text


# Drawn as she is typed


def test_the_hull_is_drawn_of_what_is_typed_and_nothing_is_kept(
    browser: TestClient, desk: Desk, kept: None
) -> None:
    drawn = browser.post(f"{PAGE}/drawing", data=form(loa_m="14", name="")).text

    assert drawn.count("<svg") == 3
    assert "<title>the boat: Starboard side, bow to the right</title>" in drawn
    assert now(desk).entries == (FIRST, ASKED)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"beam_m": "3"}, "To draw the hull, state the length of hull of the boat."),
        ({}, "To draw the hull, state the length of hull and the beam of the boat."),
        ({"loa_m": "9", "beam_m": "wide"}, 'Beam of hull: "wide" is not a quantity'),
        ({"loa_m": "9", "beam_m": "3", "lwl_m": "12"}, "a waterline is not longer than its hull"),
    ],
)
def test_what_the_drawing_lacks_is_said_in_words(
    browser: TestClient, kept: None, typed: dict[str, str], said: str
) -> None:
    drawn = unescape(browser.post(f"{PAGE}/drawing", data=typed).text)

    assert said in drawn
    assert "<svg" not in drawn


def test_a_field_that_does_not_read_leaves_the_others_drawn(
    browser: TestClient, kept: None
) -> None:
    drawn = browser.post(f"{PAGE}/drawing", data=form(draught_m="deep", year="soon")).text

    assert "Draught, deepest:" in drawn
    assert drawn.count("<svg") == 3


def test_the_identity_number_is_read_as_it_is_typed(browser: TestClient, kept: None) -> None:
    typed = {"identity_number": "xx-qlt00417c898", "year": "2005"}

    shown = unescape(browser.post(f"{PAGE}/drawing", data=typed).text)

    assert "XX-QLT00417C898" in shown
    assert "March 1998" in shown
    assert "the year of the boat is stated as 2005" in shown
    assert "there is no check digit" in shown


def test_figures_follow_with_uncertainty_and_source(browser: TestClient, kept: None) -> None:
    shown = unescape(browser.get(PAGE).text)

    assert "hull speed" in shown
    assert "7.18\N{NO-BREAK SPACE}±\N{NO-BREAK SPACE}0.07\N{NO-BREAK SPACE}kn" in shown
    assert (
        shown.count(
            "Of 100 figures written with ±, about 95 lie no further than that from the true value"
        )
        == 1
    )
    assert "1.34 times the root of the waterline in feet" in shown


# Two that disagree


def corrected(number: int, boat: Boat, device: str) -> Entry[Boat]:
    return entry(number, boat, replaces=(1,), device=device)


MINE, YOURS = (
    corrected(5, replace(FULL, beam_m=3.4), "tablet-1"),
    corrected(6, replace(FULL, draught_m=1.9), "phone-2"),
)
BOTH = f"{MINE.id} {YOURS.id}"


def test_two_corrections_stand_side_by_side_where_they_differ(
    browser: TestClient, desk: Desk, kept: None
) -> None:
    desk.surveys.add([MINE, YOURS])

    shown = unescape(browser.get(PAGE).text)

    assert "Two versions stand side by side" in shown
    assert '<th scope="row">Beam of hull</th><td>3.4 m</td><td>3.35 m</td>' in shown
    assert '<th scope="row">Draught, deepest</th><td>1.85 m</td><td>1.9 m</td>' in shown
    assert '<th scope="row">Year of build</th>' not in shown


def test_choosing_one_replaces_both_and_settles_it(
    browser: TestClient, desk: Desk, kept: None
) -> None:
    desk.surveys.add([MINE, YOURS])

    browser.post(f"{PAGE}/settle", data={"chosen": MINE.id, "why": "taped twice", "of": BOTH})

    survey = now(desk)
    (stands,) = survey.of(Boat)
    assert stands.body == MINE.body
    assert set(stands.replaces) == {MINE.id, YOURS.id}
    assert survey.choices == ()
    assert "side by side" not in browser.get(PAGE).text


def test_the_form_can_take_something_of_both(browser: TestClient, desk: Desk, kept: None) -> None:
    desk.surveys.add([MINE, YOURS])
    both = replace(FULL, beam_m=3.4, draught_m=1.9)

    browser.post(PAGE, data=form(both, of=BOTH, why="both were right"))

    survey = now(desk)
    assert survey.bodies(Boat) == (both,)
    assert survey.choices == ()


def test_a_form_filled_from_what_was_corrected_meanwhile_is_refused_and_keeps_what_was_typed(
    browser: TestClient, desk: Desk, kept: None
) -> None:
    desk.surveys.add([MINE])

    refused = browser.post(PAGE, data=form(draught_m="1.90", why="asked the yard"))

    assert refused.status_code == 422
    assert "Ines Caldervane changed it at" in refused.text
    assert "“Beam of hull: 3.4 m” is in force now" in unescape(refused.text)
    assert 'value="1.90"' in refused.text
    assert f'name="of" value="{MINE.id}"' in refused.text
    assert now(desk).of(Boat) == (MINE,)


def test_a_choice_does_not_settle_what_came_after_it_was_shown(
    browser: TestClient, desk: Desk, kept: None
) -> None:
    third = corrected(8, replace(FULL, year=1999), "laptop-3")
    desk.surveys.add([MINE, YOURS, third])

    refused = browser.post(f"{PAGE}/settle", data={"chosen": MINE.id, "why": "mine", "of": BOTH})

    assert refused.status_code == 422
    assert len(now(desk).of(Boat)) == 3


def test_a_choice_is_made_whole_or_not_at_all(browser: TestClient, desk: Desk, kept: None) -> None:
    desk.surveys.add([MINE, YOURS, entry(7, Withdrawal(), replaces=(1,), device="phone-2")])
    page = browser.get(PAGE).text
    shown = page.partition('name="of" value="')[2].partition('"')[0]
    before = now(desk)

    browser.post(f"{PAGE}/settle", data={"chosen": MINE.id, "why": "looked again", "of": shown})

    made = [each for each in now(desk).entries if each not in before.entries]
    assert [type(each.body) for each in made] == [Withdrawal, Boat]
    assert {each.why for each in made} == {"looked again"}
    assert now(desk).choices == ()


def test_a_boat_chosen_to_be_left_taken_back_brings_no_earlier_one_back(
    browser: TestClient, desk: Desk, kept: None
) -> None:
    back = entry(7, Withdrawal(), replaces=(5,), device="phone-2")
    again = entry(8, replace(FULL, year=1999), replaces=(5,), device="laptop-3")
    desk.surveys.add([MINE, back, again])
    of = f"{again.id} {back.id}"

    browser.post(f"{PAGE}/settle", data={"chosen": back.id, "why": "of another boat", "of": of})

    assert now(desk).of(Boat) == ()


@pytest.mark.parametrize("is_back", [True, False])
def test_a_correction_against_a_withdrawal_is_settled_either_way(
    browser: TestClient, desk: Desk, kept: None, is_back: bool
) -> None:
    back = entry(7, Withdrawal(), replaces=(1,), device="phone-2")
    desk.surveys.add([MINE, back])
    assert "taken back" in browser.get(PAGE).text

    chosen = back.id if is_back else MINE.id
    browser.post(
        f"{PAGE}/settle",
        data={"chosen": chosen, "why": "looked again", "of": f"{MINE.id} {back.id}"},
    )

    survey = now(desk)
    assert survey.bodies(Boat) == (() if is_back else (MINE.body,))
    assert survey.choices == ()


def test_a_boat_chosen_against_her_withdrawal_is_said_to_be_put_back(
    browser: TestClient, desk: Desk, kept: None
) -> None:
    mine = entry(8, replace(FULL, name="Quillet II"), replaces=(1,))
    back = entry(9, Withdrawal(), replaces=(1,))
    desk.surveys.add([mine, back])

    browser.post(
        f"{PAGE}/settle", data={"chosen": mine.id, "why": "she is here", "of": f"{mine.id} {back.id}"}
    )  # fmt: skip

    shown = unescape(browser.get(PAGE).text)
    assert "Put back: boat “Quillet”." in shown
    assert "“withdrawn”" not in shown


def test_a_choice_needs_its_reason(browser: TestClient, desk: Desk, kept: None) -> None:
    desk.surveys.add([MINE, YOURS])

    answer = browser.post(f"{PAGE}/settle", data={"chosen": MINE.id, "why": "", "of": BOTH})

    assert answer.status_code == 422
    assert len(now(desk).of(Boat)) == 2


def test_what_nobody_could_tell_of_is_ticked_beside_its_question(
    browser: TestClient, desk: Desk, kept: None
) -> None:
    sent = {**form(why="asked the owner"), "fitted": ["heads"], "fitted_unknown": ["earth-plate"]}

    browser.post(PAGE, data=sent)

    (made,) = now(desk).of(Boat)
    assert (made.body.fitted, made.body.fitted_unknown) == (("heads",), ("earth-plate",))
    assert 'name="fitted_unknown" value="earth-plate" checked' in browser.get(PAGE).text


def test_what_she_has_and_what_nobody_knows_cannot_be_the_same(
    browser: TestClient, desk: Desk, kept: None
) -> None:
    both = {**form(why="asked"), "fitted": ["heads"], "fitted_unknown": ["heads"]}
    none = {**form(why="asked"), "fitted_none": "yes"}

    answers = [browser.post(PAGE, data=each) for each in (both, none)]

    assert [each.status_code for each in answers] == [422, 422]
    assert "nobody knows whether she has it" in unescape(answers[0].text)
    assert "she has nothing, and something is listed" in unescape(answers[1].text)
    assert now(desk).of(Boat) == (FIRST,)


def test_that_she_has_nothing_fills_in_a_blank_until_something_was_told(
    browser: TestClient, desk: Desk
) -> None:
    told = Boat(name="Quillet", loa_m=10.2)
    desk.surveys.add([entry(1, told), ASKED])

    answer = browser.post(PAGE, data=form(told, fitted_none="yes"))
    (made,) = now(desk).of(Boat)
    back = browser.post(PAGE, data=form(made.body, of=made.id, fitted_none="no"))

    assert answer.status_code == 303
    assert (made.body.fitted_none, made.why) == (True, "what was blank is filled in")
    assert back.status_code == 422
    assert "Say why it is corrected: She has none of these." in back.text


def asked_about(page: str) -> dict[str, bool]:
    """The questions about fittings, and whether each is in sight."""
    found = re.findall(r'<div class="fitting" data-fitting="([\w-]+)"( hidden)?>', page)
    return {slug: not hidden for slug, hidden in found}


def test_a_boat_of_one_hull_is_asked_about_nothing_between_hulls(
    browser: TestClient, desk: Desk
) -> None:
    told = Boat(name="Quillet", hulls=1, material="grp", rig="none")
    desk.surveys.add([entry(1, told), ASKED])

    asked = asked_about(browser.get(PAGE).text)

    assert {each for each, is_asked in asked.items() if not is_asked} == {
        "bridgedeck", "daggerboards", "folding-hulls", "trampoline",
        "integral-tanks", "sheathing", "rigid-bottom", "furling-gear",
    }  # fmt: skip


def test_what_was_ticked_stays_in_sight_though_she_cannot_have_it(
    browser: TestClient, desk: Desk
) -> None:
    told = Boat(name="Quillet", hulls=1, fitted=("trampoline",), fitted_unknown=("bridgedeck",))
    desk.surveys.add([entry(1, told), ASKED])

    asked = asked_about(browser.get(PAGE).text)

    assert asked["trampoline"]
    assert asked["bridgedeck"]
    assert not asked["daggerboards"]


def test_what_she_cannot_have_follows_what_is_typed(browser: TestClient, desk: Desk, kept: None) -> None:  # fmt: skip
    drawn = browser.post(f"{PAGE}/drawing", data=form(hulls="2", material="steel")).text

    said = re.findall(r'id="impossible" hidden data-fittings="([^"]*)"', drawn)
    assert said == ["folding-hulls rigid-bottom sheathing"]


def test_a_boat_without_mast_and_rudder_is_asked_about_neither(
    browser: TestClient, desk: Desk
) -> None:
    told = Boat(name="Sorrel", rig="none", drive="sterndrive", mast="wood")
    desk.surveys.add([entry(1, told), ASKED])

    page = browser.get(PAGE).text

    hidden = re.findall(r'<div class="field" hidden>\s*<label for="(\w+)"', page)
    assert hidden == ["sail_area_m2", "rudder", "mast_step", "standing"]
    assert 'data-particulars="rudder mast standing mast_step sail_area_m2"' in page


def test_a_sailing_boat_with_an_outboard_is_asked_for_her_rudder(
    browser: TestClient, desk: Desk
) -> None:
    desk.surveys.add([entry(1, Boat(name="Quillet", rig="sloop", drive="outboard")), ASKED])

    page = browser.get(PAGE).text

    assert re.search(r'<div class="field">\s*<label for="rudder"', page)
    assert re.search(r'<div class="field">\s*<label for="mast_step"', page)


# What only fills in


@pytest.mark.parametrize(
    ("before", "after", "adds"),
    [
        (Boat(name="a"), Boat(name="a", loa_m=9.0, deck=("grp",)), True),
        (Boat(name="a", loa_m=9.0), Boat(name="a"), False),
        (Boat(name="a", loa_m=9.0), Boat(name="a", loa_m=9.1), False),
        (Boat(name="a", fitted=("heads",)), Boat(name="a", fitted=("heads", "gas")), False),
        (Boat(name="a", engines=(Engine(described="x"),)), Boat(name="a", engines=(Engine(described="x", year=1998),)), True),
        (Boat(name="a", engines=(Engine(described="x"),)), Boat(name="a", engines=(Engine(described="y"),)), False),
    ],
)  # fmt: skip
def test_a_reason_is_asked_for_where_what_was_said_is_changed_and_not_for_filling_in_blanks(
    browser: TestClient, desk: Desk, before: Boat, after: Boat, adds: bool
) -> None:
    desk.surveys.add([entry(1, before), ASKED])

    answer = browser.post(PAGE, data=form(after))

    assert answer.status_code == (303 if adds else 422)
    assert now(desk).bodies(Boat) == ((after,) if adds else (before,))


@pytest.mark.parametrize(("last", "adds"), [({"skin-fitting": 3, "seacock": 2}, True), ({}, False)])
def test_numbers_that_one_of_two_corrections_lacks_are_added_and_those_it_has_are_not_lost_unasked(
    browser: TestClient, desk: Desk, last: dict[str, int], adds: bool
) -> None:
    told = Boat(name="a", numbers={"skin-fitting": 3})
    rivals = [entry(8, told, replaces=(1,)), entry(9, replace(told, numbers=last), replaces=(1,))]
    desk.surveys.add([FIRST, ASKED, *rivals])

    answer = browser.post(PAGE, data=form(told, of=f"{rivals[0].id} {rivals[1].id}"))

    assert answer.status_code == (303 if adds else 422)
    assert len(now(desk).of(Boat)) == (1 if adds else 2)

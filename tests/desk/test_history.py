"""History: what was ever written stays to be seen, and is corrected only by adding."""

from dataclasses import replace
from datetime import UTC
from html import unescape

import pytest
from cast import QUILLET, SURVEY, entry
from starlette.testclient import TestClient

from garboard.desk.context import Desk
from garboard.desk.filled import texts_of
from garboard.desk.told import facts_of, line_in, line_of
from garboard.notebook.body import (
    Answer,
    Boat,
    Finding,
    Instruction,
    Issue,
    Observation,
    Place,
    Remark,
    Withdrawal,
)

BOAT = entry(1, QUILLET)
SEEN = entry(2, Observation(place=Place(part="keel-joint"), seen="open by <b>0.6</b> mm"))
ASKED = entry(3, Instruction(client="Tamsin Orrowby", purpose="buy"))


@pytest.fixture
def page(desk: Desk) -> str:
    """The address of a survey with three entries."""
    desk.surveys.add([BOAT, SEEN, ASKED])
    return f"/s/{SURVEY}"


def test_every_entry_is_listed_and_what_people_wrote_is_escaped(
    browser: TestClient, page: str
) -> None:
    shown = browser.get(f"{page}/history").text

    assert "Tamsin Orrowby: condition survey before purchase" in unescape(shown)
    assert "open by &lt;b&gt;0.6&lt;/b&gt; mm" in shown


def test_entries_of_one_kind_can_be_picked_out(browser: TestClient, page: str) -> None:
    shown = browser.get(f"{page}/history?kind=boat").text

    assert f"/entry/{BOAT.id}" in shown
    assert f"/entry/{SEEN.id}" not in shown


def test_a_long_entry_is_headed_by_whole_words(browser: TestClient, desk: Desk, page: str) -> None:
    words = " ".join(["scratched"] * 30)
    long = entry(40, replace(SEEN.body, seen=words))
    desk.surveys.add([long])

    shown = browser.get(f"{page}/entry/{long.id}").text

    assert "scratched …</h1>" in shown


def test_a_correction_is_a_new_entry_and_the_old_one_stays(
    browser: TestClient, desk: Desk, page: str
) -> None:
    form = {
        "place.part": "keel-joint",
        "seen": "open by 0.8 mm",
        "why": "read the gauge again",
        "of": SEEN.id,
    }

    answer = browser.post(f"{page}/entry/{SEEN.id}", data=form)
    shown = browser.get(answer.headers["location"]).text
    survey = desk.surveys.get(SURVEY)

    assert survey is not None
    (stands,) = survey.of(Observation)
    assert (stands.body.seen, stands.replaces, stands.why) == (
        "open by 0.8 mm", (SEEN.id,), "read the gauge again",
    )  # fmt: skip
    assert (stands.author, stands.device) == ("Ines Caldervane", "desk")
    assert SEEN in survey.entries
    assert "It was corrected." in shown
    assert "read the gauge again" in shown


def test_a_correction_of_what_was_corrected_meanwhile_is_refused_and_can_be_kept_after(
    browser: TestClient, desk: Desk, page: str
) -> None:
    form = {"place.part": "keel-joint", "seen": "theirs", "why": "looked again", "of": SEEN.id}
    browser.post(f"{page}/entry/{SEEN.id}", data=form)
    (theirs,) = desk.surveys.get(SURVEY).of(Observation)  # type: ignore[union-attr]

    refused = browser.post(f"{page}/entry/{SEEN.id}", data={**form, "seen": "mine"})
    again = {**form, "seen": "mine", "of": theirs.id}
    browser.post(f"{page}/entry/{theirs.id}", data=again)

    assert refused.status_code == 422
    assert "while you were writing" in refused.text
    assert ">mine</textarea>" in refused.text
    assert f'action="{page}/entry/{theirs.id}"' in refused.text
    (stands,) = desk.surveys.get(SURVEY).of(Observation)  # type: ignore[union-attr]
    assert (stands.body.seen, stands.replaces) == ("mine", (theirs.id,))


def test_a_correction_of_what_was_taken_back_meanwhile_is_refused_with_what_was_typed(
    browser: TestClient, desk: Desk, page: str
) -> None:
    browser.post(f"{page}/entry/{SEEN.id}/withdraw", data={"why": "wrong boat"})

    form = {"place.part": "keel-joint", "seen": "mine", "why": "again", "of": SEEN.id}
    refused = browser.post(f"{page}/entry/{SEEN.id}", data=form)

    assert refused.status_code == 422
    assert "Ines Caldervane took it back at" in refused.text
    assert ">mine</textarea>" in refused.text
    assert desk.surveys.get(SURVEY).of(Observation) == ()  # type: ignore[union-attr]


def test_a_correction_needs_a_reason_and_keeps_what_was_typed(
    browser: TestClient, desk: Desk, page: str
) -> None:
    form = {
        "place.part": "keel-joint",
        "seen": "typed at length",
        "length_mm": "wide",
        "of": SEEN.id,
    }

    answer = browser.post(f"{page}/entry/{SEEN.id}", data=form)

    assert answer.status_code == 422
    assert "typed at length" in answer.text
    assert "Say why it is corrected." in answer.text
    assert "is not a quantity" in answer.text
    assert len(desk.surveys.get(SURVEY).entries) == 3  # type: ignore[union-attr]


def test_what_makes_no_sense_beside_the_rest_is_refused(
    browser: TestClient, desk: Desk, page: str
) -> None:
    answer = browser.post(f"{page}/add/observation", data={"place.part": "keel-jont", "seen": "x"})

    assert answer.status_code == 422
    assert "There is no part called “keel-jont”." in unescape(answer.text)
    assert len(desk.surveys.get(SURVEY).entries) == 3  # type: ignore[union-attr]


def test_taking_back_leaves_it_legible(browser: TestClient, page: str) -> None:
    browser.post(f"{page}/entry/{SEEN.id}/withdraw", data={"why": "wrong boat"})

    shown = browser.get(f"{page}/entry/{SEEN.id}").text

    assert "It was taken back." in shown
    assert "wrong boat" in shown
    assert "Correct it" not in shown


def test_an_entry_is_taken_back_with_its_earlier_versions_and_that_is_said_before_and_after(
    browser: TestClient, desk: Desk, page: str
) -> None:
    form = {
        "place.part": "keel-joint",
        "seen": "open by 0.8 mm",
        "why": "read the gauge again",
        "of": SEEN.id,
    }
    browser.post(f"{page}/entry/{SEEN.id}", data=form)
    (anew,) = desk.surveys.get(SURVEY).of(Observation)  # type: ignore[union-attr]

    before = browser.get(f"{page}/entry/{anew.id}").text
    answer = browser.post(f"{page}/entry/{anew.id}/withdraw", data={"why": "wrong boat"})
    after = unescape(browser.get(answer.headers["location"]).text)

    assert (
        "Afterwards nothing of it is in force: its 1 earlier version is taken back with it."
        in before
    )
    assert "with 1 earlier version. Nothing of it is in force now" in after
    assert desk.surveys.get(SURVEY).of(Observation) == ()  # type: ignore[union-attr]


def test_taking_back_one_of_two_corrections_leaves_the_other(
    browser: TestClient, desk: Desk, page: str
) -> None:
    mine, yours = (entry(n, Boat(name=name), replaces=(1,)) for n, name in ((8, "Quill"), (9, "Quillett")))  # fmt: skip
    desk.surveys.add([mine, yours])

    before = unescape(browser.get(f"{page}/entry/{mine.id}").text)
    browser.post(f"{page}/entry/{mine.id}/withdraw", data={"why": "misspelt"})
    survey = desk.surveys.get(SURVEY)

    assert survey is not None
    assert "Afterwards this alone is in force: “Quillett”." in before
    assert survey.of(Boat) == (yours,)
    assert survey.choices == ()


def test_a_withdrawal_says_what_it_takes_back(browser: TestClient, page: str) -> None:
    browser.post(f"{page}/entry/{SEEN.id}/withdraw", data={"why": "wrong boat"})

    shown = unescape(browser.get(f"{page}/history").text)

    assert "takes back the observation “keel-to-hull joint: open by <b>0.6</b> mm”" in shown
    assert "withdrawal</span> withdrawn" not in shown


def test_what_takes_back_a_withdrawal_says_what_stands_again(
    browser: TestClient, desk: Desk, page: str
) -> None:
    longer = entry(10, replace(SEEN.body, seen="a longer crack"), replaces=(2,))
    back = entry(11, Withdrawal(), replaces=(10, 2))
    again, gone = (entry(n, Withdrawal(), replaces=(n - 1,)) for n in (12, 13))
    desk.surveys.add([longer, back, again, gone])
    survey = desk.surveys.get(SURVEY)
    assert survey is not None

    said = [line_in(survey, each) for each in (back, again, gone)]

    of = "the observation “keel-to-hull joint: a longer crack”"
    assert said == [f"takes back {of}", f"puts back {of}", f"takes back {of}"]
    assert f"puts back {of}" in unescape(browser.get(f"{page}/history").text)


def test_withdrawals_that_withdraw_each_other_in_a_circle_are_told(desk: Desk, page: str) -> None:
    desk.surveys.add([entry(n, Withdrawal(), replaces=(m,)) for n, m in ((10, 11), (11, 10))])
    survey = desk.surveys.get(SURVEY)
    assert survey is not None

    assert "“withdrawn”" in line_in(survey, survey.entries[-1])


def test_taking_back_without_a_reason_is_refused(browser: TestClient, page: str) -> None:
    answer = browser.post(f"{page}/entry/{SEEN.id}/withdraw", data={"why": " "})

    assert answer.status_code == 422
    assert "Say why" in answer.text


def test_an_issue_cannot_be_taken_back(browser: TestClient, desk: Desk, page: str) -> None:
    issued = entry(4, Issue(number="Q-1", version=1, entries_sha256="0" * 64, signed_by="Ines"))
    desk.surveys.add([issued])

    answer = browser.post(f"{page}/entry/{issued.id}/withdraw", data={"why": "a slip"})

    assert answer.status_code == 409
    assert len(desk.surveys.get(SURVEY).of(Issue)) == 1  # type: ignore[union-attr]


def test_a_new_entry_is_kept_and_leads_back(browser: TestClient, desk: Desk, page: str) -> None:
    form = {"text": "ask about the mast", "back": f"{page}/history"}

    answer = browser.post(f"{page}/add/remark", data=form)

    assert answer.headers["location"] == f"{page}/history"
    assert desk.surveys.get(SURVEY).bodies(Remark) == (Remark(text="ask about the mast"),)  # type: ignore[union-attr]


def test_terms_accepted_on_paper_are_not_asked_for_a_fingerprint(
    browser: TestClient, page: str
) -> None:
    shown = browser.get(f"{page}/add/terms").text

    assert 'name="accepted_by"' in shown
    assert 'name="sha256"' not in shown


def test_a_check_for_conflicts_is_told_in_words(browser: TestClient, page: str) -> None:
    kept = {"result": "none", "looked_at": "own records, seller, broker"}

    browser.post(f"{page}/add/conflict%20check", data=kept)

    assert "nothing that could colour the opinion" in unescape(browser.get(f"{page}/history").text)


def test_two_corrections_of_one_entry_are_laid_before_somebody(
    browser: TestClient, desk: Desk, page: str
) -> None:
    mine, yours = (entry(n, Boat(name=name), replaces=(1,)) for n, name in ((8, "Quill"), (9, "Quillett")))  # fmt: skip
    desk.surveys.add([mine, yours])

    shown = browser.get(f"{page}/history").text

    assert "To be chosen" in shown
    assert f"/entry/{mine.id}" in shown
    assert f"/entry/{yours.id}" in shown


@pytest.mark.parametrize("path", ["entry/nonsense", "add/withdrawal", "add/nonsense", "nonsense"])
def test_what_is_not_there_is_said(browser: TestClient, page: str, path: str) -> None:
    assert browser.get(f"{page}/{path}").status_code == 404


@pytest.mark.parametrize("survey", ["nonsense", "019e1b6a-1e80-7000-8000-00000000ffff"])
def test_a_survey_that_is_not_here_is_said(browser: TestClient, survey: str) -> None:
    answer = browser.get(f"/s/{survey}/history")

    assert answer.status_code == 404
    assert "no such survey" in answer.text


def test_an_entry_names_others_in_words_and_a_correction_leaves_them_as_they_were(
    browser: TestClient, desk: Desk, page: str
) -> None:
    finding = Finding(
        name="joint-open",
        title="Joint open",
        seen="A gap",
        why="Water gets in.",
        urgency="before launching",
        because="she would leak",
        how_known=("seen",),
        places=(Place(part="keel-joint"),),
        evidence=(SEEN.id,),
    )
    found = entry(40, finding)
    desk.surveys.add([found])

    shown = unescape(browser.get(f"{page}/entry/{found.id}").text)
    form = {**texts_of(finding, UTC), "title": "Joint wide open", "why": "Water.", "of": found.id}
    browser.post(f"{page}/entry/{found.id}", data={**form, "evidence": ""})

    assert SEEN.body.seen in shown
    assert f">{SEEN.id}<" not in shown
    assert 'name="evidence"' not in shown
    (corrected,) = desk.surveys.get(SURVEY).bodies(Finding)  # type: ignore[union-attr]
    assert (corrected.title, corrected.evidence) == ("Joint wide open", (SEEN.id,))


def test_what_changed_behind_the_twelfth_name_is_shown_as_changed() -> None:
    notes = [entry(50 + n, Remark(text=f"Note {n}")) for n in range(20)]
    by_id = {each.id: each for each in notes}
    finding = Finding(
        name="many", title="Many", seen="", why="", urgency="keep under watch", because="", how_known=("seen",),
        places=(), evidence=tuple(each.id for each in notes[:14]),
    )  # fmt: skip
    then = entry(80, finding)
    now = entry(
        81, replace(finding, evidence=(*finding.evidence[:13], notes[19].id)), replaces=(80,)
    )

    (changed,) = (each for each in facts_of(now, UTC, then, by_id) if each.was is not None)

    assert changed.value.startswith("Note 19; ")
    assert changed.was
    assert changed.was.startswith("Note 13; ")
    assert changed.value.endswith("and 2 more")


def test_an_answer_says_in_words_what_it_answers() -> None:
    answer = entry(50, Answer(gap="silent keel-joint", words="Left to the yard."))

    said = {fact.label: fact.value for fact in facts_of(answer, UTC)}

    assert line_of(answer.body) == "nothing recorded of: keel-to-hull joint: Left to the yard."
    assert said["What stays open"] == "nothing recorded of: keel-to-hull joint"

"""The report page: what stands in the way, answered or closed; files built; the report issued, amended and checked."""

import stat
from dataclasses import replace
from datetime import timedelta
from html import unescape
from typing import Any

import pytest
from archive.certificates import PASSPHRASE, identity
from cast import QUILLET, SURVEY, entry
from desk.written import BASE, INSTRUCTION, REST, last_job, now, put
from starlette.testclient import TestClient

from garboard.archive.sign import open_key
from garboard.archive.verify import verify
from garboard.desk.context import Desk
from garboard.desk.missing import address_of, gaps_of, in_groups
from garboard.desk.pages import jobs as job_pages
from garboard.desk.preview import as_it_leaves
from garboard.judgement.gap import Gap
from garboard.judgement.gaps import gaps
from garboard.judgement.issues import issues
from garboard.judgement.states import part_states
from garboard.notebook.body import (
    Amendment,
    Answer,
    Examination,
    Instruction,
    Issue,
    Memo,
    Place,
    Remark,
    Summary,
)
from garboard.notebook.fold import Survey, fold
from garboard.notebook.problem import Refused
from garboard.store import jobs

PAGE = f"{BASE}/report"


@pytest.fixture
def survey(desk: Desk, clock: Any) -> Survey:
    clock.time += timedelta(hours=1)
    return put(desk)


@pytest.fixture(scope="session")
def p12() -> bytes:
    """The key file of Ines Caldervane."""
    return identity("Ines Caldervane (invented)").p12


def open_gaps(desk: Desk) -> tuple[Gap, ...]:
    found = gaps_of(desk, as_it_leaves(desk, now(desk)))
    return tuple(gap for gap in found if gap.is_open)


def write_up(desk: Desk) -> None:
    """Close what can be closed, and answer the rest."""
    desk.surveys.add(REST)
    rest = [Answer(gap=gap.id, words="Looked at again; it is so.") for gap in open_gaps(desk)]
    desk.surveys.add(entry(40 + number, body) for number, body in enumerate(rest))
    assert open_gaps(desk) == ()


def give_key(browser: TestClient, p12: bytes, passphrase: str = PASSPHRASE) -> Any:
    files = {"key": ("ines.p12", p12, "application/x-pkcs12")}
    return browser.post(f"{PAGE}/key", data={"passphrase": passphrase}, files=files)


def issue(browser: TestClient, desk: Desk, **fields: str) -> jobs.Job:
    """Issue the report, and the job when it has ended."""
    given = {
        "passphrase": PASSPHRASE,
        "delivered_to": "Tamsin Orrowby",
        "report_number": "Q-1",
        **fields,
    }
    answer = browser.post(f"{PAGE}/issue", data=given)
    assert answer.status_code == 303, answer.text
    return ended(browser, desk)


def ended(browser: TestClient, desk: Desk) -> jobs.Job:
    while 'hx-trigger="every 1s"' in browser.get(f"{PAGE}/made").text:
        assert last_job(desk).state in ("ready", "running", "done", "failed", "cancelled")
    return last_job(desk)


def test_what_is_missing_is_listed_with_where_it_is_mended(
    browser: TestClient, survey: Survey
) -> None:
    text = unescape(browser.get(f"{PAGE}/missing").text)

    assert "things stand in the way" in text
    assert f'href="{BASE}/report/summary"' in text
    assert f'href="{BASE}/instruction#terms"' in text


def test_duties_left_open_are_told_apart_from_places_that_may_not_have_been_reached(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    purchase = replace(INSTRUCTION.body, purpose="buy", asked_parts=())
    desk.surveys.add([entry(50, purchase, replaces=(1,))])
    states = [each for each in part_states(now(desk)) if each.state == "silent"]
    duties = sum(not each.is_place for each in states)

    text = unescape(browser.get(f"{PAGE}/missing").text)

    told = text[text.index(f"<b>{duties} duties of your own</b>") :]
    assert duties > 1
    assert "Write down that it was done, or why it was not" in told.partition("</li>")[0]
    assert "/schedule/rest" not in told.partition("</ul>")[0]
    assert f"<b>{len(states) - duties} places</b>: nothing is recorded of it" in text
    assert text.count("/schedule/rest") == 1


def test_every_gap_leads_to_a_page_that_is_there(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    gaps = gaps_of(desk, as_it_leaves(desk, survey))

    addresses = {address_of(gap, survey) for gap in gaps}

    assert len(addresses) > 5
    assert {browser.get(each).status_code for each in addresses} == {200}


def test_a_gap_answered_in_words_stands_in_the_way_no_more(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    gap = next(gap for gap in open_gaps(desk) if gap.answerable)

    browser.post(f"{PAGE}/answer", data={"gap": gap.id, "words": "No paper was shown."})
    browser.post(f"{PAGE}/answer", data={"gap": gap.id, "words": "No paper was at hand."})
    browser.post(f"{PAGE}/answer", data={"gap": gap.id, "words": "No paper was at hand."})

    assert now(desk).bodies(Answer) == (Answer(gap=gap.id, words="No paper was at hand."),)
    assert gap.id not in {each.id for each in open_gaps(desk)}
    assert len(now(desk).entries) == len(survey.entries) + 2

    browser.post(f"{PAGE}/answer", data={"gap": gap.id, "words": " "})

    assert gap.id in {each.id for each in open_gaps(desk)}


def test_an_answer_without_words_is_refused(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    refused = browser.post(f"{PAGE}/answer", data={"gap": open_gaps(desk)[0].id, "words": "!"})

    assert refused.status_code == 422
    assert "an answer needs words" in refused.text


def test_files_are_built_as_a_draft_while_something_stands_in_the_way(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    browser.post(f"{PAGE}/build", data={"formats": ["pdf", "xlsx"]})
    job = ended(browser, desk)

    assert job.state == "done"
    assert job.result["is_draft"]
    assert browser.get(f"{BASE}/file/Q-1-draft.pdf").content.startswith(b"%PDF")
    assert "Q-1-draft.xlsx" in browser.get(PAGE).text
    assert now(desk).of(Issue) == ()


def test_no_file_outside_the_folder_of_the_survey_can_be_asked_for(
    browser: TestClient, survey: Survey
) -> None:
    for name in ("..%2Fgarboard.sqlite", "garboard.sqlite", ".pdf", "Q-1-v1.pdf"):
        assert browser.get(f"{BASE}/file/{name}").status_code == 404


def test_work_that_waits_can_be_cancelled(browser: TestClient, desk: Desk, survey: Survey) -> None:
    with desk.database.writing() as connection:
        number = jobs.enqueue(
            connection, "report", {"formats": ["pdf"]}, survey=SURVEY, now=desk.clock()
        )
        jobs.ask_cancel(connection, number, desk.clock())
    browser.post(f"{PAGE}/cancel", data={"job": str(number)})

    assert ended(browser, desk).state == "cancelled"
    assert "The last was cancelled" in browser.get(PAGE).text


@pytest.mark.parametrize("number", ["999", "9" * 25, "9" * 5000, "-1", ""])
def test_work_that_is_not_there_is_not_found(
    browser: TestClient, survey: Survey, number: str
) -> None:
    assert browser.post(f"{PAGE}/cancel", data={"job": number}).status_code == 404


def test_a_key_is_kept_for_its_surveyor_alone_once_its_passphrase_opened_it(
    browser: TestClient, desk: Desk, survey: Survey, p12: bytes
) -> None:
    wrong = give_key(browser, p12, "hull")
    right = give_key(browser, p12)

    assert wrong.status_code == 422
    assert "password does not open this key file" in wrong.text
    assert right.status_code == 303
    (kept,) = (desk.folder / "keys").iterdir()
    assert stat.S_IMODE(kept.stat().st_mode) == 0o600
    assert kept.read_bytes() == p12
    assert "Password of your signing key" in browser.get(PAGE).text

    browser.post(f"{PAGE}/key/remove")

    assert not kept.exists()


def test_a_surveyor_without_a_key_makes_one_and_takes_its_file_away(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    chosen = "ebb and flood and slack"
    make = f"{PAGE}/key/make"

    unlike = browser.post(make, data={"passphrase": chosen, "again": "ebb and flood"})
    short = browser.post(make, data={"passphrase": "ebb", "again": "ebb"})
    none_yet = browser.get(f"{PAGE}/key/file")
    made = browser.post(make, data={"passphrase": chosen, "again": chosen}, follow_redirects=True)

    assert "two passwords are not the same" in unlike.text
    assert "password has 3 characters" in short.text
    assert none_yet.status_code == 404
    assert "Your signing key is made." in made.text
    assert "does not prove who signed" in made.text
    key = open_key(browser.get(f"{PAGE}/key/file").content, chosen, at=desk.now())
    assert key.name == "Ines Caldervane"
    assert [chosen in str(each.body) for each in now(desk).entries].count(True) == 0


def test_the_number_is_asked_for_where_the_report_is_issued(
    browser: TestClient, desk: Desk, survey: Survey, p12: bytes
) -> None:
    write_up(desk)
    give_key(browser, p12)
    asked = now(desk).of(Instruction)[0]
    unnumbered = replace(asked.body, report_number="")
    desk.surveys.add([replace(entry(90, unnumbered), replaces=(asked.id,))])

    refused = browser.post(f"{PAGE}/issue", data={"passphrase": PASSPHRASE})
    job = issue(browser, desk, report_number="C-14")

    assert refused.status_code == 422
    assert "it has no number" in refused.text
    assert job.state == "done", job.error
    assert now(desk).bodies(Issue)[0].number == "C-14"
    assert 'id="report_number"' not in browser.get(PAGE).text


@pytest.mark.parametrize("has_key", [False, True])
def test_a_missing_number_leads_to_the_form_that_takes_it(
    browser: TestClient, desk: Desk, survey: Survey, p12: bytes, has_key: bool
) -> None:
    if has_key:
        give_key(browser, p12)
    asked = now(desk).of(Instruction)[0]
    unnumbered = replace(asked.body, report_number="")
    desk.surveys.add([replace(entry(90, unnumbered), replaces=(asked.id,))])

    page = browser.get(f"{PAGE}?all=yes").text

    assert f'href="{PAGE}#report_number"' in page
    assert page.count('<input id="report_number"') == 1


def test_the_number_can_be_kept_before_there_is_a_key(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    answer = browser.post(f"{PAGE}/number", data={"report_number": "C-15"})

    assert answer.status_code == 303
    assert now(desk).bodies(Instruction)[0].report_number == "C-15"


def test_a_number_once_kept_can_be_emptied_before_there_is_a_key(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    browser.post(f"{PAGE}/number", data={"report_number": "C-15"})

    answer = browser.post(f"{PAGE}/number", data={"report_number": " "})

    assert answer.status_code == 303
    assert now(desk).bodies(Instruction)[0].report_number == ""


def test_a_report_is_issued_without_a_number_where_that_was_said(
    browser: TestClient, desk: Desk, survey: Survey, p12: bytes
) -> None:
    write_up(desk)
    give_key(browser, p12)

    job = issue(browser, desk, report_number="", no_number="yes")

    assert job.state == "done", job.error
    assert now(desk).bodies(Issue)[0].number == "of Quillet"


def test_an_issued_report_is_numbered_signed_kept_and_checked(
    browser: TestClient, desk: Desk, survey: Survey, p12: bytes
) -> None:
    write_up(desk)
    desk.surveys.add([entry(80, Remark(text="a difficult client"))])
    give_key(browser, p12)

    job = issue(browser, desk)

    assert job.state == "done", job.error
    (issued,) = now(desk).of(Issue)
    assert (issued.body.number, issued.body.version) == ("Q-1", 1)
    assert issued.body.delivered_to == ("Tamsin Orrowby",)
    assert PASSPHRASE not in str(dict(job.arguments))
    pdf = browser.get(f"{BASE}/file/Q-1-v1.pdf").content
    answer = verify(pdf)
    assert (answer.state, answer.follows) == ("unchanged", True)
    assert answer.notebook is not None
    assert b"difficult" not in answer.notebook
    assert "unchanged: every byte" in browser.get(f"{BASE}/file/Q-1-v1.pdf/check").text
    # A private remark is no change of what was issued.
    assert open_gaps(desk) == ()


def test_once_it_is_issued_the_page_is_asked_for_anew_and_shows_whom_it_went_to(
    browser: TestClient, desk: Desk, survey: Survey, p12: bytes
) -> None:
    write_up(desk)
    give_key(browser, p12)

    issue(browser, desk)
    made = browser.get(f"{PAGE}/made")
    page = browser.get(f"{PAGE}?all=yes").text

    assert made.headers["hx-refresh"] == "true"
    assert "<dt>To be sent to</dt><dd>Tamsin Orrowby</dd>" in page
    assert (
        '<details><summary>Issue it again</summary><div class="stack"><p class="reading">Nothing was changed since version 1'
        in page
    )
    assert 'name="report_number"' not in page


def test_a_doubtful_place_that_no_finding_speaks_of_is_in_sight_though_it_keeps_nothing_back(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    write_up(desk)
    doubtful = Examination(place=Place(part="stem"), extent="whole", how=("look",), outcome="doubtful", found="A stain.")  # fmt: skip
    desk.surveys.add(
        [
            replace(
                REST[7],
                id=entry(90, doubtful).id,
                body=doubtful,
                replaces=(REST[7].id,),
                why="seen again",
            )
        ]
    )

    page = unescape(browser.get(f"{PAGE}?all=yes").text)

    assert open_gaps(desk) == ()
    assert "Nothing stands in the way" not in page
    in_sight = page.partition("Look at this before you issue it.")[2].partition(
        "Worth a second look"
    )[0]
    assert "it was found doubtful, and no finding says so" in in_sight


def test_a_later_change_needs_an_amendment_and_makes_the_next_version(
    browser: TestClient, desk: Desk, survey: Survey, p12: bytes
) -> None:
    write_up(desk)
    give_key(browser, p12)
    issue(browser, desk)
    first = browser.get(f"{BASE}/file/Q-1-v1.pdf").content

    browser.post(f"{BASE}/add/told", data={"who": "The seller", "said": "She was lifted in May."})
    in_the_way = [gap.what for gap in open_gaps(desk)]
    refused = issue(browser, desk)
    amended = {"reason": "The seller telephoned.", "changes": "What was told"}
    shown = browser.post(f"{PAGE}/amendment/pages", data=amended).json()
    browser.post(f"{PAGE}/amendment", data=amended)
    done = issue(browser, desk)

    assert "Amendments" in {each["name"] for each in shown["chapters"]}
    assert in_the_way == ["entries were added since it was issued, and no amendment says why"]
    assert refused.state == "failed"
    assert "nothing was issued" in str(refused.error)
    assert done.state == "done", done.error
    assert [each.body.version for each in issues(now(desk))] == [1, 2]
    assert browser.get(f"{BASE}/file/Q-1-v1.pdf").content == first
    assert verify(browser.get(f"{BASE}/file/Q-1-v2.pdf").content).state == "unchanged"
    assert now(desk).bodies(Amendment)[0].issue == issues(now(desk))[0].id


def test_who_received_a_report_is_recorded_without_changing_what_was_issued(
    browser: TestClient, desk: Desk, survey: Survey, p12: bytes
) -> None:
    write_up(desk)
    give_key(browser, p12)
    issue(browser, desk)
    (issued,) = issues(now(desk))

    browser.post(
        f"{PAGE}/delivered", data={"issue": issued.id, "delivered_to": "Tamsin Orrowby\nHer bank"}
    )

    (after,) = issues(now(desk))
    assert "<dt>Delivered to</dt><dd>Tamsin Orrowby; Her bank</dd>" in browser.get(PAGE).text
    assert after.body.delivered_to == ("Tamsin Orrowby", "Her bank")
    assert now(desk).done_at(after) == issued.at
    assert open_gaps(desk) == ()


def test_that_it_went_to_those_it_was_meant_for_is_recorded_once(
    browser: TestClient, desk: Desk, survey: Survey, p12: bytes
) -> None:
    write_up(desk)
    give_key(browser, p12)
    issue(browser, desk)
    before = browser.get(PAGE).text

    for _ in range(2):
        (standing,) = issues(now(desk))
        browser.post(f"{PAGE}/delivered", data={"issue": standing.id, "delivered_to": "Tamsin Orrowby"})  # fmt: skip

    assert "<dt>To be sent to</dt><dd>Tamsin Orrowby</dd>" in before
    assert "<dt>Delivered to</dt><dd>Tamsin Orrowby</dd>" in browser.get(PAGE).text
    assert sum(isinstance(each.body, Issue) for each in now(desk).entries) == 2
    assert open_gaps(desk) == ()


def test_a_time_stamp_service_needs_an_address(
    browser: TestClient, desk: Desk, survey: Survey, p12: bytes
) -> None:
    give_key(browser, p12)
    asked = {"passphrase": PASSPHRASE, "delivered_to": "", "timestamp": "file:///etc/hostname"}

    refused = browser.post(f"{PAGE}/issue", data=asked)

    assert refused.status_code == 422
    assert "is no address of one" in refused.text


def test_a_wrong_passphrase_begins_nothing(
    browser: TestClient, desk: Desk, survey: Survey, p12: bytes
) -> None:
    give_key(browser, p12)

    refused = browser.post(f"{PAGE}/issue", data={"passphrase": "hull", "delivered_to": ""})

    assert refused.status_code == 422
    with desk.database.reading() as connection:
        assert jobs.recent(connection) == ()


def test_a_job_whose_key_is_gone_with_the_program_fails_in_words(
    browser: TestClient, desk: Desk, survey: Survey, p12: bytes
) -> None:
    write_up(desk)
    with desk.database.writing() as connection:
        jobs.enqueue(connection, "issue", {"formats": ["pdf"]}, survey=SURVEY, now=desk.clock())

    job = ended(browser, desk)

    assert job.state == "failed"
    assert "passwords are never kept. Issue it again" in str(job.error)
    assert now(desk).of(Issue) == ()


def test_a_kill_after_the_issue_was_kept_leaves_an_issue_that_can_be_made_again(
    browser: TestClient,
    desk: Desk,
    survey: Survey,
    p12: bytes,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    write_up(desk)
    give_key(browser, p12)

    def full(*_: object) -> tuple[str, ...]:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(job_pages, "put", full)
        broken = issue(browser, desk)
    again = issue(browser, desk)

    assert broken.state == "failed"
    assert again.state == "done", again.error
    assert [each.body.version for each in issues(now(desk))] == [1]
    assert verify(browser.get(f"{BASE}/file/Q-1-v1.pdf").content).state == "unchanged"


def test_an_old_summary_does_not_take_the_place_of_one_written_since(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    page = f"{PAGE}/summary"
    browser.post(page, data={"overall": "Theirs.", "of": ""})

    refused = browser.post(page, data={"overall": "Mine.", "of": ""})
    unchanged = now(desk).bodies(Summary)
    (theirs,) = now(desk).of(Summary)
    browser.post(page, data={"overall": "Mine.", "of": theirs.id})

    assert refused.status_code == 422
    assert "Ines Caldervane changed it at" in refused.text
    assert ">Mine.</textarea>" in refused.text
    assert f'name="of" value="{theirs.id}"' in refused.text
    assert unchanged == (Summary(overall="Theirs."),)
    assert now(desk).bodies(Summary) == (Summary(overall="Mine."),)


def test_the_summary_answers_each_question_in_its_place(
    browser: TestClient, desk: Desk, survey: Survey
) -> None:
    page = f"{PAGE}/summary"
    given = {
        "overall": "She is sound.",
        "answer.0": "Not yet.",
        "answer.1": "No.",
        "next_steps": "Ask a yard\nThen a rigger",
    }

    gap = browser.post(page, data={**given, "answer.0": ""})
    kept = browser.post(page, data=given)
    again = browser.post(page, data=given, follow_redirects=True)
    shown = browser.post(f"{page}/pages", data={**given, "overall": "She is a ruin."})

    assert gap.status_code == 422
    assert "would stand under the wrong questions" in gap.text
    assert kept.headers["location"] == page
    assert "Nothing was changed, so nothing was written." in again.text
    assert now(desk).bodies(Summary) == (
        Summary(
            overall="She is sound.",
            answers=("Not yet.", "No."),
            next_steps=("Ask a yard", "Then a rigger"),
        ),
    )
    assert shown.json()["count"] > 1


def test_two_people_do_not_build_one_survey_at_once(
    browser: TestClient, desk: Desk, survey: Survey, monkeypatch: pytest.MonkeyPatch
) -> None:
    from threading import Event

    begun, go_on = Event(), Event()

    def waits(*_: object, **__: object) -> Any:
        begun.set()
        go_on.wait(60)
        raise Refused([])

    monkeypatch.setattr("garboard.archive.publish.published", waits)
    browser.post(f"{PAGE}/build", data={"formats": ["xlsx"]})
    assert begun.wait(60)

    refused = browser.post(f"{PAGE}/build", data={"formats": ["xlsx"]})
    go_on.set()

    assert refused.status_code == 422
    assert "being made already" in refused.text
    assert ended(browser, desk).state == "failed"


def test_a_defect_observed_later_leads_to_the_drafts(desk: Desk, survey: Survey) -> None:
    found = [gap for gap in open_gaps(desk) if gap.id.startswith("observed ")]

    assert [address_of(gap, survey) for gap in found] == [f"{BASE}/findings#drafts"]


@pytest.mark.parametrize(
    ("id_", "page"),
    [
        ("stray sounding bottom-laminate", "/soundings"),
        ("stray reading set bottom-moisture", "/readings"),
        ("stray observation keel-joint", "/part/keel-joint"),
        ("stray answer silent keel-joint", "/history"),
        ("photographs not looked at", "/photographs/check"),
        ("unprinted gone.jpg", "/photographs"),
        ("called unused sound keel-joint", "/part/keel-joint"),
        ("called unreached skin-fitting 2", "/part/skin-fitting%202"),
        ("visit end 2026-05-12 09:00", "/visit"),
    ],
)
def test_a_gap_leads_to_where_it_is_mended(desk: Desk, id_: str, page: str) -> None:
    desk.surveys.add([entry(1, QUILLET)])
    survey = desk.surveys.get(SURVEY)
    assert survey is not None
    gap = Gap(id=id_, where="", what="", do="")

    assert address_of(gap, survey) == f"{BASE}{page}"


def test_it_is_said_which_answers_no_report_prints(browser: TestClient, desk: Desk) -> None:
    desk.surveys.add([entry(1, Instruction(client="Tamsin Orrowby", purpose="buy")), entry(2, QUILLET)])  # fmt: skip

    page = browser.get(f"{BASE}/report?all=yes").text

    assert "In words, for your own record; no report prints it: second walk round" in page
    assert "In words, as the report prints it: keel-to-hull joint" in page


@pytest.mark.parametrize(
    ("about", "page"),
    [
        ("value", "/value"),
        ("amendment", "/report/amendment"),
        ("photo gone.jpg", "/photographs"),
        ("observed keel-joint 00000a", "/part/keel-joint"),
    ],
)
def test_a_name_left_in_a_text_leads_to_the_text(desk: Desk, about: str, page: str) -> None:
    desk.surveys.add([entry(1, QUILLET)])
    survey = desk.surveys.get(SURVEY)
    assert survey is not None
    gap = Gap(id=f"name {about} Harrowmere", where="", what="", do="", about=about)

    assert address_of(gap, survey) == f"{BASE}{page}"


def test_a_spoken_note_not_written_down_leads_to_its_entry() -> None:
    memo = entry(2, Memo(file="memo-1.wav", sha256="0" * 64, seconds=4.0))
    survey = fold([entry(1, QUILLET), memo])

    found = in_groups((each for each in gaps(survey, ()) if each.id.startswith("spoken ")), survey)

    assert [each.address.partition("?")[0] for each in found[0].gaps] == [
        f"/s/{SURVEY}/entry/{memo.id}"
    ]

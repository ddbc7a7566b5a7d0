"""A dossier loses nothing: what is written out reads back as the very same entries."""

import tempfile
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
from cast import DAY, QUILLET, SURVEY, entry, sounding
from folder import picture
from hypothesis import given, settings
from strategies import notebooks

from garboard.dossier.envelope import Voice
from garboard.dossier.photograph import sha256_of
from garboard.dossier.read import read_dossier
from garboard.dossier.write import write_dossier
from garboard.notebook.body import (
    Comparable,
    Cost,
    Crop,
    Finding,
    Instruction,
    Mark,
    Photo,
    Place,
    Recommendation,
    Remark,
    Told,
    Unknown,
    Value,
    Withdrawal,
)
from garboard.notebook.entry import Entry, to_line
from garboard.notebook.fold import fold

VOICE = Voice(survey=SURVEY, author="Ines Caldervane", device="dossier", at=DAY)
LATER = datetime(2026, 12, 1, tzinfo=UTC)
BOAT = entry(900, QUILLET)


def there_and_back(entries: list[Entry[Any]]) -> set[bytes]:
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "dossier"
        write_dossier(entries, folder, VOICE, {})
        return {to_line(each) for each in read_dossier(folder, LATER).entries}


def lines(entries: list[Entry[Any]]) -> set[bytes]:
    return {to_line(each) for each in entries}


@settings(max_examples=60)
@given(notebooks)
def test_any_notebook_written_as_a_dossier_reads_back_the_same(
    notebook: list[Entry[Any]],
) -> None:
    survey = fold(notebook)
    kinds = {each.id: each.kind for each in survey.entries}
    likes = [
        each
        for each in survey.entries
        if each.kind == "withdrawal"
        or {kinds.get(r, each.kind) for r in each.replaces} <= {each.kind}
    ]
    whole = [*likes, BOAT]

    assert there_and_back(whole) == lines(whole)


def test_findings_advice_costs_and_value_keep_their_threads() -> None:
    place = Place(part="rudder-blade", side="centre", words="lower 300 mm")
    told = entry(
        1, Told(who="Aldous Wickenmere, seller", asked="aground?", said="Once.\n\nOn sand.")
    )
    comparable = entry(2, Comparable(described="like", price_minor=4_150_050, currency="EUR", kind="asked", on=date(2026, 4, 1), source="notice", adjustments={"newer rig": -250_000}))  # fmt: skip
    finding = entry(3, Finding(name="rudder-wet", title="Rudder", seen="It *weeps*.", why="It will split.", urgency="before launching", because="water freezes", how_known=("seen", "told"), places=(place,), evidence=(told.id,)))  # fmt: skip
    advice = entry(4, Recommendation(finding=finding.id, what="Drain it.", by_whom="yard", by_when="before launching", verified="photograph"))  # fmt: skip
    cost = entry(5, Cost(recommendation=advice.id, low_minor=30_000, high_minor=45_050, currency="EUR", basis="two quotes", on=date(2026, 5, 1)))  # fmt: skip
    value = entry(6, Value(basis="market value", low_minor=1, high_minor=3, point_minor=2, currency="EUR", on=date(2026, 5, 13), comparables=(comparable.id,)))  # fmt: skip
    whole = [BOAT, told, comparable, finding, advice, cost, value]

    assert there_and_back(whole) == lines(whole)


def test_what_was_replaced_or_withdrawn_or_is_of_a_newer_version_comes_back_too() -> None:
    whole = [
        BOAT,
        entry(1, sounding()),
        entry(2, sounding(heard="dull"), replaces=(1,)),
        entry(3, sounding(heard="hollow")),
        entry(4, Withdrawal(), replaces=(3,), why="wrong side"),
        entry(5, Unknown(kind="hologram", json='{"a":1}')),
        entry(6, sounding(station_m=5.0), author="Jory Pask-Lund", device="tablet-2"),
    ]

    assert there_and_back(whole) == lines(whole)


@pytest.mark.parametrize("text", [" spaced ", "a\nb", "=1+1", '"quoted, text"', "ünï 船 \U0001f600", "a\x07b", "+++", "x;y"])  # fmt: skip
def test_awkward_text_comes_back_untouched(text: str) -> None:
    whole = [
        BOAT,
        entry(1, Remark(text=text)),
        entry(2, Told(who="seller", said=text)),
        entry(3, replace(sounding(), hammer=text)),
        entry(4, Instruction(client=text, purpose="buy", questions=(text, text))),
    ]

    assert there_and_back(whole) == lines(whole)


def test_identical_soundings_of_one_moment_stay_two() -> None:
    twins = [entry(1, sounding()), entry(2, sounding(), at=DAY), entry(3, sounding(), at=DAY)]

    assert there_and_back([BOAT, *twins]) == lines([BOAT, *twins])


def test_no_original_is_lost_even_under_one_name_or_withdrawn(tmp_path: Path) -> None:
    one, two = tmp_path / "one.jpg", tmp_path / "two.jpg"
    one.write_bytes(picture())
    two.write_bytes(picture(size=(320, 240)))
    files = {sha256_of(path): path for path in (one, two)}
    shots = [
        entry(n, Photo(number=n, file="IMG_0001.jpg", sha256=sha256, media_type="image/jpeg", caption="Stem"))
        for n, sha256 in enumerate(files, 1)
    ]  # fmt: skip
    whole = [BOAT, *shots, entry(9, Withdrawal(), replaces=(1,), why="blurred")]

    write_dossier(whole, tmp_path / "dossier", VOICE, files)
    back = read_dossier(tmp_path / "dossier", LATER)

    assert {to_line(each) for each in back.entries} == lines(whole)
    assert set(back.files) == set(files)


def test_what_is_cropped_and_marked_stays_in_the_table_of_photographs(tmp_path: Path) -> None:
    original = tmp_path / "one.jpg"
    original.write_bytes(picture())
    edited = Photo(
        number=1,
        file="IMG_0001.jpg",
        sha256=sha256_of(original),
        media_type="image/jpeg",
        caption="Stem",
        crop=Crop(left=1 / 3, top=0, right=1, bottom=0.9),
        marks=(
            Mark(sort="arrow", from_x=0.1, from_y=0.2, to_x=0.3, to_y=1e-7),
            Mark(sort="circle", from_x=0.5, from_y=0.5, to_x=0.6, to_y=0.7),
        ),
    )
    whole = [BOAT, entry(1, edited)]

    write_dossier(whole, tmp_path / "dossier", VOICE, {edited.sha256: original})

    table = (tmp_path / "dossier/photos/photos.csv").read_text()
    assert "0.3333333333333333 0 1 0.9,arrow 0.1 0.2 0.3 1e-07; circle" in table
    assert not (tmp_path / "dossier/notebook.jsonl").exists()
    assert {to_line(each) for each in read_dossier(tmp_path / "dossier", LATER).entries} == lines(
        whole
    )


def test_a_folder_that_is_there_is_not_written_over(tmp_path: Path) -> None:
    (tmp_path / "mine").mkdir()

    with pytest.raises(FileExistsError, match="is there already"):
        write_dossier([BOAT], tmp_path / "mine", VOICE, {})

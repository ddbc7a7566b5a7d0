"""What holds for every notebook, in whatever order and however often its entries arrive."""

import json
from random import Random
from typing import Any

from hypothesis import assume, given
from hypothesis import strategies as st
from strategies import entries, notebooks

from garboard.notebook.body import Unknown
from garboard.notebook.entry import Entry, from_json, lines, read_lines, to_json, to_line
from garboard.notebook.fold import fold


@given(notebooks, st.randoms(use_true_random=False))
def test_the_order_of_entries_does_not_matter(notebook: list[Entry[Any]], chance: Random) -> None:
    shuffled = notebook.copy()
    chance.shuffle(shuffled)

    assert fold(shuffled) == fold(notebook)


@given(notebooks, st.data())
def test_duplicates_do_no_harm(notebook: list[Entry[Any]], data: st.DataObject) -> None:
    again = data.draw(st.lists(st.sampled_from(notebook)))

    assert fold(notebook + again) == fold(notebook)


@given(notebooks, st.data())
def test_merging_devices_is_set_union(notebook: list[Entry[Any]], data: st.DataObject) -> None:
    mine = [entry for entry in notebook if data.draw(st.booleans())]
    yours = [entry for entry in notebook if entry not in mine or data.draw(st.booleans())]

    assert fold(mine + yours) == fold(yours + mine) == fold(notebook)


@given(entries())
def test_an_entry_survives_the_round_trip_through_json(entry: Entry[Any]) -> None:
    read = from_json(json.loads(to_line(entry)), "here")

    assert read == entry
    assert to_line(read) == to_line(entry)


@given(notebooks)
def test_a_notebook_survives_the_round_trip_through_lines(notebook: list[Entry[Any]]) -> None:
    once = {entry.id: entry for entry in notebook}

    read, problems = read_lines(b"\n".join(lines(notebook)).decode(), "notebook.jsonl")

    assert problems == ()
    assert {entry.id: entry for entry in read} == once


@given(notebooks)
def test_nothing_is_lost_by_folding(notebook: list[Entry[Any]]) -> None:
    survey = fold(notebook)

    held = {to_line(entry) for entry in (*survey.entries, *survey.clashes)}
    assert held == {to_line(entry) for entry in notebook}
    assert {entry.id for entry in survey.standing} <= {entry.id for entry in survey.entries}


@given(notebooks)
def test_every_entry_stands_or_somebody_took_its_place(notebook: list[Entry[Any]]) -> None:
    survey = fold(notebook)

    standing = {entry.id for entry in survey.standing}
    withdrawn = {each.entry.id for each in survey.withdrawn}
    replaced = {each for entry in survey.entries for each in entry.replaces}
    for entry in survey.entries:
        if entry.kind != "withdrawal":
            assert entry.id in standing | withdrawn | replaced


@given(entries(), st.sampled_from(["id", "at", "author", "kind", "body", "replaces"]))
def test_a_spoilt_line_never_costs_its_neighbours(entry: Entry[Any], field: str) -> None:
    assume(not (field == "body" and isinstance(entry.body, Unknown)))
    spoilt = {**to_json(entry), field: 7}
    good = to_line(entry).decode()

    read, problems = read_lines(f"{good}\n{json.dumps(spoilt)}\n{good}", "notebook.jsonl")

    assert len(read) == 2
    assert all(problem.where.startswith("notebook.jsonl:2") for problem in problems)
    assert problems

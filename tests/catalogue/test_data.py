"""The data of the catalogue: what is shipped is right, and what is wrong is refused, all of it at once."""

import re
import shutil
import tomllib
from collections.abc import Iterator
from importlib.resources import as_file, files
from pathlib import Path
from typing import get_args, get_type_hints

import pytest

from garboard.catalogue.glossary import terms_in
from garboard.catalogue.parts import Part, catalogue, read_catalogue
from garboard.catalogue.phrases import phrases
from garboard.catalogue.table import CatalogueError
from garboard.catalogue.walking import orders
from garboard.notebook import body
from garboard.notebook.problem import Refused

PARTS = tuple(catalogue().parts.values())
SHARED_FACTS = {
    "material": body.Material,
    "keel": body.Keel,
    "rudder": body.Rudder,
    "drive": body.Drive,
    "rig": body.Rig,
    "deck": body.Deck,
}


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """The shipped data in a folder where a test may spoil it."""
    with as_file(files("garboard.catalogue")) as shipped:
        shutil.copytree(shipped, tmp_path / "data", ignore=shutil.ignore_patterns("*.py*"))
    return tmp_path / "data"


def spoil(root: Path, path: str, old: str, new: str) -> None:
    file = root / path
    text = file.read_text("utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), "utf-8")


def problems_of(root: Path) -> tuple[str, ...]:
    with pytest.raises(CatalogueError) as refused:
        read_catalogue(root)
    return tuple(map(str, refused.value.problems))


# What is shipped


def test_the_shipped_catalogue_covers_every_zone() -> None:
    assert len(catalogue().zones) == 24
    assert all(zone.parts and zone.name and zone.intro for zone in catalogue().zones)
    assert len(PARTS) >= 276


def test_the_answers_a_test_knows_are_those_a_boat_can_give() -> None:
    facts = catalogue().vocabulary.facts

    for fact, literal in SHARED_FACTS.items():
        assert tuple(facts[fact]) == get_args(literal), fact
    hints = get_type_hints(body.Boat)
    for fact in ("mast", "mast_step", "standing", "fuel", "exhaust", "speed"):
        assert set(facts[fact]) == set(get_args(get_args(hints[fact])[0])), fact


def test_purposes_and_urgencies_are_those_of_the_notebook() -> None:
    vocabulary = catalogue().vocabulary

    assert set(vocabulary.purposes) == set(get_args(body.Purpose))
    assert tuple(vocabulary.urgencies) == get_args(body.Urgency)


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.id)
def test_each_part_reads_as_english(part: Part) -> None:
    for sentence in (part.steps, part.caution):
        assert not sentence or re.fullmatch(r"[A-Z0-9].*[.]", sentence), sentence
    for inside in (part.name, part.could_hide, part.would_lift, *part.look_for):
        assert not inside.endswith("."), inside
        assert inside[0].islower() or inside.split()[0].isupper() or inside[0].isdigit(), inside
    for text in texts(part):
        assert "  " not in text
        assert " ," not in text
        assert not re.search(r"[{}<>|]", text), text


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.id)
def test_each_part_says_enough_to_work_from(part: Part) -> None:
    assert 1 <= part.steps.count(". ") + 1 <= 4
    assert 4 <= len(part.look_for) <= 9
    assert part.basis
    assert part.how
    assert "damage" not in part.purposes or part.zone == "leaving"


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.id)
def test_no_part_speaks_of_a_source_it_was_not_read_in_as_a_verdict(part: Part) -> None:
    named = re.search(r"\b(ISO|EN|IEC|ABYC|BS)\b", part.basis)

    assert named is None or "from memory" in part.basis or "read" in part.basis


@pytest.mark.parametrize(
    "part_id",
    [
        "chocks-and-access", "bottom-coating", "bottom-gelcoat", "keel-joint", "lifting-keel",
        "propeller", "thruster", "seacock", "mast-aloft", "wire-stay", "watertight-bulkhead",
        "lead-acid-battery", "shore-supply", "gas-locker", "integral-tanks-and-voids",
    ],
)  # fmt: skip
def test_work_that_can_hurt_has_its_caution(part_id: str) -> None:
    assert catalogue().parts[part_id].caution


def test_spelling_is_british() -> None:
    american = re.compile(
        r"\b(aluminum|color|gray|fiber|center|mold(ed|ing|y)?|plow|draft|gasoline|vapor|harbor|"
        r"meter(s)? long|liter|tire(s)?|organize|recognize|artifact|neighbor\w*|favor\w*)\b"
    )
    for part in PARTS:
        for text in texts(part):
            assert not american.search(text), text


def test_every_reason_and_method_is_used_or_kept_for_use() -> None:
    used = {word for part in PARTS for word in (*part.limits, *part.how)}
    vocabulary = catalogue().vocabulary

    assert used <= {*vocabulary.reasons, *vocabulary.how}
    assert not set(vocabulary.how) - used


def test_a_phrase_stands_beside_its_part_in_every_zone_where_harm_is_found() -> None:
    zones = {catalogue().parts[part].zone for each in phrases().values() for part in each.parts}

    assert zones >= set(catalogue().vocabulary.zones) - {"leaving", "accommodation", "navigation"}


def test_the_walking_orders_know_every_part_they_name() -> None:
    named = {part for order in orders() for leg in order.legs for part in leg.parts}

    assert named <= set(catalogue().parts)


# What is refused


def test_the_shipped_data_are_read_alike_from_any_folder(copy: Path) -> None:
    assert read_catalogue(copy).parts == catalogue().parts


def test_all_problems_are_told_at_once_with_file_and_part(copy: Path) -> None:
    spoil(copy, "parts/keel.toml", 'per = "number"', 'per = "dozen"')
    spoil(copy, "parts/rig.toml", 'standing = ["wire"]', 'standing = ["rope"]')
    spoil(copy, "fittings.toml", "[gas]", "[gaz]")

    told = problems_of(copy)

    assert any(each.startswith('parts/keel.toml: keel-bolt per: "dozen"') for each in told)
    assert any(each.startswith("parts/rig.toml: wire-stay applies standing:") for each in told)
    assert any(each.startswith("parts/gas-and-heating.toml: gas-locker") for each in told)
    assert any(each.startswith("fittings.toml: gaz") for each in told)


@pytest.mark.parametrize(
    ("path", "old", "new", "said"),
    [
        ("parts/keel.toml", 'id = "lead-keel"', 'id = "iron-keel"', "of this id already"),
        ("parts/keel.toml", 'id = "lead-keel"', 'id = "seacock"', "of this id already"),
        ("parts/keel.toml", 'id = "lead-keel"', 'id = "C03"', "no slug"),
        ("parts/keel.toml", 'id = "lead-keel"', "", "a part without id"),
        ("parts/keel.toml", 'zone = "keel"', 'zone = "hull"', "names another zone"),
        ("parts/keel.toml", "usual = 6", "usual = 0", "not a number of things"),
        ("parts/keel.toml", "usual = 6", 'usual = "six"', "not a number of things"),
        ("parts/keel.toml", "usual = 6", "", "lacks a usual number"),
        ("parts/keel.toml", 'per = "one"', 'per = "one"\nusual = 3', "has a usual number"),
        (
            "parts/keel.toml",
            "usual = 6",
            "usual = 6\nmore = [{ add = 2 }]",
            "asks nothing of the boat",
        ),
        (
            "parts/keel.toml",
            "usual = 6",
            "usual = 6\nmore = [{ longer_than_m = 8 }]",
            "it is missing",
        ),
        (
            "parts/keel.toml",
            'per = "one"',
            'per = "one"\nmore = [{ add = 2, longer_than_m = 8 }]',
            "nothing is there to add to",
        ),
        ("parts/keel.toml", 'per = "one"', 'per = "one"\nweight = 3', "this key is not known"),
        ("parts/keel.toml", "steps =", "step =", "steps: None is not a text"),
        ("parts/keel.toml", 'how = ["look", "sound",', 'how = ["smell",', '"smell" is not known'),
        ("parts/keel.toml", '"antifouling-on"', '"tired"', '"tired" is not known'),
        ("parts/keel.toml", 'purposes = ["core"]', 'purposes = ["fun"]', '"fun" is not known'),
        ("parts/keel.toml", '"seam open"', '" seam open"', "without blanks around it"),
        ("parts/keel.toml", '"bolted", "twin"', '"bolted", "welded"', '"welded" is not known'),
        ("parts/ground-tackle.toml", "if_asked = true", "if_asked = false", "is not true"),
        ("parts/keel.toml", "[[part]]", "[[piece]]", "this key is not known"),
        ("parts/keel.toml", "[[part]]", "[part", "this is not TOML"),
        ("vocabulary.toml", '"arrival", ', "", "no zone has this name"),
        ("vocabulary.toml", '"arrival", ', '"arrival", "cellar", ', "the file is missing"),
        ("vocabulary.toml", "sloop = 1", "lugger = 1", "there is no such rig"),
        ("vocabulary.toml", "wooden = [", "grp = [", "has this name"),
        ("fittings.toml", "[gas]", '[hot-tub]\nsay = "Is there one?"\n[gas]', "no part turns on"),
        ("fittings.toml", 'say = "Is there a gas installation?"', 'say = "Gas."', "not a question"),
    ],
)
def test_a_wrong_cell_is_refused(copy: Path, path: str, old: str, new: str, said: str) -> None:
    spoil(copy, path, old, new)

    assert any(said in each for each in problems_of(copy))


def test_a_missing_file_is_told_with_its_name(copy: Path) -> None:
    (copy / "parts/deck.toml").unlink()

    assert any(
        each.startswith("parts/deck.toml: the file is missing") for each in problems_of(copy)
    )


def test_a_refused_catalogue_is_refused_input_like_any_other() -> None:
    assert issubclass(CatalogueError, Refused)
    assert issubclass(CatalogueError, ValueError)


def texts(part: Part) -> Iterator[str]:
    yield from (part.name, part.steps, part.could_hide, part.would_lift, part.basis, part.caution)
    yield from part.look_for


def test_every_word_of_the_glossary_is_found_in_its_own_forms_and_explained_in_a_sentence() -> None:
    data = tomllib.loads(files("garboard.catalogue").joinpath("glossary.toml").read_text("utf-8"))

    for word, table in data.items():
        assert set(table) == {"seek", "say"}
        assert table["say"].endswith(".")
        assert word in [term.word for term in terms_in(table["seek"][0])]

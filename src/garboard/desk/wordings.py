"""Wordings for findings: those of the catalogue and the practice's own, offered, put into a finding, and kept."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import tomli_w

from garboard.catalogue.naming import part_id
from garboard.catalogue.parts import catalogue
from garboard.catalogue.phrases import Phrase, phrases, read_phrase
from garboard.desk.context import Desk
from garboard.desk.forms import Texts
from garboard.desk.parts import no_such_part
from garboard.notebook.body import Place
from garboard.notebook.problem import Problem, Refused
from garboard.store import texts
from garboard.store.texts import OwnText

FIELDS = ("title", "seen", "why", "urgency", "because", "what", "by_whom", "verified", "caution")
"""What a wording says, in the order of its form."""

OF_FINDING = ("title", "seen", "why", "because")
OF_ADVICE = ("what", "by_whom", "verified", "caution")
_OPEN = {"value": "…", "count": "…", "date": "…", "age_y": "…"}
_SLUG = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Own:
    """A wording of the practice's own: its text, and what it says, or why it cannot be used."""

    text: OwnText
    phrase: Phrase | None
    problems: tuple[Problem, ...] = ()


def own_wordings(desk: Desk) -> tuple[Own, ...]:
    """The practice's own wordings, by name."""
    with desk.database.reading() as connection:
        held = texts.latest(connection, "phrase")
    return tuple(_own(each) for each in held)


def wording(desk: Desk, name: str) -> Phrase | None:
    """A wording by its id; the practice's own goes before that of the catalogue."""
    with desk.database.reading() as connection:
        held = texts.one(connection, "phrase", name)
    if held and held.text and (own := _own(held).phrase):
        return own
    return phrases().get(name)


def wordings_for(desk: Desk, places: Iterable[Place]) -> tuple[Phrase, ...]:
    """The wordings that fit the parts of some places, the practice's own first."""
    parts = {place.part for place in places}
    own = {each.phrase.id: each.phrase for each in own_wordings(desk) if each.phrase}
    found = {**own, **{id_: each for id_, each in phrases().items() if id_ not in own}}
    return tuple(each for each in found.values() if parts.intersection(each.parts))


def keep_wording(desk: Desk, name: str, form: Texts, by: str) -> Phrase:
    """Keep a wording of one's own as it was filled in.

    Raises:
        Refused: Something in it cannot be used; says all that is wrong.
    """
    if not _SLUG.fullmatch(name):
        problem = Problem(where="name", what=f'"{name}" is no name for a wording', do="Use small letters, figures and hyphens")  # fmt: skip
        raise Refused([problem])
    text = toml_of(name, form)
    try:
        phrase = read_phrase(text, "wording", catalogue())
    except Refused as refused:
        raise Refused(map(_nearer, refused.problems)) from None
    with desk.database.writing() as connection:
        texts.keep(connection, "phrase", name, text, by=by, now=desk.clock())
    return phrase


def put_away(desk: Desk, name: str, by: str) -> None:
    """Offer a wording of one's own no more; its versions stay."""
    with desk.database.writing() as connection:
        texts.keep(connection, "phrase", name, "", by=by, now=desk.clock())


def toml_of(name: str, form: Texts) -> str:
    """A wording in the format of the catalogue."""
    said = {each: form[each].strip() for each in FIELDS if form.get(each, "").strip()}
    parts = [part_id(each.strip()) for each in form.get("parts", "").split("\n") if each.strip()]
    return tomli_w.dumps({name: {"parts": parts, **said}})


def texts_of_wording(phrase: Phrase) -> dict[str, str]:
    """The texts of the form of a wording."""
    return {"parts": "\n".join(phrase.parts), **{each: getattr(phrase, each) for each in FIELDS}}


def texts_from_finding(form: Texts) -> dict[str, str]:
    """A wording begun from a finding as it is being written, with its first recommendation."""
    parts = dict.fromkeys(
        text.strip() for path, text in form.items() if path.startswith("places.") and path.endswith(".part")
    )  # fmt: skip
    made = {each: form.get(each, "") for each in (*OF_FINDING, "urgency")}
    made |= {each: form.get(f"advice.0.{each}", "") for each in OF_ADVICE}
    return {"parts": "\n".join(filter(None, parts)), **made}


def slots_guessed(places: Sequence[Place]) -> Mapping[str, str]:
    """What the finding's first place says of the slots of a wording."""
    if not places:
        return {}
    place = places[0]
    sided = f"on the {place.side} side" if place.side in ("port", "starboard") else ""
    return {
        "where": place.words or sided,
        "side": place.side or "",
        "number": str(place.number or ""),
    }


def title_of(phrase: Phrase, places: Sequence[Place]) -> str:
    """What a wording is called at some places: its slots filled as far as they say, an open value as dots."""
    said = {**_OPEN, **slots_guessed(places)}
    return phrase.filled(**{each: said.get(each, "") for each in phrase.slots}).title


def put_in(phrase: Phrase, slots: Texts, wanted: Iterable[str], form: Texts, at: str) -> Texts:
    """The texts of a finding's form with a wording put in.

    Args:
        phrase: The wording.
        slots: What fills its slots; one that is missing is left out of the text.
        wanted: Which of its fields are put in.
        form: The texts as they are.
        at: The path of the recommendation that takes its recommendation.
    """
    said = phrase.filled(**{each: slots.get(each, "") for each in phrase.slots})
    chosen = set(wanted)
    made = {each: getattr(said, each) for each in (*OF_FINDING, "urgency") if each in chosen}
    made |= {f"{at}{each}": getattr(said, each) for each in OF_ADVICE if each in chosen}
    return {**form, **made, "phrase": phrase.id}


def _nearer(problem: Problem) -> Problem:
    """A problem of a part with the one that was probably meant, where the whole catalogue would be named."""
    word = re.fullmatch(r'"(.*)" is not known', problem.what)
    if word is None or not problem.where.endswith(" parts"):
        return problem
    return no_such_part(word[1], problem.where)


def _own(text: OwnText) -> Own:
    try:
        return Own(text=text, phrase=read_phrase(text.text, text.name, catalogue()))
    except Refused as refused:
        return Own(text=text, phrase=None, problems=refused.problems)

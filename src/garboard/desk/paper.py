"""The paper of a day without a battery: its letters and numbers, and a line of it read back as entries.

A line speaks of one place. Nothing is taken for granted: what was not written is asked for, not assumed.
"""

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from garboard.catalogue.parts import catalogue
from garboard.catalogue.schedule import Called
from garboard.notebook.body import Examination, Limitation
from garboard.notebook.problem import Refused
from garboard.notebook.shape import read, write

Codes = Mapping[str, str]

ALL = "."
"""Written for the ways: all that are called for."""

_FAR = re.compile(r"([a-z]) *(\d{1,3})?(?: *%)?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A line as it was written: how far, in which ways, in short, why not, what was found, what was missed."""

    far: str = ""
    how: str = ""
    short: str = ""
    why: str = ""
    found: str = ""
    missed: str = ""

    @property
    def is_empty(self) -> bool:
        """Nothing was written."""
        return not any(getattr(self, each.name).strip() for each in fields(self))


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line read: the bodies it makes, or what is wrong with it by the name of its field."""

    bodies: tuple[Any, ...]
    problems: Codes


@cache
def codes(vocabulary: str) -> Codes:
    """What is written for each word of a vocabulary: "extent", "outcome", "how", "reasons"."""
    text = files("garboard.desk").joinpath("paper.toml").read_text("utf-8")
    return MappingProxyType({word: str(code) for word, code in tomllib.loads(text)[vocabulary].items()})  # fmt: skip


@cache
def _words(vocabulary: str) -> Codes:
    return {code: word for word, code in codes(vocabulary).items()}


def reason_words(reason: str) -> str:
    """A reason in the few words that a key has room for."""
    return reason.replace("-", " ")


def line_of(called: Called, written: Written) -> Line:
    """The entries that a line makes: an examination, a limitation, or both.

    Args:
        called: The place it speaks of, and what is called for there.
        written: What stands on it; not empty.
    """
    problems: dict[str, str] = {}
    far, share = _far(written.far, problems)
    used, missed = _ways(written.how, called, problems)
    reasons = _reasons(written.why, problems)
    outcome = _outcome(written.short, problems)
    looked = far in ("whole", "part")
    if looked and not used and "how" not in problems:
        problems["how"] = f"In which ways? Letters, or {ALL} for all that are called for."
    if outcome and far and not looked:
        problems["short"] = "Only what was examined can be sound, a defect or doubtful."
    if used and far == "not reached":
        problems["how"] = "What was not reached was not examined in any way: p, where a part was."
    is_limited = far == "not reached" or bool(missed or reasons or written.missed.strip())
    if is_limited and far in ("not fitted", "not called for"):
        problems["why"] = (
            "What is not fitted or not called for has no limitation: leave this empty."
        )
    elif is_limited and not reasons and "why" not in problems:
        problems["why"] = "Why was it not reached? Numbers from the key."
    if problems:
        return Line(bodies=(), problems=problems)
    place = write(called.place)
    bodies: list[tuple[str, type[Any], dict[str, Any]]] = []
    if far != "not reached":
        said = {"how": used, "share_pct": share, "outcome": outcome, "found": written.found.strip()}
        bodies.append(("far", Examination, {"place": place, "extent": far, **said}))
    if is_limited:
        told = (written.missed, written.found if far == "not reached" else "")
        lost = "; ".join(each.strip() for each in told if each.strip())
        said = {
            "not_reached": lost or _missed(far, share, missed),
            "reasons": reasons,
            "could_hide": called.part.could_hide,
            "would_lift": called.part.would_lift,
            "how": missed,
        }
        bodies.append(("missed", Limitation, {"place": place, **said}))
    return _read(bodies)


def _read(bodies: list[tuple[str, type[Any], dict[str, Any]]]) -> Line:
    made, problems = [], {}
    for field, cls, data in bodies:
        try:
            made.append(read(cls, data, field))
        except Refused as refused:
            problems[field] = " ".join(f"{each.what}. {each.do}." for each in refused.problems)
    return Line(bodies=() if problems else tuple(made), problems=problems)


def _far(text: str, problems: dict[str, str]) -> tuple[str, float | None]:
    match = _FAR.fullmatch(text.strip().lower())
    far = _words("extent").get(match[1], "") if match else ""
    if not match or not far or (match[2] and far != "part"):
        problems["far"] = f"How far? {_key('extent')}; a share behind the p, as p60."
        return "", None
    return far, float(match[2]) if match[2] else None


def _ways(
    text: str, called: Called, problems: dict[str, str]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The ways used, and after a minus those that were called for and not used."""
    with_, _, without = text.lower().replace("−", "-").partition("-")
    used, missed = (tuple(_letters(each, problems)) for each in (with_, without))
    if ALL in with_:
        used = (*used, *(each for each in called.part.how if each not in missed))
    return tuple(dict.fromkeys(used)), tuple(dict.fromkeys(missed))


def _letters(text: str, problems: dict[str, str]) -> Iterator[str]:
    for letter in re.sub(rf"[\s,;{re.escape(ALL)}]", "", text):
        if letter in _words("how"):
            yield _words("how")[letter]
        else:
            problems["how"] = f"“{letter}” is no way of examining. Use {_key('how')}."


def _reasons(text: str, problems: dict[str, str]) -> tuple[str, ...]:
    numbers = re.findall(r"[^\s,;]+", text)
    unknown = [each for each in numbers if each not in _words("reasons")]
    if unknown:
        problems["why"] = f"“{unknown[0]}” is no reason of the key: numbers from 1 to {len(_words('reasons'))}."  # fmt: skip
    return tuple(dict.fromkeys(_words("reasons")[each] for each in numbers if each not in unknown))


def _outcome(text: str, problems: dict[str, str]) -> str | None:
    letter = text.strip().lower()
    if letter and letter not in _words("outcome"):
        problems["short"] = f"In short: {_key('outcome')}, or nothing."
    return _words("outcome").get(letter)


def _missed(far: str, share: float | None, missed: tuple[str, ...]) -> str:
    """What was not reached, where nobody wrote it out."""
    if missed:
        said = catalogue().vocabulary.how
        return "Not " + ", not ".join(said[each] for each in missed)
    if far == "part" and share is not None:
        return f"The other {100 - share:g} % of it"
    return "What lies beyond the part examined" if far == "part" else "The whole of it"


def _key(vocabulary: str) -> str:
    return ", ".join(f"{code} {word}" for word, code in codes(vocabulary).items())

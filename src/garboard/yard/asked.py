"""What nobody has said of the boat yet and parts of the walk hang on, as questions with the answers there are."""

from collections import Counter
from collections.abc import Iterable
from typing import Any

from garboard.catalogue.applies import FITTED
from garboard.catalogue.parts import catalogue
from garboard.catalogue.schedule import Called

_SEVERAL = "deck"
_COUNTED = "hulls"


def questions_of(called: Iterable[Called]) -> list[dict[str, Any]]:
    """The questions that are open, those on which most parts hang first.

    `fact` is the field of the boat that the answer goes into, `answers` its values with their words; of what she is
    fitted with each question is one by itself, and `fitting` the value that stands for yes. `several` may hold at
    once. `parts` is how many hang on it.
    """
    hanging = {(question, each.part.id) for each in called for question in _asked(each)}
    counted = Counter(question for question, _ in hanging)
    # Ties by name, so that the list looks the same each time.
    found = sorted(counted, key=lambda each: (-counted[each], each))
    return [{**_question(*each), "parts": counted[each]} for each in found]


def open_of(called: Called) -> list[str]:
    """The questions, in words, because of which a place is called for."""
    return [_question(*each)["question"] for each in _asked(called)]


def _asked(of: Called) -> list[tuple[str, str]]:
    """The fields that a place hangs on, with the fitting where each is a question of its own."""
    return [
        (fact, fitting)
        for fact in of.unstated
        for fitting in (of.fittings if fact == FITTED else ("",))
    ]


def _question(fact: str, fitting: str) -> dict[str, Any]:
    vocabulary = catalogue().vocabulary
    if fact == FITTED:
        return {"fact": fact, "fitting": fitting, "question": vocabulary.fittings[fitting]}
    return {
        "fact": fact,
        "question": vocabulary.labels[fact],
        "several": fact == _SEVERAL,
        "answers": [
            [int(value) if fact == _COUNTED else value, said]
            for value, said in vocabulary.answers(fact).items()
        ],
    }

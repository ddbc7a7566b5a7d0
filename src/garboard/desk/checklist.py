"""The schedule on paper, for a day without a battery: to be written on by hand and typed back line by line.

Raises:
    typesetter.NotSet: The paper could not be set.
"""

import json
from collections.abc import Sequence
from datetime import datetime
from functools import partial
from importlib.resources import files
from typing import Any

from garboard.catalogue.parts import catalogue
from garboard.desk.paper import ALL, codes, reason_words
from garboard.judgement.stretches import Alike, Stop, Stretch, stretches
from garboard.notebook.fold import Survey
from garboard.report import clean, fonts, typesetter


def checklist(survey: Survey, along: Sequence[Stop], at: datetime) -> bytes:
    """The checklist of a survey as a PDF.

    Args:
        survey: The survey.
        along: The places to print, in walking order.
        at: When it is printed; aware.
    """
    say = partial(clean.printable, glyphs=fonts.glyphs())
    boat, instruction = survey.boat, survey.instruction
    data = {
        "boat": say(boat.name if boat else ""),
        "identity": say(boat.identity_number if boat else ""),
        "purpose": catalogue().vocabulary.purposes[instruction.purpose] if instruction else "",
        "place": say(instruction.place if instruction else ""),
        "printed": f"{at.day} {at:%B %Y, %H:%M}",
        "all": ALL,
        "extent": [[code, word] for word, code in codes("extent").items()],
        "outcome": [[code, word] for word, code in codes("outcome").items()],
        "reasons": [[code, reason_words(each)] for each, code in codes("reasons").items()],
        "stretches": [_stretch(each) for each in stretches(along)],
    }
    sources = {
        "main.typ": (files("garboard.desk") / "checklist.typ").read_bytes(),
        "checklist.json": json.dumps(_said(data, say), ensure_ascii=False).encode(),
    }
    return typesetter.pdf(
        sources, issued_unix=int(at.timestamp()), time_out_s=typesetter.TIME_OUT_S
    )


def _said(value: Any, say: "partial[str]") -> Any:
    """Data with every text in it printable."""
    if isinstance(value, dict):
        return {key: _said(each, say) for key, each in value.items()}
    if isinstance(value, list):
        return [_said(each, say) for each in value]
    return say(value) if isinstance(value, str) else value


def _stretch(of: Stretch) -> dict[str, Any]:
    return {"name": of.name, "groups": [_group(each) for each in of.groups]}


def _group(of: Alike) -> dict[str, Any]:
    return {
        "first": of.is_first,
        "name": of.part.name,
        "caution": of.part.caution,
        "how": [[codes("how")[each], each.replace("-", " ")] for each in of.part.how],
        "why": [codes("reasons")[each] for each in of.part.limits],
        "lines": [
            {
                "at": each.at,
                "key": each.key,
                "which": each.which,
                "called": each.own_name,
                "stands": "" if each.state.state == "silent" else each.words,
            }
            for each in of.stops
        ],
    }

"""Small reports with a notebook inside, as the report writer makes them."""

import json
from datetime import UTC, datetime

import typst
from cast import QUILLET, entry

from garboard.archive.evidence import findings_json, notebook_jsonl
from garboard.notebook.body import Finding, Place
from garboard.notebook.fold import Survey, fold

ISSUED = datetime(2026, 5, 14, 16, 30, tzinfo=UTC)
_SOURCE = b"""
#set document(title: "Report on Quillet (invented)", author: "Ines Caldervane (invented)")
#set text(lang: "en")
#for (name, key) in (("notebook.jsonl", "notebook"), ("findings.json", "findings")) {
  for each in json(bytes(sys.inputs.at(key))) {
    pdf.attach(name, bytes(each), relationship: "source", mime-type: "application/json", description: key)
  }
}
= Quillet
The rudder is sound.
"""


def survey(title: str = "Play in the rudder") -> Survey:
    """A survey with one finding."""
    return fold(
        [
            entry(1, QUILLET),
            entry(
                2,
                Finding(
                    name="rudder-play",
                    title=title,
                    seen="The blade moves 4 mm on its stock.",
                    why="The bearing may be worn.",
                    urgency="at the next lift-out",
                    because="it was the same two years ago",
                    how_known=("measured",),
                    places=(Place(part="rudder-blade"),),
                ),
            ),
        ]
    )


def report(notebook: bytes | None, findings: bytes | None) -> bytes:
    """A PDF of one page with what is given attached to it."""
    attached = {"notebook": notebook, "findings": findings}
    return typst.compile(
        _SOURCE,
        sys_inputs={
            key: json.dumps([each.decode()] if each is not None else [])
            for key, each in attached.items()
        },
        pdf_standards=["a-3a", "ua-1"],
        timestamp=int(ISSUED.timestamp()),
    )


def report_on(of: Survey) -> bytes:
    """The report of a survey."""
    return report(notebook_jsonl(of), findings_json(of))

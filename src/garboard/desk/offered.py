"""What a client is asked to accept: the work as it is asked for now, the price, and the surveyor's own terms."""

import hashlib
import json
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection

from garboard.catalogue.naming import addressed
from garboard.catalogue.parts import catalogue
from garboard.judgement.gaps_of_job import is_surveyor
from garboard.notebook.body import Arrangement, Instruction, Person, Terms
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused
from garboard.store import texts
from garboard.store.links import Offer
from garboard.store.texts import OwnText


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """Terms as they lie before a client: `lines` say what is asked, `price` what it costs, `text` the terms.

    `accepted` is the acceptance, None while there is none.
    """

    lines: tuple[str, ...]
    price: str
    text: OwnText
    accepted: Entry[Terms] | None = None

    @property
    def version(self) -> str:
        """Which text it is."""
        return f"{self.text.name}, version {self.text.version}"

    @property
    def digest(self) -> str:
        """SHA-256 of everything that is shown, so that what is accepted is what was read."""
        shown = json.dumps([self.lines, self.price, self.text.sha256])
        return hashlib.sha256(shown.encode()).hexdigest()


def laid_before_acceptance(connection: Connection, offer: Offer, survey: Survey) -> Laid:
    """The terms as they stand now.

    Args:
        connection: Of any transaction.
        offer: What was sent.
        survey: The survey it was sent for.

    Raises:
        Refused: The text was changed after the link was sent, or the job did not go ahead.
    """
    text = texts.of_sha256(connection, offer.terms_sha256)
    latest = texts.one(connection, "terms", text.name) if text else None
    if text is None or latest is None or latest.sha256 != text.sha256:
        raise _refused("the terms were changed after it was sent")
    if survey.instruction is None:
        raise _refused("the survey it was sent for did not go ahead")
    fees = [each.words for each in survey.bodies(Arrangement) if each.what == "fee"]
    return Laid(lines=_lines(survey, survey.instruction), price="; ".join(fees), text=text)


def laid_when_accepted(connection: Connection, survey: Survey, at: datetime) -> Laid:
    """The terms as they were accepted, whatever was changed since.

    Args:
        connection: Of any transaction.
        survey: The survey they were accepted for.
        at: The time of acceptance.

    Raises:
        Refused: The acceptance or its text is not held here.
    """
    then = [entry for entry in survey.entries if entry.at == at]
    accepted = next((entry for entry in then if isinstance(entry.body, Terms)), None)
    text = texts.of_sha256(connection, accepted.body.sha256) if accepted else None
    if accepted is None or text is None:
        raise _refused("what was accepted under it is not held here")
    price = next((e.body.words for e in then if isinstance(e.body, Arrangement)), "")
    return Laid(lines=accepted.body.summary, price=price, text=text, accepted=accepted)


def as_text(laid: Laid, practice: str) -> str:
    """Everything that was accepted as plain text, to be kept."""
    parts = [practice, "\n".join(laid.lines), f"Price: {laid.price}" if laid.price else "", laid.version, laid.text.text]  # fmt: skip
    if laid.accepted:
        body = laid.accepted.body
        parts += [
            f"Accepted by {body.accepted_by} on {body.accepted_on:%Y-%m-%d}, {body.how}.\n"
            f"By this number (SHA-256) it can be shown that not a letter of the text of the terms was changed: {body.sha256}"
        ]
    return "\n\n".join(filter(None, parts)) + "\n"


def _lines(survey: Survey, asked: Instruction) -> tuple[str, ...]:
    """The work asked for, a line a matter; only this survey's own."""
    words = catalogue().vocabulary
    relying = (each for each in dict.fromkeys(asked.may_rely) if each != asked.client)
    signing = (each.name for each in survey.bodies(Person) if is_surveyor(each))
    said = (
        ("Surveyor", next(signing, survey.of(Instruction)[-1].author)),
        ("Client", addressed(asked)),
        ("Boat", survey.boat.name if survey.boat else ""),
        ("Purpose", words.purposes[asked.purpose]),
        ("How she is seen", ", ".join(words.visits[each] for each in asked.visits)),
        ("Where", asked.place),
        ("May rely on the report besides the client", "; ".join(relying)),
        ("Left out", "; ".join(asked.exclusions)),
        ("Left to others", "; ".join(asked.specialists)),
        *(("Question to be answered", each) for each in asked.questions),
    )
    return tuple(f"{name}: {text}" for name, text in said if text)


def _refused(what: str) -> Refused:
    return Refused([Problem(where="link", what=what, do="Ask the surveyor for a new one")])

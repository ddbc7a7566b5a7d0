"""What is missing before a report can be issued, told in groups, and where on the desk each of it is mended."""

from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import quote, urlencode

from garboard.catalogue.naming import key
from garboard.catalogue.parts import is_duty
from garboard.desk.context import Desk
from garboard.desk.worked import Worked
from garboard.judgement.gap import Gap
from garboard.judgement.gaps_of_places import SILENT
from garboard.notebook.body import Finding, Memo, Photo
from garboard.notebook.fold import Survey
from garboard.store import listing

_OTHER_BOATS = 60
"""Of how many surveys, the latest changed, the boats' names are looked for: from older ones nothing is copied."""

_ON_THE_INSTRUCTION = {"terms": "terms", "conflict check": "conflict", "instruction": "asked", "listed parts": "asked"}  # fmt: skip
_OF_A_PART = ("silent ", "outcomes ", "called sound ", "called unreached ", "limitation could hide ", "limitation would lift ")  # fmt: skip
_OF_A_PHOTO = ("caption ", "unmentioned ", "unprinted ", "photo day ", "photo number ")
_OF_READINGS = ("failed check ", "instrument ", "unchecked ", "end check ", "stray reading set ")


@dataclass(frozen=True, slots=True, kw_only=True)
class Missing:
    """A gap and the page on which it is mended."""

    gap: Gap
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Alike:
    """Gaps that say the same of several places."""

    what: str
    do: str
    gaps: tuple[Missing, ...]

    @property
    def is_silent(self) -> bool:
        """Whether nothing is recorded at any of the places, so that it can be said of many at once what holds."""
        return self.what == SILENT and not self.are_duties

    @property
    def are_duties(self) -> bool:
        """Whether all of it is owed of the surveyor's own duties, which are no places of the boat."""
        return all(is_duty(each.gap.part) for each in self.gaps)


def other_boats(desk: Desk, survey: Survey) -> tuple[str, ...]:
    """Names of boats surveyed lately, which must not have been left in the text."""
    with desk.database.reading() as connection:
        latest = listing.latest(connection, limit=_OTHER_BOATS)
    names = {each.boat for each in latest if each.boat and each.survey != survey.id}
    return tuple(sorted(names))


def gaps_of(desk: Desk, worked: Worked) -> tuple[Gap, ...]:
    """Everything that is missing from a survey of a desk."""
    return worked.gaps(other_boats(desk, worked.survey))


def in_groups(found: Iterable[Gap], survey: Survey) -> tuple[Alike, ...]:
    """Gaps told together where they say the same, in their order."""
    groups: dict[tuple[str, str], list[Missing]] = {}
    for gap in found:
        alike = groups.setdefault((gap.what, gap.do), [])
        alike.append(Missing(gap=gap, address=address_of(gap, survey)))
    return tuple(Alike(what=what, do=do, gaps=tuple(gaps)) for (what, do), gaps in groups.items())


def of_finding(found: Iterable[Gap], finding: Finding) -> tuple[Gap, ...]:
    """What of all that is missing concerns one finding, or contradicts it at its places."""
    name = f"finding {finding.name}"
    places = {key(place) for place in finding.places}
    return tuple(
        gap
        for gap in found
        if gap.about == name or gap.about.startswith(f"{name},") or gap.about in places
    )


def address_of(gap: Gap, survey: Survey) -> str:  # noqa: C901 - one case a sort of gap
    """The page on which a gap is mended."""
    here, id_ = f"/s/{survey.id}", gap.id
    back = urlencode({"back": f"{here}/report"})
    if id_.startswith("missing "):
        return _of_beginning(id_.removeprefix("missing "), here, back)
    if id_ == "report number":
        return f"{here}/report#report_number"
    for sort in _OF_A_PART:
        if id_.startswith(sort):
            return f"{here}/part/{quote(id_.removeprefix(sort))}"
    if id_.startswith("unused "):
        return f"{here}/part/{quote(id_.split(' ', 2)[2])}"
    if id_.startswith("called unused "):
        return f"{here}/part/{quote(id_.split(' ', 3)[3])}"
    if id_.startswith("visit end "):
        return f"{here}/visit"
    if id_.startswith("ask "):
        return f"{here}/boat"
    if id_.startswith(_OF_A_PHOTO):
        return _of_photo(id_, survey, here)
    if id_.startswith("spoken "):
        return _of_memo(id_, survey, here, back)
    if id_.startswith(_OF_READINGS):
        return f"{here}/readings"
    if id_.startswith("stray sounding "):
        return f"{here}/soundings"
    if id_ == "photographs not looked at":
        return f"{here}/photographs/check"
    if id_.startswith("consent "):
        return f"{here}/instruction#leave"
    if id_.startswith("amendment of "):
        return f"{here}/report/amendment"
    if id_.startswith(("not taken up ", "observed ", "defect ", "doubtful ")):
        return f"{here}/findings#drafts"
    if id_.startswith("stray ") and not id_.startswith("stray answer "):
        return f"{here}/part/{quote(id_.split(' ')[-1])}"
    if id_.startswith(("choice ", "clash ", "unknown ", "stray answer ")):
        return f"{here}/history"
    return _of_words(gap.about or gap.where, survey, here)


def _of_beginning(what: str, here: str, back: str) -> str:
    match what:
        case "boat":
            return f"{here}/boat"
        case "conditions":
            return f"{here}/add/conditions?{back}"
        case "summary":
            return f"{here}/report/summary"
        case "value":
            return f"{here}/value"
        case "surveyor":
            return f"{here}/add/person?role=surveyor&{back}"
        case _:
            return f"{here}/instruction#{_ON_THE_INSTRUCTION.get(what, 'asked')}"


def _of_photo(id_: str, survey: Survey, here: str) -> str:
    for entry in survey.of(Photo):
        if id_ in (
            f"{sort} {entry.body.file}"
            for sort in ("photo", "caption", "unmentioned", "unprinted", "photo day")
        ):
            return f"{here}/photo/{entry.id}"
    return f"{here}/photographs"


def _of_memo(id_: str, survey: Survey, here: str, back: str) -> str:
    for entry in survey.of(Memo):
        if id_ == f"spoken {entry.body.file}":
            return f"{here}/entry/{entry.id}?{back}"
    return f"{here}/history?kind=memo"


def _of_words(about: str, survey: Survey, here: str) -> str:
    """The page of the text that a gap speaks of."""
    if about.startswith("summary"):
        return f"{here}/report/summary"
    if about == "value":
        return f"{here}/value"
    if about == "amendment":
        return f"{here}/report/amendment"
    if about.startswith("photo "):
        return _of_photo(about, survey, here)
    if about.startswith("observed "):
        return f"{here}/part/{quote(about.split(' ')[1])}"
    for entry in survey.of(Finding):
        name = f"finding {entry.body.name}"
        if about == name or about.startswith(f"{name},"):
            return f"{here}/finding/{entry.id}"
    for sort in ("examined ", "limited "):
        if about.startswith(sort):
            return f"{here}/part/{quote(about.removeprefix(sort))}"
    return f"{here}/history"

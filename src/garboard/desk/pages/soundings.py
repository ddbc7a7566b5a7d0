"""Soundings: their map, how small a patch they would have met, what sounded otherwise; recorded strikes beside them."""

from collections import Counter
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from garboard.catalogue.naming import located
from garboard.desk.asked import texts_in
from garboard.desk.context import desk_of, survey_of
from garboard.desk.filled import Filled, filled
from garboard.desk.forms import Texts, fields_of
from garboard.desk.keep import in_turn, keep
from garboard.desk.notes import carried
from garboard.desk.parts import part_choices
from garboard.desk.render import page, see, survey_page
from garboard.desk.worked import Worked, hull_for, worked
from garboard.drawings.hull import View
from garboard.drawings.laminate import detectability
from garboard.drawings.sets import soundings_view
from garboard.drawings.spectra import strike_spectrum
from garboard.methods.patch import EDGE
from garboard.methods.recordings import SUGGESTS, RecordedStrike, samples_of
from garboard.methods.strikes import DEFER, FEWEST_REFERENCES
from garboard.methods.written import measure
from garboard.methods.zone import zone_words
from garboard.notebook.body import Heard, Recording, Sounding
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused

MOST_BYTES = 32 * 2**20
"""The largest sound that is taken."""

_NONE: Texts = MappingProxyType({})
_HEARD: tuple[Heard, ...] = ("sound", "dull", "hollow", "not sounded")
_BY_ITSELF = ("file", "sha256")


@dataclass(frozen=True, slots=True, kw_only=True)
class Struck:
    """A recorded strike: whether its sound is here, what it was compared to, and its spectrum."""

    entry: Entry[Recording]
    where: str
    is_here: bool
    found: RecordedStrike | None
    spectrum: str


def show(request: Request) -> Response:
    """The map of the soundings and the patches; what takes longer is fetched after it."""
    survey = survey_of(request)
    empty: Filled[Recording] = Filled(texts=_first_texts(survey), body=None, problems=_NONE)
    return _page(request, survey, empty)


def coverage(request: Request) -> Response:
    """How small a patch the soundings would have met, zone by zone."""
    survey = survey_of(request)
    of = worked(desk_of(request), survey)
    rows = [
        {
            "zone": zone_words((each.part, each.side, each.number)),
            "of": each,
            "across": measure(each.across_m, each.uncertainty_m, "m"),
        }
        for each in of.coverages
    ]
    sounded = [each for each in of.coverages if each.how == "sounded"]
    widest = max(sounded, key=lambda each: len(each.strikes), default=None)
    unsaid = [
        each
        for each in of.results
        if each.value is None and each.method.startswith("sounding.")
    ]  # fmt: skip
    shown = {"rows": rows, "drawn": detectability(widest) if widest else "", "unsaid": unsaid}
    return _part(
        request, survey, "_coverage.html", "How small a patch would have been met", **shown
    )


def strikes(request: Request) -> Response:
    """The recorded strikes beside their references, each with its spectrum."""
    survey = survey_of(request)
    of = worked(desk_of(request), survey)
    shown = {
        "strikes": of.once("struck", lambda: _struck(of)),
        "suggests": SUGGESTS,
        "caution": DEFER,
    }
    return _part(request, survey, "_strikes.html", "Recorded strikes", **shown)


def sound(request: Request) -> Response:
    """The sound of a strike, to be listened to."""
    survey = survey_of(request)
    entry = survey.by_id.get(request.path_params["entry"])
    if entry is None or not isinstance(entry.body, Recording):
        raise HTTPException(404, "There is no such recording in this survey.")
    return Response(
        desk_of(request).blobs.read(entry.body.sha256),
        media_type="audio/wav",
        headers={"cache-control": "private, max-age=31536000, immutable"},
    )


async def record(request: Request) -> Response:
    """Keep a recorded strike with its sound."""
    async with request.form(max_files=1) as form:
        texts = texts_in(form)
        file = form.get("sound")
        raw, name = b"", ""
        if isinstance(file, UploadFile) and file.filename:
            raw, name = await file.read(MOST_BYTES + 1), file.filename
    return carried(request, await run_in_threadpool(_recorded, request, texts, raw, name))


def _recorded(request: Request, form: Texts, raw: bytes, name: str) -> Response:
    survey, desk = survey_of(request), desk_of(request)
    wrong = _wrong_with(raw)
    # Its hash is known once it is kept; until then another of its length stands for it.
    known = {"file": _file_name(name, survey), "sha256": "0" * 64}
    sent = filled(Recording, form, desk.zone, known)
    if wrong or sent.body is None:
        problems = {**sent.problems, **({"sound": wrong} if wrong else {})}
        return _page(request, survey, Filled(texts=form, body=None, problems=problems), status=422)
    blob = desk.blobs.put([raw], limit_bytes=MOST_BYTES)
    try:
        in_turn(_keep_once)(request, form, blob.sha256, name)
    except Refused as refused:
        return _page(request, survey, sent, refused.problems, status=422)
    return see(f"/s/{survey.id}/soundings#recorded")


def _keep_once(request: Request, form: Texts, sha256: str, name: str) -> None:
    """Keep a strike; one sound is evidence of one.

    Raises:
        Refused: It is here already, or makes no sense.
    """
    survey = survey_of(request)
    for each in survey.bodies(Recording):
        if each.sha256 == sha256:
            raise Refused([Problem(where="sound", what=f"this strike is here already, as {each.file}", do="Choose the file of another")])  # fmt: skip
    known = {"file": _file_name(name, survey), "sha256": sha256}
    keep(request, survey.id, filled(Recording, form, desk_of(request).zone, known).body)


def _wrong_with(raw: bytes) -> str:
    """Why a file is no strike that can be compared; empty where it is one."""
    if not raw:
        return "Choose the file of the strike."
    if len(raw) > MOST_BYTES:
        return "This file is too large for the sound of one strike; cut the strike out."
    try:
        samples_of(raw)
    except ValueError as problem:
        return str(problem)
    return ""


def _file_name(name: str, survey: Survey) -> str:
    """The name of a file without folders, told apart from those that are kept already."""
    bare = name.replace("\\", "/").rpartition("/")[2] or "strike.wav"
    taken = {each.file for each in survey.bodies(Recording)}
    stem, dot, end = bare.rpartition(".") if "." in bare else (bare, "", "")
    number = 2
    while bare in taken:
        bare = f"{stem}-{number}{dot}{end}"
        number += 1
    return bare


def _first_texts(survey: Survey) -> dict[str, str]:
    """What most likely holds of the next strike: the hammer and the part of the one before."""
    last = survey.last(Recording)
    if last is None:
        return {"unprocessed": "no"}
    return {
        "place.part": last.place.part,
        "place.side": last.place.side or "",
        "hammer": last.hammer,
        "unprocessed": "yes" if last.unprocessed else "no",
    }


def _struck(of: Worked) -> tuple[Struck, ...]:
    beside = {each.used[0]: each for each in of.strikes}
    return tuple(
        Struck(
            entry=entry,
            where=located(entry.body.place),
            is_here=entry.body.sha256 in of.sounds,
            found=beside.get(entry.id),
            spectrum=_spectrum(beside.get(entry.id)),
        )
        for entry in sorted(of.survey.of(Recording), key=lambda each: each.body.reference)
    )


def _spectrum(of: RecordedStrike | None) -> str:
    if of is None or (of.found.strike is None and not of.found.references):
        return ""
    return strike_spectrum(of.found)


# The page


def _page(
    request: Request,
    survey: Survey,
    sent: Filled[Recording],
    problems: tuple[Problem, ...] = (),
    status: int = 200,
) -> Response:
    of = worked(desk_of(request), survey)
    heard = Counter(each.heard for each in survey.bodies(Sounding))
    recordings = survey.bodies(Recording)
    return survey_page(
        request,
        survey,
        "readings",
        "soundings.html",
        status=status,
        heading="Soundings",
        section="soundings",
        heard=[(each, heard[each]) for each in _HEARD if heard[each]],
        total=sum(heard.values()),
        view=_view(of),
        patches=[(zone_words((e.part, e.side, e.number)), e) for e in of.patches],
        edge=EDGE,
        recordings=len(recordings),
        references=sum(each.reference for each in recordings),
        fewest=FEWEST_REFERENCES,
        fields=fields_of(Recording, sent.texts, sent.problems, leave_out=_BY_ITSELF),
        sound_problem=sent.problems.get("sound", ""),
        is_wrong=status != 200,
        problems=problems,
        parts=part_choices(survey),
    )


def _view(of: Worked) -> View | None:
    struck = of.survey.bodies(Sounding)
    if not any(e.place.station_m is not None and e.place.level_m is not None for e in struck):
        return None
    try:
        hull = hull_for(of.survey)
    except ValueError:
        return None
    return of.once("soundings", lambda: soundings_view(hull, struck, of.patches))


def _part(request: Request, survey: Survey, part: str, heading: str, **shown: Any) -> Response:
    """A part of the page for one that fetches it, else a page of its own."""
    if request.headers.get("hx-request"):
        return page(request, part, survey=survey, **shown)
    return survey_page(request, survey, "readings", "of_readings.html", heading=heading, section="soundings", part=part, **shown)  # fmt: skip


ROUTES = (
    Route("/s/{survey}/soundings", show),
    Route("/s/{survey}/soundings", record, methods=["POST"]),
    Route("/s/{survey}/soundings/coverage", coverage),
    Route("/s/{survey}/soundings/strikes", strikes),
    Route("/s/{survey}/soundings/{entry}/sound", sound),
)

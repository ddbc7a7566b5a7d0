"""Dossiers taken into a desk and handed out of it again.

Raises:
    Refused: A dossier is wrong, or the survey or one of its files is not here; nothing was kept by halves.
"""

from collections.abc import Callable, Iterator, Mapping
from datetime import tzinfo
from pathlib import Path

from garboard.desk.context import Desk
from garboard.dossier.envelope import Voice
from garboard.dossier.read import read_dossier
from garboard.dossier.write import write_dossier
from garboard.notebook.body import Memo, Photo, Recording
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Problem, Refused

_PIECE_BYTES = 1 << 20

Progress = Callable[[str, float], object]


def take_in(desk: Desk, folder: Path, progress: Progress = lambda *_: None) -> str:
    """Keep everything a dossier says, its files first, and give the survey's id; again does no harm.

    Args:
        desk: The desk.
        folder: The dossier.
        progress: Told in words what is being done, and what share of it is.
    """
    progress("Reading the survey", 0.1)
    dossier = read_dossier(folder, desk.now())
    count = len(dossier.files)
    for number, (sha256, path) in enumerate(dossier.files.items(), 1):
        progress(f"Keeping photograph or sound {number} of {count}", 0.2 + 0.7 * number / count)
        if desk.blobs.find(sha256) is None:
            desk.blobs.put(_pieces(path))
    progress("Keeping the entries", 0.9)
    desk.surveys.add(dossier.entries)
    return dossier.voice.survey


def hand_out(desk: Desk, survey_id: str, folder: Path) -> None:
    """Write a survey as a dossier, with its photographs and sounds.

    Raises:
        FileExistsError: The folder is there already.
    """
    survey = desk.surveys.get(survey_id)
    if survey is None:
        raise Refused(
            [
                Problem(
                    where=survey_id,
                    what="there is no such survey here",
                    do="Copy its id from the address of its pages",
                )
            ]
        )
    write_dossier(survey.entries, folder, voice_of(survey, desk.zone), files_of(desk, survey))


def voice_of(survey: Survey, zone: tzinfo) -> Voice:
    """The author, device and time that the dossier of a survey states once."""
    first = survey.entries[0]
    return Voice(
        survey=survey.id, author=first.author, device=first.device, at=first.at.astimezone(zone)
    )


def files_of(desk: Desk, survey: Survey) -> Mapping[str, Path]:
    """Where the originals of a survey lie, by SHA-256; those that have not arrived are left out."""
    bodies = (each.body for each in survey.entries)
    wanted = dict.fromkeys(each.sha256 for each in bodies if isinstance(each, Photo | Memo | Recording))  # fmt: skip
    missing = set(desk.blobs.missing(tuple(wanted)))
    return {each: desk.blobs.path(each) for each in wanted if each not in missing}


def _pieces(path: Path) -> Iterator[bytes]:
    with path.open("rb") as file:
        while piece := file.read(_PIECE_BYTES):
            yield piece

"""A dossier in one ZIP file, as it is sent from one computer to another."""

import zlib
from lzma import LZMAError
from pathlib import Path, PurePosixPath
from zipfile import ZIP_DEFLATED, BadZipFile, ZipFile, ZipInfo

from garboard.dossier.layout import SURVEY_TOML
from garboard.notebook.problem import Problem, Refused

MOST_FILES = 20_000
MOST_BYTES = 8 * 2**30
"""The most a dossier may hold, unpacked."""

# What some computers add to every folder they pack.
_ADDED = "__MACOSX/"
# Photographs and sounds are compressed already.
_LEVEL = 1
# Beside what a ZIP file itself can be wrong in: names the disk does not take, and a disk that is full.
# Of a compression it does not know zipfile raises NotImplementedError.
_DAMAGED = (
    BadZipFile, NotImplementedError, RuntimeError, EOFError, zlib.error, LZMAError, UnicodeError, OSError,
)  # fmt: skip


def unpack(file: Path, into: Path) -> Path:
    """Unpack a dossier and give the folder of it that holds the survey.

    Args:
        file: The ZIP file.
        into: An empty folder.

    Raises:
        Refused: It is no ZIP file, is damaged, locked or too large, holds no dossier, or names a file outside it.
    """
    try:
        with ZipFile(file) as packed:
            held = [each for each in packed.infolist() if not each.filename.startswith(_ADDED)]
            _proved(held)
            packed.extractall(into, held)
    except _DAMAGED as error:
        raise _refused(f"it cannot be unpacked ({error})", "Pack the folder again, without a password") from error  # fmt: skip
    found = sorted(into.rglob(SURVEY_TOML), key=lambda each: len(each.parts))
    if not found:
        raise _refused(f"there is no {SURVEY_TOML} in it", "Pack the whole folder of a survey")
    if len(found) > 1:
        raise _refused(f"there are {len(found)} surveys in it", "Pack each in a file of its own")
    return found[0].parent


def pack(folder: Path, file: Path) -> None:
    """Pack a dossier under the name of its folder.

    Args:
        folder: The dossier.
        file: The ZIP file to write.
    """
    with ZipFile(file, "w", ZIP_DEFLATED, compresslevel=_LEVEL) as packed:
        for each in sorted(folder.rglob("*")):
            packed.write(each, Path(folder.name) / each.relative_to(folder))


def _proved(held: list[ZipInfo]) -> None:
    """Refuse what would fill the disk or leave the folder."""
    if len(held) > MOST_FILES or sum(each.file_size for each in held) > MOST_BYTES:
        raise _refused(
            f"it holds more than {MOST_FILES} files or {MOST_BYTES // 2**30} GB",
            "Take the folder in with the command garboard take-in",
        )
    for each in held:
        path = PurePosixPath(each.filename)
        if path.is_absolute() or ".." in path.parts:
            raise _refused(f'it names "{each.filename}", which lies outside it', "Pack the folder of the survey itself")  # fmt: skip


def _refused(what: str, do: str) -> Refused:
    return Refused([Problem(where="ZIP file", what=what, do=do)])

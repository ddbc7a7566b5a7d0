"""The photographs and sounds of a survey as what is published reads them: paths by SHA-256, each proved first."""

from collections.abc import Iterator, Mapping
from pathlib import Path

from garboard.desk.context import Desk
from garboard.notebook.body import Photo, Recording
from garboard.notebook.fold import Survey
from garboard.notebook.problem import Refused


class Originals(Mapping[str, Path]):
    """The originals of a survey that are kept here. A spoilt one is as one that is missing."""

    def __init__(self, desk: Desk, survey: Survey) -> None:
        """Find out which are here."""
        wanted = {each.sha256 for each in survey.bodies(Photo)}
        wanted |= {each.sha256 for each in survey.bodies(Recording)}
        self._blobs = desk.blobs
        self._names = sorted(wanted.difference(desk.blobs.missing(wanted)))

    def __getitem__(self, sha256: str) -> Path:
        """Where one lies."""
        try:
            return self._blobs.path(sha256)
        except Refused as refused:
            raise KeyError(sha256) from refused

    def __iter__(self) -> Iterator[str]:
        """The names of those that are here."""
        return iter(self._names)

    def __len__(self) -> int:
        """How many are here."""
        return len(self._names)

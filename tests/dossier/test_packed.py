"""A dossier packed and unpacked is the same; what is no dossier is refused before it does harm."""

from pathlib import Path
from zipfile import ZipFile

import pytest

from garboard.dossier.packed import MOST_FILES, pack, unpack
from garboard.notebook.problem import Refused


def zipped(at: Path, files: dict[str, bytes]) -> Path:
    with ZipFile(at / "sent.zip", "w") as packed:
        for name, content in files.items():
            packed.writestr(name, content)
    return at / "sent.zip"


def test_a_folder_packed_and_unpacked_is_the_same(tmp_path: Path) -> None:
    folder = tmp_path / "quillet"
    (folder / "photographs").mkdir(parents=True)
    (folder / "survey.toml").write_text("survey")
    (folder / "photographs" / "1.jpg").write_bytes(b"\xff\xd8\xff")

    pack(folder, tmp_path / "quillet.zip")
    found = unpack(tmp_path / "quillet.zip", tmp_path / "out")

    assert found.name == "quillet"
    assert (found / "survey.toml").read_text() == "survey"
    assert (found / "photographs" / "1.jpg").read_bytes() == b"\xff\xd8\xff"


def test_files_packed_without_their_folder_are_found(tmp_path: Path) -> None:
    sent = zipped(tmp_path, {"survey.toml": b"survey", "__MACOSX/._survey.toml": b"junk"})

    found = unpack(sent, tmp_path / "out")

    assert [each.name for each in found.iterdir()] == ["survey.toml"]


@pytest.mark.parametrize("name", ["../outside.toml", "/outside.toml", "a/../../outside.toml"])
def test_a_file_that_would_leave_the_folder_is_refused(tmp_path: Path, name: str) -> None:
    sent = zipped(tmp_path, {"survey.toml": b"survey", name: b"mine now"})

    with pytest.raises(Refused, match="outside"):
        unpack(sent, tmp_path / "out")
    assert sorted(each.name for each in tmp_path.iterdir()) == ["sent.zip"]


def test_too_many_files_are_refused_before_any_is_written(tmp_path: Path) -> None:
    sent = zipped(tmp_path, {f"{n}.txt": b"" for n in range(MOST_FILES + 1)})

    with pytest.raises(Refused, match="more than"):
        unpack(sent, tmp_path / "out")
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(("content", "said"), [(b"PK\x03\x04 and no more", "cannot be unpacked"), (b"", "cannot be unpacked")])  # fmt: skip
def test_what_is_no_zip_file_is_refused_in_words(tmp_path: Path, content: bytes, said: str) -> None:
    (tmp_path / "sent.zip").write_bytes(content)

    with pytest.raises(Refused, match=said):
        unpack(tmp_path / "sent.zip", tmp_path / "out")


def test_a_zip_without_a_survey_is_refused(tmp_path: Path) -> None:
    sent = zipped(tmp_path, {"holiday.txt": b"sun"})

    with pytest.raises(Refused, match=r"no survey\.toml"):
        unpack(sent, tmp_path / "out")


def test_two_surveys_in_one_file_are_refused(tmp_path: Path) -> None:
    sent = zipped(tmp_path, {"quillet/survey.toml": b"one", "harrowmere/survey.toml": b"two"})

    with pytest.raises(Refused, match="2 surveys"):
        unpack(sent, tmp_path / "out")


def test_names_that_no_disk_takes_are_refused_in_words(tmp_path: Path) -> None:
    sent = zipped(tmp_path, {"survey.toml": b"survey", "a": b"file", "a/b": b"below a file"})

    with pytest.raises(Refused, match="cannot be unpacked"):
        unpack(sent, tmp_path / "out")

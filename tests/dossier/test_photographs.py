"""Photographs come in untouched, whatever their format, and none is lost silently."""

import hashlib
from pathlib import Path

import pytest
from folder import picture, refusal, survey

from garboard.notebook.body import Crop, Mark, Photo


@pytest.mark.parametrize(
    ("kind", "name", "media_type"),
    [
        ("JPEG", "a.jpg", "image/jpeg"),
        ("PNG", "a.png", "image/png"),
        ("TIFF", "a.tif", "image/tiff"),
        ("HEIF", "a.heic", "image/heic"),
    ],
)
def test_each_format_is_known_by_its_bytes(tmp_path: Path, kind: str, name: str, media_type: str) -> None:  # fmt: skip
    import pillow_heif

    pillow_heif.register_heif_opener()
    original = picture(kind)
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / name).write_bytes(original)

    (photo,) = survey(tmp_path, photos__photos_csv=f"file,caption\n{name},Stem\n").bodies(Photo)

    assert (photo.media_type, photo.sha256) == (media_type, hashlib.sha256(original).hexdigest())


def test_a_row_without_its_photograph_is_refused(tmp_path: Path) -> None:
    said = refusal(tmp_path, photos__photos_csv="file,caption\ngone.jpg,Stem\n")

    assert 'photos/photos.csv:2 file: there is no file "gone.jpg" in photos/' in said


def test_a_photograph_outside_the_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "secret.jpg").write_bytes(picture())

    said = refusal(tmp_path, photos__photos_csv="file,caption\n../secret.jpg,Stem\n")

    assert 'there is no file "../secret.jpg" in photos/' in said


def test_a_file_that_is_no_photograph_is_refused(tmp_path: Path) -> None:
    said = refusal(
        tmp_path, photos__a_jpg=b"GIF89a", photos__photos_csv="file,caption\na.jpg,Stem\n"
    )

    assert '"a.jpg" is no photograph we can print' in said


def test_a_photograph_altered_since_it_was_listed_is_refused(tmp_path: Path) -> None:
    listed = "file,caption,sha256\na.jpg,Stem," + "0" * 64 + "\n"

    said = refusal(tmp_path, photos__a_jpg=picture(), photos__photos_csv=listed)

    assert '"a.jpg" has been altered since it was listed. Bring back the original' in said


def test_a_photograph_nobody_listed_comes_in_unprinted(tmp_path: Path) -> None:
    found = survey(tmp_path, photos__b_jpg=picture(), photos__a_jpg=picture(size=(32, 32)), photos__photos_csv="file,caption\nb.jpg,Stem\n")  # fmt: skip

    assert [(p.file, p.number, p.printed) for p in found.bodies(Photo)] == [
        ("b.jpg", 1, True),
        ("a.jpg", 2, False),
    ]


def test_the_camera_says_when_a_photograph_was_taken(tmp_path: Path) -> None:
    from PIL import Image

    exif = Image.Exif()
    exif.get_ifd(0x8769)[36867] = "2026:05:12 10:11:12"

    found = survey(tmp_path, photos__a_jpg=picture(exif=exif), photos__photos_csv="file,caption\na.jpg,Stem\n")  # fmt: skip

    taken = found.bodies(Photo)[0].taken
    assert taken is not None
    assert taken.isoformat() == "2026-05-12T10:11:12+01:00"


EDITED = "file,caption,crop,marks\na.jpg,Stem,{crop},{marks}\n"


def test_what_is_cropped_and_marked_is_read_from_one_cell_each(tmp_path: Path) -> None:
    table = EDITED.format(crop="0.1 0 .9 1", marks="arrow 0.2 0.8 0.45 0.5; blur 0.7 0.1 0.9 0.2")

    found = survey(tmp_path, photos__a_jpg=picture(), photos__photos_csv=table)

    (photo,) = found.bodies(Photo)
    assert photo.crop == Crop(left=0.1, top=0, right=0.9, bottom=1)
    assert photo.marks == (
        Mark(sort="arrow", from_x=0.2, from_y=0.8, to_x=0.45, to_y=0.5),
        Mark(sort="blur", from_x=0.7, from_y=0.1, to_x=0.9, to_y=0.2),
    )


@pytest.mark.parametrize(
    ("crop", "marks", "words"),
    [
        ("0.1 0.2 0.3", "", "crop: \"0.1 0.2 0.3\" does not give 4 values. Write left, top, right, bottom"),
        ("0.1 0 wide 1", "", 'crop right: "wide" is not a number'),
        ("0.1 0 1.2 1", "", "crop right: 1.2 cannot be"),
        ("0.5 0 0.5 1", "", "less than a fiftieth of the picture would be left"),
        ("", "cross 0 0 1 1", 'marks[1] sort: "cross" is not one of the choices'),
        ("", "circle 0.5 0.5 0.5 0.5", "the circle begins and ends at one point"),
    ],
)  # fmt: skip
def test_a_crop_or_mark_that_makes_no_sense_is_named(
    tmp_path: Path, crop: str, marks: str, words: str
) -> None:
    table = EDITED.format(crop=crop, marks=marks)

    said = refusal(tmp_path, photos__a_jpg=picture(), photos__photos_csv=table)

    assert words in said
    assert said.count("\n") == 0

import hashlib
import io
import struct
import zlib
from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest
import simplejpeg
from numpy.typing import NDArray
from PIL import Image, ImageCms

from garboard.notebook.body import Crop, Mark
from garboard.report.copies import SLOT_PX, Copy, copies, print_copy
from garboard.report.document import Document, Pictures
from garboard.report.edits import Edits

CORNERS = ((250, 20, 20), (20, 250, 20), (20, 20, 250), (240, 240, 20))


def four_corners(width: int = 800, height: int = 600) -> Image.Image:
    """Red, green, blue and yellow quarters, read like a page."""
    picture = Image.new("RGB", (width, height))
    for place, colour in enumerate(CORNERS):
        x, y = place % 2 * width // 2, place // 2 * height // 2
        picture.paste(colour, (x, y, x + width // 2, y + height // 2))
    return picture


def coded(picture: Image.Image, kind: str = "JPEG", **options: object) -> bytes:
    held = io.BytesIO()
    picture.save(held, kind, **options)
    return held.getvalue()


def with_orientation(picture: Image.Image, orientation: int) -> bytes:
    exif = Image.Exif()
    exif[0x0112] = orientation
    return coded(picture, exif=exif, quality=95, subsampling=0)


def seen(copy: Copy) -> NDArray[np.uint8]:
    pixels: NDArray[np.uint8] = simplejpeg.decode_jpeg(copy.jpeg)
    return pixels


def corners_of(copy: Copy) -> tuple[tuple[int, ...], ...]:
    pixels = seen(copy)
    height, width = pixels.shape[:2]
    centres = [(y, x) for y in (height // 4, height * 3 // 4) for x in (width // 4, width * 3 // 4)]
    return tuple(tuple(map(int, pixels[centre])) for centre in centres)


def is_near(one: tuple[int, ...], other: tuple[int, ...], by: int = 16) -> bool:
    return all(abs(a - b) <= by for a, b in zip(one, other, strict=True))


TURNED = {
    1: lambda picture: picture,
    2: lambda picture: picture.transpose(Image.Transpose.FLIP_LEFT_RIGHT),
    3: lambda picture: picture.transpose(Image.Transpose.ROTATE_180),
    4: lambda picture: picture.transpose(Image.Transpose.FLIP_TOP_BOTTOM),
    5: lambda picture: picture.transpose(Image.Transpose.TRANSPOSE),
    6: lambda picture: picture.transpose(Image.Transpose.ROTATE_90),
    7: lambda picture: picture.transpose(Image.Transpose.TRANSVERSE),
    8: lambda picture: picture.transpose(Image.Transpose.ROTATE_270),
}


@pytest.mark.parametrize("orientation", sorted(TURNED))
def test_a_photograph_stands_upright_whichever_way_the_camera_was_held(orientation: int) -> None:
    stored = TURNED[orientation](four_corners())

    copy = print_copy(with_orientation(stored, orientation), name="Photo 1", long_edge_px=400)

    assert (copy.width_px, copy.height_px) == (400, 300)
    assert all(is_near(*pair) for pair in zip(corners_of(copy), CORNERS, strict=True))


def test_nothing_but_the_picture_is_left_in_a_copy(photos: Mapping[str, bytes]) -> None:
    original = next(iter(photos.values()))
    assert b"SERIAL-0417" in original

    copy = print_copy(original, name="Photo 1", long_edge_px=1000)

    opened = Image.open(io.BytesIO(copy.jpeg))
    assert dict(opened.getexif()) == {}
    assert set(opened.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert b"SERIAL-0417" not in copy.jpeg
    assert b"Exif" not in copy.jpeg


@pytest.mark.parametrize("across", sorted(SLOT_PX))
def test_the_long_edge_is_what_the_slot_needs(across: int, photos: Mapping[str, bytes]) -> None:
    landscape, _, portrait, *_ = photos.values()
    long_edge_px = SLOT_PX[across]  # type: ignore[index]

    copies_made = [
        print_copy(each, name="Photo", long_edge_px=long_edge_px) for each in (landscape, portrait)
    ]

    assert [max(copy.width_px, copy.height_px) for copy in copies_made] == [long_edge_px] * 2


def test_a_small_photograph_is_not_enlarged() -> None:
    copy = print_copy(coded(four_corners(320, 240)), name="Photo 1", long_edge_px=1600)

    assert (copy.width_px, copy.height_px) == (320, 240)


@pytest.mark.parametrize(
    ("kind", "mode"),
    [
        ("PNG", "RGB"),
        ("PNG", "P"),
        ("TIFF", "RGB"),
        ("TIFF", "CMYK"),
        ("WEBP", "RGB"),
        ("HEIF", "RGB"),
        ("JPEG", "CMYK"),
    ],
)
def test_every_kind_a_camera_or_scanner_writes_can_be_shown(kind: str, mode: str) -> None:
    original = coded(four_corners().convert(mode), kind)

    copy = print_copy(original, name="Photo 1", long_edge_px=400)

    assert copy.problem is None
    # CMYK without a profile is only roughly what it was.
    near = 60 if mode == "CMYK" else 24
    assert all(is_near(*pair, near) for pair in zip(corners_of(copy), CORNERS, strict=True))


def test_a_phones_turned_heic_stands_upright() -> None:
    exif = Image.Exif()
    exif[0x0112] = 6
    original = coded(TURNED[6](four_corners()), "HEIF", exif=exif.tobytes())

    copy = print_copy(original, name="Photo 1", long_edge_px=400)

    assert (copy.width_px, copy.height_px) == (400, 300)
    assert all(is_near(*pair, 24) for pair in zip(corners_of(copy), CORNERS, strict=True))


def test_what_is_transparent_is_white() -> None:
    copy = print_copy(
        coded(Image.new("RGBA", (80, 60), (0, 0, 0, 0)), "PNG"), name="Photo 1", long_edge_px=80
    )

    assert seen(copy).min() >= 250


def test_sixteen_bits_become_eight() -> None:
    deep = Image.fromarray(np.full((60, 80), 0x8000, dtype=np.uint16))

    copy = print_copy(coded(deep, "PNG"), name="Photo 1", long_edge_px=80)

    assert abs(int(seen(copy).mean()) - 0x80) <= 2


def test_colours_of_a_wider_space_are_converted_to_srgb() -> None:
    original = coded(Image.new("RGB", (80, 60), (120, 200, 80)), icc_profile=swapped_profile())

    copy = print_copy(original, name="Photo 1", long_edge_px=80)

    assert is_near(corners_of(copy)[0], (200, 120, 80), 6)


def swapped_profile() -> bytes:
    """sRGB with its red and green primaries exchanged: a space in which a mistake is plain to see."""
    profile = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    count = struct.unpack_from(">I", profile, 128)[0]
    at = {bytes(profile[p : p + 4]): p for p in range(132, 132 + 12 * count, 12)}
    red, green = at[b"rXYZ"], at[b"gXYZ"]
    profile[red + 4 : red + 12], profile[green + 4 : green + 12] = (
        profile[green + 4 : green + 12],
        profile[red + 4 : red + 12],
    )
    return bytes(profile)


def test_a_profile_that_cannot_be_read_does_not_cost_the_photograph() -> None:
    original = coded(four_corners(), icc_profile=b"not a profile at all")

    copy = print_copy(original, name="Photo 1", long_edge_px=400)

    assert copy.problem is None
    assert is_near(corners_of(copy)[0], CORNERS[0])


def a_damaged(place: int) -> bytes:
    whole = coded(four_corners(), quality=95)
    png = coded(four_corners(), "PNG", compress_level=0)
    return (
        whole[: len(whole) // 2],
        whole[: len(whole) // 2] + b"\xff\xd9",
        b"",
        b"not a picture",
        png[: len(png) // 2],
        coded(four_corners(), "HEIF")[:900],
    )[place]


@pytest.mark.parametrize("place", range(6))
def test_a_damaged_original_is_named_and_leaves_a_placeholder(place: int) -> None:
    copy = print_copy(a_damaged(place), name="Photo 12", long_edge_px=700)

    assert copy.problem is not None
    assert copy.problem.where == "Photo 12"
    assert "damaged" in copy.problem.what
    assert copy.problem.do
    assert seen(copy).shape == (525, 700, 3)
    assert seen(copy).min() < 90  # there are words on it


def test_harmless_bytes_between_the_parts_of_a_jpeg_do_not_cost_the_photograph() -> None:
    whole = coded(four_corners())
    scan = whole.find(b"\xff\xda")

    copy = print_copy(whole[:scan] + b"abc" + whole[scan:], name="Photo 1", long_edge_px=400)

    assert copy.problem is None
    assert is_near(corners_of(copy)[0], CORNERS[0])


def bomb(width: int, height: int) -> bytes:
    """A PNG whose header claims a size that nobody wrote."""
    size = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)

    def part(kind: bytes, held: bytes) -> bytes:
        return (
            struct.pack(">I", len(held)) + kind + held + struct.pack(">I", zlib.crc32(kind + held))
        )

    return (
        b"\x89PNG\r\n\x1a\n"
        + part(b"IHDR", size)
        + part(b"IDAT", zlib.compress(b""))
        + part(b"IEND", b"")
    )


def test_a_picture_of_too_many_pixels_is_refused_by_its_header() -> None:
    copy = print_copy(bomb(20_000, 20_000), name="Photo 3", long_edge_px=700)

    assert copy.problem is not None
    assert "20000 by 20000 pixels" in copy.problem.what


def test_a_kind_of_file_that_runs_other_programs_is_not_opened() -> None:
    postscript = b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 10 10\n%%EndComments\nshowpage\n"

    copy = print_copy(postscript, name="Photo 4", long_edge_px=700)

    assert copy.problem is not None


def test_an_original_that_is_not_there_leaves_a_placeholder(document: Document) -> None:
    def nothing(sha256: str) -> bytes:
        raise FileNotFoundError(sha256)

    made = dict(copies(document, nothing))

    assert len(made) == 5
    assert all(copy.problem and "not there" in copy.problem.what for copy in made.values())


def test_a_photograph_shown_twice_is_copied_once_for_its_widest_slot(
    document: Document, photos: Mapping[str, bytes]
) -> None:
    made = list(copies(document, photos.__getitem__))

    assert [sha256 for sha256, _ in made] == list(dict.fromkeys(sha256 for sha256, _ in made))
    cover = document.cover
    assert cover is not None
    assert dict(made)[cover.sha256].width_px == 1600


def test_originals_are_left_as_they_were(document: Document, photos: Mapping[str, bytes]) -> None:
    list(copies(document, photos.__getitem__))

    assert all(hashlib.sha256(held).hexdigest() == sha256 for sha256, held in photos.items())


RIGHT_HALF = Crop(left=0.5, top=0, right=1, bottom=1)


def edited(
    original: bytes, *marks: Mark, crop: Crop | None = None, long_edge_px: int = 400
) -> Copy:
    copy = print_copy(original, name="Photo 1", long_edge_px=long_edge_px, edits=Edits(crop=crop, marks=marks))  # fmt: skip
    assert copy.problem is None
    return copy


@pytest.mark.parametrize("orientation", sorted(TURNED))
def test_a_crop_is_that_of_the_upright_picture_at_full_resolution(orientation: int) -> None:
    original = with_orientation(TURNED[orientation](four_corners()), orientation)

    copy = edited(original, crop=RIGHT_HALF, long_edge_px=600)

    assert (copy.width_px, copy.height_px) == (400, 600)
    green, yellow = CORNERS[1], CORNERS[3]
    found = corners_of(copy)
    assert all(is_near(*pair) for pair in zip(found, (green, green, yellow, yellow), strict=True))


def test_an_edge_of_a_pixel_is_the_least_a_crop_leaves() -> None:
    copy = edited(coded(four_corners(40, 30)), crop=Crop(left=0.98, top=0.98, right=1, bottom=1))

    assert (copy.width_px, copy.height_px) == (1, 1)


@pytest.mark.parametrize("grey", [0, 128, 255])
@pytest.mark.parametrize("sort", ["arrow", "circle"])
def test_a_mark_stands_out_in_black_and_white_from_any_ground(sort: str, grey: int) -> None:
    ground = coded(Image.new("L", (800, 600), grey))
    mark = Mark(sort=sort, from_x=0.25, from_y=0.25, to_x=0.75, to_y=0.75)  # type: ignore[arg-type]

    on_it = seen(edited(ground, mark, long_edge_px=700)).mean(axis=2)

    middle_row = on_it[on_it.shape[0] // 2]
    assert middle_row.min() < 60
    assert middle_row.max() > 220
    assert abs(on_it[4, 4] - grey) < 8


def test_an_arrow_points_at_its_second_end() -> None:
    mark = Mark(sort="arrow", from_x=0.1, from_y=0.5, to_x=0.6, to_y=0.5)

    dark = seen(edited(coded(Image.new("L", (800, 600), 255)), mark, long_edge_px=800)).mean(axis=2) < 120  # fmt: skip

    thick = dark.sum(axis=0)
    assert thick[: int(0.09 * 800)].sum() == thick[int(0.61 * 800) :].sum() == 0
    assert thick[int(0.57 * 800) :].max() > 2 * thick[int(0.3 * 800)]


def test_a_mark_keeps_its_place_on_a_cropped_copy() -> None:
    blur = Mark(sort="blur", from_x=0.75, from_y=0, to_x=1, to_y=0.5)
    halves = Image.new("L", (800, 600), 255)
    for x in range(0, 800, 4):
        halves.paste(0, (x, 0, x + 2, 600))

    lines = seen(edited(coded(halves, quality=95), blur, crop=RIGHT_HALF)).mean(axis=2)

    height, width = lines.shape
    assert lines[: height // 2 - 2, width // 2 + 2 :].std() < 12
    assert lines[height // 2 + 2 :].std() > 40
    assert lines[: height // 2, : width // 2 - 2].std() > 40


def test_no_more_than_sixteen_averages_are_left_of_what_is_blurred() -> None:
    """Two pictures that differ in the box, with one average in each cell, give one and the same copy."""
    rng = np.random.default_rng(7)
    noise = rng.integers(0, 256, (400, 400), dtype=np.uint8)
    mirrored = np.block([[noise[y : y + 100, x : x + 100][::-1, ::-1] for x in range(0, 400, 100)] for y in range(0, 400, 100)])  # fmt: skip
    whole = Mark(sort="blur", from_x=0, from_y=0, to_x=1, to_y=1)

    one, other = (seen(edited(coded(Image.fromarray(each), "PNG"), whole)) for each in (noise, mirrored))  # fmt: skip

    assert not np.array_equal(noise, mirrored)
    assert np.array_equal(one, other)


def test_a_mark_beyond_the_crop_leaves_the_copy_as_it_was() -> None:
    original = coded(four_corners())
    far = [Mark(sort=sort, from_x=0.05, from_y=0.1, to_x=0.2, to_y=0.3) for sort in ("arrow", "circle", "blur")]  # fmt: skip

    assert edited(original, *far, crop=RIGHT_HALF).jpeg == edited(original, crop=RIGHT_HALF).jpeg


def test_two_pictures_of_one_original_are_each_copied_in_their_own_way(
    document: Document, photos: Mapping[str, bytes]
) -> None:
    block = next(each for each in document.blocks if isinstance(each, Pictures))
    plain = block.pictures[0]
    close = replace(plain, edits=Edits(crop=RIGHT_HALF), label="")
    both = replace(document, cover=None, blocks=(replace(block, pictures=(plain, close)),))

    made = dict(copies(both, photos.__getitem__))

    assert set(made) == {plain.copy, close.copy}
    assert plain.copy == plain.sha256
    assert made[close.copy].width_px < made[plain.copy].width_px


def test_what_was_done_to_a_copy_is_said() -> None:
    arrow, blur = (Mark(sort=sort, from_x=0, from_y=0, to_x=1, to_y=1) for sort in ("arrow", "blur"))  # fmt: skip

    assert Edits().said == ""
    assert Edits(marks=(blur, arrow)).said == "marked with an arrow, blurred in one place"
    assert Edits(crop=RIGHT_HALF, marks=(blur, blur)).said == "cropped, blurred in 2 places"

"""What is measured on a photograph's copy."""

import io

import numpy as np
import pytest
from PIL import Image, ImageFilter

from garboard.judgement.looks import BLURRED, Days, Look, doubts
from garboard.notebook.body import Photo
from garboard.report.looks import LOOK_PX, look_at

PHOTO = Photo(number=1, file="a.jpg", sha256="0", media_type="image/jpeg", caption="")


def scene(seed: int = 1, size: tuple[int, int] = (1600, 1200)) -> Image.Image:
    """Grey shapes with sharp edges over a smooth ground, as a part before a hull."""
    rng = np.random.default_rng(seed)
    ground = Image.fromarray((rng.random((3, 4)) * 80 + 90).astype(np.uint8))
    picture = ground.resize(size, Image.Resampling.BICUBIC)
    for _ in range(12):
        x, y = (int(rng.integers(0, side - 80)) for side in size)
        picture.paste(int(rng.integers(30, 220)), (x, y, x + 60, y + 40))
    return picture.convert("RGB")


def coded(picture: Image.Image, kind: str = "JPEG", **options: object) -> bytes:
    held = io.BytesIO()
    picture.save(held, kind, **options)
    return held.getvalue()


def words(look: Look) -> list[str]:
    return [each for each in doubts(PHOTO, look, Days()) if "time" not in each]


def bits_apart(one: Look, other: Look) -> int:
    return (int(one.pattern, 16) ^ int(other.pattern, 16)).bit_count()


def test_a_sharp_photograph_is_not_doubted() -> None:
    look = look_at(coded(scene()))

    assert words(look) == []
    assert (look.width_px, look.height_px) == (LOOK_PX, LOOK_PX * 3 // 4)


def test_a_blurred_photograph_is_doubted() -> None:
    look = look_at(coded(scene().filter(ImageFilter.GaussianBlur(6))))

    assert look.sharpness < BLURRED
    assert words(look) == ["it looks out of focus or shaken"]


def test_a_sharp_detail_before_a_smooth_hull_counts_as_sharp() -> None:
    hull = Image.new("RGB", (1600, 1200), (150, 150, 150))
    hull.paste((40, 40, 40), (700, 500, 780, 560))

    assert words(look_at(coded(hull))) == []


@pytest.mark.parametrize(
    ("grey", "said"),
    [(3, "most of it is too dark to show anything"), (254, "much of it is burnt out to white")],
)
def test_what_is_clipped_is_doubted(grey: int, said: str) -> None:
    picture = scene()
    picture.paste((grey, grey, grey), (0, 0, 1600, 900))

    assert words(look_at(coded(picture))) == [said]


def test_the_same_scene_twice_is_nearly_the_same_and_another_is_not() -> None:
    once = look_at(coded(scene()))
    brighter = scene().crop((16, 12, 1600, 1200)).point(lambda value: min(255, int(value * 1.15)))

    assert bits_apart(once, look_at(coded(brighter))) <= 6
    assert bits_apart(once, look_at(coded(scene(seed=9)))) > 12


def test_the_camera_is_named_as_its_file_names_it() -> None:
    exif = Image.Exif()
    exif[0x010F], exif[0x0110] = "Invented \x00", "Near\n2"

    assert look_at(coded(scene(), exif=exif)).camera == "Invented Near 2"
    assert look_at(coded(scene(), "PNG")).camera == ""


@pytest.mark.parametrize(
    "original", [b"", b"\xff\xd8\xff\xe0 no picture", coded(scene())[:4000]], ids=["empty", "none", "cut"]
)  # fmt: skip
def test_what_cannot_be_shown_is_said_and_not_measured(original: bytes) -> None:
    look = look_at(original)

    assert "damaged" in look.problem
    assert (look.pattern, look.sharpness) == ("", 0.0)


@pytest.mark.parametrize("size", [(1, 60_000), (60_000, 1), (1, 1)])
def test_a_picture_of_any_shape_is_measured(size: tuple[int, int]) -> None:
    look = look_at(coded(Image.new("RGB", size, "grey")))

    assert look.problem == ""
    assert len(look.pattern) == 16

"""A photograph is measured on the phone as at the desk, so that both doubt the same ones."""

import base64
import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from browser.conftest import DEMO
from PIL import Image, ImageEnhance, ImageFilter
from playwright.sync_api import Page

from garboard.judgement.looks import BLURRED
from garboard.report.looks import look_at

MEASURED = """async (given) => {
  const { lookAt } = await import("/yard/sharpness.js")
  const bytes = Uint8Array.from(atob(given), (letter) => letter.charCodeAt(0))
  return lookAt(new Blob([bytes], { type: "image/jpeg" }))
}"""
CHANGES: dict[str, Callable[[Image.Image], Image.Image]] = {
    "as it is": lambda picture: picture,
    "blurred": lambda picture: picture.filter(ImageFilter.GaussianBlur(6)),
    "dark": lambda picture: ImageEnhance.Brightness(picture).enhance(0.05),
    "burnt": lambda picture: ImageEnhance.Brightness(picture).enhance(3),
    "large": lambda picture: picture.resize((picture.width * 2, picture.height * 2)),
}


def pictured(path: Path, change: str) -> bytes:
    with Image.open(path) as opened:
        changed = CHANGES[change](opened.convert("RGB"))
    held = io.BytesIO()
    changed.save(held, "JPEG", quality=90)
    return held.getvalue()


def test_a_photograph_is_measured_on_the_phone_as_at_the_desk(
    open_page: Callable[..., Page],
) -> None:
    page = open_page("/yard/")
    photo = DEMO / "quillet" / "photos" / "anchor-chain.jpg"
    pictures = {change: pictured(photo, change) for change in CHANGES}

    found: dict[str, Any] = {
        change: page.evaluate(MEASURED, base64.b64encode(each).decode())
        for change, each in pictures.items()
    }

    for change, each in pictures.items():
        look, here = look_at(each), found[change]
        # The desk measures a copy that was made a JPEG once more: its blocks tell where nothing else does.
        assert here["sharpness"] == pytest.approx(look.sharpness, rel=0.2, abs=BLURRED / 3), change
        assert (here["sharpness"] < BLURRED) == (look.sharpness < BLURRED), change
        assert here["dark"] == pytest.approx(look.dark_share, abs=0.05), change
        assert here["burnt"] == pytest.approx(look.burnt_share, abs=0.05), change

"""The typefaces of a report: IBM Plex Serif for reading, IBM Plex Sans for everything beside it."""

import base64
import io
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path

from fontTools import subset
from fontTools.ttLib import TTFont
from fontTools.varLib import instancer

_SERIF_STYLES = ("Regular", "Italic", "SemiBold", "SemiBoldItalic")

SERIF_FOLDER = Path(str(files("fontpkg_ibm_plex_serif") / "files"))
SANS_FOLDER = Path(str(files("fontpkg_ibm_plex_sans") / "files"))
SANS = SANS_FOLDER / "IBMPlexSans[wdth,wght].ttf"

# Latin letters, punctuation, signs of measure and arrows: what a report is written in.
_WEB = (*range(0x20, 0x180), *range(0x2010, 0x2030), *range(0x2030, 0x203B), 0x20AC, 0x2122, 0x2126,
        *range(0x2190, 0x2194), 0x2212, 0x2248, 0x2260, 0x2264, 0x2265, 0x3A9, 0x3BC)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class WebFace:
    """A typeface inside a page; `weight` is one weight or a range, `source` a data URI."""

    family: str
    style: str
    weight: str
    source: str


@cache
def web_faces() -> tuple[WebFace, ...]:
    """The typefaces as a page carries them: the letters a report is written in, and no more."""
    serif = "IBM Plex Serif"
    sans = instancer.instantiateVariableFont(_cut(SANS), {"wdth": 100, "wght": (400, 600)})
    return (
        _web_face(_cut(_serif("Regular")), serif, "normal", "400"),
        _web_face(_cut(_serif("Italic")), serif, "italic", "400"),
        _web_face(_cut(_serif("SemiBold")), serif, "normal", "600"),
        _web_face(sans, "IBM Plex Sans", "normal", "400 600"),
    )


@cache
def glyphs() -> frozenset[int]:
    """The code points that can be set in every style used, in the one typeface or the other."""
    serif = (_serif(style) for style in _SERIF_STYLES)
    sans = (SANS, SANS_FOLDER / "IBMPlexSans-Italic[wdth,wght].ttf")
    return _in_all(serif) | _in_all(sans)


def _in_all(fonts: Iterable[Path]) -> frozenset[int]:
    return frozenset.intersection(*(frozenset(_cmap(font)) for font in fonts))


def _cmap(font: Path) -> dict[int, str]:
    with TTFont(font, lazy=True) as opened:
        cmap: dict[int, str] = opened.getBestCmap()
        return cmap


def _serif(style: str) -> Path:
    return SERIF_FOLDER / f"IBMPlexSerif-{style}.ttf"


def _cut(path: Path) -> TTFont:
    options = subset.Options(layout_features=["kern", "mark", "mkmk", "ccmp"])
    options.drop_tables += ["meta", "DSIG"]
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=_WEB)
    font = TTFont(path, recalcTimestamp=False)
    cutter.subset(font)
    return font


def _web_face(font: TTFont, family: str, style: str, weight: str) -> WebFace:
    font.flavor = "woff"
    held = io.BytesIO()
    font.save(held)
    source = "data:font/woff;base64," + base64.b64encode(held.getvalue()).decode()
    return WebFace(family=family, style=style, weight=weight, source=source)

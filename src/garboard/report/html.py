"""The web page: one file that needs nothing else, has no script, and can be read on a phone, aloud or on paper."""

import base64
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from html import escape
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from garboard.drawings.svg import ACCENT, HAIRLINE, INK, PAPER
from garboard.report import clean, fonts
from garboard.report.alignment import tails
from garboard.report.copies import Copy
from garboard.report.document import (
    Document,
    Drawing,
    Heading,
    Written,
    across_in_finding,
    labels,
)

_ID = re.compile(r'\bid="([^"]+)"')
_REFERENCE = re.compile(r'="url\(#([^)"]+)\)"')
_OPENING = re.compile(r"<svg\b[^>]*>(?:\s*<title>.*?</title>)?(?:\s*<desc>.*?</desc>)?", re.DOTALL)
_SIDES = re.compile(r'\b(viewBox|width)="([^"]+)"')


@dataclass(slots=True)
class _Notes:
    """The notes met so far; they are printed at the end."""

    texts: list[str] = field(default_factory=list)

    def number(self, text: str) -> int:
        """Keep a note and give its number."""
        self.texts.append(text)
        return len(self.texts)


def write_html(document: Document, made: Mapping[str, Copy]) -> Written:
    """The document as one page of HTML; the same document and photographs give the same bytes.

    Args:
        document: What to show.
        made: The print copies of its photographs, as `copies` makes them.

    Raises:
        ValueError: Two blocks have one label.
    """
    known = labels(document)
    shown = clean.cleaned(document, clean.safe)
    page = (
        _environment()
        .get_template("report.html")
        .render(
            document=shown,
            contents=_contents(shown),
            known=known,
            notes=_Notes(),
            pictures={name: _picture(copy) for name, copy in made.items()},
            colours={"ink": INK, "paper": PAPER, "hairline": HAIRLINE, "accent": ACCENT},
            faces=fonts.web_faces(),
        )
    )
    problems = tuple(copy.problem for copy in made.values() if copy.problem)
    return Written(content=page.encode(), warnings=problems)


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("garboard.report", ""),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["kind"] = lambda block: type(block).__name__
    environment.filters["inline"] = _inline
    environment.filters["tails"] = tails
    environment.filters["length_of_text"] = lambda text: sum(len(span.text) for span in text)
    environment.filters["across"] = lambda pictures: across_in_finding(len(pictures))
    return environment


def _contents(document: Document) -> list[tuple[Heading, str]]:
    """The headings of the first two levels and where they are."""
    return [
        (block, block.label or f"section-{place}")
        for place, block in enumerate(document.blocks)
        if isinstance(block, Heading) and block.level <= 2
    ]


def _picture(copy: Copy) -> Mapping[str, Any]:
    return {
        "source": "data:image/jpeg;base64," + base64.b64encode(copy.jpeg).decode(),
        "width": copy.width_px,
        "height": copy.height_px,
        "problem": copy.problem.what if copy.problem else "",
    }


def _inline(drawing: Drawing) -> Markup:
    """A drawing as part of the page: named by its alternative text, its ids its own."""
    own = f"drawing-{drawing.number}-"
    opening = _OPENING.search(drawing.svg)
    if opening is None:
        raise ValueError(f"Figure {drawing.number} is not an SVG drawing.")
    sides = dict(_SIDES.findall(opening[0].split(">", 1)[0]))
    width = sides.get("width", "100%")
    inside = drawing.svg[opening.end() :]
    inside = _ID.sub(rf'id="{own}\1"', inside)
    inside = _REFERENCE.sub(rf'="url(#{own}\1)"', inside)
    return Markup(  # noqa: S704 - our own drawing, whose words were escaped when it was made
        f'<svg viewBox="{sides["viewBox"]}" width="{width}" style="--drawn: {width}" role="img"'
        f' aria-labelledby="{own}title"><title id="{own}title">{escape(drawing.alt)}</title>{inside}'
    )

"""The PDF, the report's record: archival (PDF/A-3a) and accessible (PDF/UA-1) in one file.

The document goes to the typesetter as data and is laid out by `report.typ`; no text from people is ever part
of a template.
"""

import dataclasses
import json
import re
from collections.abc import Mapping
from functools import lru_cache, partial
from importlib.resources import files
from typing import Any

from garboard.drawings.svg import ACCENT, HAIRLINE, INK
from garboard.report import clean, fonts, typesetter
from garboard.report.alignment import tails
from garboard.report.copies import Copy
from garboard.report.document import (
    Block,
    Document,
    Drawing,
    FindingBlock,
    Picture,
    Table,
    Written,
    across_in_finding,
    labels,
)

_SUSPECTS = b"/Marked true/Suspects false"
_SIDES_MM = re.compile(r'<svg\b[^>]*?\bwidth="([0-9.]+)mm"[^>]*?\bheight="([0-9.]+)mm"')


def write_pdf(
    document: Document, made: Mapping[str, Copy], *, time_out_s: float = typesetter.TIME_OUT_S
) -> Written:
    """The document as a PDF; the same document and photographs give the same bytes.

    Args:
        document: What to set.
        made: The print copies of its photographs, as `copies` makes them.
        time_out_s: When to give up setting, s.

    Raises:
        ValueError: Two blocks have one label.
        typesetter.NotSet: The document could not be set.
    """
    glyphs = fonts.glyphs()
    warned = list(clean.warnings(clean.texts(dataclasses.replace(document, files=())), glyphs))
    warned += [copy.problem for copy in made.values() if copy.problem]
    pdf = typesetter.pdf(
        sources_of(document, made), issued_unix=document.issued_unix, time_out_s=time_out_s
    )
    # What is appended on signing would break PDF/A (clause 6.1.9) if it did not start a line.
    return Written(content=unsuspected(pdf) + b"\n", warnings=tuple(warned))


def unsuspected(pdf: bytes) -> bytes:
    """A PDF without "Suspects false", which is what its absence means, and a common reader takes for an error.

    Blanks keep every offset. Where an attached file holds the same bytes nothing is touched: it stays as it is.
    """
    if pdf.count(_SUSPECTS) != 1:
        return pdf
    return pdf.replace(_SUSPECTS, b"/Marked true".ljust(len(_SUSPECTS)))


def sources_of(document: Document, made: Mapping[str, Copy]) -> Mapping[str, bytes]:
    """What the typesetter reads, by name: template, frame, document, photographs, attached files.

    The frame holds what seldom changes. It is a file of its own because the functions of the template read it:
    while it stays as it is, a typesetter that stands ready lays out again only the blocks that changed.

    Raises:
        ValueError: Two blocks have one label.
    """
    pictures = {name: f"photos/{name}.jpg" for name in sorted(made)}
    attached = {f"files/{place}": file for place, file in enumerate(document.files)}
    frame = {
        "labels": sorted(labels(document)),
        "pictures": {name: _picture(path, made[name]) for name, path in pictures.items()},
        "attached": [
            {
                "path": path,
                "name": file.name,
                "type": file.media_type,
                "description": file.description,
                "relationship": file.relationship,
            }
            for path, file in attached.items()
        ],
        "colours": {"ink": INK, "hairline": HAIRLINE, "accent": ACCENT},
    }
    return {
        "main.typ": (files("garboard.report") / "report.typ").read_bytes(),
        "frame.json": json.dumps(frame, ensure_ascii=False).encode(),
        "report.json": _written(document).encode(),
        **{path: made[name].jpeg for name, path in pictures.items()},
        **{path: file.content for path, file in attached.items()},
    }


def _written(document: Document) -> str:
    """The document as JSON, its text made printable."""
    head = _block(dataclasses.replace(document, blocks=(), files=()))
    blocks = ",".join(map(_block, document.blocks))
    return f'{{"head":{head},"blocks":[{blocks}]}}'


@lru_cache(maxsize=4096)
def _block(block: Block | Document) -> str:
    """A block as JSON; kept, since most blocks of a report are set again and again as they are."""
    printable = partial(clean.printable, glyphs=fonts.glyphs())
    return json.dumps(_json_of(clean.cleaned(block, printable)), ensure_ascii=False)


def _picture(path: str, copy: Copy) -> Mapping[str, Any]:
    return {
        "path": path,
        "width": copy.width_px,
        "height": copy.height_px,
        "problem": copy.problem.what if copy.problem else "",
    }


def _json_of(value: object) -> Any:
    """Plain data for the template: a block is a dictionary that names its kind of block."""
    if isinstance(value, tuple):
        return [_json_of(each) for each in value]
    if not dataclasses.is_dataclass(value):
        return value
    fields = {each.name: _json_of(getattr(value, each.name)) for each in dataclasses.fields(value)}
    if isinstance(value, Drawing) and (sides := _SIDES_MM.search(value.svg)):
        fields["size_mm"] = [float(side) for side in sides.groups()]
    if isinstance(value, Table):
        fields["tails"] = tails(value)
    if isinstance(value, Picture):
        fields["copy"] = value.copy
    if isinstance(value, FindingBlock):
        fields["across"] = across_in_finding(len(value.pictures))
    return {"block": type(value).__name__, **fields}

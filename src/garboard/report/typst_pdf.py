"""The PDF, the report's record: archival (PDF/A-3a) and accessible (PDF/UA-1) in one file.

The document goes to the typesetter as data and is laid out by `report.typ`; no text from people is ever part
of a template.
"""

import dataclasses
import json
import re
from collections.abc import Mapping
from functools import partial
from importlib.resources import files
from typing import Any

from garboard.drawings.svg import ACCENT, HAIRLINE, INK
from garboard.report import clean, fonts, typesetter
from garboard.report.alignment import tails
from garboard.report.copies import Copy
from garboard.report.document import (
    Document,
    Drawing,
    FindingBlock,
    Table,
    Written,
    across_in_finding,
    labels,
)

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
    known = labels(document)
    glyphs = fonts.glyphs()
    shown = dataclasses.replace(document, files=())
    warned = list(clean.warnings(clean.texts(shown), glyphs))
    shown = clean.cleaned(shown, partial(clean.printable, glyphs=glyphs))

    warned += [copy.problem for copy in made.values() if copy.problem]
    pictures = {sha256: f"photos/{place}.jpg" for place, sha256 in enumerate(made)}
    attached = {f"files/{place}": file for place, file in enumerate(document.files)}

    data = {
        "document": _json_of(shown),
        "labels": sorted(known),
        "pictures": {sha256: _picture(path, made[sha256]) for sha256, path in pictures.items()},
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
    sources = {
        "main.typ": (files("garboard.report") / "report.typ").read_bytes(),
        "report.json": json.dumps(data, ensure_ascii=False).encode(),
        **{path: made[sha256].jpeg for sha256, path in pictures.items()},
        **{path: file.content for path, file in attached.items()},
    }
    pdf = typesetter.pdf(sources, issued_unix=document.issued_unix, time_out_s=time_out_s)
    # What is appended on signing would break PDF/A (clause 6.1.9) if it did not start a line.
    return Written(content=pdf + b"\n", warnings=tuple(warned))


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
    if isinstance(value, FindingBlock):
        fields["across"] = across_in_finding(len(value.pictures))
    return {"block": type(value).__name__, **fields}

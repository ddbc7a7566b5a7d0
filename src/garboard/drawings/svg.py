"""SVG as text: a few pure functions that every drawing is made of.

Lengths on the sheet are millimetres, y downward: `drawing` sets the viewBox so that it prints at true size.
Elements carry plain attributes only, so that browsers and typesetters show the same thing. Colour never
speaks alone: marks are shapes, areas are hatched, and the one colour scale grows evenly darker.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from math import isfinite
from types import MappingProxyType
from typing import Literal
from zlib import crc32

from garboard.notebook.body import Heard

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]

INK = "#1c1a17"
HAIRLINE = "#8f8a82"
PAPER = "#ffffff"
ACCENT = "#9c3d1b"

HAIR_MM = 0.13
FINE_MM = 0.18
LINE_MM = 0.25
BOLD_MM = 0.5

FONT = "IBM Plex Sans, sans-serif"
TEXT_MM = 2.47
SMALL_MM = 2.12

DASHED = (1.6, 0.9)
CHAIN = (4.0, 0.8, 0.8, 0.8)

_CAP_HEIGHT = 0.698

# Advance widths of IBM Plex Sans Regular from space to tilde, thousandths of an em; read from the font.
_ADVANCES = (
    236, 284, 419, 713, 598, 927, 694, 242, 335, 335, 450, 600, 272, 399, 272, 383, 600, 600, 600,
    600, 600, 600, 600, 600, 600, 600, 292, 292, 600, 600, 600, 477, 891, 641, 653, 621, 671, 583,
    559, 695, 707, 400, 510, 634, 501, 812, 707, 708, 606, 708, 640, 581, 572, 678, 609, 891, 613,
    593, 580, 317, 383, 317, 600, 565, 600, 534, 580, 503, 580, 549, 324, 528, 568, 250, 250, 527,
    272, 873, 568, 560, 580, 580, 367, 487, 351, 568, 492, 768, 507, 499, 464, 343, 314, 343, 600,
)  # fmt: skip


def number(value: float, places: int = 3) -> str:
    """A number as SVG writes it: fixed rounding, no trailing zeros, never an exponent or a minus zero.

    Raises:
        ValueError: The value is not finite.

    >>> number(1.50), number(-0.0001), number(12)
    ('1.5', '0', '12')
    """
    if not isfinite(value):
        raise ValueError(f"A drawing holds finite numbers only, not {value}.")
    written = f"{value:.{places}f}"
    if "." in written:
        written = written.rstrip("0").rstrip(".")
    return "0" if written == "-0" else written


def escaped(words: str) -> str:
    """Words made safe for XML text and attributes; characters XML forbids are dropped.

    >>> escaped('3 < 4 & "so"')
    '3 &lt; 4 &amp; &quot;so&quot;'
    """
    allowed = "".join(
        each
        for each in words
        if each in "\t\n\r"
        or "\x20" <= each <= "\ud7ff"
        or "\ue000" <= each <= "\ufffd"
        or each > "\uffff"
    )
    return (
        allowed.replace("&", "&amp;")
        .replace("<", "&lt;")
        .replace(">", "&gt;")
        .replace('"', "&quot;")
    )


def text_width_mm(words: str, size_mm: float = TEXT_MM) -> float:
    """The width of words set in IBM Plex Sans Regular, mm; letters beyond ASCII count as an average one."""
    return size_mm / 1000 * sum(_advance(each) for each in words)


def wrapped(words: str, width_mm: float, size_mm: float = TEXT_MM) -> list[str]:
    """Words in lines no wider than a width, unless a single word is."""
    lines: list[str] = []
    for word in words.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width_mm(longer, size_mm) <= width_mm:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def shortened(words: str, width_mm: float, size_mm: float = TEXT_MM) -> str:
    """Words that fit a width, whole words left out at the end where they do not; a description has them all.

    >>> shortened("starboard 11.0 m, hull plate, cell in the water", 30, SMALL_MM)
    'starboard 11.0 m, hull plate…'
    """
    if text_width_mm(words, size_mm) <= width_mm:
        return words
    kept = words
    while kept and text_width_mm(kept + "…", size_mm) > width_mm:
        kept = kept[:-1]
    whole = kept if words[len(kept)] in " ,;:" else kept.rpartition(" ")[0]
    # A single long word is cut within.
    return (whole or kept).rstrip(" ,;:") + "…"


def _advance(letter: str) -> int:
    at = ord(letter) - 32
    return _ADVANCES[at] if 0 <= at < len(_ADVANCES) else 600


# Elements


def line(
    start: Point,
    end: Point,
    *,
    width_mm: float = LINE_MM,
    colour: str = INK,
    dash: tuple[float, ...] = (),
) -> str:
    """A straight line; `dash` is lengths of ink and gap, mm."""
    return polyline((start, end), width_mm=width_mm, colour=colour, dash=dash)


def polyline(
    points: Iterable[Point],
    *,
    width_mm: float = LINE_MM,
    colour: str = INK,
    dash: tuple[float, ...] = (),
) -> str:
    """An open line through points."""
    return f'<path d="{_through(points)}" fill="none"{_stroke(width_mm, colour, dash)}/>'


def polygon(
    points: Iterable[Point],
    *,
    fill: str = "none",
    width_mm: float = LINE_MM,
    colour: str = INK,
    dash: tuple[float, ...] = (),
) -> str:
    """A closed outline; `fill` is a colour, "none" or the `fill` of a `Hatch`; no outline at width 0."""
    return f'<path d="{_through(points)} Z" fill="{fill}"{_stroke(width_mm, colour, dash)}/>'


def polygons(
    outlines: Iterable[Iterable[Point]],
    *,
    fill: str = "none",
    width_mm: float = LINE_MM,
    colour: str = INK,
    dash: tuple[float, ...] = (),
) -> str:
    """Several outlines as one figure: an outline inside another is a hole."""
    data = " ".join(f"{_through(each)} Z" for each in outlines)
    return f'<path d="{data}" fill="{fill}" fill-rule="evenodd"{_stroke(width_mm, colour, dash)}/>'


def rectangle(
    corner: Point,
    width: float,
    height: float,
    *,
    fill: str = "none",
    width_mm: float = LINE_MM,
    colour: str = INK,
) -> str:
    """An upright rectangle from its upper left corner, mm."""
    x, y = corner
    return (
        f'<rect x="{number(x)}" y="{number(y)}" width="{number(width)}" height="{number(height)}" '
        f'fill="{fill}"{_stroke(width_mm, colour, ())}/>'
    )


def circle(
    centre: Point,
    radius_mm: float,
    *,
    fill: str = "none",
    width_mm: float = LINE_MM,
    colour: str = INK,
    dash: tuple[float, ...] = (),
) -> str:
    """A circle; no outline at width 0."""
    x, y = centre
    return (
        f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(radius_mm)}" '
        f'fill="{fill}"{_stroke(width_mm, colour, dash)}/>'
    )


def text(
    at: Point,
    words: str,
    *,
    size_mm: float = TEXT_MM,
    anchor: Anchor = "start",
    weight: int = 400,
    colour: str = INK,
    turn_deg: float = 0.0,
    halo: bool = False,
) -> str:
    """Words on their baseline at a point; `halo` clears the paper round the letters, `turn_deg` is clockwise."""
    x, y = at
    turned = f' transform="rotate({number(turn_deg)} {number(x)} {number(y)})"' if turn_deg else ""
    cleared = (
        f' stroke="{PAPER}" stroke-width="{number(size_mm * 0.3)}" stroke-linejoin="round" paint-order="stroke"'
        if halo
        else ""
    )
    return (
        f'<text x="{number(x)}" y="{number(y)}" font-family="{FONT}" font-size="{number(size_mm)}" '
        f'font-weight="{weight}" text-anchor="{anchor}" fill="{colour}"{cleared}{turned}>{escaped(words)}</text>'
    )


def middle_text(centre: Point, words: str, *, size_mm: float = TEXT_MM, weight: int = 400) -> str:
    """Words or a number centred on a point both ways, as in a call-out."""
    x, y = centre
    baseline = (x, y + size_mm * _CAP_HEIGHT / 2)
    return text(baseline, words, size_mm=size_mm, anchor="middle", weight=weight)


def group(parts: Iterable[str], *, at: Point = (0.0, 0.0)) -> str:
    """Elements moved together."""
    x, y = at
    return f'<g transform="translate({number(x)} {number(y)})">{"".join(parts)}</g>'


def cut(outlines: Iterable[Iterable[Point]], parts: Iterable[str]) -> str:
    """Elements cut off at the edge of one or several outlines taken together."""
    shapes = "".join(f'<path d="{_through(each)} Z"/>' for each in outlines)
    name = f"cut-{crc32(shapes.encode()):08x}"
    return (
        f'<clipPath id="{name}">{shapes}</clipPath><g clip-path="url(#{name})">{"".join(parts)}</g>'
    )


def _through(points: Iterable[Point]) -> str:
    return "M" + " L".join(f"{number(x)} {number(y)}" for x, y in points)


def _stroke(width_mm: float, colour: str, dash: tuple[float, ...]) -> str:
    if width_mm == 0:
        return ""
    dashes = f' stroke-dasharray="{" ".join(number(each) for each in dash)}"' if dash else ""
    return (
        f' stroke="{colour}" stroke-width="{number(width_mm)}" stroke-linejoin="round" '
        f'stroke-linecap="{"butt" if dash else "round"}"{dashes}'
    )


# Hatching


@dataclass(frozen=True, slots=True, kw_only=True)
class Hatch:
    """Parallel lines for an area; pass it to `drawing` and its `fill` to a polygon.

    `angle_deg` is that of the lines, counter-clockwise from level as one looks at the sheet.
    """

    angle_deg: int = 45
    spacing_mm: float = 1.3
    width_mm: float = HAIR_MM
    colour: str = INK

    @property
    def name(self) -> str:
        """The id of the pattern; equal hatches share it."""
        spacing, width = round(self.spacing_mm * 100), round(self.width_mm * 100)
        return f"hatch-{self.angle_deg % 180}-{spacing}-{width}-{self.colour.lstrip('#')}"

    @property
    def fill(self) -> str:
        """What a polygon takes as its fill."""
        return f"url(#{self.name})"

    @property
    def definition(self) -> str:
        """The pattern element."""
        side, middle = number(self.spacing_mm), number(self.spacing_mm / 2)
        return (
            f'<pattern id="{self.name}" width="200" height="{side}" patternUnits="userSpaceOnUse" '
            f'patternTransform="rotate({number(-self.angle_deg)})"><path d="M0 {middle} H200" '
            f'fill="none" stroke="{self.colour}" stroke-width="{number(self.width_mm)}"/></pattern>'
        )


RISING = Hatch(angle_deg=45)


# The sheet


def drawing(
    width_mm: float,
    height_mm: float,
    *,
    title: str,
    desc: str,
    parts: Iterable[str],
    hatches: Iterable[Hatch] = (),
) -> str:
    """A whole SVG document, one unit a millimetre.

    Args:
        width_mm: Width of the sheet, mm; above 0.
        height_mm: Height of the sheet, mm; above 0.
        title: What the drawing is, a few words.
        desc: What it shows, for those who do not see it.
        parts: Elements, in the order they are laid on the paper.
        hatches: The hatches the parts refer to.

    Raises:
        ValueError: A side is not above zero, or there is no title or description.
    """
    if not (width_mm > 0 and height_mm > 0):
        raise ValueError(f"A sheet has a width and a height, not {width_mm} × {height_mm} mm.")
    if not (title.strip() and desc.strip()):
        raise ValueError("A drawing needs a title and a description for those who do not see it.")
    width, height = number(width_mm), number(height_mm)
    definitions = "".join(each.definition for each in dict.fromkeys(hatches))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" role="img">'
        f"<title>{escaped(title)}</title><desc>{escaped(desc)}</desc>"
        f"{f'<defs>{definitions}</defs>' if definitions else ''}{''.join(parts)}</svg>\n"
    )


# Marks and furniture

HEARD_MARKS: Mapping[Heard, str] = MappingProxyType(
    {
        "sound": "open circle",
        "dull": "half-filled circle",
        "hollow": "filled circle",
        "not sounded": "cross",
    }
)
"""The shape that stands for each thing the hammer says."""


def sounding_mark(heard: Heard, at: Point, size_mm: float = 2.0) -> str:
    """What the hammer said at a point, as a shape `size_mm` across."""
    (x, y), radius = at, size_mm / 2
    if heard == "not sounded":
        arm = radius * 0.75
        return line((x - arm, y - arm), (x + arm, y + arm)) + line(
            (x - arm, y + arm), (x + arm, y - arm)
        )
    if heard == "hollow":
        return circle(at, radius, fill=INK)
    outline = circle(at, radius, fill=PAPER)
    return outline + _lower_half(at, radius) if heard == "dull" else outline


def _lower_half(at: Point, radius: float) -> str:
    x, y = at
    size = number(radius)
    return (
        f'<path d="M{number(x - radius)} {number(y)} A{size} {size} 0 0 0 {number(x + radius)} {number(y)} Z" '
        f'fill="{INK}"/>'
    )


def call_out(at: Point, mark: int | str, *, radius_mm: float = 2.2) -> str:
    """A number in a ring."""
    return circle(at, radius_mm, fill=PAPER) + middle_text(at, str(mark), weight=600)


def arrow(start: Point, end: Point, *, width_mm: float = LINE_MM, colour: str = INK) -> str:
    """A line with a filled head at its end."""
    (x0, y0), (x1, y1) = start, end
    length = max(((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5, 1e-9)
    ux, uy = (x1 - x0) / length, (y1 - y0) / length
    head = max(1.6, width_mm * 5)
    foot = (x1 - ux * head, y1 - uy * head)
    wings = [
        (foot[0] + side * uy * head * 0.3, foot[1] - side * ux * head * 0.3) for side in (1, -1)
    ]
    return line(start, foot, width_mm=width_mm, colour=colour) + polygon(
        [end, *wings], fill=colour, width_mm=0
    )


def scale_bar(at: Point, mm_per_m: float, *, longest_mm: float = 45.0) -> str:
    """A bar of round length, in metres, with its left end at a point; `mm_per_m` is the scale of the drawing.

    Raises:
        ValueError: The scale is not above zero.
    """
    if not mm_per_m > 0:
        raise ValueError(f"A scale is above zero, not {mm_per_m} mm per metre.")
    length_m = _round_length_m(longest_mm / mm_per_m)
    x, y = at
    step = length_m * mm_per_m / 4
    ends = [x + step * each for each in range(5)]
    boxes = [
        rectangle((a, y - 0.9), b - a, 0.9, fill=INK if each % 2 else PAPER, width_mm=FINE_MM)
        for each, (a, b) in enumerate(pairwise(ends))
    ]
    labels = [
        text((x, y - 1.7), "0", size_mm=SMALL_MM, anchor="middle"),
        text((ends[2], y - 1.7), number(length_m / 2), size_mm=SMALL_MM, anchor="middle"),
        text((ends[4], y - 1.7), f"{number(length_m)} m", size_mm=SMALL_MM, anchor="middle"),
    ]
    return "".join([*boxes, *labels])


def _round_length_m(longest_m: float) -> float:
    """The longest of 1, 2 and 5 times a power of ten that fits."""
    return max(
        step * 10.0**power
        for power in range(-4, 4)
        for step in (1, 2, 5)
        if step * 10.0**power <= longest_m or (power, step) == (-4, 1)
    )


SCHEMATIC = "Schematic, not the builder’s lines"


# The scale


def sequential(share: float) -> str:
    """A colour of the one sequential scale, pale at 0 to dark at 1; shares beyond are drawn at the end.

    A straight line in CIELAB from pale straw to deep blue: equal steps of value are equal steps of colour
    difference and of lightness, so the order survives a photocopy and every common colour blindness.

    Source:
        ISO/CIE 11664-4 (CIELAB) and IEC 61966-2-1 (sRGB), formulas from memory.

    >>> sequential(0), sequential(1)
    ('#f5efda', '#0c344e')
    """
    if not isfinite(share):
        raise ValueError(f"A share of the scale is a finite number, not {share}.")
    inside = min(1.0, max(0.0, share))
    lightness, a, b = (
        low + (high - low) * inside for low, high in zip(_PALE_LAB, _DARK_LAB, strict=True)
    )
    return _hex_of(lightness, a, b)


_PALE_LAB = (94.3, -1.2, 10.7)
_DARK_LAB = (20.5, -3.4, -19.6)
_WHITE_D65 = (0.95047, 1.0, 1.08883)


def _hex_of(lightness: float, a: float, b: float) -> str:
    middle = (lightness + 16) / 116
    x, y, z = (
        white * _unbent(each)
        for white, each in zip(
            _WHITE_D65, (middle + a / 500, middle, middle - b / 200), strict=True
        )
    )
    linear = (
        3.2404542 * x - 1.5371385 * y - 0.4985314 * z,
        -0.9692660 * x + 1.8760108 * y + 0.0415560 * z,
        0.0556434 * x - 0.2040259 * y + 1.0572252 * z,
    )
    return "#" + "".join(f"{round(255 * _gamma(each)):02x}" for each in linear)


def _unbent(value: float) -> float:
    return value**3 if value > 6 / 29 else 3 * (6 / 29) ** 2 * (value - 4 / 29)


def _gamma(linear: float) -> float:
    inside = min(1.0, max(0.0, linear))
    return 12.92 * inside if inside <= 0.0031308 else 1.055 * inside ** (1 / 2.4) - 0.055

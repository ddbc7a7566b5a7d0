"""Painted surfaces: colour, roughness, metal and relief laid on in coats, and what carries them."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import cv2
import numpy as np
from PIL import Image, ImageDraw, ImageFont

from scenes.mesh import Array, Mesh, box, grid
from scenes.noise import Field, Numbers, cloud, coordinates

Colour = tuple[float, float, float]


class Coat:
    """A surface being painted; all fields share one `(height, width)` shape.

    Colours are linear 0..1, relief is metres above the bare surface.
    """

    def __init__(self, shape: tuple[int, int], colour: Colour, rough: float, metal: float = 0.0):
        self.shape = shape
        self.colour = np.empty((*shape, 3), np.float32)
        self.colour[:] = colour
        self.rough = np.full(shape, rough, np.float32)
        self.metal = np.full(shape, metal, np.float32)
        self.relief = np.zeros(shape, np.float32)

    def paint(
        self,
        mask: Numbers | float,
        colour: Sequence[float] | Numbers,
        rough: float | None = None,
        metal: float | None = None,
        lift: float = 0.0,
    ) -> "Coat":
        """Lay a coat on where the mask says (0..1)."""
        cover = np.broadcast_to(np.asarray(mask, np.float32), self.shape)
        self.colour += (np.asarray(colour, np.float32) - self.colour) * cover[..., None]
        if rough is not None:
            self.rough += (rough - self.rough) * cover
        if metal is not None:
            self.metal += (metal - self.metal) * cover
        self.relief += lift * cover
        return self

    def shade(self, amount: Numbers) -> "Coat":
        """Multiply the colour."""
        self.colour *= amount[..., None]
        return self

    def mottle(self, seed: int, strength: float = 0.2, slope: float = 1.6) -> "Coat":
        """Uneven colour and shine, as on any real surface."""
        noise = cloud(self.shape, seed, slope=slope)
        self.colour *= (1 + strength * 2 * (noise - 0.5))[..., None]
        self.rough = np.clip(self.rough * (1 + strength * (noise - 0.5)), 0.03, 1.0)
        return self


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """What a thing is made of; `coat` overrides the plain values."""

    colour: Colour = (0.5, 0.5, 0.5)
    rough: float = 0.5
    metal: float = 0.0
    shine: float = 0.5
    clear: float = 0.0
    glass: bool = False
    coat: Coat | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """A mesh made of something."""

    mesh: Mesh
    material: Material = field(default_factory=Material)


BRONZE = Material(colour=(0.55, 0.33, 0.13), rough=0.32, metal=1.0)
STEEL = Material(colour=(0.60, 0.60, 0.59), rough=0.25, metal=1.0)
DULL_STEEL = Material(colour=(0.42, 0.42, 0.41), rough=0.45, metal=1.0)
ZINC = Material(colour=(0.52, 0.53, 0.54), rough=0.55, metal=0.85)
BRASS = Material(colour=(0.75, 0.55, 0.22), rough=0.25, metal=1.0)
RUBBER = Material(colour=(0.018, 0.018, 0.018), rough=0.65)
BLACK = Material(colour=(0.02, 0.02, 0.022), rough=0.4)
WHITE = Material(colour=(0.78, 0.78, 0.75), rough=0.25)
GREY = Material(colour=(0.25, 0.26, 0.27), rough=0.5)
YELLOW = Material(colour=(0.75, 0.45, 0.03), rough=0.4)
RED = Material(colour=(0.45, 0.03, 0.02), rough=0.4)
BLUE = Material(colour=(0.03, 0.09, 0.28), rough=0.4)
GREEN = Material(colour=(0.02, 0.16, 0.08), rough=0.4)
RUST: Colour = (0.16, 0.055, 0.02)
BRIGHT_RUST: Colour = (0.30, 0.105, 0.03)
DARK_RUST: Colour = (0.055, 0.022, 0.013)
GELCOAT: Colour = (0.76, 0.76, 0.72)
ANTIFOULING: Colour = (0.17, 0.032, 0.027)
PRIMER: Colour = (0.32, 0.33, 0.33)


def painted(coat: Coat, *, clear: float = 0.0, shine: float = 0.5) -> Material:
    """A material from a finished coat."""
    return Material(coat=coat, clear=clear, shine=shine)


def sheet(
    coat: Coat,
    width_m: float,
    height_m: float,
    *,
    bulge: tuple[float, float] = (0.0, 0.0),
    columns: int = 700,
) -> Mesh:
    """A panel standing in the x-z plane and facing -y, with the coat's relief as real shape.

    Args:
        coat: Its relief displaces the surface toward the viewer.
        width_m: Along x, centred.
        height_m: Along z, centred; row 0 of the coat is at the top.
        bulge: Curvatures in x and z, 1/m; positive bends the edges away from the viewer.
        columns: Mesh columns; rows follow from the shape.
    """
    rows = max(int(columns * height_m / width_m), 2)
    relief = cv2.resize(coat.relief, (columns, rows), interpolation=cv2.INTER_AREA)
    x, z = np.meshgrid(
        np.linspace(-width_m / 2, width_m / 2, columns),
        np.linspace(height_m / 2, -height_m / 2, rows),
    )
    y = bulge[0] * x**2 / 2 + bulge[1] * z**2 / 2 - relief
    return grid(np.stack([x, y, z], axis=-1), flip=True)


def draped(points: Array, coat: Coat, *, flip: bool = False, weld: bool = False) -> Mesh:
    """A surface through points, raised along its normals by the coat's relief."""
    base = grid(points, flip=flip, weld=weld)
    relief = cv2.resize(
        coat.relief, (points.shape[1], points.shape[0]), interpolation=cv2.INTER_AREA
    )
    raised = base.vertices + base.normals * relief.reshape(-1, 1)
    return grid(raised.reshape(points.shape), flip=flip, weld=weld)


def letters(shape: tuple[int, int], text: str, *, at: tuple[float, float], size: float) -> Field:
    """Lettering as a mask; `at` is its middle and `size` its height, as shares of the shape."""
    image = Image.new("L", (shape[1], shape[0]))
    font = ImageFont.truetype("DejaVuSans-Bold.ttf", int(size * shape[0]))
    ImageDraw.Draw(image).text(
        (at[0] * shape[1], at[1] * shape[0]), text, fill=255, font=font, anchor="mm"
    )
    return (np.asarray(image) / 255.0).astype(np.float32)


def number_card(number: int) -> Thing:
    """A white card 90 x 60 mm with a number and a centimetre scale; lies in x-z facing -y."""
    shape = (600, 900)
    coat = Coat(shape, (0.82, 0.82, 0.79), 0.55)
    x, y = coordinates(shape)
    coat.paint(letters(shape, str(number), at=(0.5, 0.40), size=0.58), (0.02, 0.02, 0.02))
    centimetre = (np.floor(x * 9) % 2 == 0).astype(np.float32)
    coat.paint(((y > 0.78) & (y < 0.93)).astype(np.float32), (0.02, 0.02, 0.02))
    coat.paint(((y > 0.80) & (y < 0.91)).astype(np.float32) * centimetre, (0.85, 0.85, 0.82))
    edge = (np.minimum(np.minimum(x, 1 - x) * 1.5, np.minimum(y, 1 - y)) < 0.018).astype(np.float32)
    coat.paint(edge, (0.55, 0.10, 0.04)).mottle(number, 0.06)
    return Thing(mesh=_slab(0.090, 0.060), material=painted(coat))


def scale_bar(length_cm: int = 10) -> Thing:
    """A strip with centimetre blocks and millimetre ticks; lies in x-z facing -y."""
    shape = (180, 100 * length_cm)
    coat = Coat(shape, (0.80, 0.80, 0.77), 0.5)
    x, y = coordinates(shape)
    black = (0.02, 0.02, 0.02)
    centimetre = (np.floor(x * length_cm) % 2 == 0).astype(np.float32)
    coat.paint(centimetre * (y < 0.36), black)
    milli = ((x * length_cm * 10) % 1 < 0.18) & (y > 0.40) & (y < 0.52)
    coat.paint(milli.astype(np.float32), black)
    for k in range(length_cm):
        at = ((k + 0.5) / length_cm, 0.77)
        coat.paint(letters(shape, str(k + 1), at=at, size=0.36), black)
    return Thing(mesh=_slab(length_cm / 100, 0.018), material=painted(coat.mottle(3, 0.05)))


def _slab(width_m: float, height_m: float) -> Mesh:
    """A thin sheet facing -y, slightly bowed so that it does not look drawn on."""
    x, z = np.meshgrid(np.linspace(-1, 1, 24), np.linspace(1, -1, 12))
    y = -0.0008 - 0.0012 * x**2
    points = np.stack([x * width_m / 2, y, z * height_m / 2], axis=-1)
    return grid(points, flip=True)


def block(size: tuple[float, float, float], material: Material, bevel: float = 0.004) -> Thing:
    """A plain rounded block."""
    return Thing(mesh=box(size, bevel), material=material)

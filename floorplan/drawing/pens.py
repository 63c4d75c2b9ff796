"""Pens, textures and colours: what each thing on a sheet is drawn with.

Meaning lies in width, dashes, ticks and texture; colour only helps. Widths are the ISO 128 row (each √2 times
the last), dashes are multiples of the width as in ISO 128 (both from memory, guidance only). Colours are the
Okabe-Ito palette, darkened where a line would fall below 3:1 on white (WCAG 2.2, 1.4.11).
"""

from __future__ import annotations

from typing import Final

from ..values import dataclass
from .marks import Pen

BLACK: Final = "#000000"
GREY: Final = "#595959"
PALE: Final = "#e4e4e4"
SOLID: Final = "#808080"
WHITE: Final = "#ffffff"
VERMILLION: Final = "#c04a00"
"""Okabe-Ito vermillion, darkened to 5:1 on white."""
BLUE: Final = "#0072b2"
"""Okabe-Ito blue, 5.2:1 on white."""
GREEN: Final = "#007a5a"
"""Okabe-Ito bluish green, darkened to 5.2:1 on white."""

HAIR: Final = Pen(0.13, GREY)
THIN: Final = Pen(0.18)
FINE: Final = Pen(0.25)
MEDIUM: Final = Pen(0.35)
WIDE: Final = Pen(0.5)
HEAVY: Final = Pen(1.0)


def dashed(width_mm: float, *multiples: float, colour: str = BLACK, round_ends: bool = False) -> Pen:
    """A pen whose dashes are multiples of its width."""
    return Pen(width_mm, colour, tuple(round(width_mm * m, 3) for m in multiples), round_ends)


@dataclass(frozen=True, slots=True)
class Texture:
    """Parallel lines over a surface: pen, spacing in mm, and the directions in degrees."""

    pen: Pen
    spacing_mm: float
    angles_deg: tuple[float, ...]


EDGE_HAND: Final = Pen(1.0)
"""Along an edge that is ground by hand, with ticks outside."""
EDGE_OTHER: Final = Pen(0.5)
EDGE_UNKNOWN: Final = dashed(1.0, 4.0, 2.5)
TICK: Final = Pen(0.25)
TICK_LENGTH_MM: Final = 2.2
TICK_EVERY_MM: Final = 2.4
CUTOUT: Final = Pen(0.35)
BAND_EDGE: Final = Pen(0.25, VERMILLION)
POCKET_EDGE: Final = Pen(0.35, VERMILLION)
BAND: Final = Texture(Pen(0.25, VERMILLION), 1.4, (45.0,))
POCKET: Final = Texture(Pen(0.35, VERMILLION), 1.1, (45.0, 135.0))
BORDER: Final = Texture(dashed(0.5, 0.1, 4.0, round_ends=True), 2.0, (0.0,))
BORDER_EDGE: Final = dashed(0.35, 6.0, 2.0)
"""Dots and short dashes: no hatch, so that the hand-ground band is still read under them."""
OFF_FLOOR: Final = Texture(Pen(0.13, GREY), 2.5, (135.0,))
COATED: Final = Texture(Pen(0.13, BLUE), 3.0, (45.0,))

DIMENSION: Final = Pen(0.18)
LEADER: Final = Pen(0.18)
FRAME: Final = Pen(0.7)
RULE: Final = Pen(0.25)
FAINT_RULE: Final = Pen(0.13, GREY)

MATCH: Final = dashed(0.5, 24.0, 3.0, 6.0, 3.0)
"""Where parts of a drawing meet: long and short dashes."""
ORDER: Final = Pen(0.5)
"""Arrows from zone to zone."""
ZONE: Final = dashed(1.0, 8.0, 2.0, 1.0, 2.0)
SMALL_ZONE: Final = dashed(0.5, 4.0, 1.0, 0.5, 1.0)
"""The same on the small map of a day card, where the broad one would fill narrow zones."""

JOINTS: Final[dict[str, tuple[Pen, ...]]] = {
    "brush out": (dashed(0.35, 12.0, 4.0, colour=BLUE),),
    "fill": (Pen(0.5, BLUE),),
    "seal": (Pen(0.25, GREEN),),
    "bridge": (dashed(0.35, 24.0, 3.0, 0.5, 3.0, 0.5, 3.0),),
    "leave": (dashed(0.5, 0.1, 4.0, round_ends=True),),
}
"""By treatment; `floor.joint_marks` adds beads to "fill" and doubles "seal"."""

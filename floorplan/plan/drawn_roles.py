"""What the layers of a drawing are for in a slab, and how near ends are joined."""

from __future__ import annotations

import math
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from ..foreign.drawing import bounds_of
from ..foreign.drawing_units import UNITS
from ..foreign.layers import picked, visible
from ..foreign.model import Source
from ..units.factors import FOOT_M, INCH_M, YARD_M
from ..units.figures import Figures
from ..units.length import Length, UnitStyle
from ..values import dataclass
from .model import DxfSource

SNAP_M: Final = 0.25 * INCH_M
"""Gaps up to this are closed where the plan says nothing: common practice, no source."""

_WIDEST_SHARE: Final = 2e-3
"""Unasked, no gap wider than this share of the drawing is closed: a bracket is not a patio."""

Mask: TypeAlias = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Roles:
    """Layers by what they are for, each (layers,); None where the plan names none."""

    outline: Mask
    cutouts: Mask | None
    joints: Mask | None
    texts: Mask | None
    edges: tuple[tuple[Mask, str], ...]

    def spoken_for(self) -> Mask:
        """Layers whose open lines have a use: joints, and what stands along sides."""
        used = np.zeros_like(self.outline)
        for mask in (self.joints, *(mask for mask, _ in self.edges)):
            if mask is not None:
                used |= mask
        return used


def roles_of(source: Source, asked: DxfSource) -> Roles:
    """The layers that a `[slab.dxf]` table names, each name checked.

    Raises:
        DrawingFileError: a name fits no layer.
    """

    def choice(names: tuple[str, ...], what: str) -> Mask | None:
        return picked(source, ", ".join(names), what) if names else None

    cutouts, joints = choice(asked.cutouts, "cutouts"), choice(asked.joints, "joints")
    outline = choice(asked.outline, "outline")
    if outline is None:
        outline = visible(source.layers)
        for other in (cutouts, joints):
            outline = outline if other is None else outline & ~other
    edges = tuple((picked(source, layer, "edges"), kind) for layer, kind in asked.edges)
    return Roles(outline, cutouts, joints, choice(asked.text, "text"), edges)


def snap_m(snap: Length | None) -> float:
    """Gaps up to this are closed: what the user states, or the default."""
    return SNAP_M if snap is None else snap.m


def snap_of(snap: Length | None, source: Source, unit_m: float | None) -> float:
    """The same in drawing units; unasked, less for a small drawing, and nothing without a unit."""
    if not unit_m:
        return 0.0
    if snap is not None:
        return snap.m / unit_m
    x0, y0, x1, y1 = bounds_of(source.strokes)
    return min(SNAP_M / unit_m, _WIDEST_SHARE * math.hypot(x1 - x0, y1 - y0))


def figures_for(unit_m: float) -> Figures:
    """Figures for people: feet and inches for a drawing in these, metric else."""
    us = unit_m in (FOOT_M, INCH_M, YARD_M, UNITS["us-survey-ft"])
    return Figures(UnitStyle.FT_IN if us else UnitStyle.M)

"""What the layers of a drawing are for in a slab, and how near ends are joined."""

from __future__ import annotations

from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from ..foreign.drawing_units import UNITS
from ..foreign.layers import picked, visible
from ..foreign.model import Source
from ..units.factors import FOOT_M, INCH_M, YARD_M
from ..units.figures import Figures
from ..units.length import UnitStyle
from ..values import dataclass
from .model import DxfSource

SNAP_M: Final = 0.25 * INCH_M
"""Gaps up to this are closed where the plan says nothing: common practice, no source."""

Mask: TypeAlias = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Roles:
    """Layers by what they are for, each (layers,); None where the plan names none."""

    outline: Mask
    cutouts: Mask | None
    joints: Mask | None
    texts: Mask | None
    edges: tuple[tuple[Mask, str], ...]


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


def snap_m(asked: DxfSource) -> float:
    """Gaps up to this are closed."""
    return SNAP_M if asked.snap is None else asked.snap.m


def figures_for(unit_m: float) -> Figures:
    """Figures for people: feet and inches for a drawing in these, metric else."""
    us = unit_m in (FOOT_M, INCH_M, YARD_M, UNITS["us-survey-ft"])
    return Figures(UnitStyle.FT_IN if us else UnitStyle.M)

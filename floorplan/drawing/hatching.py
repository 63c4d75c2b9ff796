"""Textures as lines: parallel lines cut to a region, with the boxes of lettering left clear."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import shapely
from shapely import MultiLineString

from .marks import Run
from .pens import Texture
from .view import line_strings


def hatched(region: Any, texture: Texture, lettering: Any = None) -> tuple[Run, ...]:
    """Lines of a texture inside a region (on paper, mm), without those under `lettering`.

    Lines run through a grid that is fixed on the paper, so that neighbouring regions match.
    """
    surface = region if lettering is None else region.difference(lettering)
    if surface.is_empty:
        return ()
    cut = [
        shapely.intersection(_lines(surface.bounds, angle, texture.spacing_mm), surface)
        for angle in texture.angles_deg
    ]
    return tuple(
        Run(tuple((float(x), float(y)) for x, y in line.coords))
        for lines in cut
        for line in line_strings(lines)
        if line.length > 0.05
    )


def _lines(bounds: tuple[float, float, float, float], angle_deg: float, spacing: float) -> Any:
    x0, y0, x1, y1 = bounds
    cos, sin = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    corners = np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
    along, across = corners @ (cos, sin), corners @ (-sin, cos)
    steps = np.arange(math.ceil(across.min() / spacing), math.floor(across.max() / spacing) + 1) * spacing
    low, high = along.min() - 1.0, along.max() + 1.0
    starts = np.column_stack((low * cos - steps * sin, low * sin + steps * cos))
    ends = np.column_stack((high * cos - steps * sin, high * sin + steps * cos))
    return MultiLineString(list(np.stack((starts, ends), axis=1)))

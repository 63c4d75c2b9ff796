"""Where something is, in words: by the corners and things next to it."""

from __future__ import annotations

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from .solved import SolvedShape


def nearest_corner(region: BaseGeometry, shape: SolvedShape) -> str:
    """Label of the corner nearest to a region; the first of the plan where several are as near."""
    distances = shapely.distance(region, shapely.points(shape.ring.points))
    least = float(np.min(distances))
    return shape.labels[int(np.flatnonzero(distances <= least + 1e-6)[0])]


def corner_words(part: Polygon, shape: SolvedShape) -> str:
    """ "at A, B" for the corners that a part of the floor has, or "near A" where it has none."""
    at = np.flatnonzero(shapely.dwithin(part, shapely.points(shape.ring.points), 1e-6))
    if not len(at):
        return f"near {nearest_corner(part, shape)}"
    few = [shape.labels[i] for i in at[:4]]
    return f"at {', '.join(few)}{', …' if len(at) > 4 else ''}"

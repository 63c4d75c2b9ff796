"""Where something is, in words: by the corners and things next to it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from .solved import SolvedShape

MOST_CORNERS: Final = 400
"""So many corners, spread evenly, are looked at to name a place."""


def own_corners(parts: Sequence[BaseGeometry], shape: SolvedShape) -> list[str]:
    """For each part a corner that lies nearer to it than to any other part, the first of the plan.

    A part to which no corner lies nearest takes the corner that is nearest to it.
    """
    step = max(1, len(shape.labels) // MOST_CORNERS)
    labels = shape.labels[::step]
    away = np.array([shapely.distance(part, shapely.points(shape.ring.points[::step])) for part in parts])
    owner = np.argmin(away, axis=0)
    names = []
    for k, distances in enumerate(away):
        mine = np.flatnonzero(owner == k)
        names.append(labels[int(mine[0] if len(mine) else np.argmin(distances))])
    return names


def corner_words(part: Polygon, shape: SolvedShape) -> str:
    """ "at A, B" for the corners that a part of the floor has, or "near A" for the nearest."""
    away = shapely.distance(part, shapely.points(shape.ring.points))
    at = np.flatnonzero(away <= 1e-6)
    if not len(at):
        return f"near {shape.labels[int(np.argmin(away))]}"
    few = [shape.labels[i] for i in at[:4]]
    return f"at {', '.join(few)}{', …' if len(at) > 4 else ''}"

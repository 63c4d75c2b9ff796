"""Many points and boxes at once for the geometry library, with types that hold."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from ..geometry.arcs import Floats


def dots(points: Floats) -> NDArray[np.object_]:
    """(n,) points from (n, 2)."""
    return np.asarray(shapely.points(points), dtype=object).reshape(len(points))


def boxes(low: Floats, high: Floats, margin: float = 0.0) -> NDArray[np.object_]:
    """(n,) boxes from least and greatest corners, (n, 2) each, widened by a margin."""
    corners = (low[:, 0] - margin, low[:, 1] - margin, high[:, 0] + margin, high[:, 1] + margin)
    return np.asarray(shapely.box(*corners), dtype=object).reshape(len(low))

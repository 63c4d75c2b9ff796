"""Tests of the slab before anything is coated: how many, and where on the floor.

Counts follow the published rules as secondary pages give them (the standards' own text was not seen): ASTM
F1869 and F2170 three for the first 1000 sq ft and one for each further 1000 sq ft, a part counting whole;
ASTM D4263 one for each 500 sq ft. For pull-off tests no published count was found: the specification sets it.
"""

from __future__ import annotations

import math
from enum import StrEnum
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon

from ..units.factors import SQFT_M2
from ..values import dataclass

_THOUSAND_M2: Final = 1000.0 * SQFT_M2
_FIVE_HUNDRED_M2: Final = 500.0 * SQFT_M2
FROM_EDGE_M: Final = 0.6
"""Tests keep this far (2 ft) off edges where the floor is wide enough: common practice, no source."""
_GRID: Final = 40


class Kind(StrEnum):
    """What is tested how."""

    HUMIDITY = "probe in the slab (ASTM F2170)"
    VAPOUR = "vapour emission (ASTM F1869)"
    SHEET = "plastic sheet (ASTM D4263)"


@dataclass(frozen=True, slots=True)
class Spots:
    """Where tests of one kind go on one slab, metres."""

    kind: Kind
    letter: str
    at: tuple[tuple[float, float], ...]


def probe_count(area_m2: float) -> int:
    """Probes, or vapour emission kits, for an area of floor above nothing."""
    _above_zero(area_m2)
    return 3 + max(0, math.ceil(area_m2 / _THOUSAND_M2 - 1e-9) - 1)


def sheet_count(area_m2: float) -> int:
    """Plastic sheets for an area of floor above nothing."""
    _above_zero(area_m2)
    return max(1, math.ceil(area_m2 / _FIVE_HUNDRED_M2 - 1e-9))


def _above_zero(area_m2: float) -> None:
    if not area_m2 > 0.0:
        raise ValueError(f"area_m2 must be > 0, got {area_m2!r}")


def slab_tests(floor: MultiPolygon, *, outdoors: bool) -> tuple[Spots, ...]:
    """Kinds and spots for a floor: sheets outdoors, sheets and probes indoors.

    The vapour emission test takes the same spots as the probes.
    """
    sheets = sheet_count(floor.area)
    probes = 0 if outdoors else probe_count(floor.area)
    spots = spread_points(floor, sheets + probes)
    found = [Spots(Kind.SHEET, "S", spots[probes:])]
    if probes:
        found.insert(0, Spots(Kind.HUMIDITY, "R", spots[:probes]))
    return tuple(found)


def spread_points(floor: MultiPolygon, count: int) -> tuple[tuple[float, float], ...]:
    """Points spread over a floor, each as far from the others as it goes, off the edges where there is room.

    The first stands where the floor is widest; every further one is farthest from those before it. The same
    floor always gives the same points.
    """
    if count < 1:
        return ()
    points, clear = _candidates(floor)
    chosen = [int(np.argmax(np.round(clear, 6)))]
    away = _from(points, points[chosen[0]])
    while len(chosen) < min(count, len(points)):
        # A point near an edge counts for less, so that the last ones do not all land in corners.
        worth = np.minimum(away, 4.0 * clear)
        chosen.append(int(np.argmax(np.round(worth, 6))))
        away = np.minimum(away, _from(points, points[chosen[-1]]))
    return tuple((float(points[i, 0]), float(points[i, 1])) for i in chosen)


def _candidates(floor: MultiPolygon) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    x0, y0, x1, y1 = floor.bounds
    step = max(x1 - x0, y1 - y0) / _GRID
    x, y = np.meshgrid(np.arange(x0 + 0.5 * step, x1, step), np.arange(y0 + 0.5 * step, y1, step))
    inside = shapely.intersects_xy(floor, x, y)
    points = np.column_stack((x[inside], y[inside]))
    if not len(points):
        middle = shapely.point_on_surface(floor)
        points = np.array([[middle.x, middle.y]])
    clear = np.asarray(shapely.distance(floor.boundary, shapely.points(points)))
    wide = clear >= FROM_EDGE_M
    if wide.any():
        points, clear = points[wide], clear[wide]
    return points, clear


def _from(points: NDArray[np.float64], at: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(np.hypot(points[:, 0] - at[0], points[:, 1] - at[1]))

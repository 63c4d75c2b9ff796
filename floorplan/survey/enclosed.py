"""Area enclosed by corners and arc sides, and how it moves when a corner or a rise moves.

Error propagation needs the derivative of the area, not only the area: σ² = gᵀ C g (law of propagation of
variances). An arc is held by its chord, which follows the corners, and its rise, taped on its own.
"""

from __future__ import annotations

import numpy as np

from ..geometry.arcs import Floats, segment_areas_m2
from ..values import dataclass

_SERIES_BELOW = 0.25


@dataclass(frozen=True, slots=True, kw_only=True)
class Enclosed:
    """An enclosed area and its derivatives.

    Attributes:
        area_m2: positive unless arcs that stand in take more than there is.
        by_corner: (n, 2) square metres for each metre that a corner moves.
        by_rise: (n,) square metres for each metre of rise.
    """

    area_m2: float
    by_corner: Floats
    by_rise: Floats


def shoelace_m2(points: Floats) -> float:
    """Signed area of straight sides, counter-clockwise positive, m²."""
    local = points - points[0]
    x, y = local[:, 0], local[:, 1]
    return float(0.5 * (x @ np.roll(y, -1) - y @ np.roll(x, -1)))


def enclosed(points: Floats, rises_out_m: Floats) -> Enclosed:
    """Area inside corners, (n, 2) either way round, with rises (n,) positive out of the floor."""
    following, before = np.roll(points, -1, axis=0), np.roll(points, 1, axis=0)
    across = following - before
    way = 1.0 if shoelace_m2(points) >= 0.0 else -1.0
    by_corner = 0.5 * way * np.column_stack((across[:, 1], -across[:, 0]))
    area = way * shoelace_m2(points)
    by_rise = np.zeros(len(points))
    bent = np.flatnonzero(rises_out_m)
    if len(bent):
        sides = following[bent] - points[bent]
        chords = np.hypot(sides[:, 0], sides[:, 1])
        bulges = 2.0 * rises_out_m[bent] / chords
        parts = segment_areas_m2(chords, bulges)
        slope = _share_slope(bulges)
        by_chord = 2.0 * parts / chords - 2.0 * rises_out_m[bent] * slope
        pull = (by_chord / chords)[:, None] * sides
        np.add.at(by_corner, (bent + 1) % len(points), pull)
        np.add.at(by_corner, bent, -pull)
        by_rise[bent] = 2.0 * chords * slope
        area += float(parts.sum())
    return Enclosed(area_m2=area, by_corner=by_corner, by_rise=by_rise)


def _share_slope(bulges: Floats) -> Floats:
    """Derivative by the bulge of (segment area) / (chord squared); a series where the closed form cancels."""
    slope = np.empty_like(bulges)
    flat = np.abs(bulges) < _SERIES_BELOW
    b = bulges[flat]
    slope[flat] = sum((-1.0) ** k * b ** (2 * k - 2) / ((2 * k + 1) * (2 * k - 3)) for k in range(1, 14))
    b = bulges[~flat]
    turn = np.arctan(b)
    whole = (1.0 + b * b) ** 2 * turn - b * (1.0 - b * b)
    grows = 4.0 * b * (1.0 + b * b) * turn + 4.0 * b * b
    slope[~flat] = (b * grows - 2.0 * whole) / (8.0 * b**3)
    return slope


def area_std_m2(shape: Enclosed, covariance: Floats, rise_stds_m: Floats) -> float:
    """Standard error of the area.

    Args:
        shape: from `enclosed`.
        covariance: (2n, 2n) of the corners, x0, y0, x1, y1, …
        rise_stds_m: (n,) standard errors of the rises, independent of the corners.
    """
    g = shape.by_corner.ravel()
    corners = float(g @ covariance @ g)
    rises = float(((shape.by_rise * rise_stds_m) ** 2).sum())
    return float(np.sqrt(max(0.0, corners + rises)))

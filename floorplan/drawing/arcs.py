"""Circular pieces of a run as chords, for everything that can only deal with straight lines."""

from __future__ import annotations

import math

from .marks import XY, Run

NEAR_MM = 0.05


def chords(run: Run, off_mm: float = NEAR_MM) -> tuple[XY, ...]:
    """The run as straight pieces that stay within `off_mm` of it; closed, its first point comes again."""
    points = [run.points[0]]
    for start, end, bulge in run.pieces():
        points += piece_points(start, end, bulge, off_mm)
    return tuple(points)


def piece_points(start: XY, end: XY, bulge: float, off_mm: float = NEAR_MM) -> list[XY]:
    """Points along one piece, without its start."""
    if not bulge:
        return [end]
    chord = math.dist(start, end)
    radius = chord * (1.0 + bulge * bulge) / (4.0 * abs(bulge))
    step = 2.0 * math.acos(max(0.0, 1.0 - min(off_mm / max(radius, 1e-9), 0.3)))
    count = max(1, math.ceil(4.0 * math.atan(abs(bulge)) / step))
    return [point_at(start, end, bulge, k / count) for k in range(1, count)] + [end]


def point_at(start: XY, end: XY, bulge: float, share: float) -> XY:
    """The point a share of the way along a piece."""
    half = 2.0 * math.atan(bulge)
    scale = math.sin(share * half) / math.sin(half) if abs(half) > 1e-9 else share
    turn = -(1.0 - share) * half if abs(half) > 1e-9 else 0.0
    dx, dy = end[0] - start[0], end[1] - start[1]
    cos, sin = scale * math.cos(turn), scale * math.sin(turn)
    return start[0] + cos * dx - sin * dy, start[1] + sin * dx + cos * dy


def heading_at(start: XY, end: XY, bulge: float, share: float) -> XY:
    """Unit direction of travel a share of the way along a piece."""
    angle = math.atan2(end[1] - start[1], end[0] - start[0]) + 4.0 * math.atan(bulge) * (share - 0.5)
    return math.cos(angle), math.sin(angle)

"""Small sums with points on paper."""

from __future__ import annotations

import math

from .marks import XY


def shifted(p: XY, direction: XY, distance: float) -> XY:
    """The point so far along a direction."""
    return p[0] + direction[0] * distance, p[1] + direction[1] * distance


def between(a: XY, b: XY, share: float) -> XY:
    """The point a share of the way from a to b."""
    return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share


def direction(a: XY, b: XY) -> XY:
    """Unit direction from a to b; (1, 0) where they coincide."""
    length = math.dist(a, b)
    return ((b[0] - a[0]) / length, (b[1] - a[1]) / length) if length > 1e-12 else (1.0, 0.0)


def left_of(d: XY) -> XY:
    """The direction a quarter turn counter-clockwise."""
    return -d[1], d[0]


LEAN_DEG = 5.0
"""Text this little past upright still reads from the right."""


def upright_deg(d: XY) -> float:
    """Angle of text along a direction, so that it reads from the bottom or from the right: (-85, 95].

    A wall that a tape leaves half a degree off upright reads from the right as upright ones do.
    """
    angle = math.degrees(math.atan2(d[1], d[0]))
    if angle <= LEAN_DEG - 90.0:
        angle += 180.0
    elif angle > LEAN_DEG + 90.0:
        angle -= 180.0
    return round(angle, 6) + 0.0


def polar(angle_deg: float) -> XY:
    """Unit direction at an angle."""
    return math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))

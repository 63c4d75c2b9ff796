"""Planes and placements: from an entity's own plane through nested blocks down to the plan.

A placement is a 3 x 4 matrix: the first three columns turn and scale, the last one shifts. Nothing here knows
blocks or files. Source of the plane of an entity: DXF reference, "Arbitrary axis algorithm".
"""

from __future__ import annotations

import math
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

Placement: TypeAlias = NDArray[np.float64]
Vector: TypeAlias = tuple[float, float, float]

STRAIGHT_UP: Final = (0.0, 0.0, 1.0)

_ROUNDED: Final = 1.0 / 64.0
"""Nearer than this to the plan's own axis, the arbitrary axis algorithm takes the other reference axis."""

_SIMILAR: Final = 1e-9
"""Relative difference up to which a placement counts as keeping circles round."""


def unmoved() -> Placement:
    """The placement that changes nothing."""
    return np.eye(3, 4)


def then(outer: Placement, inner: Placement) -> Placement:
    """The placement that does `inner` first and `outer` after it."""
    joined = np.empty((3, 4))
    joined[:, :3] = outer[:, :3] @ inner[:, :3]
    joined[:, 3] = outer[:, :3] @ inner[:, 3] + outer[:, 3]
    return joined


def plane_of(normal: Vector) -> Placement:
    """From an entity's own plane, given by its extrusion, to the space around it."""
    length = math.hypot(*normal)
    if not (length > 0.0 and math.isfinite(length)):
        return unmoved()
    z = (normal[0] / length, normal[1] / length, normal[2] / length)
    if abs(z[0]) < _ROUNDED and abs(z[1]) < _ROUNDED:
        x = _across((0.0, 1.0, 0.0), z)
    else:
        x = _across(STRAIGHT_UP, z)
    y = _across(z, x)
    placed = np.zeros((3, 4))
    placed[:, 0], placed[:, 1], placed[:, 2] = x, y, z
    return placed


def _across(a: Vector, b: Vector) -> Vector:
    """The direction square to two others, of length 1."""
    x, y, z = a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]
    length = math.hypot(x, y, z)
    return x / length, y / length, z / length


def turn_rad(turn_deg: float) -> float:
    """A turn in radians; not a number where it is endless, so that what it turns is left out and told."""
    return math.radians(turn_deg) if math.isfinite(turn_deg) else math.nan


def placed_block(
    *,
    at: Vector,
    base: Vector,
    scale: Vector,
    turn_deg: float,
    normal: Vector,
) -> Placement:
    """How an INSERT puts its block: base point to the origin, scaled, turned, shifted, tilted."""
    turn = turn_rad(turn_deg)
    cos, sin = math.cos(turn), math.sin(turn)
    a, b, c, d = cos * scale[0], -sin * scale[1], sin * scale[0], cos * scale[1]
    matrix = np.array(
        (
            (a, b, 0.0, at[0] - a * base[0] - b * base[1]),
            (c, d, 0.0, at[1] - c * base[0] - d * base[1]),
            (0.0, 0.0, scale[2], at[2] - scale[2] * base[2]),
        )
    )
    return matrix if normal == STRAIGHT_UP else then(plane_of(normal), matrix)


def similarity(placement: Placement) -> float:
    """+1 when circles in the plane stay circles on the plan, -1 when mirrored besides, 0 when they do not."""
    plain, mirrored = _halves(placement)
    if mirrored <= _SIMILAR * plain:
        return 1.0
    return -1.0 if plain <= _SIMILAR * mirrored else 0.0


def stands_upright(placement: Placement) -> bool:
    """True when the plane is seen edge-on from above, so that nothing in it encloses floor."""
    plain, mirrored = _halves(placement)
    return abs(plain - mirrored) <= _SIMILAR * (plain + mirrored)


def _halves(placement: Placement) -> tuple[float, float]:
    """The parts that turn and that mirror; the two stretches are their sum and their difference."""
    (a, b), (c, d) = placement[:2, :2].tolist()
    return 0.5 * math.hypot(a + d, b - c), 0.5 * math.hypot(a - d, b + c)

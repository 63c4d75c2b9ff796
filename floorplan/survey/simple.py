"""Does an outline of straight sides cross itself? Used to choose between mirror solutions.

Sides that only touch count as not crossing here: corners placed from rough lengths may touch by chance. The
measured outline gets the exact test later, arcs and touches included.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..geometry.arcs import Floats, Ints


def crossing_sides(points: Floats) -> tuple[int, int] | None:
    """The first pair of sides that cross, by their first corners; None for a simple outline."""
    n = len(points)
    for i in range(n - 2):
        others = np.arange(i + 2, n - 1 if i == 0 else n)
        hits = crossed(points, np.array([i, (i + 1) % n]), np.column_stack((others, (others + 1) % n)))
        if hits.any():
            return i, int(others[np.flatnonzero(hits)[0]])
    return None


def crossed(points: Floats, side: Ints, others: Ints) -> NDArray[np.bool_]:
    """Which of the `others`, (m, 2) corner indices, pass right through one side, (2,).

    `points` are (n, 2), or (b, n, 2) for many outlines at once; the answer is (m,) or (b, m).
    """
    a, b = points[..., side[0], None, :], points[..., side[1], None, :]
    c, d = points[..., others[:, 0], :], points[..., others[:, 1], :]
    return (_left(a, b, c) * _left(a, b, d) < 0.0) & (_left(c, d, a) * _left(c, d, b) < 0.0)


def _left(a: Floats, b: Floats, c: Floats) -> Floats:
    """Twice the signed area of the triangles a b c, broadcast: positive where c lies left of a to b."""
    return np.sign(
        (b[..., 0] - a[..., 0]) * (c[..., 1] - a[..., 1]) - (b[..., 1] - a[..., 1]) * (c[..., 0] - a[..., 0])
    )


def inside(points: Floats, at: Floats) -> bool:
    """True when a point lies within an outline (even-odd rule)."""
    following = np.roll(points, -1, axis=0)
    spans = (points[:, 1] > at[1]) != (following[:, 1] > at[1])
    rise = np.where(spans, following[:, 1] - points[:, 1], 1.0)
    x = points[:, 0] + (at[1] - points[:, 1]) / rise * (following[:, 0] - points[:, 0])
    return bool(np.count_nonzero(spans & (at[0] < x)) % 2)


def turns_in(points: Floats) -> tuple[int, ...]:
    """Corners at which the outline turns against its own way round: those that stand in."""
    before, after = np.roll(points, 1, axis=0), np.roll(points, -1, axis=0)
    x, y = points[:, 0], points[:, 1]
    area = float(x @ np.roll(y, -1) - y @ np.roll(x, -1))
    turn = (points[:, 0] - before[:, 0]) * (after[:, 1] - points[:, 1])
    turn -= (points[:, 1] - before[:, 1]) * (after[:, 0] - points[:, 0])
    return tuple(int(k) for k in np.flatnonzero(turn * area < 0.0))

"""Outlines of the trade brief's worked floors, in feet, and ways to make random ones."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from floorplan.geometry.rings import Ring


def patio() -> Ring:
    """The L-shaped patio with a curved far edge of the trade brief, 10A, feet: arc rise 3 on side 4."""
    corners = [(0, 0), (31.5, 0), (31.5, 13), (19, 13), (19, 22), (-1.5, 22)]
    return Ring(corners, [0, 0, 0, 0, 2 * 3.0 / 20.5, 0])


def patio_posts() -> list[Ring]:
    """Its two posts: 16 in square and 12 in round."""
    return [Ring.rectangle((13, 13), 4 / 3, 4 / 3), Ring.circle((17.6, 20.9), 1)]


def garage() -> Ring:
    """The two-car garage of the trade brief, 10B, feet; side 2 is the door line."""
    return Ring(
        [
            *[(0, 0), (3, 0), (3, -0.5), (19, -0.5), (19, 0), (22, 0)],
            *[(22, 22), (15, 22), (15, 25.5), (3, 25.5), (0, 22.5)],
        ]
    )


def garage_cutouts() -> list[Ring]:
    """Its heater pad in the corner, step on the back wall, drain and column."""
    return [
        Ring.rectangle((20.5, 20.5), 3, 3),
        Ring.rectangle((10, 25.5 - 11 / 24), 4, 11 / 12),
        Ring.rectangle((11, 9), 1, 1),
        Ring.circle((11, 16), 1 / 3),
    ]


def star(n: int, seed: int, *, arcs: bool = False) -> Ring:
    """A random star-shaped outline of n corners about the origin, 5 to 10 across, perhaps with arc sides."""
    rng = np.random.default_rng(seed)
    angles = (np.arange(n) + rng.uniform(-0.3, 0.3, n)) * 2 * math.pi / n
    radii = rng.uniform(5.0, 10.0, n)
    bulges = rng.uniform(-0.15, 0.15, n) * (rng.random(n) < 0.5) if arcs else np.zeros(n)
    return Ring(np.column_stack((radii * np.cos(angles), radii * np.sin(angles))), bulges)


def zigzag(n: int) -> Ring:
    """A toothed strip of n corners without crossings: the worst kind for a search by boxes along one axis."""
    half = n // 2
    x = np.arange(half) * 0.1
    low = np.column_stack((x, np.where(np.arange(half) % 2, 0.0, 0.7)))
    high = np.column_stack((x, np.where(np.arange(half) % 2, 1.0, 1.7)))[::-1]
    return Ring(np.vstack((low, high)))


def fine(ring: Ring, tolerance_m: float = 1e-7) -> NDArray[np.float64]:
    """A ring as very many chords, for libraries that know no arcs."""
    return ring.flattened(tolerance_m)

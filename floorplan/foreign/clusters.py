"""Points that mean one place, and things that hang together.

Rounding to a grid is not joining: two ends closer than the tolerance fall into different cells. Here
points are joined to points within the tolerance, so a place may be wider than the tolerance only where
ends are strung out that close.
"""

from __future__ import annotations

import numpy as np
import shapely

from ..geometry.arcs import Floats, Ints
from .geos import dots


def places(points: Floats, tolerance: float) -> tuple[Ints, Floats]:
    """Which place each point belongs to, (n,), and one of the points of each place, (k, 2).

    Places are numbered by where they stand, not by the order of the points.
    """
    if not len(points):
        return np.zeros(0, np.intp), np.zeros((0, 2))
    exact, index = np.unique(points[:, 0] + 1j * points[:, 1], return_inverse=True)
    spots = np.column_stack((exact.real, exact.imag))
    if tolerance > 0.0 and len(spots) > 1:
        a, b = near_pairs(spots, tolerance)
        if len(a):
            label = components(len(spots), a, b)
            kept, merged = np.unique(label, return_inverse=True)
            spots, index = spots[kept], merged[index]
    return np.asarray(index, dtype=np.intp).ravel(), spots


def near_pairs(spots: Floats, tolerance: float) -> tuple[Ints, Ints]:
    """Pairs (a < b) of different points no farther apart than the tolerance."""
    order = np.argsort(spots[:, 0], kind="stable")
    gaps = np.diff(spots[order, 0])
    if not (gaps <= tolerance).any():
        return np.zeros(0, np.intp), np.zeros(0, np.intp)
    points = dots(spots)
    a, b = shapely.STRtree(points).query(points, predicate="dwithin", distance=tolerance)
    once = a < b
    return a[once], b[once]


def components(count: int, a: Ints, b: Ints) -> Ints:
    """The least member of each thing's group, (count,), where a[i] and b[i] hang together."""
    label = np.arange(count)
    while True:
        before = label.copy()
        low = np.minimum(label[a], label[b])
        np.minimum.at(label, a, low)
        np.minimum.at(label, b, low)
        # A label that was lowered passes that on to everything that bears it, then to the end of the chain.
        np.minimum.at(label, before, label.copy())
        while True:
            further = label[label]
            if np.array_equal(further, label):
                break
            label = further
        if np.array_equal(before, label):
            return label

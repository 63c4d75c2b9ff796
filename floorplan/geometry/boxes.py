"""Which boxes meet: the first sieve of every search, near-linear for outlines of a million sides.

Neighbouring sides of an outline lie near each other, so boxes are bundled in runs of neighbours, whole runs
are compared first, and only runs that meet are taken apart. This needs no object per box, which is what a
tree over all boxes spends its time on; where the order tells nothing, such a tree still takes over.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray

from ..values import dataclass
from .arcs import Floats, Ints

RUN: Final = 16
"""Boxes in a run: fewer make more runs to compare, more make more to take apart."""

AT_ONCE: Final = 1 << 21
"""Comparisons held in memory at a time: some tens of megabytes."""

HOPELESS: Final = 32
"""Comparisons for each box beyond which the order of the boxes is of no use."""


@dataclass(frozen=True, slots=True)
class Boxes:
    """Boxes: least corners (n, 2) and greatest corners (n, 2)."""

    low: Floats
    high: Floats

    def __len__(self) -> int:
        return len(self.low)

    def grown(self, by_m: float) -> Boxes:
        """Boxes grown on every side."""
        return Boxes(self.low - by_m, self.high + by_m)

    def take(self, which: Ints) -> Boxes:
        """Only some of them."""
        return Boxes(self.low[which], self.high[which])

    def runs(self) -> Boxes:
        """A box around every run of neighbours."""
        first = np.arange(0, len(self), RUN)
        return Boxes(np.minimum.reduceat(self.low, first), np.maximum.reduceat(self.high, first))

    def shapes(self) -> NDArray[np.object_]:
        """The boxes as polygons, for a tree."""
        return np.asarray(shapely.box(self.low[:, 0], self.low[:, 1], self.high[:, 0], self.high[:, 1]))


def meeting(one: Boxes, two: Boxes) -> tuple[Ints, Ints]:
    """Every pair of a box of `one` and a box of `two` that meet, in order."""
    if not len(one) or not len(two):
        return np.empty(0, dtype=np.intp), np.empty(0, dtype=np.intp)
    first, run = _by_tree_or_all(one, two.runs())
    if len(first) * RUN > HOPELESS * (len(one) + len(two)):
        return _ordered(*_by_tree_or_all(one, two))
    member = run[:, None] * RUN + np.arange(RUN)
    return _ordered(*_that_meet(one, two, np.repeat(first, RUN), member.ravel()))


def meeting_each_other(boxes: Boxes) -> Iterator[tuple[Ints, Ints]]:
    """Every pair i < j of boxes that meet, a batch at a time, so that memory stays bounded."""
    if not len(boxes):
        return
    runs = boxes.runs()
    first, second = _by_tree_or_all(runs, runs)
    ahead = first <= second
    first, second = first[ahead], second[ahead]
    within = np.arange(RUN)
    step = AT_ONCE // (RUN * RUN)
    for k in range(0, len(first), step):
        i = (first[k : k + step, None, None] * RUN + within[:, None] + 0 * within).ravel()
        j = (second[k : k + step, None, None] * RUN + 0 * within[:, None] + within).ravel()
        kept = i < j
        yield _that_meet(boxes, boxes, i[kept], j[kept])


def _that_meet(one: Boxes, two: Boxes, i: Ints, j: Ints) -> tuple[Ints, Ints]:
    """Those of the given pairs that are there and meet; each test looks only at what the last one left."""
    there = j < len(two)
    i, j = i[there], j[there]
    for axis in (0, 1):
        close = one.low[i, axis] <= two.high[j, axis]
        i, j = i[close], j[close]
        close = two.low[j, axis] <= one.high[i, axis]
        i, j = i[close], j[close]
    return i, j


def _by_tree_or_all(one: Boxes, two: Boxes) -> tuple[Ints, Ints]:
    """Pairs that meet, by comparing all with all where that is little, else by a tree."""
    if len(one) * len(two) > AT_ONCE:
        first, second = shapely.STRtree(two.shapes()).query(one.shapes())
        return first, second
    meets = np.ones((len(one), len(two)), dtype=np.bool_)
    for axis in (0, 1):
        meets &= one.low[:, None, axis] <= two.high[None, :, axis]
        meets &= two.low[None, :, axis] <= one.high[:, None, axis]
    first, second = np.nonzero(meets)
    return first, second


def _ordered(first: Ints, second: Ints) -> tuple[Ints, Ints]:
    order = np.lexsort((second, first))
    return first[order], second[order]

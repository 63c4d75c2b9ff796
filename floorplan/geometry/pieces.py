"""Sides of several rings cut where they meet, as shared chords that can be told apart again.

A *piece* is a stretch of a side between two such points. Pieces of different rings that run over each other
are one *strand*, flattened once, so that a polygon library sees them as the same line. Every chord of a
strand is kept in a table by its two ends: an edge that comes out of the library is looked up there, and
stands for its exact arc again.
"""

from __future__ import annotations

from typing import Self

import numpy as np
from shapely import Polygon

from ..values import dataclass
from . import arcs
from .arcs import Flags, Floats, Ints
from .boxes import Boxes, meeting, meeting_each_other
from .meets import Meets, Sides, meets
from .rings import in_segment, side_boxes
from .tolerance import TOUCH_M

ROUNDS = 9
# Each round asks for a quarter of the sagitta: 1e-4 m comes down to 1e-9 m, where strips between arcs vanish.


@dataclass(frozen=True, slots=True)
class Pieces:
    """Cut sides, in the order of their rings.

    Attributes:
        ring: (n,) which ring each belongs to.
        side: (n,) which side of it.
        strand: (n,) its strand.
        forward: (n,) True where it runs along its strand, False where it runs against it.
        starts: (s, 2) start of every strand, metres.
        ends: (s, 2) end of every strand.
        bulges: (s,) bulge of every strand.
    """

    ring: Ints
    side: Ints
    strand: Ints
    forward: Flags
    starts: Floats
    ends: Floats
    bulges: Floats

    @classmethod
    def of(cls, sides: Sides, *, own: bool = False) -> Self:
        """Cut all sides where sides of different rings meet, and with `own` where those of one ring touch."""
        snap = sides.snap_m()
        first, second = sides.near_pairs_from(1, snap)
        if own:
            first, second = (np.concatenate(part) for part in zip(*sides.near_pairs(snap), strict=True))
        found = meets(sides, first, second, snap)
        sides = _joined(sides, found)
        owner, starts, ends, spans = _cut(sides, found, _nodes(sides, found, snap))
        bulges = _shared_bulges(sides.bulges[owner], spans)
        whole = (starts != ends).any(axis=1)
        owner, starts, ends, bulges = owner[whole], starts[whole], ends[whole], bulges[whole]
        forward = (starts[:, 0] < ends[:, 0]) | ((starts[:, 0] == ends[:, 0]) & (starts[:, 1] < ends[:, 1]))
        one = np.where(forward[:, None], starts, ends)
        two = np.where(forward[:, None], ends, starts)
        bend = np.where(forward, bulges, -bulges)
        strand, lead = _strands(one, two, bend, snap)
        return cls(sides.ring[owner], sides.index[owner], strand, forward, one[lead], two[lead], bend[lead])


def _joined(sides: Sides, found: Meets) -> Sides:
    """Corners that lie on corners of an earlier ring take their place to the last digit."""
    at_corner = ((found.first_share == 0.0) | (found.first_share == 1.0)) & (
        (found.second_share == 0.0) | (found.second_share == 1.0)
    )
    if not at_corner.any():
        return sides
    follows = _following(sides)
    starts = sides.starts.copy()
    for i, j, s, t in zip(
        found.first[at_corner],
        found.second[at_corner],
        found.first_share[at_corner],
        found.second_share[at_corner],
        strict=True,
    ):
        # Pairs come ordered by the earlier ring, so its own corner is settled when it is handed on.
        starts[j if t == 0.0 else follows[j]] = starts[i if s == 0.0 else follows[i]]
    return Sides(starts, starts[follows], sides.bulges, sides.ring, sides.index)


def _nodes(sides: Sides, found: Meets, snap_m: float) -> Floats:
    """The meetings, (k, 2), with those of several pairs at one place on one point to the last digit.

    Where three sides go through one point, each pair of them finds it with a rounding of its own. A corner
    stands for the place before a worked-out point, that of an earlier ring before that of a later one.
    """
    first_end = (found.first_share == 0.0) | (found.first_share == 1.0)
    second_end = (found.second_share == 0.0) | (found.second_share == 1.0)
    last = int(sides.ring.max(initial=0)) + 1
    by = np.where(first_end, sides.ring[found.first], np.where(second_end, sides.ring[found.second], last))
    order = np.lexsort((np.arange(len(found)), by))
    points, free = found.at[order], by[order] == last
    lead = np.arange(len(points))
    i, j = _near(points, snap_m)
    # Along a touch the rounding is larger, but only worked-out points may move by that much.
    k, m = _near(points, TOUCH_M)
    touch = found.tangent[order]
    touching = touch[k] & touch[m]
    k, m = k[touching], m[touching]
    pairs = [(i, j), (j, i), (m[free[k]], k[free[k]]), (k[free[m]], m[free[m]])]
    while True:
        before = lead.copy()
        for one, two in pairs:
            np.minimum.at(lead, two, lead[one])
        if (lead == before).all():
            break
    nodes = np.empty_like(points)
    nodes[order] = points[lead]
    return nodes


def _near(points: Floats, reach_m: float) -> tuple[Ints, Ints]:
    """Pairs of points within a reach of each other."""
    pairs = list(meeting_each_other(Boxes(points, points).grown(0.5 * reach_m)))
    if not pairs:
        return np.empty(0, dtype=np.intp), np.empty(0, dtype=np.intp)
    i, j = (np.concatenate(part) for part in zip(*pairs, strict=True))
    return i, j


def _shared_bulges(bulges: Floats, shares: Floats) -> Floats:
    """Bulge of a share of each side."""
    result = np.zeros_like(bulges)
    bent = np.flatnonzero(bulges)
    result[bent] = np.tan(shares[bent] * np.arctan(bulges[bent]))
    return result


def _following(sides: Sides) -> Ints:
    """Number of the side after each side in its ring."""
    follows = np.arange(1, len(sides) + 1)
    first = np.flatnonzero(np.diff(sides.ring, prepend=-1))
    last = np.append(first[1:], len(sides)) - 1
    follows[last] = first
    return follows


def _cut(sides: Sides, found: Meets, nodes: Floats) -> tuple[Ints, Floats, Floats, Floats]:
    """Owner, start, end and share of its side of every piece, in the order of the sides."""
    n = len(sides)
    owner = np.concatenate((np.arange(n), found.first, found.second))
    share = np.concatenate((np.zeros(n), found.first_share, found.second_share))
    at = np.vstack((sides.starts, nodes, nodes))
    inside = (share > 0.0) & (share < 1.0)
    inside[:n] = True
    owner, share, at = owner[inside], share[inside], at[inside]
    order = np.lexsort((share, owner))
    owner, share, at = owner[order], share[order], at[order]
    last = np.append(owner[1:] != owner[:-1], True)
    following = np.roll(at, -1, axis=0)
    ends = np.where(last[:, None], sides.ends[owner], following)
    spans = np.where(last, 1.0, np.roll(share, -1)) - share
    return owner, at, ends, spans


def _strands(one: Floats, two: Floats, bend: Floats, snap_m: float) -> tuple[Ints, Ints]:
    """Strand of every piece, and the piece that leads each strand (the first one listed)."""
    n = len(one)
    order = np.lexsort((np.arange(n), bend, two[:, 1], two[:, 0], one[:, 1], one[:, 0]))
    a, b, c = one[order], two[order], bend[order]
    chord = np.hypot(*(b - a).T)
    new = np.ones(n, dtype=np.bool_)
    new[1:] = (a[1:] != a[:-1]).any(axis=1) | (b[1:] != b[:-1]).any(axis=1)
    new[1:] |= 0.5 * chord[1:] * np.abs(c[1:] - c[:-1]) > _SAME_ARC_SNAPS * snap_m
    number = np.cumsum(new) - 1
    strand = np.empty(n, dtype=np.intp)
    strand[order] = number
    lead = np.full(int(number[-1]) + 1, n, dtype=np.intp)
    np.minimum.at(lead, strand, np.arange(n))
    return strand, lead


_SAME_ARC_SNAPS = 16.0
# Two cuts, each off by a snap, turn into a few snaps of rise on a short piece.


@dataclass(frozen=True, slots=True)
class Chords:
    """The strands of `pieces` as chords, and the table that finds a chord by its ends.

    Attributes:
        pieces: what was flattened.
        starts: (m, 2), ends: (m, 2), bulges: (m,) of every chord, along its strand.
        first: (s,) the first chord of every strand.
        count: (s,) how many it has.
        strand: (m,) the strand of every chord.
        keys: (m,) sorted hashes of the ends of the chords.
        sorted: (m,) the chord that each key belongs to.
    """

    pieces: Pieces
    starts: Floats
    ends: Floats
    bulges: Floats
    first: Ints
    count: Ints
    strand: Ints
    keys: np.ndarray[tuple[int], np.dtype[np.uint64]]
    sorted: Ints

    @classmethod
    def of(cls, pieces: Pieces, tolerance_m: float) -> Self:
        """Flatten every strand, finer where another line comes between a chord and its arc."""
        allowed = np.full(len(pieces.bulges), tolerance_m)
        for _ in range(ROUNDS):
            chords = cls._flat(pieces, allowed)
            crowded = chords._crowded()
            if not len(crowded):
                break
            allowed[crowded] *= 0.25
        return chords

    @classmethod
    def _flat(cls, pieces: Pieces, allowed: Floats) -> Self:
        starts, strand = arcs.flattened(pieces.starts, pieces.ends, pieces.bulges, allowed)
        count = np.bincount(strand, minlength=len(pieces.bulges))
        first = np.cumsum(count) - count
        ends = np.roll(starts, -1, axis=0)
        ends[first + count - 1] = pieces.ends
        bulges = _shared_bulges(pieces.bulges[strand], 1.0 / count[strand])
        keys = _keys(starts, ends)
        order = np.argsort(keys, kind="stable")
        return cls(pieces, starts, ends, bulges, first, count, strand, keys[order], order)

    def _crowded(self) -> Ints:
        """Strands with a chord between which and its arc the end of another chord lies."""
        bent = np.flatnonzero(self.bulges)
        if not len(bent):
            return bent
        low, high = side_boxes(self.starts[bent], self.ends[bent], self.bulges[bent])
        nodes = np.vstack((self.starts, self.pieces.ends))
        box, point = meeting(Boxes(low, high), Boxes(nodes, nodes))
        chord, at = bent[box], nodes[point]
        a, b = self.starts[chord] - at, self.ends[chord] - at
        own = (a == 0.0).all(axis=1) | (b == 0.0).all(axis=1)
        inside = in_segment(a, b, self.bulges[chord]) & ~own
        # Each once, in order; `np.unique` would load the masked arrays, a tenth of all that numpy is.
        crowded = np.zeros(len(self.count), dtype=np.bool_)
        crowded[self.strand[chord[inside]]] = True
        return np.flatnonzero(crowded)

    def polygon(self, ring: int) -> Polygon:
        """One of the rings as a polygon of the shared chords."""
        which = np.flatnonzero(self.pieces.ring == ring)
        strand, forward = self.pieces.strand[which], self.pieces.forward[which]
        count = self.count[strand]
        base = np.repeat(self.first[strand], count)
        step = np.arange(len(base)) - np.repeat(np.cumsum(count) - count, count)
        ahead = np.repeat(forward, count)
        back = np.repeat(self.first[strand] + count - 1, count) - step
        corners = np.where(ahead[:, None], self.starts[np.where(ahead, base + step, 0)], self.ends[back])
        return Polygon(corners)

    def find(self, starts: Floats, ends: Floats) -> tuple[Ints, Flags]:
        """The chord of each edge, -1 where it is none, and whether it runs along its strand."""
        asked = _keys(starts, ends)
        place = np.searchsorted(self.keys, asked)
        chord = self.sorted[np.minimum(place, len(self.sorted) - 1)]
        same = (self.starts[chord] == starts).all(axis=1) & (self.ends[chord] == ends).all(axis=1)
        turned = (self.starts[chord] == ends).all(axis=1) & (self.ends[chord] == starts).all(axis=1)
        return np.where(same | turned, chord, -1), same


def _keys(starts: Floats, ends: Floats) -> np.ndarray[tuple[int], np.dtype[np.uint64]]:
    """A hash of two ends that does not tell which is the start."""
    return _mixed(starts) + _mixed(ends)


def _mixed(points: Floats) -> np.ndarray[tuple[int], np.dtype[np.uint64]]:
    bits = np.ascontiguousarray(points + 0.0).view(np.uint64)
    x, y = bits[:, 0].copy(), bits[:, 1].copy()
    h = x * np.uint64(0x9E3779B97F4A7C15)
    h ^= h >> np.uint64(29)
    h += y * np.uint64(0xC2B2AE3D27D4EB4F)
    h ^= h >> np.uint64(32)
    h *= np.uint64(0xD6E8FEB86659FD93)
    h ^= h >> np.uint64(29)
    return h

"""Where sides meet: the points that two straight or circular sides have in common.

Every side lies on a curve A(x² + y²) + Gx·x + Gy·y + D = 0, scaled so that the left part is the distance
from the curve to first order. A straight side has A = 0 and a flat arc a small A, so that lines, flat arcs
and small circles go through one calculation: taking a share of the more curved from the other leaves a
straight line, which is met with the more curved one. All work is vectorised over pairs of sides whose boxes
meet.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Self

import numpy as np

from ..values import dataclass
from . import arcs
from .arcs import Flags, Floats, Ints
from .boxes import Boxes, meeting, meeting_each_other
from .rings import Ring, side_boxes
from .tolerance import SNAP_M, SNAP_ULPS, TOUCH_M


@dataclass(frozen=True, slots=True)
class Sides:
    """Sides of one ring or of several, as arrays.

    Attributes:
        starts: (n, 2) metres.
        ends: (n, 2) metres.
        bulges: (n,).
        ring: (n,) which ring each came from.
        index: (n,) its number in that ring.
    """

    starts: Floats
    ends: Floats
    bulges: Floats
    ring: Ints
    index: Ints

    @classmethod
    def of(cls, *rings: Ring) -> Self:
        """All sides of the rings, in order."""
        return cls(
            np.vstack([r.points for r in rings]),
            np.vstack([r.ends for r in rings]),
            np.concatenate([r.bulges for r in rings]),
            np.repeat(np.arange(len(rings)), [len(r) for r in rings]),
            np.concatenate([np.arange(len(r)) for r in rings]),
        )

    def __len__(self) -> int:
        return len(self.starts)

    def snap_m(self) -> float:
        """How near two points must be to count as one, for coordinates of this size."""
        largest = max(float(np.abs(self.starts).max()), float(np.abs(self.ends).max()))
        return max(SNAP_M, SNAP_ULPS * float(np.spacing(largest)))

    def joined(self, others: Sides) -> Sides:
        """These sides, then the others."""
        return Sides(
            np.vstack((self.starts, others.starts)),
            np.vstack((self.ends, others.ends)),
            np.concatenate((self.bulges, others.bulges)),
            np.concatenate((self.ring, others.ring)),
            np.concatenate((self.index, others.index)),
        )

    def boxes(self) -> Boxes:
        """A box around every side, arcs exact."""
        return Boxes(*side_boxes(self.starts, self.ends, self.bulges))

    def near_pairs(self, snap_m: float) -> Iterator[tuple[Ints, Ints]]:
        """Pairs i < j of sides whose boxes, grown by `snap_m`, meet, a batch at a time."""
        return meeting_each_other(self.boxes().grown(snap_m))

    def near_pairs_from(self, first_ring: int, snap_m: float) -> tuple[Ints, Ints]:
        """Such pairs of different rings, the later one `first_ring` or after it."""
        boxes = self.boxes().grown(snap_m)
        asked = np.flatnonzero(self.ring >= first_ring)
        second, first = meeting(boxes.take(asked), boxes)
        second = asked[second]
        apart = self.ring[first] < self.ring[second]
        first, second = first[apart], second[apart]
        order = np.lexsort((second, first))
        return first[order], second[order]


@dataclass(frozen=True, slots=True)
class Meets:
    """Common points of pairs of sides.

    Attributes:
        first: (k,) number of the one side.
        second: (k,) number of the other.
        at: (k, 2) the point, metres; exactly a corner where it is within the snap of one.
        first_share: (k,) how far along the first side it lies, 0 at its start, 1 at its end.
        second_share: (k,) likewise along the second.
        tangent: (k,) the sides run along each other there, touching or overlapping.
    """

    first: Ints
    second: Ints
    at: Floats
    first_share: Floats
    second_share: Floats
    tangent: Flags

    def __len__(self) -> int:
        return len(self.first)

    def take(self, which: Ints | Flags) -> Meets:
        """Only some of them."""
        return Meets(
            self.first[which],
            self.second[which],
            self.at[which],
            self.first_share[which],
            self.second_share[which],
            self.tangent[which],
        )


def meets(sides: Sides, first: Ints, second: Ints, snap_m: float) -> Meets:
    """Every point that the given pairs of sides have in common.

    Sides that overlap yield the ends of the common stretch. A side of no length meets nothing.
    """
    whole = (sides.starts != sides.ends).any(axis=1)
    sound = whole[first] & whole[second]
    first, second = first[sound], second[sound]
    for swapped in (False, True):
        one, two = (second, first) if swapped else (first, second)
        near = ~_beside(sides, one, two, snap_m)
        first, second = first[near], second[near]
    found = [*_inner_points(sides, first, second), *_end_points(sides, first, second)]
    pair = np.concatenate([p for p, _ in found])
    at = np.vstack([xy for _, xy in found])
    return _settled(sides, first, second, pair, at, snap_m)


def _beside(sides: Sides, one: Ints, two: Ints, snap_m: float) -> Flags:
    """Whether each second side lies wholly to one side of the band between the first and its chord."""
    p = sides.starts[one]
    along = sides.ends[one] - p
    chord = np.hypot(along[:, 0], along[:, 1])
    rise = 0.5 * chord * sides.bulges[one]
    a, b = sides.starts[two] - p, sides.ends[two] - p
    off_a = (along[:, 0] * a[:, 1] - along[:, 1] * a[:, 0]) / chord
    off_b = (along[:, 0] * b[:, 1] - along[:, 1] * b[:, 0]) / chord
    # The second side stands off its own chord by no more than its rise, either way.
    room = 0.5 * np.abs(sides.bulges[two]) * np.hypot(*(b - a).T) + 2.0 * snap_m
    above = np.minimum(off_a, off_b) - room > np.maximum(0.0, -rise)
    below = np.maximum(off_a, off_b) + room < np.minimum(0.0, -rise)
    return np.asarray(above | below, dtype=np.bool_)


def _settled(sides: Sides, first: Ints, second: Ints, pair: Ints, at: Floats, snap_m: float) -> Meets:
    """Keep the points that lie on both sides, moved onto corners that they all but reach, each once."""
    i, j = first[pair], second[pair]
    ends = (sides.ends[j], sides.starts[j], sides.ends[i], sides.starts[i])
    close = [np.hypot(*(at - corners).T) <= snap_m for corners in ends]
    # Where corners of both come together, the corner of the first side stands for both.
    for corners, near in zip(ends, close, strict=True):
        at = np.where(near[:, None], corners, at)
    share_i = _at_ends(shares(sides, i, at), close[3], close[2])
    share_j = _at_ends(shares(sides, j, at), close[1], close[0])
    on = (off_side(sides, i, at, share_i) <= snap_m) & (off_side(sides, j, at, share_j) <= snap_m)
    pair, at, share_i, share_j = pair[on], at[on], share_i[on], share_j[on]
    i, j = first[pair], second[pair]
    along_i, along_j = directions(sides, i, share_i), directions(sides, j, share_j)
    sine = np.abs(along_i[:, 0] * along_j[:, 1] - along_i[:, 1] * along_j[:, 0])
    found = Meets(i, j, at, share_i, share_j, sine <= _TANGENT_SINE)
    return found.take(_once(found, pair, snap_m))


def _at_ends(share: Floats, at_start: Flags, at_end: Flags) -> Floats:
    return np.where(at_start, 0.0, np.where(at_end, 1.0, share))


def _once(found: Meets, pair: Ints, snap_m: float) -> Ints:
    """Which points to keep, in order, each once: a corner before a point worked out near it.

    Of sides that overlap only the ends of the common stretch stay. Two such lines also cross, somewhere, by
    rounding alone.
    """
    at, share_i, share_j = found.at, found.first_share, found.second_share
    corner = (share_i == 0.0) | (share_i == 1.0) | (share_j == 0.0) | (share_j == 1.0)
    order = np.lexsort((share_i, pair))
    ends = order[(corner & found.tangent)[order]]
    ends = ends[_parted(pair[ends], at[ends], TOUCH_M)]
    overlap = np.bincount(pair[ends], minlength=int(pair.max(initial=-1)) + 1)[pair] > 1
    order = order[(corner | ~(overlap & found.tangent))[order]]
    touch = np.cumsum(_parted(pair[order], at[order], TOUCH_M))
    at_corner = np.bincount(touch, corner[order], minlength=len(pair) + 1)[touch] > 0
    order = order[corner[order] | ~at_corner]
    # The worked-out points of one touch are one; corners are one only where they are the same point.
    reach = np.where(corner[order], 2.0 * snap_m, TOUCH_M)
    return np.asarray(order[_parted(pair[order], at[order], reach)], dtype=np.intp)


def _parted(pair: Ints, at: Floats, reach: Floats | float) -> Flags:
    """Whether each point is of another pair than the one before it, or farther from it than `reach`."""
    parted = np.ones(len(pair), dtype=np.bool_)
    gap = np.hypot(*(at[1:] - at[:-1]).T)
    parted[1:] = (pair[1:] != pair[:-1]) | (gap > np.broadcast_to(reach, len(pair))[1:])
    return parted


_TANGENT_SINE = 1e-6
# Two circles that touch within the rounding of a metre (1e-16) cross at about 1e-8 rad.


def shares(sides: Sides, which: Ints, at: Floats) -> Floats:
    """How far along its side each point lies, 0 to 1, for points on or all but on the side."""
    p, q = sides.starts[which], sides.ends[which]
    half = 2.0 * np.arctan(sides.bulges[which])
    d, a, b = q - p, at - p, q - at
    chord2 = (d * d).sum(axis=1)
    across = (a * d).sum(axis=1) / chord2
    flat = np.abs(half) < 1.0
    safe = np.where(half == 0.0, 1.0, half)
    sine = np.clip((2.0 * across - 1.0) * np.sin(half), -1.0, 1.0)
    gentle = np.where(half == 0.0, across, 0.5 * (1.0 + np.arcsin(sine) / safe))
    # A steep arc: by the angle under which the farther end sees the point.
    from_p = np.arctan2(d[:, 0] * a[:, 1] - d[:, 1] * a[:, 0], (a * d).sum(axis=1))
    from_q = np.arctan2(d[:, 0] * b[:, 1] - d[:, 1] * b[:, 0], (b * d).sum(axis=1))
    nearer_q = (a * a).sum(axis=1) > (b * b).sum(axis=1)
    steep = np.where(nearer_q, 1.0 + from_p / safe, from_q / safe)
    share = np.clip(np.where(flat, gentle, steep), 0.0, 1.0)
    share[(at == p).all(axis=1)] = 0.0
    share[(at == q).all(axis=1)] = 1.0
    return np.asarray(share, dtype=np.float64)


def off_side(sides: Sides, which: Ints, at: Floats, share: Floats) -> Floats:
    """Distance from each point to the place at its share of its side."""
    foot = arcs.points_at(sides.starts[which], sides.ends[which], sides.bulges[which], share)
    # Corners themselves are exact, whatever the rounding of the turn.
    foot = np.where((share == 0.0)[:, None], sides.starts[which], foot)
    foot = np.where((share == 1.0)[:, None], sides.ends[which], foot)
    return np.asarray(np.hypot(*(at - foot).T), dtype=np.float64)


def directions(sides: Sides, which: Ints, share: Floats) -> Floats:
    """Unit direction of travel along each side at a share of it, (k, 2)."""
    d = sides.ends[which] - sides.starts[which]
    turn = (2.0 * share - 1.0) * 2.0 * np.arctan(sides.bulges[which])
    cos, sin = np.cos(turn), np.sin(turn)
    along = np.column_stack((cos * d[:, 0] - sin * d[:, 1], sin * d[:, 0] + cos * d[:, 1]))
    return np.asarray(along / np.hypot(*along.T)[:, None], dtype=np.float64)


def _end_points(sides: Sides, first: Ints, second: Ints) -> list[tuple[Ints, Floats]]:
    every = np.arange(len(first))
    ends = (sides.starts[first], sides.ends[first], sides.starts[second], sides.ends[second])
    return [(every, points) for points in ends]


@dataclass(frozen=True, slots=True)
class _Curves:
    """A(x² + y²) + G·(x, y) + D about an origin of each pair's own."""

    a: Floats
    g: Floats
    d: Floats

    def at(self, z: Floats) -> Floats:
        return np.asarray(self.a * (z * z).sum(axis=1) + (self.g * z).sum(axis=1) + self.d, dtype=np.float64)

    def where(self, swap: Flags, other: _Curves) -> _Curves:
        return _Curves(
            np.where(swap, other.a, self.a),
            np.where(swap[:, None], other.g, self.g),
            np.where(swap, other.d, self.d),
        )


def _curves(sides: Sides, which: Ints, origin: Floats) -> _Curves:
    p, q, b = sides.starts[which] - origin, sides.ends[which] - origin, sides.bulges[which]
    d = q - p
    chord = np.hypot(*d.T)
    left = np.column_stack((-d[:, 1], d[:, 0])) / chord[:, None]
    whole = 1.0 + b * b
    a = 2.0 * b / (chord * whole)
    tilt = (1.0 - b * b) / whole
    middle = 0.5 * (p + q)
    g = -2.0 * a[:, None] * middle - tilt[:, None] * left
    return _Curves(a, g, a * (p * q).sum(axis=1) + tilt * (left * middle).sum(axis=1))


def _inner_points(sides: Sides, first: Ints, second: Ints) -> list[tuple[Ints, Floats]]:
    """Common points of the whole curves; whether they lie on the sides is settled later."""
    origin = 0.25 * (sides.starts[first] + sides.ends[first] + sides.starts[second] + sides.ends[second])
    one, two = _curves(sides, first, origin), _curves(sides, second, origin)
    swap = np.abs(two.a) > np.abs(one.a)
    bent, other = one.where(swap, two), two.where(swap, one)
    ratio = np.where(bent.a == 0.0, 0.0, other.a / np.where(bent.a == 0.0, 1.0, bent.a))
    g = other.g - ratio[:, None] * bent.g
    e = other.d - ratio * bent.d
    size2 = (g * g).sum(axis=1)
    apart = np.flatnonzero(size2 > _SAME_CURVE**2)
    found = []
    if len(apart):
        g, e, size2 = g[apart], e[apart], size2[apart]
        near = -(e / size2)[:, None] * g
        along = np.column_stack((-g[:, 1], g[:, 0])) / np.sqrt(size2)[:, None]
        bent = _Curves(bent.a[apart], bent.g[apart], bent.d[apart])
        for root in _roots(bent.a, 0.5 * (bent.g * along).sum(axis=1), bent.at(near)):
            real = np.isfinite(root)
            z = near + np.where(real, root, 0.0)[:, None] * along
            found.append((apart[real], (z + origin[apart])[real]))
    return found


_SAME_CURVE = 1e-12
# Below this the two curves are one and the same (or one inside the other about one centre).


def _roots(a: Floats, half: Floats, c: Floats) -> tuple[Floats, Floats]:
    """Both roots of a s² + 2 half s + c = 0, NaN where there is none; of curves that miss, the nearest place.

    Whether such a point is near enough to be a touch is settled later.
    """
    disc = np.maximum(half * half - a * c, 0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        q = -(half + np.where(half < 0.0, -1.0, 1.0) * np.sqrt(disc))
        far, near = q / a, c / q
    still = (q == 0.0) & (disc == 0.0) & (a != 0.0)
    return np.where(np.isfinite(far), far, np.nan), np.where(still, 0.0, near)

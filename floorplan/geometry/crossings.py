"""Where an outline meets itself, so that no area is ever taken of a shape that has none.

Words: sides *cross* where the one passes through the other; they *touch* where they meet without passing;
they *overlap* where they share a stretch; a *spike* is a side that goes straight back over the one before; a
corner *repeats* where a side has no length.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

import numpy as np

from .arcs import Floats, Ints
from .meets import Meets, Sides, directions, meets
from .rings import Ring

MANY: Final = 1_000
"""Straight sides above which the exact test of GEOS goes first."""


class Meeting(StrEnum):
    """How two sides meet."""

    CROSS = "cross"
    TOUCH = "touch"
    OVERLAP = "overlap"
    SPIKE = "spike"
    REPEAT = "repeat"


@dataclass(frozen=True, slots=True)
class Crossing:
    """One place where sides meet that should not.

    Attributes:
        kind: how they meet.
        i: number of the one side; for a repeated corner the side without length.
        j: number of the other side, i < j within one ring; for a repeated corner the side after it.
        point: where, metres; for an overlap or spike one end of the common stretch.
    """

    kind: Meeting
    i: int
    j: int
    point: tuple[float, float]

    @property
    def spoils_area(self) -> bool:
        """True where the ring has no plain inside; a touch or a repeated corner leaves its area as it is."""
        return self.kind in (Meeting.CROSS, Meeting.OVERLAP)


def crossings(ring: Ring) -> tuple[Crossing, ...]:
    """Every place where a ring meets itself, in the order of its sides; empty for a sound ring.

    Sides within a nanometre of each other touch. A ring of over `MANY` straight sides is first shown to GEOS,
    whose exact test is several times as fast; where it finds the ring sound, a near touch is not looked for.
    """
    sides = Sides.of(ring)
    snap = sides.snap_m()
    repeats = np.flatnonzero(ring.chords_m <= snap)
    if len(repeats) and len(repeats) < len(ring):
        return _with_repeats(ring, repeats)
    if len(ring) > MANY and not len(repeats) and not ring.bulges.any() and ring.polygon().is_valid:
        return ()
    found = meets(sides, *_worth_a_look(sides, *sides.near_pairs(snap)), snap)
    return _sorted(_within(found, sides))


def _worth_a_look(sides: Sides, first: Ints, second: Ints) -> tuple[Ints, Ints]:
    """Leave out neighbours that lead off in different directions: they have their corner and nothing else.

    Seen from one of its ends, a side up to a half circle lies between its chord and its tangent there, half
    its angle apart. Neighbours whose chords part by more than both of these cannot meet again.
    """
    n = len(sides)
    if n == 2:
        return first, second
    along = sides.ends - sides.starts
    turns = 2.0 * np.abs(np.arctan(sides.bulges))
    onward = second - first == 1
    before, after = np.where(onward, first, second), np.where(onward, second, first)
    back, on = -along[before], along[after]
    parting = np.abs(np.arctan2(_cross(back, on), (back * on).sum(axis=1)))
    gentle = (turns[before] <= 0.5 * np.pi) & (turns[after] <= 0.5 * np.pi)
    apart = gentle & (parting > turns[before] + turns[after] + _LEAST_PARTING_RAD)
    keep = ~((onward | (second - first == n - 1)) & apart)
    return first[keep], second[keep]


_LEAST_PARTING_RAD = 1e-3
# Far above rounding, far below any corner of a floor.


def _cross(a: Floats, b: Floats) -> Floats:
    return np.asarray(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0], dtype=np.float64)


def crossings_between(one: Ring, other: Ring) -> tuple[Crossing, ...]:
    """Every place where two rings meet; i counts the sides of the one, j those of the other."""
    sides = Sides.of(one, other)
    snap = sides.snap_m()
    found = meets(sides, *sides.near_pairs_from(1, snap), snap)
    shift = len(one)
    kinds = _kinds(found, sides)
    raw = zip(kinds, found.first, found.second, found.at, strict=True)
    return _sorted([Crossing(k, int(i), int(j) - shift, (float(p[0]), float(p[1]))) for k, i, j, p in raw])


def _with_repeats(ring: Ring, repeats: Ints) -> tuple[Crossing, ...]:
    """Name the repeated corners, and look at the ring without them."""
    n = len(ring)
    named = [
        Crossing(Meeting.REPEAT, int(i), int((i + 1) % n), (float(x), float(y)))
        for i, (x, y) in zip(repeats, ring.points[repeats], strict=True)
    ]
    kept = np.setdiff1d(np.arange(n), repeats)
    if len(kept) < (2 if ring.bulges[kept].any() else 3):
        return tuple(named)
    rest = crossings(Ring(ring.points[kept], ring.bulges[kept]))
    found = [Crossing(c.kind, int(kept[c.i]), int(kept[c.j]), c.point) for c in rest]
    return _sorted(named + found)


def _within(found: Meets, sides: Sides) -> list[Crossing]:
    """Meetings of one ring's sides, without the corners where neighbours join."""
    n = len(sides)
    next_to = (found.second - found.first == 1) & (found.first_share == 1.0) & (found.second_share == 0.0)
    round_to = (
        (found.second - found.first == n - 1) & (found.first_share == 0.0) & (found.second_share == 1.0)
    )
    neighbours = (found.second - found.first == 1) | (found.second - found.first == n - 1)
    foreign = ~(next_to | round_to)
    found, neighbours = found.take(foreign), neighbours[foreign]
    kinds = _kinds(found, sides)
    result = []
    for k in range(len(found)):
        kind = kinds[k]
        if neighbours[k] and found.tangent[k]:
            kind = Meeting.SPIKE
        x, y = found.at[k]
        result.append(Crossing(kind, int(found.first[k]), int(found.second[k]), (float(x), float(y))))
    return result


def _kinds(found: Meets, sides: Sides) -> list[Meeting]:
    """Cross, touch or overlap for each meeting.

    A meeting at a corner belongs to two sides of a ring; whether the strands pass through each other is read
    off the order of the four directions round the point.
    """
    shared = _shared_pairs(found)
    kinds = []
    for k in range(len(found)):
        if shared[k]:
            kinds.append(Meeting.OVERLAP)
        elif _passes(found, sides, k):
            kinds.append(Meeting.CROSS)
        else:
            kinds.append(Meeting.TOUCH)
    return kinds


def _shared_pairs(found: Meets) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Whether a meeting is one end of a common stretch: two tangent meetings of one pair of sides."""
    shared = np.zeros(len(found), dtype=np.bool_)
    if len(found) > 1:
        same = (found.first[1:] == found.first[:-1]) & (found.second[1:] == found.second[:-1])
        both = same & found.tangent[1:] & found.tangent[:-1]
        shared[1:] |= both
        shared[:-1] |= both
    return shared


def _passes(found: Meets, sides: Sides, k: int) -> bool:
    one = _strand(sides, int(found.first[k]), float(found.first_share[k]))
    two = _strand(sides, int(found.second[k]), float(found.second_share[k]))
    angles = np.concatenate((one, two))
    turned = np.mod(angles - angles[0], 2.0 * np.pi)
    gap, b1, b2 = turned[1], turned[2], turned[3]
    near = 1e-6
    if min(b1, b2, 2.0 * np.pi - max(b1, b2), abs(b1 - gap), abs(b2 - gap)) < near:
        return False
    return bool((b1 < gap) != (b2 < gap))


def _strand(sides: Sides, i: int, share: float) -> Floats:
    """Angles of the two directions in which a ring leaves a point of side i: back, and onward."""
    n = int(np.count_nonzero(sides.ring == sides.ring[i]))
    base = i - int(sides.index[i])
    before, after = i, i
    back_share, on_share = share, share
    if share == 0.0:
        before, back_share = base + (i - base - 1) % n, 1.0
    elif share == 1.0:
        after, on_share = base + (i - base + 1) % n, 0.0
    back = -directions(sides, np.array([before]), np.array([back_share]))[0]
    onward = directions(sides, np.array([after]), np.array([on_share]))[0]
    return np.array([np.arctan2(back[1], back[0]), np.arctan2(onward[1], onward[0])])


def _sorted(found: list[Crossing]) -> tuple[Crossing, ...]:
    return tuple(sorted(found, key=lambda c: (c.i, c.j, c.point)))

"""Where an outline meets itself, so that no area is ever taken of a shape that has none.

Words: sides *cross* where the one passes through the other; they *touch* where they meet without passing;
they *overlap* where they share a stretch; a *spike* is a side that goes straight back over the one before; a
corner *repeats* where a side has no length.
"""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum
from typing import Final

import numpy as np

from ..values import dataclass
from .arcs import Flags, Floats, Ints
from .meets import Meets, Sides, directions, meets
from .rings import Ring

MANY: Final = 1_000
"""Straight sides above which the exact test of GEOS goes first."""


PAIRS_AT_ONCE: Final = 1 << 16
"""Pairs of sides looked at together: some tens of megabytes."""

MOST: Final = 1_000
"""Places to report before the search ends."""


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


def crossings(ring: Ring, most: int = MOST) -> tuple[Crossing, ...]:
    """Places where a ring meets itself, in the order of its sides; empty for a sound ring.

    The search ends once `most` are found: a drawing whose corners are all out of order crosses itself in more
    places than anyone can mend one by one.

    Sides within a nanometre of each other touch. A ring of over `MANY` straight sides is first shown to GEOS,
    whose exact test is several times as fast; where it finds the ring sound, a near touch is not looked for.
    """
    sides = Sides.of(ring)
    snap = sides.snap_m()
    if len(ring) == 2 and 0.5 * ring.chords_m[0] * abs(ring.bulges.sum()) <= snap:
        return (Crossing(Meeting.SPIKE, 0, 1, ring.side(0).end),)
    repeats = np.flatnonzero(ring.chords_m <= snap)
    if len(repeats) and len(repeats) < len(ring):
        return _with_repeats(ring, repeats, most)
    if len(ring) > MANY and not len(repeats) and not ring.bulges.any() and ring.polygon().is_valid:
        return ()
    found: list[Crossing] = []
    for first, second in _in_parts(sides, snap):
        found += _within(meets(sides, first, second, snap), sides, most - len(found))
        if len(found) >= most:
            break
    return _sorted(found)


def _in_parts(sides: Sides, snap_m: float) -> Iterator[tuple[Ints, Ints]]:
    """Pairs worth a look, few enough at a time for the memory that each of them needs."""
    for first, second in sides.near_pairs(snap_m):
        first, second = _worth_a_look(sides, first, second)
        for k in range(0, len(first), PAIRS_AT_ONCE):
            yield first[k : k + PAIRS_AT_ONCE], second[k : k + PAIRS_AT_ONCE]


def _worth_a_look(sides: Sides, first: Ints, second: Ints) -> tuple[Ints, Ints]:
    """Leave out neighbours that lead off in different directions: they have their corner and nothing else.

    Seen from one of its ends, a side lies between its chord and its tangent there, half its angle apart
    (Euclid III.32). Neighbours whose chords part by more than both of these cannot meet again.
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
    apart = parting > turns[before] + turns[after] + _LEAST_PARTING_RAD
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


def _with_repeats(ring: Ring, repeats: Ints, most: int) -> tuple[Crossing, ...]:
    """Name the repeated corners, and look at the ring without them."""
    n = len(ring)
    named = [
        Crossing(Meeting.REPEAT, int(i), int((i + 1) % n), (float(x), float(y)))
        for i, (x, y) in zip(repeats, ring.points[repeats], strict=True)
    ]
    kept = np.setdiff1d(np.arange(n), repeats)
    if len(kept) < (2 if ring.bulges[kept].any() else 3):
        return tuple(named[:most])
    rest = crossings(Ring(ring.points[kept], ring.bulges[kept]), most)
    found = [Crossing(c.kind, int(kept[c.i]), int(kept[c.j]), c.point) for c in rest]
    return _sorted(named + found)[:most]


def _within(found: Meets, sides: Sides, most: int) -> list[Crossing]:
    """Meetings of one ring's sides, without the corners where neighbours join."""
    n = len(sides)
    next_to = (found.second - found.first == 1) & (found.first_share == 1.0) & (found.second_share == 0.0)
    round_to = (
        (found.second - found.first == n - 1) & (found.first_share == 0.0) & (found.second_share == 1.0)
    )
    beside = (found.second - found.first == 1) | (found.second - found.first == n - 1)
    spike = beside & _shared_pairs(found)
    foreign = np.flatnonzero(~(next_to | round_to))[:most]
    found, spike = found.take(foreign), spike[foreign]
    kinds = _kinds(found, sides)
    result = []
    for k in range(len(found)):
        kind = Meeting.SPIKE if spike[k] else kinds[k]
        x, y = found.at[k]
        result.append(Crossing(kind, int(found.first[k]), int(found.second[k]), (float(x), float(y))))
    return result


def _kinds(found: Meets, sides: Sides) -> list[Meeting]:
    """Cross, touch or overlap for each meeting.

    A meeting at a corner belongs to two sides of a ring; whether the strands pass through each other is read
    off the order of the four directions round the point.
    """
    kinds = np.where(_passes(found, sides), Meeting.CROSS, Meeting.TOUCH)
    return [Meeting(kind) for kind in np.where(_shared_pairs(found), Meeting.OVERLAP, kinds)]


def _shared_pairs(found: Meets) -> Flags:
    """Whether a meeting is one end of a common stretch: two tangent meetings of one pair of sides."""
    shared = np.zeros(len(found), dtype=np.bool_)
    if len(found) > 1:
        same = (found.first[1:] == found.first[:-1]) & (found.second[1:] == found.second[:-1])
        both = same & found.tangent[1:] & found.tangent[:-1]
        shared[1:] |= both
        shared[:-1] |= both
    return shared


def _passes(found: Meets, sides: Sides) -> Flags:
    """Whether the two strands swap sides at each meeting."""
    back, gap = _strand(sides, found.first, found.first_share)
    gap = np.mod(gap - back, _TURN)
    ways = [np.mod(way - back, _TURN) for way in _strand(sides, found.second, found.second_share)]
    between = [way < gap for way in ways]
    # A direction along one of the other strand is no passing: that stretch has its own meetings.
    clear = np.ones(len(found), dtype=np.bool_)
    for way in ways:
        clear &= (way > _ALONG_RAD) & (way < _TURN - _ALONG_RAD) & (np.abs(way - gap) > _ALONG_RAD)
    return np.asarray(clear & (between[0] != between[1]), dtype=np.bool_)


_TURN = 2.0 * np.pi
_ALONG_RAD = 1e-6


def _strand(sides: Sides, side: Ints, share: Floats) -> tuple[Floats, Floats]:
    """Angles of the two directions in which a ring leaves each point of its sides: back, and onward."""
    size = np.bincount(sides.ring)[sides.ring[side]]
    number = sides.index[side]
    base = side - number
    at_start, at_end = share == 0.0, share == 1.0
    before = np.where(at_start, base + (number - 1) % size, side)
    after = np.where(at_end, base + (number + 1) % size, side)
    back = -directions(sides, before, np.where(at_start, 1.0, share))
    onward = directions(sides, after, np.where(at_end, 0.0, share))
    return np.arctan2(back[:, 1], back[:, 0]), np.arctan2(onward[:, 1], onward[:, 0])


def _sorted(found: list[Crossing]) -> tuple[Crossing, ...]:
    return tuple(sorted(found, key=lambda c: (c.i, c.j, c.point)))

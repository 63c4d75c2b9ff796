"""Straight lines that a floor may be cut along: its joints, and free lines where no joint will serve.

Words: a *cut line* goes on without end; where it crosses a floor it makes *chords*. A line *lies on a
joint* over the stretches where a joint was made. Positions on a line are metres from the foot of the origin.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Any, Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiLineString, Polygon

from ..values import dataclass

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

SAME_LINE_M: Final = 0.03
"""Joints whose lines lie this near are one line: a saw cut is not truer than that."""
SAME_TURN: Final = math.radians(1.5)
SHORTEST_JOINT_M: Final = 0.3
"""A shorter stretch (a chase round a post) gives no line to stop at."""
MOST_DIRECTIONS: Final = 3
_LEVEL_DIGITS: Final = 9
"""Corners at the same level to the nanometre are at one level."""


@dataclass(frozen=True, slots=True)
class CutLine:
    """All points p with normal · p = offset.

    Attributes:
        angle: of the line, radians in [0, pi).
        offset: metres.
        stretches: (from, to) along the line where it lies on a joint, apart and in order; empty for a free
        line.
    """

    angle: float
    offset: float
    stretches: tuple[tuple[float, float], ...] = ()

    @property
    def along(self) -> tuple[float, float]:
        """Unit vector of the line."""
        return math.cos(self.angle), math.sin(self.angle)

    @property
    def normal(self) -> tuple[float, float]:
        """Unit vector to the left of the line."""
        return -math.sin(self.angle), math.cos(self.angle)

    def on_joint_m(self, start: float, end: float) -> float:
        """How much of a stretch of the line lies on a joint."""
        return sum(max(0.0, min(end, b) - max(start, a)) for a, b in self.stretches)

    def ends(self, around: tuple[float, float, float, float]) -> tuple[tuple[float, float], ...]:
        """Two points of the line, as far out as it can matter to anything in a box."""
        (ux, uy), (nx, ny) = self.along, self.normal
        x0, y0, x1, y1 = around
        middle = 0.5 * (x0 + x1) * ux + 0.5 * (y0 + y1) * uy
        half = math.hypot(x1 - x0, y1 - y0) + 1.0
        ends = [middle - half, middle + half]
        return tuple((self.offset * nx + s * ux, self.offset * ny + s * uy) for s in ends)

    def position(self, point: Sequence[float]) -> float:
        """Metres along the line of the foot of a point."""
        ux, uy = self.along
        return float(point[0] * ux + point[1] * uy)


def joint_cut_lines(joints: Iterable[MultiLineString]) -> tuple[CutLine, ...]:
    """The lines of straight joints, each once, with the stretches that were made."""
    rows: list[tuple[float, float, float, float]] = []
    for joint in joints:
        for line in shapely.get_parts(shapely.line_merge(joint)):
            points = shapely.get_coordinates(shapely.simplify(line, 0.2 * SAME_LINE_M))
            rows += [_row(a, b) for a, b in pairwise(points)]
    rows = sorted(row for row in rows if row[3] - row[2] >= SHORTEST_JOINT_M)
    groups: list[list[tuple[float, float, float, float]]] = []
    for row in rows:
        group = next((g for g in groups if _same(g[0], row)), None)
        if group is None:
            groups.append([row])
        else:
            group.append(row)
    return tuple(_line(group) for group in groups)


def _row(a: Floats, b: Floats) -> tuple[float, float, float, float]:
    """Angle, offset, and where a segment starts and ends along its line."""
    angle = math.atan2(float(b[1] - a[1]), float(b[0] - a[0])) % math.pi
    angle = 0.0 if math.pi - angle < 1e-9 else angle
    ux, uy = math.cos(angle), math.sin(angle)
    offset = float(-a[0] * uy + a[1] * ux + -b[0] * uy + b[1] * ux) / 2.0
    ends = sorted((float(a[0] * ux + a[1] * uy), float(b[0] * ux + b[1] * uy)))
    return angle, offset, ends[0], ends[1]


def _same(one: tuple[float, float, float, float], other: tuple[float, float, float, float]) -> bool:
    turn = abs(one[0] - other[0])
    if min(turn, math.pi - turn) > SAME_TURN:
        return False
    (ux, uy), middle = (math.cos(other[0]), math.sin(other[0])), 0.5 * (other[2] + other[3])
    x, y = -other[1] * uy + middle * ux, other[1] * ux + middle * uy
    return abs(-x * math.sin(one[0]) + y * math.cos(one[0]) - one[1]) <= SAME_LINE_M


def _line(group: list[tuple[float, float, float, float]]) -> CutLine:
    angle, offset = max(group, key=lambda row: row[3] - row[2])[:2]
    stretches: list[tuple[float, float]] = []
    for start, end in sorted((row[2], row[3]) for row in group):
        if stretches and start <= stretches[-1][1] + SAME_LINE_M:
            stretches[-1] = (stretches[-1][0], max(end, stretches[-1][1]))
        else:
            stretches.append((start, end))
    return CutLine(angle, offset, tuple(stretches))


def directions(floor: Polygon, lines: Sequence[CutLine]) -> tuple[float, ...]:
    """Angles that most of a floor's sides and joints run along, the strongest first, and square to it."""
    weights: dict[float, float] = {}
    points = shapely.get_coordinates(shapely.simplify(floor.exterior, SAME_LINE_M))
    sides = [_row(a, b) for a, b in pairwise(points)]
    rows = [(angle, end - start) for angle, _, start, end in sides]
    rows += [(line.angle, sum(b - a for a, b in line.stretches)) for line in lines]
    for angle, length in sorted(rows, key=lambda row: (-row[1], row[0])):
        near = next((known for known in weights if _turn(known, angle) < 4.0 * SAME_TURN), angle)
        weights[near] = weights.get(near, 0.0) + length
    best = sorted(weights, key=lambda angle: (-weights[angle], angle))[:MOST_DIRECTIONS]
    if best and all(abs(_turn(best[0], other) - 0.5 * math.pi) > 4.0 * SAME_TURN for other in best):
        best.append((best[0] + 0.5 * math.pi) % math.pi)
    return tuple(best)


def _turn(one: float, other: float) -> float:
    turn = abs(one - other) % math.pi
    return min(turn, math.pi - turn)


def parallel(line: CutLine, angle: float) -> bool:
    """True when a line runs in a direction."""
    return _turn(line.angle, angle) < 4.0 * SAME_TURN


def areas_left(floor: Polygon, angle: float, offsets: Floats) -> Floats:
    """Area of a polygon to the left of each of some parallel lines, (k,).

    Along the line counts as u and to its left as v; the area above v = 0 is the integral of max(v, 0) du
    round the rings, which needs no clipping.
    """
    points, ring = ring_points(floor)
    u = points[:, 0] * math.cos(angle) + points[:, 1] * math.sin(angle)
    across = -points[:, 0] * math.sin(angle) + points[:, 1] * math.cos(angle)
    first, sides = _ring_sides(ring)
    start, du = across[sides], u[sides + 1] - u[sides]
    end = across[sides + 1]
    total = np.zeros(len(offsets))
    for k, offset in enumerate(offsets.tolist()):
        # Whichever way round a ring is stored, the outer one adds and a hole takes away.
        each = np.abs(np.add.reduceat(_above(start - offset, end - offset) * du, first))
        total[k] = 2.0 * each[0] - each.sum()
    return total


def ring_points(floor: Polygon) -> tuple[Floats, Ints]:
    """Points of all rings of a polygon, each closed, the outer one first, and the ring of each."""
    points, ring = shapely.get_coordinates(shapely.get_rings(floor), return_index=True)
    return points, ring


def _ring_sides(ring: Ints) -> tuple[Ints, Ints]:
    """Where each ring begins among the sides of all, and the points that sides start at."""
    sides = np.flatnonzero(ring[1:] == ring[:-1])
    return np.flatnonzero(np.diff(ring[sides], prepend=-1)), sides


def _above(a: Floats, b: Floats) -> Floats:
    """Mean height above 0 along sides between two heights."""
    above = (np.maximum(a, 0.0) + np.maximum(b, 0.0)) * 0.5
    crossing = (a > 0.0) != (b > 0.0)
    span = np.where(crossing, np.abs(a - b), 1.0)
    high = np.maximum(np.maximum(a, b), 0.0)
    return np.where(crossing, 0.5 * high * high / span, above)


def offset_for(floor: Polygon, angle: float, wanted: Sequence[float], extra: Any = None) -> Floats:
    """Offsets of the lines in a direction that have so much floor to their left.

    Args:
        floor: the polygon.
        angle: of the lines.
        wanted: amounts, each between nothing and the whole.
        extra: (points (k, 2), amounts (k,)) that count beside the floor; None for none.
    """
    strips = _strips(floor, angle, extra)
    # From the highest level down: what lies above each, without and with what stands on it.
    above = np.append(_summed_down(0.5 * (strips.low_wide + strips.high_wide) * strips.tall), 0.0)
    above += _summed_down(strips.beside)
    target = np.asarray(wanted, dtype=np.float64)
    k = np.clip((above[None, :] >= target[:, None]).sum(axis=1) - 1, 0, len(strips.tall) - 1)
    # Up from the level by the root of a square; not at all where what stands on it makes up the amount.
    spare = np.maximum(0.0, above[k] - strips.beside[k] - target)
    wide, tall = strips.low_wide[k], strips.tall[k]
    narrower = (wide - strips.high_wide[k]) / tall
    root = np.sqrt(np.maximum(0.0, wide**2 - 2.0 * narrower * spare))
    up = np.minimum(2.0 * spare / np.maximum(wide + root, 1e-12), tall)
    return np.asarray(strips.levels[k] + up, dtype=np.float64)


@dataclass(frozen=True, slots=True)
class _Strips:
    """A floor in strips along a direction, between levels at which it has corners or something stands.

    Attributes:
        levels: (n,) across the direction, rising.
        low_wide, high_wide: (n - 1,) width of the floor at the lower and at the upper end of each strip.
        beside: (n,) what stands at each level.
    """

    levels: Floats
    low_wide: Floats
    high_wide: Floats
    beside: Floats

    @property
    def tall(self) -> Floats:
        """Height of each strip, (n - 1,)."""
        return np.diff(self.levels)


def _strips(floor: Polygon, angle: float, extra: Any) -> _Strips:
    low, high, run = _across(floor, angle)
    points, amounts = (np.empty((0, 2)), np.empty(0)) if extra is None else extra
    stands = np.round(-points[:, 0] * math.sin(angle) + points[:, 1] * math.cos(angle), _LEVEL_DIGITS)
    levels = np.sort(np.concatenate((low, high, stands)))
    levels = levels[np.append(True, np.diff(levels) > 0.0)]
    at_low, at_high = np.searchsorted(levels, low), np.searchsorted(levels, high)
    count, flat = len(levels), at_low == at_high
    # Going up, the floor gets narrower along slanting sides, and at once at a level side.
    slant = np.where(flat, 0.0, run / np.where(flat, 1.0, high - low))
    narrower = np.cumsum(np.bincount(at_low, slant, count) - np.bincount(at_high, slant, count))
    lost = narrower[:-1] * np.diff(levels)
    at_once = np.bincount(at_low, np.where(flat, run, 0.0), count)
    high_wide = _summed_down(np.append(lost, 0.0) + at_once)[1:]
    beside = np.bincount(np.searchsorted(levels, stands), amounts, count).astype(np.float64)
    return _Strips(levels, high_wide + lost, high_wide, beside)


def _across(floor: Polygon, angle: float) -> tuple[Floats, Floats, Floats]:
    """Sides of a floor across a direction: lower end, upper end, and what they add to the width above."""
    points, ring = ring_points(floor)
    cos, sin = math.cos(angle), math.sin(angle)
    v = np.round(-points[:, 0] * sin + points[:, 1] * cos, _LEVEL_DIGITS)
    u = points[:, 0] * cos + points[:, 1] * sin
    first, sides = _ring_sides(ring)
    start, end, run = v[sides], v[sides + 1], u[sides + 1] - u[sides]
    # Whichever way round a ring is stored, the outer one adds and a hole takes away.
    around = np.copysign(1.0, np.add.reduceat((start + end) * run, first))
    around[1:] *= -1.0
    return np.minimum(start, end), np.maximum(start, end), run * around[ring[sides]]


def _summed_down(amounts: Floats) -> Floats:
    """Sums of each amount and all after it."""
    return np.asarray(np.cumsum(amounts[::-1])[::-1])

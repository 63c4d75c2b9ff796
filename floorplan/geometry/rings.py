"""Rings: closed outlines of straight and circular sides, measured exactly.

A ring has as many sides as corners; side i runs from corner i to the next one, the last side back to the
first corner. Its bulge is tan(angle / 4), positive where the side turns counter-clockwise, 0 where it is
straight. A whole circle is two or more arc sides.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import ArrayLike
from shapely import Polygon

from ..values import dataclass
from . import arcs
from .arcs import Flags, Floats, Ints
from .tolerance import FLAT_M


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a ring: two points (x, y) in metres and the bulge between them."""

    start: tuple[float, float]
    end: tuple[float, float]
    bulge: float = 0.0

    @property
    def chord_m(self) -> float:
        """Straight distance between the ends."""
        return math.dist(self.start, self.end)

    @property
    def rise_m(self) -> float:
        """Greatest distance from chord to arc, never negative; 0 for a straight side."""
        return abs(arcs.rise_m(self.chord_m, self.bulge))

    @property
    def radius_m(self) -> float:
        """Radius; infinite for a straight side."""
        return arcs.radius_m(self.chord_m, self.bulge)

    def at(self, share: float) -> tuple[float, float]:
        """The point a share (0 to 1) of the way along."""
        x, y = arcs.points_at(
            np.array([self.start]), np.array([self.end]), np.array([self.bulge]), np.array([share])
        )[0]
        return float(x), float(y)

    def flattened(self, tolerance_m: float = FLAT_M) -> Floats:
        """The side as a line of chords from start to end, (m, 2)."""
        points, _ = arcs.flattened(
            np.array([self.start]), np.array([self.end]), np.array([self.bulge]), tolerance_m
        )
        return np.vstack((points, self.end))


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Ring:
    """A closed outline of straight and circular sides.

    Attributes:
        points: (n, 2) corners in metres, in plan order, read-only; the first is not repeated at the end.
        bulges: (n,) bulge of the side from each corner to the next, read-only.

    Raises:
        ValueError: fewer than two corners, fewer than three where every side is straight, shapes that do not
            match, or a coordinate that is not finite.
    """

    points: Floats
    bulges: Floats

    def __init__(self, points: ArrayLike, bulges: ArrayLike | None = None) -> None:
        corners = np.array(points, dtype=np.float64)
        if corners.ndim != 2 or corners.shape[1] != 2:
            raise ValueError(f"points must be (n, 2), got {corners.shape}")
        bends = np.zeros(len(corners)) if bulges is None else np.array(bulges, dtype=np.float64)
        if bends.shape != (len(corners),):
            raise ValueError(f"bulges must be ({len(corners)},), got {bends.shape}")
        if not (np.isfinite(corners).all() and np.isfinite(bends).all()):
            raise ValueError("points and bulges must be finite")
        if len(corners) < (2 if bends.any() else 3):
            raise ValueError(f"a ring of {len(corners)} corners encloses nothing")
        for name, array in (("points", corners), ("bulges", bends)):
            array.flags.writeable = False
            object.__setattr__(self, name, array)

    @classmethod
    def circle(cls, centre: Sequence[float], diameter: float) -> Ring:
        """A circle as four quarter arcs, counter-clockwise, its first corner to the right of the centre."""
        if not diameter > 0.0:
            raise ValueError(f"diameter must be > 0, got {diameter!r}")
        x, y, r = float(centre[0]), float(centre[1]), 0.5 * diameter
        corners = [(x + r, y), (x, y + r), (x - r, y), (x, y - r)]
        return cls(corners, np.full(4, math.tan(math.pi / 8.0)))

    @classmethod
    def rectangle(cls, centre: Sequence[float], width: float, depth: float, turn: float = 0.0) -> Ring:
        """A rectangle about its centre, counter-clockwise from its lower left corner, turned by degrees."""
        if not (width > 0.0 and depth > 0.0):
            raise ValueError(f"width and depth must be > 0, got {width!r} and {depth!r}")
        signs = np.array([(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)])
        ring = cls(signs * (width, depth))
        return ring.turned(turn, (0.0, 0.0)).moved(float(centre[0]), float(centre[1]))

    def __len__(self) -> int:
        return len(self.points)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Ring):
            return NotImplemented
        return np.array_equal(self.points, other.points) and np.array_equal(self.bulges, other.bulges)

    def __hash__(self) -> int:
        # Adding 0.0 makes -0.0 and 0.0, which are equal, hash alike.
        return hash(((self.points + 0.0).tobytes(), (self.bulges + 0.0).tobytes()))

    def __repr__(self) -> str:
        arcs_count = int(np.count_nonzero(self.bulges))
        return f"<Ring of {len(self)} sides, {arcs_count} of them arcs, {self.signed_area_m2:.6g} m²>"

    @property
    def ends(self) -> Floats:
        """The far corner of every side, (n, 2)."""
        return np.roll(self.points, -1, axis=0)

    @property
    def chords_m(self) -> Floats:
        """Straight distance between the ends of every side, (n,)."""
        across = self.ends - self.points
        return np.hypot(across[:, 0], across[:, 1])

    @property
    def side_lengths_m(self) -> Floats:
        """Length along every side, arcs exact, (n,)."""
        return arcs.lengths_m(self.chords_m, self.bulges)

    @property
    def perimeter_m(self) -> float:
        """Length all round, arcs exact."""
        return float(self.side_lengths_m.sum())

    @property
    def signed_area_m2(self) -> float:
        """Area enclosed, arcs exact, positive counter-clockwise. Means nothing where the ring crosses itself.

        Shoelace about the first corner, so that a site a thousand kilometres from the origin keeps its
        digits, plus the segment between each arc and its chord.
        """
        x, y = (self.points - self.points[0]).T
        doubled = float(np.sum(x[:-1] * y[1:] - x[1:] * y[:-1]))
        bent = np.flatnonzero(self.bulges)
        if not len(bent):
            return 0.5 * doubled
        across = np.take(self.points, bent + 1, axis=0, mode="wrap") - self.points[bent]
        chords = np.hypot(across[:, 0], across[:, 1])
        return 0.5 * doubled + float(arcs.segment_areas_m2(chords, self.bulges[bent]).sum())

    @property
    def area_m2(self) -> float:
        """Area enclosed, arcs exact, never negative."""
        return abs(self.signed_area_m2)

    @property
    def is_ccw(self) -> bool:
        """True when the corners run counter-clockwise round the floor."""
        return self.signed_area_m2 > 0.0

    def side(self, i: int) -> Side:
        """Side i, from corner i to the next; i may count from the end."""
        n = len(self)
        if not -n <= i < n:
            raise IndexError(f"side {i} of a ring of {n}")
        start, end = self.points[i], self.points[(i + 1) % n]
        return Side((float(start[0]), float(start[1])), (float(end[0]), float(end[1])), float(self.bulges[i]))

    def sides(self) -> Iterator[Side]:
        """Every side in order."""
        return (self.side(i) for i in range(len(self)))

    def reversed(self) -> Ring:
        """The same ring walked the other way, from the same first corner; side i becomes side n - 1 - i."""
        return Ring(np.roll(self.points[::-1], 1, axis=0), -self.bulges[::-1])

    def counter_clockwise(self) -> Ring:
        """This ring, or its reverse where it runs clockwise."""
        return self if self.is_ccw else self.reversed()

    def started_at(self, corner: int) -> Ring:
        """The same ring from another first corner."""
        return Ring(np.roll(self.points, -corner, axis=0), np.roll(self.bulges, -corner))

    def moved(self, dx: float, dy: float) -> Ring:
        """The ring shifted, metres."""
        return Ring(self.points + (dx, dy), self.bulges)

    def turned(self, degrees: float, about: Sequence[float] = (0.0, 0.0)) -> Ring:
        """The ring turned counter-clockwise about a point; quarter turns are exact."""
        cos, sin = cos_sin(degrees)
        pivot = np.array([float(about[0]), float(about[1])])
        x, y = (self.points - pivot).T
        return Ring(np.column_stack((cos * x - sin * y, sin * x + cos * y)) + pivot, self.bulges)

    def flattened(self, tolerance_m: float = FLAT_M) -> Floats:
        """The ring as chords within `tolerance_m` of it, (m, 2), the first point not repeated."""
        return self.flattened_by_side(tolerance_m)[0]

    def flattened_by_side(self, tolerance_m: float = FLAT_M) -> tuple[Floats, Ints]:
        """As `flattened`, with the side that the chord from each point on lies on, (m,)."""
        if not self.bulges.any():
            return self.points, np.arange(len(self))
        return arcs.flattened(self.points, self.ends, self.bulges, tolerance_m)

    def polygon(self, tolerance_m: float = FLAT_M) -> Polygon:
        """The ring as a polygon of chords within `tolerance_m` of it."""
        return Polygon(self.flattened(tolerance_m))

    def bounds(self) -> tuple[float, float, float, float]:
        """Box around the ring, arcs exact: least x, least y, greatest x, greatest y."""
        low, high = side_boxes(self.points, self.ends, self.bulges)
        (x0, y0), (x1, y1) = low.min(axis=0), high.max(axis=0)
        return float(x0), float(y0), float(x1), float(y1)

    def contains(self, points: ArrayLike) -> Flags:
        """Which of (k, 2) points lie inside, (k,); on the boundary either answer may come.

        Arcs exact: inside the chords, turned round once for every segment between chord and arc that holds
        the point.
        """
        asked = np.atleast_2d(np.asarray(points, dtype=np.float64))
        inside = np.zeros(len(asked), dtype=np.bool_)
        for k, point in enumerate(asked):
            inside[k] = self._parity(point)
        return inside

    def _parity(self, point: Floats) -> bool:
        a, b = self.points - point, self.ends - point
        rising = (a[:, 1] > 0.0) != (b[:, 1] > 0.0)
        cross = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
        hits = int(np.count_nonzero(rising & ((cross > 0.0) == (b[:, 1] > a[:, 1]))))
        bent = self.bulges != 0.0
        if bent.any():
            hits += int(np.count_nonzero(in_segment(a[bent], b[bent], self.bulges[bent])))
        return hits % 2 == 1


def in_segment(a: Floats, b: Floats, bulges: Floats) -> Flags:
    """Whether the origin lies between each chord a-b and its arc, (n,)."""
    cross = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    # On the arc itself the chord is seen under π - θ/2; between arc and chord under more.
    seen = np.arctan2(np.abs(cross), (a * b).sum(axis=1))
    wide = seen > math.pi - 2.0 * np.arctan(np.abs(bulges))
    return np.asarray((cross * bulges < 0.0) & wide, dtype=np.bool_)


def side_boxes(starts: Floats, ends: Floats, bulges: Floats) -> tuple[Floats, Floats]:
    """Boxes around sides, arcs exact: least corners (n, 2) and greatest corners (n, 2)."""
    low, high = np.minimum(starts, ends), np.maximum(starts, ends)
    bent = np.flatnonzero(bulges)
    if not len(bent):
        return low, high
    p, q, b = starts[bent], ends[bent], bulges[bent]
    middle = arcs.centres(p, q, b)
    radii = np.hypot(*(q - p).T) * (1.0 + b * b) / (4.0 * np.abs(b))
    flip = np.sign(b)
    across = q - p
    for axis in (0, 1):
        for sign, edge in ((-1.0, low), (1.0, high)):
            # A quarter point of the circle is on the arc when it lies on the arc's side of the chord.
            top = middle.copy()
            top[:, axis] += sign * radii
            side = across[:, 0] * (top[:, 1] - p[:, 1]) - across[:, 1] * (top[:, 0] - p[:, 0])
            on = side * flip < 0.0
            reach = np.minimum if sign < 0.0 else np.maximum
            edge[bent[on], axis] = reach(edge[bent[on], axis], top[on, axis])
    return low, high


def cos_sin(degrees: float) -> tuple[float, float]:
    """Cosine and sine of an angle in degrees, exact for quarter turns."""
    quarter, rest = divmod(degrees, 90.0)
    cos, sin = math.cos(math.radians(rest)), math.sin(math.radians(rest))
    if rest == 0.0:
        cos, sin = 1.0, 0.0
    for _ in range(int(quarter) % 4):
        cos, sin = -sin, cos
    return cos, sin

"""A network of taped lengths: corners and points, the ties between them, corners checked square.

Words: a *tie* is a taped length between two points, a side or a diagonal or any other; a *square* says
that the two sides at a corner meet at a right angle; an *on-side* says that a point lies on the straight
line between two others. Each is one observation. Observations stand in this order everywhere: ties,
squares, on-sides.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property

import numpy as np

from ..geometry.arcs import Floats, Ints
from ..values import dataclass, replace

Flags = np.ndarray[tuple[int], np.dtype[np.bool_]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tie:
    """A taped length between two named points, with its standard error, metres."""

    start: str
    end: str
    length_m: float
    std_m: float

    def __post_init__(self) -> None:
        if self.start == self.end or not self.length_m > 0.0 or not self.std_m > 0.0:
            raise ValueError(f"a tie needs two points and lengths > 0, got {self!r}")


@dataclass(frozen=True, kw_only=True)
class Network:
    """What was taped.

    Attributes:
        corners: names in order around the slab, at least three.
        points: names of other points.
        ties: taped lengths.
        squares: corners checked square.
        square_std_rad: standard error of a square.
        on_sides: (point, corner, corner): the point lies on that line.
        on_side_std_m: standard error of the distance from the line.
    """

    corners: tuple[str, ...]
    ties: tuple[Tie, ...]
    points: tuple[str, ...] = ()
    squares: tuple[str, ...] = ()
    square_std_rad: float = 0.0
    on_sides: tuple[tuple[str, str, str], ...] = ()
    on_side_std_m: float = 0.0

    def __post_init__(self) -> None:
        if len(self.corners) < 3:
            raise ValueError(f"an outline needs three corners, got {self.corners!r}")
        if len(self.index) != len(self.names):
            raise ValueError("a name stands twice")
        used = [
            *(end for tie in self.ties for end in (tie.start, tie.end)),
            *(n for on in self.on_sides for n in on),
        ]
        strange = [name for name in (*used, *self.squares) if name not in self.index]
        if strange:
            raise ValueError(f"no such point: {strange!r}")
        if (self.squares and not self.square_std_rad > 0.0) or (
            self.on_sides and not self.on_side_std_m > 0.0
        ):
            raise ValueError("squares and on-sides need a standard error > 0")

    @cached_property
    def names(self) -> tuple[str, ...]:
        """Corners, then points."""
        return (*self.corners, *self.points)

    @cached_property
    def index(self) -> Mapping[str, int]:
        """Place of each name in `names`."""
        return {name: i for i, name in enumerate(self.names)}

    @property
    def corner_count(self) -> int:
        """How many corners the outline has."""
        return len(self.corners)

    @property
    def needed(self) -> int:
        """Observations that fix all points: 2n - 3."""
        return 2 * len(self.names) - 3

    def __len__(self) -> int:
        """How many observations there are."""
        return len(self.ties) + len(self.squares) + len(self.on_sides)

    @cached_property
    def ends(self) -> Ints:
        """(m, 2) indices of the ends of the ties."""
        pairs = [(self.index[tie.start], self.index[tie.end]) for tie in self.ties]
        return np.array(pairs, dtype=np.intp).reshape(-1, 2)

    @cached_property
    def angles(self) -> Ints:
        """(k, 3) indices: corner checked square, the corner before, the corner after."""
        n = self.corner_count
        at = [self.index[name] for name in self.squares]
        return np.array([(i, (i - 1) % n, (i + 1) % n) for i in at], dtype=np.intp).reshape(-1, 3)

    @cached_property
    def lines(self) -> Ints:
        """(k, 3) indices: point on a side, and the two corners of the side."""
        return np.array([[self.index[n] for n in on] for on in self.on_sides], dtype=np.intp).reshape(-1, 3)

    @cached_property
    def lengths_m(self) -> Floats:
        """(m,) taped lengths."""
        return np.array([tie.length_m for tie in self.ties], dtype=np.float64)

    @cached_property
    def stds(self) -> Floats:
        """Standard error of every observation, metres or radians."""
        return np.array(
            [tie.std_m for tie in self.ties]
            + [self.square_std_rad] * len(self.squares)
            + [self.on_side_std_m] * len(self.on_sides),
            dtype=np.float64,
        )

    def tied(self) -> dict[tuple[int, int], float]:
        """Shortest taped length by its two points, smaller index first."""
        found: dict[tuple[int, int], float] = {}
        for (i, j), length in zip(self.ends.tolist(), self.lengths_m.tolist(), strict=True):
            key = (min(i, j), max(i, j))
            found[key] = min(length, found.get(key, length))
        return found

    def without(self, observations: Iterable[int]) -> Network:
        """The network less some observations, by index."""
        out = set(observations)
        first, second = len(self.ties), len(self.ties) + len(self.squares)
        return replace(
            self,
            ties=tuple(tie for k, tie in enumerate(self.ties) if k not in out),
            squares=tuple(name for k, name in enumerate(self.squares, first) if k not in out),
            on_sides=tuple(on for k, on in enumerate(self.on_sides, second) if k not in out),
        )

    def misfits(self, points: Floats) -> Floats:
        """Fitted less observed, for every observation: metres, and radians off square."""
        across = points[self.ends[:, 1]] - points[self.ends[:, 0]]
        ties = np.hypot(across[:, 0], across[:, 1]) - self.lengths_m
        if not self.squares and not self.on_sides:
            return ties
        return np.concatenate((ties, self._off_square(points)[0], self._off_line(points)[0]))

    def slopes(self, points: Floats) -> Floats:
        """(observations, 2 x points) derivatives of `misfits` by x0, y0, x1, y1, …"""
        out = np.zeros((len(self), 2 * len(self.names)))
        across = points[self.ends[:, 1]] - points[self.ends[:, 0]]
        length = np.maximum(np.hypot(across[:, 0], across[:, 1]), np.finfo(float).tiny)
        unit = across / length[:, None]
        rows = np.arange(len(self.ties))
        _put(out, rows, self.ends[:, 0], -unit)
        _put(out, rows, self.ends[:, 1], unit)
        if not self.squares and not self.on_sides:
            return out
        first = len(self.ties)
        for at, parts in (
            (self.angles, self._off_square(points)[1]),
            (self.lines, self._off_line(points)[1]),
        ):
            rows = first + np.arange(len(at))
            for column, part in enumerate(parts):
                _put(out, rows, at[:, column], part)
            first += len(at)
        return out

    def _off_square(self, points: Floats) -> tuple[Floats, tuple[Floats, Floats, Floats]]:
        """Cosine of each angle (the angle off square, for small ones) and its slopes by the three corners."""
        at, before, after = (points[self.angles[:, k]] for k in range(3))
        a, b = before - at, after - at
        la, lb = _long(a), _long(b)
        cos = (a * b).sum(axis=1) / (la * lb)
        by_a = b / (la * lb)[:, None] - cos[:, None] * a / (la * la)[:, None]
        by_b = a / (la * lb)[:, None] - cos[:, None] * b / (lb * lb)[:, None]
        return cos, (-by_a - by_b, by_a, by_b)

    def _off_line(self, points: Floats) -> tuple[Floats, tuple[Floats, Floats, Floats]]:
        """Distance of each point from its line, and the slopes by the point and the two corners."""
        at, start, end = (points[self.lines[:, k]] for k in range(3))
        along, to = end - start, at - start
        length = _long(along)
        off = (along[:, 0] * to[:, 1] - along[:, 1] * to[:, 0]) / length
        left = np.column_stack((-along[:, 1], along[:, 0])) / length[:, None]
        share = ((along * to).sum(axis=1) / (length * length))[:, None]
        return off, (left, -left * (1.0 - share), -left * share)


def _long(vectors: Floats) -> Floats:
    return np.maximum(np.hypot(vectors[:, 0], vectors[:, 1]), np.finfo(float).tiny)


def _put(out: Floats, rows: Ints, points: Ints, slopes: Floats) -> None:
    np.add.at(out, (rows, 2 * points), slopes[:, 0])
    np.add.at(out, (rows, 2 * points + 1), slopes[:, 1])

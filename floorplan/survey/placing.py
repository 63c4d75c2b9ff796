"""First places for the corners: one after the other, each from two that are already placed.

Two lengths leave a corner on one of two sides, mirror images about the line through the ends. Every
further length decides, with room for a misread one; where none does, both are carried on. What comes out
is a list of *readings* of the sketch, rough shapes that all fit the lengths about equally;
`survey.choosing` picks one or asks.

Networks in which no order works (each corner hangs on corners not yet placed) are started from rough
polygons.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from ..geometry.arcs import Floats, Ints
from ..values import dataclass
from .instruments import DEFAULT, INSTRUMENTS
from .network import Network
from .places import Links, chosen, misses, places_of
from .simple import crossed

_WIDTH, _WIDE = 64, 256
"""So many branches are followed at most, and so many at a second go where there were more."""

_MARGIN, _LAST_MARGIN = 2.2, 1.2
"""A branch that contradicts so many more lengths than the best is dropped; at the end one is allowed, as the
length that tells two readings apart may be the misread one."""

_DOUBTFUL, _HOPELESS = 0.08, 0.15
"""Shares of all lengths: with more contradictions than the first another first side is tried, since a
misread length near the start sets all that follows askew; with more than the second a few shapes are enough
to see that none fits."""

_DOUBTFUL_LEAST, _HOPELESS_LEAST = 2.0, 6.0
_STARTS, _MANY, _HOPELESS_SHAPES = 5, 100, 4
_FINER = 1e-4
"""What decides between places that contradict equally many lengths: how well the lengths fit, by their own
accuracy. Two corners a step apart on a fine fan differ by much less than a rough place may miss a length."""

_WIDER, _LAST_WIDER, _ALIKE = 300.0, 150.0, 50.0
"""A branch whose squares are larger than the best's by the first is dropped, by the second at the end (one or
two misread lengths, and chance); within the third two are equally good."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """Rough shapes that fit a network.

    Attributes:
        shapes: (n, 2) each, the most likely first, none the mirror image of another as a whole.
        cost: how many lengths the best of them contradicts.
        cut: True when there were more, equally good, than can be followed up.
        hopeless: True when even the best contradicts length after length.
    """

    shapes: tuple[Floats, ...]
    cost: float = 0.0
    cut: bool = False
    hopeless: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class _Branches:
    """Ways to place the corners so far, the best first: points (b, n, 2), what speaks against each (b,)."""

    points: Floats
    cost: Floats
    spread: Floats

    def __len__(self) -> int:
        return len(self.cost)

    def rank(self) -> Floats:
        return self.cost + _FINER * self.spread

    def taken(self, rows: Ints) -> _Branches:
        return _Branches(self.points[rows], self.cost[rows], self.spread[rows])

    def following(self, margin: float, wider: float) -> Ints:
        """Rows that are not clearly worse than the first."""
        return np.flatnonzero((self.cost <= self.cost[0] + margin) & (self.spread <= self.spread[0] + wider))


class _Sketch:
    """Who is tied to whom, and what that says about where a corner may lie."""

    def __init__(self, network: Network, inward: frozenset[int] | None) -> None:
        self.network = network
        self.inward = inward
        self.count = len(network.names)
        self.links: list[dict[int, float]] = [{} for _ in range(self.count)]
        for (i, j), length in (network.tied() | _implied(network)).items():
            self.links[i][j] = self.links[j][i] = length
        self.loose = {}
        for (i, j), std in zip(network.ends.tolist(), network.stds, strict=False):
            self.loose[min(i, j), max(i, j)] = 8.0 * float(std)
        self.lines = {int(p): (int(a), int(b)) for p, a, b in network.lines}
        self.squares: list[list[tuple[int, int]]] = [[] for _ in range(self.count)]
        for at, before, after in network.angles.tolist():
            for v, other in ((before, after), (after, before)):
                if at in self.links[v] and other not in self.links[v]:
                    self.squares[v].append((at, other))
        self.holds: list[list[tuple[int, int]]] = [[] for _ in range(self.count)]
        pairs = [(v, pair) for v, pair in self.lines.items()]
        pairs += [(v, pair) for v in range(self.count) for pair in self.squares[v]]
        for v, (a, b) in pairs:
            self.holds[a].append((v, b))
            self.holds[b].append((v, a))

    def std(self, i: int, j: int) -> float:
        """Standard error of a length; of one that only follows, that of a blade tape."""
        return self.loose.get((min(i, j), max(i, j)), 8.0 * INSTRUMENTS[DEFAULT].std_m) / 8.0

    def order(self, seed: tuple[int, int]) -> list[int] | None:
        """Points in the order of placing after the seed; None when some cannot be reached.

        Next comes the point that most conditions tie to what is placed; two are enough.
        """
        placed: set[int] = set()
        ready = [0] * self.count
        out = list(seed)
        for k in range(self.count):
            if k >= len(out):
                best = max((v for v in range(self.count) if v not in placed), key=lambda v: (ready[v], -v))
                if ready[best] < 2:
                    return None
                out.append(best)
            placed.add(out[k])
            for v in self.links[out[k]]:
                ready[v] += 1
            for v, other in self.holds[out[k]]:
                ready[v] += other in placed
        return out[2:]

    def links_of(self, v: int, placed: set[int], points: Floats) -> Links:
        """What ties v to what is placed, for branches with these points, (b, n, 2)."""
        tied = [(j, length) for j, length in self.links[v].items() if j in placed]
        square = [(at, other) for at, other in self.squares[v] if at in placed and other in placed]
        lengths = np.empty((len(points), len(tied) + len(square)))
        lengths[:, : len(tied)] = [length for _, length in tied]
        for k, (at, other) in enumerate(square, len(tied)):
            across = points[:, at] - points[:, other]
            lengths[:, k] = np.hypot(self.links[v][at], np.hypot(across[:, 0], across[:, 1]))
        ends = [j for j, _ in tied] + [other for _, other in square]
        return Links(
            ends=np.array(ends, dtype=np.intp),
            lengths=lengths,
            loose=np.array([self.loose.get((min(v, j), max(v, j)), 0.0) for j in ends]),
            stds=np.array([self.std(v, j) for j in ends]),
        )


def _implied(network: Network) -> dict[tuple[int, int], float]:
    """Lengths that follow: across a square with both sides taped, and along a side through a point on it."""
    tied = network.tied()

    def length(i: int, j: int) -> float | None:
        return tied.get((min(i, j), max(i, j)))

    found: dict[tuple[int, int], float] = {}
    for at, before, after in network.angles.tolist():
        a, b = length(at, before), length(at, after)
        if a is not None and b is not None:
            found[min(before, after), max(before, after)] = math.hypot(a, b)
    for point, start, end in network.lines.tolist():
        a, b, whole = length(point, start), length(point, end), length(start, end)
        if a is not None and b is not None:
            found[min(start, end), max(start, end)] = a + b
        elif whole is not None and a is not None and whole > a:
            found[min(point, end), max(point, end)] = whole - a
        elif whole is not None and b is not None and whole > b:
            found[min(point, start), max(point, start)] = whole - b
    return {pair: value for pair, value in found.items() if pair not in tied}


def readings(network: Network, inward: frozenset[int] | None = None) -> Readings:
    """Rough shapes that fit the lengths; the network must have enough of them.

    Args:
        network: what was taped.
        inward: corners known to stand in, by index; None when not known.
    """
    sketch = _Sketch(network, inward)
    found: list[Readings] = []
    for seed in _seeds(sketch):
        order = sketch.order(seed)
        if order is None:
            continue
        found.append(_followed(sketch, seed, order, _WIDTH))
        if found[-1].cut and not found[-1].hopeless and len(network) > network.needed:
            found[-1] = _followed(sketch, seed, order, _WIDE)
        if found[-1].cost <= max(_DOUBTFUL_LEAST, _DOUBTFUL * len(network)):
            break
        if len(found) == (_STARTS if len(network) <= _MANY else 2):
            break
    if not found:
        return Readings(shapes=_rough_polygons(network))
    return min(found, key=lambda readings: readings.cost)


def _seeds(sketch: _Sketch) -> list[tuple[int, int]]:
    """Sides to start from: the first side, then the best tied ones."""
    pairs = [(i, j) for i in range(sketch.count) for j in sketch.links[i] if i < j]
    return sorted(
        pairs, key=lambda ij: (ij != (0, 1), -len(sketch.links[ij[0]]) - len(sketch.links[ij[1]]), ij)
    )


def _followed(sketch: _Sketch, seed: tuple[int, int], order: Sequence[int], width: int) -> Readings:
    start = np.full((1, sketch.count, 2), np.nan)
    start[0, seed[0]] = 0.0
    start[0, seed[1]] = (sketch.links[seed[0]][seed[1]], 0.0)
    branches, cut, flat = _Branches(start, np.zeros(1), np.zeros(1)), False, True
    placed = set(seed)
    for v in order:
        # The first corner off the line of the seed decides only which mirror image of the whole is drawn.
        grown = _grown(sketch, branches, v, placed, one_side=flat and sketch.inward is None)
        kept = grown.taken(grown.following(_MARGIN, _WIDER))
        cut = cut or (len(kept) > width and width in kept.following(0.5, _ALIKE))
        branches = kept.taken(np.arange(min(width, len(kept))))
        placed.add(v)
        flat = flat and bool((np.abs(branches.points[:, v, 1]) < 1e-9).all())
    cost = float(branches.cost[0])
    hopeless = cost > max(_HOPELESS_LEAST, _HOPELESS * len(sketch.network))
    rows = branches.following(_LAST_MARGIN, _LAST_WIDER)
    shapes = tuple(branches.points[rows[:_HOPELESS_SHAPES] if hopeless else rows])
    return Readings(shapes=shapes, cost=cost, cut=cut and not hopeless, hopeless=hopeless)


def _grown(sketch: _Sketch, branches: _Branches, v: int, placed: set[int], *, one_side: bool) -> _Branches:
    """Every branch with v at its best place and, where those are others, at its mirror image and so on."""
    links = sketch.links_of(v, placed, branches.points)
    at = branches.points[:, links.ends]
    on = sketch.lines.get(v)
    side = branches.points[:, on] if on is not None and placed.issuperset(on) else None
    places = places_of(links, at, side)
    costs, spreads = misses(links, at, places)
    if one_side:
        costs[places[..., 1] < -1e-9] = np.inf
    of, which = chosen(links, places, costs, costs + _FINER * spreads, _LAST_MARGIN)
    points = branches.points[of]
    points[:, v] = places[of, which]
    cost = branches.cost[of] + costs[of, which] + _shape_costs(sketch, points, v, placed)
    grown = _Branches(points, cost, branches.spread[of] + spreads[of, which])
    return grown.taken(np.argsort(grown.rank(), kind="stable"))


def _shape_costs(sketch: _Sketch, points: Floats, v: int, placed: set[int]) -> Floats:
    """What speaks against a place as part of an outline: sides that cross, corners known to turn otherwise.

    A place that keeps the order of the sketch (corners round in one turn, as seen from any of them) costs
    a hair less, so that it is followed first; it never decides.
    """
    n = sketch.network.corner_count
    cost = np.zeros(len(points))
    if v >= n:
        return cost
    there = placed | {v}
    sides = np.array(
        [(i, (i + 1) % n) for i in range(n) if i in there and (i + 1) % n in there], dtype=np.intp
    )
    for side in ((v - 1) % n, v), (v, (v + 1) % n):
        if side[0] in there and side[1] in there:
            cost[crossed(points, np.array(side), sides).any(axis=-1)] = 1.0
    if sketch.inward is not None:
        for k in ((v - 1) % n, v, (v + 1) % n):
            trio = ((k - 1) % n, k, (k + 1) % n)
            if there.issuperset(trio):
                cost += (_turns(points, trio) < 0.0) != (k in sketch.inward)
    before = next((k for k in ((v - s) % n for s in range(1, n)) if k in placed), v)
    after = next((k for k in ((v + s) % n for s in range(1, n)) if k in placed), v)
    if before != after:
        cost += 0.01 * (_turns(points, (before, v, after)) < 0.0)
    return cost


def _turns(points: Floats, trio: tuple[int, int, int]) -> Floats:
    a, b, c = (points[:, i] for i in trio)
    across = (b[:, 0] - a[:, 0]) * (c[:, 1] - b[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - b[:, 0])
    return np.asarray(across, dtype=np.float64)


def _rough_polygons(network: Network) -> tuple[Floats, ...]:
    """Polygons of about the right size to start from where no order of placing exists; always the same."""
    n, count = network.corner_count, len(network.names)
    tied = network.tied()
    typical = sum(tied.values()) / max(1, len(tied))
    sides = np.array([tied.get((min(i, (i + 1) % n), max(i, (i + 1) % n)), typical) for i in range(n)])
    turn = 2.0 * np.pi * np.concatenate(([0.0], np.cumsum(sides)[:-1])) / sides.sum()
    shapes = []
    for k in range(24):
        waves = 1.0 + 0.5 * np.sin((k // 4 + 1) * turn + 1.7 * k) * (k > 0)
        ring = (sides.sum() / (2.0 * np.pi) * waves)[:, None] * np.column_stack((np.cos(turn), np.sin(turn)))
        more = (
            0.3
            * typical
            * np.column_stack(
                (np.cos(np.arange(count - n) * 2.4 + k), np.sin(np.arange(count - n) * 2.4 + k))
            )
        )
        shapes.append(np.concatenate((ring, more)))
    return tuple(shapes)

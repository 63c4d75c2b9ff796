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
from itertools import combinations

import numpy as np

from ..geometry.arcs import Floats
from ..values import dataclass
from .instruments import DEFAULT, INSTRUMENTS
from .network import Network
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
_FINER, _CLIPPED = 1e-4, 100.0
"""What decides between places that contradict equally many lengths: how well the lengths fit, by their own
accuracy. Two corners a step apart on a fine fan differ by much less than a rough place may miss a length."""

_WIDER, _LAST_WIDER, _ALIKE = 300.0, 150.0, 50.0
"""A branch whose squares are larger than the best's by the first is dropped, by the second at the end (one or
two misread lengths, and chance); within the third two are equally good."""

_MOST_LINKS = 7
_PLACES = 4


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


@dataclass(slots=True)
class _Branch:
    points: Floats
    cost: float
    spread: float = 0.0


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
        self.squares = [tuple(int(k) for k in row) for row in network.angles]

    def slack(self, i: int, j: int, length: float) -> float:
        """How far a rough place may miss a length before the two contradict each other."""
        return self.loose.get((min(i, j), max(i, j)), 0.0) + 0.01 * length

    def std(self, i: int, j: int) -> float:
        """Standard error of a length; of one that only follows, that of a blade tape."""
        return self.loose.get((min(i, j), max(i, j)), 8.0 * INSTRUMENTS[DEFAULT].std_m) / 8.0

    def square_links(self, v: int, placed: set[int]) -> list[tuple[int, int, int]]:
        """Squares that place v: (corner, the placed neighbour across, v) where v's side there is taped."""
        found = []
        for at, before, after in self.squares:
            for this, other in ((before, after), (after, before)):
                if this == v and at in placed and other in placed and at in self.links[v]:
                    found.append((at, other, v))
        return found

    def ready(self, v: int, placed: set[int]) -> int:
        """How many conditions tie v to what is placed; two are enough."""
        count = sum(other in placed for other in self.links[v])
        new = [at for at, other, _ in self.square_links(v, placed) if other not in self.links[v]]
        on = self.lines.get(v)
        return count + len(new) + (on is not None and on[0] in placed and on[1] in placed)

    def order(self, seed: tuple[int, int]) -> list[int] | None:
        """Points in the order of placing after the seed; None when some cannot be reached."""
        placed, out = set(seed), []
        while len(placed) < self.count:
            waiting = [v for v in range(self.count) if v not in placed]
            best = max(waiting, key=lambda v: (self.ready(v, placed), -v))
            if self.ready(best, placed) < 2:
                return None
            placed.add(best)
            out.append(best)
        return out


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
    start = np.full((sketch.count, 2), np.nan)
    start[seed[0]] = 0.0
    start[seed[1]] = (sketch.links[seed[0]][seed[1]], 0.0)
    branches, cut, flat = [_Branch(start, 0.0)], False, True
    placed = set(seed)
    for v in order:
        # The first corner off the line of the seed decides only which mirror image of the whole is drawn.
        one_side = flat and sketch.inward is None
        grown = [new for branch in branches for new in _grown(sketch, branch, v, placed, one_side)]
        grown.sort(key=lambda branch: branch.cost + _FINER * branch.spread)
        kept = [branch for branch in grown if _follows(branch, grown[0], _MARGIN, _WIDER)]
        cut = cut or (len(kept) > width and _follows(kept[width], kept[0], 0.5, _ALIKE))
        branches = kept[:width]
        placed.add(v)
        flat = flat and all(abs(branch.points[v, 1]) < 1e-9 for branch in branches)
    kept = [branch for branch in branches if _follows(branch, branches[0], _LAST_MARGIN, _LAST_WIDER)]
    hopeless = branches[0].cost > max(_HOPELESS_LEAST, _HOPELESS * len(sketch.network))
    shapes = tuple(branch.points for branch in (kept[:_HOPELESS_SHAPES] if hopeless else kept))
    cost = branches[0].cost
    return Readings(shapes=shapes, cost=cost, cut=cut and not hopeless, hopeless=hopeless)


def _follows(branch: _Branch, best: _Branch, margin: float, wider: float) -> bool:
    """True when a branch is not clearly worse than the best."""
    return branch.cost <= best.cost + margin and branch.spread <= best.spread + wider


def _grown(sketch: _Sketch, branch: _Branch, v: int, placed: set[int], one_side: bool) -> list[_Branch]:
    """A branch with v placed at the best place and, where that is another, at its mirror image."""
    points = branch.points
    links = [(j, length) for j, length in sketch.links[v].items() if j in placed]
    for at, other, _ in sketch.square_links(v, placed):
        if other not in sketch.links[v]:
            across = math.hypot(sketch.links[v][at], *(points[at] - points[other]))
            links.append((other, across))
    places = _places(sketch, points, v, links, placed)
    if one_side:
        places = places[places[:, 1] >= 0.0]
    places = np.concatenate((places, _settled(sketch, points, v, links, places)))
    costs = _costs(sketch, points, v, links, places)
    spreads = _spreads(sketch, points, v, links, places)
    shortest = min(length for _, length in links)
    apart = min(0.02 * max(length for _, length in links), 0.5 * shortest)
    out: list[_Branch] = []
    # A place that contradicts more lengths than the best one by more than a branch may is never followed.
    for k in np.argsort(costs + _FINER * spreads, kind="stable"):
        if costs[k] > costs.min() + _LAST_MARGIN or len(out) == _PLACES:
            break
        cost = branch.cost + float(costs[k])
        if any(math.dist(places[k], new.points[v]) < apart for new in out):
            continue
        moved = points.copy()
        moved[v] = places[k]
        spread = branch.spread + float(spreads[k])
        out.append(_Branch(moved, cost + _shape_cost(sketch, moved, v, placed), spread))
    return out


def _places(
    sketch: _Sketch, points: Floats, v: int, links: list[tuple[int, float]], placed: set[int]
) -> Floats:
    """Where v may lie by every two of its links (by the first few, when there are many)."""
    on = sketch.lines.get(v)
    if on is not None and on[0] in placed and on[1] in placed:
        return np.concatenate([_on_line(points, on, j, length) for j, length in links])
    few = sorted(links, key=lambda link: link[0])[:_MOST_LINKS]
    return np.concatenate([_two_circles(points, a, b) for a, b in combinations(few, 2)])


def _two_circles(points: Floats, one: tuple[int, float], other: tuple[int, float]) -> Floats:
    """Both meeting points of two circles, (2, 2); where they miss each other, the point between."""
    a, b = points[one[0]], points[other[0]]
    across = b - a
    apart = max(float(np.hypot(*across)), 1e-12)
    along = (apart * apart + one[1] * one[1] - other[1] * other[1]) / (2.0 * apart)
    aside = math.sqrt(max(0.0, one[1] * one[1] - along * along))
    unit = across / apart
    left = np.array([-unit[1], unit[0]])
    return np.stack((a + along * unit + aside * left, a + along * unit - aside * left))


def _on_line(points: Floats, on: tuple[int, int], other: int, length: float) -> Floats:
    """Where a circle about a point meets a side, (1 or 2, 2): within the side where it does."""
    start, along = points[on[0]], points[on[1]] - points[on[0]]
    size = max(float(np.hypot(*along)), 1e-12)
    unit = along / size
    foot = float((points[other] - start) @ unit)
    off = points[other] - start - foot * unit
    half = math.sqrt(max(0.0, length * length - float(off @ off)))
    stations = [foot - half, foot + half]
    within = [s for s in stations if -0.01 * size <= s <= 1.01 * size] or stations
    return np.array([start + s * unit for s in within])


def _costs(sketch: _Sketch, points: Floats, v: int, links: list[tuple[int, float]], places: Floats) -> Floats:
    """How many links each place contradicts, by degrees up to one each."""
    at = points[[j for j, _ in links]]
    lengths = np.array([length for _, length in links])
    slack = np.array([sketch.slack(v, j, length) for j, length in links])
    gaps = np.hypot(*(places[:, None, :] - at[None, :, :]).transpose(2, 0, 1)) - lengths
    return np.asarray(np.minimum((gaps / slack) ** 2, 1.0).sum(axis=1), dtype=np.float64)


def _settled(
    sketch: _Sketch, points: Floats, v: int, links: list[tuple[int, float]], places: Floats
) -> Floats:
    """Each place moved to where the links that it does not contradict meet best."""
    at = points[[j for j, _ in links]]
    lengths = np.array([length for _, length in links])
    slack = np.array([sketch.slack(v, j, length) for j, length in links])
    weights = np.array([1.0 / sketch.std(v, j) for j, _ in links])
    moved = places
    for _ in range(2):
        across = moved[:, None, :] - at[None, :, :]
        far = np.maximum(np.hypot(across[..., 0], across[..., 1]), 1e-12)
        gaps = far - lengths
        held = np.where(np.abs(gaps) < slack, weights, 0.0)
        slopes = across / far[..., None] * held[..., None]
        normal = np.einsum("pli,plj->pij", slopes, slopes) + np.eye(2) * 1e-9 * weights.max() ** 2
        moved = (
            moved - np.linalg.solve(normal, np.einsum("pli,pl->pi", slopes, gaps * held)[..., None])[..., 0]
        )
    return np.asarray(moved, dtype=np.float64)


def _spreads(
    sketch: _Sketch, points: Floats, v: int, links: list[tuple[int, float]], places: Floats
) -> Floats:
    """How badly the links of each place fit, in squared standard errors, each up to `_CLIPPED`."""
    at = points[[j for j, _ in links]]
    gaps = np.hypot(*(places[:, None, :] - at[None, :, :]).transpose(2, 0, 1)) - np.array(
        [m for _, m in links]
    )
    stds = np.array([sketch.std(v, j) for j, _ in links])
    return np.asarray(np.minimum((gaps / stds) ** 2, _CLIPPED).sum(axis=1), dtype=np.float64)


def _shape_cost(sketch: _Sketch, points: Floats, v: int, placed: set[int]) -> float:
    """What speaks against a place as part of an outline: sides that cross, corners known to turn otherwise.

    A place that keeps the order of the sketch (corners round in one turn, as seen from any of them) costs
    a hair less, so that it is followed first; it never decides.
    """
    n = sketch.network.corner_count
    if v >= n:
        return 0.0
    there = placed | {v}
    sides = np.array(
        [(i, (i + 1) % n) for i in range(n) if i in there and (i + 1) % n in there], dtype=np.intp
    )
    cost = 0.0
    for side in ((v - 1) % n, v), (v, (v + 1) % n):
        if side[0] in there and side[1] in there and bool(crossed(points, np.array(side), sides).any()):
            cost = 1.0
    if sketch.inward is not None:
        for k in ((v - 1) % n, v, (v + 1) % n):
            trio = ((k - 1) % n, k, (k + 1) % n)
            if all(i in there for i in trio) and (_turn(points, trio) < 0.0) != (k in sketch.inward):
                cost += 1.0
    before = next((k for k in ((v - s) % n for s in range(1, n)) if k in placed), v)
    after = next((k for k in ((v + s) % n for s in range(1, n)) if k in placed), v)
    if before != after and _turn(points, (before, v, after)) < 0.0:
        cost += 0.01
    return cost


def _turn(points: Floats, trio: tuple[int, ...]) -> float:
    a, b, c = (points[i] for i in trio)
    return float((b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]))


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

"""A floor divided into pieces of at most one batch each.

Words: the *load* of a piece is its floor and whatever else the batch must cover there (faces, treads),
counted as floor that takes as much. A *style* says which way the edges of zones shall run.

Cuts go along joints wherever they serve: an edge off a joint costs as much as several times its length on
one.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from ..values import dataclass, field
from .cut_lines import CutLine, areas_left, offset_for, parallel
from .remembered import remembered
from .splitting import FEW_HOLES, Cut, cuts

OFF_JOINT: Final = 8.0
"""A metre of edge off a joint weighs as much as so many on one."""
EXTRA_ZONE_M: Final = 20.0
"""One more batch weighs as much as so many metres of edge on a joint."""
SMALLEST_SHARE: Final = 0.04
"""A piece smaller than this share of a batch is a sliver, which nobody mixes for."""
TRIED: Final = 10
"""So many of the likeliest lines are cut to see what comes of it."""
NECK_M2: Final = 0.05
"""Floor cut off by a neck counts from this size on."""
ROUGH_M: Final = 0.02
"""Corners are cut by so much before necks are looked for."""


@dataclass(frozen=True, slots=True)
class Loads:
    """What a batch must cover beside the floor, as points of square metres of floor.

    Attributes:
        points: (k, 2) metres.
        amounts: (k,) m².
    """

    points: NDArray[np.float64] = field(default_factory=lambda: np.empty((0, 2)))
    amounts: NDArray[np.float64] = field(default_factory=lambda: np.empty(0))

    def inside(self, piece: Polygon) -> Loads:
        """The part of the load that stands on a piece."""
        if not len(self.amounts):
            return self
        held = shapely.intersects_xy(piece, self.points[:, 0], self.points[:, 1])
        return Loads(self.points[held], self.amounts[held])

    @property
    def total_m2(self) -> float:
        """Sum of the load."""
        return float(self.amounts.sum())


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of floor and what stands on it."""

    floor: Polygon
    loads: Loads

    @property
    def load_m2(self) -> float:
        """Floor and all that a batch covers with it."""
        return float(self.floor.area) + self.loads.total_m2


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """How a floor is divided.

    Attributes:
        batch_m2: load that one batch covers, > 0.
        over: share by which a zone whose edges lie on joints may pass it, because the rest is carried over
        from
            the batch before.
        passage_m: width that people need to get by.
    """

    batch_m2: float
    over: float
    passage_m: float

    @property
    def most_m2(self) -> float:
        """The largest load of a zone."""
        return self.batch_m2 * (1.0 + self.over)

    def zones(self, load_m2: float) -> int:
        """Batches that a load takes at least."""
        return max(1, math.ceil(load_m2 / self.most_m2 - 1e-9))


def divide(piece: Piece, rules: Rules, lines: Sequence[CutLine], angles: Sequence[float]) -> list[Piece]:
    """Pieces of at most one batch that cover the floor exactly.

    Args:
        piece: a connected floor.
        rules: sizes.
        lines: joints.
        angles: directions that edges of zones may run in, the one to try first at the head; lines of other
            directions are left out.
    """
    done: list[Piece] = []
    waiting = [piece]
    while waiting:
        one = waiting.pop()
        if rules.zones(one.load_m2) == 1:
            done.append(one)
            continue
        parts = _cut(one, rules, lines, angles)
        if parts is None:
            done.append(one)
        else:
            waiting += parts
    return done


_MOST_JOINED: Final = 40
"""Beyond so many pieces a sliver is a small share of the work, and trying all pairs a large one."""


def joined(pieces: Sequence[Piece], rules: Rules) -> list[Piece]:
    """The pieces with neighbours put together where one batch covers both, the smallest first.

    Cuts part a floor in two and two again, so that what is left over of one half may be a sliver beside
    what is left over of the other.
    """
    if len(pieces) > _MOST_JOINED:
        return list(pieces)
    done: list[Piece] = []
    # The rest stays sorted, so that its index is that of what fits: the first few.
    rest = sorted(((piece.load_m2, piece) for piece in pieces), key=_load)
    while rest:
        load, one = rest.pop(0)
        fit = [other for weight, other in rest if load + weight <= rules.batch_m2]
        found = [(_both(one, other, rules), k) for k, other in enumerate(fit)]
        better = [(both.floor.length, k, both) for both, k in found if both is not None]
        if not better:
            done.append(one)
            continue
        _, k, both = min(better, key=lambda row: row[:2])
        rest[k] = (both.load_m2, both)
        rest.sort(key=_load)
    return done


def _load(weighed: tuple[float, Piece]) -> float:
    return weighed[0]


def _both(one: Piece, other: Piece, rules: Rules) -> Piece | None:
    """Two pieces as one, where they meet and people can get from one to the other."""
    if not shapely.intersects(one.floor, other.floor):
        return None
    floor = shapely.union(one.floor, other.floor)
    side_m = 0.5 * (one.floor.length + other.floor.length - floor.length)
    if not isinstance(floor, Polygon) or side_m < rules.passage_m:
        return None
    if rooms(floor, rules.passage_m) > max(rooms(part.floor, rules.passage_m) for part in (one, other)):
        return None
    loads = (one.loads, other.loads)
    points = np.concatenate([load.points for load in loads])
    return Piece(floor, Loads(points, np.concatenate([load.amounts for load in loads])))


def _cut(
    piece: Piece, rules: Rules, lines: Sequence[CutLine], angles: Sequence[float]
) -> tuple[Piece, Piece] | None:
    """The best way to part a piece that is more than one batch; None where nothing parts it."""
    kept = [line for line in lines if any(parallel(line, angle) for angle in angles)]
    found = list(_tried(piece, rules, _likely(piece, rules, kept)))
    whole = rules.zones(piece.load_m2)
    if not any(
        cost < EXTRA_ZONE_M + _width(piece) and _enough(pair, rules, whole) for cost, _, pair in found
    ):
        found += _tried(piece, rules, list(_free(piece, rules, angles)))
    best = _first_walkable(piece, found, rules)
    if best is None:
        # No joint serves without leaving a corner behind a neck: look off the joints, and along any
        # direction.
        more = [*_free(piece, rules, angles), *_free(piece, rules, _turned(angles))]
        found += _tried(piece, rules, more)
        best = _first_walkable(piece, found, rules)
    return best or (min(found, key=lambda row: round(row[0], 9))[2] if found else None)


def _first_walkable(
    piece: Piece, found: list[tuple[float, Cut, tuple[Piece, Piece]]], rules: Rules
) -> tuple[Piece, Piece] | None:
    """The best cut that leaves no more rooms apart than it must: a pocket behind a post stays one."""
    most = rooms(piece.floor, rules.passage_m) + 1
    found.sort(key=lambda row: round(row[0], 9))
    for _, cut, pair in found:
        if cut.shortest_m < rules.passage_m:
            continue
        if sum(rooms(part.floor, rules.passage_m) for part in pair) <= most:
            return pair
    return None


def _turned(angles: Sequence[float]) -> list[float]:
    """Directions square to and across those given."""
    return [(angle + turn) % math.pi for angle in angles[:2] for turn in (0.5 * math.pi, 0.25 * math.pi)]


def _enough(pair: tuple[Piece, Piece], rules: Rules, whole: int) -> bool:
    return sum(rules.zones(part.load_m2) for part in pair) <= whole


def _width(piece: Piece) -> float:
    return math.sqrt(piece.floor.area)


def _likely(piece: Piece, rules: Rules, lines: Sequence[CutLine]) -> list[CutLine]:
    """Lines that cross a piece where they leave sensible parts on both sides, the best first."""
    ranked = []
    box = piece.floor.bounds
    for angle in sorted({line.angle for line in lines}):
        same = [line for line in lines if line.angle == angle and _crosses(line, box)]
        if not same:
            continue
        left = _left(piece.floor, angle, tuple(line.offset for line in same))
        ranked += [(_rank(piece, rules, area), line) for area, line in zip(left, same, strict=True)]
    # To the nanometre, so that lines that serve alike keep their order whatever the last digits are.
    ranked.sort(key=lambda row: (round(row[0], 9), row[1].angle, row[1].offset))
    return [line for _, line in ranked[:TRIED]]


@remembered
def _left(floor: Polygon, angle: float, offsets: tuple[float, ...]) -> tuple[float, ...]:
    """Areas to the left of parallel lines."""
    return tuple(areas_left(floor, angle, np.array(offsets)).tolist())


def _crosses(line: CutLine, box: tuple[float, float, float, float]) -> bool:
    (nx, ny), (x0, y0, x1, y1) = line.normal, box
    across = [x * nx + y * ny for x in (x0, x1) for y in (y0, y1)]
    return min(across) < line.offset < max(across)


def _rank(piece: Piece, rules: Rules, left_m2: float) -> float:
    """A first guess from areas alone, as if the line parted the piece in two."""
    area = piece.floor.area
    if not 0.0 < left_m2 < area:
        return 1e6
    loads = [piece.load_m2 * share / area for share in (left_m2, area - left_m2)]
    return _size_cost(loads, rules, _width(piece))


def _size_cost(loads: Sequence[float], rules: Rules, width_m: float) -> float:
    """What speaks against two loads: more batches, uneven batches, parts filled to the brim."""
    counts = [rules.zones(load) for load in loads]
    means = [load / count / rules.batch_m2 for load, count in zip(loads, counts, strict=True)]
    extra = sum(counts) - rules.zones(sum(loads))
    brim = sum(max(0.0, mean - 0.97) for mean in means)
    uneven = abs(means[0] - means[1])
    return EXTRA_ZONE_M * extra + width_m * (0.5 * uneven + 4.0 * brim)


def _tried(
    piece: Piece, rules: Rules, lines: Sequence[CutLine]
) -> Iterator[tuple[float, Cut, tuple[Piece, Piece]]]:
    width = _width(piece)
    for line in lines:
        for cut in cuts(piece.floor, line):
            pair = _pair(piece, cut)
            if min(part.load_m2 for part in pair) < SMALLEST_SHARE * rules.batch_m2:
                continue
            edge = cut.joint_m + OFF_JOINT * (cut.length_m - cut.joint_m)
            cost = edge + _size_cost([part.load_m2 for part in pair], rules, width)
            yield cost, cut, pair


def _pair(piece: Piece, cut: Cut) -> tuple[Piece, Piece]:
    first, second = cut.pieces
    loads = piece.loads
    if not len(loads.amounts):
        return Piece(first, loads), Piece(second, loads)
    held = shapely.intersects_xy(first, loads.points[:, 0], loads.points[:, 1])
    one, other = (Loads(loads.points[mask], loads.amounts[mask]) for mask in (held, ~held))
    return Piece(first, one), Piece(second, other)


def _free(piece: Piece, rules: Rules, angles: Sequence[float]) -> Iterator[CutLine]:
    """Lines off any joint that leave whole batches of equal size on one side."""
    count = rules.zones(piece.load_m2)
    shares = sorted({1, count // 2, (count + 1) // 2, count - 1} - {0})
    extra = (piece.loads.points, piece.loads.amounts)
    wanted = [piece.load_m2 * share / count for share in shares]
    for angle in angles:
        for offset in offset_for(piece.floor, angle, wanted, extra):
            yield CutLine(angle, float(offset))


@remembered
def rooms(floor: Polygon, passage_m: float) -> int:
    """Parts of a piece between which people cannot pass."""
    rough = shapely.simplify(_without_lone_holes(floor, passage_m), ROUGH_M)
    room = shapely.buffer(rough, -0.5 * passage_m, quad_segs=2)
    return max(1, len([part for part in shapely.get_parts(room) if part.area > NECK_M2]))


def _without_lone_holes(floor: Polygon, passage_m: float) -> Polygon:
    """A piece less the holes that people can pass on all sides: those part no room, however many they are."""
    if shapely.get_num_interior_rings(floor) <= FEW_HOLES:
        return floor
    rings = shapely.get_rings(floor)
    holes = rings[1:]
    _, near = shapely.STRtree(holes).query(rings, predicate="dwithin", distance=passage_m + 2.0 * ROUGH_M)
    # Each is near itself.
    return shapely.polygons(rings[0], holes[np.bincount(near, minlength=len(holes)) > 1])

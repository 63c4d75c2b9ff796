"""A piece of floor cut in two along a line.

A line may cross a floor several times (the legs of a U, both sides of a pool). A *cut* takes those of its
chords that part the piece into exactly two, and leaves the others uncut.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from itertools import combinations
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from ..values import dataclass
from .cut_lines import CutLine, ring_points
from .remembered import remembered

CHORD_M: Final = 1e-6
"""A shorter chord is a touch, not a cut."""
MOST_CHORDS: Final = 8
"""A line that crosses a piece more often is no edge to work to."""
MOST_SETS: Final = 3
FEW_HOLES: Final = 16
"""So many holes are cut through with the rest as they come."""


@dataclass(frozen=True, slots=True)
class Cut:
    """A piece parted in two.

    Attributes:
        line: the cut line.
        pieces: the two parts.
        length_m: of the chords cut.
        joint_m: of those, on a joint.
        shortest_m: the shortest chord.
    """

    line: CutLine
    pieces: tuple[Polygon, Polygon]
    length_m: float
    joint_m: float
    shortest_m: float


@dataclass(frozen=True, slots=True)
class _Chord:
    start: float
    end: float
    left: int
    right: int


@remembered
def cuts(piece: Polygon, line: CutLine) -> tuple[Cut, ...]:
    """Every way to part a piece in two along a line."""
    return tuple(_cuts(piece, line))


def _cuts(piece: Polygon, line: CutLine) -> Iterator[Cut]:
    halves = _halves(piece, line)
    left, right = halves.left, halves.right
    joined = _chords(line, left, right)
    if not joined or len(joined) > MOST_CHORDS:
        return
    parts = [*_with_holes(left, halves.over), *_with_holes(right, halves.under)]
    for taken in _choices(joined, len(parts)):
        groups = _groups(joined, len(parts), taken)
        merged = [_merged([parts[i] for i in group]) for group in groups]
        if len(merged) == 2 and merged[0] is not None and merged[1] is not None:
            lengths = [joined[i].end - joined[i].start for i in taken]
            on_joint = sum(line.on_joint_m(joined[i].start, joined[i].end) for i in taken)
            yield Cut(line, (merged[0], merged[1]), sum(lengths), on_joint, min(lengths))


@dataclass(frozen=True, slots=True)
class _Halves:
    """What lies on either side of a line.

    Attributes:
        left, right: the parts, without the holes that the line leaves whole where there are many.
        over, under: rings of those holes, to the left and to the right.
    """

    left: list[Polygon]
    right: list[Polygon]
    over: NDArray[np.object_]
    under: NDArray[np.object_]


def _halves(piece: Polygon, line: CutLine) -> _Halves:
    """What lies to the left and to the right of a line.

    Holes that the line leaves whole are taken out: among hundreds of posts it meets few.
    """
    none = np.empty(0, np.object_)
    if shapely.get_num_interior_rings(piece) <= FEW_HOLES:
        return _Halves(*_parted(piece, line), none, none)
    rings = shapely.get_rings(piece)
    points, ring = shapely.get_coordinates(rings, return_index=True)
    across = points @ np.array(line.normal) - line.offset
    first = np.flatnonzero(np.diff(ring, prepend=-1))[1:]
    over = np.minimum.reduceat(across, first) > CHORD_M
    under = np.maximum.reduceat(across, first) < -CHORD_M
    holes = rings[1:]
    rest = shapely.polygons(rings[0], holes[~(over | under)])
    return _Halves(*_parted(rest, line), holes[over], holes[under])


def _parted(piece: Polygon, line: CutLine) -> tuple[list[Polygon], list[Polygon]]:
    left, right = shapely.intersection(piece, _sides(line, piece.bounds))
    return _solid(left), _solid(right)


def _with_holes(parts: Sequence[Polygon], holes: NDArray[np.object_]) -> list[Polygon]:
    """Parts with the holes that lie in them."""
    if not len(holes):
        return list(parts)
    hole, part = np.arange(len(holes)), np.zeros(len(holes), np.intp)
    if len(parts) > 1:
        inside = shapely.point_on_surface(shapely.polygons(holes))
        hole, part = shapely.STRtree(parts).query(inside, predicate="within")
    found = []
    for k, rings in enumerate(map(shapely.get_rings, parts)):
        found.append(shapely.polygons(rings[0], np.concatenate((rings[1:], holes[hole[part == k]]))))
    return found


def _chords(line: CutLine, left: Sequence[Polygon], right: Sequence[Polygon]) -> list[_Chord]:
    """Stretches of the line with floor on both sides: along an edge there is floor on one only."""
    lefts = [(*span, k) for k, part in enumerate(left) for span in _on_line(line, part)]
    rights = [(*span, len(left) + k) for k, part in enumerate(right) for span in _on_line(line, part)]
    found: dict[tuple[int, int], list[tuple[float, float]]] = {}
    for a, b, one in lefts:
        for c, d, other in rights:
            if min(b, d) - max(a, c) > CHORD_M:
                found.setdefault((one, other), []).append((max(a, c), min(b, d)))
    return [
        _Chord(start, end, *pair) for pair, spans in sorted(found.items()) for start, end in _joined(spans)
    ]


def _on_line(line: CutLine, part: Polygon) -> list[tuple[float, float]]:
    """Stretches of the rings of a part that lie on the line."""
    (ux, uy), (nx, ny) = line.along, line.normal
    points, ring = ring_points(part)
    near = np.abs(points[:, 0] * nx + points[:, 1] * ny - line.offset) < CHORD_M
    on = np.flatnonzero(near[:-1] & near[1:] & (ring[:-1] == ring[1:]))
    places = points[:, 0] * ux + points[:, 1] * uy
    ends = np.sort(np.column_stack((places[on], places[on + 1])), axis=1)
    return _joined([(a, b) for a, b in ends.tolist()])


def _joined(spans: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Stretches put together where one goes on from another."""
    found: list[tuple[float, float]] = []
    for start, end in sorted(spans):
        if found and start <= found[-1][1] + CHORD_M:
            found[-1] = (found[-1][0], max(end, found[-1][1]))
        else:
            found.append((start, end))
    return found


def _sides(line: CutLine, box: tuple[float, float, float, float]) -> NDArray[np.object_]:
    """Half planes, as far as the box goes, to the left and right of a line; they share its two ends."""
    start, end = line.ends(box)
    far = 2.0 * max(box[2] - box[0], box[3] - box[1]) + 2.0
    nx, ny = line.normal
    corners = [
        (start, end, (end[0] + s * nx, end[1] + s * ny), (start[0] + s * nx, start[1] + s * ny))
        for s in (far, -far)
    ]
    return np.asarray(shapely.polygons(corners))


def _solid(region: shapely.Geometry) -> list[Polygon]:
    parts = shapely.get_parts(region)
    return [part for part in parts if part.geom_type == "Polygon" and part.area > 0.0]


def _choices(chords: Sequence[_Chord], parts: int) -> Iterator[tuple[int, ...]]:
    """Chords to cut so that two groups are left, none of them needlessly.

    Chords between the same two parts go together (both sides of a hole); where the floor runs round in a
    ring of parts, two or three such sets are needed.
    """
    sets: dict[tuple[int, int], list[int]] = {}
    for k, chord in enumerate(chords):
        sets.setdefault((chord.left, chord.right), []).append(k)
    found: list[frozenset[int]] = []
    for size in range(1, MOST_SETS + 1):
        for some in combinations(sets.values(), size):
            taken = frozenset(k for each in some for k in each)
            if not any(known <= taken for known in found) and len(_groups(chords, parts, taken)) == 2:
                found.append(taken)
                yield tuple(sorted(taken))


def _groups(chords: Sequence[_Chord], parts: int, taken: Collection[int]) -> list[list[int]]:
    """Parts that hang together when some chords are cut."""
    group = list(range(parts))

    def root(i: int) -> int:
        while group[i] != i:
            i = group[i]
        return i

    for k, chord in enumerate(chords):
        if k not in taken:
            a, b = sorted((root(chord.left), root(chord.right)))
            group[b] = a
    found: dict[int, list[int]] = {}
    for i in range(parts):
        found.setdefault(root(i), []).append(i)
    return list(found.values())


def _merged(parts: Sequence[Polygon]) -> Polygon | None:
    """One polygon of several that share chords; None where they only touch."""
    if len(parts) == 1:
        return parts[0]
    whole = shapely.union_all(list(parts))
    return whole if isinstance(whole, Polygon) else None

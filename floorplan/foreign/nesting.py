"""Which loop stands in which: outlines, cut-outs, islands, and loops drawn twice.

A loop at even depth is floor (an outline, or an island in a cut-out), at odd depth a cut-out.
"""

from __future__ import annotations

from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray

from ..errors import DrawingFileError, Fault
from ..geometry import arcs
from ..geometry.arcs import Floats, Ints
from ..values import dataclass
from .geos import boxes as box_array
from .geos import dots
from .loops import Loops

MOST_NESTED: Final = 3_000_000
"""Pairs of loop and surrounding box beyond which a drawing is refused."""

_STEP_SHARE: Final = 1e-3
"""Chords stand in for arcs within this share of the loop's size; closer calls are made on the arcs."""

_MOST_CLOSE: Final = 20_000
"""Close calls beyond this many are left to the chords; no plan has them."""

_INWARD: Final = 1e-3
_AT_ONCE: Final = 4096


@dataclass(frozen=True, slots=True, eq=False)
class Nest:
    """How loops stand in one another.

    Attributes:
        parent: (k,) the smallest loop around each, -1 for none.
        depth: (k,) how many stand around each.
        repeated: (k,) loops that are another one again; they have no depth.
    """

    parent: Ints
    depth: Ints
    repeated: NDArray[np.bool_]


def nest(loops: Loops, noise: float) -> Nest:
    """Parents and depths of all loops.

    Raises:
        DrawingFileError: too many loops stand in one another.
    """
    count = len(loops)
    area = loops.signed_areas()
    child, around = holders(loops, inner_points(loops), area)
    repeated = np.zeros(count, np.bool_)
    repeated[child[_alike(loops, child, around, area, noise)]] = True
    keep = ~repeated[child] & ~repeated[around]
    child, around = child[keep], around[keep]
    depth = np.bincount(child, minlength=count)
    parent = np.full(count, -1, np.intp)
    order = np.lexsort((-area[around], child))
    # The last one written for a child is the smallest around it.
    parent[child[order]] = around[order]
    return Nest(parent, depth, repeated)


def inner_points(loops: Loops) -> Floats:
    """A point just inside each loop, beside the middle of its longest side, (k, 2)."""
    return loops.by_parts(_inner_points) if len(loops) else np.zeros((0, 2))


def _inner_points(loops: Loops) -> Floats:
    length = loops.lengths()
    owner = np.repeat(np.arange(len(loops)), loops.counts)
    order = np.lexsort((length, owner))
    longest = order[loops.first[1:] - 1]
    start, end, bulge = loops.xy[longest], loops.ends[longest], loops.bulges[longest]
    middle = arcs.points_at(start, end, bulge, np.full(len(longest), 0.5))
    across = end - start
    chord = np.maximum(np.hypot(*across.T), 1e-300)[:, None]
    width = loops.signed_areas() / np.maximum(loops.perimeters(), 1e-300)
    # Half way along an arc the tangent is parallel to the chord, so inward is square to it, to the left.
    return np.asarray(
        middle + _INWARD * width[:, None] * np.column_stack((-across[:, 1], across[:, 0])) / chord
    )


def holders(loops: Loops, points: Floats, area: Floats | None = None) -> tuple[Ints, Ints]:
    """Pairs (point, loop around it); with `area`, point i is of loop i and only greater loops count."""
    boxes = loops.boxes()
    i, k = _in_boxes(points, boxes, area)
    if not len(i):
        return i, k
    wanted, place = np.unique(k, return_inverse=True)
    chosen = np.zeros(len(loops), np.bool_)
    chosen[wanted] = True
    some = loops.chosen(chosen)
    size = np.ptp(boxes[wanted].reshape(-1, 2, 2), axis=1).max(axis=1)
    polygons = some.polygons(np.maximum(_STEP_SHARE * size, 1e-300))
    shapely.prepare(polygons)
    inside = shapely.contains_xy(polygons[place], points[i, 0], points[i, 1])
    curved = np.logical_or.reduceat(some.bulges != 0.0, some.first[:-1])[place]
    if curved.any():
        near = np.flatnonzero(curved)
        far = shapely.distance(shapely.boundary(polygons[place[near]]), dots(points[i[near]]))
        close = near[far <= 2.0 * _STEP_SHARE * size[place[near]]][:_MOST_CLOSE]
        for loop in np.unique(k[close]).tolist():
            calls = close[k[close] == loop]
            inside[calls] = loops.ring(int(loop)).contains(points[i[calls]])
    return i[inside], k[inside]


def _in_boxes(points: Floats, boxes: Floats, area: Floats | None) -> tuple[Ints, Ints]:
    asked = dots(points)
    tree = shapely.STRtree(box_array(boxes[:, :2], boxes[:, 2:]))
    found = [np.zeros((2, 0), np.intp)]
    count = 0
    for start in range(0, len(asked), _AT_ONCE):
        pairs = tree.query(asked[start : start + _AT_ONCE])
        pairs[0] += start
        if area is not None:
            i, k = pairs
            greater = (area[k] > area[i]) | ((area[k] == area[i]) & (k < i))
            pairs = pairs[:, greater]
        count += pairs.shape[1]
        if count > MOST_NESTED:
            raise DrawingFileError(
                Fault(
                    code="drawing-tangled",
                    text=f"{len(boxes):,} loops stand in one another in more than {MOST_NESTED:,} ways",
                    hint="choose the layers of the slab",
                )
            )
        found.append(pairs)
    i, k = np.concatenate(found, axis=1)
    return i, k


def _alike(loops: Loops, i: Ints, k: Ints, area: Floats, noise: float) -> NDArray[np.bool_]:
    """Pairs of loops that are one loop drawn twice: box, area and perimeter agree."""
    boxes, perimeter = loops.boxes(), loops.perimeters()
    same = (np.abs(boxes[i] - boxes[k]) <= 4.0 * noise).all(axis=1)
    same &= np.abs(area[i] - area[k]) <= 4.0 * noise * perimeter[k]
    return np.asarray(same & (np.abs(perimeter[i] - perimeter[k]) <= 1e-4 * perimeter[k]))

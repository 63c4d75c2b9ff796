"""Gaps: free ends that nearly meet, closed up to a stated distance and always told.

Two straight pieces are run on to where their lines cross, when that is near; otherwise a straight piece
is put between. Moving both ends to their middle would bend pieces that were drawn right.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely

from ..geometry.arcs import Floats, Ints
from .clusters import near_pairs
from .geos import dots
from .strokes import Strokes

GAP_KIND: Final = -1
"""`Strokes.kind` of a piece put in to close a gap."""

_TOLD: Final = 10


@dataclass(frozen=True, slots=True)
class Gap:
    """Two free ends and how far apart they are, drawing units."""

    start: tuple[float, float]
    end: tuple[float, float]
    width: float


def close_gaps(
    soup: Strokes, ends: Ints, spots: Floats, snap: float
) -> tuple[Strokes, Ints, Floats, tuple[Gap, ...], tuple[Gap, ...]]:
    """Strokes with gaps of up to `snap` closed.

    Returns:
        The strokes (pieces put in stand last), places of their ends (k, 2), the places, the gaps closed
        (widest first) and the narrowest ones that stay open.
    """
    degree = np.bincount(ends.ravel(), minlength=len(spots)) if len(ends) else np.zeros(len(spots), np.intp)
    free = np.flatnonzero(degree == 1)
    closed: list[Gap] = []
    if len(free) > 1 and snap > 0.0:
        pairs = _nearest_first(spots, free, snap)
        if pairs:
            soup, ends, spots, closed = _closed(soup, ends, spots, pairs)
            taken = {s for pair in pairs for s in pair}
            free = np.array([s for s in free.tolist() if s not in taken], dtype=np.intp)
    return soup, ends, spots, tuple(sorted(closed, key=lambda g: -g.width)), _left(spots, free)


def _nearest_first(spots: Floats, free: Ints, snap: float) -> list[tuple[int, int]]:
    """Pairs of free places, each place once, nearest pairs first."""
    i, j = near_pairs(spots[free], snap)
    width = np.hypot(*(spots[free[i]] - spots[free[j]]).T)
    taken: set[int] = set()
    pairs = []
    for k in np.argsort(width, kind="stable").tolist():
        a, b = int(free[i[k]]), int(free[j[k]])
        if a not in taken and b not in taken:
            taken |= {a, b}
            pairs.append((a, b))
    return pairs


def _closed(
    soup: Strokes, ends: Ints, spots: Floats, pairs: list[tuple[int, int]]
) -> tuple[Strokes, Ints, Floats, list[Gap]]:
    xy, spots, ends = soup.xy.copy(), spots.copy(), ends.copy()
    stroke_at = {int(s): (k, side) for side in (0, 1) for k, s in enumerate(ends[:, side].tolist())}
    put_in: list[tuple[int, int, int]] = []
    told = []
    for a, b in pairs:
        told.append(Gap(_pair(spots[a]), _pair(spots[b]), float(np.hypot(*(spots[a] - spots[b])))))
        (i, side_i), (j, side_j) = stroke_at[a], stroke_at[b]
        meeting = None if i == j else _run_on(soup, xy, (i, side_i), (j, side_j), told[-1].width)
        if meeting is None:
            put_in.append((a, b, int(soup.layer[i])))
            continue
        for stroke, side in ((i, side_i), (j, side_j)):
            xy[soup.first[stroke] if side == 0 else soup.first[stroke + 1] - 1] = meeting
        spots[a] = spots[b] = meeting
        ends[ends == b] = a
    return _with_pieces(soup.moved(xy), ends, spots, put_in), _ends_with(ends, put_in), spots, told


def _run_on(
    soup: Strokes, xy: Floats, one: tuple[int, int], other: tuple[int, int], width: float
) -> Floats | None:
    """Where two straight end pieces cross when run on or cut back by no more than twice the gap."""
    lines = []
    for stroke, side in (one, other):
        first, last = int(soup.first[stroke]), int(soup.first[stroke + 1]) - 1
        end, inner, piece = (first, first + 1, first) if side == 0 else (last, last - 1, last - 1)
        if soup.bulges[piece] != 0.0:
            return None
        lines.append((xy[end], xy[end] - xy[inner]))
    (p, d), (q, e) = lines
    cross = d[0] * e[1] - d[1] * e[0]
    if abs(cross) <= 0.05 * float(np.hypot(*d) * np.hypot(*e)):
        return None
    t = ((q[0] - p[0]) * e[1] - (q[1] - p[1]) * e[0]) / cross
    meeting = p + t * d
    near = max(float(np.hypot(*(meeting - p))), float(np.hypot(*(meeting - q)))) <= 2.0 * width
    return np.asarray(meeting) if near else None


def _with_pieces(soup: Strokes, ends: Ints, spots: Floats, put_in: list[tuple[int, int, int]]) -> Strokes:
    if not put_in:
        return soup
    more = spots[[s for a, b, _ in put_in for s in (a, b)]]
    count = len(put_in)
    return Strokes(
        np.vstack((soup.xy, more)),
        np.concatenate((soup.bulges, np.zeros(2 * count))),
        np.concatenate((soup.first, soup.first[-1] + 2 * np.arange(1, count + 1))),
        np.concatenate((soup.closed, np.zeros(count, np.bool_))),
        np.concatenate((soup.layer, np.array([layer for _, _, layer in put_in], np.intp))),
        np.concatenate((soup.kind, np.full(count, GAP_KIND))),
    )


def _ends_with(ends: Ints, put_in: list[tuple[int, int, int]]) -> Ints:
    return np.vstack((ends, np.array([(a, b) for a, b, _ in put_in], np.intp))) if put_in else ends


def _left(spots: Floats, free: Ints) -> tuple[Gap, ...]:
    """The narrowest gaps between free ends, each end once."""
    if len(free) < 2:
        return ()
    points = dots(spots[free])
    tree = shapely.STRtree(points)
    (i, j), width = tree.query_nearest(points, exclusive=True, all_matches=False, return_distance=True)
    taken: set[int] = set()
    gaps = []
    for k in np.argsort(width, kind="stable").tolist():
        a, b = int(free[i[k]]), int(free[j[k]])
        if a not in taken and b not in taken:
            taken |= {a, b}
            gaps.append(Gap(_pair(spots[a]), _pair(spots[b]), float(width[k])))
            if len(gaps) == _TOLD:
                break
    return tuple(gaps)


def _pair(point: Floats) -> tuple[float, float]:
    return float(point[0]), float(point[1])

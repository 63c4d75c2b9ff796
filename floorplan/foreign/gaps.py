"""Gaps: free ends that nearly meet another end or a line, closed up to a stated distance and always told.

Straight pieces are run on, or cut back, to where they meet; otherwise a straight piece is put between. Moving
both ends to their middle would bend pieces that were drawn right.
"""

from __future__ import annotations

from typing import Final

import numpy as np
import shapely

from ..geometry import arcs
from ..geometry.arcs import Floats, Ints
from ..values import dataclass
from .clusters import near_pairs
from .geos import boxes, dots
from .noding import Pieces, along, piece_boxes, pieces_of
from .strokes import Strokes

GAP_KIND: Final = -1
"""`Strokes.kind` of a piece put in to close a gap."""

_TOLD: Final = 10
_SQUARE_ENOUGH: Final = 0.05


@dataclass(frozen=True, slots=True)
class Gap:
    """A free end, what it was joined to or lies nearest to, and how far apart they are, drawing units."""

    start: tuple[float, float]
    end: tuple[float, float]
    width: float


@dataclass(frozen=True, slots=True)
class Closing:
    """A gap that was closed, and the strokes that matter only if they now bound something."""

    gap: Gap
    strokes: tuple[int, ...]


@dataclass(slots=True)
class _Work:
    """Strokes whose gaps are being closed: the points, the places of their ends, and pieces put in."""

    soup: Strokes
    xy: Floats
    ends: Ints
    spots: Floats
    put_in: list[tuple[int, int, int]]
    closings: list[Closing]

    def free(self) -> Ints:
        """Places where exactly one stroke ends."""
        if not len(self.ends):
            return np.zeros(0, np.intp)
        return np.flatnonzero(np.bincount(self.ends.ravel(), minlength=len(self.spots)) == 1)

    def row(self, stroke: int, side: int) -> int:
        """Row of a stroke's first (side 0) or last point."""
        return int(self.soup.first[stroke]) if side == 0 else int(self.soup.first[stroke + 1]) - 1

    def end_line(self, stroke: int, side: int) -> tuple[Floats, Floats] | None:
        """End point and outward direction of a stroke's last piece, None where it is curved."""
        row = self.row(stroke, side)
        inner, piece = (row + 1, row) if side == 0 else (row - 1, row - 1)
        return None if self.soup.bulges[piece] != 0.0 else (self.xy[row], self.xy[row] - self.xy[inner])

    def stroke_count(self) -> int:
        """Strokes, pieces put in included."""
        return len(self.ends) + len(self.put_in)


def close_gaps(
    soup: Strokes, ends: Ints, spots: Floats, *, noise: float, snap: float
) -> tuple[Strokes, Ints, Floats, list[Closing]]:
    """Strokes with gaps of up to `snap` closed.

    Returns:
        The strokes (pieces put in stand last), the places of their ends (k, 2), the places, what was closed.
    """
    work = _Work(soup, soup.xy.copy(), ends.copy(), spots.copy(), [], [])
    free = work.free()
    if snap <= noise or not len(free):
        return soup, ends, spots, []
    _end_to_end(work, free, snap)
    taken = {s for a, b, _ in work.put_in for s in (a, b)}
    left = np.array([s for s in work.free().tolist() if s not in taken], dtype=np.intp)
    if len(left):
        _end_to_line(work, left, noise, snap)
    return _with_pieces(work), _ends_with(work), work.spots, work.closings


def nearest_free(ends: Ints, spots: Floats) -> tuple[Gap, ...]:
    """The narrowest gaps between free ends, each end once, narrowest first."""
    if not len(ends):
        return ()
    free = np.flatnonzero(np.bincount(ends.ravel(), minlength=len(spots)) == 1)
    if len(free) < 2:
        return ()
    points = dots(spots[free])
    tree = shapely.STRtree(points)
    (i, j), width = tree.query_nearest(points, exclusive=True, all_matches=False, return_distance=True)
    taken: set[int] = set()
    gaps: list[Gap] = []
    for k in np.argsort(width, kind="stable").tolist():
        a, b = int(free[i[k]]), int(free[j[k]])
        if a not in taken and b not in taken and len(gaps) < _TOLD:
            taken |= {a, b}
            gaps.append(Gap(_pair(spots[a]), _pair(spots[b]), float(width[k])))
    return tuple(gaps)


def _end_to_end(work: _Work, free: Ints, snap: float) -> None:
    """Join free ends two by two, the nearest first."""
    stroke_at = {int(s): (k, side) for side in (0, 1) for k, s in enumerate(work.ends[:, side].tolist())}
    for a, b in _nearest_first(work.spots, free, snap):
        gap = Gap(
            _pair(work.spots[a]), _pair(work.spots[b]), float(np.hypot(*(work.spots[a] - work.spots[b])))
        )
        (i, side_i), (j, side_j) = stroke_at[a], stroke_at[b]
        one, other = work.end_line(i, side_i), work.end_line(j, side_j)
        meeting = None if i == j or one is None or other is None else _meeting(one, other, 2.0 * gap.width)
        if meeting is None:
            work.closings.append(Closing(gap, (work.stroke_count(),)))
            work.put_in.append((a, b, int(work.soup.layer[i])))
            continue
        work.closings.append(Closing(gap, (i, j)))
        work.xy[work.row(i, side_i)] = work.xy[work.row(j, side_j)] = meeting
        work.spots[a] = work.spots[b] = meeting
        work.ends[work.ends == b] = a


def _end_to_line(work: _Work, free: Ints, noise: float, snap: float) -> None:
    """Join free ends to the nearest line that is not their own."""
    soup = work.soup.moved(work.xy)
    pieces = pieces_of(soup, np.ones(len(soup), np.bool_))
    low, high = piece_boxes(pieces)
    tree = shapely.STRtree(boxes(low, high))
    asked, piece = tree.query(dots(work.spots[free]), predicate="dwithin", distance=snap)
    stroke_at = {int(s): (k, side) for side in (0, 1) for k, s in enumerate(work.ends[:, side].tolist())}
    owner = np.array([stroke_at[int(s)][0] for s in free.tolist()], dtype=np.intp)
    other = pieces.stroke[piece] != owner[asked]
    asked, piece = asked[other], piece[other]
    points = work.spots[free[asked]]
    share, off = along(pieces, piece, points)
    on = (share > 0.0) & (share < 1.0) & (off <= snap) & (off > noise)
    order = np.flatnonzero(on)[np.argsort(off[on], kind="stable")]
    done: set[int] = set()
    for n in order.tolist():
        if int(asked[n]) not in done:
            done.add(int(asked[n]))
            spot = int(free[asked[n]])
            _to_line(work, spot, stroke_at[spot], pieces, (int(piece[n]), float(share[n]), float(off[n])))


def _to_line(
    work: _Work, spot: int, at: tuple[int, int], pieces: Pieces, target: tuple[int, float, float]
) -> None:
    k, share, off = target
    start, end, bulge = pieces.starts[k], pieces.ends[k], pieces.bulges[k]
    foot = arcs.points_at(start[None, :], end[None, :], np.array([bulge]), np.array([share]))[0]
    own = work.end_line(*at)
    meeting = None
    if own is not None and bulge == 0.0:
        meeting = _meeting(own, (foot, end - start), 2.0 * off)
    gap = Gap(_pair(work.spots[spot]), _pair(foot), off)
    if meeting is None:
        work.closings.append(Closing(gap, (work.stroke_count(),)))
        work.spots = np.vstack((work.spots, foot))
        work.put_in.append((spot, len(work.spots) - 1, int(work.soup.layer[at[0]])))
        return
    work.closings.append(Closing(gap, (at[0],)))
    work.xy[work.row(*at)] = meeting
    work.spots[spot] = meeting


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


def _meeting(one: tuple[Floats, Floats], other: tuple[Floats, Floats], reach: float) -> Floats | None:
    """Where two lines through points cross; None where they hardly do, or farther than `reach` away."""
    (p, d), (q, e) = one, other
    cross = d[0] * e[1] - d[1] * e[0]
    if abs(cross) <= _SQUARE_ENOUGH * float(np.hypot(*d) * np.hypot(*e)):
        return None
    t = ((q[0] - p[0]) * e[1] - (q[1] - p[1]) * e[0]) / cross
    meeting = p + t * d
    near = max(float(np.hypot(*(meeting - p))), float(np.hypot(*(meeting - q)))) <= reach
    return np.asarray(meeting) if near else None


def _with_pieces(work: _Work) -> Strokes:
    soup, count = work.soup.moved(work.xy), len(work.put_in)
    if not count:
        return soup
    more = work.spots[[s for a, b, _ in work.put_in for s in (a, b)]]
    return Strokes(
        np.vstack((soup.xy, more)),
        np.concatenate((soup.bulges, np.zeros(2 * count))),
        np.concatenate((soup.first, soup.first[-1] + 2 * np.arange(1, count + 1))),
        np.concatenate((soup.closed, np.zeros(count, np.bool_))),
        np.concatenate((soup.layer, np.array([layer for _, _, layer in work.put_in], np.intp))),
        np.concatenate((soup.kind, np.full(count, GAP_KIND))),
    )


def _ends_with(work: _Work) -> Ints:
    if not work.put_in:
        return work.ends
    return np.vstack((work.ends, np.array([(a, b) for a, b, _ in work.put_in], np.intp)))


def _pair(point: Floats) -> tuple[float, float]:
    return float(point[0]), float(point[1])

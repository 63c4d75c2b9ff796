"""Lines on the floor: joints cut off at edges and cut-outs, and counted once where they lie on one another.

Words: a *run* is a stretch over which a line keeps to another line, as against crossing it. Runs along the
edge of the floor and runs along an earlier line are dropped; ends at an edge are cut exactly, arcs included.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from numpy.typing import ArrayLike
from shapely import MultiLineString
from shapely.geometry.base import BaseGeometry

from ..values import dataclass
from .arcs import Floats, Ints
from .boxes import meeting
from .meets import Sides, meets
from .regions import Subtraction
from .rings import cos_sin
from .segments import Segments, Span, Spans, chained, runs, without
from .tolerance import BOUNDARY_M, DOUBLED_M, GRID_LINES


@dataclass(frozen=True, slots=True, kw_only=True)
class Clipped:
    """Lines clipped to the floor.

    Attributes:
        lines: what was kept, in the order and direction given.
        length_m: of what was kept.
        dropped_m: of what was not: outside, in a cut-out, along an edge, or on an earlier line.
        edge_m: the part of that which runs along an edge of the floor.
        doubled_m: the part of that which runs on an earlier line, its own lines included.
    """

    lines: MultiLineString
    length_m: float
    dropped_m: float
    edge_m: float = 0.0
    doubled_m: float = 0.0


def clip_lines(
    lines: Sequence[ArrayLike],
    floor: Subtraction,
    *,
    earlier: Iterable[BaseGeometry] = (),
    along_edges: bool = False,
) -> Clipped:
    """The part of some lines that lies on the floor.

    Args:
        lines: each (k, 2) points in metres, k >= 2.
        floor: the floor left by `regions.subtract`.
        earlier: lines counted already; what runs along them is dropped.
        along_edges: keep what runs along an edge of the floor.
    """
    every = Segments.of([np.asarray(line, dtype=np.float64) for line in lines])
    if not len(every.starts):
        return _nothing()
    kept = _on_floor(_stretches(every, floor), floor, keep_edges=along_edges)
    drops = [_runs_on_earlier(every, list(earlier))]
    if not along_edges:
        drops.append(_runs_on_edges(every, floor))
    result = MultiLineString([line for line, _ in chained(every, without(kept, drops))])
    typed = float(every.lengths.sum())
    return Clipped(lines=result, length_m=result.length, dropped_m=max(0.0, typed - result.length))


def clip_groups(
    groups: Sequence[Sequence[ArrayLike]], floor: Subtraction, *, edge_within_m: float = BOUNDARY_M
) -> tuple[Clipped, ...]:
    """As `clip_lines` for several groups of lines at once, each counted after the ones before it.

    One pass over the floor, so that hundreds of joints cost little more than one. What keeps within
    `edge_within_m` of an edge of the floor runs along it.
    """
    lines = [np.asarray(line, dtype=np.float64) for group in groups for line in group]
    group = np.repeat(np.arange(len(groups)), [len(g) for g in groups])
    every = Segments.of(lines)
    if not len(every.starts):
        return tuple(_nothing() for _ in groups)
    owner = group[every.line]
    typed = np.bincount(owner, every.lengths, minlength=len(groups))
    stretches = _stretches(every, floor)
    edges = _runs_on_edges(every, floor, edge_within_m)
    with_edges = without(_on_floor(stretches, floor, keep_edges=True), [])
    inside = _on_floor(stretches, floor, keep_edges=False)
    off_edges = without(inside, [edges])
    left = without(inside, [edges, _runs_on_earlier(every, [])])
    on, off, kept = (_lengths(every, spans, owner, len(groups)) for spans in (with_edges, off_edges, left))
    parts: list[list[Floats]] = [[] for _ in groups]
    for line, number in chained(every, left):
        parts[int(group[number])].append(line)
    return tuple(
        Clipped(
            lines=MultiLineString(parts[k]),
            length_m=float(kept[k]),
            dropped_m=max(0.0, float(typed[k] - kept[k])),
            edge_m=max(0.0, float(on[k] - off[k])),
            doubled_m=max(0.0, float(off[k] - kept[k])),
        )
        for k in range(len(groups))
    )


def _nothing() -> Clipped:
    return Clipped(lines=MultiLineString(), length_m=0.0, dropped_m=0.0)


def _lengths(every: Segments, left: Sequence[Span], owner: Ints, count: int) -> Floats:
    """Metres left of the segments of each owner."""
    if not left:
        return np.zeros(count)
    which = np.array([i for i, _, _ in left])
    span = np.array([b - a for _, a, b in left])
    metres = np.bincount(owner[which], every.lengths[which] * span, minlength=count)
    return np.asarray(metres, dtype=np.float64)


def grid_lines(
    floor: BaseGeometry,
    spacing_m: tuple[float, float],
    origin: Sequence[float],
    turn_deg: float = 0.0,
) -> list[Floats]:
    """Lines of a grid over the box of a floor, each (2, 2): first those across at spacing x, then those at y.

    Args:
        floor: what the grid must cover.
        spacing_m: between upright lines and between level lines, before turning; infinite for none.
        origin: a point that one line of each kind goes through.
        turn_deg: counter-clockwise about the origin.

    Raises:
        ValueError: a spacing is not positive, or the grid would have more lines than `GRID_LINES`.
    """
    if not all(s > 0.0 for s in spacing_m):
        raise ValueError(f"spacing_m must be > 0, got {spacing_m!r}")
    if floor.is_empty:
        return []
    cos, sin = cos_sin(turn_deg)
    turn = np.array([[cos, sin], [-sin, cos]])
    about = np.array([float(origin[0]), float(origin[1])])
    local = (shapely.get_coordinates(shapely.convex_hull(floor)) - about) @ turn.T
    low, high = local.min(axis=0), local.max(axis=0)
    ways = [k for k in (0, 1) if math.isfinite(spacing_m[k])]
    steps = {k: (math.ceil(low[k] / spacing_m[k]), math.floor(high[k] / spacing_m[k]) + 1) for k in ways}
    if sum(max(0, last - first) for first, last in steps.values()) > GRID_LINES:
        raise ValueError(f"a grid of spacing {spacing_m!r} m has more than {GRID_LINES} lines")
    result = []
    for k, (first, last) in steps.items():
        for step in range(first, last):
            ends = np.empty((2, 2))
            ends[:, k] = step * spacing_m[k]
            ends[:, 1 - k] = low[1 - k], high[1 - k]
            result.append(ends @ turn + about)
    return result


def _stretches(every: Segments, floor: Subtraction) -> tuple[Spans, Floats]:
    """Stretches of the segments, cut exactly where they meet a side, and the middle of each."""
    n = len(every.starts)
    rings = (floor.outline, *floor.cutouts)
    sides = Sides.of(*rings)
    lines = Sides(every.starts, every.ends, np.zeros(n), np.full(n, len(rings)), np.arange(n))
    both = sides.joined(lines)
    snap = both.snap_m()
    found = meets(both, *both.near_pairs_from(len(rings), snap), snap)
    owner = np.concatenate((np.arange(n), found.second - len(sides)))
    low = np.concatenate((np.zeros(n), found.second_share))
    order = np.lexsort((low, owner))
    owner, low = owner[order], low[order]
    high = np.where(np.append(owner[1:] != owner[:-1], True), 1.0, np.roll(low, -1))
    long = high > low
    owner, low, high = owner[long], low[long], high[long]
    return (owner, low, high), every.at(owner, 0.5 * (low + high))


def _on_floor(stretches: tuple[Spans, Floats], floor: Subtraction, *, keep_edges: bool) -> Spans:
    """The stretches that lie on the floor."""
    (owner, low, high), middle = stretches
    inside = floor.contains(middle)
    if keep_edges:
        edge = shapely.boundary(floor.net)
        shapely.prepare(edge)
        inside |= shapely.dwithin(edge, shapely.points(middle), BOUNDARY_M)
    return owner[inside], low[inside], high[inside]


def _runs_on_edges(every: Segments, floor: Subtraction, within_m: float = BOUNDARY_M) -> Spans:
    rings = shapely.get_rings(shapely.get_parts(floor.net))
    edges = Segments.of([shapely.get_coordinates(ring) for ring in rings])
    one, two = meeting(every.boxes().grown(within_m), edges.boxes())
    return runs(every, edges, one, two, within_m)


def _runs_on_earlier(every: Segments, earlier: Sequence[BaseGeometry]) -> Spans:
    """Runs along lines counted already, or along an earlier segment of the same lines."""
    parts = shapely.get_parts(shapely.get_parts(np.array(earlier, dtype=object)))
    known = Segments.of([shapely.get_coordinates(part) for part in parts])
    base = len(known.starts)
    both = Segments(
        np.vstack((known.starts, every.starts)),
        np.vstack((known.ends, every.ends)),
        np.concatenate((known.lengths, every.lengths)),
        np.concatenate((known.line, every.line)),
    )
    one, two = meeting(every.boxes().grown(DOUBLED_M), both.boxes())
    before = two < one + base
    return runs(every, both, one[before], two[before], DOUBLED_M)

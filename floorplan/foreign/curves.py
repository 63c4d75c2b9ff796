"""Curves that are no circles, as chains of arcs that stay within a stated distance.

Each piece of a chain passes through three points of its curve, so that area and length agree far better than
with chords, and a quarter of an ellipse takes a handful of arcs. Many curves are worked through at once: a
drawing of fifty thousand splines must not take fifty thousand times a single one.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from ..geometry.arcs import Floats, Ints
from ..values import dataclass

CURVE_SHARE: Final = 2e-5
"""How far a chain of arcs may stand off its curve, as a share of the curve's own size."""

MOST_PIECES: Final = 20_000
"""A curve that needs more pieces than this is no edge of a floor; it is left out."""

NO_CURVE: Final = "no curve that can be drawn"
"""Why a chain failed, in the words of what is left out."""

_WIDEST_TURN: Final = math.pi / 2.0
_DEEPEST: Final = 16

Curve: TypeAlias = Callable[[Ints, Floats], Floats]
"""Points (k, 2) on the spans (k,) of some curves at shares (k,) from 0 to 1."""


@dataclass(frozen=True, slots=True, eq=False)
class Chains:
    """Chains of arcs, one after the other.

    Attributes:
        points: (n, 2) points of all chains.
        bulges: (n,) of the arc that starts at each point; 0 at the last point of a chain.
        first: (c + 1,) row of each chain's first point, and n; a chain that failed has no rows.
    """

    points: Floats
    bulges: Floats
    first: Ints

    @property
    def counts(self) -> Ints:
        """Number of points of each chain, (c,); 0 for one that failed."""
        return np.diff(self.first)

    def one(self, k: int) -> tuple[Floats, Floats]:
        """(n, 2) points and (n - 1,) bulges of one chain.

        Raises:
            ValueError: it failed: not finite, or more than `MOST_PIECES` pieces.
        """
        low, high = int(self.first[k]), int(self.first[k + 1])
        if high - low < 2:
            raise ValueError(NO_CURVE)
        return self.points[low:high], self.bulges[low : high - 1]


def chains(curve: Curve, owner: Ints, *, share: float = CURVE_SHARE, split: int = 2) -> Chains:
    """Curves made of spans as chains of arcs.

    Args:
        curve: gives points on spans.
        owner: (s,) the curve that each span is of, spans in order, curves counted from 0.
        share: of a curve's size, how far its chain may stand off.
        split: into how many pieces each span is cut to begin with; each turns by less than a half circle.
    """
    count = int(owner.max(initial=-1)) + 1
    span = np.repeat(np.arange(len(owner)), split)
    low = np.tile(np.arange(split) / split, len(owner))
    high = low + 1.0 / split
    start, end = curve(span, low), curve(span, high)
    tolerance = share * _sizes(start, end, owner[span], count)
    pieces = np.zeros(count, np.intp)
    done: list[tuple[Ints, Floats, Floats, Floats]] = []
    last = end
    for depth in range(_DEEPEST + 1):
        first, middle, third = np.split(
            curve(np.tile(span, 3), np.concatenate([low + (high - low) * q for q in (0.25, 0.5, 0.75)])), 3
        )
        turn = _turns(start, middle, end)
        off = np.maximum(_off(start, first, end, turn), _off(start, third, end, turn))
        fits = (off <= tolerance[owner[span]]) & (np.abs(turn) <= _WIDEST_TURN)
        fits |= (depth == _DEEPEST) | ~np.isfinite(off) | (pieces[owner[span]] > MOST_PIECES)
        done.append((span[fits], low[fits], start[fits], np.tan(0.5 * turn[fits])))
        more = ~fits
        if not more.any():
            break
        half = low[more] + 0.5 * (high[more] - low[more])
        span = np.concatenate((span[more], span[more]))
        low, high = np.concatenate((low[more], half)), np.concatenate((half, high[more]))
        start, end = np.concatenate((start[more], middle[more])), np.concatenate((middle[more], end[more]))
        pieces += np.bincount(owner[span], minlength=count)
    spans = np.concatenate([part[0] for part in done])
    order = np.lexsort((np.concatenate([part[1] for part in done]), spans))
    return _assembled(
        np.concatenate([part[2] for part in done])[order],
        np.concatenate([part[3] for part in done])[order],
        owner[spans[order]],
        last[split - 1 :: split],
        owner,
        pieces > MOST_PIECES,
    )


def _sizes(start: Floats, end: Floats, owner: Ints, count: int) -> Floats:
    """The greater extent of each curve, (count,), never 0."""
    size = np.zeros(count)
    for axis in (0, 1):
        low, high = np.full(count, np.inf), np.full(count, -np.inf)
        for points in (start, end):
            np.minimum.at(low, owner, points[:, axis])
            np.maximum.at(high, owner, points[:, axis])
        size = np.fmax(size, high - low)
    return np.maximum(size, np.finfo(float).tiny)


def _assembled(
    points: Floats,
    bulges: Floats,
    owner: Ints,
    span_ends: Floats,
    span_owner: Ints,
    refused: NDArray[np.bool_],
) -> Chains:
    """Pieces in order with the end of each chain put behind its last piece; bad chains are emptied."""
    count = int(span_owner.max(initial=-1)) + 1
    last_span = np.zeros(count, np.intp)
    last_span[span_owner] = np.arange(len(span_owner))
    ends = span_ends[last_span]
    behind = np.searchsorted(owner, np.arange(count), side="right")
    points = np.insert(points, behind, ends, axis=0)
    bulges = np.insert(bulges, behind, 0.0)
    owner = np.insert(owner, behind, np.arange(count))
    sound = np.isfinite(points).all(axis=1) & np.isfinite(bulges)
    number = np.bincount(owner, minlength=count)
    bad = (np.bincount(owner[~sound], minlength=count) > 0) | refused
    keep = ~bad[owner]
    first = np.concatenate(([0], np.cumsum(np.where(bad, 0, number)))).astype(np.intp)
    return Chains(points[keep], bulges[keep], first)


def _turns(start: Floats, middle: Floats, end: Floats) -> Floats:
    """How much the way turns at `middle`, radians; half the angle of the arc through the three points."""
    a, b = middle - start, end - middle
    cross = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    return np.asarray(np.arctan2(cross, (a * b).sum(axis=1)), dtype=np.float64)


def _off(start: Floats, point: Floats, end: Floats, turn: Floats) -> Floats:
    """How far `point` stands off the arc from start to end with that turn.

    Every point of an arc sees its ends under one angle, so the difference in turn measures the distance; no
    centre and no radius, so flat pieces keep their digits.
    """
    chord = np.hypot(*(end - start).T)
    reach = np.hypot(*(point - start).T) * np.hypot(*(end - point).T)
    return np.asarray(np.abs(_turns(start, point, end) - turn) * reach / np.maximum(chord, 1e-300))


def ellipse(centre: Floats, first: Floats, second: Floats, start: float, end: float) -> tuple[Floats, Floats]:
    """centre + cos t first + sin t second for t from start to end, as arcs: (n, 2) and (n - 1,).

    Raises:
        ValueError: it is not finite.
    """
    steps = max(1, math.ceil(abs(end - start) / (math.pi / 4.0) - 1e-9))

    def at(span: Ints, share: Floats) -> Floats:
        t = (start + (end - start) * (span + share) / steps)[:, None]
        return np.asarray(centre + np.cos(t) * first + np.sin(t) * second)

    return chains(at, np.zeros(steps, np.intp), split=1).one(0)


def bezier(control: Floats) -> tuple[Floats, Floats]:
    """A Bézier curve of any degree as arcs, by de Casteljau's steps.

    Raises:
        ValueError: it is not finite.
    """

    def at(_: Ints, share: Floats) -> Floats:
        level = np.repeat(control[:, None, :], len(share), axis=1)
        while len(level) > 1:
            level = level[:-1] * (1.0 - share)[None, :, None] + level[1:] * share[None, :, None]
        return np.asarray(level[0])

    return chains(at, np.zeros(1, np.intp), split=8).one(0)


def arcs_through(points: Floats) -> tuple[Floats, Floats]:
    """Arcs each through three points, end to end: (n, 2) points and (n - 1,) bulges from 2n - 1 points.

    An arc whose ends are one point is a whole circle with the middle point opposite: two half circles.
    """
    corners = [points[0]]
    bulges: list[float] = []
    for start, middle, end in zip(points[:-2:2], points[1:-1:2], points[2::2], strict=True):
        if (start == end).all():
            corners += [middle, end]
            bulges += [1.0, 1.0]
            continue
        turn = float(_turns(start[None, :], middle[None, :], end[None, :])[0])
        corners.append(end)
        bulges.append(math.tan(0.5 * turn))
    return np.array(corners), np.array(bulges)

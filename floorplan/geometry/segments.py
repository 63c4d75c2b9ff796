"""Straight segments of lines, and the stretches over which they run along others.

Words: a *span* is a stretch of one segment, from one share of it to another; a *run* is a span over which a
segment keeps to another line, as against crossing it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

import numpy as np

from ..values import dataclass
from .arcs import Floats, Ints
from .boxes import Boxes
from .tolerance import RUN_WIDTHS


@dataclass(frozen=True, slots=True)
class Segments:
    """Straight segments of polylines, none without length.

    Attributes:
        starts: (n, 2), ends: (n, 2), lengths: (n,).
        line: (n,) the polyline of each.
    """

    starts: Floats
    ends: Floats
    lengths: Floats
    line: Ints

    @classmethod
    def of(cls, lines: Sequence[Floats]) -> Segments:
        """Segments of lines, each (k, 2), in order."""
        lines = [line for line in lines if len(line) > 1]
        if not lines:
            return cls(np.empty((0, 2)), np.empty((0, 2)), np.empty(0), np.empty(0, dtype=np.intp))
        starts = np.vstack([line[:-1] for line in lines])
        ends = np.vstack([line[1:] for line in lines])
        number = np.repeat(np.arange(len(lines)), [len(line) - 1 for line in lines])
        lengths = np.hypot(*(ends - starts).T)
        real = lengths > 0.0
        return cls(starts[real], ends[real], lengths[real], number[real])

    def at(self, which: Ints, share: Floats) -> Floats:
        """Points at a share of segments."""
        along = self.ends[which] - self.starts[which]
        points = self.starts[which] + share[:, None] * along
        return np.where((share == 1.0)[:, None], self.ends[which], points)

    def boxes(self) -> Boxes:
        """A box around every segment."""
        return Boxes(np.minimum(self.starts, self.ends), np.maximum(self.starts, self.ends))


Span: TypeAlias = tuple[int, float, float]
"""A segment, and the shares of it between which something holds."""

Spans: TypeAlias = tuple[Ints, Floats, Floats]
"""Many of them, as arrays."""


def runs(every: Segments, others: Segments, one: Ints, two: Ints, width: float) -> Spans:
    """Stretches over which segments keep within `width` of others, long enough not to be a crossing."""
    p, along = every.starts[one], every.ends[one] - every.starts[one]
    q = others.starts[two]
    unit = (others.ends[two] - q) / others.lengths[two][:, None]
    from_q = p - q
    off, drift = _cross(unit, from_q), _cross(unit, along)
    at, pace = (unit * from_q).sum(axis=1), (unit * along).sum(axis=1)
    low, high = _between(off, drift, -width, width)
    from_, to = _between(at, pace, 0.0, others.lengths[two])
    low, high = np.maximum(np.maximum(low, from_), 0.0), np.minimum(np.minimum(high, to), 1.0)
    # A line that only crosses another stays near it too, over a stretch that must not lengthen a run.
    near = (high > low) & (np.abs(drift) * RUN_WIDTHS <= 2.0 * every.lengths[one])
    # Round a bend the runs along two edges leave a gap no wider than the width.
    owner, low, high = merged((one[near], low[near], high[near]), 2.0 * width / every.lengths)
    length = every.lengths[owner]
    long = (high - low) * length > np.minimum(RUN_WIDTHS * width, length - 2.0 * width)
    return owner[long], low[long], high[long]


def _between(
    value: Floats, slope: Floats, least: Floats | float, most: Floats | float
) -> tuple[Floats, Floats]:
    """The shares t at which value + slope t lies between two limits."""
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        a, b = (least - value) / slope, (most - value) / slope
    level = slope == 0.0
    always = level & (value >= least) & (value <= most)
    low = np.where(level, np.where(always, -np.inf, np.inf), np.minimum(a, b))
    return low, np.where(level, np.where(always, np.inf, -np.inf), np.maximum(a, b))


def _cross(a: Floats, b: Floats) -> Floats:
    return np.asarray(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0], dtype=np.float64)


def merged(spans: Spans, gap: Floats | None = None) -> Spans:
    """Spans of each segment in order, those that meet, or all but meet within a gap, made one."""
    owner, low, high = spans
    if not len(owner):
        return spans
    order = np.lexsort((low, owner))
    owner, low, high = owner[order], low[order], high[order]
    # A running greatest end, started afresh for each segment by lifting each above the one before.
    lift = 4.0 * owner
    reach = np.maximum.accumulate(high + lift)
    new = np.ones(len(owner), dtype=np.bool_)
    allowed = 0.0 if gap is None else np.minimum(gap, 1.0)[owner[1:]]
    new[1:] = low[1:] + lift[1:] > reach[:-1] + allowed
    first = np.flatnonzero(new)
    return owner[first], low[first], np.maximum.reduceat(high, first)


def without(kept: Spans, drops: Sequence[Spans]) -> list[Span]:
    """What was kept less what was dropped, in order."""
    away: dict[int, list[tuple[float, float]]] = {}
    for owner, low, high in drops:
        for i, a, b in zip(owner.tolist(), low.tolist(), high.tolist(), strict=True):
            away.setdefault(i, []).append((a, b))
    left: list[Span] = []
    for i, a, b in zip(*(part.tolist() for part in merged(kept)), strict=True):
        left += [(i, c, d) for c, d in _less(a, b, sorted(away.get(i, [])))]
    return left


def _less(low: float, high: float, away: list[tuple[float, float]]) -> list[tuple[float, float]]:
    left = []
    for a, b in away:
        if a > low:
            left.append((low, min(a, high)))
        low = max(low, b)
        if low >= high:
            return left
    return [*left, (low, high)]


def chained(every: Segments, left: list[Span]) -> list[tuple[Floats, int]]:
    """Stretches as lines (k, 2) with the number of the line typed; those that go on make one line."""
    if not left:
        return []
    which = np.array([i for i, _, _ in left])
    starts = every.at(which, np.array([a for _, a, _ in left]))
    ends = every.at(which, np.array([b for _, _, b in left]))
    lines: list[tuple[list[Floats], int]] = []
    for k, (i, a, _) in enumerate(left):
        goes_on = k > 0 and a == 0.0 and left[k - 1] == (i - 1, left[k - 1][1], 1.0)
        if goes_on and every.line[i] == every.line[i - 1]:
            lines[-1][0].append(ends[k])
        else:
            lines.append(([starts[k], ends[k]], int(every.line[i])))
    return [(np.array(line), number) for line, number in lines]

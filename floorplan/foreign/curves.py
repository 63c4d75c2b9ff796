"""Curves that are no circles, ellipses and splines, as chains of arcs that stay within a stated distance.

Each piece of the chain passes through three points of the curve, so that area and length agree far
better than with chords, and a quarter of an ellipse takes a handful of arcs.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Final, TypeAlias

import numpy as np

from ..geometry.arcs import Floats

CURVE_SHARE: Final = 1e-5
"""How far a chain of arcs may stand off its curve, as a share of the curve's own size."""

MOST_PIECES: Final = 20_000
"""A curve that needs more pieces than this is no edge of a floor; it is left out."""

_WIDEST_TURN: Final = math.pi / 2.0
_DEEPEST: Final = 16

Curve: TypeAlias = Callable[[Floats], Floats]


def chain(curve: Curve, breaks: Sequence[float], share: float = CURVE_SHARE) -> tuple[Floats, Floats]:
    """A curve as arcs.

    Args:
        curve: gives (k, 2) points for (k,) parameters.
        breaks: increasing parameters, the ends and every place where the curve may have a kink; between
            two of them it turns by less than a half circle.
        share: of the curve's size, how far the chain may stand off.

    Returns:
        (n, 2) points and (n - 1,) bulges.

    Raises:
        ValueError: more than `MOST_PIECES` pieces would be needed, or the curve is not finite.
    """
    knots = np.asarray(breaks, dtype=np.float64)
    points = curve(knots)
    if not np.isfinite(points).all():
        raise ValueError("not finite")
    tolerance = max(share * float(np.ptp(points, axis=0).max(initial=0.0)), np.finfo(float).tiny)
    low, high, start, end = knots[:-1], knots[1:], points[:-1], points[1:]
    done: list[tuple[Floats, Floats, Floats]] = []
    for depth in range(_DEEPEST + 1):
        count = len(low)
        shares = np.concatenate([low + (high - low) * s for s in (0.25, 0.5, 0.75)])
        first, middle, last = np.split(curve(shares), 3)
        turn = _turns(start, middle, end)
        off = np.maximum(_off(start, first, end, turn), _off(start, last, end, turn))
        fits = (off <= tolerance) & (np.abs(turn) <= _WIDEST_TURN)
        if depth == _DEEPEST:
            fits[:] = True
        done.append((low[fits], start[fits], np.tan(0.5 * turn[fits])))
        more = ~fits
        if not more.any():
            break
        if count > MOST_PIECES:
            raise ValueError("too many pieces")
        half = shares[count : 2 * count][more]
        low, high = np.concatenate((low[more], half)), np.concatenate((half, high[more]))
        start, end = np.concatenate((start[more], middle[more])), np.concatenate((middle[more], end[more]))
    where = np.concatenate([part[0] for part in done])
    order = np.argsort(where, kind="stable")
    corners = np.vstack((np.concatenate([part[1] for part in done])[order], points[-1:]))
    bulges = np.concatenate([part[2] for part in done])[order]
    if not (np.isfinite(corners).all() and np.isfinite(bulges).all()):
        raise ValueError("not finite")
    return corners, bulges


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
    """centre + cos t first + sin t second for t from start to end, as arcs: (n, 2) and (n - 1,)."""

    def at(t: Floats) -> Floats:
        return np.asarray(centre + np.cos(t)[:, None] * first + np.sin(t)[:, None] * second)

    steps = max(1, math.ceil(abs(end - start) / (math.pi / 4.0) - 1e-9))
    return chain(at, [start + (end - start) * k / steps for k in range(steps + 1)])


def spline(
    control: Floats, knots: Sequence[float], weights: Sequence[float], degree: int
) -> tuple[Floats, Floats]:
    """A NURBS as arcs, (n, 2) and (n - 1,).

    Args:
        control: (k, 2) control points.
        knots: k + degree + 1 values that do not decrease.
        weights: k values > 0, or none.
        degree: of the curve.

    Raises:
        ValueError: the numbers do not make a curve.
    """
    steps = np.asarray(knots, dtype=np.float64)
    count = len(control)
    if not (1 <= degree <= 11 and count > degree and len(steps) == count + degree + 1):
        raise ValueError("knots and control points do not fit")
    if not (np.isfinite(steps).all() and (np.diff(steps) >= 0.0).all()):
        raise ValueError("knots must not decrease")
    heavy = np.asarray(weights, dtype=np.float64) if len(weights) else np.ones(count)
    if len(heavy) != count or not (heavy > 0.0).all():
        raise ValueError("weights do not fit")
    low, high = steps[degree], steps[count]
    inner = np.unique(steps[(steps >= low) & (steps <= high)])
    if len(inner) < 2:
        raise ValueError("the curve has no length")
    if len(inner) > MOST_PIECES:
        raise ValueError("too many pieces")
    # Two pieces to a span: a closed span begins and ends in one point, and no turn can be read off it.
    breaks = np.unique(np.concatenate((inner, 0.5 * (inner[1:] + inner[:-1]))))
    homogeneous = np.column_stack((control * heavy[:, None], heavy))

    def at(t: Floats) -> Floats:
        spread = _de_boor(homogeneous, steps, degree, t)
        return np.asarray(spread[:, :2] / spread[:, 2:], dtype=np.float64)

    return chain(at, breaks.tolist())


def _de_boor(control: Floats, knots: Floats, degree: int, t: Floats) -> Floats:
    """Points of a B-spline, (m, d), by de Boor's algorithm (de Boor, A Practical Guide to Splines)."""
    span = np.clip(np.searchsorted(knots, t, side="right") - 1, degree, len(control) - 1)
    # The last span may be empty where knots repeat at the end.
    while True:
        empty = (knots[span + 1] <= knots[span]) & (span > degree)
        if not empty.any():
            break
        span = np.where(empty, span - 1, span)
    points = control[span[:, None] + np.arange(-degree, 1)[None, :]]
    for level in range(1, degree + 1):
        for j in range(degree, level - 1, -1):
            left = knots[span + j - degree]
            width = knots[span + j + 1 - level] - left
            share = np.where(width > 0.0, (t - left) / np.where(width > 0.0, width, 1.0), 0.0)[:, None]
            points[:, j] = (1.0 - share) * points[:, j - 1] + share * points[:, j]
    return np.asarray(points[:, degree], dtype=np.float64)


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

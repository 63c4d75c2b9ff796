"""NURBS as chains of arcs, many at once.

Each span between two knots is a rational polynomial: it is sampled by de Boor's algorithm (de Boor, A
Practical Guide to Splines) at as many places as it has coefficients, and evaluated by Horner's rule from then
on.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from ..geometry.arcs import Floats, Ints
from ..values import dataclass
from .curves import Chains, chains

HIGHEST_DEGREE: Final = 11

_SPLIT: Final = 4


@dataclass(frozen=True, slots=True, eq=False)
class Spline:
    """A spline on the plan: (k, 3) control points as x w, y w, w; k + degree + 1 knots; the degree."""

    control: Floats
    knots: Floats
    degree: int


def spline_of(control: Floats, knots: Sequence[float], weights: Sequence[float], degree: int) -> Spline:
    """A spline from its numbers.

    Args:
        control: (k, 2) control points.
        knots: k + degree + 1 values that do not decrease.
        weights: k values > 0, or none.
        degree: 1 to 11.

    Raises:
        ValueError: the numbers do not make a curve.
    """
    steps = np.asarray(knots, dtype=np.float64)
    count = len(control)
    if not (1 <= degree <= HIGHEST_DEGREE and count > degree and len(steps) == count + degree + 1):
        raise ValueError("knots and control points do not fit")
    if not (np.isfinite(steps).all() and (steps[1:] >= steps[:-1]).all()):
        raise ValueError("knots must not decrease")
    if not np.isfinite(control).all():
        raise ValueError("points are no numbers")
    if not steps[count] > steps[degree]:
        raise ValueError("the curve has no length")
    heavy = np.asarray(weights, dtype=np.float64) if len(weights) else np.ones(count)
    if len(heavy) != count or not (heavy > 0.0).all():
        raise ValueError("weights do not fit")
    return Spline(np.column_stack((control * heavy[:, None], heavy)), steps, degree)


def spline_chains(splines: Sequence[Spline]) -> Chains:
    """Splines of one degree as chains of arcs."""
    coefficients, owner = _spans(splines)

    def at(span: Ints, share: Floats) -> Floats:
        value = coefficients[span, -1]
        for power in range(coefficients.shape[1] - 2, -1, -1):
            value = value * share[:, None] + coefficients[span, power]
        return np.asarray(value[:, :2] / value[:, 2:])

    return chains(at, owner, split=_SPLIT)


def _spans(splines: Sequence[Spline]) -> tuple[Floats, Ints]:
    """(s, degree + 1, 3) coefficients of every span that has length, and (s,) the spline that it is of."""
    degree = splines[0].degree
    knots = np.concatenate([spline.knots for spline in splines])
    control = np.concatenate([spline.control for spline in splines])
    counts = np.array([len(spline.control) for spline in splines])
    owner = np.repeat(np.arange(len(splines)), counts + degree + 1)
    first_knot = np.cumsum(counts + degree + 1) - (counts + degree + 1)
    first_control = np.cumsum(counts) - counts
    local = np.arange(len(knots)) - first_knot[owner]
    length = np.append(np.diff(knots), 0.0)
    span = np.flatnonzero((local >= degree) & (local < counts[owner]) & (length > 0.0))
    of = owner[span]
    # Chebyshev's places keep the small system of each span well apart.
    places = 0.5 - 0.5 * np.cos(np.pi * np.arange(degree + 1) / degree)
    t = knots[span][:, None] + places[None, :] * length[span][:, None]
    start = first_control[of] + local[span] - degree
    points = control[start[:, None] + np.arange(degree + 1)[None, :]][:, None].repeat(degree + 1, axis=1)
    for level in range(1, degree + 1):
        for j in range(degree, level - 1, -1):
            left = knots[span + j - degree][:, None]
            width = knots[span + j + 1 - level][:, None] - left
            share = np.where(width > 0.0, (t - left) / np.where(width > 0.0, width, 1.0), 0.0)[:, :, None]
            points[:, :, j] = (1.0 - share) * points[:, :, j - 1] + share * points[:, :, j]
    powers = np.linalg.inv(np.vander(places, increasing=True))
    return np.einsum("pq,sqd->spd", powers, points[:, :, degree]), of

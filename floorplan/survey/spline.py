"""A smooth edge through offsets: cubic between stations, with exact area, and arcs to draw it by.

The spline runs through every point with continuous slope and curvature. At the ends its third derivative
is taken over from the next interval (*not-a-knot*), not its curvature set to nothing (natural): a kidney
or a bow does not straighten where the tape stops, and a parabola or cubic comes back exactly. Three points
give the parabola through them, two the straight line. Source: C. de Boor, "A Practical Guide to Splines"
(from memory); tests compare with scipy.
"""

from __future__ import annotations

import numpy as np

from ..geometry.arcs import Floats
from ..values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Spline:
    """Cubic pieces: y = Σ coefficient[k] · (x - knot)^k on each interval.

    Attributes:
        knots: (n,) increasing.
        coefficients: (4, n - 1) of powers 0 to 3.
    """

    knots: Floats
    coefficients: Floats

    def at(self, x: Floats) -> Floats:
        """Offsets at stations within the knots."""
        piece = np.clip(np.searchsorted(self.knots, x, side="right") - 1, 0, len(self.knots) - 2)
        t = x - self.knots[piece]
        a, b, c, d = self.coefficients[:, piece]
        return np.asarray(a + t * (b + t * (c + t * d)), dtype=np.float64)

    def slope(self, x: Floats) -> Floats:
        """Rise of the edge per length of baseline at stations within the knots."""
        piece = np.clip(np.searchsorted(self.knots, x, side="right") - 1, 0, len(self.knots) - 2)
        t = x - self.knots[piece]
        _, b, c, d = self.coefficients[:, piece]
        return np.asarray(b + t * (2.0 * c + t * 3.0 * d), dtype=np.float64)

    def integral(self, start: Floats, end: Floats) -> Floats:
        """Exact area under the spline between stations of one and the same interval each."""
        piece = np.clip(
            np.searchsorted(self.knots, 0.5 * (start + end), side="right") - 1, 0, len(self.knots) - 2
        )
        a, b, c, d = self.coefficients[:, piece]

        def under(t: Floats) -> Floats:
            return np.asarray(t * (a + t * (b / 2.0 + t * (c / 3.0 + t * d / 4.0))), dtype=np.float64)

        return under(end - self.knots[piece]) - under(start - self.knots[piece])

    @property
    def area_m2(self) -> float:
        """Area between baseline and edge, exact."""
        return float(self.integral(self.knots[:-1], self.knots[1:]).sum())


def spline(knots: Floats, values: Floats) -> Spline:
    """Not-a-knot cubic spline through (n,) knots and values, n >= 2, knots increasing."""
    if len(knots) < 2 or not np.all(np.diff(knots) > 0.0):
        raise ValueError("a spline needs two or more increasing stations")
    h = np.diff(knots)
    steps = np.diff(values) / h
    curvature = _second_derivatives(h, steps)
    return Spline(
        knots=knots,
        coefficients=np.stack(
            (
                values[:-1],
                steps - h * (2.0 * curvature[:-1] + curvature[1:]) / 6.0,
                curvature[:-1] / 2.0,
                np.diff(curvature) / (6.0 * h),
            )
        ),
    )


def _second_derivatives(h: Floats, steps: Floats) -> Floats:
    """Second derivatives at the knots, (n,)."""
    n = len(h) + 1
    if n == 2:
        return np.zeros(2)
    if n == 3:
        # With not-a-knot at both ends nothing but one parabola is left.
        return np.full(3, 2.0 * (steps[1] - steps[0]) / (h[0] + h[1]))
    # The end conditions give the outer values from their neighbours: an (n - 2) tridiagonal system is left.
    main = 2.0 * (h[:-1] + h[1:])
    lower, upper = h[1:-1].copy(), h[1:-1].copy()
    main[0] += h[0] * (1.0 + h[0] / h[1])
    main[-1] += h[-1] * (1.0 + h[-1] / h[-2])
    upper[0] -= h[0] * h[0] / h[1]
    lower[-1] -= h[-1] * h[-1] / h[-2]
    inner = _tridiagonal(lower, main, upper, 6.0 * np.diff(steps))
    first = inner[0] + (inner[0] - inner[1]) * h[0] / h[1]
    last = inner[-1] + (inner[-1] - inner[-2]) * h[-1] / h[-2]
    return np.concatenate(([first], inner, [last]))


def _tridiagonal(lower: Floats, main: Floats, upper: Floats, right: Floats) -> Floats:
    """Solution of a tridiagonal system by elimination (diagonally dominant here but for the end rows)."""
    n = len(main)
    diagonal, out = main.tolist(), right.tolist()
    for k in range(1, n):
        factor = lower[k - 1] / diagonal[k - 1]
        diagonal[k] -= factor * upper[k - 1]
        out[k] -= factor * out[k - 1]
    out[-1] /= diagonal[-1]
    for k in range(n - 2, -1, -1):
        out[k] = (out[k] - upper[k] * out[k + 1]) / diagonal[k]
    return np.array(out)

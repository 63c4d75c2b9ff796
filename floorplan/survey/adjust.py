"""Weighted least squares: the corners that fit all lengths best, and how well each length fits.

Words: the *residual* is fitted less taped; the *redundancy number* of a length, 0 to 1, is the share of an
error in it that shows in its own residual (0: nothing checks it); the *standardised residual* is the
residual over its own standard error, so that lengths can be compared (Baarda's w); the *cofactor* matrix
holds the variances and covariances of the corners.

Sources: least-squares adjustment by observation equations, data snooping after W. Baarda, "A testing
procedure for use in geodetic networks" (1968, from memory); damping after Levenberg and Marquardt.
"""

from __future__ import annotations

import numpy as np

from ..geometry.arcs import Floats, Ints
from ..values import dataclass
from .network import Flags, Network

CHECKED_ABOVE = 1e-6
"""A redundancy number below this is rounding: the length is not checked by the others."""

_MOST_STEPS = 60
_STALLED = 1e-13


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """A fitted network.

    Attributes:
        points: (n, 2) metres, corners then points.
        misfits: (m,) fitted less observed.
        standardised: (m,) misfit over its standard error, 0 where nothing checks it.
        redundancies: (m,) redundancy numbers; they add up to `redundancy`.
        covariance: (2n, 2n) of the points, from the stated accuracy.
        shares: (m, m) of an error of the column's observation, what shows in the row's residual, all in
            standard errors; symmetric.
        chi2: weighted sum of squared misfits.
        redundancy: observations beyond those needed.
        steps: iterations used.
        settled: True when the last step was negligible.
    """

    points: Floats
    misfits: Floats
    standardised: Floats
    redundancies: Floats
    covariance: Floats
    shares: Floats
    chi2: float
    redundancy: int
    steps: int
    settled: bool

    @property
    def unit_error(self) -> float:
        """Size of the misfits against the stated accuracy: 1 where it is right, 0 with nothing to check."""
        return float(np.sqrt(self.chi2 / self.redundancy)) if self.redundancy > 0 else 0.0

    def std_m(self, point: int) -> float:
        """Standard error of a point in the plane, √(σx² + σy²), against the first corner and first side."""
        return float(
            np.sqrt(
                max(
                    0.0, self.covariance[2 * point, 2 * point] + self.covariance[2 * point + 1, 2 * point + 1]
                )
            )
        )


def first_side_held(count: int) -> Flags:
    """The usual datum: the first point stays at the origin and the second on the x axis."""
    free = np.ones(2 * count, dtype=np.bool_)
    free[[0, 1, 3]] = False
    return free


def on_datum(points: Floats) -> Floats:
    """The same shape with the first point at the origin and the second along the x axis."""
    local = points - points[0]
    length = float(np.hypot(*local[1]))
    cos, sin = local[1] / length if length > 0.0 else (1.0, 0.0)
    turned = local @ np.array([[cos, -sin], [sin, cos]])
    turned[1, 1] = 0.0
    return np.asarray(turned, dtype=np.float64)


def settle(
    network: Network, start: Floats, free: Flags | None = None, most_steps: int = _MOST_STEPS
) -> tuple[Floats, float, int, bool]:
    """Points of least weighted squares near a start, the sum, the steps taken and whether it settled.

    Args:
        network: what was taped.
        start: (n, 2) rough places.
        free: (2n,) coordinates that may move; None holds the first side.
        most_steps: after so many it is given up.
    """
    moving = np.flatnonzero(first_side_held(len(start)) if free is None else free)
    weights = 1.0 / network.stds
    points = np.array(start, dtype=np.float64)
    misfits = weights * network.misfits(points)
    chi2, damping = float(misfits @ misfits), 1e-3
    small = 1e-12 * max(1e-3, float(np.abs(start - start[0]).max()))
    for step in range(1, most_steps + 1):
        slopes = weights[:, None] * network.slopes(points)[:, moving]
        normal, pull = slopes.T @ slopes, slopes.T @ misfits
        while True:
            move = _damped(normal, pull, damping)
            trial = points.copy()
            trial.ravel()[moving] -= move
            trial_misfits = weights * network.misfits(trial)
            trial_chi2 = float(trial_misfits @ trial_misfits)
            still = float(np.abs(move).max(initial=0.0)) <= small
            if trial_chi2 <= chi2 or still:
                break
            damping = max(4.0 * damping, 1e-9)
        # Lengths that contradict each other grossly leave a flat valley, in which no step helps any more.
        still = still or 0.0 <= chi2 - trial_chi2 <= _STALLED * chi2
        if trial_chi2 <= chi2:
            points, misfits, chi2 = trial, trial_misfits, trial_chi2
        damping = damping / 16.0 if damping > 1e-13 else 0.0
        if still:
            return points, chi2, step, True
    return points, chi2, most_steps, False


def _damped(normal: Floats, pull: Floats, damping: float) -> Floats:
    held = normal.copy()
    held.flat[:: len(held) + 1] *= 1.0 + damping
    try:
        return np.asarray(np.linalg.solve(held, pull), dtype=np.float64)
    except np.linalg.LinAlgError:
        return np.asarray(np.linalg.lstsq(held, pull, rcond=None)[0], dtype=np.float64)


def adjust(network: Network, start: Floats, free: Flags | None = None) -> Fit:
    """Fit a network near a start and work out how well everything fits.

    Args:
        network: what was taped; it must fix every point.
        start: (n, 2) rough places.
        free: (2n,) coordinates that may move; None holds the first side.
    """
    points, chi2, steps, settled = settle(network, start, free)
    moving = np.flatnonzero(first_side_held(len(points)) if free is None else free)
    stds = network.stds
    slopes = network.slopes(points)[:, moving] / stds[:, None]
    q, covariance = _orthogonal(slopes, moving, 2 * len(points))
    shares = np.eye(len(stds)) - q @ q.T
    redundancies = np.clip(np.diag(shares), 0.0, 1.0)
    misfits = network.misfits(points)
    checked = redundancies > CHECKED_ABOVE
    standardised = np.where(checked, misfits / stds / np.sqrt(np.where(checked, redundancies, 1.0)), 0.0)
    return Fit(
        points=points,
        misfits=misfits,
        standardised=standardised,
        redundancies=redundancies,
        covariance=covariance,
        shares=shares,
        chi2=chi2,
        redundancy=len(stds) - len(moving),
        steps=steps,
        settled=settled,
    )


def _orthogonal(slopes: Floats, moving: Ints, size: int) -> tuple[Floats, Floats]:
    """Basis of what the points can explain, (m, u), and the covariance of all coordinates, (size, size).

    A network can be rigid by count but not in its shape; a huge standard error is the honest answer there.
    Only where nothing but rounding holds a point is it left out.
    """
    q, r = np.linalg.qr(slopes)
    pivots = np.abs(np.diag(r))
    if pivots.min(initial=np.inf) > 1e-7 * pivots.max(initial=0.0):
        scaled = np.linalg.inv(r)
    else:
        u, s, vt = np.linalg.svd(slopes, full_matrices=False)
        kept = s > s.max(initial=0.0) * 1e-12
        q, scaled = u[:, kept], vt[kept].T / s[kept]
    covariance = np.zeros((size, size))
    covariance[np.ix_(moving, moving)] = scaled @ scaled.T
    return q, covariance

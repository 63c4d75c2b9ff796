"""Which length was probably misread: data snooping.

One gross error in a well-braced sketch throws a residual into many lengths, but the standardised residual
is largest in the length that is wrong. It is taken out, the rest fitted again, and asked once more. Where
the sketch cannot tell two or more lengths apart, all of them are named.

Source: W. Baarda's data snooping (from memory); the drop of the weighted sum of squares when one
observation is taken out is the square of its standardised residual (follows from the adjustment).
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from ..geometry.arcs import Floats
from ..values import dataclass, replace
from .adjust import CHECKED_ABOVE, Fit, adjust, settle
from .limits import critical
from .misreadings import Misreading, likely
from .network import Network

_MOST = 3
_TRIED = 10
_APART = 9.0
"""Two lengths are told apart when taking out one helps the fit by this much more than the other (three
standard errors, squared)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """An observation that does not fit the others.

    Attributes:
        observation: index in the network.
        expected: what the others say: metres, or radians off square.
        expected_std: standard error of that.
        misreading: the known mistake that would explain it, None for none, or for a square.
        alone: False when the sketch cannot tell it from the other suspects.
    """

    observation: int
    expected: float
    expected_std: float
    misreading: Misreading | None
    alone: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Snooped:
    """Suspects in the order found, and the fit without those that stand alone (where any does)."""

    suspects: tuple[Suspect, ...]
    without: Fit
    left: tuple[int, ...]


def snoop(network: Network, fit: Fit, *, feet: bool) -> Snooped:
    """Find up to three observations that do not fit the rest."""
    left = tuple(range(len(network)))
    found: list[Suspect] = []
    reduced = fit
    while len(found) < _MOST:
        group = _group(network, left, reduced)
        if not group:
            break
        suspects = [_suspect(network, left, k, start, feet=feet) for k, start in group]
        named = [s for s in suspects if s.misreading is not None]
        if len(suspects) > 1 and len(named) != 1:
            found += suspects
            break
        chosen = suspects[0] if len(suspects) == 1 else named[0]
        found.append(replace(chosen, alone=True))
        left = tuple(k for k in left if k != chosen.observation)
        reduced = adjust(_only(network, left), reduced.points)
    return Snooped(suspects=tuple(found), without=reduced, left=left)


def _only(network: Network, left: Iterable[int]) -> Network:
    return network.without(set(range(len(network))) - set(left))


def _worst(fit: Fit) -> list[int]:
    """Observations whose residual is too large, the worst first; empty when everything fits."""
    if fit.redundancy < 1:
        return []
    size = np.abs(fit.standardised)
    limit = critical(int(np.count_nonzero(fit.redundancies > CHECKED_ABOVE)))
    order = np.argsort(-size, kind="stable")
    return [int(k) for k in order if size[k] > limit]


def _group(network: Network, left: tuple[int, ...], fit: Fit) -> list[tuple[int, Floats]]:
    """(observation, points fitted without it) of those of which one is wrong, the most suspect first.

    A foot is large against a slab, so what the standardised residuals say of small errors is tried out:
    each of the worst is taken out in turn and the rest fitted anew.
    """
    tried = []
    for k in _worst(fit)[:_TRIED]:
        points, chi2, _, _ = settle(_only(network, (j for j in left if j != left[k])), fit.points)
        tried.append((chi2, left[k], points))
    if not tried:
        return []
    least = min(chi2 for chi2, _, _ in tried)
    tried.sort(key=lambda row: row[0])
    return [(k, points) for chi2, k, points in tried if chi2 <= least + _APART]


def _suspect(network: Network, left: tuple[int, ...], k: int, start: Floats, *, feet: bool) -> Suspect:
    """What the others say in place of observation k."""
    without = adjust(_only(network, (j for j in left if j != k)), start)
    expected = float(network.misfits(without.points)[k])
    slope = network.slopes(without.points)[k]
    spread = float(np.sqrt(max(0.0, float(slope @ without.covariance @ slope))))
    misreading = None
    if k < len(network.ties):
        taped = network.ties[k].length_m
        expected += taped
        slack = 3.0 * float(np.hypot(spread, network.stds[k]))
        misreading = likely(taped, expected, slack, feet=feet)
    return Suspect(observation=k, expected=expected, expected_std=spread, misreading=misreading, alone=False)


def weighted_without_worst(fit: Fit) -> float:
    """Weighted sum of squares once the worst observation is taken out."""
    return max(0.0, fit.chi2 - float(np.max(np.square(fit.standardised), initial=0.0)))


def has_suspect(fit: Fit) -> bool:
    """True when some observation does not fit the others."""
    return bool(_worst(fit))


def spread_m(fit: Fit, i: int, j: int) -> float:
    """Standard error of the fitted distance between two points."""
    across = fit.points[j] - fit.points[i]
    unit = across / max(float(np.hypot(*across)), 1e-12)
    row = np.zeros(2 * len(fit.points))
    row[2 * i : 2 * i + 2], row[2 * j : 2 * j + 2] = -unit, unit
    return float(np.sqrt(max(0.0, float(row @ fit.covariance @ row))))

"""Are there enough lengths, and which one to tape next.

A network is rigid when no corner can move without changing a length. That is a matter of which points are
tied, not of where they lie, except in special positions; so it is read off the rank of the observation
equations at places chosen without any pattern (generic rigidity). Which length helps most is read off the
covariance at the real places.
"""

from __future__ import annotations

import numpy as np

from ..geometry.arcs import Floats
from ..values import dataclass
from .adjust import Fit, first_side_held
from .enclosed import enclosed
from .network import Network

_ZERO = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Freedom:
    """What a network leaves open.

    Attributes:
        missing: how many more lengths are needed, 0 when everything is fixed.
        loose: points that can still move against the first side, in the order of the network.
        next_ties: lengths that would fix it, sides of the outline first.
    """

    missing: int
    loose: tuple[str, ...]
    next_ties: tuple[tuple[str, str], ...]


def somewhere(network: Network) -> Floats:
    """Places without pattern, roughly a ring in the order of the corners, (n, 2); the same each time."""
    n, count = network.corner_count, len(network.names)
    k = np.arange(count)
    odd = np.modf(k * 0.6180339887498949)[0], np.modf(k * 0.4142135623730951)[0]
    turn = 2.0 * np.pi * (k + 0.6 * odd[0]) / n
    reach = np.where(k < n, 1.0, 0.4) + 0.35 * odd[1]
    return np.column_stack((reach * np.cos(turn), reach * np.sin(turn)))


def freedom(network: Network) -> Freedom:
    """How many lengths are missing, which points are loose, and which lengths would fix them."""
    places = somewhere(network)
    columns = np.flatnonzero(first_side_held(len(places)))
    rows = network.slopes(places)[:, columns]
    if _plainly_rigid(rows):
        return Freedom(missing=0, loose=(), next_ties=())
    # The first side itself may be untaped: then the second point can slide along it.
    span, moves = _row_space(rows)
    missing = len(columns) - len(span)
    if not missing:
        return Freedom(missing=0, loose=(), next_ties=())
    size = np.zeros(2 * len(places))
    size[columns] = np.abs(moves).max(axis=0)
    free = size.reshape(-1, 2).max(axis=1) > 1e-7
    loose = tuple(name for name, is_free in zip(network.names, free.tolist(), strict=True) if is_free)
    return Freedom(missing=missing, loose=loose, next_ties=_fixing(network, places, moves, missing))


def _plainly_rigid(rows: Floats) -> bool:
    """True when the rows plainly hold everything; False sends the question to the slower, exact look."""
    if len(rows) < rows.shape[1]:
        return False
    scaled = rows / np.maximum(np.linalg.norm(rows, axis=1), 1e-300)[:, None]
    spread = np.linalg.eigvalsh(scaled.T @ scaled)
    return bool(spread[0] > 1e-9 * spread[-1])


def _row_space(rows: Floats) -> tuple[Floats, Floats]:
    """Orthonormal bases of the row space and of its complement, the ways that points can still move."""
    if not len(rows):
        return np.zeros((0, rows.shape[1])), np.eye(rows.shape[1])
    scaled = rows / np.maximum(np.linalg.norm(rows, axis=1), 1e-300)[:, None]
    _, s, vt = np.linalg.svd(scaled)
    rank = int((s > _ZERO * len(scaled)).sum())
    return vt[:rank], vt[rank:]


def candidates(network: Network) -> list[tuple[int, int]]:
    """Lengths not taped yet, in the order a crew would tape them: sides, across corners, the rest."""
    n = network.corner_count
    tied = network.tied()

    def rank(pair: tuple[int, int]) -> tuple[int, int, int]:
        i, j = pair
        steps = min(j - i, n - j + i) if j < n else n
        return steps, i, j

    pairs = [(i, j) for i in range(len(network.names)) for j in range(i + 1, len(network.names))]
    return sorted((pair for pair in pairs if pair not in tied), key=rank)


def _fixing(network: Network, places: Floats, moves: Floats, missing: int) -> tuple[tuple[str, str], ...]:
    """Lengths that take one freedom each: untaped sides first, then from the corner with most lengths."""
    n = network.corner_count
    columns = np.flatnonzero(first_side_held(len(places)))
    count = np.bincount(network.ends.ravel(), minlength=len(places))
    hub = int(np.argmax(count[:n]))

    def rank(pair: tuple[int, int]) -> tuple[bool, bool]:
        i, j = pair
        return not (j < n and (j - i == 1 or j - i == n - 1)), hub not in pair

    chosen: list[tuple[str, str]] = []
    for i, j in sorted(candidates(network), key=rank):
        row = np.zeros(2 * len(places))
        unit = (places[j] - places[i]) / np.hypot(*(places[j] - places[i]))
        row[2 * i : 2 * i + 2], row[2 * j : 2 * j + 2] = -unit, unit
        stretch = moves @ row[columns]
        size = float(np.linalg.norm(stretch))
        if size > 1e-6:
            chosen.append((network.names[i], network.names[j]))
            # What is left open once this length is held.
            moves = _row_space((stretch / size)[None, :])[1] @ moves
            if len(chosen) == missing:
                break
    return tuple(chosen)


def best_checks(
    network: Network, fit: Fit, rises_out_m: Floats, std_m: float, *, count: int
) -> tuple[tuple[tuple[str, str], float], ...]:
    """Further lengths that make the area surest, each with the standard error of area once it is taped too.

    A new length of slopes a and variance s² takes (gᵀ C a)² / (s² + aᵀ C a) from the variance gᵀ C g of
    the area.
    Greedy: the best one first, then the best one beside it.
    """
    n = network.corner_count
    g = np.zeros(2 * len(network.names))
    g[: 2 * n] = enclosed(fit.points[:n], rises_out_m).by_corner.ravel()
    pairs = candidates(network)
    covariance = fit.covariance
    slopes = np.zeros((len(pairs), 2 * len(network.names)))
    for row, (i, j) in zip(slopes, pairs, strict=True):
        unit = fit.points[j] - fit.points[i]
        unit = unit / max(float(np.hypot(*unit)), 1e-12)
        row[2 * i : 2 * i + 2], row[2 * j : 2 * j + 2] = -unit, unit
    chosen: list[tuple[tuple[str, str], float]] = []
    for _ in range(min(count, len(pairs))):
        spread = slopes @ covariance
        variance = std_m * std_m + (spread * slopes).sum(axis=1)
        best = int(np.argmax((spread @ g) ** 2 / variance))
        covariance = covariance - np.outer(spread[best], spread[best]) / variance[best]
        i, j = pairs[best]
        left = float(np.sqrt(max(0.0, g @ covariance @ g)))
        chosen.append(((network.names[i], network.names[j]), left))
        slopes[best] = 0.0
    return tuple(chosen)

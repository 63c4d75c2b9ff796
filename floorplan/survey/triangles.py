"""Lengths that can make no figure at all, found before anything is fitted."""

from __future__ import annotations

import numpy as np

from .findings import Finding
from .network import Network


def too_long_side(network: Network) -> Finding | None:
    """A side longer than all others together, where every side was taped."""
    n, tied = network.corner_count, network.tied()
    sides = [tied.get((min(i, (i + 1) % n), max(i, (i + 1) % n))) for i in range(n)]
    if any(side is None for side in sides):
        return None
    lengths = [side for side in sides if side is not None]
    worst = int(np.argmax(lengths))
    others = sum(lengths) - lengths[worst]
    if lengths[worst] <= others:
        return None
    ends = network.corners[worst], network.corners[(worst + 1) % n]
    return Finding(
        code="tape-side-too-long",
        about=ends,
        figures={"side": "-".join(ends), "length_m": lengths[worst], "others_m": others},
    )


def broken_triangles(network: Network) -> tuple[Finding, ...]:
    """Triples of taped lengths of which one is longer than the other two together, beyond the tape's error.

    Source: Euclid I.20; three lengths of which the longest exceeds the sum of the others make no triangle.
    """
    tied = network.tied()
    std = {}
    for (i, j), s in zip(network.ends.tolist(), network.stds.tolist(), strict=False):
        std[min(i, j), max(i, j)] = s
    near: list[set[int]] = [set() for _ in network.names]
    for i, j in tied:
        near[i].add(j)
        near[j].add(i)
    found = []
    for i, j in sorted(tied):
        for k in sorted(near[i] & near[j]):
            if k > j:
                sides = sorted(((i, j), (i, k), (j, k)), key=lambda pair: tied[pair])
                over = tied[sides[2]] - tied[sides[0]] - tied[sides[1]]
                if over > 4.0 * float(np.hypot(std[sides[0]], np.hypot(std[sides[1]], std[sides[2]]))):
                    found.append(_broken(network, sides, [tied[s] for s in sides], over))
    return tuple(found)


def _broken(network: Network, sides: list[tuple[int, int]], lengths: list[float], over_m: float) -> Finding:
    names = ["-".join(network.names[k] for k in side) for side in sides]
    corners = sorted({k for side in sides for k in side})
    return Finding(
        code="tape-triangle-broken",
        about=tuple(network.names[k] for k in corners),
        figures={
            "long": names[2], "one": names[0], "two": names[1],
            "long_m": lengths[2], "one_m": lengths[0], "two_m": lengths[1], "over_m": over_m,
        },
    )  # fmt: skip

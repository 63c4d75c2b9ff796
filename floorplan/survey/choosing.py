"""Which reading of a sketch is meant: by the fit, by the way round, by a simple outline; else it is asked.

A corner fixed by two lengths has two mirror places. Nothing is picked silently: where two readings remain,
the finding says how they differ and which length would settle it.
"""

from __future__ import annotations

import numpy as np

from ..geometry.arcs import Floats
from ..values import dataclass
from .adjust import Fit, adjust, on_datum, settle
from .blunders import has_suspect, weighted_without_worst
from .enclosed import shoelace_m2
from .findings import Finding, Unsolved
from .limits import chi2_limit
from .network import Network
from .placing import readings
from .rigidity import candidates
from .simple import crossing_sides, inside, turns_in

_CLEARLY = 16.0
"""A reading is out when it fits this much worse than the best: four standard errors, squared."""

_MOST = 12

_FIRST_STEPS, _FINISHED = 6, 2 * _MOST
"""Every rough shape gets so many steps towards its best fit, nearly always enough; of those that are not
settled then, as happens where corners stand closer than the tape tells apart, only the best are finished."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Reading:
    points: Floats
    chi2: float


def choose(network: Network, *, clockwise: bool, inward: frozenset[str] | None) -> Fit:
    """The fit of the one reading that is meant.

    Args:
        network: what was taped; it must fix every point.
        clockwise: the way round in which the corners are listed.
        inward: corners that stand in; None when the sketch does not say.

    Raises:
        Unsolved: no reading is a simple outline, or two or more remain.
    """
    known = None if inward is None else frozenset(network.index[name] for name in inward)
    rough = readings(network, known)
    found = _settled(network, rough.shapes, clockwise=clockwise)
    limit = chi2_limit(len(network) - network.needed)
    if rough.hopeless and found[0].chi2 > limit:
        raise Unsolved(
            Finding(code="tape-muddle", about=network.corners, figures={"count": str(len(network))})
        )
    simple = [r for r in found if crossing_sides(r.points[: network.corner_count]) is None]
    if _left_out_the_right_one(found, simple, limit):
        raise Unsolved(_crossing(network, found[0]))
    fitting = [r for r in simple if known is None or set(turns_in(r.points[: network.corner_count])) == known]
    if _left_out_the_right_one(simple, fitting, limit):
        raise Unsolved(_no_such_corners(network, simple[0]))
    fitting = [r for r in fitting if _points_inside(network, r.points)] or fitting
    fits: list[Fit] = []
    for reading in _plainest_first(network, fitting)[:_MOST]:
        fit = adjust(network, reading.points)
        if not any(_alike(fit.points, known.points) for known in fits):
            fits.append(fit)
    rivals = _rivals(fits)
    if len(rivals) > 1:
        raise Unsolved(_which(network, rivals[0], rivals[1], len(rivals)))
    if rough.cut and known is None:
        raise Unsolved(Finding(code="tape-many-shapes", about=network.corners))
    return rivals[0]


def _settled(network: Network, shapes: tuple[Floats, ...], *, clockwise: bool) -> list[_Reading]:
    """Each rough shape fitted and turned the stated way round, the best first, each only once."""
    tried = [settle(network, on_datum(shape), most_steps=_FIRST_STEPS) for shape in shapes]
    for k in sorted(range(len(tried)), key=lambda k: tried[k][1])[:_FINISHED]:
        if not tried[k][3]:
            tried[k] = settle(network, tried[k][0])
    out: list[_Reading] = []
    for settled, chi2, _, _ in tried:
        points = on_datum(settled)
        if (shoelace_m2(points[: network.corner_count]) < 0.0) != clockwise:
            points = points * np.array([1.0, -1.0])
        if not any(_alike(points, known.points) for known in out):
            out.append(_Reading(points=points, chi2=chi2))
    return sorted(out, key=lambda reading: reading.chi2)


def _alike(points: Floats, known: Floats) -> bool:
    """True when two shapes are one, but for what fitting left of their roughness."""
    return bool(np.abs(points - known).max() < 1e-4 * np.abs(points).max())


def _left_out_the_right_one(before: list[_Reading], after: list[_Reading], limit: float) -> bool:
    """True when a choice left nothing, or only readings that contradict lengths which one agreed with."""
    return not after or (after[0].chi2 > limit >= before[0].chi2)


def _plainest_first(network: Network, found: list[_Reading]) -> list[_Reading]:
    """Those that fit as well as the best first, fewest corners standing in before: the plainest question."""
    least = found[0].chi2 + _CLEARLY
    alike = [r for r in found if r.chi2 <= least]
    alike.sort(key=lambda r: len(turns_in(r.points[: network.corner_count])))
    return alike + found[len(alike) :]


def _points_inside(network: Network, points: Floats) -> bool:
    """True when every point that is not on a side lies on the floor: a post stands in the slab."""
    on_line = {int(row[0]) for row in network.lines}
    outline = points[: network.corner_count]
    return all(
        inside(outline, points[k]) for k in range(network.corner_count, len(points)) if k not in on_line
    )


def _rivals(fits: list[Fit]) -> list[Fit]:
    """The best fit and all that are not clearly worse.

    Where even the best has a length that does not fit, one misread length is allowed for in each before
    they are
    compared: the misread one may be just the length that would tell them apart.
    """
    blunder = has_suspect(fits[0])
    weights = [weighted_without_worst(fit) if blunder else fit.chi2 for fit in fits]
    best = min(weights)
    return [fit for fit, weight in zip(fits, weights, strict=True) if weight <= best + _CLEARLY]


def _which(network: Network, one: Fit, other: Fit, count: int) -> Finding:
    """The question between two readings, with the length that tells them apart best."""
    n = network.corner_count
    gap = np.hypot(*(one.points - other.points).T)
    moved = [name for name, far in zip(network.names, gap.tolist(), strict=True) if far > 0.25 * gap.max()]
    pairs = candidates(network)
    lengths = np.array([_lengths(fit, pairs) for fit in (one, other)])
    best = int(np.argmax(np.abs(lengths[0] - lengths[1])))
    turned = [set(turns_in(fit.points[:n])) for fit in (one, other)]
    code = "tape-two-shapes" if turned[0] != turned[1] else "tape-two-shapes-alike"
    return Finding(
        code=code if any(name in network.corners for name in moved) else "tape-two-places",
        about=tuple(moved),
        figures={
            "count": str(count),
            "corners": ", ".join(moved),
            "area_m2": abs(shoelace_m2(one.points[:n])),
            "other_area_m2": abs(shoelace_m2(other.points[:n])),
            "tie": "-".join(network.names[k] for k in pairs[best]),
            "length_m": float(lengths[0, best]),
            "other_length_m": float(lengths[1, best]),
            "inward": _listed(network, turned[0]),
            "other_inward": _listed(network, turned[1]),
        },
    )


def _lengths(fit: Fit, pairs: list[tuple[int, int]]) -> Floats:
    ends = np.array(pairs, dtype=np.intp)
    across = fit.points[ends[:, 1]] - fit.points[ends[:, 0]]
    return np.asarray(np.hypot(across[:, 0], across[:, 1]), dtype=np.float64)


def _listed(network: Network, corners: set[int]) -> str:
    return " ".join(network.corners[k] for k in sorted(corners)) or "none"


def _crossing(network: Network, reading: _Reading) -> Finding:
    n = network.corner_count
    pair = crossing_sides(reading.points[:n])
    assert pair is not None
    names = [(network.corners[k], network.corners[(k + 1) % n]) for k in pair]
    return Finding(
        code="tape-crosses",
        about=tuple(name for side in names for name in side),
        figures={"side": "-".join(names[0]), "other": "-".join(names[1])},
    )


def _no_such_corners(network: Network, reading: _Reading) -> Finding:
    found = turns_in(reading.points[: network.corner_count])
    return Finding(
        code="tape-inward-differs",
        about=tuple(network.corners[k] for k in found),
        figures={"found": _listed(network, set(found))},
    )

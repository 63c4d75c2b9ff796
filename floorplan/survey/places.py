"""Where one more corner may lie, for many ways to have placed the others at once.

Every two of its lengths give two places; each is moved to where the lengths that it agrees with meet best,
and judged by how many lengths it contradicts and how well it fits the rest. Arrays run over branches first
(b), then places (p), then links (l).
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from ..geometry.arcs import Floats, Ints
from ..values import dataclass

_CLIPPED = 100.0
"""A length that a place contradicts counts as ten standard errors, squared."""

_MOST_LINKS = 7
_MOST_PLACES = 4


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Links:
    """What ties a corner to others that are placed.

    Attributes:
        ends: (l,) the others.
        lengths: (b, l) metres; those across a square follow from the places of each branch.
        loose: (l,) by how much a rough place may miss each, besides a hundredth of its length.
        stds: (l,) standard errors.
    """

    ends: Ints
    lengths: Floats
    loose: Floats
    stds: Floats

    def slack(self) -> Floats:
        """How far a rough place may miss each length before the two contradict each other, (b, l)."""
        return self.loose + 0.01 * self.lengths


def places_of(links: Links, at: Floats, side: Floats | None) -> Floats:
    """Where the corner may lie, (b, p, 2): by every two links (of the first few), then each of them settled.

    Args:
        links: what ties it.
        at: (b, l, 2) the other ends.
        side: (b, 2, 2) the ends of the side on which it lies; None when it lies on none.
    """
    if side is not None:
        found = [_on_line(side, at[:, k], links.lengths[:, k]) for k in range(len(links.ends))]
    else:
        few = np.argsort(links.ends, kind="stable")[:_MOST_LINKS].tolist()
        found = [
            _two_circles(at[:, i], links.lengths[:, i], at[:, j], links.lengths[:, j])
            for i, j in combinations(few, 2)
        ]
    places = np.concatenate(found, axis=1)
    return np.concatenate((places, _settled(links, at, places)), axis=1)


def _two_circles(a: Floats, from_a: Floats, b: Floats, from_b: Floats) -> Floats:
    """Both meeting points of two circles, (b, 2, 2); where they miss each other, the point between."""
    across = b - a
    apart = np.maximum(np.hypot(across[:, 0], across[:, 1]), 1e-12)
    along = (apart * apart + from_a * from_a - from_b * from_b) / (2.0 * apart)
    aside = np.sqrt(np.maximum(0.0, from_a * from_a - along * along))[:, None]
    unit = across / apart[:, None]
    foot = a + along[:, None] * unit
    left = np.column_stack((-unit[:, 1], unit[:, 0]))
    return np.stack((foot + aside * left, foot - aside * left), axis=1)


def _on_line(side: Floats, other: Floats, length: Floats) -> Floats:
    """Where a circle about a point meets a side, (b, 2, 2): twice the place within it where one is."""
    start, along = side[:, 0], side[:, 1] - side[:, 0]
    size = np.maximum(np.hypot(along[:, 0], along[:, 1]), 1e-12)
    unit = along / size[:, None]
    foot = ((other - start) * unit).sum(axis=1)
    off = other - start - foot[:, None] * unit
    half = np.sqrt(np.maximum(0.0, length * length - (off * off).sum(axis=1)))
    stations = np.stack((foot - half, foot + half), axis=1)
    within = (stations >= -0.01 * size[:, None]) & (stations <= 1.01 * size[:, None])
    one = within[:, ::-1] & ~within
    stations = np.where(one, stations[:, ::-1], stations)
    return np.asarray(start[:, None] + stations[..., None] * unit[:, None])


def _settled(links: Links, at: Floats, places: Floats) -> Floats:
    """Each place moved to where the links that it does not contradict meet best."""
    weights, slack = 1.0 / links.stds, links.slack()[:, None]
    held_a_little = 1e-9 * float(weights.max()) ** 2
    for _ in range(2):
        x, y, far = _across(at, places)
        gaps = far - links.lengths[:, None]
        held = np.where(np.abs(gaps) < slack, weights, 0.0)
        x, y, gaps = x / far * held, y / far * held, gaps * held
        xx, yy = (x * x).sum(axis=2) + held_a_little, (y * y).sum(axis=2) + held_a_little
        xy, px, py = (x * y).sum(axis=2), (x * gaps).sum(axis=2), (y * gaps).sum(axis=2)
        move = np.stack((yy * px - xy * py, xx * py - xy * px), axis=2)
        places = places - move / (xx * yy - xy * xy)[..., None]
    return places


def misses(links: Links, at: Floats, places: Floats) -> tuple[Floats, Floats]:
    """How places miss the lengths, each (b, p).

    Returns:
        How many lengths each contradicts, by degrees up to one each; and how badly the lengths fit, in
        squared standard errors up to `_CLIPPED` each.
    """
    gaps = _across(at, places)[2] - links.lengths[:, None]
    costs = np.minimum(np.square(gaps / links.slack()[:, None]), 1.0).sum(axis=2)
    spreads = np.minimum(np.square(gaps / links.stds), _CLIPPED).sum(axis=2)
    return costs, spreads


def _across(at: Floats, places: Floats) -> tuple[Floats, Floats, Floats]:
    """From the ends to the places, (b, p, l) each: by x, by y, and how far."""
    x = places[:, :, None, 0] - at[:, None, :, 0]
    y = places[:, :, None, 1] - at[:, None, :, 1]
    return x, y, np.maximum(np.hypot(x, y), 1e-12)


def chosen(links: Links, places: Floats, costs: Floats, ranks: Floats, margin: float) -> tuple[Ints, Ints]:
    """The places to follow: (k,) their branches, and (k,) which place of each, best first.

    Those that contradict more lengths than the branch's best by more than the margin are never followed, nor
    is a place beside one that is.
    """
    longest, shortest = links.lengths.max(axis=1), links.lengths.min(axis=1)
    apart = np.minimum(0.02 * longest, 0.5 * shortest)
    order = np.argsort(ranks, axis=1, kind="stable")
    most = costs.min(axis=1) + margin
    branch = np.arange(len(places))
    open_ = np.ones(len(places), dtype=np.bool_)
    taken = np.full((len(places), _MOST_PLACES), -1, dtype=np.intp)
    count = np.zeros(len(places), dtype=np.intp)
    for k in order.T:
        open_ &= (costs[branch, k] <= most) & (count < _MOST_PLACES)
        if not open_.any():
            break
        new = open_ & ~_beside(places, taken, k, apart)
        taken[new, count[new]] = k[new]
        count += new
    of, which = np.nonzero(taken >= 0)
    return of, taken[of, which]


def _beside(places: Floats, taken: Ints, k: Ints, apart: Floats) -> NDArray[np.bool_]:
    """Whether place k of each branch, (b,), lies beside one that is taken."""
    branch = np.arange(len(places))
    across = places[branch[:, None], taken] - places[branch, k][:, None]
    near = np.hypot(across[..., 0], across[..., 1]) < apart[:, None]
    return np.asarray((near & (taken >= 0)).any(axis=1))

"""Floor that two slabs have in common, where their coordinates start at one point: it is counted twice.

Slabs are often typed each from a corner of its own, and then lie on top of each other without meaning it. So
where the plan does not say, a pair is looked at only when one of the two has no corner at 0, 0, neither of
its own nor of the box about it: somebody placed it against the other. A slab that was walked, taped or set
off from a baseline always has its own origin.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np
import shapely

from ..errors import Notice
from ..plan.model import Origin, OutlineShape, Plan
from ..units.figures import Figures
from .model import SlabTakeoff

LEAST_M2: Final = 0.01
LEAST_SHARE: Final = 1e-3
"""Less than this, or than this share of the smaller slab, is rounding along a common edge."""

AT_ORIGIN_M: Final = 1e-6
MOST_NAMED: Final = 20


def overlap_notices(plan: Plan, slabs: Sequence[SlabTakeoff]) -> Iterator[Notice]:
    """A warning for each pair of slabs that lie on one another, the largest overlap first."""
    if plan.origin is Origin.OWN or len(slabs) < 2:
        return
    figures = Figures(plan.units)
    hint = (
        ""
        if plan.origin is Origin.SHARED
        else '; or write origin = "own" in [rules] if each has its own 0, 0'
    )
    found = sorted(_overlaps(plan, slabs), key=lambda row: -row[0])
    for area_m2, one, other in found[:MOST_NAMED]:
        text = (
            f"slab {other.name} lies on slab {one.name} with {figures.area(area_m2)}, which is counted twice:"
            f" look at its coordinates{hint}"
        )
        yield Notice(code="slabs-overlap", text=text, where=f"slab {other.name}")


def _overlaps(plan: Plan, slabs: Sequence[SlabTakeoff]) -> Iterator[tuple[float, SlabTakeoff, SlabTakeoff]]:
    """(area, one, other) of slabs whose floor overlaps, in the order of the plan."""
    typed = [slab for slab in slabs if isinstance(slab.slab.shape, OutlineShape)]
    nets = np.array([slab.regions.net for slab in typed], dtype=object)
    for i, j in shapely.STRtree(nets).query(nets, predicate="intersects").T.tolist():
        one, other = typed[i], typed[j]
        if i >= j or (plan.origin is None and _at_origin(one) and _at_origin(other)):
            continue
        area_m2 = float(shapely.intersection(nets[i], nets[j]).area)
        if area_m2 > max(LEAST_M2, LEAST_SHARE * min(one.net_area_m2, other.net_area_m2)):
            yield area_m2, one, other


def _at_origin(slab: SlabTakeoff) -> bool:
    """True when a slab has a corner at 0, 0, or the box about its corners has."""
    points = slab.ring.points
    box = shapely.get_coordinates(shapely.box(*points.min(axis=0), *points.max(axis=0)))
    return bool(np.any(np.hypot(*np.vstack((points, box)).T) < AT_ORIGIN_M))

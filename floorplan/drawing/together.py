"""Which slabs may share a drawing: only those whose place to each other the plan states."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from ..measure.model import SlabTakeoff
from ..plan.model import Origin, OutlineShape

OVERLAP_SHARE = 1e-6
"""Floors that overlap by no more than this share of the smaller one only touch."""


def views(slabs: Sequence[SlabTakeoff], origin: Origin | None = None) -> list[tuple[int, ...]]:
    """Slabs by the drawing that they stand on, by index.

    Slabs typed by their corners share one where the plan says that they start at one point of the site, or
    says nothing and they lie apart as typed; else each stands alone. So does every slab that was walked,
    taped or offset: its first corner is its own origin.
    """
    typed = [i for i, slab in enumerate(slabs) if isinstance(slab.slab.shape, OutlineShape)]
    meet = _floors_meet if origin is Origin.SHARED else _boxes_meet
    own = origin is Origin.OWN or any(meet(slabs[i], slabs[j]) for i, j in itertools.combinations(typed, 2))
    shared = () if own else tuple(typed)
    alone = [(i,) for i in range(len(slabs)) if i not in shared]
    return sorted([*([shared] if shared else []), *alone])


def _boxes_meet(one: SlabTakeoff, other: SlabTakeoff) -> bool:
    a, b = one.ring.bounds(), other.ring.bounds()
    return not (a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1])


def _floors_meet(one: SlabTakeoff, other: SlabTakeoff) -> bool:
    a, b = one.regions.outline, other.regions.outline
    return bool(a.intersection(b).area > OVERLAP_SHARE * min(a.area, b.area))

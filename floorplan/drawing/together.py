"""Which slabs may share a drawing: only those whose place to each other the plan states."""

from __future__ import annotations

from collections.abc import Sequence

from ..measure.model import SlabTakeoff
from ..plan.model import OutlineShape


def views(slabs: Sequence[SlabTakeoff]) -> list[tuple[int, ...]]:
    """Slabs by the drawing that they stand on, by index.

    Slabs typed by their corners share one where they lie apart as typed. Where they would overlap, each was
    typed from an origin of its own and stands alone; so does every slab that was walked, taped or offset,
    whose first corner is its own origin.
    """
    typed = [i for i, slab in enumerate(slabs) if isinstance(slab.slab.shape, OutlineShape)]
    boxes = [slabs[i].ring.bounds() for i in typed]
    apart = all(
        a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
        for k, a in enumerate(boxes)
        for b in boxes[:k]
    )
    shared = tuple(typed) if apart else ()
    alone = [(i,) for i in range(len(slabs)) if i not in shared]
    return sorted([*([shared] if shared else []), *alone])

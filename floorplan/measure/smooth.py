"""The sides that draw one smooth edge: many arcs to the geometry, one edge to whoever reads of it."""

from __future__ import annotations

from ..plan.model import OffsetsShape
from ..values import replace
from .model import Edge, SlabTakeoff


def smooth_sides(slab: SlabTakeoff) -> tuple[int, ...]:
    """Indices, in the user's order, of the arcs of a smooth edge taken by offsets; empty for other slabs."""
    shape = slab.slab.shape
    if not (isinstance(shape, OffsetsShape) and shape.smooth):
        return ()
    return tuple(edge.side for edge in slab.edges if edge.side is not None and edge.bulge)


def listed_edges(slab: SlabTakeoff) -> tuple[Edge, ...]:
    """Edges as a list shows them: those of a smooth edge as one, "C to U", with their length together."""
    run = set(smooth_sides(slab))
    if len(run) < 2:
        return slab.edges
    labels = [corner.label for corner in slab.corners]
    parts = [edge for edge in slab.edges if edge.side in run]
    whole = replace(
        parts[0],
        label=f"{labels[min(run)]} to {labels[(max(run) + 1) % len(labels)]}",
        length_m=sum(edge.length_m for edge in parts),
        chord_m=0.0,
        rise_m=0.0,
        radius_m=0.0,
        bulge=0.0,
    )
    return tuple(whole if edge is parts[0] else edge for edge in slab.edges if edge not in parts[1:])

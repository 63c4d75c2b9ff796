"""Flights of steps coated with the floor: treads, risers and cheeks as sums of rectangles.

Source: trade brief 3.5, common practice, no source: tread = width x depth; riser = width x rise x count;
cheeks are the exposed side profile, a sum of rectangles and not a triangle; nosing = width x count.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from ..errors import Notice
from ..plan.model import Steps
from .model import Edge, MeasuredSteps, SlabTakeoff

STEP_KINDS: Final = ("step up", "step down")


def measure_steps(steps: Steps) -> MeasuredSteps:
    """Areas and nosing length of one flight.

    Under tread k stands a rectangle of one tread by k risers; where the flight has fewer risers than treads,
    the lowest treads lie on the ground and have no side. A riser above the highest tread (to a door, or to
    the floor above) has no side either.
    """
    tread_m2 = steps.width.m * steps.tread.m
    riser_m2 = steps.width.m * steps.riser.m
    grounded = max(0, steps.treads - steps.risers)
    raised = steps.treads - grounded
    cheek_m2 = steps.tread.m * steps.riser.m * raised * (raised + 1) / 2
    return MeasuredSteps(
        steps=steps,
        tread_area_m2=steps.treads * tread_m2,
        riser_area_m2=steps.risers * riser_m2,
        cheek_area_m2=steps.open_sides * cheek_m2,
        nosing_m=steps.treads * steps.width.m,
    )


def edge_of(slab: SlabTakeoff, flight: Steps) -> Edge | None:
    """The edge where a flight meets the floor: the side that it names, else the cut-out of its name, else the
    only edge that is a step; None where the plan does not tell."""
    if flight.side is not None:
        labels = {"-".join(flight.side), "-".join(reversed(flight.side))}
        return next((edge for edge in slab.edges if edge.side is not None and edge.label in labels), None)
    for edge in slab.edges:
        if edge.cutout is not None and slab.cutouts[edge.cutout].name == flight.name:
            return edge
    stepped = [edge for edge in slab.edges if edge.kind in STEP_KINDS and edge.length_m > 0.0]
    return stepped[0] if len(stepped) == 1 else None


def stand_of(slab: SlabTakeoff, flight: Steps) -> tuple[float, float] | None:
    """The middle of that edge, metres."""
    edge = edge_of(slab, flight)
    if edge is None:
        return None
    if edge.cutout is not None:
        return slab.cutouts[edge.cutout].centre
    return None if edge.side is None else slab.ring.side(edge.side).at(0.5)


def placeless_steps(slabs: Sequence[SlabTakeoff], flights: Sequence[MeasuredSteps]) -> Iterator[Notice]:
    """A question for each flight of which the plan does not tell where it stands."""
    for flight in flights:
        slab = slabs[flight.steps.slab]
        if edge_of(slab, flight.steps) is None:
            text = (
                f"{flight.steps.name}: the plan does not say at which side they stand, so that the pour zones"
                ' count them at the far end of the floor; write the side in [[steps]], as side = "A-B"'
            )
            yield Notice(code="steps-placeless", text=text, where=f"slab {slab.name}")

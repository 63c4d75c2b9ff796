"""Flights of steps coated with the floor: treads, risers and cheeks as sums of rectangles.

Source: trade brief 3.5, common practice, no source: tread = width x depth; riser = width x rise x count;
cheeks are the exposed side profile, a sum of rectangles and not a triangle; nosing = width x count.
"""

from __future__ import annotations

from ..plan.model import Steps
from .model import MeasuredSteps


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

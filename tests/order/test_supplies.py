"""What was ordered as loads by day."""

from __future__ import annotations

from sample_sheets import SAMPLES

import floorplan
from floorplan.api import materials
from floorplan.order.labour import labour
from floorplan.order.supplies import supplies
from floorplan.order.words import Words
from floorplan.values import replace


def test_a_line_that_nothing_needs_is_no_load() -> None:
    """A line whose terms sum to nothing goes on no day's truck, and breaks none."""
    plan = floorplan.load(SAMPLES / "l-patio.toml")
    takeoff = floorplan.takeoff(plan)
    order = materials(plan, takeoff)
    hours = labour(takeoff, Words(plan.units))
    assert supplies(order, takeoff, hours)
    nothing = tuple(replace(term, amount=0.0, grit_kg=0.0) for term in order.terms)
    assert supplies(replace(order, terms=nothing), takeoff, hours) == ()

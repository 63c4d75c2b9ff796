"""What changed between two jobs, and sums that a metric plan writes."""

from __future__ import annotations

import pytest
import shapes
from estimates import GALLON, SQFT, estimate

import floorplan
from floorplan.order.changes import rows_between
from floorplan.order.job import work_job
from floorplan.units.length import UnitStyle


def test_rows_of_two_jobs_stand_side_by_side() -> None:
    """The garage against the patio: areas of the brief, each job's own hours, a clock for every day.

    The patio takes three days and the garage two, so that the garage has no third.
    """
    patio, garage = estimate("patio"), estimate("garage")
    old, new = work_job(patio.plan, patio), work_job(garage.plan, garage)
    rows = {row.name: row for row in rows_between(old, new)}
    assert rows["net area"].old == pytest.approx(636.13 * SQFT, abs=0.01 * SQFT)
    assert rows["net area"].new == pytest.approx(526.25 * SQFT, abs=0.01 * SQFT)
    assert (rows["man-hours"].old, rows["man-hours"].new) == (old.labour.hours, new.labour.hours)
    for day in range(3):
        assert rows[f"day {day + 1}, clock"].old == old.labour.clock_hours(day)
    assert rows["day 2, clock"].new == new.labour.clock_hours(1)
    assert rows["day 3, clock"].new is None
    assert "day 4, clock" not in rows and "day 0, clock" not in rows
    assert "price" not in rows


def test_grit_is_written_out_by_the_kit() -> None:
    """Five ounces a kit of 1.5 gal, as many as are bought: the sum can be redone by hand (trade brief)."""
    items = {item.item: item for item in floorplan.materials(estimate("garage").plan).items}
    grit = next(item for name, item in items.items() if "grit" in name)
    topcoat = next(item for name, item in items.items() if "topcoat" in name)
    assert grit.need == pytest.approx(topcoat.packs * 5 / 16)
    assert grit.how.startswith(f"{topcoat.packs} kits x 5 oz = {topcoat.packs * 5} oz")


def test_alcohol_of_a_metric_plan_is_in_litres() -> None:
    """20 by 10 m are 2152.8 sq ft; 400 to the gallon gives 5.38 gal or 20.37 L, six cans of a gallon."""
    slab = shapes.slab(shapes.rectangle(20, 10, "open", shapes.metres))
    order = floorplan.materials(shapes.plan(slab, units=UnitStyle.M))
    alcohol = next(item for item in order.items if item.item == "isopropyl alcohol")
    assert (alcohol.unit, alcohol.packs) == ("L", 6)
    assert alcohol.need == pytest.approx(200 / (400 * SQFT) * GALLON)
    assert alcohol.pack_size == pytest.approx(GALLON)
    assert alcohol.spare == pytest.approx(6 * GALLON - alcohol.need)
    feet = floorplan.materials(shapes.plan(shapes.rectangle(40, 10, "open")))
    alcohol = next(item for item in feet.items if item.item == "isopropyl alcohol")
    assert (alcohol.unit, alcohol.packs, alcohol.pack_size) == ("gal", 1, 1.0)
    assert alcohol.need == pytest.approx(1.0)

"""The takeoff as JSON: sums that only several slabs show."""

from __future__ import annotations

import pytest

import floorplan
from floorplan.report.contract import takeoff_document
from floorplan.values import replace

TWO = """
[[slab]]
name = "One"
outline = ["0, 0", "4, 0", "4, 3", "0, 3"]
[[slab]]
name = "Two"
outline = ["10, 0", "14, 0", "14, 3", "10, 3"]
"""


def test_errors_of_slabs_add_as_squares() -> None:
    """Slabs good to 3 and 4 m² are together good to 5: independent errors (propagation of variances)."""
    takeoff = floorplan.takeoff(floorplan.read(f'units = "m"\n{TWO}'))
    slabs = tuple(replace(slab, area_std_m2=std) for slab, std in zip(takeoff.slabs, (3.0, 4.0), strict=True))
    document = takeoff_document(replace(takeoff, slabs=slabs))
    assert document["totals"]["area_std_m2"] == pytest.approx(5.0)
    assert document["totals"]["net_area_m2"] == pytest.approx(24.0)

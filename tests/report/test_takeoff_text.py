"""The takeoff as text; the figures are worked by hand from the typed sides."""

from __future__ import annotations

import shapes

import floorplan
from floorplan.report.takeoff_text import takeoff_text


def test_sums_of_several_slabs_stand_at_the_end() -> None:
    """Two floors with walls all round, 20 by 10 and 12 by 10 ft: 200 + 120 = 320 sq ft, 60 + 44 = 104 ft.

    By hand is the gap strip and the corners, or the band of 6 in: the band is the wider, and covers the
    corners but for what the disc of 18 in leaves beyond; the sum is that of both slabs' own lines.
    """
    plan = shapes.plan(
        shapes.slab(shapes.rectangle(20, 10), "Porch"), shapes.slab(shapes.rectangle(12, 10), "Walk")
    )
    takeoff = floorplan.takeoff(plan)
    head, _, sums = takeoff_text(takeoff).partition("All 2 slabs\n")
    rows = {line.strip().split("  ")[0]: line.split()[-3:] for line in sums.strip().split("\n")}
    assert "Porch" in head and "Walk" in head
    assert rows["gross area"] == ["320.0", "sq", "ft"]
    assert rows["net area"] == ["320.0", "sq", "ft"]
    assert rows["hand-grind edge"][-2:] == ["104.00", "ft"]
    assert rows["mask"][-2:] == ["104.00", "ft"]
    assert rows["joints"][-2:] == ["0.00", "ft"]


def test_one_slab_has_no_sums() -> None:
    """They would only say it twice."""
    assert "slabs" not in takeoff_text(floorplan.takeoff(shapes.square()))


def test_small_cutout_is_not_no_area() -> None:
    """A sleeve of 1/4 in: pi/4 x (1/48 ft)² = 0.00034 sq ft, a figure that one decimal would hide."""
    plan = floorplan.read(
        "[[slab]]\nname = 'Porch'\nsystem = 'clear-seal'\noutline = \"\"\"\n0, 0\n20', 0\n0, 20'\n\"\"\"\n"
        "[[slab.cutout]]\nname = 'sleeve'\nkind = 'post'\nat = [\"5', 5'\"]\nround = '1/4 in'\n"
    )
    assert "sleeve 0.00034 sq ft" in takeoff_text(floorplan.takeoff(plan))

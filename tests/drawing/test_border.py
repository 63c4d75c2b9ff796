"""A border in a colour of its own: drawn, named and in the legend, on the crew's and the customer's sheet."""

from __future__ import annotations

from pathlib import Path

import pytest
import shapely

import floorplan
from floorplan.drawing.marks import Group, Page, Stroke, Text, walk
from floorplan.drawing.pens import BORDER

SYSTEM = """
title = "Two-tone"
border = "1 ft"
[product."border flake"]
title = "border flake"
packs = ["10 lb"]
[[layer]]
coat = "epoxy primer"
rate = "160 sq ft/gal"
[[layer]]
name = "border flake"
broadcast = "border flake"
on = ["border"]
thrown = "0.2 lb/sq ft"
"""
PLAN = """
title = "Hall"
units = "ft"
[[slab]]
name = "Hall"
system = "{system}"
outline = '''
0, 0 | wall
30, 0 | open
30, 20 | open
0, 20 | open
'''
"""


def page(tmp_path: Path, sheet: str, system: str = "ours.toml") -> Page:
    """The first page of a hall of 30 x 20 ft with a border of 1 ft."""
    (tmp_path / "ours.toml").write_text(SYSTEM)
    plan = floorplan.read(PLAN.format(system=system), beside=tmp_path)
    return floorplan.api.pages(plan, floorplan.takeoff(plan), sheet=sheet)[0]


@pytest.mark.parametrize(("sheet", "words"), [("crew", "border flake"), ("customer", "1.00 ft wide")])
def test_border_is_drawn_named_and_in_the_legend(tmp_path: Path, sheet: str, words: str) -> None:
    """30 x 20 less 28 x 18 ft is 96 sq ft: the drawn band covers that at the scale of the page."""
    drawn = page(tmp_path, sheet)
    band = next(mark for mark in walk(drawn.marks) if isinstance(mark, Stroke) and mark.id == "slab-1-border")
    rings = [shapely.Polygon(run.points) for run in band.runs]
    area = max(ring.area for ring in rings) - min(ring.area for ring in rings)
    on_paper = 96 * 304.8**2 / drawn.scale**2
    assert area == pytest.approx(on_paper, rel=1e-3)
    said = " ".join(mark.content for mark in walk(drawn.marks) if isinstance(mark, Text))
    assert said.count("border 1.00 ft wide") == 2  # beside the band and in the legend
    assert words in said
    dotted = [mark for mark in walk(drawn.marks) if isinstance(mark, Stroke) and mark.pen == BORDER.pen]
    assert len(dotted) == 2


def test_customer_reads_no_product_of_the_border(tmp_path: Path) -> None:
    """Nothing of the shop on the customer's sheet."""
    drawn = page(tmp_path, "customer")
    assert "border flake" not in " ".join(m.content for m in walk(drawn.marks) if isinstance(m, Text))
    assert isinstance(drawn.marks[0], Group)


def test_floor_without_a_border_has_no_band(tmp_path: Path) -> None:
    """A plain system draws nothing of it."""
    drawn = page(tmp_path, "crew", "outdoor-full-flake")
    assert not any(isinstance(m, Stroke) and "border" in m.id for m in walk(drawn.marks))

"""Figures and names on a drawing: the user's own words where he taped, marks where nobody did."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely
from sample_sheets import takeoff

import floorplan
from floorplan.drawing.edges import paper_sides
from floorplan.drawing.plane import upright_deg
from floorplan.drawing.scales import Scale
from floorplan.drawing.view import View
from floorplan.drawing.wording import coarse_measure, measure, side_lengths
from floorplan.units.figures import Figures
from floorplan.units.length import UnitStyle

WALK = """
title = "Walk"
units = "ft-in"
[[slab]]
name = "Pad"
system = "clear-seal"
walk = \"\"\"
A right 20'      | wall
B up 12' 0 1/16" | open
C left 20'       | open
D down ?         | open
\"\"\"
"""


def test_taped_side_keeps_the_users_own_words() -> None:
    """A side of a taped slab is dimensioned as it was written on the tape sheet."""
    slab = takeoff("porch-tape").slabs[0]
    texts = side_lengths(slab, Figures(UnitStyle.FT_IN))
    typed = {tie.length.text for tie in slab.slab.shape.ties}  # type: ignore[union-attr]
    assert set(texts.values()) <= typed


def test_side_never_taped_has_a_tilde() -> None:
    """The side that closes the walk was worked out."""
    plan = floorplan.read(WALK)
    slab = floorplan.takeoff(plan).slabs[0]
    texts = side_lengths(slab, Figures(plan.units))
    assert texts[3].startswith("~12'")
    assert not any(texts[i].startswith("~") for i in range(3))
    assert side_lengths(slab, Figures(plan.units), coarse=True)[3] == "~12'-0\""


def test_side_moved_too_far_has_a_star() -> None:
    """A length that the adjustment moved beyond the tape's error is marked."""
    slab = takeoff("porch-tape").slabs[0]
    assert slab.survey is not None
    rows = tuple(
        replace(m, status="adjusted") if (m.start, m.end) == ("A", "B") else m
        for m in slab.survey.measurements
    )
    marked = replace(slab, survey=replace(slab.survey, measurements=rows))
    assert side_lengths(marked, Figures(UnitStyle.FT_IN))[0].endswith("*")


@pytest.mark.parametrize(
    ("style", "fine", "coarse"),
    [
        (UnitStyle.FT_IN, "12'-6 1/2\"", "12'-7\""),
        (UnitStyle.FT, "12.54", "12.5"),
        (UnitStyle.M, "3.823", "3.82"),
        (UnitStyle.CM, "382.3", "382"),
        (UnitStyle.MM, "3823", "3820"),
    ],
)
def test_lengths_by_style(style: UnitStyle, fine: str, coarse: str) -> None:
    """Worked by hand: 12 ft 6 1/2 in + 1 mm is 3.8237 - 0.0010 = 3.8227 m, 12.541 ft."""
    length_m = 12.541667 * 0.3048
    assert measure(length_m, Figures(style)) == fine
    assert coarse_measure(length_m, Figures(style)) == coarse


def test_area_is_rounded_for_the_customer() -> None:
    """Whole square feet; tenths of a square metre."""
    assert Figures(UnitStyle.FT).whole_area(636.1309 * 0.09290304) == "636 sq ft"
    assert Figures(UnitStyle.M).whole_area(59.099) == "59.1 m²"


@pytest.mark.parametrize("degrees", range(0, 360, 15))
def test_text_reads_from_the_bottom_or_the_right(degrees: int) -> None:
    """Row G13: no text is upside down; upright lines are read from the right."""
    angle = upright_deg((math.cos(math.radians(degrees)), math.sin(math.radians(degrees))))
    assert -90.0 < angle <= 90.0
    assert (angle - degrees) % 180.0 == pytest.approx(0.0, abs=1e-5) or (angle - degrees) % 180.0 > 179.99


@pytest.mark.parametrize("degrees", [89.0, 90.0, 90.5, 94.0, -90.5, -89.5, -86.0])
def test_all_but_upright_text_reads_from_the_right(degrees: float) -> None:
    """Two walls of one room that a tape leaves a little off upright are lettered the same way round."""
    angle = upright_deg((math.cos(math.radians(degrees)), math.sin(math.radians(degrees))))
    assert angle == pytest.approx(degrees % 180.0)


def test_outward_is_off_the_floor_either_way_round() -> None:
    """Listed clockwise or not, the outward direction of every side leaves the floor."""
    for name in ("l-patio", "garage", "pool", "porch-tape"):
        slab = takeoff(name).slabs[0]
        view = View(Scale(50), (0.0, 0.0))
        floor = view.region(slab.regions.outline)
        for side in paper_sides(slab, view):
            (x, y), (dx, dy) = side.at(0.5), side.outward(0.5)
            assert not floor.contains(shapely.Point(x + dx, y + dy))
            assert floor.contains(shapely.Point(x - dx, y - dy))

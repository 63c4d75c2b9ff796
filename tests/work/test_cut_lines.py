"""Lines that a floor is cut along, against areas worked by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon

from floorplan.work.cut_lines import areas_left, directions, offset_for

TRIANGLE = Polygon([(0.0, 0.0), (4.0, 0.0), (0.0, 3.0)])
FRAME = Polygon([(0, 0), (6, 0), (6, 6), (0, 6)], [[(2, 2), (4, 2), (4, 4), (2, 4)]])


def test_half_a_triangle_lies_above_a_line_near_its_foot() -> None:
    """Above height y a triangle 3 m high keeps ((3 - y) / 3)² of its area: half of it at 3 (1 - 1/√2)."""
    assert offset_for(TRIANGLE, 0.0, [3.0])[0] == pytest.approx(3.0 * (1.0 - math.sqrt(0.5)), abs=1e-9)


def test_offsets_across_a_hole_count_the_floor_alone() -> None:
    """A frame of 6 m round a hole of 2 m has 32 m²: 12 above y = 4, and 4 m of width beside the hole."""
    assert offset_for(FRAME, 0.0, [12.0, 16.0, 20.0, 26.0]) == pytest.approx([4.0, 3.0, 2.0, 1.0], abs=1e-9)


def test_what_stands_on_a_level_counts_below_it() -> None:
    """A square of 2 m with 1 m² on its line y = 1: above that line 2, below it at once 3."""
    square = shapely.box(0.0, 0.0, 2.0, 2.0)
    extra = (np.array([[0.5, 1.0]]), np.array([1.0]))
    assert offset_for(square, 0.0, [2.0, 2.5, 4.0], extra) == pytest.approx([1.0, 1.0, 0.5], abs=1e-9)


def test_directions_are_those_of_the_sides_and_square_to_the_strongest() -> None:
    """Sides of 5, 4 and 3 m at 180 - 36.87, 0 and 90 degrees; square to the longest is 53.13."""
    found = np.degrees(directions(TRIANGLE, ()))
    assert found == pytest.approx([180 - 36.8699, 0.0, 90.0, 53.1301], abs=1e-4)
    assert np.degrees(directions(shapely.box(0, 0, 5, 4), ())) == pytest.approx([0.0, 90.0])


@settings(max_examples=60)
@given(st.floats(0.0, math.pi), st.integers(3, 40), st.floats(0.02, 0.98), st.integers(0, 10**6))
def test_offsets_leave_the_wanted_area(angle: float, corners: int, share: float, seed: int) -> None:
    """The area beyond the line is the share asked for, on any floor with any number of corners."""
    chance = np.random.default_rng(seed)
    turns = np.sort(chance.uniform(0.0, 2.0 * math.pi, corners))
    away = chance.uniform(1.0, 9.0, corners)
    floor = shapely.buffer(Polygon(np.column_stack((away * np.cos(turns), away * np.sin(turns)))), 0.0)
    if not isinstance(floor, Polygon) or floor.area < 0.1:
        return
    offsets = offset_for(floor, angle, [share * floor.area])
    assert areas_left(floor, angle, offsets) == pytest.approx([share * floor.area], abs=1e-6)

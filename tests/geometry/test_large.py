"""Outlines of a hundred thousand corners: the same answers as for small ones, in seconds."""

from __future__ import annotations

import math

import numpy as np
import pytest

from floorplan.geometry.clip import clip_lines
from floorplan.geometry.crossings import crossings
from floorplan.geometry.discs import reach
from floorplan.geometry.regions import subtract
from floorplan.geometry.rings import Ring

N = 100_000
RADIUS = 10.0


@pytest.fixture(scope="module")
def wheel() -> Ring:
    """A regular polygon of N corners, inscribed in a circle of 10 m, far from the origin."""
    turns = np.arange(N) * 2 * math.pi / N
    return Ring(RADIUS * np.column_stack((np.cos(turns), np.sin(turns)))).moved(5e5, 4e6)


def test_large_polygon_has_its_closed_form(wheel: Ring) -> None:
    """Area n R² sin(2π/n) / 2 and perimeter 2 n R sin(π/n) hold to 1e-9, four thousand kilometres out."""
    assert wheel.area_m2 == pytest.approx(0.5 * N * RADIUS**2 * math.sin(2 * math.pi / N), rel=1e-9)
    assert wheel.perimeter_m == pytest.approx(2 * N * RADIUS * math.sin(math.pi / N), rel=1e-9)


def test_large_polygon_is_sound_and_its_one_knot_is_found(wheel: Ring) -> None:
    """No side meets another; with two corners swapped the knot is named."""
    assert crossings(wheel) == ()
    points = wheel.points.copy()
    points[[40_000, 40_001]] = points[[40_001, 40_000]]
    assert {(c.i, c.j) for c in crossings(Ring(points))} >= {(39_999, 40_001)}


def test_large_polygon_with_posts_keeps_its_sums(wheel: Ring) -> None:
    """A post inside, one over the edge and one twice: net and deducted make gross."""
    x, y = 5e5, 4e6
    posts = [Ring.circle((x, y), 2), Ring.circle((x + RADIUS, y), 1), Ring.circle((x + 0.5, y), 2)]
    floor = subtract(wheel, posts)
    lens = 2 * math.acos(0.25) - 0.25 * math.sqrt(4 - 0.25)
    assert floor.deducted_m2[0] == pytest.approx(math.pi, rel=1e-8)
    assert floor.deducted_m2[2] == pytest.approx(math.pi - lens, rel=1e-8)
    assert floor.net_area_m2 + sum(floor.deducted_m2) == pytest.approx(wheel.area_m2, rel=1e-12)
    clipped = clip_lines([[(x - 20, y), (x + 20, y)]], floor)
    # From the far side to the first post, and from the third post to the one over the edge.
    assert clipped.length_m == pytest.approx((RADIUS - 1) + (RADIUS - 0.5 - 1.5), abs=1e-6)


@pytest.mark.slow
def test_head_on_large_polygon_cuts_to_the_gap(wheel: Ring) -> None:
    """In a room of N short walls the head cuts the circle less the gap, and the post's ring."""
    floor = subtract(wheel, [Ring.circle((5e5, 4e6), 2)])
    _, cut = reach(floor.net, 0.25, [(floor.net.boundary, 0.05)])
    assert cut.area == pytest.approx(math.pi * (9.95**2 - 1.05**2), rel=1e-4)

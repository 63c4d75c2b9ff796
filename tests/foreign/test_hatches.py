"""Outlines of hatches, drawn with ezdxf edge by edge: areas by closed forms."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest
from foreign.made import areas, source_of

from floorplan.foreign.drawing import find_loops


def _hatched(draw: Callable[[Any], object]) -> list[float]:
    """Areas of the loops of one hatch whose edge path `draw` fills."""

    def model(space: Any) -> None:
        draw(space.add_hatch().paths.add_edge_path())

    return areas(find_loops(source_of(model), hatches=True))


@pytest.mark.parametrize("ccw", [True, False])
@pytest.mark.parametrize(("start", "sweep"), [(0.0, 180.0), (30.0, 100.0), (200.0, 290.0), (350.0, 20.0)])
def test_arc_and_chord(start: float, sweep: float, ccw: bool) -> None:
    """r² (θ - sin θ) / 2, whichever way round the path runs."""
    r, x, y = 3.0, 7.0, -2.0
    ends = [
        (x + r * math.cos(math.radians(a)), y + r * math.sin(math.radians(a))) for a in (start, start + sweep)
    ]

    def draw(path: Any) -> None:
        path.add_arc((x, y), r, start, start + sweep, ccw=ccw)
        path.add_line(*(ends[::-1] if ccw else ends))

    turn = math.radians(sweep)
    assert _hatched(draw) == pytest.approx([0.5 * r * r * (turn - math.sin(turn))], rel=1e-9)


def test_whole_circle() -> None:
    """An arc of 360° closes by itself."""
    assert _hatched(lambda path: path.add_arc((4, 5), 2.5, 0, 360)) == pytest.approx(
        [6.25 * math.pi], rel=1e-9
    )


@pytest.mark.parametrize("turn", [0.0, 40.0])
def test_half_ellipse(turn: float) -> None:
    """π a b / 2 beside the long axis, whichever way that lies."""
    along = (4.0 * math.cos(math.radians(turn)), 4.0 * math.sin(math.radians(turn)))

    def draw(path: Any) -> None:
        path.add_ellipse((1, 1), major_axis=along, ratio=0.5, start_angle=0, end_angle=180)
        path.add_line((1 - along[0], 1 - along[1]), (1 + along[0], 1 + along[1]))

    assert _hatched(draw) == pytest.approx([math.pi * 4.0 * 2.0 / 2.0], rel=2e-5)


def test_spline_and_chord() -> None:
    """A parabola encloses two thirds of its box: with its control point 8 high it rises to 4."""

    def draw(path: Any) -> None:
        path.add_spline(control_points=[(0, 0), (6, 8), (12, 0)], degree=2, knot_values=[0, 0, 0, 1, 1, 1])
        path.add_line((12, 0), (0, 0))

    assert _hatched(draw) == pytest.approx([2.0 / 3.0 * 12.0 * 4.0], rel=2e-5)


def test_polyline_with_a_bulge_and_a_hole() -> None:
    """4 by 3 with a half circle on its right side, and a hole of 1 by 1."""

    def model(space: Any) -> None:
        hatch = space.add_hatch()
        hatch.paths.add_polyline_path([(0, 0, 0), (4, 0, 1), (4, 3, 0), (0, 3, 0)], is_closed=True)
        hatch.paths.add_polyline_path([(1, 1), (2, 1), (2, 2), (1, 2)], is_closed=True)

    found = areas(find_loops(source_of(model), hatches=True))
    assert found == pytest.approx([12.0 + 0.5 * math.pi * 2.25, 1.0], rel=1e-9)

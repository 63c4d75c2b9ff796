"""Dimensions: by the essentials of row G13 of the outside checks."""

from __future__ import annotations

import math

import outside
import pytest
from overlaps import overlaps
from sample_sheets import layer

import floorplan
from floorplan.drawing.dimensions import FIRST_MM, LEVEL_MM, dimension, location, side_dimension
from floorplan.drawing.marks import Run, Stroke, Text, walk
from floorplan.drawing.placing import Candidate
from floorplan.drawing.sheets import compose

A, B = (20.0, 20.0), (80.0, 20.0)
DOWN = (0.0, -1.0)


def parts(candidate: Candidate) -> tuple[tuple[Run, ...], Text]:
    """Lines (dimension line first, then extension lines) and the figure."""
    lines = next(m for m in candidate.marks if isinstance(m, Stroke))
    return lines.runs, next(m for m in candidate.marks if isinstance(m, Text))


def first() -> Candidate:
    """The best way to dimension the side."""
    return next(iter(side_dimension(A, B, DOWN, "12'-6\"")))


def test_first_and_further_lines_keep_their_distance() -> None:
    """At least 10 mm off the outline, then at least 6 mm apart."""
    row = outside.row("g_drawing", "G13")["expected"]
    assert row["first_dimension_line_min_mm"] <= FIRST_MM
    assert row["next_dimension_lines_min_mm"] <= LEVEL_MM
    (line, *_), _ = parts(first())
    assert all(y == pytest.approx(20.0 - FIRST_MM) for _, y in line.points)


def test_extension_lines_start_clear_and_run_past() -> None:
    """A visible gap from the outline, square to the dimension line, a little beyond it."""
    (line, *extensions), _ = parts(first())
    assert len(extensions) == 2
    for extension, x in zip(extensions, (20.0, 80.0), strict=True):
        (x0, y0), (x1, y1) = extension.points
        assert (x0, x1) == pytest.approx((x, x))
        assert 20.0 - y0 >= 1.0
        assert y1 < line.points[0][1] - 0.5


def test_figure_stands_above_an_unbroken_line() -> None:
    """The line runs from end to end; the figure lies just above and parallel to it."""
    (line, *_), text = parts(first())
    assert math.dist(*line.points) == pytest.approx(60.0)
    assert text.angle_deg == 0.0
    assert 0.5 < text.at[1] - line.points[0][1] < 1.5


@pytest.mark.parametrize("turn", range(0, 360, 30))
def test_figure_is_above_its_line_whichever_way_the_side_runs(turn: int) -> None:
    """Read from the bottom or the right, the figure never hangs under its line."""
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    a, b, off = (0.0, 0.0), (60.0 * cos, 60.0 * sin), (sin, -cos)
    (line, *_), text = parts(next(iter(side_dimension(a, b, off, "12'-6\""))))
    up = (-math.sin(math.radians(text.angle_deg)), math.cos(math.radians(text.angle_deg)))
    (x, y), (px, py) = text.at, line.points[0]
    assert (x - px) * up[0] + (y - py) * up[1] == pytest.approx(0.9, abs=1e-6)


def test_short_side_has_its_figure_beside() -> None:
    """A figure wider than its side stands on the line drawn longer, clear of the strokes."""
    (line, *_), text = parts(next(iter(side_dimension((20, 20), (24, 20), DOWN, '11 7/8"'))))
    assert math.dist(*line.points) > 4.0 + text.width_mm
    assert text.at[0] - 0.5 * text.width_mm > 24.0


def test_figure_that_would_overhang_one_end_is_not_offered() -> None:
    """No figure reaches past an end where it could stand inside."""
    assert dimension(A, (45.0, 20.0), DOWN, 11.0, "12'-6 1/2\"", share=0.1) is None


def test_location_runs_from_foot_to_point() -> None:
    """Straight first; beside it on an extension line next."""
    straight, aside = list(location((20.0, 20.0), (20.0, 60.0), "13'-1\""))[0:4:3]
    assert math.dist(*straight.lines[0]) == pytest.approx(40.0)
    assert straight.lines[0][0] == pytest.approx((20.0, 20.0))
    assert abs(aside.lines[0][0][0] - 20.0) == pytest.approx(4.5)


@pytest.mark.parametrize(
    ("corners", "figures"),
    [
        ("6, 6; 10, 6; 10, 9; 6, 9", ["3.00", "4.00"]),
        ("6, 6; 9, 6; 9, 9; 6, 9", ["3.00", "3.00"]),
        ("6, 6; 10, 6; 9, 10; 6, 10", ["3.00", "4.00", "4.00", "4.12"]),
    ],
)
def test_opposite_sides_of_a_rectangle_have_one_figure(corners: str, figures: list[str]) -> None:
    """A rectangle and a square typed by corners have two figures, a four-sided planter with a slanting side
    of sqrt(1² + 4²) = 4.12 has four."""
    outline = corners.replace("; ", "\n")
    plan = floorplan.read(
        'units = "m"\n[[slab]]\nname = "Patio"\noutline = """\n0, 0\n17, 0\n17, 15\n0, 15\n"""\n'
        f'[[slab.cutout]]\nname = "planter"\noutline = """\n{outline}\n"""\n'
    )
    page = compose(plan, floorplan.takeoff(plan), sheet="customer", paper="a3")[0]
    said = [mark.content for mark in walk(layer(page.marks, "dimensions")) if isinstance(mark, Text)]
    assert sorted(text for text in said if text[:2] not in {"15", "17"}) == figures


def test_overall_size_stands_apart_from_the_sides_that_it_sums() -> None:
    """A side of the left edge that is pushed out by the way in leaves the next level to the overall depth.

    The floor is 26' deep on the left in two sides of 14' and 12'.
    """
    plan = floorplan.read(
        """
[[slab]]
entry = "F-A"
outline = '''
A 0, 0    | wall
B 31', 0  | wall
C 31', 9' | wall
D 37', 9' | wall
E 37', 26' | wall
G 0, 26'  | wall
F 0, 12'  | threshold
'''
"""
    )
    takeoff = floorplan.takeoff(plan)
    for sheet in ("customer", "crew", "estimator"):
        for page in compose(plan, takeoff, sheet=sheet):
            assert overlaps(page) == []

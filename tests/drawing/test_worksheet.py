"""The site sheet as marks: true to scale, nothing over the edge, a box for every length."""

from __future__ import annotations

import math

import pytest
from overlaps import ink

import floorplan
from floorplan.drawing.marks import Page, Stroke, Text, walk
from floorplan.drawing.paper import PAPERS, paper_named
from floorplan.drawing.worksheet import compose_worksheet, short_codes
from floorplan.measure.tape_needs import blank_needs, needs
from floorplan.plan.edge_kinds import SHIPPED
from floorplan.units.factors import FOOT_M

PLAN = """
title = "Rear patio"
site = "Lot 7, Quarry Row"
units = "ft-in"
[[slab]]
name = "Patio"
system = "outdoor-full-flake"
[slab.tape]
corners = "A B C D"
turning = "clockwise"
lengths = \"\"\"
A-B 20' | wall
B-C 15' | open
C-D 20' | open
D-A 15'
A-C 25'
\"\"\"
"""


def pages(text: str, paper: str = "letter") -> tuple[Page, ...]:
    """The site sheet of a plan text."""
    plan = floorplan.read(text)
    return compose_worksheet(needs(plan), plan, paper=paper_named(paper), metric=False)


def words(page: Page) -> list[str]:
    """Every text on a page."""
    return [mark.content for mark in walk(page.marks) if isinstance(mark, Text)]


def test_known_outline_is_to_scale() -> None:
    """The first side, 20 ft, measures 20 ft at the stated scale."""
    first = pages(PLAN)[0]
    (outline,) = [m for m in walk(first.marks) if isinstance(m, Stroke) and m.id == "worksheet-outline"]
    a, b = outline.runs[0].points[:2]
    assert math.dist(a, b) == pytest.approx(20 * FOOT_M * 1000 / first.scale, rel=1e-4)
    assert first.scale in (48, 64, 96)
    square = {48: "1'-0\"", 64: "1'-4\"", 96: "2'-0\""}[int(first.scale)]
    assert f"1 square = {square}" in words(first)


def test_lengths_stand_in_boxes_and_forms() -> None:
    """Taped lengths stand beside their sides and in the form; the one that would check them is asked for."""
    first, second = pages(PLAN)
    assert words(first).count("20'") == 2
    assert {"A", "B", "C", "D"} <= set(words(first))
    assert {"A-B", "B-C", "C-D", "D-A", "A-C", "B-D", "to check the rest"} <= set(words(second))
    assert {"WA", "OP"} <= set(words(second))
    assert "UN" not in words(second)


def test_taped_post_is_shown() -> None:
    """A point that was taped stands on the sketch with its letter and the lengths that lead to it."""
    text = PLAN.replace("turning =", 'points = "P"\nturning =').replace(
        "A-C 25'\n", "A-C 25'\nA-P 12'\nB-P 13'\n"
    )
    first, second = pages(text)
    assert "P" in words(first)
    assert {"A-P", "12'", "B-P", "13'"} <= set(words(second))


def test_scheme_says_that_it_is_none() -> None:
    """A slab whose shape is not known yet is drawn as a scheme, says so, and gives the reason."""
    first, second = pages(PLAN.replace("A-C 25'\n", ""))
    assert "order of the corners only, not to scale" in words(first)
    assert first.scale == 0.0
    assert "Not measured yet" in words(second)


@pytest.mark.parametrize("paper", ["letter", "legal", "tabloid", "arch-a", "A4", "A3"])
@pytest.mark.parametrize("corners", [0, 4, 30])
def test_every_page_stays_on_its_paper(paper: str, corners: int) -> None:
    """Nothing is written off the paper, and no text lies on another, whatever the paper and number of
    corners."""
    for page in compose_worksheet(
        (blank_needs(corners),), None, paper=PAPERS[paper], metric=paper.startswith("a")
    ):
        boxes = [ink(m) for m in walk(page.marks) if isinstance(m, Text) and m.content]
        for k, one in enumerate(boxes):
            x0, y0, x1, y1 = one.bounds
            assert 0 <= x0 <= x1 <= page.width_mm
            assert 0 <= y0 <= y1 <= page.height_mm
            assert not any(one.intersection(other).area > 1e-6 for other in boxes[:k])


def test_blank_sheet_has_grid_keys_and_cautions() -> None:
    """A blank sheet has squares of a quarter inch, the keys, and the cautions of cutting and old coatings."""
    first = compose_worksheet((blank_needs(0),), None, paper=PAPERS["letter"], metric=False)[0]
    grid = [m for m in walk(first.marks) if isinstance(m, Stroke) and m.texture]
    columns = sorted(run.points[0][0] for m in grid for run in m.runs if run.points[0][0] == run.points[1][0])
    assert columns[1] - columns[0] == pytest.approx(6.35)
    text = " ".join(words(first))
    assert "no saw-cutting until that is settled" in text
    assert "lead or asbestos" in text
    assert all(kind in text for kind in SHIPPED if kind != "unknown")


def test_metric_sheet_has_metric_squares() -> None:
    """A metric sheet has squares of 5 mm and speaks of metres."""
    first = compose_worksheet((blank_needs(0),), None, paper=PAPERS["A4"], metric=True)[0]
    grid = [m for m in walk(first.marks) if isinstance(m, Stroke) and m.texture]
    columns = sorted(run.points[0][0] for m in grid for run in m.runs if run.points[0][0] == run.points[1][0])
    assert columns[1] - columns[0] == pytest.approx(5.0)
    assert "12-6 1/2" not in " ".join(words(first))


def test_codes_are_unique() -> None:
    """No two names share a code, even many that start alike."""
    names = [*SHIPPED, "wall", "wallboard", "wa", "water", *(f"wall {k}" for k in range(20))]
    codes = short_codes(dict.fromkeys(names))
    assert len(set(codes.values())) == len(codes)


def test_twice_the_same() -> None:
    """The same plan gives the same pages."""
    assert pages(PLAN) == pages(PLAN)

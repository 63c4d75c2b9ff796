"""One paper for all pages of a sheet, chosen for the drawing, and words on why."""

from __future__ import annotations

from pathlib import Path

import pytest
from random_plans import random_plan

import floorplan
from floorplan.drawing.marks import Page, Text, walk

SAMPLES = Path(__file__).parents[2] / "sample_plans"

TWO = """
units = "ft"
[[slab]]
name = "Large"
outline = '''
0, 0 | wall
70, 0 | open
70, 40 | open
0, 40 | open
'''
[[slab]]
name = "Small"
outline = '''
0, 0 | wall
8, 0 | open
8, 6 | open
0, 6 | open
'''
"""


def pages(text: str, sheet: str, **asked: str) -> tuple[Page, ...]:
    """Pages of a sheet."""
    plan = floorplan.read(text)
    return floorplan.api.pages(plan, floorplan.takeoff(plan), sheet=sheet, **asked)


@pytest.mark.parametrize("sheet", ["crew", "estimator", "customer"])
def test_large_and_small_slabs_share_one_paper(sheet: str) -> None:
    """A slab that needs tabloid takes the small one along; the remark says what it would be on letter."""
    made = pages(TWO, sheet)
    assert {page.paper for page in made} == {"tabloid"}
    assert made[0].remark.startswith("tabloid at ")
    assert "on letter it would be drawn" in made[0].remark
    assert not any(page.remark for page in made[1:])


@pytest.mark.parametrize("seed", range(4))
def test_every_document_has_one_paper(seed: int) -> None:
    """Whatever the plan, all pages of a sheet are of one paper."""
    for sheet in ("crew", "estimator", "customer", "day"):
        assert len({page.paper for page in pages(random_plan(seed), sheet)}) == 1


def test_paper_that_was_asked_for_needs_no_words() -> None:
    """Asked for on the command or in the plan, it is taken and nothing is said."""
    assert pages(TWO, "crew", paper="arch-c")[0].remark == ""
    assert (
        pages('units = "ft"\n[sheet]\npaper = "legal"\n' + TWO.partition('"ft"\n')[2], "customer")[0].paper
        == "legal"
    )


def test_crew_sheet_is_drawn_large_and_lists_go_behind() -> None:
    """Letter holds all of the patio at 1:96; it is drawn at 1:64 instead, and tabloid is offered."""
    first, *_ = pages((SAMPLES / "l-patio.toml").read_text(), "crew")
    assert (first.paper, first.scale) == ("letter", 64.0)
    assert "lists on a page behind" in first.remark
    assert "--paper tabloid draws it at 1:48" in first.remark


def test_lists_go_under_the_next_zone_map_rather_than_on_a_page_apart() -> None:
    """The patio's lists stand with the zones of its first topcoat, at the scale of the crew's drawing."""
    first, second, *_ = pages((SAMPLES / "l-patio.toml").read_text(), "crew")
    said = {mark.content for mark in walk(second.marks) if isinstance(mark, Text)}
    assert {"Cut-outs", "Joints", "Pour in this order: topcoat 1"} <= said
    assert second.scale == first.scale
    assert "Cut-outs" not in {mark.content for mark in walk(first.marks) if isinstance(mark, Text)}

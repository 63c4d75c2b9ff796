"""Questions have a line for the answer; statements stand apart under a heading of their own."""

from __future__ import annotations

from pathlib import Path

import floorplan
from floorplan.drawing.marks import Text, walk

SAMPLES = Path(__file__).parents[2] / "sample_plans"


def words(plan: floorplan.Plan, sheet: str = "crew") -> list[str]:
    """Every text of the first page, in drawing order."""
    page = floorplan.api.pages(plan, floorplan.takeoff(plan), sheet=sheet)[0]
    return [mark.content for mark in walk(page.marks) if isinstance(mark, Text)]


def test_statement_is_not_asked() -> None:
    """The patio's gaps beside posts are facts: known before the start, and nothing to answer."""
    said = words(floorplan.load(SAMPLES / "l-patio.toml"))
    assert "Know before you start" in said
    assert "Ask before you start" not in said
    assert "answer" not in said


def test_every_unknown_side_has_a_line_for_its_answer() -> None:
    """Two sides of unknown kind and a doubtful length: a line for each, one with the word answer."""
    text = """
units = "ft"
[[slab]]
system = "clear-seal"
outline = '''
A 0, 0 | wall
B 12.11, 0
C 12.11, 10 | open
D 0, 10
'''
"""
    for sheet, heading in (("crew", "Ask before you start"), ("estimator", "Questions still open")):
        said = words(floorplan.read(text), sheet)
        at = said.index(heading)
        asked = said[at : at + 12]
        assert {"B-C", "D-A"} <= set(asked)
        assert len(asked) > 3

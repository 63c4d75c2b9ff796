"""No text over text, and no text over a line, on random plans and on every sheet."""

from __future__ import annotations

import pytest
from overlaps import overlaps
from random_plans import random_plan
from sample_sheets import PEOPLE

import floorplan
from floorplan.drawing.sheets import compose

FAST, ALL = 24, 200


def _takeoff(seed: int) -> floorplan.Takeoff | None:
    """A takeoff, or None where this seed's cut-outs or sides make no floor."""
    try:
        return floorplan.takeoff(floorplan.read(random_plan(seed)))
    except floorplan.FloorplanError:
        return None


def _check(seed: int, sheet: str) -> None:
    takeoff = _takeoff(seed)
    if takeoff is not None:
        for page in compose(takeoff.plan, takeoff, sheet=sheet):
            assert overlaps(page) == [], f"seed {seed}, {page.title}"


def test_random_plans_are_mostly_good() -> None:
    """The check would mean nothing if most random plans were refused."""
    good = sum(_takeoff(seed) is not None for seed in range(0, ALL, 5))
    assert good >= 0.75 * len(range(0, ALL, 5))


@pytest.mark.parametrize("seed", range(FAST))
def test_no_overlap_on_a_crew_sheet(seed: int) -> None:
    """Text keeps clear of text and lines."""
    _check(seed, "crew")


@pytest.mark.parametrize("sheet", PEOPLE)
@pytest.mark.parametrize("seed", range(FAST, FAST + 6))
def test_no_overlap_on_any_sheet(seed: int, sheet: str) -> None:
    """The same holds for the other sheets."""
    _check(seed, sheet)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(FAST + 6, ALL))
def test_no_overlap_on_two_hundred_plans(seed: int) -> None:
    """The rest of two hundred random plans, every sheet."""
    for sheet in PEOPLE:
        _check(seed, sheet)

"""Sheets of the sample plans, laid out once for all tests of this folder."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import floorplan
from floorplan.drawing.marks import Group, Mark, Page
from floorplan.drawing.sheets import compose

SAMPLES = Path(__file__).parents[1] / "sample_plans"
NAMES = ("garage", "l-patio", "pool")
PEOPLE = ("crew", "customer", "estimator")
"""Sheets that a plan alone is enough for."""
EVERY = [(name, sheet) for name in NAMES for sheet in PEOPLE]


@cache
def takeoff(name: str) -> floorplan.Takeoff:
    """The takeoff of a sample plan."""
    return floorplan.takeoff(floorplan.load(SAMPLES / f"{name}.toml"))


@cache
def pages(name: str, sheet: str) -> tuple[Page, ...]:
    """The pages of one sheet of a sample plan."""
    measured = takeoff(name)
    return compose(measured.plan, measured, sheet=sheet)


def layer(marks: tuple[Mark, ...], name: str) -> tuple[Mark, ...]:
    """The marks of one layer."""
    return next((m.marks for m in marks if isinstance(m, Group) and m.layer == name), ())

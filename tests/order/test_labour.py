"""Labour of jobs with several systems: shared work counts once, each coat has its own share."""

from __future__ import annotations

import pytest

import floorplan
from floorplan.order.labour import labour
from floorplan.order.words import Words

TWO_SYSTEMS = '''
title = "Two floors"
units = "ft-in"
[[slab]]
name = "Garage"
system = "garage-full-flake"
outline = """
A 0, 0       | stem wall
B 20', 0     | stem wall
C 20', 20'   | stem wall
D 0, 20'     | garage door
"""
[[slab.face]]
side = "A-B"
height = "6 in"
[[slab]]
name = "Porch"
system = "outdoor-full-flake"
outline = """
A 30', 0     | wall
B 40', 0     | open
C 40', 10'   | open
D 30', 10'   | open
"""
[[slab.face]]
side = "B-C"
height = "6 in"
'''


def test_two_systems_share_the_faces_and_the_clean_up() -> None:
    """Faces of 10 and 5 sq ft are rubbed once each (15 / 60 = 0.25 h); the job is blown out once a day."""
    plan = floorplan.read(TWO_SYSTEMS)
    tasks = labour(floorplan.takeoff(plan), Words(plan.units)).tasks
    rubbed = [row.hours for row in tasks if row.rate_of == "rub verticals"]
    assert sorted(rubbed) == pytest.approx([5 / 60, 10 / 60])
    blown = [row.day for row in tasks if row.rate_of == "blow out, mask again"]
    assert len(blown) == len(set(blown)) == 1

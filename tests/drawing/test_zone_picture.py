"""Maps of several slabs on a day card: each by its name, and none beside another unless the plan says so."""

from __future__ import annotations

import floorplan
from floorplan.drawing.marks import Text, walk
from floorplan.drawing.together import views

OWN = """
units = "ft"
[[slab]]
name = "Patio"
outline = '''
A 0, 0 | wall
B 24, 0 | open
C 24, 18 | open
D 0, 18 | slab
'''
[[slab]]
name = "Side walk"
outline = '''
A 0, 0 | wall
B 30, 0 | open
C 30, 4 | open
D 0, 4 | open
'''
"""
TAPED = """
[[slab]]
name = "Landing"
[slab.tape]
corners = "A B C D"
turning = "{turning}"
lengths = '''
A-B 8 | wall
B-C 6 | open
C-D 8 | open
D-A 6 | open
A-C 10
'''
"""


def texts(plan: str) -> list[str]:
    """Words of the first day card."""
    read = floorplan.read(plan)
    page = floorplan.api.pages(read, floorplan.takeoff(read), sheet="day")[0]
    return [mark.content for mark in walk(page.marks) if isinstance(mark, Text)]


def test_slabs_from_their_own_origins_lie_apart_and_are_named() -> None:
    """Both begin at 0, 0: each is named, the card says that they lie apart, and every zone has its number."""
    said = texts(OWN)
    assert {"Patio", "Side walk"} <= set(said)
    assert any("drawn apart" in words for words in said)
    assert sum(words == "3" for words in said) >= 2  # in the table and on the map


def test_slabs_typed_on_one_grid_share_a_map() -> None:
    """Moved up by 20 ft the walk is where the plan says: one map with both names, and nothing about apart."""
    said = texts(OWN.replace("0, 4", "0, 26").replace("A 0, 0 | wall\nB 30, 0", "A 0, 20 | wall\nB 30, 20"))
    assert {"Patio", "Side walk"} <= set(said)
    assert not any("drawn apart" in words for words in said)


def test_taped_slab_never_shares_a_drawing() -> None:
    """Taped clockwise its floor lies below the line that the patio stands on: touching, yet unrelated."""
    head = OWN.partition('[[slab]]\nname = "Side walk"')[0]
    for turning in ("clockwise", "counter-clockwise"):
        takeoff = floorplan.takeoff(floorplan.read(head + TAPED.format(turning=turning)))
        assert views(takeoff.slabs) == [(0,), (1,)]


def test_origin_of_the_plan_decides_what_shares_a_drawing() -> None:
    """On one grid a slab in the notch of an L shares its drawing, from own origins it does not."""
    text = """
units = "ft"
[rules]
origin = "{origin}"
[[slab]]
name = "L"
outline = '''
0, 0 | wall
20, 0 | open
20, 10 | slab
10, 10 | slab
10, 20 | open
0, 20 | open
'''
[[slab]]
name = "Notch"
outline = '''
12, 12 | slab
16, 12 | open
16, 16 | open
12, 16 | open
'''
"""
    for origin, expected in (("shared", [(0, 1)]), ("own", [(0,), (1,)])):
        plan = floorplan.read(text.format(origin=origin))
        assert views(floorplan.takeoff(plan).slabs, plan.origin) == expected

"""Tape sheets and offsets as typed."""

from __future__ import annotations

import pytest

from floorplan.plan.model import OffsetsShape, Plan, Side, TapeShape, Turning
from floorplan.plan.reader import read_plan

INCH_M = 0.0254
FOOT_M = 0.3048

TAPE = """
[[slab]]
[slab.tape]
corners  = "A, B C D E"
turning  = "clockwise"
accuracy = "laser"
square   = "A B"
inward   = "D"
points   = "P Q"
on_side  = "Q  B-A"
lengths  = '''
A-B   26' 0 1/8"   | wall
B – C 14' 3" ± 1/2 in | siding
A to C: 29' 8"
C-P   7'
C-D   ?            | open, arc rise 2' out
'''
[[slab.joint]]
kind = "saw cut"
lines = "P -> Q"
"""

OFFSETS = """
[[slab]]
[slab.offsets]
baseline = "40'"
edge = "smooth"
along_baseline = "wall"
along_edge = "open"
along_end = "slab"
stations = '''
0      6'
4'     6' 3"
8', 6' 4"
12' 6'
20' 6"   7'
'''
"""


def tape(text: str = TAPE) -> TapeShape:
    """The tape shape of a plan."""
    shape = read_plan(text).slabs[0].shape
    assert isinstance(shape, TapeShape)
    return shape


def test_tape_letters_and_lists() -> None:
    """Letters come apart at spaces and commas; lists keep their order."""
    shape = tape()
    assert shape.corners == ("A", "B", "C", "D", "E")
    assert shape.turning is Turning.CLOCKWISE
    assert (shape.squares, shape.inward, shape.points) == (("A", "B"), ("D",), ("P", "Q"))
    assert shape.on_side == (("Q", "A", "B"),)
    assert (shape.accuracy, shape.instrument) == (None, "laser")


def test_tape_lengths() -> None:
    """Each dash or `to` parts the letters, ± gives a length's own accuracy, the bar what stands there."""
    ties = tape().ties
    assert [(tie.start, tie.end) for tie in ties] == [("A", "B"), ("B", "C"), ("A", "C"), ("C", "P")]
    assert [tie.length.m for tie in ties] == pytest.approx(
        [26 * FOOT_M + INCH_M / 8, 14.25 * FOOT_M, 29 * FOOT_M + 8 * INCH_M, 7 * FOOT_M]
    )
    assert ties[1].accuracy is not None
    assert ties[1].accuracy.m == pytest.approx(INCH_M / 2)
    assert [tie.side for tie in ties] == [Side(kind="wall"), Side(kind="siding"), None, None]


def test_tape_sides_without_a_length() -> None:
    """A question mark says what stands along a side that was not taped; the rest is unknown."""
    sides = tape().sides()
    assert [side.kind for side in sides] == ["wall", "siding", "open", "unknown", "unknown"]
    assert sides[2].arc is not None


def test_tape_says_that_no_corner_stands_in() -> None:
    """None is an answer, and differs from not having been asked."""
    assert tape(TAPE.replace('inward   = "D"', 'inward = "none"')).inward == ()
    assert tape(TAPE.replace('inward   = "D"', "")).inward is None


def test_joint_between_taped_points() -> None:
    """A joint may run between letters."""
    form = read_plan(TAPE).slabs[0].joints[0].form
    assert form.lines == (("P", "Q"),)  # type: ignore[union-attr]


def offsets(text: str = OFFSETS) -> tuple[Plan, OffsetsShape]:
    """A plan and its offsets."""
    plan = read_plan(text)
    shape = plan.slabs[0].shape
    assert isinstance(shape, OffsetsShape)
    return plan, shape


def test_stations() -> None:
    """Station and offset come apart at wide space, a comma, or the one place where both halves read."""
    _, shape = offsets()
    assert [(row.station.m / FOOT_M, row.offset.m / FOOT_M) for row in shape.stations] == [
        pytest.approx(pair) for pair in [(0, 6), (4, 6.25), (8, 6 + 4 / 12), (12, 6), (20.5, 7)]
    ]


def test_offset_sides() -> None:
    """What stands along baseline, edge and both ends; straight where nothing is said."""
    _, shape = offsets()
    assert shape.smooth
    assert (shape.baseline_side.kind, shape.edge_side.kind) == ("wall", "open")
    assert [side.kind for side in shape.end_sides] == ["slab", "unknown"]
    assert not offsets(OFFSETS.replace('edge = "smooth"\n', ""))[1].smooth

"""Lines of a walk: every way to give a direction, with the angle it stands for."""

from __future__ import annotations

import pytest

from floorplan.plan.model import HeadingKind, Leg, WalkShape
from floorplan.plan.reader import read_plan

ABSOLUTE, TURN, INSIDE, MISSING = HeadingKind


def legs(*lines: str, more: str = "", top: str = "") -> tuple[Leg, ...]:
    """The legs of a walk."""
    text = "\n".join(lines)
    plan = read_plan(f'{top}\n[[slab]]\nsystem = "clear-seal"\n{more}\nwalk = """\n{text}\n"""\n')
    shape = plan.slabs[0].shape
    assert isinstance(shape, WalkShape)
    return shape.legs


@pytest.mark.parametrize(
    ("line", "kind", "degrees"),
    [
        ("right 10'", ABSOLUTE, 0),
        ("up 10'", ABSOLUTE, 90),
        ("left 10'", ABSOLUTE, 180),
        ("Down 10'", ABSOLUTE, 270),
        ("E 10'", ABSOLUTE, 0),
        ("N 10'", ABSOLUTE, 90),
        ("west 10'", ABSOLUTE, 180),
        ("south, 10'", ABSOLUTE, 270),
        ("N 35 E 10'", ABSOLUTE, 55),
        ("N35E, 10'", ABSOLUTE, 55),
        ("S 30° 30' W 10'", ABSOLUTE, 239.5),
        ("S 30-30 W, 10'", ABSOLUTE, 239.5),
        ("n 35 deg e 10'", ABSOLUTE, 55),
        ("azimuth 125.5 10'", ABSOLUTE, 324.5),
        ("azimuth 90°, 10'", ABSOLUTE, 0),
        ("turn left 118, 10'", TURN, 118),
        ("turn right 45 10'", TURN, -45),
        ("turn right 10'", TURN, -90),
        ("turn left, 10'", TURN, 90),
        ("turn left 62° 30', 10'", TURN, 62.5),
        ("inside 62 20'", INSIDE, 62),
        ("inside 270 deg, 20'", INSIDE, 270),
        ("? 10'", MISSING, 0),
    ],
)
def test_direction(line: str, kind: HeadingKind, degrees: float) -> None:
    """Absolute ones are counter-clockwise from the sheet's right with north up, turns are left positive."""
    heading = legs("right 10'", f"B {line}", "left 10'")[1].heading
    assert heading.kind is kind
    assert heading.degrees == pytest.approx(degrees)
    without_letter = legs("right 10'", line, "left 10'")[1]
    assert without_letter.heading == heading
    assert without_letter.length is not None
    assert without_letter.length.text in ("10'", "20'")


def test_north_of_the_sheet_turns_bearings() -> None:
    """With north to the right of the sheet, east is down; sheet words stay."""
    found = legs("N 10'", "E 10'", "up 10'", top='[sheet]\nnorth = "right"')
    assert [leg.heading.degrees for leg in found] == pytest.approx([0, 270, 90])


def test_letters_that_are_compass_words() -> None:
    """A corner may be called N or E where a direction follows."""
    found = legs("N right 10'", "E   N 5'", "S S 5'", "W left 10'")
    assert [leg.label for leg in found] == ["N", "E", "S", "W"]
    assert [leg.heading.degrees for leg in found] == pytest.approx([0, 90, 270, 180])


def test_missing_length_and_what_stands_along() -> None:
    """A question mark leaves the length open; the bar says what stands there."""
    found = legs("A right ?   | wall", "B up 5'", "C left 10' | open, arc rise 1' out")
    assert found[0].length is None
    assert found[0].side.kind == "wall"
    assert found[2].side.arc is not None


def test_accuracy_of_a_walk() -> None:
    """A standard error or an instrument, and one for directions."""
    text = '[[slab]]\naccuracy = "{}"\nangle_accuracy = "0.25 deg"\nwalk = """\nright 9\'\nup 9\'\n? ?\n"""\n'
    shapes = [read_plan(text.format(word)).slabs[0].shape for word in ("1/8 in", "Reel tape")]
    assert all(isinstance(shape, WalkShape) for shape in shapes)
    first, second = shapes
    assert isinstance(first, WalkShape)
    assert isinstance(second, WalkShape)
    assert first.accuracy is not None
    assert first.accuracy.m == pytest.approx(0.003175)
    assert (second.accuracy, second.instrument) == (None, "reel tape")
    assert second.angle_accuracy_deg == 0.25

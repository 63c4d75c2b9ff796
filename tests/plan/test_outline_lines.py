"""Lines of an outline: letters or none, arcs, either direction; the quick way agrees with the slow one."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from floorplan.errors import Place
from floorplan.files.cells import Cell
from floorplan.plan.job import Job
from floorplan.plan.labels import lettered
from floorplan.plan.model import ArcSpec, Bulge, OutlineShape, Side
from floorplan.plan.outline_lines import _plain_row, _read_row, read_outline
from floorplan.units.length import Length

FOOT_M = 0.3048
PLACE = Place(file="x", line=1)


def job() -> Job:
    """A reading in feet and inches."""
    return Job(file="x", beside=Path())


def cells(*lines: str) -> list[Cell]:
    """Lines as cells."""
    return [Cell(line, "x", number, 1, line) for number, line in enumerate(lines, 1)]


def read(*lines: str) -> OutlineShape:
    """The outline of lines that have no fault."""
    reading = job()
    shape = read_outline(reading, cells(*lines), "slab", PLACE)
    reading.faults.raise_if_any()
    assert shape is not None
    return shape


def labels(*lines: str) -> str:
    """The letters that corners get."""
    return " ".join(corner.label for corner in read(*lines).corners)


def test_corner_keeps_letters_numbers_and_place() -> None:
    """A corner has its letter, both numbers with their text, and its line."""
    shape = read("A   0, 0   | wall", "B   26', 0", "C   26', 14' 3\"")
    corner = shape.corners[2]
    assert corner.label == "C"
    assert (corner.at.x.m, corner.at.y.m) == pytest.approx((26 * FOOT_M, 14.25 * FOOT_M))
    assert (corner.at.x.text, corner.at.y.text) == ("26'", "14' 3\"")
    assert corner.place == Place(file="x", line=3, column=1, width=15, text="C   26', 14' 3\"")
    assert [side.kind for side in shape.sides] == ["wall", "unknown", "unknown"]


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        (("0, 0", "9, 0", "9, 9"), "A B C"),
        (("0, 0", "B 9, 0", "9, 9", "A 0, 9"), "C B D A"),
        (("NW 0, 9", "SW 0, 0", "post_2 9, 0"), "NW SW post_2"),
        (("1 0, 0", "2 31.5, 0", "3 31.5, 13"), "1 2 3"),
        (("1   0, 0", "10   9', 0", "11   9', 9"), "1 10 11"),
        (("Ä 0, 0", "角1 9, 0", "é 9, 9"), "Ä 角1 é"),
        (("a1\t0, 0", "a2  9, 0", "-3', 9"), "a1 a2 A"),
    ],
)
def test_letters(lines: tuple[str, ...], expected: str) -> None:
    """Corners without a letter get the next one that is free; any word will do for a letter."""
    assert labels(*lines) == expected


def test_letters_after_z() -> None:
    """After Z come AA and AB."""
    assert lettered([""] * 28)[24:] == ("Y", "Z", "AA", "AB")


def test_start_and_direction_are_kept() -> None:
    """Clockwise corners stay clockwise and the first stays first."""
    shape = read("C 0, 9", "B 9, 9", "A 9, 0")
    assert [corner.label for corner in shape.corners] == ["C", "B", "A"]


@pytest.mark.parametrize(
    ("text", "side"),
    [
        ("wall", Side(kind="wall")),
        ("  Step   UP ", Side(kind="step up")),
        ("?", Side()),
        ("", Side()),
        (
            "open, arc rise 2' out",
            Side(kind="open", arc=ArcSpec(rise=Length(2 * FOOT_M), bulge=Bulge.OUT)),
        ),
        (
            "open, ARC radius 20 ft IN major",
            Side(kind="open", arc=ArcSpec(radius=Length(20 * FOOT_M), bulge=Bulge.IN, major=True)),
        ),
        ('arc rise 6" outwards', Side(arc=ArcSpec(rise=Length(0.5 * FOOT_M), bulge=Bulge.OUT))),
        ("arc rise 6 in inward", Side(arc=ArcSpec(rise=Length(0.5 * FOOT_M), bulge=Bulge.IN))),
        ("arc rise 6 in in", Side(arc=ArcSpec(rise=Length(0.5 * FOOT_M), bulge=Bulge.IN))),
        ("arc rise 6 in out", Side(arc=ArcSpec(rise=Length(0.5 * FOOT_M), bulge=Bulge.OUT))),
        ('open, arc rise 6"in', Side(kind="open", arc=ArcSpec(rise=Length(0.5 * FOOT_M), bulge=Bulge.IN))),
        ("open, arc rise 2 out", Side(kind="open", arc=ArcSpec(rise=Length(2 * FOOT_M), bulge=Bulge.OUT))),
        ("open, arc rise 0.6 m in", Side(kind="open", arc=ArcSpec(rise=Length(0.6), bulge=Bulge.IN))),
    ],
)
def test_side(text: str, side: Side) -> None:
    """What stands along a side, in any case and spacing, with its arc."""
    found = read(f"0, 0 | {text}", "9, 0", "9, 9").sides[0]
    assert found.kind == side.kind
    if side.arc is None:
        assert found.arc is None
        return
    assert found.arc is not None
    assert (found.arc.bulge, found.arc.major) == (side.arc.bulge, side.arc.major)
    size, wanted = found.arc.rise or found.arc.radius, side.arc.rise or side.arc.radius
    assert (found.arc.rise is None) == (side.arc.rise is None)
    assert size is not None
    assert wanted is not None
    assert size.m == pytest.approx(wanted.m)


def test_two_corners_with_an_arc_make_a_floor() -> None:
    """A half disc has two corners."""
    assert len(read("0, 0 | wall", "10, 0 | open, arc rise 5' out").corners) == 2


LINE = st.one_of(
    st.from_regex(
        r"([A-Z][a-z0-9]? {1,3})?-?[0-9]{1,3}('?|' [0-9](\"| 1/2\")) ?, ?[0-9]{1,2}\.?[0-9]? *"
        r"(\| *(wall|open|low wall|wal|\?)?)?",
        fullmatch=True,
    ),
    st.text(alphabet="AB1 2',.|-\"wal", max_size=20),
)


@settings(max_examples=300, deadline=None)
@given(LINE)
def test_quick_reading_is_the_slow_one(text: str) -> None:
    """Where the quick way gives a corner, the slow way gives the same one, places included."""
    line = Cell(text, "x", 1, 1, text).strip()
    quick = _plain_row(job(), line)
    if quick is None:
        return
    reading = job()
    slow = _read_row(reading, line, 1, "slab")
    assert not len(reading.faults)
    assert slow is not None
    assert quick == slow
    assert quick[1].place == slow[1].place
    if slow[2].kind != "unknown":
        assert quick[2].place == slow[2].place

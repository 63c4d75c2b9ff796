"""Faults as the terminal shows them; every expected line is written out by hand."""

from __future__ import annotations

import pytest

from floorplan.errors import Fault, FloorplanError, Place


def shown(text: str, *, line: int | None = 3, column: int | None = 1, width: int = 1) -> list[str]:
    """The lines of a fault in a line of text."""
    place = Place(file="p.toml", line=line, column=column, width=width, text=text)
    return str(Fault(code="c", text="it is wrong", place=place)).split("\n")


@pytest.mark.parametrize(
    ("place", "words"),
    [
        (Place(file="p.toml"), "p.toml"),
        (Place(file="p.toml", line=4), "p.toml:4"),
        (Place(file="p.toml", line=4, column=7), "p.toml:4:7"),
    ],
)
def test_place_says_what_is_known(place: Place, words: str) -> None:
    """File, line and column, as far as known."""
    assert str(place) == words


def test_fault_without_a_place_or_hint_is_one_line() -> None:
    """Nothing is added that is not known."""
    assert str(Fault(code="c", text="it is wrong")) == "fault: it is wrong"


def test_hint_of_several_lines_is_set_in() -> None:
    """Each line of the cure stands below, four spaces in."""
    fault = Fault(code="c", text="it is wrong", hint="write a\nor b")
    assert str(fault) == "fault: it is wrong\n    write a\n    or b"


def test_marker_stands_under_the_wrong_part() -> None:
    """Column 5 of `A   12x, 0` is the 1: four characters before it, six spaces of margin, three marked."""
    assert shown("A   12x, 0", column=5, width=3) == [
        "p.toml:3:5: fault: it is wrong",
        "      A   12x, 0",
        "          ^^^",
    ]


def test_marker_stands_under_text_after_a_tab() -> None:
    """A tab after one letter reaches to the fourth place, so that column 3 is shown as the fifth."""
    assert shown("A\t12x", column=3, width=3)[1:] == ["      A   12x", "          ^^^"]


def test_marker_ends_with_the_text() -> None:
    """A width that runs past the line marks only what is there; one of nothing still marks a place."""
    assert shown("ab", column=2, width=9)[1:] == ["      ab", "       ^"]
    assert shown("ab", column=2, width=0)[1:] == ["      ab", "       ^"]
    assert shown("ab", column=3, width=2)[1:] == ["      ab", "        ^"]


def test_long_line_is_shown_around_the_wrong_part() -> None:
    """Of 400 characters, 160 are shown; from 120 before the wrong one at column 301, character 180 on."""
    text = "".join(str(i // 100) for i in range(300)) + "x" + "y" * 99
    quoted, marker = shown(text, column=301, width=2)[1:]
    assert quoted == "      " + "1" * 20 + "2" * 100 + "x" + "y" * 39
    assert marker == "      " + " " * 120 + "^^"


def test_long_line_without_a_column_is_cut() -> None:
    """160 characters are enough to know the line by, and nothing is marked."""
    assert shown("z" * 500, column=None)[1:] == ["      " + "z" * 160]


def test_blank_line_is_not_quoted() -> None:
    """There is nothing to show of it."""
    assert shown("   ") == ["p.toml:3:1: fault: it is wrong"]


def test_control_characters_are_not_sent_to_the_terminal() -> None:
    """An escape in a stranger's file is shown as a question mark; other letters stay."""
    assert str(Fault(code="c", text="slab \x1b[2J ½")) == "fault: slab ?[2J ½"


def test_error_without_a_fault_is_a_mistake_of_the_caller() -> None:
    """It carries every fault, in order, and at least one."""
    one, two = Fault(code="a", text="first"), Fault(code="b", text="second")
    assert str(FloorplanError([one, two])) == "fault: first\nfault: second"
    assert FloorplanError(one).faults == (one,)
    with pytest.raises(ValueError, match="at least one fault"):
        FloorplanError([])

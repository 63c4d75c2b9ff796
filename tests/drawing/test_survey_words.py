"""What the estimator's sheet says of a taped slab; gaps and ratios are worked by hand."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import floorplan
from floorplan.drawing.marks import Group, Mark, Text
from floorplan.drawing.sheets import compose

HEAD = 'title = "Porch"\nunits = "ft-in"\n[[slab]]\nname = "Porch"\nsystem = "clear-seal"\n'


def _texts(marks: Iterable[Mark]) -> Iterator[str]:
    for mark in marks:
        if isinstance(mark, Group):
            yield from _texts(mark.marks)
        elif isinstance(mark, Text):
            yield mark.content


def said(shape: str) -> str:
    """All that the sheet of a slab says, in one line."""
    plan = floorplan.read(HEAD + shape)
    pages = compose(plan, floorplan.takeoff(plan), sheet="estimator")
    return " ".join(text for page in pages for text in _texts(page.marks))


def test_gap_of_a_walk_is_told_with_its_ratio() -> None:
    """One inch too far on the way back: 20' + 10' + 20' 1" + 10' = 721 in round, so 1 in 721."""
    words = said(
        'walk = """\nA right 20\' | wall\nB up 10\' | wall\nC left 20\' 1" | wall\nD down 10\' | wall\n"""\n'
    )
    assert 'Gap at closing 1", 1 in 721 of the way round.' in words


def tape(lengths: str, corners: str = "A B C D", more: str = "") -> str:
    """A tape table of lengths with semicolons between them."""
    block = "\n".join(lengths.split("; "))
    head = f'[slab.tape]\nturning = "counter-clockwise"\ncorners = "{corners}"\n{more}'
    return f'{head}lengths = """\n{block}\n"""\n'


def test_tape_with_nothing_to_spare_is_told() -> None:
    """Three sides of a triangle always close; four sides and both diagonals leave 6 - 5 = 1 length over."""
    words = said(tape("A-B 4' | wall; B-C 3' | wall; C-A 5' | wall", "A B C"))
    assert "No length to spare: the figure closes whatever was misread. Tape a diagonal more." in words
    words = said(tape("A-B 4' | wall; B-C 3' | wall; C-D 4' | wall; D-A 3' | wall; A-C 5'; B-D 5'"))
    assert "1 length more than needed." in words
    assert "No length to spare" not in words


def test_misread_foot_is_told_with_what_it_reads_like() -> None:
    """24 by 18 ft has diagonals of 30 ft, 6-8-10 tripled; one read as 31 ft is a foot too long.

    M is the middle of A-B, sqrt(12² + 18²) = 21.633 ft or 21' 7 5/8" from C and D.
    """
    sides = "A-B 24' | wall; B-C 18' | wall; C-D 24' | wall; D-A 18' | wall; A-C 31'; B-D 30'"
    middle = "A-M 12'; B-M 12'; C-M 21' 7 5/8\"; D-M 21' 7 5/8\""
    words = said(tape(f"{sides}; {middle}", more='points = "M"\n'))
    assert "Tape A-C again: 31'-0\" reads like 30'-0\"" in words


def test_taped_lengths_stand_on_one_line_each() -> None:
    """With feet, inches and eighths in every column and a misread tape, no length breaks into two lines."""
    lengths = (
        "A-B 24' 10 1/2\" | wall; B-C 18' 10 1/2\" | wall; C-D 24' 10 1/2\" | wall; D-A 18' 10 1/2\" | wall; "
        "A-C 31' 2 3/4\"; B-D 30' 2 3/4\"; A-M 12' 5 1/4\"; B-M 12' 5 1/4\"; C-M 22' 7 1/4\"; D-M 22' 7 1/4\""
    )
    plan = floorplan.read(HEAD + tape(lengths, more='points = "M"\n'))
    pages = compose(plan, floorplan.takeoff(plan), sheet="estimator", paper="letter")
    texts = [text for page in pages for text in _texts(page.marks)]
    assert "suspect" in texts and "Survey: tape" in texts
    assert "31'-2 3/4\"" in texts
    assert not any(text in {'1/2"', '1/4"', '3/4"', '1/8"', '7/8"'} for text in texts)

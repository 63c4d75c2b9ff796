"""Forms: ruled cells to be written in by hand, as rows of a block."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ..values import dataclass
from .blocks import Paint, Row, rectangle
from .lettering import BODY, FINE, SOFT, letter, shortened
from .marks import Mark, Run, Stroke
from .pens import RULE, THIN

WRITE_MM = 7.0
"""Height of a cell that a cold hand can write in."""
_TICK_MM = 2.6


@dataclass(frozen=True, slots=True)
class Cell:
    """A column of a form: its head and its share of the width."""

    head: str
    share: float


def form(
    cells: Sequence[Cell], lines: Iterable[Sequence[str]], room_mm: float
) -> tuple[Row, tuple[Row, ...]]:
    """Head row and ruled rows; a text given stands in its cell, an empty one is left to be written in."""
    whole = sum(cell.share for cell in cells)
    widths = [room_mm * cell.share / whole for cell in cells]
    head = Row(4.2, _heads(cells, widths))
    return head, tuple(Row(WRITE_MM, _ruled(tuple(line), widths)) for line in lines)


def _heads(cells: Sequence[Cell], widths: Sequence[float]) -> Paint:
    def paint(x: float, top: float) -> tuple[Mark, ...]:
        marks = []
        for cell, wide in zip(cells, widths, strict=True):
            marks.append(
                letter(
                    shortened(cell.head, FINE, wide - 1.0, bold=True), (x + 0.8, top - 3.0), FINE, bold=True
                )
            )
            x += wide
        return tuple(marks)

    return paint


def _ruled(line: tuple[str, ...], widths: Sequence[float]) -> Paint:
    def paint(x: float, top: float) -> tuple[Mark, ...]:
        marks: list[Mark] = []
        boxes = []
        for text, wide in zip(line, widths, strict=True):
            boxes.append(rectangle(x, top - WRITE_MM, wide, WRITE_MM))
            if text:
                shown = shortened(text, BODY, wide - 1.6)
                marks.append(letter(shown, (x + 0.8, top - 0.5 * WRITE_MM - 0.5 * BODY), BODY))
            x += wide
        return (Stroke(runs=tuple(boxes), pen=THIN), *marks)

    return paint


def tick_row(words: Sequence[str], room_mm: float, *, per_row: int) -> list[Row]:
    """Words with a box to tick before each, so many in a row."""
    rows = []
    step = room_mm / per_row
    for k in range(0, len(words), per_row):
        rows.append(Row(4.4, _ticks(tuple(words[k : k + per_row]), step)))
    return rows


def _ticks(words: tuple[str, ...], step: float) -> Paint:
    def paint(x: float, top: float) -> tuple[Mark, ...]:
        boxes, marks = [], []
        for word in words:
            boxes.append(rectangle(x, top - 3.6, _TICK_MM, _TICK_MM))
            shown = shortened(word, FINE, step - _TICK_MM - 2.0)
            marks.append(letter(shown, (x + _TICK_MM + 1.0, top - 3.1), FINE))
            x += step
        return (Stroke(runs=tuple(boxes), pen=THIN), *marks)

    return paint


def blank_row(caption: str, room_mm: float) -> Row:
    """A caption and a line to write on."""

    def paint(x: float, top: float) -> tuple[Mark, ...]:
        words = letter(shortened(caption, FINE, room_mm - 12.0), (x, top - 4.6), FINE, colour=SOFT)
        line = Run(((x + words.width_mm + 1.5, top - 5.2), (x + room_mm, top - 5.2)))
        return (words, Stroke(runs=(line,), pen=RULE))

    return Row(6.2, paint)

"""Blocks: the written part of a sheet as rows of a known height, to be set in columns.

A *row* paints itself at a left edge and a top; a *block* is a heading and its rows; a block that may *spill*
can go on to another column or page between its rows.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import lru_cache
from typing import TypeAlias

from ..values import dataclass, field
from .lettering import BODY, FINE, INK, LEADING, letter, shortened, width_mm, wrap
from .marks import Anchor, Mark, Run, Stroke
from .pens import BLACK, FAINT_RULE, RULE, WHITE

Paint: TypeAlias = Callable[[float, float], tuple[Mark, ...]]
"""Marks of a row whose left edge and top stand at x, y."""

HEADING_MM = 5.1
RIGHT_GAP_MM = 2.4
LEFT_GAP_MM = 1.2
"""White between the columns of a table, after figures and after words."""
AFTER_MM = 2.6
"""White below a block."""


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a block."""

    height_mm: float
    paint: Paint = field(compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A heading and its rows.

    Attributes:
        heading: "" for none.
        head_rows: repeated where the block goes on in another column (the head of a table).
        splits: may go on in another column between its rows.
        spills: may be split and may leave the first page.
        loud: heading white on black.
        top_mm: height of heading and table head.
        height_mm: height of the whole block with the white below it.
    """

    heading: str
    width_mm: float
    rows: tuple[Row, ...]
    head_rows: tuple[Row, ...] = ()
    splits: bool = False
    spills: bool = False
    loud: bool = False
    top_mm: float = field(init=False, repr=False, compare=False)
    height_mm: float = field(init=False, repr=False, compare=False)

    @property
    def head_mm(self) -> float:
        """Height of the heading."""
        return (HEADING_MM + (0.9 if self.loud else 0.0)) if self.heading else 0.0

    def __post_init__(self) -> None:
        # Summed once: filling columns asks for the heights of a block again and again.
        top = self.head_mm + sum(row.height_mm for row in self.head_rows)
        object.__setattr__(self, "top_mm", top)
        object.__setattr__(self, "height_mm", top + sum(row.height_mm for row in self.rows) + AFTER_MM)

    def paint(self, x: float, top: float) -> tuple[Mark, ...]:
        """The block with its upper left corner at x, top."""
        marks: list[Mark] = []
        if self.heading:
            marks += _heading(self, x, top)
            top -= self.head_mm
        for row in (*self.head_rows, *self.rows):
            marks += row.paint(x, top)
            top -= row.height_mm
        return tuple(marks)


def _heading(block: Block, x: float, top: float) -> list[Mark]:
    words = shortened(block.heading, BODY, block.width_mm - (3.0 if block.loud else 0.0), bold=True)
    if block.loud:
        bar = Stroke(runs=(rectangle(x, top - 5.0, block.width_mm, 5.0),), fill=BLACK)
        return [bar, letter(words, (x + 1.5, top - 3.8), BODY, bold=True, colour=WHITE)]
    rule = Stroke(runs=(Run(((x, top - 4.2), (x + block.width_mm, top - 4.2))),), pen=RULE)
    return [letter(words, (x, top - 3.1), BODY, bold=True), rule]


def rectangle(x: float, y: float, width: float, height: float) -> Run:
    """A closed upright rectangle by its lower left corner."""
    return Run(((x, y), (x + width, y), (x + width, y + height), (x, y + height)), closed=True)


def text_rows(
    content: str,
    room_mm: float,
    *,
    height: float = FINE,
    bold: bool = False,
    bullet: str = "",
    after: float = 0.0,
) -> list[Row]:
    """A paragraph as rows, one a line, with a hanging bullet where given."""
    return list(_paragraph(content, room_mm, height, bold, bullet, after))


@lru_cache(maxsize=4096)
def _paragraph(
    content: str, room_mm: float, height: float, bold: bool, bullet: str, after: float
) -> tuple[Row, ...]:
    # Kept, because a layout is tried on several papers and scales with the same words.
    hang = width_mm(bullet + " ", height, bold) + 0.5 if bullet else 0.0
    lines = wrap(content, height, room_mm - hang, bold=bold)
    step = LEADING * height
    rows = []
    for k, line in enumerate(lines):
        mark = bullet if k == 0 else ""
        rows.append(
            Row(step + (after if k == len(lines) - 1 else 0.0), _line(line, hang, height, bold, mark))
        )
    return tuple(rows)


def item(content: str, room_mm: float, *, height: float = FINE, bold: bool = False, bullet: str = "•") -> Row:
    """A paragraph that is never parted, with a bullet."""
    return stack(text_rows(content, room_mm, height=height, bold=bold, bullet=bullet, after=0.3))


def stack(rows: Sequence[Row]) -> Row:
    """Rows under each other as one."""

    def paint(x: float, top: float) -> tuple[Mark, ...]:
        marks: list[Mark] = []
        for row in rows:
            marks += row.paint(x, top)
            top -= row.height_mm
        return tuple(marks)

    return Row(sum(row.height_mm for row in rows), paint)


def _line(line: str, hang: float, height: float, bold: bool, bullet: str) -> Paint:
    def paint(x: float, top: float) -> tuple[Mark, ...]:
        base = top - 1.2 * height
        marks: list[Mark] = [letter(line, (x + hang, base), height, bold=bold)]
        if bullet:
            marks.insert(0, letter(bullet, (x, base), height, bold=bold))
        return tuple(marks)

    return paint


def pair_row(label: str, value: str, room_mm: float) -> list[Row]:
    """A label at the left and its value, larger, at the right; a long label goes on below."""
    lines = wrap(label, FINE, max(room_mm - width_mm(value, BODY, True) - 2.0, 0.4 * room_mm))

    def first(x: float, top: float) -> tuple[Mark, ...]:
        base = top - 1.2 * BODY
        figure = letter(value, (x + room_mm, base), BODY, anchor=Anchor.END, bold=True)
        return (letter(lines[0], (x, base), FINE), figure)

    rest = [Row(LEADING * FINE, _line(line, 2.0, FINE, False, "")) for line in lines[1:]]
    return [Row(1.5 * BODY, first), *rest]


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table: its head, share of the width, and how it is set."""

    head: str
    share: float
    right: bool = False


def table(
    columns: Sequence[Column], cells: Iterable[Sequence[str]], room_mm: float, *, height: float = FINE
) -> tuple[tuple[Row, ...], tuple[Row, ...]]:
    """Head rows and body rows of a table; cells break into lines only where all together are too wide."""
    cells = [tuple(row) for row in cells]
    widths = _widths(columns, cells, room_mm, height)
    head = _table_row(columns, widths, [column.head for column in columns], height, bold=True)
    body = tuple(_table_row(columns, widths, row, height, bold=False) for row in cells)
    ruled = Row(head.height_mm + 0.8, _with_rule(head, room_mm))
    return (ruled,), body


def _widths(
    columns: Sequence[Column], cells: Sequence[Sequence[str]], room_mm: float, height: float
) -> list[float]:
    """Widths as wide as what stands in the columns, the rest by their shares; words break last."""
    gaps = [RIGHT_GAP_MM if column.right else LEFT_GAP_MM for column in columns]
    natural = [
        max([width_mm(column.head, height, True), *(width_mm(row[k], height) for row in cells)]) + gaps[k]
        for k, column in enumerate(columns)
    ]
    whole = sum(column.share for column in columns)
    spare = room_mm - sum(natural)
    if spare >= 0.0:
        return [wide + spare * column.share / whole for wide, column in zip(natural, columns, strict=True)]
    # Columns that need less than their share keep what they need; the others part the rest.
    shares = [room_mm * column.share / whole for column in columns]
    words = [
        max(width_mm(word, height, bold) for text, bold in texts for word in text.split() or ("",)) + gap
        for texts, gap in zip(_texts(columns, cells), gaps, strict=True)
    ]
    whole_words = sum(words) <= room_mm
    small = [min(wide, share) for wide, share in zip(natural, shares, strict=True)]
    if whole_words:
        small = _fitting(words, [max(pair) for pair in zip(small, words, strict=True)], room_mm)
    wanting = sum(wide - got for wide, got in zip(natural, small, strict=True))
    left = room_mm - sum(small)
    return [got + left * (wide - got) / wanting for wide, got in zip(natural, small, strict=True)]


def _texts(columns: Sequence[Column], cells: Sequence[Sequence[str]]) -> Iterator[list[tuple[str, bool]]]:
    """The texts of each column, and whether they are bold."""
    for k, column in enumerate(columns):
        yield [(column.head, True), *((row[k], False) for row in cells)]


def _fitting(least: Sequence[float], wanted: Sequence[float], room_mm: float) -> list[float]:
    """Widths as wanted, taken back towards the least ones where there is not room for all."""
    over, spare = sum(wanted) - room_mm, sum(wanted) - sum(least)
    if over <= 0.0 or spare <= 0.0:
        return list(wanted)
    return [wide - over / spare * (wide - low) for wide, low in zip(wanted, least, strict=True)]


def _with_rule(row: Row, room_mm: float) -> Paint:
    def paint(x: float, top: float) -> tuple[Mark, ...]:
        y = top - row.height_mm - 0.1
        return (*row.paint(x, top), Stroke(runs=(Run(((x, y), (x + room_mm, y))),), pen=FAINT_RULE))

    return paint


def _table_row(
    columns: Sequence[Column], widths: Sequence[float], cells: Sequence[str], height: float, *, bold: bool
) -> Row:
    broken = [
        wrap(cell, height, wide - (RIGHT_GAP_MM if column.right else LEFT_GAP_MM) + 0.05, bold=bold) or ("",)
        for column, cell, wide in zip(columns, cells, widths, strict=True)
    ]
    step = LEADING * height
    tall = max(len(lines) for lines in broken)

    def paint(x: float, top: float) -> tuple[Mark, ...]:
        marks: list[Mark] = []
        for column, wide, lines in zip(columns, widths, broken, strict=True):
            for k, line in enumerate(lines):
                at = (x + wide - RIGHT_GAP_MM if column.right else x, top - 1.2 * height - k * step)
                anchor = Anchor.END if column.right else Anchor.START
                if line:
                    marks.append(letter(line, at, height, anchor=anchor, bold=bold, colour=INK))
            x += wide
        return tuple(marks)

    return Row(tall * step + 0.2, paint)


def split(block: Block, room_mm: float) -> tuple[Block | None, Block | None]:
    """The part of a block that fits into a height, and the rest; a block that does not spill is not split."""
    if block.height_mm - AFTER_MM <= room_mm:
        return block, None
    used, count = block.top_mm, 0
    while count < len(block.rows) and used + block.rows[count].height_mm <= room_mm:
        used += block.rows[count].height_mm
        count += 1
    # No row goes on alone, and none stays behind alone.
    count = min(count, len(block.rows) - 2)
    if not (block.spills or block.splits) or count < 2:
        return None, block
    first = _part(block, block.heading, block.rows[:count])
    again = f"{block.heading.removesuffix(', continued')}, continued" if block.heading else ""
    return first, _part(block, again, block.rows[count:])


def _part(block: Block, heading: str, rows: tuple[Row, ...]) -> Block:
    return Block(
        heading=heading,
        width_mm=block.width_mm,
        rows=rows,
        head_rows=block.head_rows,
        splits=True,
        spills=block.spills,
        loud=block.loud,
    )

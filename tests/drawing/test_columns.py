"""Text in columns: in order, nothing lost, parted only where it may be."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floorplan.drawing.blocks import Block, Column, Row, pair_row, split, table, text_rows
from floorplan.drawing.columns import fill, least_height
from floorplan.drawing.lettering import width_mm
from floorplan.drawing.marks import Text


def block(heading: str, rows: int, *, splits: bool = False, spills: bool = False) -> Block:
    """A block of so many rows of 5 mm."""
    made = tuple(Row(5.0, lambda x, top: ()) for _ in range(rows))
    return Block(heading=heading, width_mm=50.0, rows=made, splits=splits, spills=spills)


def test_block_stays_whole() -> None:
    """A block that may not be parted goes into the next column."""
    filled = fill([block("a", 6), block("b", 6)], 2, 45.0)
    assert [column for column, _, _ in filled.placed] == [0, 1]
    assert filled.rest == ()


def test_block_that_may_be_parted_goes_on() -> None:
    """Its second part is headed as continued, and no row is lost."""
    filled = fill([block("a", 12, splits=True)], 2, 45.0)
    headings = [each.heading for _, _, each in filled.placed]
    assert headings == ["a", "a, continued"]
    assert sum(len(each.rows) for _, _, each in filled.placed) == 12


def test_schedule_leaves_before_what_must_stay() -> None:
    """Where room is short, what may spill makes way for what belongs on the page."""
    filled = fill([block("schedule", 6, spills=True), block("cautions", 6)], 1, 45.0)
    assert [each.heading for _, _, each in filled.placed] == ["cautions"]
    assert not filled.must_rest
    assert [each.heading for each in filled.rest] == ["schedule"]


@given(
    st.lists(st.tuples(st.integers(1, 15), st.booleans()), max_size=8),
    st.integers(1, 4),
    st.integers(40, 150),
)
def test_no_row_is_lost_and_no_column_overflows(
    shapes: list[tuple[int, bool]], columns: int, height: int
) -> None:
    """Rows set and rows left are those given; each block ends inside its column."""
    blocks = [block(str(k), rows, splits=splits) for k, (rows, splits) in enumerate(shapes)]
    filled = fill(blocks, columns, float(height))
    kept = sum(len(each.rows) for _, _, each in filled.placed) + sum(len(each.rows) for each in filled.rest)
    assert kept == sum(rows for rows, _ in shapes)
    for _, down, each in filled.placed:
        assert down + each.height_mm - 2.6 <= height + 1e-6


def test_least_height_is_enough_and_little_more() -> None:
    """A column of that height takes all, one two millimetres lower does not."""
    blocks = [block(str(k), 7) for k in range(5)]
    height = least_height(blocks, 3, 200.0)
    assert height is not None
    assert not fill(blocks, 3, height).rest
    assert fill(blocks, 3, height - 2.0).rest


def test_split_needs_two_rows_on_either_hand() -> None:
    """No single row is left under a heading."""
    first, rest = split(block("a", 5, splits=True), 12.0)
    assert first is None
    assert rest is not None


def _texts(rows: tuple[Row, ...]) -> list[Text]:
    return [mark for row in rows for mark in row.paint(0.0, 0.0) if isinstance(mark, Text)]


@given(
    st.lists(
        st.tuples(st.text("abc de", max_size=30), st.text("1234'-", max_size=12)), min_size=1, max_size=6
    )
)
def test_table_cells_do_not_run_into_each_other(cells: list[tuple[str, str]]) -> None:
    """Words end before figures begin, whatever stands in the cells."""
    head, body = table((Column("What", 1.0), Column("Length", 1.0, right=True)), cells, 60.0)
    for row in (*head, *body):
        texts = _texts((row,))
        left = [t.at[0] + t.width_mm for t in texts if t.at[0] == 0.0]
        right = [t.at[0] - t.width_mm for t in texts if t.at[0] > 0.0]
        if left and right:
            assert max(left) <= min(right) + 1e-6


def test_table_breaks_no_word_where_there_is_room_for_all() -> None:
    """A narrow column is as wide as its longest word: "Zone" stood in two lines on the crew sheet."""
    heads = ("Zone", "Area", "Kits", "Mix", "Down", "Flake by")
    shares = (0.7, 1.4, 0.8, 0.9, 0.9, 0.9)
    columns = [
        Column(head, share, right=k > 0) for k, (head, share) in enumerate(zip(heads, shares, strict=True))
    ]
    cells = [("1", "252.2 sq ft", "0.58", "13:10", "13:23", "13:38")]
    head, body = table(columns, cells, 54.0)
    shown = [text.content for text in _texts((*head, *body))]
    words = {word for text in (*heads, *cells[0]) for word in text.split()}
    assert {word for text in shown for word in text.split()} == words


def test_pair_keeps_its_figure_whole() -> None:
    """A long label is broken, its figure is not."""
    rows = pair_row("Material area: openings under one square foot are not deducted", "1,234.5 sq ft", 50.0)
    assert len(rows) > 1
    assert [t.content for t in _texts(tuple(rows))][1] == "1,234.5 sq ft"


@pytest.mark.parametrize("bullet", ["", "•", "!"])
def test_paragraph_fits_its_column(bullet: str) -> None:
    """Each line with its hanging bullet stays inside the column."""
    rows = text_rows(
        "Keep dust, slurry and coating out of the pool, the lawn and the drains. " * 3, 40.0, bullet=bullet
    )
    for text in _texts(tuple(rows)):
        assert text.at[0] + width_mm(text.content, text.height_mm) <= 40.0 + 1e-6

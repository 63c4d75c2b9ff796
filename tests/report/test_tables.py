"""CSV for spreadsheets: numbers stay numbers, no text is run as a formula, everything comes back."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floorplan.report.tables import csv_text, safe_cell


@pytest.mark.parametrize(
    "text", ["=1+1", "+1", "-1+2", "@SUM(A1)", "\tx", "\r=1", " =1", "＝1+1", "=cmd|'/c calc'!A1"]
)
def test_formula_starts_are_guarded(text: str) -> None:
    """What a spreadsheet may take for a formula gets an apostrophe (the list is common security advice)."""
    assert safe_cell(text) == f"'{text}"


@pytest.mark.parametrize("value", ["plain", "1'-6\"", "", "a=b", 3, -3.5, None])
def test_other_cells_stay(value: str | float | None) -> None:
    """Plain text, measures, numbers below zero, and nothing."""
    assert safe_cell(value) == ("" if value is None else value)


CELLS = st.text(st.characters(codec="utf-8"))


@given(st.lists(st.lists(CELLS, min_size=1, max_size=4), min_size=1, max_size=4))
def test_rows_come_back_with_the_standard_reader(rows: list[list[str]]) -> None:
    """Commas, quotes and line ends survive; what was guarded differs by its apostrophe alone."""
    read = list(csv.reader(io.StringIO(csv_text(rows), newline="")))
    wanted = [[safe_cell(cell) for cell in row] for row in rows if row != [""]]
    assert [row for row in read if row != [""]] == wanted

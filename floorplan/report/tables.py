"""Comma-separated rows that a spreadsheet opens as plain text and numbers, never as formulas."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from typing import Final

# A cell that starts with one of these may be run as a formula by a spreadsheet.
_FORMULA_STARTS: Final = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")

Cell = str | int | float | None


def csv_text(rows: Iterable[Sequence[Cell]]) -> str:
    r"""The rows as CSV (RFC 4180, `\r\n` line ends, UTF-8 when encoded).

    A text that a spreadsheet might take for a formula gets an apostrophe in front, which spreadsheets show
    as text; numbers stay numbers.
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    for row in rows:
        writer.writerow([safe_cell(cell) for cell in row])
    return out.getvalue()


def safe_cell(cell: Cell) -> str | int | float:
    """A cell that no spreadsheet runs; None is an empty cell."""
    if cell is None:
        return ""
    if isinstance(cell, str) and cell.lstrip(" ").startswith(_FORMULA_STARTS):
        return f"'{cell}"
    return cell

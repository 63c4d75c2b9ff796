"""Rows of cells as aligned text columns."""

from __future__ import annotations

from collections.abc import Sequence


def aligned(rows: Sequence[Sequence[str]], form: str, *, indent: int = 2, gap: int = 2) -> list[str]:
    """Rows as lines with each column as wide as its widest cell.

    Args:
        rows: cells; a row may be shorter than `form`.
        form: one letter a column, "l" left, "r" right.
        indent: spaces before the first column.
        gap: spaces between columns.

    Returns:
        One line a row, no spaces at its end; an empty list for no rows.
    """
    widths = [max((len(row[i]) for row in rows if i < len(row)), default=0) for i in range(len(form))]
    lines = []
    for row in rows:
        cells = [
            cell.rjust(width) if side == "r" else cell.ljust(width)
            for cell, width, side in zip(row, widths, form, strict=False)
        ]
        lines.append((" " * indent + (" " * gap).join(cells)).rstrip())
    return lines


def shortened(names: Sequence[str], width: int = 34) -> str:
    """Names in a row with commas, cut to a width with the count of those left out."""
    shown = ""
    for i, name in enumerate(names):
        more = f"{shown}, {name}" if shown else name
        if len(more) > width and shown:
            return f"{shown} +{len(names) - i}"
        shown = more
    return shown

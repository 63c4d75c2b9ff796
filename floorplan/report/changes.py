"""Two jobs beside each other: what changed, as text and JSON."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from ..units.figures import Figures
from ..units.money import money_text
from ..units.rounding import decimal_text
from .columns import aligned

if TYPE_CHECKING:
    from ..order.changes import Row

_DIGITS = 6


def changes_text(
    rows: Iterable[Row], figures: Figures, *, head: str, all_rows: bool = False, currency: str = "$"
) -> str:
    """What changed, a line each: before, after, difference; unchanged figures only where asked for."""
    cells = [("", "before", "after", "change")]
    for row in rows:
        if all_rows or row.changed:
            cells.append(_cells(row, figures, currency))
    if len(cells) == 1:
        return f"{head}\n  nothing changed\n"
    return "\n".join([head, *aligned(cells, "lrrr")]) + "\n"


def _cells(row: Row, figures: Figures, currency: str) -> tuple[str, str, str, str]:
    old, new = _figure(row.kind, row.old, figures, currency), _figure(row.kind, row.new, figures, currency)
    if row.old is None or row.new is None:
        return (row.name, old, new, "")
    difference = (
        Decimal(row.new) - Decimal(row.old) if row.kind == "money" else float(row.new) - float(row.old)
    )
    text = _figure(row.kind, difference, figures, currency)
    return (row.name, old, new, text if text.startswith("-") else f"+{text}")


def _figure(kind: str, value: float | Decimal | None, figures: Figures, currency: str) -> str:
    if value is None:
        return "-"
    if kind == "money":
        return money_text(Decimal(value), currency)
    if kind in ("area", "run"):
        return str(figures.figure(kind, float(value)))
    if kind == "packs":
        return decimal_text(float(value), 0)
    return f"{decimal_text(float(value), 1 if kind == 'h' else 0)} {kind}"


def changes_document(rows: Iterable[Row], *, all_rows: bool = True) -> dict[str, Any]:
    """The same as JSON: areas in m², lengths in m, hours, minutes, packs; money as text."""
    return {
        "made_by": "floorplan",
        "rows": [
            {"name": row.name, "kind": row.kind, "before": _plain(row.old), "after": _plain(row.new)}
            for row in rows
            if all_rows or row.changed
        ],
    }


def _plain(value: float | Decimal | None) -> float | str | None:
    if isinstance(value, Decimal):
        return money_text(value, "")
    return None if value is None else round(value, _DIGITS)

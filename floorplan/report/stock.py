"""The stock ledger as text and JSON, with the rates that closed jobs teach beside the planned ones."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ..order.stock import Learned, Lot, Stock, What
from ..system.model import Measure
from ..units import factors
from ..units.figures import Figures
from ..units.rounding import decimal_text
from .columns import aligned

_DIGITS = 6


def stock_text(stock: Stock, rates: Sequence[Learned], figures: Figures) -> str:
    """What is on hand, what is reserved by job, and learned rates."""
    lines = ["floorplan stock"]
    on_hand = [lot for lot in stock.lots if lot.what is What.ON_HAND]
    lines += (
        ["", "On hand", *aligned([_cells(lot) for lot in on_hand], "lrll")]
        if on_hand
        else ["  nothing on hand"]
    )
    for job in stock.jobs():
        held = stock.reserved(job)
        if held:
            lines += ["", f"Reserved for {job}", *aligned([_cells(lot) for lot in held], "lrll")]
    return "\n".join(lines) + "\n" + rates_text(rates, figures)


def rates_text(rates: Sequence[Learned], figures: Figures) -> str:
    """What closed jobs really covered beside what their lists had planned with; "" without any."""
    if not rates:
        return ""
    rows = [("", "planned with", "closed jobs", "jobs")]
    rows += [(r.name, _rate(r, r.typical, figures), _rate(r, r.learned, figures), str(r.jobs)) for r in rates]
    return "\n".join(["", "Rates", *aligned(rows, "lrrr")]) + "\n"


def lot_words(lot: Lot) -> str:
    """`60 lb flake`."""
    return " ".join(part for part in (f"{lot.amount / lot.per_unit:g}", lot.unit, lot.product) if part)


def _cells(lot: Lot) -> tuple[str, str, str, str]:
    amount = f"{decimal_text(lot.amount / lot.per_unit, 2)} {lot.unit}".rstrip()
    state = lot.state.value if lot.state.value != "new" else ""
    batch = f"batch {lot.batch}" if lot.batch else ""
    words = [text for text in (lot.blend, batch, lot.note) if text]
    return (lot.product, amount, state, ", ".join(words))


def _rate(rate: Learned, value: float, figures: Figures) -> str:
    """`139 sq ft/gal`, `8.3 sq ft/lb`, `248 sq ft/h`."""
    us = figures.is_us
    area = rate.over_unit in ("sq ft", "m2")
    over = (factors.SQFT_M2 if us else 1.0) if area else (factors.FOOT_M if us else 1.0)
    over_unit = ("sq ft" if us else "m²") if area else ("ft" if us else "m")
    per, unit = 1.0, "h"
    if rate.measure is Measure.VOLUME:
        per, unit = (factors.GALLON_L, "gal") if us else (1.0, "L")
    elif rate.measure is Measure.WEIGHT:
        per, unit = (factors.POUND_KG, "lb") if us else (1.0, "kg")
    elif rate.measure is not None:
        unit = "piece"
    return f"{decimal_text(value / over * per, 1)} {over_unit}/{unit}"


def stock_document(stock: Stock, rates: Sequence[Learned]) -> dict[str, Any]:
    """The ledger as JSON: amounts in litres, kilograms, metres, pieces or hours."""
    return {
        "made_by": "floorplan",
        "kind": "stock",
        "lots": [
            {
                "what": lot.what.value,
                "product": lot.product,
                "amount": round(lot.amount, _DIGITS),
                "measure": lot.measure.value if lot.measure else "hours",
                "state": lot.state.value,
                "blend": lot.blend,
                "batch": lot.batch,
                "job": lot.job,
                "date": lot.date,
                "note": lot.note,
            }
            for lot in stock.lots
        ],
        "rates": [
            {
                "name": r.name,
                "what": r.what.value,
                "typical": round(r.typical, _DIGITS),
                "learned": round(r.learned, _DIGITS),
                "jobs": r.jobs,
            }
            for r in rates
        ],
    }

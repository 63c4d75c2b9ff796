"""Money in decimal arithmetic: read, rounded to the cent by one rule, summed exactly, written."""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import ROUND_HALF_UP, Decimal
from typing import Final

from ..patterns import pattern
from .notation import Cursor, shown

CENT: Final = Decimal("0.01")
_LARGEST: Final = Decimal(10) ** 9
_MONEY = pattern(
    r" *([+-])? *\$? *([0-9]+|[0-9]{1,3}(?:,[0-9]{3})+)(\.[0-9]*)? *(?:\$|dollars?|usd)? *", re.I
)


def read_money(text: str) -> Decimal:
    """An amount: `$1,250.00`, `12.5`, `-$4`; digits below a cent are kept (a price a foot may have them)."""
    cursor = Cursor(text, "amount", "$1250.00")
    match = _MONEY.fullmatch(cursor.text)
    if match is None:
        cursor.fail()
    amount = Decimal((match[1] or "") + match[2].replace(",", "") + (match[3] or "").rstrip("."))
    if abs(amount) > _LARGEST:
        cursor.fail(f"the amount {shown(text)} is far too large", code="absurd", hint="check the number")
    return amount


def to_cents(amount: Decimal) -> Decimal:
    """An amount rounded to whole cents, halves away from zero. Source: common practice in invoices."""
    return amount.quantize(CENT, ROUND_HALF_UP)


def total(amounts: Iterable[Decimal]) -> Decimal:
    """Exact sum of amounts; none gives 0.00."""
    return sum(amounts, Decimal("0.00"))


def times(price: Decimal, count: float) -> Decimal:
    """A price times a measured count, to the cent; the count is taken by its shortest decimal."""
    return to_cents(price * Decimal(repr(float(count))))


def money_text(amount: Decimal, symbol: str = "$") -> str:
    """`$7,010.00`, `-$4.00`; an empty symbol gives the number alone without commas, for books."""
    cents = to_cents(amount)
    minus = "-" if cents < 0 else ""
    return f"{minus}{symbol}{abs(cents):,.2f}" if symbol else f"{minus}{abs(cents):.2f}"

"""The named rounding rules. Each says its rule and its source; nothing else in the package rounds.

All take a tolerance of 1e-9, so that a figure that should be exact but carries the dust of binary sums is
taken as the exact figure: 2.0000000001 packs are 2 packs.
"""

from __future__ import annotations

import math
from decimal import ROUND_CEILING, ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal
from typing import Final

from . import factors

DUST: Final = 1e-9
"""Below this a difference is the dust of binary arithmetic, not a quantity."""


def half_up(value: float) -> int:
    """Nearest whole number, halves away from zero. Source: ISO 80000-1 Annex B rule B (from memory)."""
    size = abs(value)
    whole = math.floor(size)
    if size - whole >= 0.5 - DUST:
        whole += 1
    return whole if value >= 0 else -whole


def half_even(value: float) -> int:
    """Nearest whole number, halves to the even one. Source: ISO 80000-1 Annex B rule A (from memory)."""
    return int(Decimal(repr(value)).quantize(Decimal(1), ROUND_HALF_EVEN))


def inch_parts(length_m: float, parts: int) -> int:
    """Whole parts (8 for eighths) of an inch in a length, halves up. Source: common practice with a tape."""
    return half_up(length_m / factors.INCH_M * parts)


def whole_packs(need: float, pack_size: float) -> int:
    """Packs that hold at least the need, rounded up once. Source: common practice, a part-pack is not sold.

    Raises:
        ValueError: a need below zero, or a pack of no size.
    """
    if not (need >= 0 and pack_size > 0):
        raise ValueError(f"need {need!r} must be >= 0 and pack_size {pack_size!r} > 0")
    packs = need / pack_size
    return max(0, math.ceil(packs - DUST * max(1.0, packs)))


def up_to_step(amount: Decimal, step: Decimal) -> Decimal:
    """Money rounded up to a whole step, such as 10. Source: common practice in quotes."""
    return (amount / step).to_integral_value(ROUND_CEILING) * step


def decimal_text(value: float, digits: int) -> str:
    """A number with so many digits after the point, halves away from zero, and never "-0"."""
    if not math.isfinite(value):
        raise ValueError(f"a figure must be finite, got {value!r}")
    text = str(Decimal(repr(float(value))).quantize(Decimal(1).scaleb(-digits), ROUND_HALF_UP))
    return text.removeprefix("-") if not text.strip("-0.") else text

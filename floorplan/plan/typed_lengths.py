"""Worked-out lengths as a person would type them, so that a converted plan can be read and edited."""

from __future__ import annotations

from typing import Final

from ..units.factors import CM_M, FOOT_M, INCH_M, MM_M
from ..units.figures import Figures
from ..units.length import Length, UnitStyle

ROUND_M: Final = 1e-6
"""A thousandth of a millimetre: typed lengths are rounded to that, and fractions of an inch that are as near
are written as fractions."""

_PARTS: Final = 64
_DECIMALS: Final = {
    UnitStyle.FT_IN: (FOOT_M, 7, "'"),
    UnitStyle.FT: (FOOT_M, 7, "'"),
    UnitStyle.IN: (INCH_M, 6, '"'),
    UnitStyle.M: (1.0, 6, " m"),
    UnitStyle.CM: (CM_M, 4, " cm"),
    UnitStyle.MM: (MM_M, 3, " mm"),
}


def typed(length_m: float, style: UnitStyle, *, with_unit: bool = False) -> Length:
    """A length with the text that a plan in this style would hold.

    Args:
        length_m: metres.
        style: the plan's units; in `ft-in` lengths carry their unit, elsewhere a bare number is one.
        with_unit: write the unit whatever the style, as where a bare number before `in` would mean inches.

    >>> typed(12.5 * 0.3048, UnitStyle.FT_IN).text
    '12\\'-6"'
    >>> typed(3.81, UnitStyle.MM).text
    '3810'
    """
    if style in (UnitStyle.FT_IN, UnitStyle.IN):
        parts = round(length_m / INCH_M * _PARTS)
        exact = parts * INCH_M / _PARTS
        if abs(exact - length_m) < ROUND_M:
            return Length(exact, Figures(style, _PARTS).length(exact) if parts else "0")
    unit_m, digits, mark = _DECIMALS[style]
    shown = f"{length_m / unit_m:.{digits}f}".rstrip("0").rstrip(".")
    if shown in ("-0", ""):
        return Length(0.0, "0")
    return Length(float(shown) * unit_m, shown + (mark if with_unit or style is UnitStyle.FT_IN else ""))

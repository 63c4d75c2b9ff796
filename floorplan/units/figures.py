"""Figures for people: metric values written in the plan's own units.

A *length* is a measure on the tape (feet, inches and fractions); a *run* is a length of work (decimal feet).
Fractions are plain (1/2), so that any font can show them.
"""

from __future__ import annotations

import math
from typing import Final

from ..values import dataclass
from . import factors
from .length import UnitStyle
from .rounding import DUST, decimal_text, inch_parts


@dataclass(frozen=True, slots=True)
class Figure:
    """A number and its unit apart, for tables; as text the two together."""

    number: str
    unit: str

    def __str__(self) -> str:
        return f"{self.number}{'' if self.unit == '%' else ' '}{self.unit}".rstrip()


@dataclass(frozen=True, slots=True)
class _Row:
    """How a kind of quantity is written: its unit, the metric value of one unit, digits after the point."""

    unit: str
    factor: float
    digits: int


_US: Final = {
    "run": _Row("ft", factors.FOOT_M, 2),
    "area": _Row("sq ft", factors.SQFT_M2, 1),
    "volume": _Row("gal", factors.GALLON_L, 2),
    "weight": _Row("lb", factors.POUND_KG, 1),
    "rate": _Row("sq ft/gal", factors.SQFT_M2 / factors.GALLON_L, 0),
    "weight_rate": _Row("lb/sq ft", factors.POUND_KG / factors.SQFT_M2, 3),
    "density": _Row("lb/gal", factors.POUND_KG / factors.GALLON_L, 2),
    "thickness": _Row("mil", factors.MIL_M, 1),
    "speed": _Row("mph", factors.MILE_M / factors.HOUR_S, 0),
}
_METRIC: Final = {
    "run": _Row("m", 1.0, 2),
    "area": _Row("m²", 1.0, 2),
    "volume": _Row("L", 1.0, 2),
    "weight": _Row("kg", 1.0, 1),
    "rate": _Row("m²/L", 1.0, 2),
    "weight_rate": _Row("kg/m²", 1.0, 2),
    "density": _Row("kg/L", 1.0, 3),
    "thickness": _Row("µm", factors.UM_M, 0),
    "speed": _Row("km/h", 1000.0 / factors.HOUR_S, 0),
}
_LENGTH: Final = {
    UnitStyle.FT: _Row("ft", factors.FOOT_M, 2),
    UnitStyle.M: _Row("m", 1.0, 3),
    UnitStyle.CM: _Row("cm", factors.CM_M, 1),
    UnitStyle.MM: _Row("mm", factors.MM_M, 0),
}


@dataclass(frozen=True, slots=True)
class Figures:
    """Writes metric values in the units of a style.

    Attributes:
        style: the plan's units.
        parts: an inch is written in this many parts, 8 by default; a power of two up to 64.

    >>> Figures(UnitStyle.FT_IN).length(12 * 0.3048 + 6.5 * 0.0254)
    '12\\'-6 1/2"'
    """

    style: UnitStyle
    parts: int = 8

    def __post_init__(self) -> None:
        if self.parts not in (1, 2, 4, 8, 16, 32, 64):
            raise ValueError(f"parts must be a power of two from 1 to 64, got {self.parts!r}")

    @property
    def is_us(self) -> bool:
        """True where feet, gallons and pounds are written."""
        return self.style.is_us

    def unit(self, kind: str) -> str:
        """Unit of a kind of quantity ("area", "run", "rate" …), for the head of a table."""
        return (_US if self.is_us else _METRIC)[kind].unit

    def figure(self, kind: str, value: float, digits: int | None = None) -> Figure:
        """Number and unit apart; `digits` after the point in place of the usual ones."""
        row = (_US if self.is_us else _METRIC)[kind]
        return Figure(decimal_text(value / row.factor, row.digits if digits is None else digits), row.unit)

    def small_area(self, area_m2: float) -> str:
        """The area of a thing that stands in the plan, however small: two figures where it would read 0.

        A floor's areas are written as `area` writes them; there a speck is nothing to work on.
        """
        row = (_US if self.is_us else _METRIC)["area"]
        size = abs(area_m2 / row.factor)
        least = 0.5 * 10.0**-row.digits
        digits = row.digits if size >= least or size < DUST else 1 - math.floor(math.log10(size))
        return str(self.figure("area", area_m2, digits))

    def whole_area(self, area_m2: float) -> str:
        """An area without false precision: whole square feet, or tenths of a square metre."""
        return str(self.figure("area", area_m2, 0 if self.is_us else 1))

    def length(self, length_m: float) -> str:
        """A measure on the tape: `12'-6 1/2"`, `3"`, `-2'-6"`, `12.54 ft`, `150 1/2"`, `3.810 m`."""
        if not math.isfinite(length_m):
            raise ValueError(f"a length must be finite, got {length_m!r}")
        if self.style in _LENGTH:
            row = _LENGTH[self.style]
            return str(Figure(decimal_text(length_m / row.factor, row.digits), row.unit))
        count = inch_parts(length_m, self.parts)
        minus = "-" if count < 0 else ""
        if self.style is UnitStyle.IN:
            return minus + self._inches(abs(count))
        feet, rest = divmod(abs(count), factors.INCHES_PER_FOOT * self.parts)
        return f"{minus}{feet}'-{self._inches(rest, bare_zero=True)}" if feet else minus + self._inches(rest)

    def _inches(self, count: int, bare_zero: bool = False) -> str:
        """Inches of so many parts, the fraction in its lowest terms."""
        whole, rest = divmod(count, self.parts)
        if not rest:
            return f'{whole}"'
        common = math.gcd(rest, self.parts)
        fraction = f"{rest // common}/{self.parts // common}"
        return f'{whole} {fraction}"' if whole or bare_zero else f'{fraction}"'

    def section(self, width_m: float, depth_m: float) -> str:
        """Width and depth of a joint, in the small unit of the style: `3/8" x 3/4"`, `4 x 25 mm`."""
        if self.is_us:
            fine = Figures(UnitStyle.IN, 16)
            return f"{fine.length(width_m)} x {fine.length(depth_m)}"
        width, depth = (decimal_text(value / factors.MM_M, 0) for value in (width_m, depth_m))
        return f"{width} x {depth} mm"

    def run(self, length_m: float) -> str:
        """A length of work: `39.98 ft`, `12.19 m`."""
        return str(self.figure("run", length_m))

    def area(self, area_m2: float) -> str:
        """`636.1 sq ft`, `59.10 m²`."""
        return str(self.figure("area", area_m2))

    def volume(self, volume_l: float) -> str:
        """`4.80 gal`, `18.17 L`."""
        return str(self.figure("volume", volume_l))

    def weight(self, weight_kg: float) -> str:
        """`140.0 lb`, `63.5 kg`."""
        return str(self.figure("weight", weight_kg))

    def rate(self, rate_m2_per_l: float) -> str:
        """`139 sq ft/gal`, `3.41 m²/L`."""
        return str(self.figure("rate", rate_m2_per_l))

    def weight_rate(self, rate_kg_per_m2: float) -> str:
        """`0.220 lb/sq ft`, `1.07 kg/m²`."""
        return str(self.figure("weight_rate", rate_kg_per_m2))

    def density(self, density_kg_per_l: float) -> str:
        """`9.20 lb/gal`, `1.102 kg/L`."""
        return str(self.figure("density", density_kg_per_l))

    def thickness(self, thickness_m: float) -> str:
        """`10.0 mil`, `254 µm`."""
        return str(self.figure("thickness", thickness_m))

    def speed(self, speed_m_s: float) -> str:
        """`15 mph`, `24 km/h`."""
        return str(self.figure("speed", speed_m_s))

    def temperature(self, temperature_c: float) -> str:
        """`75 °F`, `24 °C`."""
        if self.is_us:
            return str(Figure(decimal_text(factors.fahrenheit(temperature_c), 0), "°F"))
        return str(Figure(decimal_text(temperature_c, 0), "°C"))


def percent(share: float, digits: int = 0) -> str:
    """A part of one as a percentage: 0.05 is `5%`."""
    return str(Figure(decimal_text(share * 100, digits), "%"))


def duration(seconds: float) -> str:
    """`45 min`, `6.5 h`, `3 days`; the largest unit that says it in at most one digit after the point."""
    if seconds >= 2 * factors.DAY_S and seconds % factors.DAY_S == 0:
        return f"{int(seconds // factors.DAY_S)} days"
    if seconds < 2 * factors.HOUR_S and seconds % factors.HOUR_S:
        return f"{decimal_text(seconds / factors.MINUTE_S, 0)} min"
    return f"{decimal_text(seconds / factors.HOUR_S, 1).removesuffix('.0')} h"

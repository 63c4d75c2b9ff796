"""Exact factors between the units people write and the metric ones kept inside.

The only place where such numbers stand. Source: international yard and pound (1 in = 25.4 mm, 1 lb =
0.45359237 kg), US gallon of 231 cubic inches (NIST Handbook 44, Appendix C).
"""

from __future__ import annotations

from typing import Final

INCHES_PER_FOOT: Final = 12

MM_M: Final = 0.001
CM_M: Final = 0.01
UM_M: Final = 1e-6
INCH_M: Final = 0.0254
INCH_MM: Final = 25.4
FOOT_M: Final = 0.3048
YARD_M: Final = 0.9144
MIL_M: Final = 2.54e-5
MILE_M: Final = 1609.344

SQIN_M2: Final = 0.00064516
SQFT_M2: Final = 0.09290304
SQYD_M2: Final = 0.83612736
SQCM_M2: Final = 1e-4

CUIN_L: Final = 0.016387064
CUFT_L: Final = 28.316846592
M3_L: Final = 1000.0
GALLON_L: Final = 3.785411784
GALLON_CUIN: Final = 231
QUART_L: Final = 0.946352946
PINT_L: Final = 0.473176473
FLUID_OUNCE_L: Final = 0.0295735295625

POUND_KG: Final = 0.45359237
OUNCE_KG: Final = 0.028349523125
GRAM_KG: Final = 0.001

MINUTE_S: Final = 60
HOUR_S: Final = 3600
DAY_S: Final = 86400

FAHRENHEIT_PER_CELSIUS: Final = 1.8
FREEZING_F: Final = 32.0

POINT_MM: Final = 25.4 / 72
"""One point of lettering, 1/72 in."""


def celsius(fahrenheit: float) -> float:
    """Degrees Celsius of a temperature in degrees Fahrenheit."""
    return (fahrenheit - FREEZING_F) / FAHRENHEIT_PER_CELSIUS


def fahrenheit(celsius_: float) -> float:
    """Degrees Fahrenheit of a temperature in degrees Celsius."""
    return celsius_ * FAHRENHEIT_PER_CELSIUS + FREEZING_F

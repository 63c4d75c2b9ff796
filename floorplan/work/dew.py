"""Dew point of air, and how far a surface stands above it.

Two rules are in use and are kept apart: a surface at least 3 °C above the dew point (5.4 °F), or at least 5
°F (2.8 °C). The plan's units say which one is taken.
"""

from __future__ import annotations

import math
from enum import Enum
from typing import Final

from ..units.factors import FAHRENHEIT_PER_CELSIUS
from ..values import dataclass

MAGNUS_A: Final = 17.62
MAGNUS_B_C: Final = 243.12
MAGNUS_HPA: Final = 6.112
"""Coefficients over water, -45 to 60 °C: WMO, as documented by pvlib."""
COLDEST_C: Final = -45.0
HOTTEST_C: Final = 60.0
_PSYCHROMETER: Final = 0.000662
"""Aspirated psychrometer over water, 1/K: from memory."""
_SEA_LEVEL_HPA: Final = 1013.25


class SpreadRule(Enum):
    """How far above the dew point a surface must be; the value is in degrees Celsius.

    The 3 °C rule is attributed to ISO 8502-4 by secondary pages; 5 °F is what product sheets in US units say.
    """

    CELSIUS_3 = 3.0
    FAHRENHEIT_5 = 5.0 / FAHRENHEIT_PER_CELSIUS

    @property
    def words(self) -> str:
        """As it is quoted."""
        return "3 °C" if self is SpreadRule.CELSIUS_3 else "5 °F"


@dataclass(frozen=True, slots=True)
class Dew:
    """Dew point and what it leaves.

    Attributes:
        point_c: dew point.
        spread_c: surface less dew point.
        rule: the one applied.
    """

    point_c: float
    spread_c: float
    rule: SpreadRule

    @property
    def dry(self) -> bool:
        """True where the surface is as far above the dew point as the rule asks."""
        return self.spread_c >= self.rule.value - 1e-9


def dew_point_c(air_c: float, humidity: float) -> float:
    """Dew point by the Magnus form.

    Args:
        air_c: -45 to 60 °C.
        humidity: relative, as a part of one, above 0 and up to 1.

    Source: T_d = b g / (a - g), g = ln(RH) + a T / (b + T), WMO coefficients.

    >>> round(dew_point_c(20.0, 0.60), 2)
    12.0
    """
    if not (COLDEST_C <= air_c <= HOTTEST_C and 0.0 < humidity <= 1.0):
        raise ValueError(f"air_c {air_c!r} or humidity {humidity!r} is out of range")
    g = math.log(humidity) + MAGNUS_A * air_c / (MAGNUS_B_C + air_c)
    return MAGNUS_B_C * g / (MAGNUS_A - g)


def humidity_from_wet_bulb(air_c: float, wet_bulb_c: float, pressure_hpa: float = _SEA_LEVEL_HPA) -> float:
    """Relative humidity as a part of one from a sling psychrometer; the wet bulb is not above the dry one."""
    if wet_bulb_c > air_c:
        raise ValueError(f"wet_bulb_c {wet_bulb_c!r} must not be above air_c {air_c!r}")
    pressure = _saturation_hpa(wet_bulb_c) - _PSYCHROMETER * pressure_hpa * (air_c - wet_bulb_c)
    return max(pressure, 1e-6) / _saturation_hpa(air_c)


def _saturation_hpa(t_c: float) -> float:
    return MAGNUS_HPA * math.exp(MAGNUS_A * t_c / (MAGNUS_B_C + t_c))


def dew(air_c: float, humidity: float, surface_c: float, rule: SpreadRule) -> Dew:
    """Dew point and spread of a surface."""
    point = dew_point_c(air_c, humidity)
    return Dew(point, surface_c - point, rule)

"""What a plan says of the work on site: when it starts, who does it, and the weather."""

from __future__ import annotations

from datetime import datetime, time

from ..errors import Place
from ..values import dataclass, field

DAY_BEGINS = time(7, 30)
DAY_ENDS = time(16, 30)


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkSettings:
    """The work plan's own figures; every part may be left out.

    Attributes:
        start: first day and hour on site; None when not stated, and then no clock times are given.
        crew: people on the first day; None goes by area.
        begins: when later days begin.
        ends: when the crew leaves; tasks that do not fit are said.
        temperature_c: of material and slab while pouring; None takes the data sheet's own temperature.
        spread_m2_per_min: floor that the crew spreads in a minute; None goes by the crew.
    """

    start: datetime | None = None
    crew: int | None = None
    begins: time = DAY_BEGINS
    ends: time = DAY_ENDS
    temperature_c: float | None = None
    spread_m2_per_min: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Weather:
    """The air and the slab at one time.

    Attributes:
        air_c: air temperature.
        humidity: relative, as a part of one, above 0 and up to 1.
        surface_c: of the slab; None when not measured.
        wind_m_s: None when not stated.
        rain_chance: as a part of one; 1 for rain that falls; None when not stated.
        at: when; None for a reading of now.
    """

    air_c: float
    humidity: float
    surface_c: float | None = None
    wind_m_s: float | None = None
    rain_chance: float | None = None
    at: datetime | None = None
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """A reading on site and an hourly forecast, each where the plan has one."""

    now: Weather | None = None
    forecast: tuple[Weather, ...] = ()

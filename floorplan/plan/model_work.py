"""What a plan says of the work on site: when it starts, who does it, and the weather."""

from __future__ import annotations

import itertools
from datetime import date, datetime, time, timedelta

from ..errors import Place
from ..values import dataclass, field
from .working_days import EVERY_DAY

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
        days: of the week on which the crew works, Monday 0.
        off: dates on which nobody works.
        temperature_c: of material and slab while pouring; None takes the data sheet's own temperature.
        spread_m2_per_min: floor that the crew spreads in a minute; None goes by the crew.
    """

    start: datetime | None = None
    crew: int | None = None
    begins: time = DAY_BEGINS
    ends: time = DAY_ENDS
    days: tuple[int, ...] = EVERY_DAY
    off: tuple[date, ...] = ()
    temperature_c: float | None = None
    spread_m2_per_min: float | None = None

    def works_on(self, day: int) -> bool:
        """True when the crew works so many days after the first; always where the plan has no date."""
        if self.start is None:
            return True
        try:
            found = self.start.date() + timedelta(days=day)
        except OverflowError:  # past the last date that a calendar holds
            return True
        return found.weekday() in self.days and found not in self.off

    def next_working(self, day: int) -> int:
        """That day, or the next on which the crew works, counted from the first."""
        return next(k for k in itertools.count(day) if self.works_on(k))


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

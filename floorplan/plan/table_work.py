"""`[work]` and `[conditions]`: when and by whom the floor is made, and in what weather."""

from __future__ import annotations

from datetime import time
from typing import Final

from ..errors import PlanError
from ..files.text import read_text
from ..patterns import pattern
from ..units.factors import MINUTE_S
from ..units.notation import Unreadable, shown
from ..units.quantities import read_area, read_duration, read_speed, read_temperature
from .asked import Asked
from .forecast import csv_forecast, read_humidity, read_time, typed_forecast
from .job import Job
from .keys import Holds, Key, Keys
from .model_work import DAY_BEGINS, DAY_ENDS, Conditions, Weather, WorkSettings
from .working_days import EVERY_DAY, read_day, read_weekdays

MOST_CREW: Final = 20

WORK = Keys(
    "work",
    "the work plan: zones, clock and days; nothing is taken from the clock of the machine",
    (
        Key(
            "start",
            Holds.TEXT,
            "first day and hour on site",
            "no clock times are given",
            'start = "2027-05-04 07:30"',
        ),
        Key("crew", Holds.COUNT, "people on the first day", "by area", "crew = 3"),
        Key(
            "hours",
            Holds.TEXT,
            "working hours of a day",
            f"{DAY_BEGINS:%H:%M} - {DAY_ENDS:%H:%M}",
            'hours = "07:30 - 16:30"',
        ),
        Key(
            "days",
            Holds.TEXT,
            "days of the week on which the crew works; recoat windows run on over the others",
            "every day",
            'days = "mon-fri"',
        ),
        Key("off", Holds.TEXTS, "dates on which nobody works", "none", 'off = ["2027-05-31"]'),
        Key(
            "temperature",
            Holds.TEXT,
            "of material and slab while pouring; pail and floor times follow it by a rule of thumb",
            "that of the data sheet",
            'temperature = "85 F"',
        ),
        Key(
            "spread",
            Holds.TEXT,
            "floor that the crew spreads in a minute",
            "25 sq ft for three people",
            'spread = "25 sq ft/min"',
        ),
    ),
)

CONDITIONS = Keys(
    "conditions",
    "the weather: a reading on site, and a forecast by the hour",
    (
        Key("air", Holds.TEXT, "air temperature now", example='air = "72 F"'),
        Key("surface", Holds.TEXT, "temperature of the slab now", example='surface = "70 F"'),
        Key("humidity", Holds.TEXT, "relative humidity now", example='humidity = "65 %"'),
        Key("wind", Holds.TEXT, "wind now", example='wind = "8 mph"'),
        Key(
            "forecast",
            Holds.BLOCK,
            "a line an hour: time | air | humidity, and where known | surface | wind | rain",
            example='forecast = """ 2027-05-04 13:00 | 72 F | 65 % | wind 8 mph | rain 20 % """',
        ),
        Key("file", Holds.TEXT, "the same in a CSV file beside the plan", example='file = "forecast.csv"'),
    ),
)

_HOURS: Final = pattern(r"\s*(\d{1,2}:\d\d)\s*(?:-|–|to)\s*(\d{1,2}:\d\d)\s*")
_PER: Final = pattern(r"(.*?)\s*(?:/|\bper\b|\ba\b)\s*(\D+?)\s*")


def read_work(asked: Asked | None) -> WorkSettings:
    """The work plan's own figures; the defaults where the table is left out."""
    if asked is None:
        return WorkSettings()
    hours = asked.read("hours", read_hours) or (DAY_BEGINS, DAY_ENDS)
    settings = WorkSettings(
        start=asked.read("start", read_time),
        crew=asked.count("crew", 1, MOST_CREW),
        begins=hours[0],
        ends=hours[1],
        days=asked.read("days", read_weekdays) or EVERY_DAY,
        off=tuple(sorted(set(asked.reads("off", read_day)))),
        temperature_c=asked.read("temperature", read_temperature),
        spread_m2_per_min=asked.read("spread", read_spread),
    )
    asked.finish()
    return settings


def read_conditions(job: Job, asked: Asked | None) -> Conditions:
    """The weather; nothing where the table is left out."""
    if asked is None:
        return Conditions()
    air = asked.read("air", read_temperature)
    humidity = asked.read("humidity", read_humidity)
    surface = asked.read("surface", read_temperature)
    wind = asked.read("wind", read_speed)
    now = None
    if air is not None and humidity is not None:
        now = Weather(air_c=air, humidity=humidity, surface_c=surface, wind_m_s=wind, place=asked.place)
    elif any(name in asked for name in ("air", "humidity", "surface", "wind")) and not len(job.faults):
        text = "[conditions] has a reading without both air and humidity, so no dew point can be told"
        asked.fault("reading-short", text, hint='add air = "72 F" and humidity = "65 %"')
    forecast = typed_forecast(asked.lines("forecast"), job.faults) + _file(job, asked)
    asked.finish()
    return Conditions(now=now, forecast=forecast)


def _file(job: Job, asked: Asked) -> tuple[Weather, ...]:
    path = asked.file("file")
    if path is None:
        return ()
    try:
        text = read_text(path, error=PlanError)
    except PlanError as error:
        job.faults.extend(error.faults)
        return ()
    return csv_forecast(text, path.name, job.faults)


def read_hours(text: str) -> tuple[time, time]:
    """Begin and end of a working day: `07:30 - 16:30`."""
    match = _HOURS.fullmatch(text)
    try:
        found = [_clock(part) for part in match.groups()] if match else []
    except ValueError:
        found = []
    if len(found) != 2 or found[0] >= found[1]:
        raise Unreadable(
            "hours-unreadable",
            f"cannot read the working hours {shown(text.strip())}",
            "write them like 07:30 - 16:30",
            end=max(1, len(text)),
        )
    return found[0], found[1]


def _clock(text: str) -> time:
    hour, minute = text.split(":")
    return time(int(hour), int(minute))


def read_spread(text: str) -> float:
    """Square metres a minute: `25 sq ft/min`, `2 m2/min`, `1500 sq ft per hour`."""
    match = _PER.fullmatch(text)
    hint = "write it like 25 sq ft/min"
    if match is None:
        raise Unreadable(
            "spread-unreadable", f"cannot read the rate {shown(text.strip())}", hint, end=len(text)
        )
    area = read_area(match[1])
    minutes = read_duration(f"1 {match[2]}") / MINUTE_S
    if not area > 0.0:
        raise Unreadable(
            "spread-unreadable", f"the rate {shown(text.strip())} is nothing", hint, end=len(text)
        )
    return area / minutes

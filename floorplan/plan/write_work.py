"""`[work]` and `[conditions]` written as lines of a plan file."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Final

from ..units.factors import HOUR_S, MILE_M, SQFT_M2, fahrenheit
from ..units.quantities import read_percent, read_speed, read_temperature
from .model_work import Conditions, Weather, WorkSettings
from .table_work import read_spread
from .toml_text import block, columns, number, pairs, quoted
from .working_days import weekdays_text

_MPH_M_S: Final = MILE_M / HOUR_S
_HUNDRED: Final = 100.0
_DIGITS: Final = 6


def write_work(work: WorkSettings) -> list[str]:
    """The table of the work plan; nothing where every part is left out."""
    usual = WorkSettings()
    rows = []
    if work.start is not None:
        rows.append(("start", quoted(_time(work.start))))
    if work.crew is not None:
        rows.append(("crew", str(work.crew)))
    if (work.begins, work.ends) != (usual.begins, usual.ends):
        rows.append(("hours", quoted(f"{work.begins:%H:%M} - {work.ends:%H:%M}")))
    if work.days != usual.days:
        rows.append(("days", quoted(weekdays_text(work.days))))
    if work.off:
        rows.append(("off", f"[{', '.join(quoted(day.isoformat()) for day in work.off)}]"))
    if work.temperature_c is not None:
        rows.append(("temperature", quoted(_temperature(work.temperature_c))))
    if work.spread_m2_per_min is not None:
        rows.append(("spread", quoted(_spread(work.spread_m2_per_min))))
    return ["[work]", *pairs(rows)] if rows else []


def write_conditions(conditions: Conditions) -> list[str]:
    """The table of the weather; nothing where it is empty."""
    lines = pairs(_now(conditions.now)) if conditions.now else []
    if conditions.forecast:
        rows = [_hour(weather) for weather in conditions.forecast]
        lines.append(f"forecast = {block(columns(rows))}")
    return ["[conditions]", *lines] if lines else []


def _now(weather: Weather) -> list[tuple[str, str]]:
    rows = [("air", quoted(_temperature(weather.air_c))), ("humidity", quoted(_percent(weather.humidity)))]
    if weather.surface_c is not None:
        rows.append(("surface", quoted(_temperature(weather.surface_c))))
    if weather.wind_m_s is not None:
        rows.append(("wind", quoted(_wind(weather.wind_m_s))))
    return rows


def _hour(weather: Weather) -> tuple[str, ...]:
    surface, wind, rain = weather.surface_c, weather.wind_m_s, weather.rain_chance
    return (
        _time(weather.at) if weather.at else "",
        f"| {_temperature(weather.air_c)}",
        f"| {_percent(weather.humidity)}",
        "" if surface is None else f"| surface {_temperature(surface)}",
        "" if wind is None else f"| wind {_wind(wind)}",
        "" if rain is None else f"| rain {_percent(rain)}",
    )


def _time(at: datetime) -> str:
    return at.isoformat(" ", "minutes" if not (at.second or at.microsecond) else "auto")


def _tidy(value: float, shown: float, unit: str, read: Callable[[str], float]) -> str:
    """A figure of a few digits where that reads back as the value, "" where not."""
    text = f"{number(round(shown, _DIGITS))} {unit}"
    return text if read(text) == value else ""


def _temperature(value_c: float) -> str:
    return _tidy(value_c, fahrenheit(value_c), "F", read_temperature) or f"{number(value_c)} C"


def _percent(share: float) -> str:
    return _tidy(share, share * _HUNDRED, "%", read_percent) or f"{number(share * _HUNDRED)} %"


def _wind(speed_m_s: float) -> str:
    return _tidy(speed_m_s, speed_m_s / _MPH_M_S, "mph", read_speed) or f"{number(speed_m_s)} m/s"


def _spread(m2_per_min: float) -> str:
    tidy = _tidy(m2_per_min, m2_per_min / SQFT_M2, "sq ft/min", read_spread)
    return tidy or f"{number(m2_per_min)} m2/min"

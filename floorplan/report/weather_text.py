"""Go or no-go for people: reading, dew point, reasons, and the usable hours of a forecast."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from ..units.figures import Figures, percent
from ..work.dew import SpreadRule
from ..work.temperature import RULE_WORDS
from ..work.weather import COMES_DUE, Level, windows
from .columns import aligned

if TYPE_CHECKING:
    from ..plan.model_work import Weather
    from ..work.plan import CoatWeather
    from ..work.weather import Hour, Verdict


def weather_text(now: Weather | None, rows: Sequence[CoatWeather], figures: Figures) -> str:
    """The reading and the forecast held against every coat."""
    lines: list[str] = []
    if now is not None and rows and rows[0].now is not None:
        lines += _reading(now, rows[0].now, figures)
    for row in rows:
        lines += ["", row.layer, *_coat(row, figures)]
    lines += ["", f"Always: {COMES_DUE}.", f"Pot life and recoat: {RULE_WORDS}."]
    return "\n".join(lines).lstrip("\n") + "\n"


def _reading(now: Weather, verdict: Verdict, figures: Figures) -> list[str]:
    slab = "not measured, taken as the air" if now.surface_c is None else figures.temperature(now.surface_c)
    rule = SpreadRule.FAHRENHEIT_5 if figures.is_us else SpreadRule.CELSIUS_3
    spread = verdict.spread_c * (1.8 if figures.is_us else 1.0)
    unit = "°F" if figures.is_us else "°C"
    rows = [
        ("air", figures.temperature(now.air_c), f"humidity {percent(now.humidity)}"),
        ("slab", slab, ""),
        (
            "dew point",
            figures.temperature(verdict.dew_c),
            f"the slab must be {rule.words} above it",
        ),
        ("spread", f"{spread:.1f} {unit}", ""),
    ]
    return ["Reading", *aligned(rows, "lrl")]


def _coat(row: CoatWeather, figures: Figures) -> list[str]:
    lines = []
    if row.now is not None:
        lines += [f"  now: {verdict_words(row.now)}", *_reasons(row.now)]
        if row.now.pail_min is not None:
            lines.append(f"    pail about {row.now.pail_min:.0f} min at this temperature")
    if row.hours:
        usable = windows(row.hours)
        if usable:
            spans = [
                f"{_time(window.start)} to {_hour(window.end)} ({window.hours:.0f} h)" for window in usable
            ]
            lines += ["  usable, first and last hour to be down:", *(f"    {span}" for span in spans)]
        else:
            lines.append("  no usable hour in the forecast")
        lines += _why_not(row.hours)
    return lines


def verdict_words(verdict: Verdict) -> str:
    """`GO`, `GO, with care`, or `NO-GO`."""
    if not verdict.go:
        return "NO-GO"
    return "GO, with care" if verdict.reasons else "GO"


def _reasons(verdict: Verdict) -> list[str]:
    return [
        f"    {'no: ' if reason.level is Level.STOP else 'care: '}{reason.text}" for reason in verdict.reasons
    ]


def _why_not(hours: Sequence[Hour]) -> list[str]:
    """Each reason once, with the hours that it shuts; cautions only for hours that are not shut."""
    found: dict[tuple[Level, str], list[datetime]] = {}
    texts: dict[tuple[Level, str], str] = {}
    for hour in hours:
        level = Level.CARE if hour.verdict.go else Level.STOP
        for reason in hour.verdict.reasons:
            if reason.level is level and hour.weather.at is not None:
                found.setdefault((level, reason.code), []).append(hour.weather.at)
                texts.setdefault((level, reason.code), reason.text)
    words = {Level.STOP: "not", Level.CARE: "care"}
    return [
        f"    {words[level]} {_time(times[0])}{_more(len(times) - 1)}: {texts[level, code]}"
        for (level, code), times in sorted(found.items(), key=lambda row: row[0][0] is Level.CARE)
    ]


def _more(count: int) -> str:
    return f" and {count} more" if count else ""


def _time(at: datetime) -> str:
    return f"{at:%a %Y-%m-%d %H:%M}"


def _hour(at: datetime) -> str:
    return f"{at:%H:%M}"

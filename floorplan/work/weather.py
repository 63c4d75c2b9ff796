"""Go or no-go: a reading held against the limits of a coat, each reason in words.

Limits are typical (common practice, no source); the data sheet of the product in the truck governs.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Final

from ..plan.model_work import Weather
from ..system.model import Times
from ..units.factors import HOUR_S, MILE_M, celsius
from ..units.figures import Figures, percent
from ..values import dataclass, replace
from .batches import Batch
from .dew import COLDEST_C, HOTTEST_C, SpreadRule, dew
from .temperature import at_temperature, factor

LOW_C: Final = celsius(50.0)
HIGH_C: Final = celsius(90.0)
BEST_LOW_C: Final = celsius(60.0)
BEST_HIGH_C: Final = celsius(80.0)
MOST_HUMID: Final = 0.85
MOST_WIND_M_S: Final = 15.0 * MILE_M / HOUR_S
"""Wind for throwing flake."""
RAIN_CHANCE: Final = 0.30
"""A chance of rain from here on counts as rain."""
DRY_AFTER_BROADCAST_H: Final = 8.0
DRY_AFTER_COAT_H: Final = 12.0
"""Hours without rain after a primer and after a topcoat."""
DRY_H: Final = 6.0
"""Hours until a coat is dry to touch where its product does not say: typical, common practice, no source."""
STANDS_FOR: Final = timedelta(hours=3)
"""As long as a row of a forecast may stand for: forecasts come by the hour or by three hours."""
STEADY_C: Final = 0.5
"""A slab that warms by less in an hour counts as steady."""
COMES_DUE: Final = (
    "slab dry for 24 h after rain or washing; sprinklers off for 48 h; nothing coated in direct sun: wait for"
    " a slab that is cooling, since rising heat pushes air out as bubbles"
)


class Level(StrEnum):
    """How much a reason weighs."""

    STOP = "no-go"
    CARE = "care"


@dataclass(frozen=True, slots=True)
class Reason:
    """Why not, or what to look after."""

    level: Level
    code: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """A reading judged for one coat.

    Attributes:
        dew_c: dew point; spread_c: surface less dew point.
        surface_taken: no slab temperature was given and the air's was taken.
        pail_min: life of a mixed pail at this temperature by the rule of thumb; None where it has none.
        recoat_h: earliest next coat by the same rule.
        dry_h: until it is dry to touch, by the same rule; typical where the product does not state it.
    """

    reasons: tuple[Reason, ...]
    dew_c: float
    spread_c: float
    surface_taken: bool
    pail_min: float | None = None
    recoat_h: float | None = None
    dry_h: float | None = None

    @property
    def go(self) -> bool:
        """True where nothing says no."""
        return all(reason.level is not Level.STOP for reason in self.reasons)


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """Hours in which a coat may be put down, first and last row included."""

    start: datetime
    end: datetime

    @property
    def hours(self) -> float:
        """Length; a single row is an hour."""
        return (self.end - self.start).total_seconds() / HOUR_S + 1.0


def judge(weather: Weather, figures: Figures, batch: Batch | None = None) -> Verdict:
    """A reading against the limits: temperature, humidity, dew point, wind for a broadcast, rain.

    Args:
        weather: the reading; without a slab temperature the air's is taken, and that is said.
        figures: of the plan; its units choose the dew point rule.
        batch: of the coat; its times are taken to the temperature of the slab. None judges the weather alone.
    """
    surface = weather.air_c if weather.surface_c is None else weather.surface_c
    rule = SpreadRule.FAHRENHEIT_5 if figures.is_us else SpreadRule.CELSIUS_3
    air = min(max(weather.air_c, COLDEST_C), HOTTEST_C)
    found = dew(air, weather.humidity, surface, rule)
    times = Times() if batch is None else at_temperature(batch.coat.times, surface)
    reasons = [
        *_temperatures("air", weather.air_c, figures),
        *(_temperatures("slab", surface, figures) if weather.surface_c is not None else ()),
        *_damp(weather, found.spread_c, found.dry, rule, figures),
        *_sky(weather, batch, figures),
    ]
    return Verdict(
        reasons=tuple(reasons),
        dew_c=found.point_c,
        spread_c=found.spread_c,
        surface_taken=weather.surface_c is None,
        pail_min=times.pail_min,
        recoat_h=times.recoat_min_h,
        dry_h=_dry_h(batch, surface),
    )


def _dry_h(batch: Batch | None, surface_c: float) -> float | None:
    if batch is None:
        return None
    stated = batch.coat.times
    hours = stated.dry_h if stated.dry_h is not None else min(DRY_H, stated.recoat_min_h or DRY_H)
    return hours * factor(stated.at_c, surface_c)


def _temperatures(what: str, value_c: float, figures: Figures) -> list[Reason]:
    shown = figures.temperature(value_c)
    low, high = figures.temperature(LOW_C), figures.temperature(HIGH_C)
    if not LOW_C - 1e-9 <= value_c <= HIGH_C + 1e-9:
        side = "cold" if value_c < LOW_C else "hot"
        text = f"{what} {shown} is too {side}: {low} to {high} is usual"
        return [Reason(Level.STOP, f"{what}-{side}", text)]
    if not BEST_LOW_C <= value_c <= BEST_HIGH_C:
        best = f"{figures.temperature(BEST_LOW_C)} to {figures.temperature(BEST_HIGH_C)}"
        return [Reason(Level.CARE, f"{what}-off-best", f"{what} {shown}: {best} is better")]
    return []


def _damp(weather: Weather, spread_c: float, dry: bool, rule: SpreadRule, figures: Figures) -> list[Reason]:
    found = []
    if weather.humidity > MOST_HUMID:
        text = f"humidity {percent(weather.humidity)} is above {percent(MOST_HUMID)}"
        found.append(Reason(Level.STOP, "humid", text))
    if not dry:
        spread = _degrees(spread_c, figures)
        text = f"the slab is {spread} above the dew point; {rule.words} is the least"
        found.append(Reason(Level.STOP, "dew", text))
    return found


def _degrees(difference_c: float, figures: Figures) -> str:
    if figures.is_us:
        return f"{difference_c * 1.8:.1f} °F"
    return f"{difference_c:.1f} °C"


def _sky(weather: Weather, batch: Batch | None, figures: Figures) -> list[Reason]:
    found = []
    throws = batch is not None and batch.broadcast is not None
    if throws and weather.wind_m_s is not None and weather.wind_m_s >= MOST_WIND_M_S - 1e-9:
        text = f"wind {figures.speed(weather.wind_m_s)}: flake is thrown below {figures.speed(MOST_WIND_M_S)}"
        found.append(Reason(Level.STOP, "wind", text))
    if weather.rain_chance is not None and weather.rain_chance >= RAIN_CHANCE:
        text = "rain" if weather.rain_chance >= 1.0 else f"rain likely ({percent(weather.rain_chance)})"
        found.append(Reason(Level.STOP, "rain", text))
    return found


def dry_hours(batch: Batch) -> float:
    """Hours without rain that a coat needs after it is down."""
    return DRY_AFTER_BROADCAST_H if batch.broadcast is not None else DRY_AFTER_COAT_H


@dataclass(frozen=True, slots=True)
class Hour:
    """A row of the forecast judged for one coat, with what the hours after it bring."""

    weather: Weather
    verdict: Verdict


def judge_hours(rows: Sequence[Weather], batch: Batch, figures: Figures) -> tuple[Hour, ...]:
    """Every row of a forecast, rain and dew while the coat dries held against the hour it is put down."""
    own = [judge(row, figures, batch) for row in rows]
    found = []
    for k, (row, verdict) in enumerate(zip(rows, own, strict=True)):
        ahead = [
            *_rain_ahead(rows, k, batch),
            *_dew_ahead(rows, own, k),
            *_unseen(rows, k, batch),
            *_warming(rows, k),
        ]
        reasons = (*verdict.reasons, *ahead)
        found.append(Hour(row, replace(verdict, reasons=reasons)))
    return tuple(found)


def _rain_ahead(rows: Sequence[Weather], k: int, batch: Batch) -> list[Reason]:
    need = dry_hours(batch)
    for row in rows[k + 1 :]:
        hours = _between(rows[k], row)
        if hours > need:
            break
        if row.rain_chance is not None and row.rain_chance >= RAIN_CHANCE:
            text = f"rain {hours:.0f} h later; {need:.0f} h without rain are needed"
            return [Reason(Level.STOP, "rain-ahead", text)]
    return []


def _dew_ahead(rows: Sequence[Weather], own: Sequence[Verdict], k: int) -> list[Reason]:
    """Dew on a coat that is not yet dry to touch."""
    need = own[k].dry_h
    for row, verdict in zip(rows[k + 1 :], own[k + 1 :], strict=True):
        hours = _between(rows[k], row)
        if need is None or hours > need:
            break
        if any(reason.code == "dew" for reason in verdict.reasons):
            text = f"dew {hours:.0f} h later, before the coat is dry to touch"
            return [Reason(Level.STOP, "dew-ahead", text)]
    return []


def _unseen(rows: Sequence[Weather], k: int, batch: Batch) -> list[Reason]:
    """Said where the forecast ends before the hours that must stay dry."""
    if _between(rows[k], rows[-1]) + 1.0 > dry_hours(batch):
        return []
    text = f"the forecast ends before the {dry_hours(batch):.0f} h without rain are over"
    return [Reason(Level.CARE, "forecast-short", text)]


def _warming(rows: Sequence[Weather], k: int) -> list[Reason]:
    if k + 1 >= len(rows):
        return []
    now, then = (r.surface_c if r.surface_c is not None else r.air_c for r in rows[k : k + 2])
    if then - now <= STEADY_C:
        return []
    return [Reason(Level.CARE, "warming", "the slab is warming: rising heat pushes air out as bubbles")]


def _between(first: Weather, second: Weather) -> float:
    if first.at is None or second.at is None:
        return 0.0
    return (second.at - first.at).total_seconds() / HOUR_S


def hours_between(hours: Sequence[Hour], begin: datetime, end: datetime) -> tuple[Hour, ...]:
    """The rows that tell of a stretch of time: those in it, and the last one before it.

    A row speaks for the hours until the next, three at most, as forecasts come; none for what lies beyond.
    """
    timed = [hour for hour in hours if hour.weather.at is not None]
    found = []
    for k, hour in enumerate(timed):
        at = hour.weather.at
        following = timed[k + 1].weather.at if k + 1 < len(timed) else None
        if at is None:
            continue
        until = min(following or at + STANDS_FOR, at + STANDS_FOR)
        if at < end and until > begin:
            found.append(hour)
    return tuple(found)


def windows(hours: Sequence[Hour]) -> tuple[Window, ...]:
    """Runs of hours that are all go; a gap of more than an hour in the forecast ends a run."""
    found: list[Window] = []
    for hour in hours:
        at = hour.weather.at
        if at is None or not hour.verdict.go:
            continue
        if found and at - found[-1].end <= timedelta(hours=1) and _next(hours, found[-1].end, at):
            found[-1] = Window(start=found[-1].start, end=at)
        else:
            found.append(Window(start=at, end=at))
    return tuple(found)


def _next(hours: Sequence[Hour], before: datetime, at: datetime) -> bool:
    """True when no row that is not go lies between two times."""
    return not any(
        hour.weather.at is not None and before < hour.weather.at < at and not hour.verdict.go
        for hour in hours
    )

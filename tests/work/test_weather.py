"""Go or no-go on both sides of every limit, and the usable hours of a forecast."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from floorplan.plan.model_work import Weather
from floorplan.system.reader import load_system
from floorplan.units.factors import HOUR_S, MILE_M, celsius
from floorplan.units.figures import Figures
from floorplan.units.length import UnitStyle
from floorplan.work.batches import batches, spread_rate_m2_per_min
from floorplan.work.dew import dew_point_c
from floorplan.work.weather import (
    Level,
    Verdict,
    dry_hours,
    hours_between,
    judge,
    judge_hours,
    windows,
)

US, METRIC = Figures(UnitStyle.FT_IN), Figures(UnitStyle.M)
PRIMER, TOPCOAT = batches(load_system("outdoor-full-flake"), rate_m2_per_min=spread_rate_m2_per_min(3))[:2]
NOON = datetime(2027, 5, 4, 12)
MPH = MILE_M / HOUR_S


def fine(**changes: float | None) -> Weather:
    """A good reading, changed in one point."""
    given = {"air_c": 21.0, "humidity": 0.5, "surface_c": 21.0, "wind_m_s": 1.0, "rain_chance": 0.0}
    return Weather(**(given | changes))


def codes(verdict: Verdict, level: Level = Level.STOP) -> list[str]:
    """Reasons of one weight."""
    return [reason.code for reason in verdict.reasons if reason.level is level]


def test_good_weather_is_go() -> None:
    """Nothing to say on a fine day."""
    verdict = judge(fine(), US, PRIMER)
    assert verdict.go
    assert verdict.reasons == ()


@pytest.mark.parametrize(
    ("changes", "bad", "code"),
    [
        ({"air_c": celsius(50)}, {"air_c": celsius(49.9)}, "air-cold"),
        ({"air_c": celsius(90)}, {"air_c": celsius(90.1)}, "air-hot"),
        ({"surface_c": celsius(90)}, {"surface_c": celsius(90.1)}, "slab-hot"),
        ({"humidity": 0.85, "surface_c": 30.0}, {"humidity": 0.86, "surface_c": 30.0}, "humid"),
        ({"wind_m_s": 14.9 * MPH}, {"wind_m_s": 15 * MPH}, "wind"),
        ({"rain_chance": 0.29}, {"rain_chance": 0.30}, "rain"),
    ],
)
def test_each_limit_on_both_sides(changes: dict, bad: dict, code: str) -> None:
    """The limits of the trade brief (6.3, common practice, no source): go at the limit, no-go past it."""
    assert code not in codes(judge(fine(**changes), US, PRIMER))
    assert code in codes(judge(fine(**bad), US, PRIMER))


def test_dew_rule_goes_by_the_plans_units() -> None:
    """5.2 °F above the dew point passes in US units (5 °F) and not in metric ones (3 °C)."""
    reading = fine(surface_c=dew_point_c(21.0, 0.5) + 5.2 / 1.8)
    assert "dew" not in codes(judge(reading, US, PRIMER))
    verdict = judge(reading, METRIC, PRIMER)
    assert "dew" in codes(verdict)
    assert any("3 °C is the least" in reason.text for reason in verdict.reasons)


def test_wind_does_not_stop_a_coat_that_nothing_is_thrown_into() -> None:
    """Wind is judged where flake is thrown."""
    assert judge(fine(wind_m_s=10.0), US, TOPCOAT).go
    assert not judge(fine(wind_m_s=10.0), US, PRIMER).go


def test_slab_that_was_not_measured_is_taken_as_the_air() -> None:
    """Without a slab temperature the air's is taken, and the verdict says so."""
    verdict = judge(fine(surface_c=None), US, PRIMER)
    assert verdict.surface_taken
    assert verdict.spread_c == pytest.approx(21.0 - verdict.dew_c)


def test_pot_life_follows_the_slab() -> None:
    """30 min at 75 °F is 17 min at 90 °F (table of the trade brief, 6.3)."""
    assert judge(fine(surface_c=celsius(90)), US, PRIMER).pail_min == pytest.approx(17, abs=0.5)


def day(**by_hour: dict[str, float]) -> list[Weather]:
    """Thirty fine hours from noon, some of them changed: h3={"rain_chance": 1.0}."""
    rows = []
    for k in range(30):
        given = {"air_c": 21.0, "humidity": 0.5, "surface_c": 21.0, "wind_m_s": 1.0, "rain_chance": 0.0}
        given |= by_hour.get(f"h{k}", {})
        rows.append(Weather(**given, at=NOON + timedelta(hours=k)))
    return rows


def test_rain_shuts_the_hours_before_it() -> None:
    """Eight dry hours after the primer, twelve after a topcoat: rain at hour 20 shuts those before."""
    rows = day(h20={"rain_chance": 1.0})
    for batch, dry in ((PRIMER, 8), (TOPCOAT, 12)):
        assert dry_hours(batch) == dry
        shut = [k for k, hour in enumerate(judge_hours(rows, batch, US)) if not hour.verdict.go]
        assert shut == list(range(20 - dry, 21))


def test_dew_in_the_evening_shuts_the_afternoon() -> None:
    """Dew before the primer is dry to touch (6.5 h at 75 °F, 7.9 at 70) shuts the hours before it."""
    rows = day(h10={"humidity": 0.85, "surface_c": 20.0})
    hours = judge_hours(rows, PRIMER, US)
    shut = [k for k, hour in enumerate(hours) if "dew-ahead" in codes(hour.verdict)]
    assert shut == list(range(3, 10))
    assert "dew" in codes(hours[10].verdict)


def test_dew_counts_until_a_coat_is_dry_and_not_until_its_recoat() -> None:
    """A topcoat states no dry time: 6 h at 75 °F, 7.1 h at 70 °F, not the 18 h until the next coat."""
    rows = day(h20={"humidity": 0.85, "surface_c": 20.0})
    hours = judge_hours(rows, TOPCOAT, US)
    shut = [k for k, hour in enumerate(hours) if "dew-ahead" in codes(hour.verdict)]
    assert shut == list(range(13, 20))
    assert hours[0].verdict.dry_h == pytest.approx(6.0 * 2 ** ((celsius(75) - 21.0) / 10))


def test_warming_slab_is_a_caution() -> None:
    """A slab that gets warmer by the hour is said, and does not forbid."""
    rows = day(h1={"surface_c": 24.0})
    first = judge_hours(rows, PRIMER, US)[0]
    assert first.verdict.go
    assert codes(first.verdict, Level.CARE) == ["warming"]


def test_forecast_that_ends_too_early_is_said() -> None:
    """The last hours of a forecast cannot show that it stays dry."""
    hours = judge_hours(day(), PRIMER, US)
    unseen = [k for k, hour in enumerate(hours) if "forecast-short" in codes(hour.verdict, Level.CARE)]
    assert unseen == list(range(22, 30))


def test_windows_are_runs_of_usable_hours() -> None:
    """Wind at hours 5 and 6 parts the day in two windows; a gap in the forecast parts them as well."""
    rows = day(h5={"wind_m_s": 9.0}, h6={"wind_m_s": 9.0})
    found = windows(judge_hours(rows, PRIMER, US))
    assert [(w.start - NOON, w.hours) for w in found] == [(timedelta(), 5.0), (timedelta(hours=7), 23.0)]
    gap = [row for k, row in enumerate(day()) if k not in (2, 3)]
    assert len(windows(judge_hours(gap, PRIMER, US))) == 2


def test_no_usable_hour() -> None:
    """A wet day has no window."""
    rows = day(**{f"h{k}": {"rain_chance": 1.0} for k in range(30)})
    assert windows(judge_hours(rows, PRIMER, US)) == ()


@pytest.mark.parametrize(
    ("begin", "end", "told"),
    [(13, 14, [12]), (14, 16, [12, 15]), (15, 16, [15]), (8, 12, [9]), (20, 21, []), (5, 6, [])],
)
def test_rows_that_tell_of_a_stretch(begin: int, end: int, told: list[int]) -> None:
    """Rows at 9, 12 and 15 h: each speaks until the next, the last for three hours, to 18 h."""
    rows = [replace(fine(), at=NOON.replace(hour=hour)) for hour in (9, 12, 15)]
    hours = judge_hours(rows, PRIMER, US)
    found = hours_between(hours, NOON.replace(hour=begin), NOON.replace(hour=end))
    assert [hour.weather.at.hour for hour in found] == told

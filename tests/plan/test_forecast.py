"""Forecasts, typed and from CSV, and the readers of time, humidity, hours and rates."""

from __future__ import annotations

from datetime import date, datetime, time
from pathlib import Path

import pytest

from floorplan.errors import DataFileError, PlanError
from floorplan.files.cells import Faults
from floorplan.plan.forecast import csv_forecast, load_forecast, read_humidity, read_time
from floorplan.plan.reader import read_plan
from floorplan.plan.table_work import read_hours, read_spread
from floorplan.plan.working_days import read_weekdays, weekdays_text
from floorplan.units.factors import HOUR_S, MILE_M, SQFT_M2, celsius
from floorplan.units.notation import Unreadable

CSV = """\
time,air (F),humidity,surface (F),wind (mph),rain (%),sky
2027-05-04 13:00,72,65 %,75,8,20,blue
2027-05-04 12:00,70 F,60 %,,5,,blue
"""
SLAB = '[[slab]]\noutline = """\nA 0,0\nB 9,0\nC 9,9\n"""\n'


def test_csv_takes_units_from_the_head_or_the_cell() -> None:
    """Rows come in the order of time; unknown columns are passed over, empty cells are not known."""
    faults = Faults()
    first, second = csv_forecast(CSV, "week.csv", faults)
    assert len(faults) == 0
    assert (first.at, second.at) == (datetime(2027, 5, 4, 12), datetime(2027, 5, 4, 13))
    assert first.air_c == pytest.approx(celsius(70))
    assert (first.surface_c, first.rain_chance) == (None, None)
    assert second.surface_c == pytest.approx(celsius(75))
    assert second.wind_m_s == pytest.approx(8 * MILE_M / HOUR_S)
    assert (second.humidity, second.rain_chance) == (0.65, pytest.approx(0.2))


@pytest.mark.parametrize(
    ("text", "code", "line"),
    [
        ("", "forecast-empty", None),
        ("time,air (F)\n", "forecast-head", 1),
        (CSV.replace("72", "hot"), None, 2),
        (CSV.replace("2027-05-04 13:00", ""), "forecast-time", 2),
        (CSV.replace("65 %", ""), "forecast-short", 2),
        (CSV.replace("65 %", "0.65"), None, 2),
        (CSV.replace("13:00", "12:00"), "forecast-twice", None),
        (CSV.replace("2027-05-04 13:00", "yesterday"), "time-unreadable", 2),
    ],
)
def test_csv_faults_name_the_row(text: str, code: str | None, line: int | None) -> None:
    """What is wrong with a forecast file is said with its line."""
    faults = Faults()
    csv_forecast(text, "week.csv", faults)
    assert len(faults) == 1
    (fault,) = faults.found
    assert code is None or fault.code == code
    assert line is None or (fault.place is not None and fault.place.line == line)


def test_forecast_file_that_is_not_there(tmp_path: Path) -> None:
    """A missing file ends in words."""
    with pytest.raises(DataFileError):
        load_forecast(tmp_path / "none.csv")


def test_forecast_file_with_faults(tmp_path: Path) -> None:
    """All faults of a file come together."""
    path = tmp_path / "week.csv"
    path.write_text("time,air,humidity\nnow,72,65\nlater,x,y\n")
    with pytest.raises(DataFileError) as caught:
        load_forecast(path)
    assert len(caught.value.faults) == 6


def test_plan_reads_its_work_and_weather(tmp_path: Path) -> None:
    """Every key of [work] and [conditions], the forecast typed and from a file beside the plan."""
    (tmp_path / "week.csv").write_text(CSV)
    text = f"""{SLAB}
[work]
start = "2027-05-04 07:15"
crew = 4
hours = "7:00 to 15:30"
days = "Mon-Thu, sat"
off = ["2027-05-31", "2027-05-06"]
temperature = "30 C"
spread = "2 m2 per min"
[conditions]
air = "72 F"
surface = "70 F"
humidity = "65 %"
wind = "8 mph"
file = "week.csv"
forecast = \"\"\"
2027-05-05 13:00 | 72 F | 65 % | rain 20 %   # after the front
2027-05-05 12:00 | 20 C | 70 % | surface 18 C | wind 10 km/h
\"\"\"
"""
    plan = read_plan(text, "patio.toml", tmp_path)
    work = plan.work
    assert (work.start, work.crew) == (datetime(2027, 5, 4, 7, 15), 4)
    assert (work.begins, work.ends) == (time(7), time(15, 30))
    assert work.days == (0, 1, 2, 3, 5)
    assert work.off == (date(2027, 5, 6), date(2027, 5, 31))
    assert (work.temperature_c, work.spread_m2_per_min) == (30.0, 2.0)
    now = plan.conditions.now
    assert now is not None
    assert (now.humidity, now.at) == (0.65, None)
    assert now.surface_c == pytest.approx(celsius(70))
    typed = [row for row in plan.conditions.forecast if row.at and row.at.day == 5]
    assert [row.at.hour for row in typed if row.at] == [12, 13]
    assert (typed[0].surface_c, typed[1].rain_chance) == (18.0, pytest.approx(0.2))
    assert len(plan.conditions.forecast) == 4


@pytest.mark.parametrize(
    "text", ["2027-05-04 07:30", "2027-05-04T07:30", " 2027-05-04 07:30:00 ", "2027-05-04 7:30"]
)
def test_times_that_are_read(text: str) -> None:
    """A date and a time of day."""
    assert read_time(text) == datetime(2027, 5, 4, 7, 30)


@pytest.mark.parametrize(
    "text",
    ["", "2027-05-04", "07:30", "7:30", "2027-13-04 07:30", "2027-05-04 7:3", "2027-05-04 07:30+02:00"],
)
def test_times_that_are_not(text: str) -> None:
    """A date alone, a zone or a word is asked about."""
    with pytest.raises(Unreadable) as caught:
        read_time(text)
    assert caught.value.code == "time-unreadable"


@pytest.mark.parametrize(("text", "value"), [("65 %", 0.65), ("100%", 1.0), ("1 percent", 0.01)])
def test_humidity_is_a_share(text: str, value: float) -> None:
    """Percent of saturation."""
    assert read_humidity(text) == pytest.approx(value)


@pytest.mark.parametrize("text", ["0 %", "101 %", "65"])
def test_humidity_that_cannot_be(text: str) -> None:
    """Nothing, more than all, or a bare number."""
    with pytest.raises(Unreadable):
        read_humidity(text)


@pytest.mark.parametrize("text", ["", "7", "16:00 - 08:00", "25:00 - 26:00", "7:00"])
def test_hours_that_are_not(text: str) -> None:
    """Working hours have a begin before an end."""
    with pytest.raises(Unreadable) as caught:
        read_hours(text)
    assert caught.value.code == "hours-unreadable"


@pytest.mark.parametrize(
    ("text", "sqft"), [("25 sq ft/min", 25), ("1500 sq ft per hour", 25), ("25 sf a minute", 25)]
)
def test_spread_rates(text: str, sqft: float) -> None:
    """Floor a minute, by any unit of area and time."""
    assert read_spread(text) == pytest.approx(sqft * SQFT_M2)


@pytest.mark.parametrize("text", ["", "25", "25 sq ft", "0 sq ft/min", "ft/min", "25 sq ft/mile"])
def test_spread_rates_that_are_not(text: str) -> None:
    """A rate needs an area and a time."""
    with pytest.raises(Unreadable):
        read_spread(text)


@pytest.mark.parametrize(
    ("text", "days"),
    [
        ("mon-fri", "01234"),
        ("Tuesday, thurs", "13"),
        ("fri-mon", "0456"),
        ("wed", "2"),
        ("Mon to Sun", "0123456"),
    ],
)
def test_working_days_as_people_write_them(text: str, days: str) -> None:
    """One day, several, or from one to another, over Sunday too; written again they read the same."""
    found = read_weekdays(text)
    assert found == tuple(int(k) for k in days)
    assert read_weekdays(weekdays_text(found)) == found


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ('days = "weekdays"', "weekdays-unreadable"), ('days = "mon-wed-fri"', "weekdays-unreadable"),
        ('days = ""', "weekdays-unreadable"), ('days = "m-f"', "weekdays-unreadable"),
        ('off = ["7/5/2027"]', "date-unreadable"),
    ],
)  # fmt: skip
def test_working_days_that_cannot_be_read(line: str, code: str) -> None:
    """A word that is no day of the week, and a date in no standard order, are told with what to write."""
    with pytest.raises(PlanError) as refused:
        read_plan(f"{SLAB}\n[work]\n{line}\n", "patio.toml")
    fault = refused.value.faults[0]
    assert fault.code == code
    assert "write " in fault.hint

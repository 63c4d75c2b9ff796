"""`floorplan work` and `floorplan conditions`: streams, exit codes, files."""

from __future__ import annotations

import json
from pathlib import Path

import icalendar
from command_runs import GARAGE, PATIO, POOL, run

START = "2027-05-04 07:30"
WEEK = "time,air (F),humidity (%)\n" + "".join(f"2027-05-04 {h:02d}:00,72,55\n" for h in range(6, 24))


def test_work_prints_zones_and_days() -> None:
    """The text goes to stdout, warnings to stderr."""
    result = run("work", PATIO, "--start", START)
    assert result.exit_code == 0
    assert "Day 1: Tue 2027-05-04 07:30" in result.stdout
    assert "warning:" in result.stderr


def test_work_json_is_one_document() -> None:
    """Nothing but the document stands on stdout."""
    result = run("work", POOL, "--json")
    assert result.exit_code == 0
    document = json.loads(result.stdout)
    assert document["made_by"] == "floorplan"
    assert {zone["layer"] for zone in document["zones"]} == {"primer", "topcoat 1", "topcoat 2"}


def test_work_takes_crew_and_temperature() -> None:
    """A hot day and a small crew make more zones."""
    few, many = (
        len(json.loads(run("work", PATIO, "--json", *more).stdout)["zones"])
        for more in ((), ("--crew", "1", "--temperature", "90 F"))
    )
    assert many > few


def test_calendar_is_written(tmp_path: Path) -> None:
    """The calendar is a file that a library reads, and it is written again over itself."""
    path = tmp_path / "patio.ics"
    for _ in range(2):
        result = run("work", PATIO, "--start", START, "--calendar", str(path))
        assert result.exit_code == 0
        assert f"wrote {path}" in result.stderr
    assert list(icalendar.Calendar.from_ical(path.read_bytes()).walk("VEVENT"))


def test_calendar_needs_a_date_and_a_name(tmp_path: Path) -> None:
    """Without a start, or with another suffix, it is wrong usage and nothing is written."""
    assert run("work", PATIO, "--calendar", str(tmp_path / "a.ics")).exit_code == 2
    wrong = run("work", PATIO, "--start", START, "--calendar", str(tmp_path / "a.txt"))
    assert wrong.exit_code == 2
    assert "end the name in .ics" in wrong.stderr
    assert list(tmp_path.iterdir()) == []


def test_option_that_cannot_be_read_is_wrong_usage() -> None:
    """The message says what would be right."""
    result = run("work", PATIO, "--start", "tomorrow")
    assert result.exit_code == 2
    assert "write it like 2027-05-04 07:30" in result.stderr
    assert run("work", PATIO, "--temperature", "90").exit_code == 2


def test_strict_refuses_the_warnings_of_the_work_plan() -> None:
    """Under --strict a warning is a fault."""
    result = run("work", POOL, "--strict")
    assert result.exit_code == 1
    assert result.stdout == ""


def test_conditions_from_options() -> None:
    """A reading alone needs no plan."""
    result = run("conditions", "--air", "85 F", "--humidity", "70 %", "--surface", "77 F")
    assert result.exit_code == 0
    assert "NO-GO" in result.stdout
    assert "5 °F is the least" in result.stdout
    metric = run("conditions", "--metric", "--air", "20 C", "--humidity", "50 %", "--system", "clear-seal")
    assert "now: GO" in metric.stdout


def test_conditions_with_a_forecast(tmp_path: Path) -> None:
    """Hours of a CSV file become windows, in text and in JSON."""
    path = tmp_path / "week.csv"
    path.write_text(WEEK)
    text = run("conditions", GARAGE, "--forecast", str(path))
    assert text.exit_code == 0
    assert "usable" in text.stdout
    document = json.loads(run("conditions", GARAGE, "--forecast", str(path), "--json").stdout)
    assert document["coats"][0]["windows"][0]["start"] == "2027-05-04T06:00"


def test_conditions_with_a_bad_forecast(tmp_path: Path) -> None:
    """Faults of the file are told with their line."""
    path = tmp_path / "week.csv"
    path.write_text(WEEK.replace("72,55", "hot,55", 1))
    result = run("conditions", "--forecast", str(path))
    assert result.exit_code == 1
    assert "week.csv:2" in result.stderr


def test_conditions_need_something_to_judge() -> None:
    """Neither a reading nor a forecast, or half a reading, is wrong usage."""
    assert run("conditions").exit_code == 2
    assert run("conditions", PATIO).exit_code == 2
    assert run("conditions", "--air", "70 F").exit_code == 2


def test_conditions_with_an_unknown_system() -> None:
    """An unknown system is a fault with the nearest name."""
    result = run("conditions", "--air", "70 F", "--humidity", "50 %", "--system", "clear-seel")
    assert result.exit_code == 1
    assert "clear-seal" in result.stderr


def test_day_cards_are_drawn(tmp_path: Path) -> None:
    """A card for each day."""
    result = run("draw", GARAGE, "--sheet", "day", "-o", str(tmp_path / "day.svg"))
    assert result.exit_code == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["day-2.svg", "day.svg"]

"""The calendar parsed back by a library, and the rules of RFC 5545 that it must keep."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import icalendar
import pytest
from estimates import estimate

import floorplan
from floorplan.plan.model_work import WorkSettings
from floorplan.report.calendar_file import calendar_text, escaped, folded
from floorplan.work.plan import WorkPlan

START = datetime(2027, 5, 4, 7, 30)


def planned(title: str = "Terrasse hinten; Südseite, am Bach") -> WorkPlan:
    """The worked patio under another name."""
    takeoff = estimate("patio")
    plan = replace(takeoff.plan, title=title, site="Lot 7, Quarry Row")
    return floorplan.schedule(plan, settings=WorkSettings(start=START))


def test_calendar_is_read_back_by_a_library() -> None:
    """Every event has its own id, begins before it ends, and keeps title and place through escaping."""
    work = planned()
    calendar = icalendar.Calendar.from_ical(calendar_text(work))
    events = list(calendar.walk("VEVENT"))
    assert not calendar.errors
    assert all(not event.errors for event in events)
    assert calendar["VERSION"] == "2.0"
    assert len({event["UID"] for event in events}) == len(events)
    assert events[0]["SUMMARY"] == "Terrasse hinten; Südseite, am Bach: day 1"
    assert events[0]["LOCATION"] == "Lot 7, Quarry Row"
    assert events[0].decoded("DTSTART") == START
    assert all(event.decoded("DTSTART") < event.decoded("DTEND") for event in events)
    assert all(event.decoded("DTSTAMP").replace(tzinfo=None) == START for event in events)


def test_calendar_holds_days_coats_windows_and_use() -> None:
    """Three days, three coats, the window of topcoat 2, and foot, furniture and vehicles."""
    work = planned("Patio")
    titles = [
        str(event["SUMMARY"]) for event in icalendar.Calendar.from_ical(calendar_text(work)).walk("VEVENT")
    ]
    assert [title for title in titles if ": day" in title] == [f"Patio: day {k}" for k in (1, 2, 3)]
    assert {"Patio: primer", "Patio: topcoat 1", "Patio: topcoat 2"} <= set(titles)
    assert "Patio: topcoat 2 may go down" in titles
    assert "Patio: vehicles from now" in titles


def test_window_in_the_calendar_is_that_of_the_days() -> None:
    """The recoat event runs from the earliest to the latest time."""
    work = planned("Patio")
    window = work.days.recoats[1]
    assert window.latest is not None
    calendar = icalendar.Calendar.from_ical(calendar_text(work))
    (event,) = [e for e in calendar.walk("VEVENT") if "may go down" in e["SUMMARY"]]
    midnight = datetime(2027, 5, 4)
    shown = (event.decoded("DTSTART"), event.decoded("DTEND"))
    exact = (midnight + window.earliest, midnight + window.latest)
    assert all(abs(a - b) < timedelta(seconds=1) for a, b in zip(shown, exact, strict=True))


def test_lines_are_short_and_end_as_the_standard_asks() -> None:
    """No line is over 75 octets, all end in CR LF, and none breaks inside a character."""
    text = calendar_text(planned("Größe " * 40))
    assert text.endswith("\r\n")
    assert "\n" not in text.replace("\r\n", "")
    for line in text.split("\r\n"):
        assert len(line.encode("utf-8")) <= 75
    assert "Größe " * 39 in text.replace("\r\n ", "")


def test_same_plan_same_calendar() -> None:
    """The file comes from the plan alone."""
    assert calendar_text(planned()) == calendar_text(planned())


def test_calendar_without_a_date() -> None:
    """There is no calendar without a first day."""
    takeoff = estimate("patio")
    with pytest.raises(ValueError, match="date"):
        calendar_text(floorplan.schedule(takeoff.plan, takeoff))


@pytest.mark.parametrize("length", [0, 1, 74, 75, 76, 150, 151])
@pytest.mark.parametrize("char", ["a", "ß", "漢", "😀"])
def test_folding_keeps_every_character(char: str, length: int) -> None:
    """Unfolding gives the line back; every part is 75 octets at most."""
    line = char * length
    parts = folded(line).split("\r\n")
    assert all(len(part.encode("utf-8")) <= 75 for part in parts)
    assert "".join(part[1:] if k else part for k, part in enumerate(parts)) == line


def test_escaping_covers_what_would_end_a_value() -> None:
    """Backslash, comma, semicolon and line break are covered, control characters dropped."""
    assert escaped("a\\b,c;d\ne\x07") == "a\\\\b\\,c\\;d\\ne"

"""The days of a job as an iCalendar file (RFC 5545), an open standard that phones read.

Times are those of the site's own clock ("floating"), so that no time zone is guessed. Nothing comes from the
clock of the machine: the stamp is the plan's start, and every id is made from the plan's own words.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Final

from ..units.figures import Figures
from ..work.chores import Part
from ..work.days import people_words

if TYPE_CHECKING:
    from ..work.days import Block, Day
    from ..work.plan import WorkPlan

LONGEST_OCTETS: Final = 75
"""Octets of a content line without its line break (RFC 5545, 3.1)."""


def calendar_text(work: WorkPlan) -> str:
    """The calendar: an event for each day, coat, recoat window and use.

    Raises:
        ValueError: the work plan has no date.
    """
    first = work.days.at(timedelta())
    if first is None:
        raise ValueError("a calendar needs a date")
    stamp = work.settings.start or first
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//floorplan//work plan//EN", "CALSCALE:GREGORIAN"]
    for k, (start, end, title, words) in enumerate(_events(work)):
        lines += [
            "BEGIN:VEVENT",
            f"UID:{_uid(work, k, title, start)}",
            f"DTSTAMP:{stamp:%Y%m%dT%H%M%S}Z",
            f"DTSTART:{start:%Y%m%dT%H%M%S}",
            f"DTEND:{end:%Y%m%dT%H%M%S}",
            f"SUMMARY:{escaped(title)}",
        ]
        if words:
            lines.append(f"DESCRIPTION:{escaped(words)}")
        if work.takeoff.plan.site:
            lines.append(f"LOCATION:{escaped(work.takeoff.plan.site)}")
        lines.append("END:VEVENT")
    lines.append("END:VCALENDAR")
    return "".join(f"{folded(line)}\r\n" for line in lines)


def escaped(text: str) -> str:
    r"""A text value: backslash, comma, semicolon and line breaks escaped (RFC 5545, 3.3.11).

    >>> escaped("wall, 4 in; done")
    'wall\\, 4 in\\; done'
    """
    for mark, cover in (("\\", "\\\\"), (";", "\\;"), (",", "\\,"), ("\r\n", "\\n"), ("\n", "\\n")):
        text = text.replace(mark, cover)
    return "".join(char for char in text if char.isprintable())


def folded(line: str) -> str:
    """A content line broken so that no part is longer than 75 octets, never inside a character."""
    parts: list[str] = []
    part, size = "", 0
    for char in line:
        octets = len(char.encode("utf-8"))
        # A part that goes on begins with a space, which counts.
        room = LONGEST_OCTETS - (1 if parts else 0)
        if size + octets > room:
            parts.append(part)
            part, size = "", 0
        part += char
        size += octets
    return "\r\n ".join([*parts, part])


def _uid(work: WorkPlan, k: int, title: str, start: datetime) -> str:
    plan = work.takeoff.plan
    words = "\n".join((plan.title, plan.site, str(k), title, start.isoformat()))
    return f"{hashlib.sha256(words.encode('utf-8')).hexdigest()[:32]}@floorplan"


def _events(work: WorkPlan) -> Iterator[tuple[datetime, datetime, str, str]]:
    """Start, end, title and words of every event, in the order of the job."""
    job = work.takeoff.plan.title
    for day in work.days.days:
        yield _span(work, day.start, day.end, f"{job}: day {day.number}", _day_words(day))
        for block in day.blocks:
            if block.part is Part.COAT:
                title = f"{job}: {block.name}"
                yield _span(work, block.start, block.end, title, _coat_words(work, block))
    for window in work.days.recoats:
        if window.latest is not None:
            title = f"{job}: {window.before} may go down"
            words = f"after this: {window.missed}"
            yield _span(work, window.earliest, window.latest, title, words)
    for use in work.days.uses:
        yield _span(work, use.start, use.start + timedelta(minutes=15), f"{job}: {use.what} from now", "")


def _span(
    work: WorkPlan, start: timedelta, end: timedelta, title: str, words: str
) -> tuple[datetime, datetime, str, str]:
    first, last = work.days.at(start), work.days.at(end)
    assert first is not None
    assert last is not None
    return first, last, title, words


def _day_words(day: Day) -> str:
    holds = [f"{block.hold.code}: {block.hold.text}" for block in day.blocks if block.hold]
    return "\n".join([f"{people_words(day.people)}, {day.man_hours:.1f} man-hours", *holds])


def _coat_words(work: WorkPlan, block: Block) -> str:
    if block.pour is None:
        return ""
    figures = Figures(work.takeoff.plan.units)
    return "\n".join(
        f"zone {zone.order} {zone.slab}: {figures.area(zone.area_m2)}, {zone.kits:.2f} kit"
        for zone in block.pour.zones
    )

"""Days of a job: blocks of work with clock times, hold points, recoat windows, and when the floor may be
used.

Times are counted from midnight of the first day, so that a plan without a date has a clock as well. Days
follow one another; a coat that must wait goes to the next one.
"""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import Final

from ..values import dataclass
from .chores import Chore, Part
from .holds import Hold
from .pours import Pour

DAY: Final = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A stretch of a day.

    Attributes:
        part: of the day.
        name: what is done ("prepare", "primer", "sweep", "finish").
        start, end: from midnight of the first day.
        chores: the tasks.
        pour: the zones, for a coat.
        hold: signed at its end, None for none.
    """

    part: Part
    name: str
    start: timedelta
    end: timedelta
    chores: tuple[Chore, ...]
    pour: Pour | None = None
    hold: Hold | None = None

    @property
    def man_hours(self) -> float:
        """Sum of its tasks."""
        return sum(chore.hours for chore in self.chores)


@dataclass(frozen=True, slots=True, kw_only=True)
class Recoat:
    """When the next coat may go down.

    Attributes:
        after: the coat that dries; before: the next one.
        earliest: counted from the last floor that was coated.
        latest: counted from the first; None where there is no latest.
        planned: when the next coat is planned to begin.
        missed: what to do when the window has passed.
    """

    after: str
    before: str
    earliest: timedelta
    latest: timedelta | None
    planned: timedelta
    missed: str = "abrade the whole floor, vacuum and wipe it before the next coat; ask the maker if in doubt"


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """One day on site.

    Attributes:
        number: from 1.
        people: on site.
        blocks: in the order of the day.
        travel_h: man-hours on the road.
    """

    number: int
    people: int
    blocks: tuple[Block, ...]
    travel_h: float = 0.0

    @property
    def start(self) -> timedelta:
        """Begin of the first block."""
        return self.blocks[0].start

    @property
    def end(self) -> timedelta:
        """End of the last block."""
        return self.blocks[-1].end

    @property
    def man_hours(self) -> float:
        """All hours of the day, travel included."""
        return self.travel_h + sum(block.man_hours for block in self.blocks)

    @property
    def coats(self) -> tuple[Pour, ...]:
        """What is poured."""
        return tuple(block.pour for block in self.blocks if block.pour is not None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """When the floor may be used again: what for, and from when."""

    what: str
    start: timedelta


@dataclass(frozen=True, slots=True, kw_only=True)
class Days:
    """The days of a job.

    Attributes:
        first: the date of the first day; None where the plan states none.
    """

    days: tuple[Day, ...]
    recoats: tuple[Recoat, ...]
    uses: tuple[Use, ...]
    first: date | None

    def at(self, offset: timedelta) -> datetime | None:
        """The date and time of an offset; None where no date is known."""
        if self.first is None:
            return None
        return datetime.combine(self.first, time()) + offset

    def words(self, offset: timedelta) -> str:
        """`Tue 2027-05-04 13:40`, or `day 2 13:40` where no date is known."""
        at = self.at(offset)
        return clock_text(offset) if at is None else f"{at:%a %Y-%m-%d %H:%M}"


def clock_text(offset: timedelta) -> str:
    """`day 2 13:40`."""
    minutes = int(offset % DAY / timedelta(minutes=1))
    return f"day {offset // DAY + 1} {minutes // 60:02d}:{minutes % 60:02d}"


def people_words(people: int) -> str:
    """`1 person`, `3 people`."""
    return f"{people} person" if people == 1 else f"{people} people"

"""Days of a job: blocks of work with clock times, hold points, recoat windows, and when the floor may be
used.

Times are counted from midnight of the first day, so that a plan without a date has a clock as well. Days
follow one another; a coat that must wait goes to the next one.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from typing import Final

from ..errors import Notice
from ..plan.model_work import WorkSettings
from ..values import dataclass, replace
from .batches import RECHECK_MIN
from .chores import Chore, Part, clock_hours
from .pours import Pour

DAY: Final = timedelta(days=1)
ROUND_TO: Final = timedelta(minutes=5)
"""Blocks begin on whole five minutes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """A point at which somebody signs before the work goes on."""

    code: str
    text: str


BEFORE: Final = Hold(code="H0", text="slab dry, bare, sound, 28 days old or more; tests written down")
READY: Final = Hold(code="H1", text="profile even, edges and pockets ground and signed off on the plan")
THROWN: Final = Hold(code="H2", text="looked over 10 to 20 min after each zone: no wet spots, no bald spots")
SWEPT: Final = Hold(code="H3", text="no loose flake, no bald area (touch in before the topcoat)")
BETWEEN: Final = Hold(code="H4", text="no puddles in grooves, dry to touch, inside the recoat window")
DONE: Final = Hold(code="H5", text="walked off with the owner, actuals written down, care sheet handed over")
HOLDS: Final = (BEFORE, READY, THROWN, SWEPT, BETWEEN, DONE)
"""Hold points of a broadcast floor: common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A stretch of a day.

    Attributes:
        part: of the day.
        name: what is done ("prepare", "primer").
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


def plan_days(
    chores: Sequence[Chore],
    pours: Sequence[Pour],
    people: Sequence[int],
    settings: WorkSettings,
) -> tuple[Days, tuple[Notice, ...]]:
    """Days with clock times.

    Args:
        chores: every task with its day.
        pours: every coat with its zones.
        people: by day.
        settings: start and working hours.
    """
    start = settings.start
    first_begin = start.time() if start is not None else settings.begins
    days: list[Day] = []
    recoats: list[Recoat] = []
    notices: list[Notice] = []
    last: tuple[Pour, timedelta, timedelta] | None = None
    for k, count in enumerate(people):
        own = tuple(chore for chore in chores if chore.day == k)
        begin = _since_midnight(first_begin if k == 0 else settings.begins) + DAY * _next_day(days, k)
        made = _Making(begin, count, pours, k + 1 == len(people), settings)
        day, last, found = made.day(own, k + 1, last)
        recoats += found
        if day is not None:
            days.append(day)
            notices += _late(day, settings)
    notices += _missed(recoats)
    uses = _uses(last)
    first = start.date() if start is not None else None
    return Days(days=tuple(days), recoats=tuple(recoats), uses=uses, first=first), tuple(notices)


def _next_day(days: Sequence[Day], k: int) -> int:
    """The first day that is free: the one after the last day's end, or the next."""
    if not days:
        return k
    return max(k, int(days[-1].end / DAY) + 1 if days[-1].end % DAY else int(days[-1].end / DAY))


def _since_midnight(clock: time) -> timedelta:
    return timedelta(hours=clock.hour, minutes=clock.minute)


@dataclass(frozen=True, slots=True)
class _Making:
    """One day being laid out: when it begins, who is there, what may be poured, and whether it is the
    last."""

    begin: timedelta
    people: int
    pours: Sequence[Pour]
    is_last: bool
    settings: WorkSettings

    def day(
        self, chores: tuple[Chore, ...], number: int, last: tuple[Pour, timedelta, timedelta] | None
    ) -> tuple[Day | None, tuple[Pour, timedelta, timedelta] | None, list[Recoat]]:
        """The day, the coat that was put down last with its first and last floor, and the recoat windows
        met."""
        ready = _of(chores, Part.PREPARE)
        prepare_h = clock_hours(ready, self.people)
        names = [name for name in dict.fromkeys(chore.coat for chore in chores) if name]
        recoats: list[Recoat] = []
        blocks: list[Block] = []
        now = self.begin
        if last is not None:
            now = self._not_before(now, _up(_earliest(last) - timedelta(hours=prepare_h)))
        if ready:
            hold = READY if number == 1 else SWEPT
            blocks.append(_block(Part.PREPARE, "prepare", now, prepare_h, ready, hold))
            now = blocks[-1].end
        coats = [pair for name in names for pair in self._coats(name)]
        for i, (name, pour) in enumerate(coats):
            if last is not None:
                now = max(now, _up(_earliest(last)))
                recoats.append(_recoat(last, pour.layer if pour is not None else name, now))
            final = self.is_last and i + 1 == len(coats)
            blocks.append(self._coat(name, now, chores, pour, final=final))
            now = blocks[-1].end
            if pour is not None:
                last = (pour, blocks[-1].start, blocks[-1].start + _minutes(pour.minutes))
        ending = _of(chores, Part.FINISH)
        if ending:
            hours = clock_hours(ending, self.people)
            blocks.append(_block(Part.FINISH, "finish", now, hours, ending, DONE))
        if not blocks:
            return None, last, recoats
        travel = sum(chore.hours for chore in chores if chore.part is Part.TRAVEL)
        day = Day(number=number, people=self.people, blocks=tuple(blocks), travel_h=travel)
        return day, last, recoats

    def _not_before(self, now: timedelta, wait: timedelta) -> timedelta:
        """When a day may begin that must wait for a coat: not in the evening, but the morning after."""
        if wait <= now:
            return now
        if wait % DAY > _since_midnight(self.settings.ends):
            return (wait // DAY + 1) * DAY + _since_midnight(self.settings.begins)
        return max(wait, wait // DAY * DAY + _since_midnight(self.settings.begins))

    def _coats(self, name: str) -> list[tuple[str, Pour | None]]:
        """The pours of a coat: several where it goes down more than once."""
        found = [(name, pour) for pour in self.pours if pour.batch.coat.name == name]
        return [*found] or [(name, None)]

    def _coat(
        self, name: str, now: timedelta, chores: tuple[Chore, ...], pour: Pour | None, *, final: bool
    ) -> Block:
        own = tuple(chore for chore in chores if chore.coat == name)
        times = len(self._coats(name))
        own = tuple(replace(chore, hours=chore.hours / times) for chore in own) if times > 1 else own
        hours = clock_hours(own, self.people)
        thrown = pour is not None and pour.batch.broadcast is not None
        if pour is not None:
            hours = max(hours, (pour.minutes + (RECHECK_MIN[1] if thrown else 0.0)) / 60.0)
        hold = THROWN if thrown else None if final else BETWEEN
        return _block(Part.COAT, pour.layer if pour is not None else name, now, hours, own, hold, pour)


def _of(chores: tuple[Chore, ...], part: Part) -> tuple[Chore, ...]:
    return tuple(chore for chore in chores if chore.part is part)


def _block(
    part: Part,
    name: str,
    start: timedelta,
    hours: float,
    chores: tuple[Chore, ...],
    hold: Hold | None,
    pour: Pour | None = None,
) -> Block:
    end = _up(start + timedelta(hours=hours))
    return Block(part=part, name=name, start=start, end=end, chores=chores, pour=pour, hold=hold)


def _up(offset: timedelta) -> timedelta:
    """The next whole five minutes."""
    return -(-offset // ROUND_TO) * ROUND_TO


def _minutes(count: float) -> timedelta:
    return timedelta(minutes=count)


def _earliest(last: tuple[Pour, timedelta, timedelta]) -> timedelta:
    wait = last[0].batch.times.recoat_min_h or 0.0
    return last[2] + timedelta(hours=wait)


def _recoat(last: tuple[Pour, timedelta, timedelta], before: str, planned: timedelta) -> Recoat:
    pour, start, _ = last
    most = pour.batch.times.recoat_max_h
    latest = None if most is None else start + timedelta(hours=most)
    return Recoat(after=pour.layer, before=before, earliest=_earliest(last), latest=latest, planned=planned)


def _uses(last: tuple[Pour, timedelta, timedelta] | None) -> tuple[Use, ...]:
    if last is None:
        return ()
    times = last[0].batch.times
    rows = (
        ("foot traffic", times.foot_h),
        ("furniture", times.furniture_h),
        ("vehicles", times.vehicle_h),
    )
    return tuple(Use(what=what, start=last[2] + timedelta(hours=h)) for what, h in rows if h is not None)


def _late(day: Day, settings: WorkSettings) -> list[Notice]:
    over = day.end % DAY - _since_midnight(settings.ends)
    overnight = day.end // DAY > day.start // DAY
    if over <= timedelta() and not overnight:
        return []
    text = (
        f"day {day.number} runs to {clock_text(day.end)}, past {settings.ends:%H:%M}:"
        " begin earlier, bring one more person, or part the job"
    )
    return [Notice(code="day-long", text=text)]


def _missed(recoats: Sequence[Recoat]) -> list[Notice]:
    found = []
    for window in recoats:
        if window.latest is not None and window.planned > window.latest:
            text = (
                f"{window.before} is planned for {clock_text(window.planned)}, after the recoat window of"
                f" {window.after} closed at {clock_text(window.latest)}: {window.missed}"
            )
            found.append(Notice(code="recoat-missed", text=text))
    return found


def clock_text(offset: timedelta) -> str:
    """`day 2 13:40`."""
    minutes = int(offset % DAY / timedelta(minutes=1))
    return f"day {offset // DAY + 1} {minutes // 60:02d}:{minutes % 60:02d}"

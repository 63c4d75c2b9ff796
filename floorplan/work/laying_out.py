"""Days laid out by the clock: tasks into blocks, coats after their recoat times, days after one another."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import time, timedelta
from typing import Final

from ..errors import Notice
from ..plan.model_work import WorkSettings
from ..plan.working_days import EVERY_DAY
from ..values import dataclass, field, replace
from .batches import RECHECK_MIN
from .chores import Chore, Part, clock_hours
from .days import DAY, Block, Day, Days, Recoat, Use, clock_text
from .holds import BETWEEN, DONE, READY, SWEPT, THROWN, Hold
from .pours import Pour

ROUND_TO: Final = timedelta(minutes=5)
"""Blocks begin on whole five minutes."""


def plan_days(
    chores: Sequence[Chore], pours: Sequence[Pour], people: Sequence[int], settings: WorkSettings
) -> tuple[Days, tuple[Notice, ...]]:
    """Days with clock times, and what must be said of them.

    Args:
        chores: every task with its day.
        pours: every coat with its zones.
        people: by day.
        settings: start and working hours.
    """
    found = _laid_out(chores, pours, people, settings)
    late = [notice for day in found.days for notice in _late(day, settings)]
    missed = _missed(found)
    if missed and settings.start is not None and (settings.days != EVERY_DAY or settings.off):
        missed.append(_better_start(chores, pours, people, settings))
    return found, (*_starts_off(settings), *late, *missed)


def _laid_out(
    chores: Sequence[Chore], pours: Sequence[Pour], people: Sequence[int], settings: WorkSettings
) -> Days:
    first_begin = settings.begins if settings.start is None else settings.start.time()
    wet = _Wet()
    days: list[Day] = []
    for k, count in enumerate(people):
        free = _free_day(days, k, settings)
        begin = _since_midnight(first_begin if k == 0 else settings.begins) + DAY * free
        making = _Making(begin, count, pours, k + 1 == len(people), settings, wet)
        day = making.day(tuple(chore for chore in chores if chore.day == k), k + 1)
        if day is not None:
            days.append(day)
    return Days(
        days=tuple(days),
        recoats=tuple(wet.windows),
        uses=wet.uses(),
        first=None if settings.start is None else settings.start.date(),
    )


def _free_day(days: Sequence[Day], k: int, settings: WorkSettings) -> int:
    """The first working day that is free: the one after the last day's end, or the next."""
    if not k:
        return 0
    return settings.next_working(k if not days else max(k, -(-days[-1].end // DAY)))


def _starts_off(settings: WorkSettings) -> list[Notice]:
    """Said where the job starts on a day that is off, or where no day of the week is known."""
    if settings.start is None and (settings.days != EVERY_DAY or settings.off):
        text = "[work] names days off, but without a start no day of the week is known: days are only counted"
        return [Notice(code="work-day-unknown", text=text)]
    if settings.start is None or settings.works_on(0):
        return []
    text = f"the job starts on {settings.start:%a %Y-%m-%d}, which [work] says is off"
    return [Notice(code="work-day-off", text=text)]


def _better_start(
    chores: Sequence[Chore], pours: Sequence[Pour], people: Sequence[int], settings: WorkSettings
) -> Notice:
    """The first later start that keeps every recoat window; or that there is none in two weeks."""
    assert settings.start is not None
    for k in range(1, 15):
        later = replace(settings, start=settings.start + timedelta(days=k))
        if later.works_on(0) and not _missed(_laid_out(chores, pours, people, later)):
            text = f"a start on {later.start:%a %Y-%m-%d} would keep every recoat window"
            return Notice(code="recoat-start", text=text)
    text = "no start in the next two weeks keeps every recoat window: somebody has to come on a day off"
    return Notice(code="recoat-start", text=text)


def _since_midnight(clock: time) -> timedelta:
    return timedelta(hours=clock.hour, minutes=clock.minute)


@dataclass(frozen=True, slots=True)
class _Down:
    """A coat on a slab: when its first floor and its last were down."""

    pour: Pour
    first: timedelta
    last: timedelta

    @property
    def earliest(self) -> timedelta:
        """When the next coat may go on."""
        return self.last + timedelta(hours=self.pour.batch.times.recoat_min_h or 0.0)


@dataclass(slots=True)
class _Wet:
    """What lies on each slab, by its index; changes as coats are planned.

    Attributes:
        on: the last coat of each slab.
        windows: every recoat window met.
    """

    on: dict[int, _Down] = field(default_factory=dict)
    windows: list[Recoat] = field(default_factory=list)

    def under(self, pour: Pour | None) -> list[_Down]:
        """The coats that a pour goes over; all of them where it is not known."""
        slabs = {zone.slab_index for zone in pour.zones} if pour is not None else set(self.on)
        found = [self.on[slab] for slab in sorted(slabs) if slab in self.on]
        return list({id(down.pour): down for down in found}.values())

    def earliest(self, pour: Pour | None) -> timedelta:
        """When a pour may begin."""
        return max((down.earliest for down in self.under(pour)), default=timedelta())

    def put(self, pour: Pour, start: timedelta) -> None:
        """Keep a pour that begins then, and the windows that it meets."""
        for down in self.under(pour):
            most = down.pour.batch.times.recoat_max_h
            self.windows.append(
                Recoat(
                    after=down.pour.layer,
                    before=pour.layer,
                    earliest=down.earliest,
                    latest=None if most is None else down.first + timedelta(hours=most),
                    planned=start,
                )
            )
        down = _Down(pour, start, start + timedelta(minutes=pour.minutes))
        self.on |= {zone.slab_index: down for zone in pour.zones}

    def uses(self) -> tuple[Use, ...]:
        """When every slab may be walked on, furnished and driven on."""
        found: dict[str, timedelta] = {}
        for down in self.on.values():
            times = down.pour.batch.times
            for what, hours in (
                ("foot traffic", times.foot_h),
                ("furniture", times.furniture_h),
                ("vehicles", times.vehicle_h),
            ):
                if hours is not None:
                    found[what] = max(found.get(what, timedelta()), down.last + timedelta(hours=hours))
        return tuple(Use(what=what, start=start) for what, start in found.items())


@dataclass(frozen=True, slots=True)
class _Making:
    """One day being laid out."""

    begin: timedelta
    people: int
    pours: Sequence[Pour]
    is_last: bool
    settings: WorkSettings
    wet: _Wet

    def day(self, chores: tuple[Chore, ...], number: int) -> Day | None:
        """The day; None where there is nothing to do."""
        blocks: list[Block] = []
        now = self._begin(chores)
        names = _coats_of(chores)
        for i, name in enumerate(names or [""]):
            ready = self._ready(chores, name, first=i == 0)
            pours = self._pours(name) if name else []
            if ready:
                # On the day of the coat before, nobody walks on it to sweep before it may be coated.
                now = now if i == 0 else max(now, _up(self.wet.earliest(pours[0])))
                hours = clock_hours(ready, self.people)
                hold = READY if number == 1 and i == 0 else SWEPT
                what = "prepare" if hold is READY else "sweep"
                blocks.append(_block(Part.PREPARE, what, now, hours, ready, hold))
                now = blocks[-1].end
            for k, pour in enumerate(pours):
                now = max(now, _up(self.wet.earliest(pour)))
                final = self.is_last and i + 1 == len(names) and k + 1 == len(pours)
                blocks.append(self._coat(name, now, chores, pour, final=final))
                if pour is not None:
                    self.wet.put(pour, now)
                now = blocks[-1].end
        ending = _of(chores, Part.FINISH)
        if ending:
            blocks.append(_block(Part.FINISH, "finish", now, clock_hours(ending, self.people), ending, DONE))
        if not blocks:
            return None
        travel = sum(chore.hours for chore in _of(chores, Part.TRAVEL))
        return Day(number=number, people=self.people, blocks=tuple(blocks), travel_h=travel)

    def _ready(self, chores: tuple[Chore, ...], name: str, *, first: bool) -> tuple[Chore, ...]:
        """What is done before a coat: its own, and before the first also what belongs to none."""
        own = _of(chores, Part.PREPARE)
        return tuple(c for c in own if (name and c.coat == name) or (first and not c.coat))

    def _begin(self, chores: tuple[Chore, ...]) -> timedelta:
        """When the crew comes, so that the first coat need not wait."""
        first = next(iter(_coats_of(chores)), "")
        hours = clock_hours(self._ready(chores, first, first=True), self.people)
        pour = self._pours(first)[0] if first else None
        return self._not_before(_up(self.wet.earliest(pour) - timedelta(hours=hours)))

    def _not_before(self, wait: timedelta) -> timedelta:
        """When a day may begin that must wait for a coat: not in the evening, but the morning after."""
        begins = _since_midnight(self.settings.begins)
        if wait <= self.begin:
            return self.begin
        day = wait // DAY + (wait % DAY > _since_midnight(self.settings.ends))
        free = self.settings.next_working(day)
        return max(wait if free == wait // DAY else timedelta(), free * DAY + begins)

    def _pours(self, name: str) -> list[Pour | None]:
        """The pours of a coat: several where it goes down more than once, None where it covers no floor."""
        return [pour for pour in self.pours if pour.batch.coat.name == name] or [None]

    def _coat(
        self, name: str, now: timedelta, chores: tuple[Chore, ...], pour: Pour | None, *, final: bool
    ) -> Block:
        times = len(self._pours(name))
        own = tuple(replace(c, hours=c.hours / times) for c in _of(chores, Part.COAT) if c.coat == name)
        hours = clock_hours(own, self.people)
        if pour is None:
            return _block(Part.COAT, name, now, hours, own, None if final else BETWEEN)
        thrown = pour.batch.broadcast is not None
        hours = max(hours, (pour.minutes + (RECHECK_MIN[1] if thrown else 0.0)) / 60.0)
        hold = THROWN if thrown else None if final else BETWEEN
        return _block(Part.COAT, pour.layer, now, hours, own, hold, pour)


def _coats_of(chores: tuple[Chore, ...]) -> list[str]:
    """Coats that go down, in order."""
    return list(dict.fromkeys(chore.coat for chore in _of(chores, Part.COAT)))


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


def _late(day: Day, settings: WorkSettings) -> list[Notice]:
    over = day.end % DAY - _since_midnight(settings.ends)
    overnight = day.end // DAY > day.start // DAY
    if over <= timedelta() and not overnight:
        return []
    end = clock_text(day.end) if overnight else clock_text(day.end)[-5:]
    text = f"runs to {end}, past {settings.ends:%H:%M}: begin earlier, bring one more person, or part the job"
    return [Notice(code="day-long", text=text, where=f"day {day.number}")]


def _missed(days: Days) -> list[Notice]:
    return [
        Notice(
            code="recoat-missed",
            text=f"{window.before} is planned for {days.words(window.planned)}, after the recoat window of"
            f" {window.after} closed at {days.words(window.latest)}: {window.missed}",
        )
        for window in days.recoats
        if window.latest is not None and window.planned > window.latest
    ]

"""The work plan of a job: zones, days, tests, weather, and what must be said."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from typing import Final

from ..errors import Notice
from ..measure.model import Takeoff
from ..plan.model_work import Conditions, WorkSettings
from ..system.model import CoatingSystem
from ..units.figures import Figures
from ..values import dataclass, replace
from .batches import Batch, batches, spread_rate_m2_per_min
from .chores import Chore, Part
from .days import Days
from .laying_out import plan_days
from .loading import Supply
from .pours import Pour, pours
from .slab_tests import Spots, slab_tests
from .weather import Hour, Level, Verdict, hours_between, judge, judge_hours, windows

SLIP: Final = (
    "slip: no pass mark stands here; the one published for level indoor floors is none for a patio,"
    " exterior wet classes ask for more, and a test decides"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SlabTests:
    """Tests of one slab before it is coated."""

    slab: str
    spots: tuple[Spots, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CoatWeather:
    """One coat held against the reading and the forecast of the plan; None and empty where there is none."""

    layer: str
    now: Verdict | None
    hours: tuple[Hour, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkPlan:
    """Everything that a crew works to.

    Attributes:
        takeoff: of the plan.
        settings: as used, with what was given on the command line.
        people: by day.
        pours: every coat in zones.
        days: with clock times.
        tests: by slab.
        weather: by coat.
        notices: what must be said.
        supplies: what was ordered, for the truck.
    """

    takeoff: Takeoff
    settings: WorkSettings
    people: tuple[int, ...]
    pours: tuple[Pour, ...]
    days: Days
    tests: tuple[SlabTests, ...]
    weather: tuple[CoatWeather, ...]
    notices: tuple[Notice, ...]
    supplies: tuple[Supply, ...] = ()


def work_plan(
    takeoff: Takeoff,
    chores: Sequence[Chore],
    people: Sequence[int],
    *,
    settings: WorkSettings | None = None,
    supplies: Sequence[Supply] = (),
) -> WorkPlan:
    """Zones and days of a job.

    Args:
        takeoff: of the plan.
        chores: every task with hours and day.
        people: by day.
        settings: in place of those of the plan.
        supplies: what was ordered.
    """
    used = settings if settings is not None else takeoff.plan.work
    crew = people[0] if people else 1
    rate = used.spread_m2_per_min or spread_rate_m2_per_min(crew)
    found, said = pours(
        takeoff,
        rate_m2_per_min=rate,
        people=crew,
        temperature_c=used.temperature_c,
        people_by_coat={c.coat: people[c.day] for c in chores if c.part is Part.COAT},
    )
    days, late = plan_days(chores, found, people, used)
    weather = coat_weather(
        takeoff.plan.conditions, [(p.layer, p.batch) for p in found], Figures(takeoff.plan.units)
    )
    return WorkPlan(
        takeoff=takeoff,
        settings=replace(used, crew=crew),
        people=tuple(people),
        pours=found,
        days=days,
        tests=tuple(
            SlabTests(
                slab=slab.name,
                spots=slab_tests(slab.regions.net, outdoors=slab.slab.system.outdoors),
            )
            for slab in takeoff.slabs
        ),
        weather=weather,
        notices=(*said, *late, *_hot(used, found), *_stopped(days, weather)),
        supplies=tuple(supplies),
    )


def coats_of(systems: Sequence[CoatingSystem]) -> list[tuple[str, Batch]]:
    """A batch of every coat of some systems, each name once, for three people."""
    rate = spread_rate_m2_per_min(3)
    found = {b.coat.name: b for system in systems for b in batches(system, rate_m2_per_min=rate)}
    return list(found.items())


def coat_weather(
    given: Conditions, coats: Sequence[tuple[str, Batch]], figures: Figures
) -> tuple[CoatWeather, ...]:
    """Every coat held against a reading and a forecast; nothing where there is neither."""
    if given.now is None and not given.forecast:
        return ()
    return tuple(
        CoatWeather(
            layer=name,
            now=None if given.now is None else judge(given.now, figures, batch),
            hours=judge_hours(given.forecast, batch, figures),
        )
        for name, batch in coats
    )


def _stopped(days: Days, weather: Sequence[CoatWeather]) -> list[Notice]:
    """Said of every coat that is planned for hours of which the forecast says no."""
    hours_of = {row.layer: row.hours for row in weather}
    notices = []
    for day in days.days:
        for block in day.blocks:
            begin, pour = days.at(block.start), block.pour
            if begin is None or pour is None:
                continue
            hours = hours_of.get(pour.layer, ())
            end = begin + timedelta(minutes=pour.minutes)
            why = [
                reason.text
                for hour in hours_between(hours, begin, end)
                for reason in hour.verdict.reasons
                if reason.level is Level.STOP
            ]
            if why:
                text = (
                    f"{pour.layer} is planned for {begin:%a %H:%M} to {end:%H:%M}, and the forecast says no:"
                    f" {'; '.join(dict.fromkeys(why))}"
                )
                later = [window.start for window in windows(hours) if window.start > begin]
                good = f"; the first good hour after is {later[0]:%a %Y-%m-%d %H:%M}" if later else ""
                notices.append(Notice(code="weather-no-go", text=text + good, where=f"day {day.number}"))
    return notices


def _hot(settings: WorkSettings, found: Sequence[Pour]) -> list[Notice]:
    """Said where the pail, not the kit, limits a batch."""
    notices = []
    for pour in found:
        batch = pour.batch
        share = batch.clock_m2 / batch.kit_m2
        # A floor that takes less than that anyway is not held up by the clock.
        if share < 1.0 and sum(zone.kits for zone in pour.zones) > share:
            text = (
                f"{pour.layer}: the crew spreads {share:.2f} of a kit before it is too old;"
                " mix part-kits, cool the material, or bring one more person"
            )
            notices.append(Notice(code="batch-clock", text=text))
    return notices

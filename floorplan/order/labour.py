"""Labour of a job: hours by task and day, crew, and the clock where the single grinder sets the pace."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from ..measure.model import Takeoff
from ..system.model import Broadcast, Coat, CoatingSystem, Layer
from ..units.rounding import decimal_text
from ..values import dataclass, replace
from .crew import coat_days
from .firm import Firm
from .quantities import CoatQuantities, JobQuantities, job_quantities
from .task_rates import is_hours
from .tasks import AREA, COUNTED, RUN, Stage, Task, shipped_tasks
from .words import Words, plain

# Held back for what goes wrong; common practice, no source: 5 to 15 %.
CONTINGENCY: Final = 0.10


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskHours:
    """Hours of one task on one day.

    Attributes:
        task: name, with the coat where there are several.
        day: counted from 0.
        hours: man-hours.
        how: the sum in the trade's units.
        machine: done with the one walk-behind.
        source: file that the rate came from.
        rate_of: the task's name in the tables.
        count: m², m or pieces that it counts.
        stage: when it is done.
        coat: the coat that it puts down or, sweeping, makes ready for; "" for other work.
    """

    task: str
    day: int
    hours: float
    how: str
    machine: bool = False
    source: str = ""
    rate_of: str = ""
    count: float = 0.0
    stage: Stage = Stage.PREPARE
    coat: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Labour:
    """All hours of a job.

    Attributes:
        tasks: in the order of the work.
        people: by day.
        contingency: share added to the hours.
    """

    tasks: tuple[TaskHours, ...]
    people: tuple[int, ...]
    contingency: float = CONTINGENCY

    @property
    def hours(self) -> float:
        """Man-hours without contingency."""
        return sum(row.hours for row in self.tasks)

    @property
    def charged_hours(self) -> float:
        """Man-hours with contingency, to the tenth: what the price counts (common practice)."""
        return float(decimal_text(self.hours * (1 + self.contingency), 1))

    @property
    def person_trips(self) -> int:
        """People on site, summed over the days."""
        return sum(self.people)

    def even_hours(self, day: int) -> float:
        """Clock hours of a day if everyone is busy all the time: man-hours over people."""
        hours = sum(row.hours for row in self.tasks if row.day == day)
        return hours / self.people[day] if self.people[day] else 0.0

    def clock_hours(self, day: int) -> float:
        """Clock hours of a day with one walk-behind.

        While it runs the others do the rest of the preparing; what is left over is shared by all. So the
        day is never shorter than the machine's own hours and what must come before and after it.
        """
        people = self.people[day]
        own = [row for row in self.tasks if row.day == day]
        machine = sum(row.hours for row in own if row.machine)
        if not machine or people < 1:
            return self.even_hours(day)
        beside = sum(row.hours for row in own if row.rate_of in _BESIDE)
        after = sum(row.hours for row in own) - machine - beside
        together = max(machine, (machine + beside) / people)
        return together + after / people


# Done by the others while one runs the walk-behind.
_BESIDE: Final = (
    "hand grinding, edges",
    "hand grinding, faces and treads",
    "groove rake and vacuum",
    "cut and fill joints",
    "chase and fill cracks",
    "masking",
)


def labour(takeoff: Takeoff, words: Words, *, firm: Firm | None = None, crew: int | None = None) -> Labour:
    """Hours of a job by task and day.

    Args:
        takeoff: of the plan.
        words: the plan's units.
        firm: its own rates go over the typical ones.
        crew: people on the first day; None goes by area, or by the firm's rule.
    """
    firm = firm or Firm()
    asked = crew if crew is not None else firm.number("order", "crew")
    job = job_quantities(takeoff, crew=int(asked) if asked else None)
    tasks = tuple(_own_rate(task, firm) for task in shipped_tasks())
    people = job.crew.people
    rows = [*_travel(tasks, people, words), *_once(tasks, Stage.PREPARE, job, 0, words)]
    rows += _coat_rows(takeoff, tasks, job, words)
    rows += _once(tasks, Stage.FINISH, job, max(0, len(people) - 1), words)
    contingency = firm.number("labour", "contingency")
    return Labour(
        tasks=tuple(sorted((row for row in rows if row.hours > 0), key=lambda row: row.day)),
        people=people,
        contingency=CONTINGENCY if contingency is None else contingency,
    )


def _own_rate(task: Task, firm: Firm) -> Task:
    figure = firm.figure("tasks", task.name)
    if figure is None or not isinstance(figure.value, float):
        return task
    return replace(
        task,
        rate=figure.value,
        hours=is_hours(figure.text),
        indoors_h=None,
        source=figure.source,
        text=figure.text,
    )


def _travel(tasks: Iterable[Task], people: Sequence[int], words: Words) -> list[TaskHours]:
    return [
        _row(task, float(count), day, words, indoors=False)
        for task in tasks
        if task.stage is Stage.TRAVEL
        for day, count in enumerate(people)
    ]


def _once(tasks: Iterable[Task], stage: Stage, job: JobQuantities, day: int, words: Words) -> list[TaskHours]:
    counted = {
        "ground": job.ground_m2,
        "hand edge": job.hand_edge_m,
        "hand faces": job.hand_face_m2,
        "grooves": job.grooves_m,
        "cut joints": job.cut_m,
        "cracks": job.crack_m,
        "sealed joints": job.seal_m,
        "surface": job.floor_m2 + job.vertical_m2,
        "floor": job.floor_m2,
        "vertical": job.vertical_m2,
        "mask": job.mask_m,
        "job": 1.0 if job.floor_m2 > 0 else 0.0,
    }
    own = (task for task in tasks if task.stage is stage)
    return [_row(task, counted.get(task.of, 0.0), day, words, indoors=not job.outdoors) for task in own]


def _coat_rows(takeoff: Takeoff, tasks: Sequence[Task], job: JobQuantities, words: Words) -> list[TaskHours]:
    """Tasks of every coat; slabs with the same coat are done together."""
    rows: list[TaskHours] = []
    done: set[str] = set()
    by_name = {coat.name: coat for coat in job.coats}
    for slab in takeoff.slabs:
        system = slab.slab.system
        days = dict(zip((coat.name for coat in system.coats), coat_days(system), strict=True))
        for i, coat in enumerate(system.coats):
            if coat.name not in done:
                done.add(coat.name)
                counts, day = by_name[coat.name], days[coat.name]
                rows += _one_coat(system, i, counts, job, tasks=tasks, day=day, words=words)
    return _once_a_day(rows, {task.name for task in tasks if task.of == "job"})


def _once_a_day(rows: Iterable[TaskHours], whole: set[str]) -> list[TaskHours]:
    """Making ready by the job counts once a day, however many coats follow on it."""
    seen: set[tuple[str, int]] = set()
    kept = []
    for row in rows:
        key = row.rate_of, row.day
        if row.stage is Stage.SWEEP and row.rate_of in whole:
            if key in seen:
                continue
            seen.add(key)
        kept.append(row)
    return kept


def _one_coat(
    system: CoatingSystem,
    index: int,
    counts: CoatQuantities,
    job: JobQuantities,
    *,
    tasks: Sequence[Task],
    day: int,
    words: Words,
) -> list[TaskHours]:
    coat = system.coats[index]
    before, after = _between(system.layers, coat)
    stage = Stage.BASE if _has_broadcast_later(system.layers, coat) or not system.broadcasts else Stage.TOP
    counted = {
        "floor": counts.floor_m2,
        "vertical": counts.vertical_m2,
        "grooves": counts.grooves_m,
        # Each coat takes of the faces what it takes of all vertical floor: other slabs' coats have theirs.
        "hand faces": job.hand_face_m2 * counts.vertical_m2 / job.vertical_m2 if counts.vertical_m2 else 0.0,
        "job": 1.0 if counts.floor_m2 > 0 else 0.0,
    }
    rows = []
    if any(thrown.full for thrown in before):
        rows += _coat_stage(
            tasks, Stage.SWEEP, counted, day=day, words=words, name="", thrown=False, over=False
        )
    over = any(thrown.full for thrown in before)
    name = coat.name if len(system.coats) > 1 else ""
    rows += _coat_stage(tasks, stage, counted, day=day, words=words, name=name, thrown=bool(after), over=over)
    return [replace(row, coat=coat.name) for row in rows]


def _coat_stage(
    tasks: Sequence[Task],
    stage: Stage,
    counted: dict[str, float],
    *,
    day: int,
    words: Words,
    name: str,
    thrown: bool,
    over: bool,
) -> list[TaskHours]:
    rows = []
    for task in tasks:
        fits = task.with_broadcast in (None, thrown) and task.over_flake in (None, over)
        if task.stage is stage and fits:
            row = _row(task, counted.get(task.of, 0.0), day, words, indoors=False)
            rows.append(replace(row, task=f"{task.name} ({name})" if name else task.name))
    return rows


def _between(layers: Sequence[Layer], coat: Coat) -> tuple[list[Broadcast], list[Broadcast]]:
    """Broadcasts thrown between the coat before and this one, and into this one."""
    at = next(i for i, layer in enumerate(layers) if layer is coat)
    before: list[Broadcast] = []
    for layer in reversed(layers[:at]):
        if isinstance(layer, Coat):
            break
        before += [layer] if isinstance(layer, Broadcast) else []
    after: list[Broadcast] = []
    for layer in layers[at + 1 :]:
        if isinstance(layer, Coat):
            break
        after += [layer] if isinstance(layer, Broadcast) else []
    return before, after


def _has_broadcast_later(layers: Sequence[Layer], coat: Coat) -> bool:
    at = next(i for i, layer in enumerate(layers) if layer is coat)
    return any(isinstance(layer, Broadcast) for layer in layers[at + 1 :])


def _row(task: Task, count: float, day: int, words: Words, *, indoors: bool) -> TaskHours:
    if task.hours:
        each = task.indoors_h if indoors and task.indoors_h is not None else task.rate
        hours = each * count
        how = f"{plain(count)} {task.of} x {plain(each)} h" if task.of != "job" else f"{plain(each)} h a job"
    else:
        hours = count / task.rate
        how = f"{_amount(task, count, words)} / {_amount(task, task.rate, words, rate=True)} an hour"
    return TaskHours(
        task=task.name,
        day=day,
        hours=hours,
        how=f"{how} = {decimal_text(hours, 2)} h",
        machine=task.machine,
        source=task.source,
        rate_of=task.name,
        count=count,
        stage=task.stage,
    )


def _amount(task: Task, value: float, words: Words, *, rate: bool = False) -> str:
    kind = COUNTED[task.of]
    if kind not in (AREA, RUN):
        return plain(value)
    figure = words.figures.figure(kind, value)
    return f"{plain(float(figure.number), 1)} {figure.unit}" if rate else str(figure)

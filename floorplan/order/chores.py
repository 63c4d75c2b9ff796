"""The hours of a job handed to the work plan, which ranks below and knows no rates."""

from __future__ import annotations

from ..work.chores import Chore, Part
from .labour import Labour
from .tasks import Stage

_PARTS = {
    Stage.TRAVEL: Part.TRAVEL,
    Stage.PREPARE: Part.PREPARE,
    Stage.SWEEP: Part.PREPARE,
    Stage.BASE: Part.COAT,
    Stage.TOP: Part.COAT,
    Stage.FINISH: Part.FINISH,
}


def chores(labour: Labour) -> tuple[Chore, ...]:
    """Every task with the day it is done on, in the order of the work."""
    return tuple(
        Chore(
            name=row.task,
            day=row.day,
            part=_PARTS[row.stage],
            hours=row.hours,
            coat=row.coat,
            machine=row.machine,
            how=row.how,
        )
        for row in labour.tasks
    )

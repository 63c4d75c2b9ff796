"""Tasks with their hours, as the work plan takes them: what, on which day, and in which part of the day."""

from __future__ import annotations

from enum import StrEnum

from ..values import dataclass


class Part(StrEnum):
    """The part of a day that a task belongs to, in the order of the day."""

    TRAVEL = "travel"
    PREPARE = "prepare"
    COAT = "coat"
    FINISH = "finish"


@dataclass(frozen=True, slots=True, kw_only=True)
class Chore:
    """One task.

    Attributes:
        name: in words.
        day: counted from 0.
        part: of the day.
        hours: man-hours.
        coat: the coat that it puts down or, in the part `PREPARE`, makes ready for; "" for other work.
        machine: done with the one walk-behind, which more people do not make faster.
        how: the sum, in words.
    """

    name: str
    day: int
    part: Part
    hours: float
    coat: str = ""
    machine: bool = False
    how: str = ""


def clock_hours(chores: tuple[Chore, ...], people: int) -> float:
    """Hours on the clock: man-hours over people, but never less than the machine takes alone."""
    machine = sum(chore.hours for chore in chores if chore.machine)
    return max(machine, sum(chore.hours for chore in chores) / max(people, 1))

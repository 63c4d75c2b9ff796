"""How many people and days a floor takes, by common practice; the work plan may say otherwise."""

from __future__ import annotations

from typing import Final

from ..system.model import CoatingSystem
from ..units.factors import SQFT_M2
from ..values import dataclass

# Common practice, no source: one person to 200 sq ft, two to 400, three to 900, four beyond.
_BY_AREA: Final = ((200 * SQFT_M2, 1), (400 * SQFT_M2, 2), (900 * SQFT_M2, 3))
_LARGEST: Final = 4
# A coat that may follow the one before within this many hours goes down the same day.
SAME_DAY_H: Final = 4.0
# After the day of grinding and priming two people do.
LATER_CREW: Final = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewPlan:
    """People on each day of the job, the day of grinding and priming first."""

    people: tuple[int, ...]

    @property
    def person_days(self) -> int:
        """Person-trips over all days."""
        return sum(self.people)

    @property
    def most(self) -> int:
        """People on the fullest day."""
        return max(self.people, default=0)


def crew_size(area_m2: float) -> int:
    """People on the first day for an area of floor."""
    return next((people for limit, people in _BY_AREA if area_m2 <= limit), _LARGEST)


def coat_days(system: CoatingSystem) -> tuple[int, ...]:
    """The day of each coat of a system, from 0: one that must wait for the coat before goes to the next."""
    days: list[int] = []
    day = 0
    for before in (None, *system.coats[:-1])[: len(system.coats)]:
        wait = before.times.recoat_min_h if before else 0.0
        day += int(wait is not None and wait > SAME_DAY_H)
        days.append(day)
    return tuple(days)


def crew_plan(system: CoatingSystem, area_m2: float, *, first: int | None = None) -> CrewPlan:
    """People by day; `first` is the crew of the first day, by area when left out."""
    people = first or max(crew_size(area_m2), system.least_crew)
    days = max(coat_days(system), default=0) + 1
    return CrewPlan(people=(people, *[min(people, LATER_CREW)] * (days - 1)))

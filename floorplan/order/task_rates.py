"""Production rates as people write them: square feet, feet or pieces an hour, or hours for the job."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final

from ..patterns import pattern
from ..units.factors import HOUR_S
from ..units.length import UnitStyle
from ..units.reading import Unreadable, read_area, read_duration, read_length

_PER_HOUR: Final = pattern(r"(.*?)\s*(?:/|\bper\b|\ban\b|\ba\b)\s*(?:man-?hour|hour|hr|mh|h)\.?\s*", re.I)


def read_task_rate(text: str) -> float:
    """Square metres, metres or a count an hour, or hours for the job.

    `250 sq ft/h`, `30 ft/h`, `8 m2/h`, `2 per hour`, `1.5 h`.
    """
    match = _PER_HOUR.fullmatch(text.strip())
    if match is None:
        return _above_zero(read_duration(text) / HOUR_S, text)
    readers: tuple[Callable[[str], float], ...] = (read_area, _read_run, float)
    for reader in readers:
        try:
            rate = reader(match[1])
        except ValueError:
            continue
        return _above_zero(rate, text)
    raise Unreadable(
        "task-rate",
        f"cannot read the rate {text.strip()}",
        "write it like 250 sq ft/h or 1.5 h",
        end=len(text),
    )


def is_hours(text: str) -> bool:
    """True where a rate is given as hours for the job."""
    return _PER_HOUR.fullmatch(text.strip()) is None


def _read_run(text: str) -> float:
    if text.strip().replace(".", "", 1).isdecimal():
        raise ValueError(text)
    return read_length(text, UnitStyle.FT).m


def _above_zero(value: float, text: str) -> float:
    if value <= 0:
        raise Unreadable("task-rate", f"the rate {text.strip()} must be more than zero", end=len(text))
    return value

"""Days on which the crew works, as people write them: `mon-fri`, `mon-thu, sat`, and dates that are off."""

from __future__ import annotations

from datetime import date
from typing import Final

from ..units.notation import Unreadable, shown

_NAMES: Final = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
WEEKDAYS: Final = tuple(name[:3] for name in _NAMES)
"""In the order of `date.weekday`."""

EVERY_DAY: Final = tuple(range(len(WEEKDAYS)))


def read_weekdays(text: str) -> tuple[int, ...]:
    """Days of the week, Monday 0: one, several with commas, or from one to another.

    Raises:
        Unreadable: a word is no day of the week.

    >>> read_weekdays("Mon-Thu, Sat")
    (0, 1, 2, 3, 5)
    """
    found: set[int] = set()
    for part in text.replace("–", "-").replace(" to ", "-").split(","):
        ends = [_weekday(word) for word in part.split("-")]
        if not 1 <= len(ends) <= 2 or None in ends:
            raise Unreadable(
                "weekdays-unreadable",
                f"cannot read the working days {shown(text.strip())}",
                "write them like mon-fri, or mon-thu, sat",
                end=max(1, len(text)),
            )
        first, last = int(ends[0] or 0), int(ends[-1] or 0)
        found |= {(first + k) % len(WEEKDAYS) for k in range((last - first) % len(WEEKDAYS) + 1)}
    return tuple(sorted(found))


def _weekday(word: str) -> int | None:
    """A day by its first letters, three or more: `tue`, `tues`, `Tuesday`; None for any other word."""
    low = word.strip().rstrip(".").lower()
    return next(
        (k for k, name in enumerate(_NAMES) if len(low) >= 3 and name.startswith(low.rstrip("s"))), None
    )


def weekdays_text(days: tuple[int, ...]) -> str:
    """Days of the week as `read_weekdays` reads them; runs of three and more from one to another.

    >>> weekdays_text((0, 1, 2, 3, 5))
    'mon-thu, sat'
    """
    parts: list[list[int]] = []
    for day in days:
        if parts and day == parts[-1][-1] + 1:
            parts[-1].append(day)
        else:
            parts.append([day])
    return ", ".join(
        f"{WEEKDAYS[run[0]]}-{WEEKDAYS[run[-1]]}" if len(run) > 2 else ", ".join(WEEKDAYS[k] for k in run)
        for run in parts
    )


def read_day(text: str) -> date:
    """A date: `2027-07-05`.

    Raises:
        Unreadable: anything else.
    """
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise Unreadable(
            "date-unreadable",
            f"cannot read the date {shown(text.strip())}",
            "write it like 2027-07-05",
            end=max(1, len(text)),
        ) from None

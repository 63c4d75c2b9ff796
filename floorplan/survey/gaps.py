"""The gap of a walk that misses its start: how large, which way, and which leg could have made it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ..geometry.arcs import Floats
from ..values import dataclass
from .closing import Closed
from .findings import Finding
from .headings import Headings, Leg, compass_word
from .limits import GAP_GREEN_M, Grade, gap_grade
from .misreadings import likely
from .walk_suspects import mends


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """A leg along which the gap lies and whose length a known mistake would put right."""

    leg: int
    true_m: float
    why: str


def gap_figures(closed: Closed, gap: Floats) -> dict[str, float | str]:
    """Length, direction and ratio of a gap, for the words about it."""
    size, perimeter = float(np.hypot(*gap)), float(closed.lengths_m.sum())
    return {
        "gap_m": size,
        "perimeter_m": perimeter,
        "direction": compass_word(direction_deg(gap)),
        "ratio": f"1:{perimeter / size:.0f}",
    }


def direction_deg(gap: Floats) -> float:
    """Direction of a gap, counter-clockwise from the sheet's right."""
    return float(np.degrees(np.arctan2(gap[1], gap[0]))) % 360.0


def open_finding(legs: Sequence[Leg], said: Headings, closed: Closed, gap: Floats, *, feet: bool) -> Finding:
    """The refusal of a walk that misses its start, with what would close it."""
    found = mends(legs, said, closed.lengths_m, closed.degrees, feet=feet)
    code = "walk-open-suspect" if len(found) == 1 else "walk-open-suspects" if found else "walk-open"
    about = found[0].about if found else tuple(leg.name for leg in legs)
    return Finding(code=code, about=about, figures=gap_figures(closed, gap), choices=tuple(found))


def doubtful_legs(legs: Sequence[Leg], closed: Closed, gap: Floats, *, feet: bool) -> tuple[Doubt, ...]:
    """Legs of which one, with a usual misreading put right, would close the walk within the amber limit.

    A leg across the gap is never one: putting it right would leave more than half the gap open.
    """
    found, perimeter, half = [], float(closed.lengths_m.sum()), 0.5 * float(np.hypot(*gap))
    for k, leg in enumerate(legs):
        if leg.length_m is None:
            continue
        turn = np.radians(closed.degrees[k])
        unit = np.array([np.cos(turn), np.sin(turn)])
        along = float(gap @ unit)
        aside = float(np.hypot(*(gap - along * unit)))
        read = likely(leg.length_m, leg.length_m - along, GAP_GREEN_M, feet=feet)
        if read is not None and aside <= half and gap_grade(aside, perimeter) is not Grade.RED:
            found.append(Doubt(leg=k, true_m=read.true_m, why=read.why))
    return tuple(found)

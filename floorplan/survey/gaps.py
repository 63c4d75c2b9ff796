"""The gap of a walk that misses its start: how large, which way, and which leg could have made it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ..geometry.arcs import Floats
from ..values import dataclass
from .closing import Closed
from .findings import Finding
from .headings import Leg
from .limits import GAP_GREEN_M, Grade, gap_grade
from .misreadings import likely


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


def open_finding(legs: Sequence[Leg], closed: Closed, gap: Floats, *, feet: bool) -> Finding:
    """The refusal of a walk that misses its start, with the legs that could be at fault."""
    figures = gap_figures(closed, gap)
    everywhere = tuple(leg.name for leg in legs)
    doubts = doubtful_legs(legs, closed, gap, feet=feet)
    if len(doubts) == 1:
        doubt = doubts[0]
        figures |= {
            "leg": _side(legs, doubt.leg),
            "taped_m": float(closed.lengths_m[doubt.leg]),
            "true_m": doubt.true_m,
            "why": doubt.why,
        }
        return Finding(code="walk-open-suspect", about=(legs[doubt.leg].name,), figures=figures)
    if doubts:
        figures |= {"legs": _either(legs, [doubt.leg for doubt in doubts]), "why": doubts[0].why}
        return Finding(code="walk-open-suspects", about=everywhere, figures=figures)
    backwards = backward_legs(closed, gap)
    if backwards:
        figures["legs"] = _either(legs, backwards)
        return Finding(code="walk-open-backwards", about=everywhere, figures=figures)
    return Finding(code="walk-open", about=everywhere, figures=figures)


def _side(legs: Sequence[Leg], k: int) -> str:
    return f"{legs[k].name}-{legs[(k + 1) % len(legs)].name}"


def _either(legs: Sequence[Leg], found: list[int]) -> str:
    return " or ".join(_side(legs, k) for k in found)


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


def backward_legs(closed: Closed, gap: Floats) -> list[int]:
    """Legs of which one, walked the other way, would close the walk within the amber limit."""
    turn = np.radians(closed.degrees)
    steps = closed.lengths_m[:, None] * np.column_stack((np.cos(turn), np.sin(turn)))
    left, perimeter = gap - 2.0 * steps, float(closed.lengths_m.sum())
    sizes = np.hypot(left[:, 0], left[:, 1]).tolist()
    return [k for k, size in enumerate(sizes) if gap_grade(size, perimeter) is not Grade.RED]


def compass_word(degrees: float) -> str:
    """Direction on the sheet in words, to an eighth of a turn."""
    words = ("right", "up and right", "up", "up and left", "left", "down and left", "down", "down and right")
    return words[round(degrees / 45.0) % 8]

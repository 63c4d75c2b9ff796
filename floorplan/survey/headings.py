"""Directions of a walk: from what was said at each corner to an angle on the sheet, or to an unknown one.

Words: a *leg* is one side as walked; its *heading* is its direction, counter-clockwise from the sheet's
right. A heading may be said outright, as a turn from the leg before, as the inside angle at the leg's
first corner, or not at all. Legs whose headings hang on one that is missing turn with it: they are its
*train*.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

import numpy as np

from ..geometry.arcs import Floats, Ints
from ..values import dataclass
from .findings import Finding, Unsolved
from .limits import angle_limits_deg


class Said(StrEnum):
    """How the heading of a leg was given."""

    ABSOLUTE = "absolute"
    TURN = "turn"
    INSIDE = "inside"
    MISSING = "missing"


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """One side as walked.

    Attributes:
        name: letter of the corner where it starts.
        said: how its heading was given.
        degrees: heading counter-clockwise from the sheet's right; left turn; or inside angle; 0 when missing.
        length_m: straight from corner to corner (the chord of an arc), None when missing.
        length_std_m: standard error of the length.
        rise_m: of an arc, positive out of the floor, 0 for a straight side.
        rise_std_m: its standard error.
    """

    name: str
    said: Said
    degrees: float = 0.0
    length_m: float | None = None
    length_std_m: float = 0.0
    rise_m: float = 0.0
    rise_std_m: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Headings:
    """Headings of all legs.

    Attributes:
        degrees: (n,) heading, or the angle from the missing heading that a leg hangs on.
        train: (n,) index of the leg whose missing heading a leg turns with; -1 where the heading is known.
        slopes: (n, n) derivative of each heading by each leg's own `degrees`.
        angle_gap_deg: by how much the angles fail to add up; None where nothing checks them.
    """

    degrees: Floats
    train: Ints
    slopes: Floats
    angle_gap_deg: float | None = None


def senses(legs: Sequence[Leg]) -> tuple[int, ...]:
    """Ways round to try: 1 counter-clockwise, -1 clockwise; 0 where no heading depends on it."""
    from_angles = _all_from_angles(legs)
    return (-1, 1) if from_angles or any(leg.said is Said.INSIDE for leg in legs) else (0,)


def headings(legs: Sequence[Leg], sense: int, angle_std_deg: float) -> Headings:
    """Headings for one way round.

    Raises:
        Unsolved: the angles do not add up.
    """
    if _all_from_angles(legs):
        return _from_angle_sum(legs, sense, angle_std_deg)
    n = len(legs)
    start = next((k for k, leg in enumerate(legs) if leg.said is Said.ABSOLUTE), None)
    first = 0 if start is None else start
    degrees, train, slopes = np.zeros(n), np.full(n, -1), np.zeros((n, n))
    for step in range(n):
        k = (first + step) % n
        leg, before = legs[k], (k - 1) % n
        if step == 0 and start is None:
            continue  # no heading was said outright: the first leg runs along the sheet
        if leg.said is Said.ABSOLUTE:
            degrees[k], slopes[k, k] = leg.degrees, 1.0
        elif leg.said is Said.MISSING:
            train[k] = k
        else:
            degrees[k] = degrees[before] + _turn(leg, sense)
            train[k] = train[before]
            slopes[k] = slopes[before]
            slopes[k, k] = 1.0 if leg.said is Said.TURN else -float(sense)
    return Headings(degrees=degrees, train=train, slopes=slopes)


def _turn(leg: Leg, sense: int) -> float:
    return leg.degrees if leg.said is Said.TURN else sense * (180.0 - leg.degrees)


def _all_from_angles(legs: Sequence[Leg]) -> bool:
    """True when only angles were said, one at every corner or at all but one: then they must add up."""
    missing = sum(leg.said is Said.MISSING for leg in legs)
    return (
        missing <= 1
        and legs[0].said is not Said.MISSING
        and all(leg.said is not Said.ABSOLUTE for leg in legs)
    )


def angle_gap_deg(legs: Sequence[Leg], sense: int) -> float:
    """By how much the turns at all corners miss one whole turn; what is missing counts as none."""
    return sum(_turn(leg, sense) for leg in legs if leg.said is not Said.MISSING) - 360.0 * sense


def _from_angle_sum(legs: Sequence[Leg], sense: int, angle_std_deg: float) -> Headings:
    """The first leg along the sheet; one whole turn in all balances the angles or gives the missing one."""
    n = len(legs)
    turns = np.array([0.0 if leg.said is Said.MISSING else _turn(leg, sense) for leg in legs])
    own = np.array([1.0 if leg.said is Said.TURN else -float(sense) for leg in legs])
    open_ = [k for k, leg in enumerate(legs) if leg.said is Said.MISSING]
    gap = angle_gap_deg(legs, sense)
    if open_:
        turns[open_[0]] = -gap
        by = np.eye(n)
        by[open_[0]] = -1.0
        by[:, open_[0]] = 0.0
    else:
        if abs(gap) > angle_limits_deg(angle_std_deg, n)[1]:
            raise Unsolved(_angles_open(legs, gap, sense))
        turns = turns - gap / n
        by = np.eye(n) - 1.0 / n
    # Leg k has turned at corners 1 … k; the first leg is the datum.
    running = np.tril(np.ones((n, n)))
    running[:, 0] = 0.0
    return Headings(
        degrees=running @ turns,
        train=np.full(n, -1),
        slopes=running @ by * own,
        angle_gap_deg=None if open_ else gap,
    )


def _angles_open(legs: Sequence[Leg], gap_deg: float, sense: int) -> Finding:
    inside = all(leg.said is Said.INSIDE for leg in legs)
    should = (len(legs) - 2) * 180.0 if inside else 360.0
    found = should - sense * gap_deg if inside else abs(360.0 * sense + gap_deg)
    return Finding(
        code="walk-angles-open",
        about=tuple(leg.name for leg in legs),
        figures={"found_deg": found, "should_deg": should, "gap_deg": abs(gap_deg)},
    )


def compass_word(degrees: float) -> str:
    """Direction on the sheet in words, to an eighth of a turn."""
    words = ("right", "up and right", "up", "up and left", "left", "down and left", "down", "down and right")
    return words[round(degrees / 45.0) % 8]


def said_angle(said: Said, degrees: float) -> str:
    """A turn, inside angle or heading as the plan file has it.

    >>> said_angle(Said.TURN, -118.0)
    'turn right 118.0'
    """
    if said is Said.TURN:
        near = (degrees + 180.0) % 360.0 - 180.0 if abs(degrees) > 360.0 else degrees
        return f"turn {'left' if near >= 0.0 else 'right'} {abs(near):.1f}"
    if said is Said.INSIDE:
        return f"inside {degrees % 360.0:.1f}"
    return f"azimuth {(90.0 - degrees) % 360.0:.1f}"

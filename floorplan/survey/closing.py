"""What closing the walk gives: up to two missing values, and the gap that is left.

The legs add up to nothing when the walk comes back to its start: two equations, so two lengths or
directions may be left out. A missing direction turns its whole train of legs; the train is one arrow whose
length is known. All cases are then meetings of lines and circles, some with two answers.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from ..geometry.arcs import Floats
from ..values import dataclass
from .findings import Finding, Unsolved
from .headings import Headings, Leg

_FLAT = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Closed:
    """Lengths and headings with the missing ones filled in.

    Attributes:
        lengths_m: (n,) of every leg.
        degrees: (n,) heading of every leg.
        found_lengths: legs whose length came from closing.
        found_trains: legs whose heading came from closing (their trains turn with them).
    """

    lengths_m: Floats
    degrees: Floats
    found_lengths: tuple[int, ...]
    found_trains: tuple[int, ...]

    @property
    def found(self) -> int:
        """How many values came from closing."""
        return len(self.found_lengths) + len(self.found_trains)


@dataclass(frozen=True, slots=True)
class _Open:
    """The walk as complex numbers: fixed part, trains, and the legs of unknown length."""

    legs: Sequence[Leg]
    said: Headings
    lengths: tuple[int, ...]
    trains: tuple[int, ...]

    def unit(self, k: int) -> complex:
        """Direction of a leg, within its train where it has one."""
        turn = math.radians(self.said.degrees[k])
        return complex(math.cos(turn), math.sin(turn))

    def sum(self, train: int) -> complex:
        """Known legs of a train (-1: those of known heading) added up."""
        return sum(
            (leg.length_m * self.unit(k) for k, leg in enumerate(self.legs)
             if self.said.train[k] == train and leg.length_m is not None),
            0j,
        )  # fmt: skip


def close(legs: Sequence[Leg], said: Headings) -> list[Closed]:
    """All ways to fill in what is missing; one when nothing is.

    Raises:
        Unsolved: more than two values are missing, or no values make the walk close.
    """
    lengths = tuple(k for k, leg in enumerate(legs) if leg.length_m is None)
    trains = tuple(int(k) for k in np.unique(said.train) if k >= 0)
    walk = _Open(legs, said, lengths, trains)
    names = _missing_names(walk)
    if len(lengths) + len(trains) > 2:
        raise Unsolved(Finding(code="walk-too-many-missing", about=names, figures={"legs": ", ".join(names)}))
    answers = _answers(walk)
    good = [a for a in answers if all(length > _FLAT for length in a[0])]
    if not good:
        raise Unsolved(_no_answer(walk, answers))
    return [_filled(walk, *answer) for answer in good]


def _missing_names(walk: _Open) -> tuple[str, ...]:
    n = len(walk.legs)
    return tuple(
        f"{walk.legs[k].name}-{walk.legs[(k + 1) % n].name}" for k in sorted({*walk.lengths, *walk.trains})
    )


def _answers(walk: _Open) -> list[tuple[tuple[float, ...], tuple[float, ...]]]:
    """(lengths, turns in radians) that close the walk, in the order of `walk.lengths` and `walk.trains`."""
    rest = walk.sum(-1)
    match len(walk.lengths), len(walk.trains):
        case 0, 0:
            return [((), ())]
        case 1, 0:
            # The length that brings the end nearest to the start; what is left is across the leg.
            return [((-(rest * walk.unit(walk.lengths[0]).conjugate()).real,), ())]
        case 0, 1:
            return [((), (_angle(-rest) - _angle(walk.sum(walk.trains[0])),))]
        case 2, 0:
            return _two_lengths(rest, *(walk.unit(k) for k in walk.lengths))
        case 0, 2:
            return [((), turns) for turns in _two_turns(rest, *(walk.sum(k) for k in walk.trains))]
    return _length_and_turn(walk, rest)


def _two_lengths(rest: complex, u: complex, v: complex) -> list[tuple[tuple[float, ...], tuple[float, ...]]]:
    across = (u.conjugate() * v).imag
    if abs(across) < 1e-6:
        return []
    a = -(v.conjugate() * -rest).imag / across
    b = (u.conjugate() * -rest).imag / across
    return [((a, b), ())]


def _two_turns(rest: complex, one: complex, other: complex) -> list[tuple[float, float]]:
    """Turns of two arrows that lead back: a triangle of three known sides, and its mirror image."""
    gap, a, b = abs(rest), abs(one), abs(other)
    if min(gap, a, b) < _FLAT:
        return []
    cos = (gap * gap + a * a - b * b) / (2.0 * gap * a)
    if abs(cos) > 1.0 + 1e-9:
        return []
    aside = math.acos(max(-1.0, min(1.0, cos)))
    found = []
    for turn in (aside, -aside) if aside > _FLAT else (0.0,):
        first = _angle(-rest) + turn
        left = -rest - a * complex(math.cos(first), math.sin(first))
        found.append((first - _angle(one), _angle(left) - _angle(other)))
    return found


def _length_and_turn(walk: _Open, rest: complex) -> list[tuple[tuple[float, ...], tuple[float, ...]]]:
    """A line and a circle: the leg of unknown length is the line, the train (or the rest) the circle."""
    k, train = walk.lengths[0], walk.trains[0]
    unit, arrow = walk.unit(k), walk.sum(train)
    within = walk.said.train[k] == train
    start, reach = (arrow, abs(rest)) if within else (rest, abs(arrow))
    half = (start * unit.conjugate()).real
    square = half * half - abs(start) ** 2 + reach * reach
    if square < -1e-9 * max(1.0, reach * reach):
        return []
    root = math.sqrt(max(0.0, square))
    found: list[tuple[tuple[float, ...], tuple[float, ...]]] = []
    for length in (-half + root, -half - root) if root > _FLAT else (-half,):
        tip = start + length * unit
        turn = _angle(-rest) - _angle(tip) if within else _angle(-tip) - _angle(arrow)
        found.append(((length,), (turn,)))
    return found


def _angle(z: complex) -> float:
    return math.atan2(z.imag, z.real)


def _filled(walk: _Open, lengths: tuple[float, ...], turns: tuple[float, ...]) -> Closed:
    full = np.array([leg.length_m if leg.length_m is not None else 0.0 for leg in walk.legs])
    full[list(walk.lengths)] = lengths
    degrees = walk.said.degrees.copy()
    for train, turn in zip(walk.trains, turns, strict=True):
        degrees[walk.said.train == train] += math.degrees(turn)
    return Closed(
        lengths_m=full, degrees=degrees % 360.0, found_lengths=walk.lengths, found_trains=walk.trains
    )


def _no_answer(walk: _Open, answers: list[tuple[tuple[float, ...], tuple[float, ...]]]) -> Finding:
    names = _missing_names(walk)
    code = "walk-missing-backwards" if answers else "walk-missing-impossible"
    if len(walk.lengths) == 2 and not answers:
        code = "walk-missing-parallel"
    return Finding(code=code, about=names, figures={"legs": " and ".join(names)})

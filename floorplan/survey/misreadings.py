"""How a length gets misread: the marks of a known mistake in the size of an error.

All are common practice, no source. Each row makes, from what was taped, what may really have been there.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from ..units.factors import CM_M, FOOT_M, INCH_M, INCHES_PER_FOOT
from ..values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Misreading:
    """What a length may really be, and the mistake that turns it into what was taped."""

    true_m: float
    why: str


def likely(taped_m: float, expected_m: float, slack_m: float, *, feet: bool) -> Misreading | None:
    """The known mistake that explains best why `taped_m` stands where the others say `expected_m`.

    Args:
        taped_m: as read.
        expected_m: what the other lengths say.
        slack_m: how far the true length may lie from `expected_m`.
        feet: marks of a tape in feet and inches, else of a metric one.
    """
    known = [m for m in misreadings(taped_m, feet=feet) if abs(m.true_m - expected_m) <= slack_m]
    # A foot off by accuracy of an inch may also look like 11 in or 13 in: the nearest known mistake wins,
    # the first on a tie.
    return min(known, key=lambda m: round(abs(m.true_m - expected_m) / slack_m, 1), default=None)


def misreadings(taped_m: float, *, feet: bool) -> Iterator[Misreading]:
    """Everything that a taped length may really be, the most usual mistakes first."""
    rows = _steps(taped_m, _FEET_STEPS if feet else _METRIC_STEPS)
    yield from rows
    yield from _figures(taped_m, feet=feet)


_FEET_STEPS = (
    (12.0 * INCH_M, "a foot misread, or the tape held at the 1 ft mark", "a foot misread"),
    (1.0 * INCH_M, "an inch misread, or the tape held at the 1 in mark", "an inch misread"),
    (
        6.0 * INCH_M,
        "6 in misread: a 6 and a 12, or a flipped 6 or 9",
        "6 in misread: a 6 and a 12, or a flipped 6 or 9",
    ),
    (10.0 * INCH_M, "10 in misread, or the tape held at the 10 in mark", "10 in misread or dropped"),
    (120.0 * INCH_M, "ten feet misread", "ten feet misread or dropped"),
)
_METRIC_STEPS = (
    (1.0, "a metre misread", "a metre misread"),
    (10.0 * CM_M, "100 mm misread, or the tape held at the 100 mm mark", "100 mm misread"),
    (1.0 * CM_M, "10 mm misread, or the tape held at the 10 mm mark", "10 mm misread"),
    (10.0, "ten metres misread", "ten metres misread or dropped"),
)


def _steps(taped_m: float, steps: tuple[tuple[float, str, str], ...]) -> Iterator[Misreading]:
    for size_m, long, short in steps:
        if taped_m > size_m:
            yield Misreading(true_m=taped_m - size_m, why=long)
        yield Misreading(true_m=taped_m + size_m, why=short)


def _figures(taped_m: float, *, feet: bool) -> Iterator[Misreading]:
    """Figures of the reading itself put wrong: 6 for 9, two figures the wrong way round."""
    if feet:
        whole = math.floor(taped_m / FOOT_M + 1e-9)
        inches = (taped_m - whole * FOOT_M) / INCH_M
        full, rest = math.floor(inches + 1e-9), inches - math.floor(inches + 1e-9)
        for other, why in _other_figures(whole):
            yield Misreading(true_m=other * FOOT_M + inches * INCH_M, why=f"{why} in the feet")
        for other, why in _other_figures(full):
            if other < INCHES_PER_FOOT:
                yield Misreading(true_m=whole * FOOT_M + (other + rest) * INCH_M, why=f"{why} in the inches")
        if rest < 1e-6 and full > 0 and whole < INCHES_PER_FOOT:
            yield Misreading(true_m=full * FOOT_M + whole * INCH_M, why="feet and inches the wrong way round")
        yield Misreading(true_m=taped_m * INCHES_PER_FOOT, why="feet written as inches")
        yield Misreading(true_m=taped_m / INCHES_PER_FOOT, why="inches written as feet")
        tenths = (taped_m / FOOT_M - whole) * 10.0
        if abs(tenths - round(tenths)) < 1e-6 and 1 <= round(tenths) <= 9:
            yield Misreading(
                true_m=whole * FOOT_M + round(tenths) * INCH_M, why="inches typed as tenths of a foot"
            )
        return
    whole = math.floor(taped_m / CM_M + 1e-9)
    for other, why in _other_figures(whole):
        yield Misreading(true_m=taped_m + (other - whole) * CM_M, why=f"{why} in the centimetres")


def _other_figures(number: int) -> Iterator[tuple[int, str]]:
    text = str(number)
    for k, figure in enumerate(text):
        if figure in "69":
            yield int(text[:k] + ("9" if figure == "6" else "6") + text[k + 1 :]), "a 6 and a 9 flipped"
    for k in range(len(text) - 1):
        if text[k] != text[k + 1]:
            yield int(text[:k] + text[k + 1] + text[k] + text[k + 2 :]), "two figures the wrong way round"


@dataclass(frozen=True, slots=True, kw_only=True)
class MisreadAngle:
    """What an angle may really be, and the mistake that turns it into what was read."""

    true_deg: float
    why: str


def misread_angles(read_deg: float, *, inside: bool) -> Iterator[MisreadAngle]:
    """Everything that an angle may really be, the most usual mistakes first.

    Args:
        read_deg: an inside angle; or a turn or heading, counter-clockwise positive.
        inside: it is an inside angle.
    """
    if inside:
        yield MisreadAngle(true_deg=360.0 - read_deg, why="measured outside")
        if read_deg < 180.0:
            yield MisreadAngle(true_deg=180.0 - read_deg, why="the angle beside it read")
    else:
        yield MisreadAngle(true_deg=-read_deg, why="a left for a right")
        yield MisreadAngle(
            true_deg=math.copysign(180.0 - abs(read_deg), read_deg), why="the angle beside it read"
        )
    whole = math.floor(abs(read_deg) + 1e-9)
    for other, why in _other_figures(whole):
        yield MisreadAngle(true_deg=math.copysign(abs(read_deg) + other - whole, read_deg), why=why)
    for step in (10.0, -10.0):
        yield MisreadAngle(true_deg=read_deg + step, why="ten degrees misread")

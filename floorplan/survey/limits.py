"""What counts as a good, a doubtful and a bad fit. All limits are common practice, no source."""

from __future__ import annotations

import math
from enum import StrEnum
from statistics import NormalDist

from ..units.factors import INCH_M


class Grade(StrEnum):
    """Green: as good as a tape gets. Amber: usable, look again. Red: something is wrong."""

    GREEN = "green"
    AMBER = "amber"
    RED = "red"


GAP_GREEN_M, GAP_GREEN_RATIO = 1.0 * INCH_M, 500.0
GAP_AMBER_M, GAP_AMBER_RATIO = 3.0 * INCH_M, 200.0
"""A walk closes green within 1 in or 1:500 of its perimeter, amber within 3 in or 1:200, else red."""

RESIDUAL_GREEN_M = 0.5 * INCH_M
RESIDUAL_AMBER_M = 1.5 * INCH_M
"""Fitted less taped: green within 1/2 in, amber within 1 1/2 in."""

WEAK_ANGLE_DEG = 15.0
"""Two lengths that cross at less than this hold a corner weakly: 1/4 in of tape can move it 1 in and more."""

_ALARM = 0.02
"""Chance that any length of a clean sketch is called a suspect; a crew would put up with 5 %."""

_SINGLE = 3.29
"""Least critical value of a standardised residual: two-sided 0.1 %, as usual in data snooping."""


def gap_grade(gap_m: float, perimeter_m: float) -> Grade:
    """Grade of a walk's closing gap; the kinder of the two limits counts.

    >>> gap_grade(0.5 * INCH_M, 10.0).value
    'green'
    """
    if gap_m <= max(GAP_GREEN_M, perimeter_m / GAP_GREEN_RATIO):
        return Grade.GREEN
    if gap_m <= max(GAP_AMBER_M, perimeter_m / GAP_AMBER_RATIO):
        return Grade.AMBER
    return Grade.RED


def residual_grade(residual_m: float) -> Grade:
    """Grade of one length's residual, either sign."""
    if abs(residual_m) <= RESIDUAL_GREEN_M:
        return Grade.GREEN
    return Grade.AMBER if abs(residual_m) <= RESIDUAL_AMBER_M else Grade.RED


def critical(count: int) -> float:
    """Standardised residual beyond which the worst of `count` lengths is a suspect (Bonferroni's bound)."""
    return max(_SINGLE, NormalDist().inv_cdf(1.0 - 0.5 * _ALARM / max(1, count)))


def chi2_limit(redundancy: int, chance: float = 0.001) -> float:
    """What a sum of squared standard residuals exceeds by so small a chance (Wilson and Hilferty's rule)."""
    if redundancy <= 0:
        return math.inf
    part = 2.0 / (9.0 * redundancy)
    return float(redundancy * (1.0 - part + NormalDist().inv_cdf(1.0 - chance) * math.sqrt(part)) ** 3)


def angle_limits_deg(std_deg: float, count: int) -> tuple[float, float]:
    """Green and amber limit of an angle sum over so many corners: two and three times std · √count."""
    return 2.0 * std_deg * math.sqrt(count), 3.0 * std_deg * math.sqrt(count)

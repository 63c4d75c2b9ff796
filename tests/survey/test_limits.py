"""Limits of a good fit, and the statistics behind them against scipy."""

from __future__ import annotations

import pytest
from scipy.stats import chi2, norm

from floorplan.survey.instruments import DEFAULT, INSTRUMENTS
from floorplan.survey.limits import Grade, chi2_limit, critical, gap_grade, residual_grade
from floorplan.units.factors import FOOT_M, INCH_M


@pytest.mark.parametrize("redundancy", [1, 2, 5, 20, 100])
def test_chi2_limit_matches_scipy(redundancy: int) -> None:
    """The limit of the sum of squares is within 4 % of the exact 99.9 % point."""
    assert chi2_limit(redundancy) == pytest.approx(chi2.ppf(0.999, redundancy), rel=0.04)


def test_chi2_limit_without_checks() -> None:
    """Where nothing is checked there is no limit."""
    assert chi2_limit(0) == float("inf")


@pytest.mark.parametrize("count", [1, 10, 50, 100, 1000])
def test_critical_value_holds_the_alarm_rate(count: int) -> None:
    """Bonferroni's bound on false alarms over all lengths stays within 5 %."""
    assert 2.0 * count * norm.sf(critical(count)) <= 0.0501


@pytest.mark.parametrize(
    ("inches", "feet", "grade"),
    [
        (1.0, 10.0, Grade.GREEN),
        (1.01, 10.0, Grade.AMBER),
        (3.0, 10.0, Grade.AMBER),
        (3.01, 10.0, Grade.RED),
        (2.4, 100.0, Grade.GREEN),
        (2.41, 100.0, Grade.AMBER),
        (6.0, 100.0, Grade.AMBER),
        (6.01, 100.0, Grade.RED),
    ],
)
def test_gap_grades(inches: float, feet: float, grade: Grade) -> None:
    """1 in or 1:500 is green, 3 in or 1:200 amber (common practice, no source)."""
    assert gap_grade(inches * INCH_M * (1 - 1e-9), feet * FOOT_M) is grade


@pytest.mark.parametrize(
    ("inches", "grade"),
    [(0.0, Grade.GREEN), (-0.5, Grade.GREEN), (0.51, Grade.AMBER), (-1.5, Grade.AMBER), (1.51, Grade.RED)],
)
def test_residual_grades(inches: float, grade: Grade) -> None:
    """1/2 in is green, 1 1/2 in amber, either sign (common practice, no source)."""
    assert residual_grade(inches * INCH_M * (1 - 1e-9)) is grade


@pytest.mark.parametrize(
    ("name", "feet", "inches"),
    [
        ("blade tape", 20, 1 / 8),
        ("reel tape", 50, 1 / 4),
        ("reel tape", 51, 1 / 2),
        ("laser", 20, 1 / 8),
        ("wheel", 50, 6.0),
        ("decimal tape", 20, 1.2 / 12**0.5),
    ],
)
def test_instrument_error(name: str, feet: float, inches: float) -> None:
    """Each instrument's standard error at a length (common practice; the decimal tape by its rounding)."""
    assert INSTRUMENTS[name].std_of_m(feet * FOOT_M) == pytest.approx(inches * INCH_M)


def test_default_instrument_is_in_the_table() -> None:
    """The default is a row of the table, and rows are found by their names."""
    assert INSTRUMENTS[DEFAULT].std_of_m(1.0) == pytest.approx(INCH_M / 8)
    assert all(name == row.name for name, row in INSTRUMENTS.items())

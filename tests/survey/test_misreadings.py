"""Marks of a misread length. The mistakes are common practice, no source; the arithmetic is plain."""

from __future__ import annotations

import pytest
from survey.sketches import feet

from floorplan.survey.misreadings import likely, misreadings
from floorplan.units.factors import INCH_M


@pytest.mark.parametrize(
    ("taped", "true", "word"),
    [
        (feet(28, 7 / 8), feet(29, 7 / 8), "foot"),
        (feet(30, 7 / 8), feet(29, 7 / 8), "1 ft mark"),
        (feet(12, 5), feet(12, 4), "1 in mark"),
        (feet(12, 10.5), feet(12, 0.5), "10 in"),
        (feet(12, 6), feet(12, 0), "6 in"),
        (feet(16, 3), feet(19, 3), "6 and a 9"),
        (feet(26, 2), feet(29, 2), "6 and a 9"),
        (feet(14, 9), feet(14, 6), "6 and a 9"),
        (feet(31, 4), feet(13, 4), "wrong way round"),
        (feet(21, 4), feet(31, 4), "ten feet"),
        (feet(12.6), feet(12, 6), "tenths of a foot"),
    ],
)
def test_misreading_in_feet(taped: float, true: float, word: str) -> None:
    """Each usual mistake with a tape in feet is known by the size of the error."""
    found = likely(taped, true + 0.05 * INCH_M, 0.3 * INCH_M, feet=True)
    assert found is not None
    assert found.true_m == pytest.approx(true)
    assert word in found.why


@pytest.mark.parametrize(
    ("taped", "true", "word"),
    [
        (4.35, 5.35, "metre"),
        (4.45, 4.35, "100 mm mark"),
        (4.36, 4.35, "10 mm mark"),
        (4.65, 4.95, "6 and a 9"),
        (4.35, 3.45, "wrong way round"),
        (14.35, 4.35, "ten metres"),
    ],
)
def test_misreading_in_metres(taped: float, true: float, word: str) -> None:
    """Each usual mistake with a metric tape is known by the size of the error."""
    found = likely(taped, true + 0.001, 0.004, feet=False)
    assert found is not None
    assert found.true_m == pytest.approx(true)
    assert word in found.why


def test_no_usual_misreading() -> None:
    """An error of 4 3/4 in is no usual mistake."""
    assert likely(feet(12), feet(12, 4.75), 0.3 * INCH_M, feet=True) is None


def test_misreadings_are_lengths() -> None:
    """No misreading of a short length is offered that would be nothing or less."""
    for taped in (0.01, feet(0, 6), feet(1), 0.1, 1.0, 10.0):
        for use_feet in (True, False):
            assert all(m.true_m > 0.0 for m in misreadings(taped, feet=use_feet))

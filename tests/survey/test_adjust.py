"""Least squares against closed forms, where the sheet is rigid by count and not in its shape."""

from __future__ import annotations

import math

import numpy as np
import pytest
from survey.sketches import network

from floorplan.survey import adjust, tape


def test_corner_on_the_line_of_two_others_is_fixed_along_it_only() -> None:
    """A, B and C on one line by three lengths: no length sees C move aside, so it is left out.

    By hand: AB = b, AC = c, CB = b - c, each ± s, have the normal matrix [[2, -1], [-1, 2]] / s²; its
    inverse is [[2, 1], [1, 2]] s² / 3, so that B and C are each good to s √(2/3). Misfits of a loop of
    three lengths share its gap: 3.00 + 2.00 against 5.03 are each 0.01 off.
    """
    sheet = network({"A-B": 5.03, "A-C": 3.0, "C-B": 2.0}, "ABC", std_m=0.006)
    fit = adjust.adjust(sheet, np.array([[0.0, 0.0], [5.0, 0.0], [3.0, 0.0]]))
    assert fit.std_m(1) == pytest.approx(0.006 * math.sqrt(2 / 3))
    assert fit.std_m(2) == pytest.approx(0.006 * math.sqrt(2 / 3))
    assert fit.points == pytest.approx(np.array([[0, 0], [5.02, 0], [3.01, 0]]), abs=1e-9)
    assert fit.misfits == pytest.approx([-0.01, 0.01, 0.01], abs=1e-9)


@pytest.mark.parametrize("side", [0.3, 0.9, 1.1, 40.0])
def test_floor_of_any_size_is_walked_the_stated_way_round(side: float) -> None:
    """A square with both diagonals, listed counter-clockwise or clockwise, is laid that way round."""
    sheet = network(
        {"A-B": side, "B-C": side, "C-D": side, "D-A": side, "A-C": side * 2**0.5, "B-D": side * 2**0.5},
        "ABCD",
    )
    for clockwise, up in ((False, 1.0), (True, -1.0)):
        points = tape.solve(sheet, clockwise=clockwise).points
        assert points == pytest.approx(side * np.array([[0, 0], [1, 0], [1, up], [0, up]]), abs=1e-6)

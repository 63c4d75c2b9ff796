"""Outlines that cross themselves, points inside, corners that stand in."""

from __future__ import annotations

import numpy as np

from floorplan.survey.simple import crossing_sides, inside, turns_in

L_SHAPE = np.array([[0, 0], [5, 0], [5, 2], [3, 2], [3, 4], [0, 4]], dtype=float)


def test_simple_outline_has_no_crossing() -> None:
    """An L does not cross itself, either way round."""
    assert crossing_sides(L_SHAPE) is None
    assert crossing_sides(L_SHAPE[::-1]) is None


def test_bow_tie_crosses() -> None:
    """Two corners swapped make a bow-tie, and its crossing sides are named."""
    bow = np.array([[0, 0], [4, 0], [0, 3], [4, 3]], dtype=float)
    assert crossing_sides(bow) == (1, 3)


def test_touching_is_not_crossing() -> None:
    """A corner that only touches another side does not count."""
    touch = np.array([[0, 0], [4, 0], [4, 4], [2, 0], [0, 4]], dtype=float)
    assert crossing_sides(touch) is None


def test_inside_of_an_l() -> None:
    """A point in the notch of an L is outside, one in the legs is inside."""
    assert inside(L_SHAPE, np.array([4.0, 1.0]))
    assert inside(L_SHAPE, np.array([1.0, 3.0]))
    assert not inside(L_SHAPE, np.array([4.0, 3.0]))
    assert not inside(L_SHAPE, np.array([-1.0, 1.0]))


def test_corner_that_stands_in() -> None:
    """The one inside corner of an L is found either way round."""
    assert turns_in(L_SHAPE) == (3,)
    assert turns_in(L_SHAPE[::-1]) == (2,)

"""Area derivatives against differences, arcs included."""

from __future__ import annotations

import numpy as np
import pytest

from floorplan.geometry.rings import Ring
from floorplan.survey.enclosed import enclosed

CORNERS = np.array([[0.0, 0.0], [6.0, 0.3], [6.4, 4.0], [3.0, 3.1], [0.2, 4.4]])


def _area(corners: np.ndarray, rises: np.ndarray) -> float:
    """By the ring of the geometry package: bulge = 2 rise / chord, positive out on a counter-clockwise
    outline."""
    chords = np.hypot(*(np.roll(corners, -1, axis=0) - corners).T)
    ring = Ring(corners, 2.0 * rises / chords)
    return ring.area_m2


@pytest.mark.parametrize("rises", [(0, 0, 0, 0, 0), (0.5, 0, -0.3, 0, 0.01), (0, 2.9, 0, 0.4, 0)])
def test_area_and_slopes(rises: tuple[float, ...]) -> None:
    """The area is the ring's, and its slopes by corners and rises are central differences of it."""
    out = np.array(rises, dtype=float)
    shape = enclosed(CORNERS, out)
    assert shape.area_m2 == pytest.approx(_area(CORNERS, out), rel=1e-12)
    for k in range(10):
        nudge = np.zeros(10)
        nudge[k] = 1e-5
        step = nudge.reshape(-1, 2)
        slope = (_area(CORNERS + step, out) - _area(CORNERS - step, out)) / 2e-5
        assert shape.by_corner.ravel()[k] == pytest.approx(slope, abs=1e-6)
    for k in range(5):
        nudge = np.zeros(5)
        nudge[k] = 1e-5
        slope = (_area(CORNERS, out + nudge) - _area(CORNERS, out - nudge)) / 2e-5
        if out[k]:
            assert shape.by_rise[k] == pytest.approx(slope, abs=1e-6)


def test_clockwise_gives_the_same() -> None:
    """Listing the corners clockwise changes neither the area nor its slopes."""
    rises = np.array([0.5, 0.0, -0.3, 0.0, 0.01])
    one = enclosed(CORNERS, rises)
    # Side k of the reversed list is side n - 2 - k of the first.
    other = enclosed(CORNERS[::-1], np.roll(rises[::-1], -1))
    assert other.area_m2 == pytest.approx(one.area_m2)
    assert other.by_corner[::-1] == pytest.approx(one.by_corner)

"""A part of the floor named by its corners."""

from __future__ import annotations

import pytest
import shapes
from shapely import Polygon, box

from floorplan.geometry.rings import Ring
from floorplan.measure.nearby import corner_words
from floorplan.measure.solved import SolvedShape

RING = [(0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (3.0, 6.0), (0.0, 4.0)]


@pytest.mark.parametrize(
    ("part", "words"),
    [
        (Polygon(RING), "at A, B, C, D, …"),
        (box(0, 0, 6, 4), "at A, B, C, E"),
        (box(0, 0, 1, 4), "at A, E"),
        (box(5, 1, 6, 2), "near B"),
        (box(1, 3, 2, 4.5), "near E"),
    ],
)
def test_part_is_named_by_up_to_four_corners(part: Polygon, words: str) -> None:
    """A house's outline, five corners: four are named, a fifth is dots, and none makes it the nearest."""
    sides = shapes.outline(RING, "wall", unit=shapes.metres).sides
    shape = SolvedShape(ring=Ring(RING, [0.0] * 5), labels=tuple("ABCDE"), sides=sides)
    assert corner_words(part, shape) == words

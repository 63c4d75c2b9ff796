"""Where a cut-out stands: the sides that it is measured from, by shapely's distances."""

from __future__ import annotations

import itertools
import math

import pytest
import shapes
from shapely import LineString, Point

import floorplan
from floorplan.drawing.locating import references

PENTAGON = [(103.0, -41.0), (121.0, -45.5), (131.0, -30.0), (117.0, -18.0), (100.0, -25.0)]
"""Far from the origin and square to nothing, feet."""


@pytest.mark.parametrize("x", [106.0, 111.5, 117.0, 124.0])
@pytest.mark.parametrize("y", [-38.0, -33.5, -28.0])
def test_distances_are_square_to_the_nearest_sides(x: float, y: float) -> None:
    """The nearest side of all, then the nearest at 40° to it or more, where the foot lies on the side."""
    post = shapes.cutout("post", [(x, y)], (0.8, 0.8))
    slab = floorplan.takeoff(shapes.plan(shapes.slab(shapes.outline(PENTAGON), cutouts=(post,)))).slabs[0]
    (cutout,) = slab.cutouts
    found = references(slab, cutout)

    foot_m = 0.3048
    centre = Point(x * foot_m, y * foot_m)
    sides = {}
    for k, (a, b) in enumerate(itertools.pairwise([*PENTAGON, PENTAGON[0]])):
        line = LineString([(a[0] * foot_m, a[1] * foot_m), (b[0] * foot_m, b[1] * foot_m)])
        along = line.project(centre)
        if 1e-9 < along < line.length - 1e-9:
            sides["ABCDE"[k] + "-" + "BCDEA"[k]] = line
    nearest = sorted(sides, key=lambda name: sides[name].distance(centre))

    def turn(name: str) -> float:
        (x0, y0), (x1, y1) = sides[name].coords
        return math.degrees(math.atan2(y1 - y0, x1 - x0))

    across = [n for n in nearest[1:] if 40.0 <= (turn(n) - turn(nearest[0])) % 180.0 <= 140.0]
    assert [reference.side for reference in found] == [nearest[0], *across[:1]][: 2 if across else 0]
    for reference in found:
        side = sides[reference.side]
        assert reference.point == pytest.approx((centre.x, centre.y), abs=1e-9)
        assert reference.distance_m == pytest.approx(side.distance(centre), abs=1e-9)
        assert reference.foot == pytest.approx(side.interpolate(side.project(centre)).coords[0], abs=1e-9)

"""Floors with many posts cut along a line: the same as GEOS cuts them whole."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from shapely import Polygon

from floorplan.work.cut_lines import CutLine
from floorplan.work.dividing import rooms
from floorplan.work.splitting import FEW_HOLES, cuts

LEGS = Polygon([(0, 0), (30, 0), (30, 20), (20, 20), (20, 8), (10, 8), (10, 20), (0, 20)])
"""A U: a line across both legs leaves two parts above it."""


def _posts(step: float) -> Polygon:
    """The U with round posts on a grid, and a cut-out that touches its edge in one point."""
    every = [shapely.Point(x * step, y * step).buffer(0.2) for x in range(1, 20) for y in range(1, 14)]
    corner = Polygon([(0, 4), (0.3, 3.8), (0.3, 4.2)])
    inside = [post for post in every if LEGS.contains(post) and not post.intersects(corner)]
    return Polygon(LEGS.exterior, [post.exterior for post in (*inside, corner)])


def _beyond(line: CutLine) -> Polygon:
    """The half plane to the left of a line, as far as any of these floors goes."""
    (ux, uy), (nx, ny) = line.along, line.normal
    corners = [(-99, line.offset), (99, line.offset), (99, 99), (-99, 99)]
    return Polygon([(s * ux + t * nx, s * uy + t * ny) for s, t in corners])


@pytest.mark.parametrize("step", [1.5, 2.1])
@pytest.mark.parametrize("angle", [0.0, 0.5 * math.pi, 2.8])
def test_many_holes_go_to_the_side_that_they_stand_on(step: float, angle: float) -> None:
    """The pieces of every cut cover the floor; each is one of GEOS's parts of it, or several."""
    floor = _posts(step)
    assert floor.is_valid
    assert len(floor.interiors) > FEW_HOLES
    looked_at = 0
    for offset in range(-29, 30):
        line = CutLine(angle, offset + 0.3)
        half = _beyond(line)
        parts = shapely.get_parts([shapely.intersection(floor, half), shapely.difference(floor, half)])
        for cut in cuts(floor, line):
            looked_at += 1
            one, other = cut.pieces
            assert one.is_valid
            assert other.is_valid
            assert one.area + other.area == pytest.approx(floor.area, rel=1e-9)
            for piece in cut.pieces:
                mine = sum(part.area for part in parts if piece.buffer(1e-6).covers(part))
                assert piece.area == pytest.approx(mine, rel=1e-9)
    assert looked_at >= 8


def test_a_line_across_both_legs_cuts_one_off_at_a_time() -> None:
    """10 by 10.3 of floor lies above y = 9.7 in either leg, with the posts that stand there."""
    floor = _posts(1.5)
    found = cuts(floor, CutLine(0.0, 9.7))
    assert len(found) == 2
    for cut in found:
        small = min(cut.pieces, key=lambda part: part.area)
        assert small.envelope.area == pytest.approx(103.0, rel=1e-9)
        standing = [Polygon(hole) for hole in floor.interiors if small.envelope.contains(Polygon(hole))]
        assert len(small.interiors) == len(standing) > 30
        assert small.area == pytest.approx(103.0 - sum(post.area for post in standing), rel=1e-9)


@pytest.mark.parametrize(("gap", "parts"), [(0.4, 2), (0.5, 1)])
def test_posts_part_a_room_where_nobody_gets_between_them(gap: float, parts: int) -> None:
    """A row of posts across a hall parts it for a person of 0.45 m, or does not; posts apart never do."""
    wide = (10.0 - 10 * gap) / 9
    row = [shapely.box(x, 5.0, x + wide, 5.6) for x in gap + (wide + gap) * np.arange(9)]
    apart = [shapely.box(x, y, x + 0.2, y + 0.2) for x in range(1, 10) for y in (1, 2, 3, 7, 8, 9)]
    hall = Polygon(shapely.box(0, 0, 10, 10).exterior, [post.exterior for post in (*row, *apart)])
    assert hall.is_valid
    assert len(hall.interiors) > FEW_HOLES
    assert rooms(hall, 0.45) == parts

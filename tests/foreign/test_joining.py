"""Soup of lines and arcs joined into loops: gaps, crossings, overlaps, doubles, partitions."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from foreign.made import areas, drawing_of, lines
from hypothesis import given
from hypothesis import strategies as st

from floorplan.foreign.clusters import components, places

SQUARE = ((0.0, 0.0), (8.0, 0.0), (8.0, 6.0), (0.0, 6.0))


def test_lines_in_any_order_and_direction() -> None:
    """Four lines make the rectangle whatever their order and direction."""

    def draw(model: Any) -> None:
        for start, end in ((2, 3), (1, 0), (2, 1), (3, 0)):
            model.add_line(SQUARE[start], SQUARE[end])

    assert areas(drawing_of(draw)) == [48.0]


def test_exporter_noise_is_joined_unasked() -> None:
    """Ends that miss by 1e-7 of the size meet; the area is that of the drawn corners."""

    def draw(model: Any) -> None:
        model.add_line((0, 0), (8, 1e-6))
        model.add_line((8, 0), (8, 6))
        model.add_line((8 + 1e-6, 6), (0, 6))
        model.add_line((-1e-6, 6), (0, 0))

    drawing = drawing_of(draw)
    assert areas(drawing) == pytest.approx([48.0], rel=1e-6)
    assert drawing.joined.gaps == ()


@pytest.mark.parametrize(("snap", "closes"), [(0.0, False), (0.0099, False), (0.0101, True), (0.1, True)])
def test_gap_at_the_snap(snap: float, closes: bool) -> None:
    """A gap of 0.01 is closed from a snap of 0.01 on, never below, and is told."""

    def draw(model: Any) -> None:
        lines(model, *SQUARE)
        model.add_line((0, 6), (0, 0.01))

    drawing = drawing_of(draw, snap=snap)
    assert areas(drawing) == ([48.0] if closes else [])
    widths = [gap.width for gap in drawing.joined.gaps]
    assert widths == (pytest.approx([0.01]) if closes else [])
    if not closes:
        assert drawing.joined.left_gaps[0].width == pytest.approx(0.01)


def test_corner_short_both_ways_is_run_on() -> None:
    """Two lines that both stop short of their corner are run on to it."""

    def draw(model: Any) -> None:
        model.add_line((0, 0), (7.99, 0))
        model.add_line((8, 0.01), (8, 6))
        lines(model, (8, 6), (0, 6), (0, 0))

    assert areas(drawing_of(draw, snap=0.02)) == pytest.approx([48.0], rel=1e-12)


def test_gap_beside_an_arc_takes_a_straight_piece() -> None:
    """Where an arc cannot be run on, a short straight piece closes the gap."""

    def draw(model: Any) -> None:
        model.add_arc((0, 0), 3, 0, 180)
        model.add_line((-2.99, 0), (3, 0))

    assert areas(drawing_of(draw, snap=0.02)) == pytest.approx([4.5 * math.pi], rel=1e-9)


def test_end_that_stops_short_of_a_line() -> None:
    """A side that stops short of the middle of an overshooting side is run on to it."""

    def draw(model: Any) -> None:
        model.add_line((0, 0), (8.5, 0))
        model.add_line((8, 0.01), (8, 6))
        model.add_line((8, 6), (0, 6))
        model.add_line((0, 6), (0, -0.5))

    drawing = drawing_of(draw, snap=0.02)
    assert areas(drawing) == pytest.approx([48.0], rel=1e-12)
    assert [gap.width for gap in drawing.joined.gaps] == pytest.approx([0.01])
    assert areas(drawing_of(draw, snap=0.005)) == []


def test_gap_of_a_joint_line_is_not_told() -> None:
    """A joint that stops short of the edge is no gap of the outline."""

    def draw(model: Any) -> None:
        lines(model, *SQUARE, closed=True)
        model.add_line((4, 0.01), (4, 5.99))

    drawing = drawing_of(draw, snap=0.02)
    assert areas(drawing) == [48.0]
    assert drawing.joined.gaps == ()


def test_axis_grid_that_overshoots() -> None:
    """Lines that run past their corners are cut there; the ends that hang over are dropped."""

    def draw(model: Any) -> None:
        model.add_line((-1, 0), (9, 0))
        model.add_line((-1, 6), (9, 6))
        model.add_line((0, -1), (0, 7))
        model.add_line((8, -1), (8, 7))

    drawing = drawing_of(draw)
    assert areas(drawing) == pytest.approx([48.0], rel=1e-12)
    assert len(drawing.ring(0)) == 4


def test_lines_drawn_twice_and_overlapping() -> None:
    """Doubles, reversed doubles and collinear overlaps change no area."""

    def draw(model: Any) -> None:
        lines(model, *SQUARE, closed=True)
        model.add_line(SQUARE[0], SQUARE[1])
        model.add_line(SQUARE[2], SQUARE[1])
        model.add_line((2, 6), (5, 6))
        model.add_line((0, 2), (0, 8))

    drawing = drawing_of(draw)
    assert areas(drawing) == pytest.approx([48.0], rel=1e-12)
    assert drawing.joined.repeated == 2
    assert len(drawing.open_strokes()) == 2


def test_arcs_that_overlap_on_one_circle() -> None:
    """Two arcs that overlap on one circle close it once."""

    def draw(model: Any) -> None:
        model.add_arc((0, 0), 2, 0, 200)
        model.add_arc((0, 0), 2, 170, 20)

    assert areas(drawing_of(draw)) == pytest.approx([4.0 * math.pi], rel=1e-9)


def test_zero_length_lines_are_passed_over() -> None:
    """A line without length joins nothing and breaks nothing."""

    def draw(model: Any) -> None:
        lines(model, *SQUARE, closed=True)
        model.add_line((8, 0), (8, 0))
        model.add_line((3, 3), (3, 3))

    assert areas(drawing_of(draw)) == [48.0]


def test_inner_lines_split_the_outline_but_do_not_end_it() -> None:
    """Partitions that meet the outline in its corners make faces; the outline is their union."""

    def draw(model: Any) -> None:
        lines(model, (0, 0), (4, 0), (8, 0), (8, 6), (4, 6), (0, 6), closed=True)
        model.add_line((4, 0), (4, 6), dxfattribs={"layer": "JOINT"})

    drawing = drawing_of(draw)
    assert areas(drawing) == pytest.approx([48.0])
    assert drawing.loops.faces.tolist() == [2]
    assert [drawing.source.layers[int(drawing.strokes.layer[k])].name for k in drawing.open_strokes()] == [
        "JOINT"
    ]


def _grid(model: Any) -> None:
    for x in (2, 4, 6):
        model.add_line((x, 0), (x, 6), dxfattribs={"layer": "JOINT"})
    for y in (2, 4):
        model.add_line((0, y), (8, y), dxfattribs={"layer": "JOINT"})


def test_grid_of_joints_is_no_cutout() -> None:
    """Crossing joints enclose fields, but run on to the edges: nothing is cut out, all are open lines."""

    def polyline(model: Any) -> None:
        model.add_lwpolyline(SQUARE, close=True)
        _grid(model)

    def soup(model: Any) -> None:
        lines(model, *SQUARE, closed=True)
        _grid(model)

    for draw in (polyline, soup):
        drawing = drawing_of(draw)
        assert areas(drawing) == [48.0]
        assert len(drawing.open_strokes()) == 5


def test_small_overshoot_is_still_a_cutout() -> None:
    """A pit of lines that overshoot their corners a little is a cut-out."""

    def draw(model: Any) -> None:
        model.add_lwpolyline(SQUARE, close=True)
        for x in (2, 4):
            model.add_line((x, 1.95), (x, 4.05))
        for y in (2, 4):
            model.add_line((1.95, y), (4.05, y))

    assert areas(drawing_of(draw)) == pytest.approx([48.0, 4.0])


def test_patio_drawn_against_a_house() -> None:
    """Three lines that end on the wall of a house bound a floor with it, split or not by a joint."""

    def draw(model: Any) -> None:
        house = [(0, 0), (20, 0), (20, -10), (0, -10)]
        model.add_lwpolyline(house, close=True, dxfattribs={"layer": "HOUSE"})
        lines(model, (4, 0), (4, 7), (16, 7), (16, 0), layer="PATIO")
        model.add_line((10, 0), (10, 7), dxfattribs={"layer": "JOINT"})
        model.add_line((25, 3), (30, 3), dxfattribs={"layer": "STRAY"})
        model.add_line((5, 0), (5, -10), dxfattribs={"layer": "ROOM"})

    drawing = drawing_of(draw)
    assert areas(drawing) == pytest.approx([200.0, 84.0])
    assert [drawing.layer_name(k) for k in drawing.outlines()] == ["HOUSE", "PATIO"]
    left = [drawing.source.layers[int(drawing.strokes.layer[k])].name for k in drawing.open_strokes()]
    assert sorted(left) == ["ROOM", "STRAY"]


def test_two_patios_either_side_of_a_round_house() -> None:
    """Floors drawn against a circle keep its arc as their side."""

    def draw(model: Any) -> None:
        model.add_circle((0, 0), 5)
        lines(model, (3, 4), (3, 8), (-3, 8), (-3, 4))

    # A 6 x 4 rectangle less the segment between the chord y = 4 and the circle: r²(θ - sin θ)/2.
    theta = 2.0 * math.asin(3.0 / 5.0)
    segment = 12.5 * (theta - math.sin(theta))
    assert areas(drawing_of(draw)) == pytest.approx([25.0 * math.pi, 24.0 - segment], rel=1e-9)


def test_bridge_to_an_inner_ring_is_dropped() -> None:
    """A line that ties a cut-out to the outline bounds nothing: the cut-out stays one."""

    def draw(model: Any) -> None:
        lines(model, *SQUARE, closed=True)
        lines(model, (3, 2), (5, 2), (5, 4), (3, 4), closed=True)
        model.add_line((0, 0), (3, 2))

    drawing = drawing_of(draw)
    assert areas(drawing) == pytest.approx([48.0, 4.0])
    assert drawing.inside(drawing.outlines()[0]) != []


def test_two_rings_that_touch_in_a_corner() -> None:
    """Rings of lines that meet in one point stay two outlines."""

    def draw(model: Any) -> None:
        lines(model, (0, 0), (4, 0), (4, 4), (0, 4), closed=True)
        lines(model, (4, 4), (7, 4), (7, 7), (4, 7), closed=True)

    assert areas(drawing_of(draw)) == pytest.approx([16.0, 9.0])


def test_fillet_tangent_to_its_sides() -> None:
    """A line through the tangent point of a fillet is told from the arc that leaves along it."""

    def draw(model: Any) -> None:
        lines(model, (1, 0), (8, 0), (8, 6), (0, 6), (0, 1))
        model.add_arc((1, 1), 1, 180, 270)
        model.add_line((1, 0), (-2, 0))
        model.add_line((0, 1), (0, -2))

    # The sharp corner closes too: the square less nothing, split by the fillet.
    drawing = drawing_of(draw)
    assert areas(drawing) == pytest.approx([48.0])
    assert drawing.loops.faces.tolist() == [2]


@pytest.mark.parametrize("turn", [0.0, 25.0, 90.0, 205.0])
def test_line_cuts_an_arc_off_the_origin(turn: float) -> None:
    """A round floor ends at a line that crosses it: a circle of 5 less the cap beyond 3.

    Both run on past where they meet. The cap is r² acos(d / r) - d √(r² - d²).
    """
    x, y = 40.0, -17.0
    (ux, uy) = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    foot = (x - 3.0 * uy, y + 3.0 * ux)

    def draw(model: Any) -> None:
        model.add_arc((x, y), 5, turn + 90 + 40, turn + 90 - 40)
        model.add_line((foot[0] - 4.6 * ux, foot[1] - 4.6 * uy), (foot[0] + 4.3 * ux, foot[1] + 4.3 * uy))

    cap = 25.0 * math.acos(0.6) - 3.0 * 4.0
    assert areas(drawing_of(draw)) == pytest.approx([25.0 * math.pi - cap], rel=1e-9)


def test_line_across_a_circle() -> None:
    """A chord across a circle that was drawn as two arcs leaves the circle whole."""

    def draw(model: Any) -> None:
        model.add_arc((0, 0), 2, 10, 250)
        model.add_arc((0, 0), 2, 250, 10)
        model.add_line((-3, 0.5), (3, 0.5))

    assert areas(drawing_of(draw)) == pytest.approx([4.0 * math.pi], rel=1e-9)


def test_circles_of_arcs_that_cross() -> None:
    """Two crossing arcs and what ties them make one outline: both circles less their lens, counted once.

    Lens of two circles of radius r whose centres are d apart: 2 r² acos(d/2r) - d/2 √(4r² - d²).
    """

    def draw(model: Any) -> None:
        for x in (0.0, 3.0):
            model.add_arc((x, 0), 2, 0, 120)
            model.add_arc((x, 0), 2, 120, 360)
        model.add_line((2, 0), (5, 0))

    lens = 8.0 * math.acos(0.75) - 1.5 * math.sqrt(16.0 - 9.0)
    assert areas(drawing_of(draw)) == pytest.approx([8.0 * math.pi - lens], rel=1e-9)


def test_stair_of_grid_cells() -> None:
    """Ends either side of a rounding grid's line still meet: clustering does not round."""
    step = 1.9e-4

    def draw(model: Any) -> None:
        lines(model, (0, 0), (45, 0), (45, 30), (0, 30))
        model.add_line((0, 30 + 0.49 * step), (0, -0.1 * step))

    assert areas(drawing_of(draw, snap=step)) == pytest.approx([1350.0], rel=1e-5)


@given(st.integers(0, 10_000), st.integers(3, 9), st.booleans())
def test_random_ring_in_random_pieces(seed: int, corners: int, noisy: bool) -> None:
    """A star-shaped ring cut into lines at random places, shuffled and turned round, keeps its area."""
    dice = np.random.default_rng(seed)
    angle = 2.0 * math.pi * (np.arange(corners) + dice.uniform(0.1, 0.9, corners)) / corners
    ring = dice.uniform(3.0, 9.0, corners)[:, None] * np.column_stack((np.cos(angle), np.sin(angle)))
    pieces: list[tuple[Any, Any]] = []
    for p, q in zip(ring, np.roll(ring, -1, axis=0), strict=True):
        stops = [0.0, *sorted(dice.uniform(0.1, 0.9, int(dice.integers(0, 3)))), 1.0]
        spots = [p + t * (q - p) for t in stops]
        pieces += [(a, b) if dice.random() < 0.5 else (b, a) for a, b in pairwise(spots)]
    dice.shuffle(pieces)
    shake = 1e-7 if noisy else 0.0

    def draw(model: Any) -> None:
        for a, b in pieces:
            model.add_line(
                tuple(a + shake * dice.uniform(-1, 1, 2)), tuple(b + shake * dice.uniform(-1, 1, 2))
            )

    x, y = ring.T
    exact = 0.5 * abs(float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)))
    assert areas(drawing_of(draw)) == pytest.approx([exact], rel=1e-6 if noisy else 1e-9), f"seed {seed}"


def test_places_cluster_within_the_tolerance() -> None:
    """Points nearer than the tolerance are one place, others are not."""
    points = np.array([(0.0, 0.0), (1.0, 0.0), (0.0009, 0.0), (1.0, 0.0)])
    index, spots = places(points, 0.001)
    assert len(spots) == 2
    assert index[0] == index[2] != index[1] == index[3]
    assert len(places(points, 0.0005)[1]) == 3


def test_components_of_a_long_chain() -> None:
    """Things that hang together through many others get one label."""
    dice = np.random.default_rng(1)
    order = dice.permutation(5000)
    label = components(6000, order[:-1], order[1:])
    assert set(label[order].tolist()) == {0}
    assert label[5000:].tolist() == list(range(5000, 6000))

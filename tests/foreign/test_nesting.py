"""Loops in loops: outlines, cut-outs, islands, loops drawn twice, names."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
import shapely
from foreign.made import areas, drawing_of, lines

from floorplan.foreign.geos import boxes


def _square(model: Any, x: float, y: float, size: float, layer: str = "0") -> None:
    corners = [(x, y), (x + size, y), (x + size, y + size), (x, y + size)]
    model.add_lwpolyline(corners, close=True, dxfattribs={"layer": layer})


def test_ring_in_ring_in_ring() -> None:
    """Odd depth is a cut-out, even depth floor."""

    def draw(model: Any) -> None:
        for k, size in enumerate((10.0, 8.0, 6.0, 4.0)):
            _square(model, float(k), float(k), size)

    drawing = drawing_of(draw)
    outline, island = drawing.outlines()
    (hole,) = drawing.inside(outline)
    assert drawing.inside(hole) == [island]
    assert [drawing.ring(k).area_m2 for k in (outline, hole, island)] == [100.0, 64.0, 36.0]


def test_loop_drawn_twice_counts_once() -> None:
    """The same ring twice, once of lines, is one outline and no cut-out of itself."""

    def draw(model: Any) -> None:
        _square(model, 0, 0, 5)
        lines(model, (5, 5), (0, 5), (0, 0), (5, 0), closed=True)
        _square(model, 1, 1, 2)
        _square(model, 1, 1, 2)

    drawing = drawing_of(draw)
    assert areas(drawing) == [25.0, 4.0]
    assert len(drawing.outlines()) == 1
    assert int(drawing.nest.repeated.sum()) == 2


def test_cutout_that_touches_the_outline() -> None:
    """A pad in the corner of a slab is a cut-out, though two of its sides lie on the outline."""

    def draw(model: Any) -> None:
        _square(model, 0, 0, 10)
        _square(model, 7, 7, 3)

    drawing = drawing_of(draw)
    assert [drawing.ring(h).area_m2 for h in drawing.inside(drawing.outlines()[0])] == [9.0]


def test_neighbours_that_share_a_side() -> None:
    """Two slabs poured against each other are two outlines."""

    def draw(model: Any) -> None:
        _square(model, 0, 0, 10)
        _square(model, 10, 2, 5)

    assert len(drawing_of(draw).outlines()) == 2


@pytest.mark.parametrize("gap", [1e-2, 1e-3, 1e-4])
def test_circles_nearly_as_large_as_their_ring(gap: float) -> None:
    """A circle hardly smaller than the one around it is inside it; one hardly beside it is not."""

    def inside(model: Any) -> None:
        model.add_circle((0, 0), 5)
        model.add_circle((0, 0), 5 - gap)

    def beside(model: Any) -> None:
        model.add_circle((0, 0), 5)
        model.add_circle((5 + 0.5 + gap, 0), 0.5)

    assert len(drawing_of(inside).outlines()) == 1
    assert len(drawing_of(beside).outlines()) == 2


def test_post_between_chord_and_arc() -> None:
    """A post that lies between an arc and its chord is inside where the arc stands out, outside where in."""
    for bulge, inside in ((0.3, True), (-0.3, False)):

        def draw(model: Any, bulge: float = bulge) -> None:
            rows = [(0, 0, 0), (10, 0, 0), (10, 10, bulge), (0, 10, 0)]
            model.add_lwpolyline(rows, format="xyb", close=True)
            model.add_circle((5, 10.5 if bulge > 0 else 9.5), 0.2)

        drawing = drawing_of(draw)
        largest = drawing.outlines()[0]
        assert bool(drawing.inside(largest)) is inside


def test_many_circles_in_a_slab() -> None:
    """A thousand posts on a grid are all found inside."""

    def draw(model: Any) -> None:
        model.add_circle((0, 0), 100)
        for k in range(1000):
            angle = k * 2.399963
            radius = 3.0 * math.sqrt(k)
            model.add_circle((radius * math.cos(angle), radius * math.sin(angle)), 0.5)

    drawing = drawing_of(draw)
    assert len(drawing.inside(drawing.outlines()[0])) == 1000


def test_text_names_the_smallest_ring_around_it() -> None:
    """Each text names the smallest ring around it; a text outside all names none."""

    def draw(model: Any) -> None:
        _square(model, 0, 0, 10)
        _square(model, 2, 2, 2)
        model.add_text("Patio").set_placement((8, 8))
        model.add_mtext(r"{\fArial|b0;Fire}\Ppit").set_location((3, 3))
        model.add_text("north").set_placement((20, 20))

    drawing = drawing_of(draw)
    outline = drawing.outlines()[0]
    assert drawing.names[outline] == "Patio"
    assert drawing.names[drawing.inside(outline)[0]] == "Fire pit"


def test_bow_tie_tells_where_it_crosses() -> None:
    """A ring that crosses itself is found at its crossing."""
    drawing = drawing_of(lambda m: m.add_lwpolyline([(0, 0), (4, 4), (4, 0), (0, 3)], close=True))
    crossing = drawing.crossing(0)
    assert crossing is not None
    # y = x meets y = 3 - 3x/4 at x = 12/7.
    assert crossing == pytest.approx((12 / 7, 12 / 7))
    square = drawing_of(lambda m: _square(m, 0, 0, 4))
    assert square.crossing(0) is None


def test_slivers_are_dropped_and_counted() -> None:
    """A ring thinner than the noise encloses nothing."""

    def draw(model: Any) -> None:
        _square(model, 0, 0, 10)
        model.add_lwpolyline([(1, 1), (5, 1), (5, 1 + 1e-6)], close=True)

    drawing = drawing_of(draw)
    assert areas(drawing) == [100.0]
    assert drawing.dropped == 1


@pytest.mark.parametrize("rows", [1, 9, 1 << 15])
def test_areas_agree_with_rings_one_by_one(rows: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Measures of all loops at once, or of some at a time, are those of each ring."""
    monkeypatch.setattr("floorplan.foreign.loops._ROWS_AT_ONCE", rows)
    dice = np.random.default_rng(4)

    def draw(model: Any) -> None:
        for k in range(30):
            x, r = 10.0 * k, float(dice.uniform(1, 3))
            rows = [(x, 0, float(dice.uniform(-0.3, 0.5))), (x + r, 0, 0), (x + r, r, 0.2), (x, r, 0)]
            model.add_lwpolyline(rows[:: (-1) ** k], format="xyb", close=True)

    loops = drawing_of(draw).loops
    rings = [loops.ring(k) for k in range(len(loops))]
    assert loops.signed_areas() == pytest.approx([ring.signed_area_m2 for ring in rings], rel=1e-12)
    assert loops.perimeters() == pytest.approx([ring.perimeter_m for ring in rings], rel=1e-12)
    assert loops.boxes() == pytest.approx(np.array([ring.bounds() for ring in rings]), rel=1e-12)


def test_boxes_are_widened_on_every_side() -> None:
    """Least and greatest corners, as shapely gives them back."""
    low, high = np.array([[0.0, 1.0], [-3.0, 5.0]]), np.array([[2.0, 4.0], [-1.0, 9.0]])
    wide = shapely.bounds(boxes(low, high, 0.5))
    assert wide.tolist() == [[-0.5, 0.5, 2.5, 4.5], [-3.5, 4.5, -0.5, 9.5]]
    assert shapely.bounds(boxes(low, high)).tolist() == np.hstack((low, high)).tolist()

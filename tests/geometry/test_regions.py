"""What cut-outs take, against closed forms, very fine chords, and sums that must come out."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from geometry.outlines import fine, garage, garage_cutouts, patio, patio_posts, star
from hypothesis import given, settings
from hypothesis import strategies as st
from outside import row
from shapely import Polygon

from floorplan.geometry.regions import Subtraction, subtract
from floorplan.geometry.rings import Ring

SQUARE = Ring.rectangle((0, 0), 10, 10)
EXACT = 1e-12


def lens(r: float, apart: float) -> float:
    """Area common to two circles of radius r (circle-circle intersection, closed form)."""
    return 2 * r * r * math.acos(apart / 2 / r) - 0.5 * apart * math.sqrt(4 * r * r - apart * apart)


def check_sums(result: Subtraction) -> None:
    """Net and deducted make gross, and the drawn polygon has about that area."""
    assert result.net_area_m2 + sum(result.deducted_m2) == pytest.approx(result.gross_area_m2, rel=1e-12)
    assert result.net.area == pytest.approx(result.net_area_m2, abs=2e-4 * result.boundary_m + 1e-9)


@pytest.mark.parametrize("id_", ["A9-rect", "A9-rect-hole", "A9-rect-2holes", "A9-L", "A9-U", "A9-skew"])
def test_net_area_of_published_rows(id_: str) -> None:
    """Net area and edge lengths of outlines with cut-outs agree with rows A9."""
    case = row("a_geometry", id_)
    want, within = case["expected"], case["tolerance"]
    result = subtract(Ring(case["inputs"]["outline"]), [Ring(h) for h in case["inputs"]["holes"]])
    assert result.net_area_m2 == pytest.approx(want["net_area"], abs=within)
    assert result.side_lengths_m.sum() == pytest.approx(want["outline_perimeter"], abs=within)
    assert sum(result.cutout_lengths_m) == pytest.approx(want["hole_perimeter"], abs=within)


def test_round_column_takes_area_and_adds_edge() -> None:
    """A 1 ft column takes π/4 and adds π of edge (row A9-col)."""
    case = row("a_geometry", "A9-col")
    result = subtract(SQUARE, [Ring.circle((1, 1), 2 * case["inputs"]["radius"])])
    assert result.deducted_m2[0] == pytest.approx(case["expected"]["area_out"], abs=1e-12)
    assert result.cutout_lengths_m[0] == pytest.approx(case["expected"]["edge_in"], abs=1e-12)


def test_patio_net_of_trade_brief() -> None:
    """The worked patio: net 636.13 sq ft, posts 1.778 and 0.785, posts' edges 5.33 and 3.14 (10A)."""
    result = subtract(patio(), patio_posts())
    assert round(result.net_area_m2, 2) == 636.13
    assert [round(x, 3) for x in result.deducted_m2] == [1.778, 0.785]
    assert [round(x, 2) for x in result.cutout_lengths_m] == [5.33, 3.14]
    check_sums(result)


def test_garage_edges_of_trade_brief() -> None:
    """The worked garage: net 526.25 sq ft, stem 67.24, door 16, pad 6, step 5.83, net outline 96.08 (10B)."""
    result = subtract(garage(), garage_cutouts())
    assert round(result.net_area_m2, 2) == 526.25
    sides = result.side_lengths_m
    assert round(float(sides.sum() - sides[1] - sides[2] - sides[3]), 2) == 67.24
    assert sides[2] == pytest.approx(16.0)
    assert [round(x, 2) for x in result.cutout_lengths_m] == [6.00, 5.83, 4.00, 1.05]
    assert round(result.boundary_m - 4.0 - math.pi / 3, 2) == 96.08


def test_circle_over_edge_takes_half() -> None:
    """A unit circle centred on an edge takes π/2, and half its girth bounds floor."""
    result = subtract(SQUARE, [Ring.circle((5, 0), 2)])
    assert result.deducted_m2[0] == pytest.approx(math.pi / 2, rel=EXACT)
    assert result.cutout_lengths_m[0] == pytest.approx(math.pi, rel=EXACT)
    assert result.side_lengths_m.sum() == pytest.approx(38.0, rel=EXACT)
    check_sums(result)


def test_circle_over_corner_takes_quarter() -> None:
    """A unit circle on a corner takes π/4."""
    result = subtract(SQUARE, [Ring.circle((5, 5), 2).turned(12, (5, 5))])
    assert result.deducted_m2[0] == pytest.approx(math.pi / 4, rel=EXACT)


@pytest.mark.parametrize("apart", [1e-3, 0.3, 1.0, 1.9, 1.999999])
def test_overlapping_circles_count_their_lens_once(apart: float) -> None:
    """Floor under two circles is deducted once: the second takes π less the lens."""
    result = subtract(SQUARE, [Ring.circle((0, 0), 2), Ring.circle((apart, 0), 2)])
    assert result.deducted_m2[0] == pytest.approx(math.pi, rel=EXACT)
    assert result.deducted_m2[1] == pytest.approx(math.pi - lens(1, apart), rel=1e-9)
    check_sums(result)


def test_same_cutout_twice_counts_once() -> None:
    """A cut-out listed twice takes its floor once, also started at another corner, and its edge once."""
    post = Ring.circle((1, 1), 1)
    result = subtract(SQUARE, [post, post, post.turned(17, (1, 1)), post.reversed()])
    assert result.deducted_m2 == pytest.approx((math.pi / 4, 0, 0, 0), abs=1e-12)
    assert sum(result.cutout_lengths_m) == pytest.approx(math.pi, rel=EXACT)


def test_cutout_outside_or_touching_takes_nothing() -> None:
    """A cut-out outside, or against the edge from outside, takes nothing and has no edge on the floor."""
    result = subtract(
        SQUARE, [Ring.rectangle((20, 0), 2, 2), Ring.rectangle((6, 0), 2, 2), Ring.circle((0, 6), 2)]
    )
    assert result.deducted_m2 == pytest.approx((0, 0, 0), abs=1e-15)
    assert result.cutout_lengths_m == pytest.approx((0, 0, 0), abs=1e-15)
    assert result.side_lengths_m == pytest.approx([10, 10, 10, 10])
    check_sums(result)


def test_cutout_over_everything_leaves_nothing() -> None:
    """A cut-out over the whole floor leaves no floor and no edges."""
    for cover in (SQUARE, Ring.rectangle((0, 0), 11, 12), SQUARE.started_at(2).reversed()):
        result = subtract(SQUARE, [cover])
        assert result.net.is_empty and result.net_area_m2 == pytest.approx(0.0, abs=1e-12)
        assert result.boundary_m == 0.0


@pytest.mark.parametrize("turn", [0, 90, 180, 270, 33])
@pytest.mark.parametrize("back", [False, True])
def test_cutout_that_fills_a_round_bay_leaves_its_chord(turn: int, back: bool) -> None:
    """A bay of rise 1 on a side of 4, filled up: 4 x 4 are left, and of the bay only its chord of 4."""
    bay = Ring([(4, 0), (4, 4)], [0.5, 0]).turned(turn)
    outline = Ring([(0, 0), (4, 0), (4, 4), (0, 4)], [0, 0.5, 0, 0]).turned(turn)
    result = subtract(outline, [bay.reversed() if back else bay])
    assert result.net_area_m2 == pytest.approx(16.0, rel=EXACT)
    assert result.side_lengths_m == pytest.approx([4, 0, 4, 4], abs=1e-12)
    assert result.cutout_lengths_m == pytest.approx([4], rel=EXACT)
    check_sums(result)


def test_cutout_along_edge_leaves_that_stretch_out() -> None:
    """A bench against a wall: its foot on the wall bounds no floor, of either."""
    result = subtract(SQUARE, [Ring.rectangle((0, -4.5), 4, 1)])
    assert result.cutout_lengths_m[0] == pytest.approx(6.0)
    assert result.side_lengths_m == pytest.approx([6, 10, 10, 10])
    assert result.side_lines(0).length == pytest.approx(6.0)
    assert len(result.side_lines(0).geoms) == 2
    assert result.cutout_lines(0).length == pytest.approx(6.0)


def test_round_cutout_touching_round_wall_from_inside() -> None:
    """A circle inside a circle that touches it leaves a crescent of exactly the difference."""
    result = subtract(Ring.circle((0, 0), 2), [Ring.circle((0.5, 0), 1)])
    assert result.net_area_m2 == pytest.approx(0.75 * math.pi, rel=EXACT)
    assert result.boundary_m == pytest.approx(3 * math.pi, rel=1e-9)


@pytest.mark.parametrize("gap", [1e-3, 1e-5, 1e-6, 1e-7])
def test_thin_ring_between_arcs(gap: float) -> None:
    """A strip between two arcs far thinner than the polygon's tolerance still has its exact area."""
    result = subtract(Ring.circle((0, 0), 2), [Ring.circle((0, 0), 2 - 2 * gap)])
    assert result.net_area_m2 == pytest.approx(math.pi * gap * (2 - gap), abs=1e-9 * math.pi)
    assert result.cutout_lengths_m[0] == pytest.approx(2 * math.pi * (1 - gap), rel=EXACT)
    assert result.side_lengths_m.sum() == pytest.approx(2 * math.pi, rel=EXACT)


def test_post_between_chord_and_arc_is_on_the_floor() -> None:
    """A speck of a post that stands between an arc and its chord is deducted, not lost outside."""
    room = Ring.circle((0, 0), 200)
    middle = 0.5 * room.flattened(1e-4)[:2].sum(axis=0)
    at = middle * (100 - 4e-5) / math.hypot(*middle)
    speck = Ring.circle(at, 4e-5)
    assert not room.polygon(1e-4).intersects(speck.polygon(1e-6))
    assert subtract(room, [speck], 1e-4).deducted_m2[0] == pytest.approx(speck.area_m2, rel=1e-6)


@pytest.mark.parametrize("shift", [1e3, 1e6])
def test_holds_far_from_origin(shift: float) -> None:
    """A thousand kilometres from the origin every figure holds to 1e-9 of the floor."""
    near = subtract(patio(), [*patio_posts(), Ring.circle((19, 18), 2)])
    far = subtract(
        patio().moved(shift, shift),
        [c.moved(shift, shift) for c in [*patio_posts(), Ring.circle((19, 18), 2)]],
    )
    assert far.net_area_m2 == pytest.approx(near.net_area_m2, rel=1e-9)
    assert far.boundary_m == pytest.approx(near.boundary_m, rel=1e-9)
    assert far.deducted_m2 == pytest.approx(near.deducted_m2, abs=1e-9 * near.gross_area_m2)


def _random_cutouts(seed: int, count: int) -> list[Ring]:
    rng = np.random.default_rng(seed)
    rings = []
    for _ in range(count):
        at = rng.uniform(-8, 8, 2)
        if rng.random() < 0.5:
            rings.append(Ring.circle(at, rng.uniform(0.5, 4)))
        else:
            rings.append(Ring.rectangle(at, *rng.uniform(0.5, 4, 2), turn=rng.uniform(0, 90)))
    return rings


@given(st.integers(0, 100_000))
@settings(max_examples=25)
def test_random_floors_agree_with_very_fine_chords(seed: int) -> None:
    """Net area, deductions and edges agree with GEOS on polygons of very many chords."""
    outline = Ring.circle((0, 0), 16) if seed % 2 else star(9, seed)
    cutouts = _random_cutouts(seed, 5)
    result = subtract(outline, cutouts)
    check_sums(result)
    floor, left = Polygon(fine(outline)), 0.0
    net = floor
    for cutout, taken in zip(cutouts, result.deducted_m2, strict=True):
        left = net.area
        net = net.difference(Polygon(fine(cutout)))
        assert taken == pytest.approx(left - net.area, abs=2e-5)
    assert result.boundary_m == pytest.approx(net.length, abs=1e-4)
    assert result.side_lengths_m.sum() + sum(result.cutout_lengths_m) == pytest.approx(result.boundary_m)


@given(st.integers(0, 100_000), st.floats(0, 360), st.integers(0, 5))
@settings(max_examples=20)
def test_random_floors_hold_when_laid_another_way(seed: int, turn: float, start: int) -> None:
    """Turned, moved, started elsewhere and walked the other way, figures hold to 1e-9."""
    outline, cutouts = star(8, seed), _random_cutouts(seed, 4)
    was = subtract(outline, cutouts)

    def laid(ring: Ring) -> Ring:
        return ring.turned(turn).moved(50, -20).started_at(start % len(ring)).reversed()

    now = subtract(laid(outline), [laid(c) for c in cutouts])
    assert now.net_area_m2 == pytest.approx(was.net_area_m2, rel=1e-9)
    assert now.boundary_m == pytest.approx(was.boundary_m, rel=1e-8)
    assert now.deducted_m2 == pytest.approx(was.deducted_m2, abs=1e-9 * was.gross_area_m2)


@given(st.integers(0, 100_000))
@settings(max_examples=15)
def test_order_of_cutouts_does_not_change_net(seed: int) -> None:
    """Listed in another order the cut-outs share their deduction out anew and leave the same floor."""
    outline, cutouts = Ring.circle((0, 0), 14), _random_cutouts(seed, 5)
    one, two = subtract(outline, cutouts), subtract(outline, cutouts[::-1])
    assert one.net_area_m2 == pytest.approx(two.net_area_m2, rel=1e-12)
    assert one.boundary_m == pytest.approx(two.boundary_m, rel=1e-12)


def test_lines_run_along_the_edges_they_are_named_for() -> None:
    """Lines of sides and cut-outs lie on the boundary of the polygon and add up to it."""
    result = subtract(patio(), [*patio_posts(), Ring.circle((19, 18), 2)])
    lines = [result.side_lines(i) for i in range(6)] + [result.cutout_lines(k) for k in range(3)]
    assert sum(line.length for line in lines) == pytest.approx(result.net.length, rel=1e-9)
    boundary = result.net.boundary
    assert all(line.is_empty or boundary.buffer(1e-9).covers(line) for line in lines)
    assert all(shapely.equals(a, b) for a, b in zip(result.edge_lines(), lines, strict=True))


def test_edges_of_one_group_are_joined_end_to_end() -> None:
    """Sides next to each other make one line, also over the first corner; negative groups stay out."""
    result = subtract(patio(), [*patio_posts(), Ring.circle((19, 18), 2)])
    group = np.array([0, 1, 1, -1, -1, 0, 1, -1, -1])
    ends, middle = result.joined_edges(group)
    assert len(ends.geoms) == 1
    assert len(middle.geoms) == 2
    assert ends.length == pytest.approx(result.side_lines(0).length + result.side_lines(5).length)


def test_contains_takes_arcs_exactly() -> None:
    """A point between a chord and its arc is on the floor; one in a cut-out is not."""
    result = subtract(patio(), patio_posts())
    asked = np.array([(8.75, 25 - 1e-9), (8.75, 25 + 1e-9), (13.0, 13.0), (1.0, 1.0), (40.0, 1.0)])
    assert result.contains(asked).tolist() == [True, False, False, True, False]


def test_crossing_outline_is_refused() -> None:
    """A bow-tie is refused, never measured."""
    with pytest.raises(ValueError, match="crosses itself"):
        subtract(Ring([(0, 0), (4, 3), (4, 0), (0, 2)]), [])


def test_outline_that_touches_its_own_arc_is_exact() -> None:
    """A corner that touches an arc of its own ring pinches the floor and changes no area.

    A 4 x 3 room whose near side stands in by a half circle of radius 1 about (2, 0) over 1..3, and whose far
    side comes down to touch the top of it at (2, 1): 12 - π/2, less the wedge of 2 x 2 / 2 above the touch.
    """
    ring = Ring(
        [(0, 0), (1, 0), (3, 0), (4, 0), (4, 3), (3, 3), (2, 1), (1, 3), (0, 3)],
        [0, -1, 0, 0, 0, 0, 0, 0, 0],
    )
    for turn in (0.0, 33.0):
        laid = ring.turned(turn)
        result = subtract(laid, [Ring.circle(laid.side(3).start, 1)])
        want = 12 - math.pi / 2 - 2.0 - math.pi / 16
        assert result.net_area_m2 == pytest.approx(want, rel=1e-9)
        assert result.boundary_m == pytest.approx(laid.perimeter_m - 1 + math.pi / 4, rel=1e-8)
        assert result.net.area == pytest.approx(want, rel=1e-4)


@pytest.mark.parametrize("width", [1e-2, 1e-4, 1e-6, 1e-8])
def test_sliver_between_cutouts_keeps_its_area(width: float) -> None:
    """A sliver of floor between two cut-outs, or a cut-out and a wall, has exactly its width."""
    cutouts = [Ring.rectangle((-2.5, 0), 5 - width, 10), Ring.rectangle((2.5, 0), 5 - width, 10)]
    result = subtract(SQUARE, cutouts)
    assert result.net_area_m2 == pytest.approx(2 * width * 10, abs=1e-12 * 100)


def test_near_collinear_corners_change_nothing() -> None:
    """Corners that stand a hair off a straight wall, on either side, keep area and edges."""
    rng = np.random.default_rng(5)
    x = np.linspace(-5, 5, 1001)
    wall = np.column_stack((x, -5 + rng.uniform(-1e-12, 1e-12, 1001)))
    ring = Ring(np.vstack((wall, [(5, 5), (-5, 5)])))
    result = subtract(ring, [Ring.rectangle((0, -4.5), 3, 1), Ring.circle((3, -5), 1)])
    assert result.net_area_m2 == pytest.approx(100 - 3 - math.pi / 8, rel=1e-11)
    assert result.side_lengths_m.sum() == pytest.approx(40 - 3 - 1, rel=1e-9)


def test_many_touching_cutouts_make_one_field() -> None:
    """A field of 20 x 20 tiles that share edges and corners is deducted to the last digit."""
    tiles = [
        Ring.rectangle((-4.75 + 0.5 * i, -4.75 + 0.5 * j), 0.5, 0.5) for i in range(18) for j in range(18)
    ]
    result = subtract(SQUARE, tiles)
    assert result.net_area_m2 == pytest.approx(100 - 81, rel=1e-12)
    assert result.net.area == pytest.approx(19, rel=1e-9)
    assert sum(result.cutout_lengths_m) == pytest.approx(18, rel=1e-9)
    assert result.side_lengths_m == pytest.approx([1, 10, 10, 1])


@pytest.mark.parametrize("turn", [0.0, 19.0, 77.7, 211.3])
def test_three_sides_through_one_point_meet_in_one_point(turn: float) -> None:
    """A bench flush with the wall and a round pool over both: where three sides meet, no edge counts twice.

    The circle of radius 3 about (1, 4) meets the wall y = 5 at 1 ± √8; the bench covers the wall from -5 to
    -0.5, so 5 - (1 + √8) of the wall is left beyond the pool.
    """
    room, pool = Ring.rectangle((0, 0), 10, 10), Ring.circle((1, 4), 6)
    bench = Ring([(-5.5, 3), (-0.5, 3), (-0.5, 5), (-5.5, 5)])
    result = subtract(room.turned(turn), [pool.turned(turn), bench.turned(turn)])
    assert result.side_lengths_m == pytest.approx([10, 10, 4 - math.sqrt(8), 8], rel=1e-9)
    # The bench's near side runs from the wall x = -5 to the circle at 1 - √8.
    assert result.cutout_lengths_m[1] == pytest.approx(6 - math.sqrt(8), rel=1e-9)
    assert result.boundary_m == pytest.approx(result.net.length, rel=1e-4)


@pytest.mark.parametrize("turn", [0.0, 19.0, 77.7])
def test_circle_that_touches_two_benches_on_one_line(turn: float) -> None:
    """Benches whose long sides lie on one line, and a circle that touches both sides at one point."""
    room, disc = Ring.rectangle((0, 0), 30, 30), Ring.circle((-1, 6), 6).turned(23, (-1, 6))
    benches = [
        Ring([(-4.5, 0), (-0.5, 0), (-0.5, 3), (-4.5, 3)]),
        Ring([(-3.5, -2), (0.5, -2), (0.5, 3), (-3.5, 3)]),
    ]
    result = subtract(room.turned(turn), [c.turned(turn) for c in [*benches, disc]])
    assert result.deducted_m2 == pytest.approx((12, 20 - 9, 9 * math.pi), rel=1e-9)
    assert sum(result.cutout_lengths_m) == pytest.approx(2 * (5 + 5) + 6 * math.pi, rel=1e-9)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(120))
def test_lattice_floors_hold_when_laid_another_way(seed: int) -> None:
    """Shapes on a lattice meet corner on side, side on side and in touches: turned, all figures hold."""
    rng = np.random.default_rng(seed)
    cutouts = []
    for _ in range(int(rng.integers(1, 7))):
        at = rng.integers(-6, 7, 2) * rng.choice([1.0, 0.5])
        if rng.random() < 0.5:
            cutouts.append(Ring.circle(at, rng.integers(1, 7)))
        else:
            cutouts.append(Ring.rectangle(at, *rng.integers(1, 7, 2)))
    outline = Ring.circle((0, 0), 12) if seed % 2 else Ring.rectangle((0, 0), 10, 12)
    coarse, close = subtract(outline, cutouts, 1e-3), subtract(outline, cutouts, 1e-5)
    assert coarse.net_area_m2 == pytest.approx(close.net_area_m2, rel=1e-11)
    assert coarse.boundary_m == pytest.approx(close.boundary_m, rel=1e-9)
    turned = subtract(outline.turned(31.7).moved(100, 50), [c.turned(31.7).moved(100, 50) for c in cutouts])
    assert turned.net_area_m2 == pytest.approx(close.net_area_m2, rel=1e-9)
    assert turned.boundary_m == pytest.approx(close.boundary_m, rel=1e-7)
    assert turned.side_lengths_m == pytest.approx(close.side_lengths_m, abs=1e-5)
    assert turned.cutout_lengths_m == pytest.approx(close.cutout_lengths_m, abs=1e-5)


def test_repeated_corners_and_spikes_measure_no_floor() -> None:
    """A corner typed twice and a spike change neither area nor the edges that bound floor."""
    ring = Ring([(0, 0), (6, 0), (6, 0), (6, 2), (10, 2), (6, 2), (6, 6), (0, 6)])
    result = subtract(ring, [Ring.circle((6, 0), 2)])
    assert result.net_area_m2 == pytest.approx(36 - math.pi / 4, rel=EXACT)
    assert result.side_lengths_m == pytest.approx([5, 0, 1, 0, 0, 4, 6, 6], abs=1e-12)

"""Discs against closed forms, the published strip rows and the worked estimates."""

from __future__ import annotations

import math

import numpy as np
import pyclipper
import pytest
import shapely
from geometry.outlines import garage, garage_cutouts, patio, patio_posts, star
from hypothesis import given, settings
from hypothesis import strategies as st
from outside import row, rows
from shapely import LineString, MultiPolygon, Point, box

from floorplan.geometry import discs
from floorplan.geometry.regions import Subtraction, subtract
from floorplan.geometry.rings import Ring

INCH = 1 / 12
# The worked estimates are in feet: 20 in head, gap 2 in, overhang 4 in, band 6 in (trade brief 10).


def all_walls(floor: Subtraction, gap: float) -> list[tuple[shapely.MultiLineString, float]]:
    """Every edge of a floor as a wall."""
    edges = [
        *floor.edge_lines()[: len(floor.outline)],
        *(floor.cutout_lines(k) for k in range(len(floor.cutouts))),
    ]
    return [(edge, gap) for edge in edges]


@pytest.mark.parametrize("share", [1e-3, 1e-4, 1e-5, 1e-7])
def test_disc_falls_short_by_less_than_said(share: float) -> None:
    """A grown point has the area of its circle within the share asked for, and not ten times finer."""
    area = discs.grown(Point(3, 4), 2.0, share).area
    assert 0.1 * share < 1 - area / (4 * math.pi) < share


@pytest.mark.parametrize("case", rows("a_geometry", "A9-band"), ids=lambda r: r["id"])
def test_strip_along_all_walls_matches_table(case: dict) -> None:
    """The strip along every edge has the area of rows A9-band, to 1e-5."""
    floor = subtract(Ring(case["inputs"]["outline"]), [])
    strip = discs.strip(floor.net, all_walls(floor, case["inputs"]["w"]))
    assert strip.area == pytest.approx(case["expected"]["band_area"], rel=1e-5)


def test_strip_along_three_walls() -> None:
    """Walls on three sides: corners are counted once (row A9-wall3)."""
    case = row("a_geometry", "A9-wall3")
    floor = subtract(Ring(case["inputs"]["outline"]), [])
    walls = [(LineString(wall), case["inputs"]["w"]) for wall in case["inputs"]["walls"]]
    assert discs.strip(floor.net, walls).area == pytest.approx(case["expected"]["band_area"], rel=1e-9)


def test_strip_around_column() -> None:
    """The strip around a column is an annulus (row A9-col)."""
    case = row("a_geometry", "A9-col")
    floor = subtract(Ring.rectangle((0, 0), 9, 9), [Ring.circle((0, 0), 2 * case["inputs"]["radius"])])
    strip = discs.strip(floor.net, [(floor.cutout_lines(0), 0.5)])
    assert strip.area == pytest.approx(case["expected"]["band_area_w_0_5"], rel=1e-4)


@pytest.mark.parametrize(("r", "g"), [(0.25, 0.05), (0.25, 0.0), (1.0, 0.3)])
def test_square_with_walls_all_round(r: float, g: float) -> None:
    """The head cuts (s - 2g)² - r²(4 - π) of a walled square (closed form)."""
    floor = subtract(Ring.rectangle((0, 0), 5, 5, 20), [])
    stand, cut = discs.reach(floor.net, r, all_walls(floor, g))
    assert cut.area == pytest.approx((5 - 2 * g) ** 2 - r * r * (4 - math.pi), rel=1e-5)
    assert stand.area == pytest.approx((5 - 2 * g - 2 * r) ** 2, rel=1e-9)


def test_inside_right_angle_leaves_its_corner() -> None:
    """One inside right angle leaves r²(1 - π/4) beyond the gap strips (closed form)."""
    floor = subtract(Ring.rectangle((0, 0), 8, 8), [])
    sides = floor.edge_lines()[: len(floor.outline)]
    r, g = 0.5, 0.1
    _, cut = discs.reach(floor.net, r, [(sides[0], g), (sides[1], g)], [(sides[2], r), (sides[3], r)])
    left = 64 - cut.area
    assert left - (2 * 8 * g - g * g) == pytest.approx(r * r * (1 - math.pi / 4), rel=1e-4)


def test_round_room_and_round_post_are_cut_to_the_gap() -> None:
    """In a round room with a round post the head leaves just the two gap rings."""
    floor = subtract(Ring.circle((0, 0), 8), [Ring.circle((0, 0), 2)])
    _, cut = discs.reach(floor.net, 0.5, all_walls(floor, 0.1))
    assert cut.area == pytest.approx(math.pi * (3.9**2 - 1.1**2), rel=1e-5)


def test_patio_of_trade_brief() -> None:
    """The worked patio: band 21.57, out of the head's reach 8.48, of it 1.09 outside the band (10A)."""
    floor = subtract(patio(), patio_posts())
    walls = [
        (floor.side_lines(0), 2 * INCH),
        (floor.cutout_lines(0), 2 * INCH),
        (floor.cutout_lines(1), 2 * INCH),
    ]
    past = [(floor.side_lines(i), 4 * INCH) for i in range(1, 6)]
    _, cut = discs.reach(floor.net, 10 * INCH, walls, past)
    band = discs.strip(floor.net, [(lines, 6 * INCH) for lines, _ in walls])
    missed = shapely.difference(floor.net, cut)
    assert round(band.area, 2) == 21.57
    assert round(missed.area, 2) == 8.48
    assert round(shapely.difference(missed, band).area, 2) == 1.09


def test_garage_band_of_trade_brief() -> None:
    """The worked garage: band 43.35, and nothing out of reach outside it (10B)."""
    floor = subtract(garage(), garage_cutouts())
    walls = [w for k, w in enumerate(all_walls(floor, 2 * INCH)) if k != 2]
    _, cut = discs.reach(floor.net, 10 * INCH, walls, [(floor.side_lines(2), 4 * INCH)])
    band = discs.strip(floor.net, [(lines, 6 * INCH) for lines, _ in walls])
    assert round(band.area, 2) == 43.35
    assert shapely.difference(shapely.difference(floor.net, cut), band).area == pytest.approx(0.0, abs=1e-6)


def test_garage_out_of_reach_by_hand() -> None:
    """The worked garage without door recess and step, by hand: gap strips, corners by angle, and the column.

    Along an edge stands a gap strip g. In an inside corner of interior angle β the strips share
    g² / tan(β/2), and beyond them lies r² (1 / tan(β/2) - (π - β)/2); round a square outside corner they gain
    g² π/4. Here r is 10 in and g 2 in.
    """
    outline = Ring([(0, 0), (22, 0), (22, 22), (15, 22), (15, 25.5), (3, 25.5), (0, 22.5)])
    pad, _, drain, column = garage_cutouts()
    floor = subtract(outline, [pad, drain, column])
    r, g = 10 * INCH, 2 * INCH
    _, cut = discs.reach(floor.net, r, all_walls(floor, g))

    def inside(beta: float) -> float:
        cot = 1 / math.tan(beta / 2)
        return r * r * (cot - (math.pi - beta) / 2) - g * g * cot

    straight = 22 + 19 + 4 + 3.5 + 12 + 3 * math.sqrt(2) + 22.5 + 6 + 4
    # Square inside corners: two at the door, two where the pad meets the walls, one beside the alcove.
    corners = 5 * inside(math.pi / 2) + 2 * inside(3 * math.pi / 4)
    # Square outside corners: the pad, the alcove, four of the drain.
    outside = 6 * g * g * math.pi / 4
    ring = math.pi * ((1 / 6 + g) ** 2 - (1 / 6) ** 2)
    assert floor.net_area_m2 - cut.area == pytest.approx(straight * g + corners + outside + ring, rel=1e-4)


@pytest.mark.parametrize("over", [0.0, 0.1, 0.3, 0.49, 0.5, 0.8])
def test_open_floor_is_cut_to_its_edge_where_the_overhang_allows(over: float) -> None:
    """On an open square only corners are left, r - o deep, and an overhang of r or more leaves nothing.

    The head's centre keeps r - o off each side, so a corner keeps (r - o)... the piece beyond the disc about
    (r - o, r - o): by symmetry and the circle's segments, worked out by integration on a fine grid.
    """
    r = 0.5
    floor = subtract(Ring.rectangle((2, 2), 4, 4), [])
    stand, cut = discs.reach(
        floor.net, r, [], [(line, over) for line in floor.edge_lines()[: len(floor.outline)]]
    )
    k = max(0.0, r - over)
    grid = (np.arange(2000) + 0.5) / 2000 * k
    x, y = np.meshgrid(grid, grid)
    left = 4 * float(np.mean((x - k) ** 2 + (y - k) ** 2 > r * r)) * k * k
    assert 16 - cut.area == pytest.approx(left, abs=2e-4)
    assert len(stand.geoms) == 1


def test_large_overhang_makes_no_strip_outside() -> None:
    """A room too narrow for the head stays uncut, however far the head may hang over its open end."""
    floor = subtract(Ring.rectangle((0, 0), 0.8, 4), [])
    sides = floor.edge_lines()[: len(floor.outline)]
    stand, cut = discs.reach(
        floor.net, 0.5, [(sides[1], 0.0), (sides[3], 0.0)], [(sides[0], 0.45), (sides[2], 0.45)]
    )
    assert stand.is_empty and cut.is_empty


def test_overhang_past_the_radius_goes_straight_over_its_side_only() -> None:
    """The centre may pass an open side by o - r straight over it, and not round the end of the wall."""
    floor = subtract(Ring.rectangle((0, 0), 4, 4), [])
    sides = floor.edge_lines()[: len(floor.outline)]
    stand, _ = discs.reach(floor.net, 0.5, [(side, 0.0) for side in sides[1:]], [(sides[0], 0.7)])
    assert stand.area == pytest.approx(3.0 * (3.5 + 0.2), abs=0.02)
    x0, y0, x1, _ = stand.bounds
    assert (x0, x1) == pytest.approx((-1.5, 1.5), abs=0.05)
    assert y0 == pytest.approx(-2.2)


def test_overhang_past_the_radius_goes_round_open_corners() -> None:
    """On a floor that is open all round the centre may pass every side, and corners are rounded off."""
    floor = subtract(Ring.rectangle((0, 0), 4, 4), [])
    stand, cut = discs.reach(floor.net, 0.5, [], [(floor.net.boundary, 0.7)])
    assert stand.area == pytest.approx(16 + 4 * 4 * 0.2 + math.pi * 0.2**2, rel=1e-6)
    assert cut.area == pytest.approx(16.0)


@pytest.mark.parametrize("width", [0.05, 0.1, 0.16, 0.17, 0.3, 0.5, 0.6])
def test_strip_round_posts_of_any_size(width: float) -> None:
    """Strips round a column and a square post have their closed forms, narrower and wider than they are."""
    posts = [Ring.circle((-2, 0), 1 / 3), Ring.rectangle((2, 0), 1 / 3, 1 / 3, 10)]
    floor = subtract(Ring.rectangle((0, 0), 8, 4), posts)
    strip = discs.strip(floor.net, [(floor.cutout_lines(k), width) for k in (0, 1)])
    want = math.pi * ((1 / 6 + width) ** 2 - 1 / 36) + 4 * width / 3 + math.pi * width**2
    assert strip.area == pytest.approx(want, rel=1e-4)


def test_wall_may_have_its_own_gap() -> None:
    """Each edge keeps its own gap."""
    floor = subtract(Ring.rectangle((2, 2), 4, 4), [])
    sides = floor.edge_lines()[: len(floor.outline)]
    stand, _ = discs.reach(floor.net, 0.5, list(zip(sides, (0.0, 0.1, 0.2, 0.3), strict=True)))
    assert stand.bounds == pytest.approx((0.8, 0.5, 3.4, 3.3))


def two_rooms(neck: float) -> tuple[Subtraction, MultiPolygon, MultiPolygon]:
    """Rooms of 3 x 3 joined by a way 1 long, all walls, with head radius 0.25 and machine radius 0.3."""
    h = neck / 2
    right = [(3, 1.5 - h), (4, 1.5 - h), (4, 0), (7, 0), (7, 3), (4, 3), (4, 1.5 + h), (3, 1.5 + h)]
    floor = subtract(Ring([(0, 0), (3, 0), *right, (3, 3), (0, 3)]), [])
    edges = floor.edge_lines()[: len(floor.outline)]
    stand = discs.standing(floor.net, [(e, 0.25) for e in edges])
    return floor, stand, discs.standing(floor.net, [(e, 0.3) for e in edges])


def test_machine_gets_through_a_wide_way_and_not_a_narrow_one() -> None:
    """A way the machine fits through leads on; one that lets only the head through, or nothing, does not."""
    entry = Point(0, 1.5)
    _, stand, travel = two_rooms(0.7)
    got, missed = discs.reached(stand, travel, entry, 0.31)
    assert missed.is_empty and got.area == pytest.approx(stand.area)
    for neck, parts in ((0.55, 1), (0.4, 2)):
        _, stand, travel = two_rooms(neck)
        assert len(stand.geoms) == parts
        got, missed = discs.reached(stand, travel, entry, 0.31)
        assert got.area == pytest.approx(stand.area / 2, rel=1e-5)
        assert missed.area == pytest.approx(stand.area / 2, rel=1e-5)
        assert got.bounds[2] <= 3.5 + 1e-3


def test_entry_just_as_far_as_allowed_is_one() -> None:
    """Half a metre is within half a metre, and not within a hair less."""
    room = MultiPolygon([box(0.5, 0.5, 3.5, 3.5)])
    for within, area in ((0.5, 9.0), (0.49, 0.0)):
        assert discs.reached(room, room, Point(0, 2), within)[0].area == area


def test_entry_away_from_every_part_reaches_nothing() -> None:
    """An entry that the machine cannot come in at leaves everything out."""
    _, stand, travel = two_rooms(0.7)
    got, missed = discs.reached(stand, travel, Point(-3, -3), 0.31)
    assert got.is_empty and missed.area == pytest.approx(stand.area)


def test_floor_too_small_for_the_head_is_not_cut() -> None:
    """Where the head nowhere fits nothing is cut, and nothing fails."""
    floor = subtract(Ring.rectangle((0, 0), 0.4, 4), [])
    stand, cut = discs.reach(floor.net, 0.25, all_walls(floor, 0.0))
    assert stand.is_empty and cut.is_empty
    assert discs.reach(MultiPolygon(), 0.25, [])[1].is_empty


def test_distances_below_nothing_are_refused() -> None:
    """Gaps, overhangs and widths are not negative, and a head has a size."""
    square = box(0, 0, 4, 4)
    with pytest.raises(ValueError, match=">= 0"):
        discs.reach(square, 0.25, [(square.exterior, -0.1)])
    with pytest.raises(ValueError, match="radius_m"):
        discs.reach(square, 0.0, [])
    with pytest.raises(ValueError, match="share"):
        discs.grown(square, 1.0, 0.0)
    assert discs.shrunk(square, 1.0).area == pytest.approx(4.0)


@given(st.integers(0, 100_000), st.floats(0.1, 1.0), st.floats(0, 0.3))
@settings(max_examples=15)
def test_cut_lies_on_the_floor_and_grows_with_smaller_heads(seed: int, r: float, g: float) -> None:
    """What is cut is floor, keeps the gap, and a smaller head cuts no less."""
    floor = subtract(star(9, seed), [Ring.circle((0, 0), 1)])
    _, cut = discs.reach(floor.net, r, all_walls(floor, g))
    assert shapely.difference(cut, floor.net).area < 1e-9
    if not cut.is_empty:
        # GEOS may move single points of a grown line by some 1e-4 of the distance.
        assert shapely.distance(cut, floor.net.boundary) >= g - 3e-4 * (r + g)
    _, more = discs.reach(floor.net, 0.6 * r, all_walls(floor, g))
    assert more.area >= cut.area * (1 - 1e-4)


def test_edges_given_singly_or_together_are_the_same() -> None:
    """Walls given one by one, as one line or as rings make the same floor out of reach."""
    floor = subtract(star(12, 3), [Ring.rectangle((0, 0), 2, 1)])
    _, singly = discs.reach(floor.net, 0.3, all_walls(floor, 0.05))
    _, together = discs.reach(floor.net, 0.3, [(floor.net.boundary, 0.05)])
    rings = [(ring, 0.05) for ring in shapely.get_rings(shapely.get_parts(floor.net))]
    _, by_ring = discs.reach(floor.net, 0.3, rings)
    assert singly.area == pytest.approx(together.area, rel=1e-6)
    assert singly.area == pytest.approx(by_ring.area, rel=1e-6)


@pytest.mark.parametrize("seed", range(8))
def test_walled_floor_agrees_with_integer_offsetting(seed: int) -> None:
    """What a head cuts of a walled room is the room offset in by gap and radius, then out by radius."""
    steps, r, g = 1e6, 0.35, 0.08
    ring = star(10, seed)
    floor = subtract(ring, [])
    _, cut = discs.reach(floor.net, r, all_walls(floor, g))
    paths = [[(int(x), int(y)) for x, y in np.rint(ring.points * steps)]]
    for by in (-(r + g), r):
        offset = pyclipper.PyclipperOffset(2.0, 1e-6 * steps)
        offset.AddPaths(paths, pyclipper.JT_ROUND, pyclipper.ET_CLOSEDPOLYGON)
        paths = offset.Execute(by * steps)
    assert cut.area == pytest.approx(sum(map(pyclipper.Area, paths)) / steps**2, rel=1e-4)

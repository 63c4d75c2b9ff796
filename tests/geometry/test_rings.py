"""Rings against areas by coordinates, regular polygons, and themselves laid another way."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from geometry.outlines import garage, patio, star
from hypothesis import given, settings
from hypothesis import strategies as st
from outside import row, rows

from floorplan.geometry.rings import Ring, Side


@pytest.mark.parametrize("id_", ["A2-1", "A2-2", "A2-3", "A2-8", "A2-9"])
def test_area_by_coordinates_worked_examples(id_: str) -> None:
    """Area by coordinates agrees with the published survey examples (rows A2), far from the origin too."""
    case = row("a_geometry", id_)
    within = case["tolerance"]
    within = within["area"] if isinstance(within, dict) else within
    assert Ring(case["inputs"]["ne"]).area_m2 == pytest.approx(case["expected"]["area"], abs=within)


def test_lot_with_rounded_corner() -> None:
    """A 120 x 60 lot with one corner rounded by R = 20 has 7200 - 400 + 100π (row A2-4)."""
    case = row("a_geometry", "A2-4")
    quarter = math.tan(math.pi / 8)
    lot = Ring([(0, 0), (120, 0), (120, 40), (100, 60), (0, 60)], [0, 0, quarter, 0, 0])
    assert lot.area_m2 == pytest.approx(case["expected"]["area"], abs=case["tolerance"])
    assert lot.area_m2 == pytest.approx(7200 - 400 + 100 * math.pi, rel=1e-14)


@pytest.mark.parametrize("case", [row("a_geometry", f"A8-{n}") for n in range(3, 13)], ids=lambda r: r["id"])
def test_regular_polygon_matches_table(case: dict) -> None:
    """Area of regular polygons by side agrees with the published table (rows A8)."""
    n, side = case["inputs"]["n"], case["inputs"]["side"]
    radius = side / (2 * math.sin(math.pi / n))
    turns = np.arange(n) * 2 * math.pi / n
    ring = Ring(radius * np.column_stack((np.cos(turns), np.sin(turns))))
    assert ring.area_m2 == pytest.approx(case["expected"]["area"], abs=case["tolerance"])
    assert ring.side_lengths_m == pytest.approx(side, rel=1e-12)


@pytest.mark.parametrize(
    "case", [r for r in rows("a_geometry", "A5-") if r["tol_kind"] == "abs"], ids=lambda r: r["id"]
)
def test_triangles_from_three_sides(case: dict) -> None:
    """Triangles laid out from their three sides have the published areas, alone and in pairs (rows A5)."""
    total = sum(_triangle(*sides).area_m2 for sides in case["inputs"]["triangles"])
    assert total == pytest.approx(case["expected"]["area"], abs=case["tolerance"])


def _triangle(a: float, b: float, c: float) -> Ring:
    x = (c * c + b * b - a * a) / (2 * c)
    return Ring([(0, 0), (c, 0), (x, math.sqrt(b * b - x * x))])


def test_patio_figures_of_trade_brief() -> None:
    """The worked patio: gross 638.69 sq ft, perimeter 109.70 ft, arc side 21.65 ft (trade brief 10A)."""
    ring = patio()
    assert round(ring.area_m2, 2) == 638.69
    assert round(ring.perimeter_m, 2) == 109.70
    assert round(float(ring.side_lengths_m[4]), 2) == 21.65


def test_patio_arc_other_way_in() -> None:
    """With the arc standing into the floor the patio has 555.31 sq ft (trade brief 2.4)."""
    ring = patio()
    assert round(Ring(ring.points, -ring.bulges).area_m2, 2) == 555.31


def test_garage_area_of_trade_brief() -> None:
    """The worked garage has 540.00 sq ft gross (trade brief 10B)."""
    assert garage().area_m2 == pytest.approx(540.0, rel=1e-14)


def test_circle_closed_forms() -> None:
    """A circle has πd²/4 and πd, also as two half circles and a thousand kilometres out."""
    for ring in (Ring.circle((1e6, -1e6), 3.0), Ring([(0, 0), (3, 0)], [1, 1])):
        assert ring.area_m2 == pytest.approx(math.pi * 9 / 4, rel=1e-12)
        assert ring.perimeter_m == pytest.approx(math.pi * 3, rel=1e-12)
        assert ring.is_ccw


def test_rectangle_turned_keeps_its_measures() -> None:
    """A rectangle turned 30 degrees keeps area, sides and centre."""
    ring = Ring.rectangle((5, 6), 3, 2, 30)
    assert ring.area_m2 == pytest.approx(6.0, rel=1e-14)
    assert ring.side_lengths_m == pytest.approx([3, 2, 3, 2], rel=1e-14)
    assert ring.points.mean(axis=0) == pytest.approx([5, 6])


CHANGES = {
    "turned": lambda r: r.turned(37.0, (3.0, -2.0)),
    "moved": lambda r: r.moved(12.5, -7.25),
    "moved far": lambda r: r.moved(1e6, 1e6),
    "mirrored": lambda r: Ring((2.0, 0.0) + r.points * (-1.0, 1.0), -r.bulges),
    "started elsewhere": lambda r: r.started_at(3),
    "walked the other way": lambda r: r.reversed(),
    "counter-clockwise": lambda r: r.counter_clockwise(),
}


@pytest.mark.parametrize("change", CHANGES)
@pytest.mark.parametrize("seed", range(4))
def test_measures_do_not_depend_on_position(change: str, seed: int) -> None:
    """Area, perimeter and side lengths hold when the outline is laid another way."""
    ring = star(12, seed, arcs=True)
    other = CHANGES[change](ring)
    assert other.area_m2 == pytest.approx(ring.area_m2, rel=1e-9)
    assert other.perimeter_m == pytest.approx(ring.perimeter_m, rel=1e-9)
    assert sorted(other.side_lengths_m) == pytest.approx(sorted(ring.side_lengths_m), rel=1e-8)


def test_reversed_twice_and_started_round_give_the_ring_back() -> None:
    """Walking the other way twice, or round to the same corner, changes nothing; nor does a full turn."""
    ring = patio()
    assert ring.reversed().reversed() == ring
    assert ring.started_at(2).started_at(4) == ring
    assert ring.turned(90).turned(90).turned(180) == ring
    assert ring.reversed().signed_area_m2 == -ring.signed_area_m2
    assert ring.reversed().counter_clockwise().is_ccw


def test_reversed_keeps_first_corner_and_sides() -> None:
    """Walked the other way, side i becomes side n - 1 - i with the opposite bulge."""
    ring = patio()
    back = ring.reversed()
    assert (back.points[0] == ring.points[0]).all()
    side, same = ring.side(4), back.side(1)
    assert (same.start, same.end, same.bulge) == (side.end, side.start, -side.bulge)


def test_ring_cannot_change() -> None:
    """Corners and bulges are read-only, and equal rings hash alike."""
    ring = patio()
    with pytest.raises(ValueError, match="read-only"):
        ring.points[0, 0] = 5.0
    with pytest.raises(AttributeError):
        ring.points = np.zeros((3, 2))  # type: ignore[misc]
    assert len({ring, patio(), ring.moved(1, 0)}) == 2
    assert ring != "patio"


def test_ring_copies_what_it_is_given() -> None:
    """Changing the array afterwards does not change the ring."""
    given_ = np.array([(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)])
    ring = Ring(given_)
    given_[0] = 9.0
    assert ring.area_m2 == 0.5


@pytest.mark.parametrize(
    ("points", "bulges", "said"),
    [
        ([(0, 0), (1, 0)], None, "encloses nothing"),
        ([(0, 0)], [1], "encloses nothing"),
        ([(0, 0, 0)] * 3, None, r"\(n, 2\)"),
        ([(0, 0), (1, 0), (0, 1)], [0, 0], "bulges must be"),
        ([(0, 0), (1, 0), (0, math.nan)], None, "finite"),
        ([(0, 0), (1, 0), (0, 1)], [0, 0, math.inf], "finite"),
    ],
)
def test_ring_of_nonsense_is_refused(points: list, bulges: list | None, said: str) -> None:
    """Too few corners, wrong shapes and numbers that are not finite are refused in words."""
    with pytest.raises(ValueError, match=said):
        Ring(points, bulges)


def test_circle_and_rectangle_refuse_no_size() -> None:
    """A circle or rectangle must have a size."""
    with pytest.raises(ValueError, match="diameter"):
        Ring.circle((0, 0), 0.0)
    with pytest.raises(ValueError, match="width and depth"):
        Ring.rectangle((0, 0), 1.0, -1.0)


def test_side_by_number() -> None:
    """A side tells its chord, rise, radius and angle; numbers past the end are refused."""
    side = patio().side(4)
    assert isinstance(side, Side)
    assert (side.chord_m, side.rise_m) == pytest.approx((20.5, 3.0))
    assert round(side.radius_m, 3) == 19.010
    assert side.at(0.5) == pytest.approx((8.75, 25.0))
    assert patio().side(-1).end == (0.0, 0.0)
    with pytest.raises(IndexError):
        patio().side(6)


@pytest.mark.parametrize("tolerance", [1e-2, 1e-4])
def test_flattened_tells_its_sides(tolerance: float) -> None:
    """Every chord of a flattened ring knows its side, and each side begins at its corner."""
    ring = star(9, 5, arcs=True)
    points, sides = ring.flattened_by_side(tolerance)
    assert (np.diff(sides) >= 0).all() and set(sides) == set(range(9))
    first = np.searchsorted(sides, np.arange(9))
    assert (points[first] == ring.points).all()
    assert ring.polygon(tolerance).area == pytest.approx(ring.area_m2, abs=tolerance * ring.perimeter_m)


def test_bounds_take_in_the_arcs() -> None:
    """The box of a circle is its diameter; the patio's box reaches 25 ft, past the chord of its arc."""
    assert Ring.circle((1, 2), 4).turned(33, (1, 2)).bounds() == pytest.approx((-1, 0, 3, 4))
    assert patio().bounds() == pytest.approx((-1.5, 0, 31.5, 25))


@given(st.integers(0, 10_000))
@settings(max_examples=25, deadline=None)
def test_contains_agrees_with_fine_polygon(seed: int) -> None:
    """Inside or outside is the same as for a polygon of very many chords, arcs past the half circle too."""
    rng = np.random.default_rng(seed)
    ring = star(7, seed, arcs=True)
    if seed % 3 == 0:
        ring = Ring([(0, 0), (4, 0), (4, 3)], [0, 2.0, -0.2])
    asked = rng.uniform(-11, 11, (40, 2))
    polygon = ring.polygon(1e-6)
    clear = shapely.distance(polygon.boundary, shapely.points(asked)) > 1e-5
    assert (ring.contains(asked) == shapely.contains_xy(polygon, *asked.T))[clear].all()


@pytest.mark.parametrize("bulge", [0.01, 0.4, 1.0, 2.5])
@pytest.mark.parametrize("turn", range(0, 360, 24))
def test_box_of_an_arc_is_that_of_very_many_of_its_points(turn: int, bulge: float) -> None:
    """The box of a lens away from the origin, whichever way it lies, is that of its points in fine steps."""
    ring = Ring([(5, 7), (7, 8)], [bulge, 0.1]).turned(turn, (4, 9))
    points = ring.flattened(1e-9)
    want = (*points.min(axis=0), *points.max(axis=0))
    assert ring.bounds() == pytest.approx(want, abs=1e-8)


def test_rings_that_are_equal_hash_alike() -> None:
    """0.0 and -0.0 are equal, so rings with either are one in a set."""
    assert (
        len({Ring([(0.0, 0.0), (4, 0.0), (4, 3)]), Ring([(-0.0, 0.0), (4, -0.0), (4, 3)], [-0.0] * 3)}) == 1
    )


@pytest.mark.parametrize(("width", "depth"), [(0.0, 1.0), (1.0, 0.0), (-1.0, 1.0), (math.nan, 1.0)])
def test_rectangle_without_size_is_refused(width: float, depth: float) -> None:
    """A rectangle has a width and a depth."""
    with pytest.raises(ValueError, match="width and depth must be > 0"):
        Ring.rectangle((0, 0), width, depth)

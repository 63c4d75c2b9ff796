"""Crossings against published invalid polygons and places worked out by hand."""

from __future__ import annotations

import math
import tomllib
from typing import Any

import numpy as np
import pytest
import shapely
from geometry.outlines import garage, patio, star, zigzag
from outside import DATA

from floorplan.geometry.crossings import Meeting, crossings, crossings_between
from floorplan.geometry.rings import Ring

INLINE = {r["name"]: r for r in tomllib.loads((DATA / "polygons.toml").read_text(encoding="utf-8"))["inline"]}
ONE_RING = [r for r in INLINE.values() if len(r["rings"]) == 1]


def _ring(corners: list[list[float]]) -> Ring:
    return Ring(corners[:-1])


def _kinds(ring: Ring) -> set[str]:
    return {c.kind.value for c in crossings(ring)}


@pytest.mark.parametrize("case", ONE_RING, ids=lambda r: r["name"])
def test_published_invalid_ring_is_found(case: dict[str, Any]) -> None:
    """Every published invalid ring has a meeting, and where a naive sum is wrong it spoils the area."""
    ring = _ring(case["rings"][0])
    found = crossings(ring)
    assert found
    if abs(ring.area_m2 - case["area"]) > 1e-9:
        assert any(c.spoils_area for c in found)
    elif not any(c.spoils_area for c in found):
        assert ring.area_m2 == pytest.approx(case["area"], rel=1e-12)


@pytest.mark.parametrize("name", ["A - shell self-touches at vertex", "A - shell self-crosses at non-vertex"])
def test_published_place_is_named(name: str) -> None:
    """The meeting stands where the published case says."""
    case = INLINE[name]
    at = tuple(float(x) for x in case["at"].split())
    assert at in {c.point for c in crossings(_ring(case["rings"][0]))}


@pytest.mark.parametrize(
    "name", ["A - hole identical to shell", "A - duplicate holes", "A - chain of holes surrounds area"]
)
def test_published_rings_that_meet_each_other_are_found(name: str) -> None:
    """Holes that lie on the shell or on each other meet it; each ring alone is sound."""
    rings = [_ring(r) for r in INLINE[name]["rings"]]
    assert not any(crossings(r) for r in rings)
    assert any(crossings_between(a, b) for k, a in enumerate(rings) for b in rings[:k])


@pytest.mark.parametrize("ring", [patio(), garage(), Ring.circle((3, 4), 5), star(200, 1), zigzag(200)])
def test_sound_ring_meets_itself_nowhere(ring: Ring) -> None:
    """A sound ring has no meetings, walked either way and from any corner."""
    assert crossings(ring) == ()
    assert crossings(ring.reversed()) == ()
    assert crossings(ring.started_at(2).turned(29)) == ()


def test_bow_tie_names_sides_and_place() -> None:
    """Corners out of order: sides 0 and 2 cross at (2, 1.5)."""
    (only,) = crossings(Ring([(0, 0), (4, 3), (4, 0), (0, 3)]))
    assert (only.kind, only.i, only.j) == (Meeting.CROSS, 0, 2)
    assert only.point == pytest.approx((2.0, 1.5))
    assert only.spoils_area


def test_arc_through_far_side_is_found() -> None:
    """In a 4 x 1 room an arc of rise 1.5 standing in crosses the far side where the circle does.

    Chord 4, rise 1.5: R = 16/12 + 0.75 = 25/12; centre 1.5 - R above the near side, so at height 1 the
    circle is sqrt(R² - (R - 0.5)²) = sqrt(R - 0.25) = sqrt(11/6) either side of the middle.
    """
    found = crossings(Ring([(0, 0), (4, 0), (4, 1), (0, 1)], [-0.75, 0, 0, 0]))
    half = math.sqrt(11 / 6)
    assert [(c.kind, c.i, c.j) for c in found] == [(Meeting.CROSS, 0, 2)] * 2
    assert [c.point for c in found] == [pytest.approx((2 - half, 1)), pytest.approx((2 + half, 1))]


def test_arc_that_touches_far_side_is_a_touch() -> None:
    """An arc whose top just comes to the far side touches it once and leaves the area as it is."""
    (only,) = crossings(Ring([(0, 0), (4, 0), (4, 1), (0, 1)], [-0.5, 0, 0, 0]))
    assert only.kind is Meeting.TOUCH
    assert only.point == pytest.approx((2, 1), abs=1e-7)
    assert not only.spoils_area


def test_neighbour_arcs_that_cross_again_are_found() -> None:
    """Two arcs on one chord and side of it enclose a crescent; an arc that comes back through does not."""
    assert crossings(Ring([(0, 0), (2, 0)], [1.0, -0.5])) == ()
    found = crossings(Ring([(0, 0), (2, 0), (1, 5)], [-4.0, 0, 0]))
    assert {(c.kind, c.i, c.j) for c in found} == {(Meeting.CROSS, 0, 1), (Meeting.CROSS, 0, 2)}


@pytest.mark.parametrize("turn", range(0, 360, 15))
@pytest.mark.parametrize("side", [1.0, -1.0])
def test_side_that_leaves_an_arc_inward_is_met_again(turn: int, side: float) -> None:
    """By hand: an arc on a chord of 2 whose tangent stands 2.4 rad off it, and a side 2.2 rad off the chord.

    The chord of the circle along that side is 2R sin(2.4 - 2.2) long (Euclid III.32), with 2R = 2 / sin 2.4.
    A side 2.6 rad off leaves the circle and does not come back.
    """
    for off, meets in ((2.2, True), (2.6, False)):
        out = (2 - 3 * math.cos(off), -3 * side * math.sin(off))
        ring = Ring([(0, 0), (2, 0), out], [side * math.tan(1.2), 0, 0]).turned(turn)
        again = 2 / math.sin(2.4) * math.sin(2.4 - off)
        want = Ring([(2 - again * math.cos(off), -again * side * math.sin(off)), (9, 0), (9, 9)]).turned(turn)
        met = [c for c in crossings(ring) if (c.i, c.j) == (0, 1)]
        assert len(met) == meets
        assert all(c.kind is Meeting.CROSS and c.point == pytest.approx(want.points[0]) for c in met)


def test_spike_is_named_as_such() -> None:
    """A side that goes back over the one before is a spike; it holds no floor."""
    found = crossings(Ring([(0, 0), (6, 0), (6, 2), (10, 2), (6, 2), (6, 6), (0, 6)]))
    assert Meeting.SPIKE in {c.kind for c in found}
    assert not any(c.spoils_area for c in found)
    slim = crossings(Ring([(0, 0), (6, 0), (9, 0), (7, 0), (7, 5), (0, 5)]))
    assert (Meeting.SPIKE, 1, 2) in {(c.kind, c.i, c.j) for c in slim}


def test_side_run_over_twice_overlaps() -> None:
    """Two sides that share a stretch overlap."""
    ring = Ring([(0, 0), (5, 0), (5, 5), (3, 5), (3, 0), (2, 0), (2, 5), (0, 5)])
    assert _kinds(ring) == {"overlap"} or "overlap" in _kinds(ring)


def test_repeated_corner_is_named_and_the_rest_still_looked_at() -> None:
    """A corner typed twice is a side without length, and the bow-tie beyond it is still found."""
    (only,) = crossings(Ring([(0, 0), (4, 0), (4, 0), (4, 3)]))
    assert (only.kind, only.i, only.j) == (Meeting.REPEAT, 1, 2)
    both = crossings(Ring([(0, 0), (4, 3), (4, 0), (4, 0), (0, 3)]))
    assert [(c.kind, c.i, c.j) for c in both] == [(Meeting.CROSS, 0, 3), (Meeting.REPEAT, 2, 3)]


def test_corner_on_corner_touch_and_cross_are_told_apart() -> None:
    """Two loops that share a corner touch; strands that swap sides there cross."""
    touch = crossings(Ring([(0, 0), (2, 2), (4, 0), (4, 4), (2, 2), (0, 4)]))
    assert {c.kind for c in touch} == {Meeting.TOUCH}
    cross = crossings(Ring([(0, 0), (2, 2), (4, 4), (4, 0), (2, 2), (0, 4)]))
    assert Meeting.CROSS in {c.kind for c in cross}


@pytest.mark.parametrize("turn", [0, 17, 45, 90, 123.4])
@pytest.mark.parametrize("shift", [0.0, 1e3, 1e6])
def test_touch_holds_when_laid_another_way(turn: float, shift: float) -> None:
    """A corner on a side is a touch wherever the floor lies."""
    ring = Ring([(0, 0), (6, 0), (6, 5), (3, 0), (0, 5)]).turned(turn).moved(shift, -shift)
    assert _kinds(ring) == {"touch"}


def test_circles_meet_where_geometry_says() -> None:
    """Unit circles a unit apart cross at (1/2, ±√3/2); two apart they touch; three apart they miss."""
    one = Ring.circle((0, 0), 2)
    points = sorted(c.point for c in crossings_between(one, Ring.circle((1, 0), 2)))
    assert points == [
        pytest.approx((0.5, -math.sqrt(0.75)), abs=1e-15),
        pytest.approx((0.5, math.sqrt(0.75)), abs=1e-15),
    ]
    assert {c.kind for c in crossings_between(one, Ring.circle((2, 0), 2))} == {Meeting.TOUCH}
    assert crossings_between(one, Ring.circle((3, 0), 2)) == ()
    assert {c.kind for c in crossings_between(one, one.turned(20))} == {Meeting.OVERLAP}


@pytest.mark.parametrize("turn", range(0, 360, 40))
@pytest.mark.parametrize("gap", [1e-2, 1e-4, 1e-6, 1e-8])
def test_circles_that_hardly_cross_do_so_where_geometry_says(gap: float, turn: int) -> None:
    """Unit circles d = 2 - gap apart cross half way and √((1 - d/2)(1 + d/2)) to either side."""
    d = (5.0 - gap) - 3.0
    aside = math.sqrt((1.0 - 0.5 * d) * (1.0 + 0.5 * d))
    want = Ring([(3 + 0.5 * d, 4 + aside), (3 + 0.5 * d, 4 - aside), (9, 9)]).turned(turn).points[:2]
    # Corners of the circles do not stand where they cross.
    one, two = (Ring.circle((x, 4), 2).turned(20, (x, 4)).turned(turn) for x in (3, 3 + d))
    found = {c.point for c in crossings_between(one, two)}
    # Rounding across the lens grows along it as one over the angle between the circles.
    within = 1e-15 / math.sqrt(gap) + 4e-15
    for at in want:
        assert min(math.dist(at, point) for point in found) < within
    assert len(found) == 2


@pytest.mark.parametrize("seed", range(20))
def test_agrees_with_geos_on_random_rings(seed: int) -> None:
    """A random ring of straight sides is sound for us exactly when GEOS calls it valid."""
    rng = np.random.default_rng(seed)
    ring = Ring(rng.uniform(0, 10, (4 + seed % 4, 2)))
    assert (crossings(ring) == ()) == bool(ring.polygon().is_valid)
    lattice = Ring(rng.integers(0, 4, (5, 2)))
    doubled = shapely.is_valid(lattice.polygon())
    assert (set(_kinds(lattice)) <= {"repeat"}) == bool(doubled) or lattice.area_m2 == 0.0


@pytest.mark.parametrize("seed", range(10))
def test_arcs_agree_with_very_fine_chords(seed: int) -> None:
    """Rings with arcs cross themselves exactly when their fine polygons do."""
    rng = np.random.default_rng(seed)
    ring = Ring(rng.uniform(0, 10, (5, 2)), rng.uniform(-0.6, 0.6, 5))
    assert (crossings(ring) == ()) == bool(ring.polygon(1e-7).is_valid)


def test_two_sides_there_and_back_are_a_spike() -> None:
    """Two arcs on one another enclose nothing; two half circles are a circle."""
    assert [c.kind for c in crossings(Ring([(0, 0), (2, 0)], [0.5, -0.5]))] == [Meeting.SPIKE]
    assert crossings(Ring([(0, 0), (2, 0)], [1, 1])) == ()


def test_smooth_corners_are_sound() -> None:
    """Sides that run smoothly into each other, straight into round and round into round, do not meet."""
    quarter = math.tan(math.pi / 8)
    stadium = Ring([(0, 0), (4, 0), (4, 2), (0, 2)], [0, 1, 0, 1])
    ess = Ring([(0, 0), (1, 1), (2, 2), (0, 4)], [quarter, -quarter, 0, 0])
    for ring in (stadium, ess, stadium.turned(31), ess.turned(31).moved(1e6, 0)):
        assert crossings(ring) == ()


def test_arc_doubled_back_is_a_spike() -> None:
    """An arc walked back along a part of itself is a spike, as a straight side is."""
    whole = Ring.circle((0, 0), 2)
    half = math.tan(math.pi / 16)
    east, north = whole.points[:2]
    part = (math.cos(math.pi / 4), math.sin(math.pi / 4))
    ring = Ring([east, north, part, (-3, 0.1), (-3, -2)], [whole.bulges[0], -half, 0, 0, 0])
    assert (Meeting.SPIKE, 0, 1) in {(c.kind, c.i, c.j) for c in crossings(ring)}


def test_hopeless_outline_ends_the_search() -> None:
    """Corners all out of order: the search ends at the number asked for, in the order of the sides."""
    rng = np.random.default_rng(1)
    ring = Ring(rng.uniform(0, 10, (600, 2)))
    found = crossings(ring, most=50)
    assert len(found) == 50
    assert list(found) == sorted(found, key=lambda c: (c.i, c.j, c.point))
    assert len(crossings(ring)) == 1000


@pytest.mark.parametrize("n", [1_500, 20_000])
def test_large_outlines_are_looked_through(n: int) -> None:
    """Of very many corners, the one tooth that runs through the far side is found, straight or bent."""
    ring = zigzag(n)
    bent = Ring(ring.points, np.full(n, 1e-3))
    assert crossings(ring) == () and crossings(bent) == ()
    points = ring.points.copy()
    points[300, 1] = 2.5
    assert {c.kind for c in crossings(Ring(points))} == {Meeting.CROSS}
    assert {c.kind for c in crossings(Ring(points, bent.bulges))} == {Meeting.CROSS}

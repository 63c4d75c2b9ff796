"""Arcs against published segment tables, worked examples and high-precision arithmetic."""

from __future__ import annotations

import math
from decimal import Decimal, localcontext

import numpy as np
import pytest
from outside import row, rows

from floorplan.geometry import arcs


@pytest.mark.parametrize("case", rows("a_geometry", "A4-u"), ids=lambda r: r["id"])
def test_segment_unit_radius_matches_table(case: dict) -> None:
    """Arc, height and area of a unit segment agree with the handbook table of segments (rows A4-u)."""
    angle = math.radians(case["inputs"]["angle_deg"])
    bulge, chord = arcs.bulge_from_angle(angle), 2 * math.sin(angle / 2)
    want, within = case["expected"], case["tolerance"]
    assert chord == pytest.approx(want["chord"], abs=within)
    assert arcs.length_m(chord, bulge) == pytest.approx(want["arc"], abs=within)
    assert arcs.rise_m(chord, bulge) == pytest.approx(want["height"], abs=within)
    assert arcs.segment_area_m2(chord, bulge) == pytest.approx(want["area"], abs=within)


@pytest.mark.parametrize(
    "case", [row("a_geometry", "A4-2"), *rows("a_geometry", "A4-cr")], ids=lambda r: r["id"]
)
def test_arc_from_chord_and_rise_matches_table(case: dict) -> None:
    """Radius, angle, arc and area follow from chord and rise, also past a half circle (rows A4-2, A4-cr)."""
    chord, rise = case["inputs"]["chord"], case["inputs"]["rise"]
    bulge, want, within = arcs.bulge_from_rise(chord, rise), case["expected"], case["tolerance"]
    assert arcs.radius_m(chord, bulge) == pytest.approx(want["radius"], abs=within)
    assert math.degrees(arcs.angle_rad(bulge)) == pytest.approx(want["angle_deg"], abs=within)
    assert arcs.length_m(chord, bulge) == pytest.approx(want["arc"], abs=within)
    assert arcs.segment_area_m2(chord, bulge) == pytest.approx(want["area"], abs=within)


def test_segment_radius_and_height_worked_example() -> None:
    """A segment of radius 10 and height 4 has chord 16 and area 44.729522 (row A4-3)."""
    case = row("a_geometry", "A4-3")
    want = case["expected"]
    bulge = arcs.bulge_from_radius(want["chord"], case["inputs"]["radius"])
    assert arcs.rise_m(want["chord"], bulge) == pytest.approx(case["inputs"]["rise"], abs=1e-12)
    assert arcs.segment_area_m2(want["chord"], bulge) == pytest.approx(want["area"], abs=case["tolerance"])


def test_trade_brief_arc_check_values() -> None:
    """Chord 20.5 and rise 3 give the radius, angle, arc, segment and bulge of the trade brief, 2.1."""
    bulge = arcs.bulge_from_rise(20.5, 3.0)
    assert round(bulge, 4) == 0.2927
    assert round(arcs.radius_m(20.5, bulge), 3) == 19.010
    assert round(math.degrees(arcs.angle_rad(bulge)), 3) == 65.255
    assert round(arcs.length_m(20.5, bulge), 3) == 21.651
    assert round(arcs.segment_area_m2(20.5, bulge), 3) == 41.694


def test_lot_with_circular_bite() -> None:
    """A bite of radius 50 over a chord of 38.94 takes 103.29 (row A2-5)."""
    case = row("a_geometry", "A2-5")
    bulge = arcs.bulge_from_radius(case["inputs"]["chord"], case["inputs"]["radius"])
    taken = arcs.segment_area_m2(case["inputs"]["chord"], bulge)
    assert taken == pytest.approx(case["expected"]["segment_area"], abs=case["tolerance"])


@pytest.mark.parametrize(
    "bulge", [1e-300, 1e-12, 1e-6, 1e-3, 0.1, 0.2499999, 0.25, 0.2500001, 0.9, 1.0, 3.0, 80.0]
)
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_segment_area_keeps_its_digits(bulge: float, sign: float) -> None:
    """Area agrees with 60-digit arithmetic of R²(θ - sin θ)/2 to 1e-14, for hair-flat arcs too."""
    want = _segment_by_decimals(bulge) if bulge > 1e-20 else bulge / 3.0
    assert arcs.segment_area_m2(1.0, sign * bulge) == pytest.approx(sign * want, rel=1e-14)


def _segment_by_decimals(bulge: float) -> float:
    """c = 1: c² ((1 + b²)² atan b - b (1 - b²)) / 8b², with atan from its series after halving the angle."""
    with localcontext() as context:
        context.prec = 80
        b = Decimal(bulge)
        halved, times = b, 1
        while abs(halved) > Decimal("0.01"):
            halved, times = halved / (1 + (1 + halved * halved).sqrt()), times * 2
        angle = times * sum((-1) ** k * halved ** (2 * k + 1) / (2 * k + 1) for k in range(30))
        area = ((1 + b * b) ** 2 * angle - b * (1 - b * b)) / (8 * b * b)
        return float(area)


@pytest.mark.parametrize("bulge", [0.0, 1e-9, 0.3, 1.0, 4.0])
def test_bulge_from_radius_both_ways(bulge: float) -> None:
    """Radius and which way round give back the bulge, the shorter way up to the half circle."""
    radius = arcs.radius_m(2.0, bulge)
    if math.isfinite(radius):
        again = arcs.bulge_from_radius(2.0, radius, major=bulge > 1.0)
        assert again == pytest.approx(bulge, rel=1e-7)


@pytest.mark.parametrize("bulge", [1e-3, 0.3, 1.0, 4.0])
def test_bulge_from_length_both_ways(bulge: float) -> None:
    """The length taped along an arc gives back its bulge, past a half circle too."""
    assert arcs.bulge_from_length(2.0, arcs.length_m(2.0, bulge)) == pytest.approx(bulge, rel=1e-9)


def test_bulge_from_length_of_chord_is_straight() -> None:
    """An edge as long as its chord is straight."""
    assert arcs.bulge_from_length(2.0, 2.0) == 0.0


def test_radius_under_half_chord_is_refused() -> None:
    """No circle of radius 0.9 passes through points 2 apart; 1 - 1e-12 is a half circle within rounding."""
    with pytest.raises(ValueError, match="less than half"):
        arcs.bulge_from_radius(2.0, 0.9)
    assert arcs.bulge_from_radius(2.0, 1.0 - 1e-12) == 1.0


@pytest.mark.parametrize("call", [arcs.bulge_from_rise, arcs.bulge_from_radius, arcs.bulge_from_length])
@pytest.mark.parametrize("chord", [0.0, -1.0, math.nan])
def test_chord_not_positive_is_refused(call: object, chord: float) -> None:
    """A chord must be longer than nothing."""
    with pytest.raises(ValueError, match="chord_m must be > 0"):
        call(chord, 1.0)  # type: ignore[operator]


def test_length_under_chord_and_full_turn_are_refused() -> None:
    """An arc is no shorter than its chord, and a full turn has no bulge."""
    with pytest.raises(ValueError, match="less than chord_m"):
        arcs.bulge_from_length(2.0, 1.9)
    with pytest.raises(ValueError, match="full turn"):
        arcs.bulge_from_angle(2 * math.pi)


@pytest.mark.parametrize("bulge", [-3.0, -1.0, -0.3, 1e-9, 0.3, 1.0, 3.0])
def test_points_lie_on_the_circle(bulge: float) -> None:
    """Points along an arc stand one radius from its centre, in equal steps."""
    p, q, b = np.array([[1.0, 2.0]]), np.array([[4.0, 6.0]]), np.array([bulge])
    shares = np.linspace(0.0, 1.0, 9)
    many = (np.repeat(p, 9, axis=0), np.repeat(q, 9, axis=0), np.repeat(b, 9))
    points = arcs.points_at(*many, shares)
    radius = arcs.radius_m(5.0, bulge)
    off = np.hypot(*(points - arcs.centres(p, q, b)).T)
    assert off == pytest.approx(radius, rel=1e-6 if abs(bulge) < 1e-6 else 1e-12)
    steps = np.hypot(*np.diff(points, axis=0).T)
    assert steps == pytest.approx(steps[0], rel=1e-9)
    assert points[0] == pytest.approx(p[0]) and points[-1] == pytest.approx(q[0])


@pytest.mark.parametrize("tolerance", [1e-1, 1e-3, 1e-6])
@pytest.mark.parametrize("bulge", [-2.0, 0.01, 0.4142135623730951, 1.0])
def test_flattened_stays_within_tolerance(bulge: float, tolerance: float) -> None:
    """The middle of every chord is within the tolerance of the arc, and one chord fewer would not be."""
    p, q, b = np.array([[0.0, 0.0]]), np.array([[2.0, 0.0]]), np.array([bulge])
    points, sides = arcs.flattened(p, q, b, tolerance)
    radius, n = arcs.radius_m(2.0, bulge), len(points)
    assert radius * (1 - math.cos(abs(arcs.angle_rad(bulge)) / n / 2)) <= tolerance * (1 + 1e-6)
    turn = abs(arcs.angle_rad(bulge)) / max(1, n - 1)
    assert n == 1 or radius * (1 - math.cos(turn / 2)) > tolerance or turn > math.pi / 4 * (1 - 1e-9)
    assert (sides == 0).all() and (points[0] == p[0]).all()


def test_inscribed_polygon_loses_what_the_table_says() -> None:
    """A circle as an inscribed 64-gon has the area and perimeter of row A8-inscribed."""
    case = row("a_geometry", "A8-inscribed")
    turn = 2 * math.pi / case["inputs"]["n"]
    corners = [(math.cos(k * turn), math.sin(k * turn)) for k in range(case["inputs"]["n"])]
    from_x, from_y = np.array(corners).T
    area = 0.5 * float(np.sum(from_x * np.roll(from_y, -1) - np.roll(from_x, -1) * from_y))
    assert area == pytest.approx(case["expected"]["area"], abs=case["tolerance"])

"""Ellipses and splines as chains of arcs, against closed forms and other libraries."""

from __future__ import annotations

import math

import numpy as np
import pytest
from ezdxf.math import BSpline, Vec3, fit_points_to_cad_cv
from scipy.special import ellipe

from floorplan.foreign.curves import CURVE_SHARE, arcs_through, bezier, chains, ellipse
from floorplan.foreign.fitting import through
from floorplan.foreign.splines import spline_chains, spline_of
from floorplan.geometry.rings import Ring, Side

HALF = math.sqrt(0.5)


def _spline(control: np.ndarray, knots: list, weights: list, degree: int) -> tuple[np.ndarray, np.ndarray]:
    return spline_chains([spline_of(control, knots, weights, degree)]).one(0)


def _closed(points: np.ndarray, bulges: np.ndarray) -> Ring:
    return Ring(points[:-1], bulges)


@pytest.mark.parametrize(("a", "b"), [(1.0, 1.0), (3.0, 2.0), (5.0, 4.99), (10.0, 1.0), (10.0, 0.3)])
def test_whole_ellipse(a: float, b: float) -> None:
    """Area pi a b, and the perimeter by the complete elliptic integral (scipy.special.ellipe)."""
    ring = _closed(*ellipse(np.zeros(2), np.array((a, 0.0)), np.array((0.0, b)), 0.0, 2.0 * math.pi))
    assert ring.area_m2 == pytest.approx(math.pi * a * b, rel=2e-5)
    assert ring.perimeter_m == pytest.approx(4.0 * a * ellipe(1.0 - (b / a) ** 2), rel=1e-5)


def test_chain_stays_within_its_share() -> None:
    """No point of the curve stands farther off the chain than the stated share of its size."""
    points, bulges = ellipse(np.zeros(2), np.array((7.0, 1.0)), np.array((-0.5, 3.0)), 0.3, 4.0)
    t = np.linspace(0.3, 4.0, 3000)
    curve = np.cos(t)[:, None] * (7.0, 1.0) + np.sin(t)[:, None] * (-0.5, 3.0)
    sides = [
        Side(tuple(p), tuple(q), float(b)) for p, q, b in zip(points[:-1], points[1:], bulges, strict=True)
    ]
    dense = np.vstack([side.flattened(1e-9) for side in sides])
    off = [np.hypot(*(dense - spot).T).min() for spot in curve[::50]]
    # Points of the dense chain lie apart, so a little more than the share is seen.
    assert max(off) <= CURVE_SHARE * 14.0 + 2e-4


def test_circle_as_rational_spline() -> None:
    """The nine-point rational quadratic circle (weights 1 and root 1/2) has the area of its circle."""
    control = np.array([(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1), (1, 0)], float)
    knots = [0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4]
    ring = _closed(*_spline(control, knots, [1, HALF, 1, HALF, 1, HALF, 1, HALF, 1], 2))
    assert ring.area_m2 == pytest.approx(math.pi, rel=1e-12)
    assert ring.perimeter_m == pytest.approx(2.0 * math.pi, rel=1e-12)


@pytest.mark.parametrize("degree", [2, 3, 4, 5])
def test_spline_agrees_with_reference(degree: int) -> None:
    """A closed run of random control points has the area that ezdxf's B-spline has in fine chords."""
    dice = np.random.default_rng(degree)
    control = dice.uniform(0.0, 10.0, size=(9, 2))
    control[-1] = control[0]
    reference = BSpline(control.tolist(), order=degree + 1)
    ring = _closed(*_spline(control, list(reference.knots()), [], degree))
    fine = Ring([(p.x, p.y) for p in reference.approximate(100_000)][:-1])
    assert ring.signed_area_m2 == pytest.approx(fine.signed_area_m2, rel=1e-5, abs=1e-4)
    assert ring.perimeter_m == pytest.approx(fine.perimeter_m, rel=1e-5)


def test_spline_through_points_agrees_with_reference() -> None:
    """A spline given only by the points it passes through is the one that ezdxf solves."""
    points = [(0.0, 0.0, 0.0), (2.0, 1.0, 0.0), (4.0, -1.0, 0.0), (7.0, 2.0, 0.0)]
    ours = through(points, [], [])
    reference = fit_points_to_cad_cv([Vec3(p) for p in points])
    assert ours.degree == reference.degree
    assert np.allclose(ours.control, [(p.x, p.y, p.z) for p in reference.control_points])


@pytest.mark.parametrize(
    ("control", "knots", "weights", "degree"),
    [
        ([(0, 0), (1, 1)], [0, 0, 0, 1, 1, 1], [], 2),
        ([(0, 0), (1, 1), (2, 0)], [0, 0, 0, 1, 1], [], 2),
        ([(0, 0), (1, 1), (2, 0)], [0, 0, 1, 0, 1, 1], [], 2),
        ([(0, 0), (1, 1), (2, 0)], [0, 0, 0, 1, 1, 1], [1, 0, 1], 2),
        ([(0, 0), (1, 1), (2, 0)], [0, 0, 0, 0, 0, 0], [], 2),
        ([(0, 0), (1, math.nan), (2, 0)], [0, 0, 0, 1, 1, 1], [], 2),
        ([(0, 0), (1, 1), (2, 0)], [0, 0, 0, 1, 1, 1], [], 0),
    ],
)
def test_numbers_that_make_no_spline(control: list, knots: list, weights: list, degree: int) -> None:
    """Knots, weights and points that do not fit are a ValueError, never another."""
    with pytest.raises(ValueError, match=r".+"):
        _spline(np.array(control, dtype=float), knots, weights, degree)


def test_chain_of_a_curve_without_end_is_refused() -> None:
    """A curve that wiggles without end stops at a bound, and costs the others nothing."""

    def at(span: np.ndarray, share: np.ndarray) -> np.ndarray:
        wild = np.where(span < 1, np.sin(1e6 * share), 0.2 * share**2)
        return np.column_stack((share, wild))

    found = chains(at, np.array([0, 1]))
    with pytest.raises(ValueError, match="no curve"):
        found.one(0)
    assert len(found.one(1)[0]) < 100


def test_many_splines_at_once_agree_with_one_by_one() -> None:
    """A batch of splines gives what each gives alone."""
    dice = np.random.default_rng(3)
    splines = []
    for _ in range(20):
        control = dice.uniform(0, 9, size=(int(dice.integers(4, 9)), 2))
        splines.append(spline_of(control, list(BSpline(control.tolist(), order=4).knots()), [], 3))
    together = spline_chains(splines)
    for k, each in enumerate(splines):
        points, bulges = spline_chains([each]).one(0)
        assert together.one(k)[0] == pytest.approx(points)
        assert together.one(k)[1] == pytest.approx(bulges)


def test_cubic_bezier() -> None:
    """A cubic with x = t and y = 3 t (1 - t) encloses a half over its chord."""
    points, bulges = bezier(np.array([(0.0, 0.0), (1 / 3, 1.0), (2 / 3, 1.0), (1.0, 0.0)]))
    # The integral of 3 t (1 - t) from 0 to 1 is 1/2.
    assert Ring(points, np.append(bulges, 0.0)).area_m2 == pytest.approx(0.5, rel=1e-6)


def test_arcs_through_points() -> None:
    """Three points give their arc; equal ends give the whole circle with the middle point opposite."""
    points, bulges = arcs_through(np.array([(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0)]))
    assert bulges == pytest.approx([1.0])
    points, bulges = arcs_through(np.array([(3.0, 0.0), (-3.0, 0.0), (3.0, 0.0)]))
    assert _closed(points, bulges).area_m2 == pytest.approx(9.0 * math.pi)

"""Tape sheets against published networks, closed forms, the worked patio sheet and scipy."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from outside import row
from scipy.optimize import least_squares
from survey.sketches import (
    EIGHTH_M,
    PATIO_ACROSS,
    PATIO_FAN,
    PATIO_SIDES,
    Drawn,
    braced,
    feet,
    network,
    noisy_fan,
    random_slab,
    sq_ft,
    taped,
)

from floorplan.survey import adjust, tape
from floorplan.survey.enclosed import area_std_m2, enclosed
from floorplan.survey.findings import Unsolved
from floorplan.survey.network import Network, Tie
from floorplan.units.factors import INCH_M

PATIO = PATIO_SIDES | PATIO_FAN | PATIO_ACROSS
# A length across tells the two readings of the bare fan apart; this one is only paced, good to two feet.
PACED = Tie(start="2", end="5", length_m=feet(25), std_m=feet(2))


def _patio(lengths: dict[str, float], **change: float) -> Network:
    return network(lengths | {name.replace("_", "-"): value for name, value in change.items()}, "123456")


def _with_paced(sheet: Network) -> Network:
    return replace(sheet, ties=(*sheet.ties, PACED))


def _codes(found: tape.Solved) -> list[str]:
    return [finding.code for finding in found.findings]


def test_network_published_trilateration() -> None:
    """Coordinates, residuals, unit error and standard errors of a published two-point trilateration
    network."""
    case = row("a_geometry", "A6-1")
    given, expected, slack = case["inputs"], case["expected"], case["tolerance"]
    names = [*given["fixed"], *given["approx"]]
    ties = tuple(Tie(start=a, end=b, length_m=v, std_m=given["sigma_apriori"]) for a, b, v in given["obs"])
    sketch = Network(corners=tuple(names), ties=ties)
    start = np.array([*given["fixed"].values(), *given["approx"].values()])
    free = np.repeat([name in given["approx"] for name in names], 2)
    fit = adjust.adjust(sketch, start, free)
    assert fit.points[2:].ravel() == pytest.approx(expected["coords"], abs=slack["coords"]), case["source"]
    assert fit.redundancy == expected["redundancy"]
    assert fit.unit_error == pytest.approx(expected["s0"], abs=slack["s0"])
    std = fit.unit_error * np.sqrt(np.diag(fit.covariance))[4:]
    assert std == pytest.approx(expected["sd_coords"], abs=slack["sd_coords"])
    residuals = expected["residuals_adj_minus_obs"]
    assert fit.misfits == pytest.approx(residuals, abs=slack["residuals_adj_minus_obs"])


def test_tape_braced_rectangle() -> None:
    """Four sides and both diagonals of a slab, against an independent least-squares solution."""
    case = row("a_geometry", "A6-2")
    given, expected, slack = case["inputs"], case["expected"], case["tolerance"]
    lengths = {f"{a}-{b}": v for a, b, v in given["obs"]}
    found = tape.solve(network(lengths, "ABCD", given["sigma_apriori"]), clockwise=False)
    (_, xyb, xyc, xyd) = found.points
    coords = [xyb[0], *xyc, *xyd]
    assert coords == pytest.approx(expected["coords"], abs=slack["coords"]), case["derivation"]
    assert found.area_m2 == pytest.approx(expected["area"], abs=slack["area"])
    assert found.redundancy == expected["redundancy"]
    residuals = [r.residual_m for r in found.rows]
    assert residuals == pytest.approx(
        expected["residuals_adj_minus_obs"], abs=slack["residuals_adj_minus_obs"]
    )


def test_tape_second_diagonal_of_a_rectangle() -> None:
    """Four sides and a diagonal of a true rectangle give the other diagonal (Pythagoras)."""
    case = row("a_geometry", "A6-3")
    a, b, c, d = case["inputs"]["sides"]
    lengths = {"A-B": a, "B-C": b, "C-D": c, "D-A": d, "A-C": case["inputs"]["diagonal"]}
    found = tape.solve(network(lengths, "ABCD"), clockwise=True)
    other = math.dist(found.points[1], found.points[3])
    assert other == pytest.approx(case["expected"]["other_diagonal"], abs=1e-9), case["source"]


@pytest.mark.parametrize("name", ["A5-1", "A5-2"])
def test_tape_quadrilateral_from_a_diagonal(name: str) -> None:
    """Four sides and a diagonal hold the area that two triangles by Heron's formula add up to."""
    case = row("a_geometry", name)
    (a, b, diagonal), (c, d, _) = case["inputs"]["triangles"]
    lengths = {"A-B": c, "B-C": b, "C-D": a, "D-A": d, "B-D": diagonal}
    lengths = {"A-B": a, "B-C": b, "C-D": c, "D-A": d, "A-C": diagonal}
    paced = Tie(start="B", end="D", length_m=(a + d), std_m=0.4 * (a + d))
    sheet = network(lengths, "ABCD", 1e-3)
    found = tape.solve(
        replace(sheet, ties=(*sheet.ties, replace(paced, std_m=1e3))), clockwise=True, inward=frozenset()
    )
    slack = case["tolerance"]
    assert found.area_m2 == pytest.approx(case["expected"]["area"], abs=slack), case["source"]


@pytest.mark.parametrize("name", ["A5-3", "A5-4", "A5-5"])
def test_tape_triangle(name: str) -> None:
    """Three sides hold the area of Heron's formula."""
    case = row("a_geometry", name)
    a, b, c = case["inputs"]["triangles"][0]
    found = tape.solve(network({"A-B": a, "B-C": b, "C-A": c}, "ABC"), clockwise=True)
    assert found.area_m2 == pytest.approx(case["expected"]["area"], abs=max(case["tolerance"], 1e-9)), case[
        "source"
    ]
    assert _codes(found)[0] == "tape-unchecked-triangle"


def test_tape_broken_triangle_is_refused() -> None:
    """Lengths 10, 4 and 5 make no triangle, and the three are named."""
    case = row("a_geometry", "A5-7")
    a, b, c = case["inputs"]["triangles"][0]
    lengths = {"A-B": a, "B-C": b, "C-D": 8.0, "D-A": 9.0, "A-C": c}
    with pytest.raises(Unsolved) as refused:
        tape.solve(network(lengths, "ABCD"), clockwise=True)
    finding = refused.value.findings[0]
    assert finding.code == "tape-triangle-broken", case["source"]
    assert finding.about == ("A", "B", "C")
    assert finding.figures["long"] == "A-B"
    assert finding.figures["over_m"] == pytest.approx(1.0)


def test_tape_flat_triangle_is_allowed() -> None:
    """A triangle that is flat within the tape's error is a straight line, not a fault."""
    lengths = {"A-B": 3.0, "B-C": 3.0, "C-D": 4.0, "D-A": 4.0, "A-C": 6.001, "B-D": math.sqrt(7.0)}
    found = tape.solve(network(lengths, "ABCD"), clockwise=False)
    assert found.area_m2 == pytest.approx(3.0 * math.sqrt(7.0), abs=0.01)
    assert not found.suspects


def test_tape_side_longer_than_the_rest() -> None:
    """A side longer than all others together is refused by name."""
    lengths = {"A-B": 20.0, "B-C": 4.0, "C-D": 5.0, "D-A": 4.0, "A-C": 18.0}
    with pytest.raises(Unsolved) as refused:
        tape.solve(network(lengths, "ABCD"), clockwise=True)
    assert refused.value.findings[0].code == "tape-side-too-long"
    assert refused.value.findings[0].about == ("A", "B")


# The worked patio sheet (trade brief 10A; figures from true corners by the shoelace formula and Pythagoras).


def test_patio_fan_area() -> None:
    """The fan alone gives 597.04 sq ft, and the four lengths across miss it by 0.06, -0.09 and 0.12 in."""
    found = tape.solve(_with_paced(_patio(PATIO_SIDES | PATIO_FAN)), clockwise=False)
    assert sq_ft(found.area_m2) == pytest.approx(597.04, abs=0.005)
    off = {name: _off_in(found, name) for name in PATIO_ACROSS}
    assert [off["2-6"], off["3-6"], off["2-4"]] == pytest.approx([0.06, -0.09, 0.12], abs=0.005)


def _off_in(found: tape.Solved, name: str) -> float:
    i, j = (int(k) - 1 for k in name.split("-"))
    return (math.dist(found.points[i], found.points[j]) - PATIO_ACROSS[name]) / INCH_M


def test_patio_misread_fan_closes_and_shows_across() -> None:
    """28'-0 7/8" for 29'-0 7/8" still closes: 603.82 sq ft, but lengths across miss by 13.5 and 16.0 in."""
    sheet = _patio(PATIO_SIDES | PATIO_FAN | {"1-5": feet(28, 7 / 8)})
    found = tape.solve(_with_paced(sheet), clockwise=False)
    assert sq_ft(found.area_m2) == pytest.approx(603.82, abs=0.01)
    sizes = sorted(abs(_off_in(found, name)) for name in PATIO_ACROSS)
    assert any(size == pytest.approx(13.5, abs=0.05) for size in sizes), sizes
    assert any(size == pytest.approx(16.0, abs=0.05) for size in sizes), sizes


def test_patio_with_lengths_across() -> None:
    """All thirteen lengths agree: 597.0 sq ft, nothing suspected, nothing to say."""
    found = tape.solve(_patio(PATIO), clockwise=False)
    assert sq_ft(found.area_m2) == pytest.approx(597.00, abs=0.1)
    assert found.redundancy == 4
    assert not found.suspects
    assert not found.findings
    assert found.area_without_m2 is None


def test_patio_misread_length_is_named() -> None:
    """With lengths across, the misread one is named, with its foot, and the area without it is right."""
    found = tape.solve(_patio(PATIO, **{"1_5": feet(28, 7 / 8)}), clockwise=False)
    (suspect,) = found.suspects
    assert suspect.observation == list(PATIO).index("1-5")
    assert suspect.alone
    assert suspect.misreading is not None
    assert suspect.misreading.true_m == pytest.approx(PATIO["1-5"])
    assert "foot" in suspect.misreading.why
    assert found.area_without_m2 is not None
    assert sq_ft(found.area_without_m2) == pytest.approx(597.00, abs=0.1)
    assert _codes(found) == ["tape-suspect"]
    assert found.findings[0].figures["tie"] == "1-5"
    # The stated accuracy is contradicted, so the standard error is widened.
    assert found.area_std_m2 > 10.0 * tape.solve(_patio(PATIO), clockwise=False).area_std_m2


@pytest.mark.parametrize("name", list(PATIO))
def test_patio_any_foot_misread_is_found_or_among_the_named(name: str) -> None:
    """A foot in any one length is named; where the sketch cannot tell it apart, it is among those named."""
    sheet = _patio(PATIO | {name: PATIO[name] + feet(1)})
    found = tape.solve(sheet, clockwise=False)
    named = [s.observation for s in found.suspects]
    assert list(PATIO).index(name) in named
    if found.suspects[0].alone:
        assert named[0] == list(PATIO).index(name)


def test_patio_arc_adds_its_segment() -> None:
    """The arc of rise 3 ft adds 41.69 sq ft; with it standing in, as much is taken away (638.69 and
    555.31)."""
    for sign, area in ((1.0, 638.69), (-1.0, 555.31)):
        rises = tape.Rises(out_m=np.array([0, 0, 0, 0, sign * feet(3), 0]), std_m=np.zeros(6))
        found = tape.solve(_patio(PATIO), clockwise=False, rises=rises)
        assert sq_ft(found.area_m2) == pytest.approx(area, abs=0.1)


def test_patio_either_way_round() -> None:
    """Clockwise lettering gives the mirror image with the same area, error and residuals."""
    one, other = (tape.solve(_patio(PATIO), clockwise=way) for way in (False, True))
    assert other.points == pytest.approx(one.points * [1.0, -1.0], abs=1e-9)
    assert other.area_m2 == pytest.approx(one.area_m2, rel=1e-12)
    assert other.area_std_m2 == pytest.approx(one.area_std_m2, rel=1e-9)
    assert other.fit.misfits == pytest.approx(one.fit.misfits, abs=1e-9)


@pytest.mark.parametrize("start", range(6))
def test_patio_started_at_any_corner(start: int) -> None:
    """Area, error and residuals do not depend on the corner that the letters start from."""
    base = tape.solve(_patio(PATIO), clockwise=False)
    corners = "123456"[start:] + "123456"[:start]
    found = tape.solve(network(PATIO, corners), clockwise=False)
    assert found.area_m2 == pytest.approx(base.area_m2, rel=1e-10)
    assert found.area_std_m2 == pytest.approx(base.area_std_m2, rel=1e-8)
    assert found.fit.standardised == pytest.approx(base.fit.standardised, abs=1e-6)
    assert found.points[0] == pytest.approx([0.0, 0.0])
    assert found.points[1, 1] == 0.0


# Mirror readings.


def test_mirror_reading_is_asked_about() -> None:
    """A fan whose corners could lie two ways is refused with both areas and the length that would settle
    it."""
    with pytest.raises(Unsolved) as refused:
        tape.solve(_patio(PATIO_SIDES | PATIO_FAN), clockwise=False)
    finding = refused.value.findings[0]
    assert finding.code == "tape-two-shapes-alike"
    assert any(
        sq_ft(float(finding.figures[k])) == pytest.approx(597.04, abs=0.01)
        for k in ("area_m2", "other_area_m2")
    )
    assert finding.figures["tie"] == "2-5"


def test_mirror_reading_settled_by_a_paced_length() -> None:
    """One length paced to two feet settles which reading is meant, and leaves the area as taped."""
    found = tape.solve(_with_paced(_patio(PATIO_SIDES | PATIO_FAN)), clockwise=False)
    assert sq_ft(found.area_m2) == pytest.approx(597.04, abs=0.01)


def _kite() -> dict[str, float]:
    """A kite and its dart: sides 5 5 3 3 about a diagonal of 4 between the equal pairs' ends."""
    return {"A-B": 5.0, "B-C": 5.0, "C-D": 3.0, "D-A": 3.0, "A-C": 4.0}


def test_kite_or_dart_is_asked() -> None:
    """Sides and one diagonal fit a kite and a dart; both are simple, so it is asked."""
    with pytest.raises(Unsolved) as refused:
        tape.solve(network(_kite(), "ABCD"), clockwise=False)
    finding = refused.value.findings[0]
    assert finding.code == "tape-two-shapes"
    assert finding.figures["tie"] == "B-D"
    # Heights over the diagonal: √(25 - 4) and √(9 - 4); kite and dart are half of 4 times sum and difference.
    tall, low = math.sqrt(21.0), math.sqrt(5.0)
    areas = sorted([finding.figures["area_m2"], finding.figures["other_area_m2"]])
    assert areas == pytest.approx([2.0 * (tall - low), 2.0 * (tall + low)])
    lengths = sorted([finding.figures["length_m"], finding.figures["other_length_m"]])
    assert lengths == pytest.approx([tall - low, tall + low])
    assert {finding.figures["inward"], finding.figures["other_inward"]} == {"none", "D"}


@pytest.mark.parametrize(("inward", "sign"), [(frozenset(), 1.0), (frozenset("D"), -1.0)])
def test_kite_or_dart_settled_by_inward_corners(inward: frozenset[str], sign: float) -> None:
    """Saying which corners stand in settles kite or dart."""
    found = tape.solve(network(_kite(), "ABCD"), clockwise=False, inward=inward)
    assert found.area_m2 == pytest.approx(2.0 * (math.sqrt(21.0) + sign * math.sqrt(5.0)))


def _convex_fan(count: int) -> Network:
    """Sides and fan of a convex outline on an ellipse."""
    turn = 2.0 * np.pi * np.arange(count) / count
    slab = Drawn(np.column_stack((5.0 * np.cos(turn), 4.0 * np.sin(turn))))
    pairs = [(k, (k + 1) % count) for k in range(count)] + [(0, k) for k in range(2, count - 1)]
    return taped(slab, pairs, None)


def test_long_fan_is_asked_about_plainly() -> None:
    """A fan of sixteen corners fits many shapes: it is asked about, the plainest outline first."""
    with pytest.raises(Unsolved) as refused:
        tape.solve(_convex_fan(16), clockwise=False)
    finding = refused.value.findings[0]
    assert finding.code == "tape-two-shapes"
    assert finding.figures["inward"] == "none"


def test_long_fan_settled_by_inward_none() -> None:
    """Saying that no corner stands in settles a long fan: n/2 a b sin(2π/n) on an ellipse."""
    found = tape.solve(_convex_fan(16), clockwise=False, inward=frozenset())
    assert found.area_m2 == pytest.approx(8.0 * 5.0 * 4.0 * math.sin(2.0 * math.pi / 16))


def test_very_long_fan_fits_too_many_shapes() -> None:
    """Where more readings fit than can be followed it is said, and no one of them is picked."""
    with pytest.raises(Unsolved) as refused:
        tape.solve(_convex_fan(40), clockwise=False)
    assert refused.value.findings[0].code in ("tape-many-shapes", "tape-two-shapes")


@pytest.mark.parametrize("seed", range(6))
def test_sheet_without_an_order_of_placing(seed: int) -> None:
    """Six sides and the three longest diagonals hold a hexagon though no corner hangs on two placed ones.

    Such a sheet fits two shapes; the true one is among those asked about, and a paced length settles it.
    """
    slab = random_slab(np.random.default_rng(seed), 6)
    pairs = [(k, (k + 1) % 6) for k in range(6)] + [(0, 3), (1, 4), (2, 5)]
    sheet = taped(slab, pairs, None)
    with pytest.raises(Unsolved) as refused:
        tape.solve(sheet, clockwise=False)
    figures = refused.value.findings[0].figures
    assert any(figures[k] == pytest.approx(slab.area_m2, rel=1e-9) for k in ("area_m2", "other_area_m2"))
    start, end = str(figures["tie"]).split("-")
    true = slab.distance(slab.names.index(start), slab.names.index(end))
    rough = Tie(start=start, end=end, length_m=true + 0.01, std_m=0.02)
    found = tape.solve(replace(sheet, ties=(*sheet.ties, rough)), clockwise=False)
    assert found.area_m2 == pytest.approx(slab.area_m2, rel=1e-3)


def test_inward_corners_that_cannot_be() -> None:
    """Corners said to stand in that cannot are a fault that says what the lengths make."""
    with pytest.raises(Unsolved) as refused:
        tape.solve(_patio(PATIO), clockwise=False, inward=frozenset("3"))
    assert refused.value.findings[0].code == "tape-inward-differs"
    assert refused.value.findings[0].figures["found"] == "4"


def test_mirror_reading_settled_by_a_simple_outline() -> None:
    """A rectangle folded over its diagonal crosses itself, so four sides and a diagonal are enough to
    place it."""
    lengths = {"A-B": 20.0, "B-C": 15.0, "C-D": 20.0, "D-A": 15.0, "A-C": 25.0}
    found = tape.solve(network(lengths, "ABCD"), clockwise=False)
    assert found.area_m2 == pytest.approx(300.0)
    assert _codes(found) == ["tape-unchecked"]


def test_concave_corner_found_by_lengths_across() -> None:
    """The corner that stands in comes out standing in when a length across says so."""
    found = tape.solve(network(_kite() | {"B-D": math.sqrt(21.0) - math.sqrt(5.0)}, "ABCD"), clockwise=False)
    assert found.area_m2 == pytest.approx(2.0 * (math.sqrt(21.0) - math.sqrt(5.0)), abs=1e-6)


def test_corners_out_of_order_cross() -> None:
    """Corners listed in the wrong order give sides that cross, and the sides are named."""
    lengths = {"A-B": 5.0, "C-D": 5.0, "A-C": 3.0, "B-D": 3.0, "A-D": math.sqrt(34.0), "B-C": math.sqrt(34.0)}
    with pytest.raises(Unsolved) as refused:
        tape.solve(network(lengths, "ABCD"), clockwise=False)
    finding = refused.value.findings[0]
    assert finding.code == "tape-crosses"
    assert {finding.figures["side"], finding.figures["other"]} in ({"A-B", "C-D"}, {"B-C", "D-A"})


# What fixes the corners, and what checks.


def test_just_enough_lengths_check_nothing() -> None:
    """2n - 3 lengths are said to check nothing, with lengths to tape next."""
    found = tape.solve(network(_kite(), "ABCD"), clockwise=False, inward=frozenset())
    assert found.redundancy == 0
    assert found.unit_error == 0.0
    finding = found.findings[0]
    assert finding.code == "tape-unchecked"
    assert finding.figures["next"] == "B-D"
    assert all(r.redundancy == pytest.approx(0.0, abs=1e-9) and r.standardised == 0.0 for r in found.rows)


def test_missing_lengths_are_named() -> None:
    """A quadrilateral without a diagonal is loose, and a diagonal is asked for."""
    lengths = {k: v for k, v in _kite().items() if k != "A-C"}
    with pytest.raises(Unsolved) as refused:
        tape.solve(network(lengths, "ABCD"), clockwise=False)
    finding = refused.value.findings[0]
    assert finding.code == "tape-loose"
    assert finding.figures["missing"] == "1"
    assert finding.figures["next"] == "A-C"
    assert finding.about == ("C", "D")


def test_untaped_side_is_worked_out() -> None:
    """A side that was not taped comes out fitted, with its error, and counts as no measurement."""
    found = tape.solve(_patio({k: v for k, v in PATIO.items() if k != "4-5"}), clockwise=False)
    last = found.rows[-1]
    assert (last.start, last.end, last.taped_m) == ("4", "5", None)
    assert last.fitted_m == pytest.approx(feet(9), abs=4 * last.std_m)
    assert 0.0 < last.std_m < INCH_M


def test_unchecked_length_in_a_braced_sketch() -> None:
    """A corner hung on two lengths is checked by nothing, and these are named."""
    lengths = {"A-B": 4.0, "B-C": 3.0, "C-D": 4.0, "D-E": 2.5, "E-A": 2.5, "A-C": 5.0, "B-D": 5.0, "D-A": 3.0}
    found = tape.solve(network(lengths, "ABCDE"), clockwise=False, inward=frozenset())
    finding = next(f for f in found.findings if f.code == "tape-part-unchecked")
    assert finding.figures["ties"] == "D-E, E-A"


def test_weak_corner_is_warned_about() -> None:
    """A corner held by lengths that cross at 10 degrees is named; at 20 degrees it is not."""
    for half, weak in ((math.radians(5.0), True), (math.radians(10.0), False)):
        # C lies at the tip of a needle over A-B; D squares it off on the other side.
        base, reach = 2.0 * 8.0 * math.sin(half), 8.0
        lengths = {"A-B": base, "B-C": reach, "C-A": reach}
        found = tape.solve(network(lengths, "ABC"), clockwise=False)
        weak_corners = [f.about for f in found.findings if f.code == "tape-weak-corner"]
        assert (("C",) in weak_corners) is weak


def test_square_corner_stands_for_a_diagonal() -> None:
    """Two corners checked square, three sides: the fourth side follows (3-4-5 twice)."""
    sketch = network(
        {"A-B": 4.0, "B-C": 3.0, "D-A": 3.0}, "ABCD", squares=("A", "B"), square_std_rad=math.radians(0.25)
    )
    found = tape.solve(sketch, clockwise=False)
    assert found.points == pytest.approx(np.array([[0, 0], [4, 0], [4, 3], [0, 3]]), abs=1e-6)
    assert found.area_m2 == pytest.approx(12.0)


def test_square_that_is_not_square_is_named() -> None:
    """A corner said to be square that the lengths put two degrees off is the suspect."""
    turn = math.radians(92.0)
    corners = [(0.0, 0.0), (6.0, 0.0), (6.0, 5.0), (5.0 * math.cos(turn), 5.0 * math.sin(turn))]
    pairs = [(0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3)]
    lengths = {f"{'ABCD'[i]}-{'ABCD'[j]}": math.dist(corners[i], corners[j]) for i, j in pairs}
    sketch = network(lengths, "ABCD", squares=("A",), square_std_rad=math.radians(0.25))
    found = tape.solve(sketch, clockwise=False)
    finding = next(f for f in found.findings if f.code == "tape-not-square")
    assert finding.figures["corner"] == "A"
    assert finding.figures["off_deg"] == pytest.approx(2.0, abs=0.05)


def test_post_is_placed_on_the_floor() -> None:
    """A post taped from two corners of a wall lies on the floor side of it, not beyond the wall."""
    lengths = {"A-B": 8.0, "B-C": 6.0, "C-D": 8.0, "D-A": 6.0, "A-C": 10.0, "B-D": 10.0}
    lengths |= {"A-P": 5.0, "B-P": 5.0}
    for way, sign in ((False, 1.0), (True, -1.0)):
        found = tape.solve(network(lengths, "ABCD", points=("P",)), clockwise=way)
        assert found.points[4] == pytest.approx([4.0, 3.0 * sign], abs=1e-6)


def test_point_on_a_side() -> None:
    """A point along a side is found from one length, and checked by a second."""
    lengths = {"A-B": 8.0, "B-C": 6.0, "C-D": 8.0, "D-A": 6.0, "A-C": 10.0, "B-D": 10.0, "A-P": 2.5}
    sketch = network(lengths, "ABCD", points=("P",), on_sides=(("P", "A", "B"),), on_side_std_m=EIGHTH_M)
    found = tape.solve(sketch, clockwise=False)
    assert found.points[4] == pytest.approx([2.5, 0.0], abs=1e-6)
    far = network(
        lengths | {"P-C": math.hypot(5.5, 6.0) + feet(1)},
        "ABCD",
        points=("P",),
        on_sides=(("P", "A", "B"),),
        on_side_std_m=EIGHTH_M,
    )
    named = tape.solve(far, clockwise=False).suspects
    assert {far.ties[s.observation].end for s in named if s.observation < len(far.ties)} & {"C", "P"}


def test_point_off_its_side_is_named() -> None:
    """A point said to lie on a side that three lengths put 4 in off it is the suspect."""
    off = feet(0, 4)
    lengths = {"A-B": 8.0, "B-C": 6.0, "C-D": 8.0, "D-A": 6.0, "A-C": 10.0, "B-D": 10.0}
    lengths |= {
        "A-P": math.hypot(3.0, off),
        "B-P": math.hypot(5.0, off),
        "C-P": math.hypot(5.0, 6.0 - off),
        "D-P": math.hypot(3.0, 6.0 - off),
    }
    sketch = network(lengths, "ABCD", points=("P",), on_sides=(("P", "A", "B"),), on_side_std_m=EIGHTH_M)
    found = tape.solve(sketch, clockwise=False)
    finding = next(f for f in found.findings if f.code == "tape-not-on-side")
    assert finding.figures["off_m"] == pytest.approx(off, abs=INCH_M / 4)


def test_large_misfit_of_a_rough_tape_is_told() -> None:
    """A length 2 in off is told even where the stated accuracy allows it."""
    lengths = {"A-B": 8.0, "B-C": 6.0, "C-D": 8.0, "D-A": 6.0, "A-C": 10.0, "B-D": 10.0 + 12 * INCH_M}
    found = tape.solve(network(lengths, "ABCD", 6 * INCH_M), clockwise=False)
    assert not found.suspects
    assert "tape-misfit" in _codes(found)


def test_same_length_taped_twice_disagrees() -> None:
    """Two readings of one length a foot apart, with nothing else to check: both are named, neither
    accused."""
    sketch = network(_kite(), "ABCD")
    again = replace(sketch.ties[0], length_m=5.0 + feet(1))
    sketch = replace(sketch, ties=(*sketch.ties, again))
    found = tape.solve(sketch, clockwise=False, inward=frozenset())
    assert [s.observation for s in found.suspects] == [0, 5] or [s.observation for s in found.suspects] == [
        5,
        0,
    ]
    assert not any(s.alone for s in found.suspects)
    assert "tape-suspects" in _codes(found)


def test_rough_tape_widens_the_errors() -> None:
    """Lengths that all scatter by an inch against a stated eighth widen the standard errors to match."""
    chance = np.random.default_rng(3)
    slab = random_slab(chance, 6)
    pairs = braced(slab, chance, 9)
    sheet = taped(slab, pairs, chance, INCH_M)
    claimed = replace(sheet, ties=tuple(replace(tie, std_m=EIGHTH_M) for tie in sheet.ties))
    honest, sharp = tape.solve(sheet, clockwise=False), tape.solve(claimed, clockwise=False)
    assert sharp.unit_error > 3.0
    assert sharp.area_std_m2 == pytest.approx(honest.area_std_m2, rel=0.6)


def test_muddled_lengths_are_refused() -> None:
    """Lengths that have nothing to do with each other are refused as a whole, not pinned on two sides."""
    chance = np.random.default_rng(5)
    slab = random_slab(chance, 12)
    sheet = taped(slab, braced(slab, chance, 14), None)
    wrong = tuple(replace(tie, length_m=float(chance.uniform(4.0, 9.0))) for tie in sheet.ties)
    with pytest.raises(Unsolved) as refused:
        tape.solve(replace(sheet, ties=wrong), clockwise=False)
    assert refused.value.findings[0].code == "tape-muddle"


def test_tape_too_large_is_refused() -> None:
    """More corners than are solved are refused in words."""
    names = tuple(f"P{k}" for k in range(tape.MOST_POINTS + 1))
    ties = tuple(Tie(start=a, end=b, length_m=1.0, std_m=0.01) for a, b in pairwise(names))
    with pytest.raises(Unsolved) as refused:
        tape.solve(Network(corners=names, ties=ties), clockwise=False)
    assert refused.value.findings[0].code == "tape-too-large"


# The numbers behind it.


def test_slopes_are_the_derivatives_of_the_misfits() -> None:
    """The analytic Jacobian of ties, squares and on-sides agrees with central differences."""
    chance = np.random.default_rng(11)
    sketch = network(
        {"A-B": 4.0, "B-C": 3.0, "C-P": 2.0},
        "ABC",
        points=("P",),
        squares=("B",),
        square_std_rad=0.01,
        on_sides=(("P", "A", "B"),),
        on_side_std_m=0.01,
    )
    points = chance.uniform(0.0, 5.0, (4, 2))
    slopes = sketch.slopes(points)
    for k in range(8):
        nudge = np.zeros(8)
        nudge[k] = 1e-6
        ends = [sketch.misfits(points + sign * nudge.reshape(-1, 2)) for sign in (1.0, -1.0)]
        assert slopes[:, k] == pytest.approx((ends[0] - ends[1]) / 2e-6, abs=1e-8)


@pytest.mark.parametrize("seed", range(12))
def test_fit_matches_scipy(seed: int) -> None:
    """Points and weighted sum of squares agree with scipy's least_squares from the true places."""
    chance = np.random.default_rng(seed)
    slab = random_slab(chance, int(chance.integers(4, 12)))
    sheet = taped(slab, braced(slab, chance, len(slab.corners)), chance)
    found = tape.solve(sheet, clockwise=False)
    start = adjust.on_datum(slab.corners)
    free = np.flatnonzero(adjust.first_side_held(len(start)))

    def weighted(moved: np.ndarray) -> np.ndarray:
        points = start.copy()
        points.ravel()[free] = moved
        return sheet.misfits(points) / sheet.stds

    other = least_squares(weighted, start.ravel()[free], xtol=1e-15, ftol=1e-15, gtol=1e-15)
    assert found.fit.chi2 == pytest.approx(2.0 * other.cost, rel=1e-8, abs=1e-9)
    assert found.points.ravel()[free] == pytest.approx(other.x, abs=1e-7)
    assert found.fit.settled
    # Covariance of the points from scipy's Jacobian.
    cofactor = np.linalg.inv(other.jac.T @ other.jac)
    assert found.fit.covariance[np.ix_(free, free)] == pytest.approx(cofactor, rel=1e-4, abs=1e-10)


@pytest.mark.parametrize("seed", range(6))
def test_redundancies_add_up(seed: int) -> None:
    """Redundancy numbers lie between 0 and 1 and add up to the lengths beyond those needed."""
    chance = np.random.default_rng(100 + seed)
    slab = random_slab(chance, 7)
    found = tape.solve(taped(slab, braced(slab, chance, 6), chance), clockwise=False)
    shares = found.fit.redundancies
    assert shares.sum() == pytest.approx(found.redundancy)
    assert shares.min() >= 0.0
    assert shares.max() <= 1.0


@pytest.mark.parametrize("name", ["A7-1", "A7-2", "A7-3"])
def test_area_error_of_a_rectangle(name: str) -> None:
    """Length and width on their own carry √((W σL)² + (L σW)²) into the area, as printed."""
    case = row("a_geometry", name)
    given, slack = case["inputs"], case["tolerance"]
    long, wide = given["L"], given["W"]
    # A corner square by two exact directions: the area of points moved by length and width alone.
    corners = np.array([[0.0, 0.0], [long, 0.0], [long, wide], [0.0, wide]])
    shape = enclosed(corners, np.zeros(4))
    moves = np.zeros((8, 2))
    moves[[2, 4], 0] = 1.0
    moves[[5, 7], 1] = 1.0
    covariance = moves @ np.diag([given["sL"] ** 2, given["sW"] ** 2]) @ moves.T
    of = slack if isinstance(slack, dict) else {"area": slack, "sigma_area": slack}
    assert shape.area_m2 == pytest.approx(case["expected"]["area"], abs=max(of["area"], 0.01)), case["source"]
    std = area_std_m2(shape, covariance, np.zeros(4))
    assert std == pytest.approx(case["expected"]["sigma_area"], abs=of["sigma_area"]), case["source"]


def test_area_error_of_noisy_corners() -> None:
    """Independent corner errors carry σ/2 √Σ(distance between neighbours)² into the area."""
    case = row("a_geometry", "A7-4")
    corners = np.array(case["inputs"]["ne"])[:, ::-1]
    noise = case["inputs"]["sigma_xy"] ** 2 * np.eye(8)
    std = area_std_m2(enclosed(corners, np.zeros(4)), noise, np.zeros(4))
    assert std == pytest.approx(case["expected"]["sigma_area"], abs=case["tolerance"]), case["source"]


def test_stretched_tape_counts_twice() -> None:
    """A tape that reads 0.1 % long makes the area 0.2001 % wrong, and no residual shows it."""
    case = row("a_geometry", "A7-5")
    true = tape.solve(_patio(PATIO), clockwise=False)
    stretch = 1.0 + case["inputs"]["length_scale_error"]
    wrong = tape.solve(_patio({k: v * stretch for k, v in PATIO.items()}), clockwise=False)
    share = wrong.area_m2 / true.area_m2 - 1.0
    assert share == pytest.approx(case["expected"]["area_scale_error"], abs=1e-7), case["source"]
    assert not wrong.suspects


@pytest.mark.parametrize("seed", [0, 1])
def test_fine_fan_from_two_stations_is_one_shape(seed: int) -> None:
    """Corners a degree apart, taped from two of them to 3 mm, some in line with both: the true outline is
    found, and not one that doubles back on itself (which once fitted within the roughness of first places).

    The area is that of the typed corners, to four standard errors.
    """
    at, sheet = noisy_fan(22, 1.0, seed)
    found = tape.solve(sheet, clockwise=False)
    true = 0.5 * float(at[:, 0] @ np.roll(at[:, 1], -1) - at[:, 1] @ np.roll(at[:, 0], -1))
    assert abs(found.area_m2 - true) < 4.0 * found.area_std_m2, f"seed {seed}"
    assert not found.suspects


def test_corners_closer_than_the_tape_tells_apart_are_asked_about() -> None:
    """Corners 55 mm apart, nearly in line with both stations, taped to 3 mm: a mirror place of one of them
    fits as well as the true one, so that nothing is picked."""
    _, sheet = noisy_fan(55, 0.35, 0)
    with pytest.raises(Unsolved) as raised:
        tape.solve(sheet, clockwise=False)
    assert raised.value.findings[0].code == "tape-two-shapes"

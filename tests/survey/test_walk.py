"""Walks against published traverses, closed forms and simulated tape error."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from outside import row
from survey.sketches import EIGHTH_M, courses, feet, sq_ft

from floorplan.survey import walk
from floorplan.survey.findings import Finding, Unsolved
from floorplan.survey.headings import Leg, Said
from floorplan.survey.limits import Grade
from floorplan.units.factors import INCH_M

TRAVERSES = ("A1-1", "A1-2", "A1-3", "A1-4", "A1-7")


def _steps(points: np.ndarray) -> np.ndarray:
    return np.roll(points, -1, axis=0) - points


@pytest.mark.parametrize("name", [*TRAVERSES, "A1-1-area", "A1-2-az", "A1-4-dep", "A1-5b"])
def test_walk_published_traverse(name: str) -> None:
    """Latitudes, departures, misclosure, adjusted courses and area of published traverses to their printed
    digits."""
    case = row("a_geometry", name)
    legs = courses(case)
    found = walk.solve(legs)
    walked, adjusted = np.diff(found.as_walked, axis=0), _steps(found.points)
    measures = {
        "lat": walked[:, 1],
        "dep": walked[:, 0],
        "sum_lat": found.as_walked[-1, 1],
        "sum_dep": found.as_walked[-1, 0],
        "perimeter": sum(leg.length_m or 0.0 for leg in legs),
        "misclosure": found.gap_m,
        "precision_denominator": found.ratio,
        "adj_lat": adjusted[:, 1],
        "adj_dep": adjusted[:, 0],
        "adj_length": found.lengths_m,
        "adj_azimuth_deg": (90.0 - found.degrees) % 360.0,
        "area": found.area_m2,
    }
    tolerance = case["tolerance"] if isinstance(case["tolerance"], dict) else {"*": case["tolerance"]}
    for key, expected in case["expected"].items():
        slack = tolerance.get(key, tolerance.get("*"))
        assert measures[key] == pytest.approx(expected, abs=slack, rel=0), (key, case["source"])


@pytest.mark.parametrize("name", ["A1-5", "A1-6", "A1-8"])
def test_walk_double_meridian_area(name: str) -> None:
    """Balanced latitudes and departures enclose the area that double meridian distances give."""
    case = row("a_geometry", name)
    legs = [
        Leg(
            name=chr(65 + k),
            said=Said.ABSOLUTE,
            degrees=math.degrees(math.atan2(lat, dep)),
            length_m=math.hypot(lat, dep),
        )
        for k, (lat, dep) in enumerate(zip(case["inputs"]["lat"], case["inputs"]["dep"], strict=True))
    ]
    found = walk.solve(legs)
    slack = case["tolerance"]["area"] if isinstance(case["tolerance"], dict) else case["tolerance"]
    assert found.area_m2 == pytest.approx(case["expected"]["area"], abs=max(slack, 1e-9)), case["source"]


def _patio(**change: float) -> list[Leg]:
    """An L of 31-6 by 22 with a notch of 12-6 by 9, walked counter-clockwise from its lower left corner."""
    lengths = {"A": 31.5, "B": 13.0, "C": 12.5, "D": 9.0, "E": 19.0, "F": 22.0} | change
    headings = {"A": 0.0, "B": 90.0, "C": 180.0, "D": 90.0, "E": 180.0, "F": 270.0}
    return [
        Leg(name=k, said=Said.ABSOLUTE, degrees=headings[k], length_m=feet(v), length_std_m=EIGHTH_M)
        for k, v in lengths.items()
    ]


def test_walk_closes_exactly() -> None:
    """A walk that comes back to its start moves no corner and encloses 31.5 x 22 - 12.5 x 9 = 580.5 sq ft."""
    found = walk.solve(_patio())
    assert sq_ft(found.area_m2) == pytest.approx(580.5, abs=1e-9)
    assert found.gap_m == pytest.approx(0.0, abs=1e-12)
    assert found.ratio == 0.0
    assert found.redundancy == 2
    assert not found.findings


@pytest.mark.parametrize(
    ("inches", "grade"),
    [(2.5, Grade.GREEN), (2.61, Grade.AMBER), (6.35, Grade.AMBER), (6.45, None)],
)
def test_walk_gap_at_each_limit(inches: float, grade: Grade | None) -> None:
    """Green up to 1:500 of the perimeter, amber up to 1:200, refused beyond (perimeter 107 ft: 2.56 and
    6.39 in)."""
    legs = _patio(F=22.0 - inches / 12.0)
    if grade is None:
        with pytest.raises(Unsolved):
            walk.solve(legs)
        return
    found = walk.solve(legs)
    assert found.grade is grade
    assert found.gap_m == pytest.approx(inches * INCH_M)
    assert [f.code for f in found.findings] == (["walk-amber"] if grade is Grade.AMBER else [])


@pytest.mark.parametrize(
    ("inches", "grade"), [(0.9, Grade.GREEN), (1.1, Grade.AMBER), (2.9, Grade.AMBER), (3.1, None)]
)
def test_walk_gap_on_a_small_slab(inches: float, grade: Grade | None) -> None:
    """Round a slab of 10 by 8 ft the limits are 1 in and 3 in, since 1:500 of 36 ft is less."""
    sides = zip("ABCD", (0.0, 90.0, 180.0, 270.0), (10.0, 8.0, 10.0, 8.0 - inches / 12.0), strict=True)
    legs = [Leg(name=k, said=Said.ABSOLUTE, degrees=d, length_m=feet(v)) for k, d, v in sides]
    if grade is None:
        with pytest.raises(Unsolved):
            walk.solve(legs)
    else:
        assert walk.solve(legs).grade is grade


def test_walk_foot_misread_is_named() -> None:
    """A walk that misses by a foot along one leg only names that leg and the length that would close it."""
    legs = _patio()
    legs[4] = replace(legs[4], degrees=135.0)  # the slanted leg is the only one along its direction
    turn = math.radians(135.0)
    legs[5] = replace(legs[5], length_m=feet(22.0) + feet(19.0) * math.sin(turn))
    shift = feet(12.5) + feet(19.0) * -math.cos(turn) - feet(31.5)
    legs[0] = replace(legs[0], length_m=feet(31.5) + shift)
    assert walk.solve(legs).gap_m == pytest.approx(0.0, abs=1e-9)
    legs[4] = replace(legs[4], length_m=feet(18.0))
    with pytest.raises(Unsolved) as refused:
        walk.solve(legs)
    finding = refused.value.findings[0]
    assert finding.code == "walk-open-suspect"
    assert finding.about == ("E",)
    assert [mend.code for mend in finding.choices] == ["walk-mend-length"]
    assert finding.choices[0].figures["true_m"] == pytest.approx(feet(19.0))
    assert finding.figures["gap_m"] == pytest.approx(feet(1.0))


def test_walk_foot_misread_on_one_of_several() -> None:
    """Where legs run the same way, all that could be a foot off are named."""
    with pytest.raises(Unsolved) as refused:
        walk.solve(_patio(B=12.0))
    finding = refused.value.findings[0]
    assert finding.code == "walk-open-suspects"
    assert [mend.figures["leg"] for mend in finding.choices] == ["B-C", "D-E", "F-A"]
    assert finding.figures["direction"] == "down"


def test_walk_leg_across_the_gap_is_no_suspect() -> None:
    """Where an amber gap lies along the sheet, no leg that runs up or down it is doubted (common sense:
    no change of its length moves the end sideways)."""
    found = walk.solve(_patio(A=31.5 + 5.5 / 12.0), feet=True)
    assert found.grade is Grade.AMBER
    assert {"ABCDEF"[doubt.leg] for doubt in found.doubts} == {"A", "C", "E"}


def test_walk_left_for_right_is_named() -> None:
    """A leg walked the wrong way leaves a gap of twice its length, and is named."""
    legs = _patio()
    legs[2] = replace(legs[2], degrees=0.0)
    with pytest.raises(Unsolved) as refused:
        walk.solve(legs)
    finding = refused.value.findings[0]
    assert finding.code == "walk-open-suspect"
    assert finding.choices[0].code == "walk-mend-way"
    assert finding.choices[0].figures | {} == {"leg": "C-D", "way": "right", "true_way": "left"}


def _refusal(legs: list[Leg]) -> Finding:
    with pytest.raises(Unsolved) as refused:
        walk.solve(legs)
    return refused.value.findings[0]


def _mends(legs: list[Leg]) -> list[tuple[str, str]]:
    return [(mend.code, str(mend.figures["leg"])) for mend in _refusal(legs).choices]


def test_walk_gap_of_no_usual_size_names_the_sides_along_it() -> None:
    """1'-2" short along an L: no known slip makes 14 in of 13'-0" or 9'-0", so all sides along
    the gap are named with what closes it (rule of any surveying text: the gap lies along the side)."""
    finding = _refusal(_patio(B=13.0 - 14.0 / 12.0))
    assert finding.code == "walk-open-suspects"
    assert [(m.code, m.figures["leg"]) for m in finding.choices] == [
        ("walk-mend-length-bare", leg) for leg in ("B-C", "D-E", "F-A")
    ]
    inches = [float(m.figures["true_m"]) / INCH_M for m in finding.choices]  # type: ignore[arg-type]
    assert inches == pytest.approx([13 * 12, 9 * 12 + 14, 22 * 12 - 14])


def test_walk_figures_swapped_in_the_feet() -> None:
    """31 typed as 13: only the side that holds those figures can lack 18 ft."""
    finding = _refusal(_patio(A=13.5))
    assert [(m.code, m.figures["leg"]) for m in finding.choices] == [("walk-mend-length", "A-B")]
    assert "two figures the wrong way round" in str(finding.choices[0].figures["why"])
    assert finding.choices[0].figures["true_m"] == pytest.approx(feet(31.5))


def test_walk_side_left_out_between_two_in_one_line() -> None:
    """The notch's 9 ft rise left out: C-D and E-F then run on in one line, and the gap is the side itself."""
    legs = _patio()
    del legs[3]
    finding = _refusal(legs)
    assert ("walk-mend-left-out", "E-F") in [(m.code, m.figures["leg"]) for m in finding.choices]
    mend = next(m for m in finding.choices if m.code == "walk-mend-left-out")
    assert mend.figures["way"] == "up"
    assert mend.figures["length_m"] == pytest.approx(feet(9.0))


def test_walk_side_written_twice() -> None:
    """A side that stands twice is named."""
    legs = _patio()
    legs.insert(2, replace(legs[1], name="X"))
    assert ("walk-mend-twice", "X-C") in _mends(legs)


def _turned(change: dict[str, float] | None = None) -> list[Leg]:
    """A quadrilateral by turns, its first side along the sheet: 9 m, then as `_TRUE` runs."""
    steps = _steps(_TRUE)
    way = np.degrees(np.arctan2(steps[:, 1], steps[:, 0]))
    turns = np.concatenate(([0.0], (np.diff(way) + 180.0) % 360.0 - 180.0))
    legs = [
        Leg(name="ABCD"[k], said=Said.TURN if k else Said.ABSOLUTE, degrees=float(turns[k]),
            length_m=float(np.hypot(*steps[k])), length_std_m=EIGHTH_M)
        for k in range(4)
    ]  # fmt: skip
    return [replace(leg, degrees=(change or {}).get(leg.name, leg.degrees)) for leg in legs]


def test_walk_turn_the_wrong_way_is_named() -> None:
    """A right for a left at one corner swings all that follows; only that turn brings it back."""
    right = _turned()[2].degrees
    finding = _refusal(_turned({"C": -right}))
    assert [(m.code, m.figures["leg"]) for m in finding.choices] == [("walk-mend-angle", "C-D")]
    assert finding.choices[0].figures["true_angle"] == f"turn left {right:.1f}"
    assert finding.choices[0].figures["why"] == "a left for a right"


def test_walk_angle_misread_is_worked_out() -> None:
    """A turn 17° off fits no usual slip: the turn that brings the walk back is given (the end swings about
    the wrong corner, so its distance from there stays right)."""
    right = _turned()[2].degrees
    finding = _refusal(_turned({"C": right + 17.0}))
    found = {str(m.figures["leg"]): m for m in finding.choices}
    assert found["C-D"].code == "walk-mend-angle-bare"
    assert found["C-D"].figures["true_angle"] == f"turn left {right:.1f}"


def test_walk_angle_sum_and_lengths_name_the_corner() -> None:
    """The sum says by how much the inside angles are off, the closing says at which corner."""
    angles, lengths = [90.0, 60.0, 120.0, 90.0], [0.0] * 4
    # A right trapezium: A-B 6, then the slanting side, 4 back, and down: height 2·tan 60°.
    rise = 2.0 * math.sqrt(3.0)
    lengths = [6.0, 4.0, 4.0, rise]
    finding = _refusal(_by_angles(Said.INSIDE, [90.0, 60.0, 102.0, 90.0], lengths))
    assert walk.solve(_by_angles(Said.INSIDE, angles, lengths)).gap_m == pytest.approx(0.0, abs=1e-9)
    assert finding.code == "walk-angles-open-suspects"
    assert [m.figures["leg"] for m in finding.choices] == ["C-D"]
    assert finding.choices[0].figures["true_angle"] == "inside 120.0"
    assert finding.choices[0].figures["why"] == "two figures the wrong way round"


def test_walk_left_turns_that_miss_a_turn() -> None:
    """Turns to the left that add up to 380 miss by 20, whichever way round is tried first."""
    finding = _refusal(_by_angles(Said.TURN, [90.0, 110.0, 90.0, 90.0], [5.0, 3.0, 5.0, 3.0]))
    assert finding.figures["found_deg"] == pytest.approx(380.0)
    assert finding.figures["gap_deg"] == pytest.approx(20.0)


@pytest.mark.parametrize("change", ["turned", "mirrored", "started elsewhere"])
def test_walk_suspect_stays_however_it_is_told(change: str) -> None:
    """The side named is the same however the sheet is turned and wherever the walk starts."""
    legs = _patio(A=13.5)
    if change == "turned":
        legs = [replace(leg, degrees=leg.degrees + 30.0) for leg in legs]
    elif change == "mirrored":
        legs = [replace(leg, degrees=180.0 - leg.degrees) for leg in legs]
    else:
        legs = legs[2:] + legs[:2]
    assert _mends(legs) == [("walk-mend-length", "A-B")]


def test_walk_hopeless_gap_has_no_suspect() -> None:
    """A gap that no single usual mistake explains is refused without naming a leg."""
    with pytest.raises(Unsolved) as refused:
        walk.solve(_patio(B=10.7, C=16.3))
    assert refused.value.findings[0].code == "walk-open"


# A quadrilateral without symmetry, closed exactly by its last leg.
_TRUE = np.array([[0.0, 0.0], [9.0, 0.4], [8.2, 6.1], [0.9, 5.2]])


def _loop() -> list[Leg]:
    steps = _steps(_TRUE)
    return [
        Leg(
            name="ABCD"[k],
            said=Said.ABSOLUTE,
            degrees=math.degrees(math.atan2(dy, dx)) % 360.0,
            length_m=math.hypot(dx, dy),
            length_std_m=EIGHTH_M,
        )
        for k, (dx, dy) in enumerate(steps)
    ]


def _drop(legs: list[Leg], lengths: set[int], headings: set[int]) -> list[Leg]:
    out = []
    for k, leg in enumerate(legs):
        if k in lengths:
            leg = replace(leg, length_m=None)
        if k in headings:
            leg = replace(leg, said=Said.MISSING, degrees=0.0)
        out.append(leg)
    return out


_GONE = [
    *((frozenset({i}), frozenset[int]()) for i in range(4)),
    *((frozenset[int](), frozenset({i})) for i in range(4)),
    *((frozenset({i}), frozenset({j})) for i, j in product(range(4), range(4))),
    *((frozenset({i, j}), frozenset[int]()) for i in range(4) for j in range(i)),
    *((frozenset[int](), frozenset({i, j})) for i in range(4) for j in range(i)),
]


@pytest.mark.parametrize(("lengths", "headings"), _GONE)
def test_walk_missing_values_from_closing(lengths: frozenset[int], headings: frozenset[int]) -> None:
    """Any one or two missing lengths and directions of an exact loop come back, or both answers are asked
    about."""
    whole = walk.solve(_loop())
    try:
        found = walk.solve(_drop(_loop(), set(lengths), set(headings)))
    except Unsolved as refused:
        finding = refused.findings[0]
        assert finding.code.startswith("walk-two-shapes"), finding
        areas = [finding.figures["area_m2"], finding.figures["other_area_m2"]]
        assert any(area == pytest.approx(whole.area_m2, rel=1e-9) for area in areas)
        return
    np.testing.assert_allclose(found.closed.lengths_m, whole.closed.lengths_m, atol=1e-9)
    assert found.area_m2 == pytest.approx(whole.area_m2, rel=1e-9)
    assert found.redundancy == 2 - len(lengths) - len(headings)


def test_walk_missing_heading_turns_what_follows() -> None:
    """Turns after a missing direction hang on it, and are found with it."""
    legs = _loop()
    turn = legs[2].degrees - legs[1].degrees
    legs[1] = replace(legs[1], said=Said.MISSING, degrees=0.0)
    legs[2] = replace(legs[2], said=Said.TURN, degrees=turn)
    found = walk.solve(legs)
    np.testing.assert_allclose(found.points - found.points[0], _TRUE, atol=1e-9)


def test_walk_two_shapes_are_both_named() -> None:
    """Two missing directions that leave two simple shapes are asked about with both areas."""
    # Sides 0-1 and 1-2 of a square of 4 with the corner between them left open: out, or in.
    square = [(0.0, 4.0), (90.0, 4.0), (180.0, 4.0), (270.0, 4.0)]
    legs = [Leg(name="ABCD"[k], said=Said.ABSOLUTE, degrees=d, length_m=v) for k, (d, v) in enumerate(square)]
    legs[0] = replace(legs[0], length_m=3.0)
    legs[1] = replace(legs[1], length_m=3.5)
    with pytest.raises(Unsolved) as refused:
        walk.solve(_drop(legs, set(), {0, 1}))
    finding = refused.value.findings[0]
    assert finding.code == "walk-two-shapes-headings"
    # Triangle below the diagonal 4√2, and the triangle 3, 3.5, 4√2 (Heron) added or taken away.
    s = (3.0 + 3.5 + 4.0 * math.sqrt(2.0)) / 2.0
    heron = math.sqrt(s * (s - 3.0) * (s - 3.5) * (s - 4.0 * math.sqrt(2.0)))
    areas = sorted([finding.figures["area_m2"], finding.figures["other_area_m2"]])
    assert areas == pytest.approx([8.0 - heron, 8.0 + heron])


def test_walk_three_missing_values() -> None:
    """Closing gives two values; three are refused and named."""
    with pytest.raises(Unsolved) as refused:
        walk.solve(_drop(_loop(), {0, 1}, {2}))
    assert refused.value.findings[0].code == "walk-too-many-missing"
    assert refused.value.findings[0].figures["legs"] == "A-B, B-C, C-D"


def test_walk_missing_lengths_of_parallel_sides() -> None:
    """Two missing lengths that run the same way cannot be told apart."""
    with pytest.raises(Unsolved) as refused:
        walk.solve(_drop(_patio(), {0, 2}, set()))
    assert refused.value.findings[0].code == "walk-missing-parallel"


def test_walk_missing_length_backwards() -> None:
    """A missing length that would have to be negative is a fault, not a shape."""
    legs = _patio()
    legs[0] = replace(legs[0], degrees=180.0)
    with pytest.raises(Unsolved) as refused:
        walk.solve(_drop(legs, {0}, set()))
    assert refused.value.findings[0].code == "walk-missing-backwards"


def test_walk_missing_direction_out_of_reach() -> None:
    """Two missing directions of sides too short to meet are a fault."""
    legs = _loop()
    legs[0] = replace(legs[0], length_m=1.0)
    legs[1] = replace(legs[1], length_m=1.0)
    with pytest.raises(Unsolved) as refused:
        walk.solve(_drop(legs, set(), {0, 1}))
    assert refused.value.findings[0].code == "walk-missing-impossible"


def _by_angles(said: Said, angles: list[float], lengths: list[float]) -> list[Leg]:
    pairs = zip(angles, lengths, strict=True)
    return [Leg(name=chr(65 + k), said=said, degrees=a, length_m=v) for k, (a, v) in enumerate(pairs)]


def test_walk_turns_alone_lie_along_the_sheet() -> None:
    """Turns at every corner place the first side along the sheet."""
    found = walk.solve(_by_angles(Said.TURN, [90.0] * 4, [5.0, 3.0, 5.0, 3.0]))
    assert found.points == pytest.approx(np.array([[0, 0], [5, 0], [5, 3], [0, 3]]), abs=1e-9)
    assert found.redundancy == 3


def test_walk_inside_angles_are_taken_clockwise() -> None:
    """Inside angles alone fit a mirror image too: clockwise is taken and said."""
    found = walk.solve(_by_angles(Said.INSIDE, [90.0] * 4, [5.0, 3.0, 5.0, 3.0]))
    assert found.points == pytest.approx(np.array([[0, 0], [5, 0], [5, -3], [0, -3]]), abs=1e-9)
    assert [f.code for f in found.findings] == ["walk-taken-clockwise"]


def test_walk_inside_angle_over_180() -> None:
    """An inside angle of 270 makes a corner that stands in: an L of 5 x 4 less 2 x 2 is 16."""
    found = walk.solve(
        _by_angles(Said.INSIDE, [90.0, 90.0, 90.0, 270.0, 90.0, 90.0], [5.0, 2.0, 2.0, 2.0, 3.0, 4.0])
    )
    assert found.area_m2 == pytest.approx(16.0)


def test_walk_one_turn_settles_the_way_round() -> None:
    """One turn among inside angles settles which way round, and nothing is said."""
    legs = _by_angles(Said.INSIDE, [90.0] * 4, [5.0, 3.0, 5.0, 3.0])
    legs[1] = replace(legs[1], said=Said.TURN, degrees=90.0)
    found = walk.solve(legs)
    assert found.points[2] == pytest.approx([5.0, 3.0])
    assert not found.findings


@pytest.mark.parametrize(
    ("extra", "code"), [(0.3, None), (0.5, "walk-angles-amber"), (0.7, "walk-angles-open-suspects")]
)
def test_walk_angle_sum_is_balanced(extra: float, code: str | None) -> None:
    """Angles that miss their sum are balanced within 3 x 0.1 x √4 = 0.6 degrees, and refused beyond."""
    legs = _by_angles(Said.INSIDE, [90.0, 90.0 + extra, 90.0, 90.0], [5.0, 3.0, 5.0, 3.0])
    if code and code.startswith("walk-angles-open"):
        with pytest.raises(Unsolved) as refused:
            walk.solve(legs, angle_std_deg=0.1)
        assert refused.value.findings[0].code == code
        assert refused.value.findings[0].figures["should_deg"] == pytest.approx(360.0)
        assert refused.value.findings[0].figures["found_deg"] == pytest.approx(360.0 + extra)
        return
    found = walk.solve(legs, angle_std_deg=0.1)
    codes = [f.code for f in found.findings]
    assert (code in codes) if code else "walk-angles-amber" not in codes
    # A quarter of the surplus is taken from each angle.
    turns = np.diff(found.closed.degrees)
    assert turns % 360.0 == pytest.approx([270.0 + extra - extra / 4, 270.0 - extra / 4, 270.0 - extra / 4])


def test_walk_missing_angle_from_the_angle_sum() -> None:
    """One angle left out of all the others follows from their sum; the gap still checks the lengths."""
    legs = _by_angles(Said.INSIDE, [90.0] * 4, [5.0, 3.0, 5.0, 3.0])
    legs[2] = replace(legs[2], said=Said.MISSING, degrees=0.0)
    found = walk.solve(legs)
    assert found.area_m2 == pytest.approx(15.0)
    assert found.redundancy == 2


def test_walk_arc_counts_by_chord_and_rise() -> None:
    """An arc side adds its segment: chord 20.5 and rise 3 hold 41.694 (circular segment formula)."""
    legs = _patio()
    legs[4] = replace(legs[4], length_m=feet(20.5), rise_m=feet(3.0))
    legs[0] = replace(legs[0], length_m=feet(33.0))
    found = walk.solve(legs)
    assert sq_ft(found.area_m2) == pytest.approx(33.0 * 22.0 - 12.5 * 9.0 + 41.694, abs=1e-3)


@pytest.mark.parametrize("change", ["turned", "mirrored", "reversed", "started elsewhere"])
def test_walk_area_does_not_depend_on_how_it_is_told(change: str) -> None:
    """Area, its error and the gap stay however the sheet is turned and the walk told."""
    legs = _loop()
    legs[1] = replace(legs[1], length_m=(legs[1].length_m or 0.0) + 0.01)
    base = walk.solve(legs)
    if change == "turned":
        other = [replace(leg, degrees=leg.degrees + 37.0) for leg in legs]
    elif change == "mirrored":
        other = [replace(leg, degrees=-leg.degrees) for leg in legs]
    elif change == "reversed":
        other = [replace(leg, degrees=leg.degrees + 180.0) for leg in legs[::-1]]
    else:
        other = legs[2:] + legs[:2]
    found = walk.solve(other)
    assert found.gap_m == pytest.approx(base.gap_m)
    assert found.area_m2 == pytest.approx(base.area_m2, rel=1e-12)
    assert found.area_std_m2 == pytest.approx(base.area_std_m2, rel=1e-6)


def test_walk_too_many_legs() -> None:
    """A walk of more legs than are solved is refused in words, not left to run."""
    legs = [
        Leg(name=str(k), said=Said.ABSOLUTE, degrees=k % 360, length_m=1.0) for k in range(walk.MOST_LEGS + 1)
    ]
    with pytest.raises(Unsolved) as refused:
        walk.solve(legs)
    assert refused.value.findings[0].code == "walk-too-long"


def _shaken(legs: list[Leg], chance: np.random.Generator, angle_deg: float) -> list[Leg]:
    return [
        replace(
            leg,
            degrees=leg.degrees + (0.0 if leg.said is Said.MISSING else chance.normal(0.0, angle_deg)),
            length_m=None if leg.length_m is None else leg.length_m + chance.normal(0.0, leg.length_std_m),
        )
        for leg in legs
    ]


@pytest.mark.parametrize(
    ("lengths", "headings"), [((), ()), ((3,), ()), ((), (1,)), ((2,), (2,)), ((1, 2), ())]
)
def test_walk_area_error_covers_the_truth(lengths: tuple[int, ...], headings: tuple[int, ...]) -> None:
    """The stated standard error of area is the scatter of the area, with missing values too (χ² bounds at
    1e-4)."""
    seed, runs = 20270504, 800
    chance = np.random.default_rng(seed)
    legs = _drop(_loop(), set(lengths), set(headings))
    truth = walk.solve(_loop()).area_m2
    off = []
    for _ in range(runs):
        found = walk.solve(_shaken(legs, chance, 0.05), angle_std_deg=0.05)
        off.append((found.area_m2 - truth) / found.area_std_m2)
    # The sum of squares of `runs` standard normals has mean `runs` and standard deviation √(2 runs).
    # 3.9 of them is a chance of 1e-4.
    assert abs(float(np.square(off).sum()) - runs) < 3.9 * math.sqrt(2.0 * runs), f"seed {seed}"


def test_walk_corner_error_covers_the_truth() -> None:
    """The stated standard error of a corner is its scatter about the truth."""
    seed, runs = 7, 800
    chance = np.random.default_rng(seed)
    squares = np.zeros(4)
    for _ in range(runs):
        found = walk.solve(_shaken(_loop(), chance, 0.05), angle_std_deg=0.05)
        squares += ((found.points - _TRUE) ** 2).sum(axis=1)
    std = np.array(walk.solve(_loop(), angle_std_deg=0.05).std_m)
    assert std[0] == 0.0
    assert np.sqrt(squares[1:] / runs) == pytest.approx(std[1:], rel=0.1), f"seed {seed}"

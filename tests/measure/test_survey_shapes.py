"""Walks, tape sheets and offsets of a plan file through to the takeoff: corners, arcs, words, lines, JSON."""

from __future__ import annotations

import json
import math
import subprocess
import sys

import pytest
from scipy.interpolate import CubicSpline

import floorplan
from floorplan.errors import Fault, PlanError
from floorplan.measure.model import SlabTakeoff, Takeoff
from floorplan.report.check import check_text
from floorplan.report.contract import survey_document
from floorplan.units.factors import FOOT_M, INCH_M, SQFT_M2

HEAD = 'title = "Sketch"\nunits = "ft-in"\n[[slab]]\nname = "Patio"\nsystem = "outdoor-full-flake"\n'

# The worked patio sheet (trade brief 10A, invented slab): true area 638.69 sq ft with the arc.
SHEET = """
1-2   31-6        | siding
2-3   13-0        | open
3-4   12-6        | open
4-5   9-0         | open
5-6   20-6        | open, arc rise 3' out
6-1   22' 0 5/8"  | slab
1-3   34' 0 7/8"
1-4   23' 0 1/4"
1-5   29' 0 7/8"
2-6   39' 7 7/8"
3-6   34' 2 1/2"
2-4   18' 0 3/8"
3-5   15' 4 7/8"
"""


def tape(lengths: str, *more: str, turning: str = "counter-clockwise", corners: str = "1 2 3 4 5 6") -> str:
    """A plan with one tape sheet."""
    keys = "\n".join(more)
    first = f'{HEAD}[slab.tape]\ncorners = "{corners}"\nturning = "{turning}"\n{keys}\n'
    return f'{first}lengths = """{lengths}"""\n'


def walk(*lines: str) -> str:
    """A plan with one walk."""
    body = "\n".join(lines)
    return f'{HEAD}walk = """\n{body}\n"""\n'


def measured(text: str) -> Takeoff:
    """The takeoff of a plan text."""
    return floorplan.takeoff(floorplan.read(text, name="sketch.toml"))


def patio(text: str) -> SlabTakeoff:
    """The one slab of a plan text."""
    return measured(text).slabs[0]


def refused(text: str) -> Fault:
    """The one fault of a plan text."""
    with pytest.raises(PlanError) as caught:
        measured(text)
    (fault,) = caught.value.faults
    return fault


def codes(text: str) -> list[str]:
    """Codes of the warnings of a plan text that come from surveying."""
    return [n.code for n in measured(text).notices if n.code.startswith(("tape-", "walk-", "offsets-"))]


def sq_ft(area_m2: float) -> float:
    """Square feet."""
    return area_m2 / SQFT_M2


def test_tape_sheet_of_the_worked_patio() -> None:
    """Area, arc, edge kinds and hand-grind edge come from the sheet alone (638.69 sq ft, 31.50 ft of
    siding)."""
    slab = patio(tape(SHEET))
    assert sq_ft(slab.gross_area_m2) == pytest.approx(638.69, abs=0.1)
    assert slab.hand_grind_edge_m == pytest.approx(31.5 * FOOT_M, abs=INCH_M / 8)
    assert [edge.kind for edge in slab.edges] == ["siding", "open", "open", "open", "open", "slab"]
    assert [corner.label for corner in slab.corners] == list("123456")
    assert (slab.corners[0].x_m, slab.corners[0].y_m, slab.corners[1].y_m) == (0.0, 0.0, 0.0)
    assert 0.0 < sq_ft(slab.area_std_m2) < 0.5
    assert not codes(tape(SHEET))


def test_tape_sheet_clockwise_is_the_mirror_image() -> None:
    """The other way round the corners lie below the first side; arcs still stand out of the floor."""
    slab = patio(tape(SHEET, turning="clockwise"))
    assert sq_ft(slab.gross_area_m2) == pytest.approx(638.69, abs=0.1)
    assert min(corner.y_m for corner in slab.corners) < -6.0
    assert slab.corners[2].y_m < 0.0


def test_misread_length_reaches_the_user() -> None:
    """A foot misread in 1-5 is a warning in words, a suspect in the report, and the area without it is
    given."""
    text = tape(SHEET.replace("29' 0 7/8", "28' 0 7/8"))
    takeoff = measured(text)
    (notice,) = [n for n in takeoff.notices if n.code == "tape-suspect"]
    assert notice.where == "slab Patio"
    assert notice.text.startswith("1-5 was taped 28'-0 7/8\", but the other lengths say 29'-0 ")
    assert "a foot misread" in notice.text
    survey = takeoff.slabs[0].survey
    assert survey is not None
    (suspect,) = survey.suspects
    assert (suspect.start, suspect.end) == ("1", "5")
    assert suspect.likely_m == pytest.approx(29 * FOOT_M + 7 / 8 * INCH_M)
    assert survey.area_without_suspect_m2 == pytest.approx(638.69 * SQFT_M2, abs=0.1 * SQFT_M2)
    row = next(m for m in survey.measurements if (m.start, m.end) == ("1", "5"))
    assert (row.status, row.note) == ("adjusted", "suspect")
    said = check_text(takeoff)
    assert "suspect 1-5: likely 29'-0 7/8\"; a foot misread" in said
    assert "without it the outline holds 638." in said


def test_survey_in_the_contract() -> None:
    """The JSON carries every length beside the fitted one, in metres, and no closure for a tape sheet."""
    survey = patio(tape(SHEET)).survey
    assert survey is not None
    document = json.loads(json.dumps(survey_document(survey)))
    assert document["method"] == "tape"
    assert document["redundancy"] == 4
    assert document["closure"] is None
    assert document["suspects"] == []
    first = document["measurements"][0]
    assert (first["from"], first["to"]) == ("1", "2")
    assert first["taped_m"] == pytest.approx(31.5 * FOOT_M)
    assert first["fitted_m"] - first["taped_m"] == pytest.approx(first["residual_m"])
    assert abs(first["standardised"]) < 3.0


def test_side_not_taped_is_worked_out() -> None:
    """A side typed with ? keeps its kind, comes out marked inferred, and has no taped length in the JSON."""
    text = tape(SHEET.replace("4-5   9-0 ", "4-5   ?   "))
    slab = patio(text)
    survey = slab.survey
    assert survey is not None
    row = survey.measurements[-1]
    assert (row.start, row.end, row.status) == ("4", "5", "inferred")
    assert row.fitted_m == pytest.approx(9 * FOOT_M, abs=INCH_M / 4)
    assert survey_document(survey)["measurements"][-1]["taped_m"] is None
    assert slab.edges[3].kind == "open"
    assert any(line.split()[:3] == ["4", "5", "~"] for line in check_text(measured(text)).splitlines())


def test_mirror_readings_are_asked_with_the_line() -> None:
    """Sides and fan alone fit two shapes: a fault at the table, with the length to tape; a paced one
    settles it."""
    fan = "\n".join(SHEET.splitlines()[:10])
    fault = refused(tape(fan + "\n"))
    assert fault.code == "tape-two-shapes-alike"
    assert fault.text.startswith("slab Patio: 2 shapes fit the lengths: corners 4, 5, 6 lie one way")
    assert "tape 2-5, or pace it and add it with a wide ±: about 25'-3" in fault.hint
    assert fault.place is not None
    settled = patio(tape(fan + "\n2-5   25' ± 2'\n"))
    assert sq_ft(settled.gross_area_m2) == pytest.approx(597.04 + 41.69, abs=0.1)


def test_inward_corners_settle_a_mirror_reading() -> None:
    """Corners said to stand in settle kite or dart."""
    lengths = "\nA-B 5'\nB-C 5'\nC-D 3'\nD-A 3'\nA-C 4'\n"
    area = {}
    for inward in ("none", "D"):
        slab = patio(tape(lengths, f'inward = "{inward}"', corners="A B C D"))
        area[inward] = sq_ft(slab.gross_area_m2)
    assert area["none"] == pytest.approx(2.0 * (math.sqrt(21.0) + math.sqrt(5.0)))
    assert area["D"] == pytest.approx(2.0 * (math.sqrt(21.0) - math.sqrt(5.0)))


def test_loose_corners_are_told_what_to_tape() -> None:
    """Too few lengths are a fault that names the corners and the lengths to tape."""
    fault = refused(tape("\nA-B 5'\nB-C 5'\nC-D 3'\nD-A 3'\n", corners="A B C D"))
    assert fault.code == "tape-loose"
    assert fault.text == "slab Patio: the lengths do not hold C, D: 1 more needed"
    assert fault.hint == "tape A-C"


def test_broken_triangle_names_the_lengths() -> None:
    """Lengths that make no triangle are a fault with the three lengths in the user's units."""
    fault = refused(tape("\nA-B 10'\nB-C 4'\nC-D 8'\nD-A 9'\nA-C 5'\n", corners="A B C D"))
    assert fault.code == "tape-triangle-broken"
    assert "A-B 10'-0\" is longer than B-C 4'-0\" and A-C 5'-0\" together, by 1'-0\"" in fault.text


def test_post_at_a_taped_point() -> None:
    """A post stands where two tapes from the wall put it, on the floor side."""
    lengths = "\nA-B 24' | wall\nB-C 18'\nC-D 24'\nD-A 18'\nA-C 30'\nB-D 30'\nA-P 15'\nB-P 15'\n"
    post = '[[slab.cutout]]\nname = "post"\nkind = "post"\nat = ["P"]\nround = "12 in"\n'
    slab = patio(tape(lengths, 'points = "P"', corners="A B C D") + post)
    (cutout,) = slab.cutouts
    assert cutout.centre == pytest.approx((12 * FOOT_M, 9 * FOOT_M), abs=1e-4)
    assert cutout.deducted_m2 == pytest.approx(math.pi * (0.5 * FOOT_M) ** 2)


def test_accuracy_of_the_plan_sets_the_error() -> None:
    """Twice the error of each length is twice the error of the area; an instrument names its own."""
    eighth, quarter = (patio(tape(SHEET, f'accuracy = "{v}"')).area_std_m2 for v in ("1/8 in", "1/4 in"))
    assert quarter == pytest.approx(2.0 * eighth, rel=1e-6)
    assert patio(tape(SHEET, 'accuracy = "laser"')).area_std_m2 == pytest.approx(eighth, rel=1e-9)
    assert patio(tape(SHEET)).area_std_m2 == pytest.approx(eighth, rel=1e-9)
    assert patio(tape(SHEET, 'accuracy = "wheel"')).area_std_m2 > 10.0 * eighth


LOOP = ("A right 31-6 | wall", "B up 13", "C left 12-6", "D up 9", "E left 20-6 | open, arc rise 3' out")


def test_walk_that_closes_by_its_last_side() -> None:
    """Direction and length of the last side from closing: 638.69 sq ft, marked as worked out and
    unchecked."""
    text = walk(*LOOP, "F ? ? | slab")
    slab = patio(text)
    assert sq_ft(slab.gross_area_m2) == pytest.approx(638.69, abs=0.01)
    assert slab.survey is not None
    row = slab.survey.measurements[-1]
    assert (row.status, row.note) == ("inferred", "length from closing")
    assert row.fitted_m == pytest.approx(math.hypot(1.5, 22.0) * FOOT_M)
    assert slab.survey.closure_gap_m is None
    assert "walk-unchecked" in codes(text)
    assert slab.edges[-1].kind == "slab"


def test_walk_gap_is_spread_and_both_shapes_shown() -> None:
    """A walk that misses by 4 in is adjusted with a warning, and check shows it as walked and as spread."""
    text = walk(*LOOP[:4], "E left 19", "F down 21' 8\"")
    takeoff = measured(text)
    (notice,) = [n for n in takeoff.notices if n.code == "walk-amber"]
    assert 'misses its start by 4", up (1:320 of its length)' in notice.text
    survey = takeoff.slabs[0].survey
    assert survey is not None
    assert survey.closure_gap_m == pytest.approx(4 * INCH_M)
    assert survey.closure_ratio == pytest.approx((107 * 12 - 4) / 4)
    assert survey.as_walked_m[-1] == pytest.approx((0.0, 4 * INCH_M))
    assert "corners as walked, and with the gap spread" in check_text(takeoff)
    document = survey_document(survey)
    assert document["closure"] == {"gap_m": survey.closure_gap_m, "ratio": survey.closure_ratio}


def test_amber_walk_names_the_leg_to_look_at() -> None:
    """A gap of 6 in along one slanting side only, spread with a warning, names that side as a suspect."""
    legs = ("A right 40'", "B azimuth 330 39' 6\"", "C azimuth 210 40'")
    survey = patio(walk(*legs)).survey
    assert survey is not None
    (suspect,) = survey.suspects
    assert (suspect.start, suspect.end) == ("B", "C")
    assert suspect.likely_m == pytest.approx(40 * FOOT_M)
    assert "6 in misread" in suspect.why


def test_arc_by_its_radius() -> None:
    """An arc given by its radius adds its segment and its error: chord 20'-6", R 19.0104 ft, 41.69 sq ft."""
    lengths = SHEET.replace("arc rise 3' out", "arc radius 19.0104' out")
    assert sq_ft(patio(tape(lengths)).gross_area_m2) == pytest.approx(638.69, abs=0.1)
    major = SHEET.replace("arc rise 3' out", "arc radius 12' out major")
    # Segment of the longer way round: R²(θ - sin θ)/2 with θ = 2π - 2 asin(c / 2R).
    turn = 2 * math.pi - 2 * math.asin(20.5 / 24.0)
    assert sq_ft(patio(tape(major)).gross_area_m2) == pytest.approx(
        597.0 + 72.0 * (turn - math.sin(turn)), abs=0.3
    )


def test_walk_that_misses_too_far_is_refused() -> None:
    """A foot left out is refused, with the gap, its direction and ratio, and the legs to look at."""
    fault = refused(walk(*LOOP[:4], "E left 19", "F down 21"))
    assert fault.code == "walk-open-suspects"
    assert fault.text == (
        "slab Patio: the walk ends 1'-0\" up of where it began, 1:106 of its 106'-0\": too much to spread"
    )
    head, *choices = fault.hint.split("\n")
    assert head == "one of these mistakes would explain it; the walk cannot tell which:"
    assert [c.split(": ")[1] for c in choices] == ["B-C", "D-E", "F-A"]
    assert fault.place is not None
    # Each names its own line of the plan, the first of them the fault's.
    lines = [int(c.split(":")[0].split()[1]) for c in choices]
    assert lines[0] == fault.place.line
    assert [line - lines[0] for line in lines] == [0, 2, 4]
    assert choices[2].endswith("F-A: 22'-0\" in place of 21'-0\" (a foot misread)")


def test_walk_by_inside_angles() -> None:
    """Inside angles at every corner may start at the first, and are checked by their sum."""
    slab = patio(walk("A inside 90, 20'", "B inside 90, 10'", "C inside 90, 20'", "D inside 90, 10'"))
    assert sq_ft(slab.gross_area_m2) == pytest.approx(200.0)
    fault = refused(walk("A inside 90, 20'", "B inside 94, 10'", "C inside 90, 20'", "D inside 90, 10'"))
    assert fault.code == "walk-angles-open-suspects"
    assert fault.hint.endswith("B-C: inside 90.0 in place of inside 94.0")
    assert "add up to 364.0° where they must make 360.0°" in fault.text


def test_walk_two_shapes_are_asked_in_bearings() -> None:
    """Two missing directions that fit two shapes are asked about with both bearings."""
    fault = refused(walk("A ? 10'", "B ? 12'", "C left 13'", "D down 14'"))
    assert fault.code == "walk-two-shapes-headings"
    assert fault.hint.startswith("type one of the directions: azimuth ")


OFFSETS = """[slab.offsets]
baseline = "40'"
edge = "smooth"
along_baseline = "wall"
along_edge = "open"
along_start = "open"
along_end = "open"
stations = \"\"\"
0    6'
10'  7'
20'  5'
30'  7'
40'  6'
\"\"\"
"""


def test_smooth_edge_through_offsets() -> None:
    """The free edge is a spline with its exact area, told beside Simpson's rule and the trapezoids."""
    takeoff = measured(HEAD + OFFSETS)
    slab = takeoff.slabs[0]
    curve = CubicSpline([0, 10, 20, 30, 40], [6, 7, 5, 7, 6])
    assert sq_ft(slab.gross_area_m2) == pytest.approx(float(curve.integrate(0, 40)), rel=1e-9)
    assert slab.survey is not None
    (remark,) = slab.survey.remarks
    simpson, trapezoid = 10 / 3 * (6 + 28 + 10 + 28 + 6), 10 * (3 + 7 + 5 + 7 + 3)
    told = f"Simpson's rule gives {simpson:.1f} sq ft, straight lines (trapezoids) {trapezoid:.1f} sq ft"
    assert told in remark
    assert told in check_text(takeoff)
    assert not codes(HEAD + OFFSETS)
    assert slab.edges[0].kind == "wall"
    assert {edge.kind for edge in slab.edges[1:]} == {"open"}
    assert slab.area_std_m2 > 0.0
    assert "Measured by offsets" in check_text(takeoff)


def test_straight_edge_through_offsets() -> None:
    """A straight edge has the area of the trapezoids and no arcs."""
    slab = patio(HEAD + OFFSETS.replace("smooth", "straight"))
    assert sq_ft(slab.gross_area_m2) == pytest.approx(250.0)
    assert len(slab.corners) == 7
    assert not any(edge.bulge for edge in slab.edges)


def test_offsets_fault_names_the_station() -> None:
    """A floor pinched to nothing at a station is refused in its line."""
    fault = refused(HEAD + OFFSETS.replace("smooth", "straight").replace("20'  5'", "20'  0"))
    assert fault.code == "offsets-pinched"
    assert fault.place is not None
    assert fault.place.text.startswith("20'")


@pytest.mark.parametrize("units", ["ft-in", "m"])
def test_words_are_in_the_units_of_the_plan(units: str) -> None:
    """Warnings are written in the plan's own units."""
    text = tape(SHEET.replace("29' 0 7/8", "28' 0 7/8")).replace("ft-in", units).replace("31-6", "31' 6\"")
    text = (
        text.replace("13-0", "13'").replace("12-6", "12' 6\"").replace("9-0", "9'").replace("20-6", "20' 6\"")
    )
    (notice,) = [n for n in measured(text).notices if n.code == "tape-suspect"]
    assert ("28'-0 7/8\"" if units == "ft-in" else "8.557 m") in notice.text


def test_typed_corners_load_no_solver() -> None:
    """A plan of typed corners starts without the surveying solvers, and no shape loads scipy."""
    corners = "A 0, 0\\nB 9, 0\\nC 9, 9"
    code = (
        "import sys, floorplan\n"
        f"head = {HEAD!r}\n"
        f'floorplan.takeoff(floorplan.read(head + \'outline = """\\n{corners}\\n"""\\n\'))\n'
        "print([m for m in sys.modules if m.startswith('floorplan.survey.') and 'instruments' not in m])\n"
        f"floorplan.takeoff(floorplan.read({tape(SHEET)!r}))\n"
        "print('floorplan.survey.tape' in sys.modules, 'scipy' in sys.modules)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split("\n")[:2] == ["[]", "True False"]

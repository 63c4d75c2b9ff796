"""Typed corners to a ring: directions, arcs, and every shape that is refused."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapes
from outside import DATA

from floorplan.errors import Fault, PlanError
from floorplan.measure.floor import measure
from floorplan.measure.model import SlabTakeoff
from floorplan.units.factors import FOOT_M, SQFT_M2


def measured(plan: shapes.Plan) -> SlabTakeoff:
    """The only slab of a plan."""
    (slab,) = measure(plan).slabs
    return slab


def faults(plan: shapes.Plan) -> tuple[Fault, ...]:
    """What a plan is refused for."""
    with pytest.raises(PlanError) as caught:
        measure(plan)
    return caught.value.faults


def only_fault(plan: shapes.Plan) -> Fault:
    """The one thing that a plan is refused for."""
    (fault,) = faults(plan)
    return fault


def test_user_order_and_direction_are_kept():
    """Corners come back as typed, clockwise or not, with exact coordinates."""
    points = [(0, 0), (0, 20), (30, 20), (30, 0)]
    slab = measured(shapes.plan(shapes.outline(points)))
    assert [(c.label, c.x_m, c.y_m) for c in slab.corners] == [
        (label, x * FOOT_M, y * FOOT_M) for label, (x, y) in zip("ABCD", points, strict=True)
    ]
    assert [e.label for e in slab.edges] == ["A-B", "B-C", "C-D", "D-A"]
    assert slab.gross_area_m2 == pytest.approx(600 * SQFT_M2, rel=1e-12)


@pytest.mark.parametrize("way", [1, -1], ids=["counter-clockwise", "clockwise"])
@pytest.mark.parametrize(("bulge", "sign"), [("out", 1), ("in", -1)])
def test_arc_out_is_out_of_the_floor_either_way_round(way: int, bulge: str, sign: int):
    """An arc typed out adds its segment, an arc typed in takes it, whichever way the corners are listed."""
    corners = [(0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (0.0, 10.0)][::way]
    side = 1
    slab = measured(shapes.plan(shapes.outline(corners, arcs={side: shapes.rise(1, bulge)})))
    chord = slab.edges[side].chord_m / FOOT_M
    r = chord**2 / 8 + 0.5
    angle = 2 * math.asin(chord / (2 * r))
    segment = r * r * (angle - math.sin(angle)) / 2
    assert slab.gross_area_m2 / SQFT_M2 == pytest.approx(200 + sign * segment, rel=1e-12)
    assert slab.edges[side].length_m / FOOT_M == pytest.approx(r * angle, rel=1e-12)


def test_two_corners_and_a_half_circle():
    """Two corners and one arc side are an outline: half a disc."""
    slab = measured(shapes.half_round())
    assert slab.gross_area_m2 / SQFT_M2 == pytest.approx(math.pi * 36 / 2, rel=1e-12)
    assert slab.perimeter_m / FOOT_M == pytest.approx(12 + math.pi * 6, rel=1e-12)


def test_lens_of_two_arcs():
    """Two corners and two arcs out are a whole circle where both are half circles."""
    lens = shapes.outline([(0, 0), (12, 0)], arcs={0: shapes.rise(6), 1: shapes.radius(6)})
    slab = measured(shapes.plan(lens))
    assert slab.gross_area_m2 / SQFT_M2 == pytest.approx(math.pi * 36, rel=1e-12)


def test_major_arc_by_radius():
    """With `major` the arc goes the longer way round: 270 degrees on a chord of r√2."""
    shape = shapes.outline(
        [(0, 0), (math.sqrt(2), 0), (0, -0.01)],
        arcs={0: shapes.radius(1, unit=shapes.metres, major=True)},
        unit=shapes.metres,
    )
    slab = measured(shapes.plan(shape))
    assert slab.edges[0].length_m == pytest.approx(1.5 * math.pi, rel=1e-12)


def test_corners_that_can_run_either_way_round():
    """Where one great arc holds most of the floor, the turn of the corners decides and both are said."""
    shape = shapes.outline(
        [(0, 0), (4, 0), (2, 0.5)],
        "open",
        {0: shapes.radius(5, unit=shapes.metres, major=True)},
        unit=shapes.metres,
    )
    takeoff = measure(replace(shapes.plan(shape), units=shapes.UnitStyle.M))
    half = math.asin(2 / 5)
    disc = math.pi * 25 - 25 * (2 * half - math.sin(2 * half)) / 2
    assert takeoff.slabs[0].gross_area_m2 == pytest.approx(disc + 1.0, rel=1e-9)
    (notice,) = [n for n in takeoff.notices if n.code == "arc-either-way"]
    assert f"enclose {disc + 1:.2f} m², the other way {disc - 1:.2f} m²" in notice.text


def test_arc_into_the_floor_past_all_of_it_is_refused():
    """An arc in that reaches beyond the far corner leaves no floor between."""
    shape = shapes.outline([(0, 0), (4, 0), (2, 0.5)], arcs={0: shapes.rise(1, "in")})
    fault = only_fault(shapes.plan(shape))
    assert fault.code == "arc-too-deep"
    assert "side A-B" in fault.text


def test_exact_bulges_stand_in_place_of_arcs():
    """Bulges from a drawing are taken as they are, in the order of the corners."""
    shape = shapes.outline([(0, 0), (2, 0)], unit=shapes.metres, bulges=(1.0, 1.0))
    assert measured(shapes.plan(shape)).gross_area_m2 == pytest.approx(math.pi, rel=1e-12)


def test_crossing_outline_is_refused():
    """A bow-tie has no area: both sides and the crossing point are named, at the line of the first side."""
    fault = only_fault(shapes.plan(shapes.outline([(0, 0), (20, 10), (20, 0), (0, 10)])))
    assert fault.code == "outline-crosses"
    assert fault.text == "slab Patio: sides A-B and C-D cross at 10'-0\", 5'-0\""
    assert fault.place is not None
    assert fault.place.line == 1
    assert "order of the corners" in fault.hint


def test_spike_is_refused():
    """A side that goes straight back over the one before is named."""
    points = [(0, 0), (6, 0), (6, 2), (10, 2), (6, 2.0), (6, 6), (0, 6)]
    found = faults(shapes.plan(shapes.outline(points)))
    assert "outline-spike" in {fault.code for fault in found}
    spike = next(fault for fault in found if fault.code == "outline-spike")
    assert "side D-E goes straight back over side C-D" in spike.text
    assert spike.hint == "leave out the corner that sticks out"


def test_overlapping_sides_are_refused():
    """Two sides that lie on each other are named."""
    points = [(0, 0), (10, 0), (10, 5), (5, 5), (5, 0), (3, 0), (3, -4), (0, -4)]
    codes = {fault.code for fault in faults(shapes.plan(shapes.outline(points)))}
    assert "outline-overlaps" in codes


def test_outline_that_touches_itself_is_refused():
    """A corner on another side pinches the floor to nothing there."""
    points = [(0, 0), (10, 0), (10, 10), (5, 0), (0, 10)]
    found = faults(shapes.plan(shapes.outline(points)))
    assert {fault.code for fault in found} == {"outline-touches"}
    assert "pinched" in found[0].text


def test_closing_corner_typed_again_is_refused():
    """The first corner typed again at the end: the hint says that the outline closes by itself."""
    fault = only_fault(shapes.plan(shapes.outline([(0, 0), (9, 0), (9, 9), (0, 9), (0, 0)])))
    assert fault.code == "corner-repeated"
    assert fault.text == "slab Patio: corners E and A are the same point, side E-A is 0 long"
    assert fault.place is not None
    assert fault.place.line == 5
    assert fault.hint == "leave out the last line: the outline closes by itself"


def test_corner_twice_running_is_refused():
    """A side of no length is refused at the line of its second corner."""
    fault = only_fault(shapes.plan(shapes.outline([(0, 0), (9, 0), (9, 0), (9, 9)])))
    assert (fault.code, fault.place and fault.place.line) == ("corner-repeated", 3)


def test_label_twice_is_refused():
    """Two corners of one name cannot be told apart."""
    fault = only_fault(shapes.plan(shapes.outline([(0, 0), (9, 0), (9, 9), (0, 9)], names="ABCA")))
    assert fault.code == "label-twice"
    assert fault.text == "slab Patio: two corners are called A"
    assert fault.place is not None
    assert fault.place.line == 4


@pytest.mark.parametrize("count", [0, 1, 2])
def test_too_few_corners_are_refused(count: int):
    """Fewer than three corners enclose nothing where no side is an arc."""
    fault = only_fault(shapes.plan(shapes.outline([(0, 0), (9, 0)][:count])))
    assert fault.code == "corners-few"
    assert f"{count} corner" in fault.text


def test_corners_on_one_line_are_refused():
    """Three corners on one line enclose nothing."""
    codes = {fault.code for fault in faults(shapes.plan(shapes.outline([(0, 0), (9, 0), (4, 0)])))}
    assert codes & {"outline-spike", "outline-overlaps"}


def test_corner_off_the_earth_is_refused():
    """A coordinate that no double can measure is refused with its corner."""
    fault = only_fault(shapes.plan(shapes.outline([(0, 0), (9, 0), (9, 1e300)])))
    assert (fault.code, fault.place and fault.place.line) == ("corner-far", 3)


def test_radius_shorter_than_half_the_chord_is_refused():
    """The side, the radius, the chord and the least radius are named."""
    shape = shapes.outline([(0, 0), (20, 0), (20, 10), (0, 10)], arcs={0: shapes.radius(9)})
    fault = only_fault(shapes.plan(shape))
    assert fault.code == "arc-radius-short"
    assert (
        fault.text
        == "slab Patio: side A-B: an arc of radius 9'-0\" does not reach across its chord of 20'-0\""
    )
    assert fault.hint.startswith("the radius must be at least half the chord, 10'-0\"")
    assert fault.place is not None
    assert fault.place.line == 1


def test_radius_of_just_half_the_chord_is_a_half_circle():
    """The limit itself is allowed."""
    shape = shapes.outline([(0, 0), (20, 0), (20, 10), (0, 10)], arcs={2: shapes.radius(10)})
    assert measured(shapes.plan(shape)).edges[2].length_m / FOOT_M == pytest.approx(10 * math.pi, rel=1e-9)


@pytest.mark.parametrize("arc", [shapes.rise(0), shapes.rise(-1), shapes.radius(0)])
def test_arc_of_no_size_is_refused(arc: shapes.ArcSpec):
    """A rise or radius must be above 0."""
    shape = shapes.outline([(0, 0), (20, 0), (20, 10), (0, 10)], arcs={1: arc})
    fault = only_fault(shapes.plan(shape))
    assert fault.code == "arc-size"
    assert "side B-C" in fault.text


def test_rise_above_half_the_chord_is_asked_about():
    """More than a half circle is measured, and both areas are said."""
    shape = shapes.outline([(0, 0), (10, 0), (10, 30), (0, 30)], arcs={0: shapes.rise(6)})
    takeoff = measure(shapes.plan(shape))
    notice = next(n for n in takeoff.notices if n.code == "arc-over-half")
    assert "the rise of side A-B, 6'-0\", is more than half its chord of 10'-0\"" in notice.text
    # R = 100/48 + 3, angle = 2 pi - 2 asin(5/R): a segment of 49.9 sq ft on 300 sq ft.
    assert "349.9 sq ft with it out and 250.1 sq ft with it in" in notice.text
    assert notice.where == "slab Patio, side A-B"


def test_rise_of_half_the_chord_is_not_asked_about():
    """A half circle is plain."""
    shape = shapes.outline([(0, 0), (10, 0), (10, 30), (0, 30)], arcs={0: shapes.rise(5)})
    assert "arc-over-half" not in {n.code for n in measure(shapes.plan(shape)).notices}


def test_faults_of_all_slabs_come_together():
    """Two bad slabs are refused in one go, in the order of the plan."""
    bow = shapes.outline([(0, 0), (20, 10), (20, 0), (0, 10)])
    two = shapes.outline([(0, 0), (9, 0), (9, 0), (9, 9)])
    plan = shapes.plan(shapes.slab(bow, "Porch"), shapes.slab(two, "Walk"))
    assert [fault.code for fault in faults(plan)] == ["outline-crosses", "corner-repeated"]
    assert [fault.text.split(":")[0] for fault in faults(plan)] == ["slab Porch", "slab Walk"]


@pytest.mark.parametrize("rise", [1e-12, 1e-6])
def test_outline_thinner_than_a_hair_is_refused(rise: float):
    """Two corners and an arc that hardly rises enclose nothing."""
    shape = shapes.outline(
        [(0, 0), (4, 0)], arcs={0: shapes.rise(rise, unit=shapes.metres)}, unit=shapes.metres
    )
    fault = only_fault(shapes.plan(shape))
    assert fault.code == "outline-thin"
    assert "encloses no floor" in fault.text


def test_arc_of_a_thousand_chords_is_refused():
    """A rise in the wrong unit makes a circle on a point."""
    shape = shapes.outline([(0, 0), (4, 0), (4, 4), (0, 4)], arcs={0: shapes.rise(4001)})
    fault = only_fault(shapes.plan(shape))
    assert fault.code == "arc-size"
    assert fault.text == "slab Patio: side A-B: the arc rises more than 1000 times its chord"


def test_many_crossings_are_counted_not_listed():
    """A scribble of hundreds of crossings is refused in a dozen lines."""
    star = [(10 * math.cos(k * 2.9), 10 * math.sin(k * 2.9)) for k in range(60)]
    found = faults(shapes.plan(shapes.outline(star)))
    assert len(found) == 13
    assert "more places" in found[-1].text


def _inline() -> list[dict]:
    import tomllib

    return tomllib.loads((DATA / "polygons.toml").read_text(encoding="utf-8"))["inline"]


@pytest.mark.parametrize("case", _inline(), ids=lambda case: case["name"])
def test_hard_polygons(case: dict):
    """Published hard polygons are refused, or measured as they enclose floor; never silently wrong."""
    rings = [[tuple(p) for p in ring[:-1]] for ring in case["rings"]]
    holes = tuple(shapes.hole(f"hole {k}", ring, unit=shapes.metres) for k, ring in enumerate(rings[1:]))
    plan = shapes.plan(shapes.slab(shapes.outline(rings[0], unit=shapes.metres), cutouts=holes))
    try:
        slab = measured(replace(plan, units=shapes.UnitStyle.M))
    except PlanError:
        return
    union_reading = case["area"] if "duplicate" not in case["name"] else case["make_valid"]
    assert slab.net_area_m2 == pytest.approx(union_reading, rel=1e-9) or any(
        n.code in ("cutouts-overlap", "cutout-over-edge") for n in measure(plan).notices
    )

"""Every figure holds however the plan lies on the sheet: turned, moved, mirrored, restarted, other units."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest
import shapes

from floorplan.measure.floor import measure
from floorplan.measure.model import SlabTakeoff
from floorplan.plan.model import (
    Cutout,
    Joint,
    JointGrid,
    JointLines,
    OutlineShape,
    Plan,
    Point,
    Slab,
)
from floorplan.units.length import Length, UnitStyle

Move = Callable[[float, float], tuple[float, float]]

EXACT = (
    "gross_area_m2",
    "net_area_m2",
    "material_area_m2",
    "perimeter_m",
    "cutout_perimeter_m",
    "hand_grind_edge_m",
    "joint_length_m",
    "brush_out_m",
    "fill_m",
    "seal_m",
    "mask_m",
    "face_area_m2",
)
BY_DISCS = ("machine_area_m2", "band_area_m2", "pocket_area_m2", "hand_grind_area_m2")

SAMPLES = {
    "patio": shapes.worked_patio,
    "garage": shapes.worked_garage,
    "pool": shapes.pool_surround,
    "L": shapes.l_shape,
    "half round": shapes.half_round,
}


@cache
def plain(sample: str) -> SlabTakeoff:
    """A sample as typed."""
    return measure(SAMPLES[sample]()).slabs[0]


def point(p: Point, move: Move) -> Point:
    """A point moved."""
    x, y = move(p.x.m, p.y.m)
    return replace(p, x=Length(x), y=Length(y))


def outline(shape: OutlineShape, move: Move) -> OutlineShape:
    """An outline moved."""
    return replace(shape, corners=tuple(replace(c, at=point(c.at, move)) for c in shape.corners))


def cutout(cut: Cutout, move: Move, turn_deg: float) -> Cutout:
    """A cut-out moved: typed corners are moved themselves, others by their places and their turn."""
    if isinstance(cut.form, OutlineShape):
        return replace(cut, form=outline(cut.form, move))
    return replace(
        cut,
        at=tuple(point(p, move) for p in cut.at if isinstance(p, Point)),
        turn_deg=cut.turn_deg + turn_deg,
    )


def joint(one: Joint, move: Move, turn_deg: float) -> Joint:
    """A joint moved."""
    match one.form:
        case JointLines(lines=lines):
            moved = tuple(tuple(point(p, move) for p in line if isinstance(p, Point)) for line in lines)
            return replace(one, form=JointLines(lines=moved))
        case JointGrid(turn_deg=turn):
            return replace(one, form=replace(one.form, turn_deg=turn + turn_deg))
        case _:
            return one


def laid(slab: Slab, move: Move, turn_deg: float = 0.0) -> Slab:
    """A slab moved with all that is on it."""
    return replace(
        slab,
        shape=outline(slab.shape, move),
        cutouts=tuple(cutout(c, move, turn_deg) for c in slab.cutouts),
        joints=tuple(joint(j, move, turn_deg) for j in slab.joints),
    )


def turned(plan: Plan, degrees: float = 33.0) -> Plan:
    """Turned about 2, 1 m."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))

    def move(x: float, y: float) -> tuple[float, float]:
        return 2 + c * (x - 2) - s * (y - 1), 1 + s * (x - 2) + c * (y - 1)

    return replace(plan, slabs=tuple(laid(slab, move, degrees) for slab in plan.slabs))


def moved(plan: Plan, by: tuple[float, float] = (-13.7, 4.1)) -> Plan:
    """Moved."""
    slabs = tuple(laid(slab, lambda x, y: (x + by[0], y + by[1])) for slab in plan.slabs)
    return replace(plan, slabs=slabs)


def mirrored(plan: Plan) -> Plan:
    """Mirrored left to right: the direction of the corners changes with it."""
    return replace(plan, slabs=tuple(laid(slab, lambda x, y: (-x, y)) for slab in plan.slabs))


def restarted(plan: Plan) -> Plan:
    """Typed from the second corner on."""
    (slab,) = plan.slabs
    corners, sides = slab.shape.corners, slab.shape.sides
    shape = replace(slab.shape, corners=(*corners[1:], corners[0]), sides=(*sides[1:], sides[0]))
    return replace(plan, slabs=(replace(slab, shape=shape),))


def reversed_(plan: Plan) -> Plan:
    """Typed the other way round."""
    (slab,) = plan.slabs
    corners, sides = slab.shape.corners, slab.shape.sides
    shape = replace(
        slab.shape,
        corners=(corners[0], *corners[:0:-1]),
        sides=tuple(reversed(sides)),
    )
    return replace(plan, slabs=(replace(slab, shape=shape),))


def in_millimetres(plan: Plan) -> Plan:
    """Every coordinate written in whole hundredths of a millimetre, results in millimetres."""
    there = replace(plan, units=UnitStyle.MM)
    slabs = tuple(laid(slab, lambda x, y: (round(x, 5), round(y, 5))) for slab in there.slabs)
    return replace(there, slabs=slabs)


def far_away(plan: Plan) -> Plan:
    """On survey coordinates, hundreds of kilometres from the origin."""
    return moved(plan, (512_345.0, 4_100_321.0))


CHANGES = [turned, moved, mirrored, restarted, reversed_]


@pytest.mark.parametrize("sample", SAMPLES)
@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.__name__)
def test_figures_hold_when_the_plan_is(change: Callable[[Plan], Plan], sample: str):
    """Areas and lengths to 1e-9, what discs give to 1e-4."""
    other = measure(change(SAMPLES[sample]())).slabs[0]
    for name in EXACT:
        assert getattr(other, name) == pytest.approx(getattr(plain(sample), name), rel=1e-9, abs=1e-9), name
    for name in BY_DISCS:
        assert getattr(other, name) == pytest.approx(getattr(plain(sample), name), rel=1e-4, abs=2e-4), name
    assert {k: round(v, 8) for k, v in sorted(other.edge_length_by_kind_m.items())} == {
        k: round(v, 8) for k, v in sorted(plain(sample).edge_length_by_kind_m.items())
    }
    assert sorted(round(j.length_m, 8) for j in other.joints) == sorted(
        round(j.length_m, 8) for j in plain(sample).joints
    )


@pytest.mark.parametrize("sample", SAMPLES)
def test_figures_hold_in_other_units(sample: str):
    """Typed to a hundredth of a millimetre, all figures stay within that."""
    other = measure(in_millimetres(SAMPLES[sample]())).slabs[0]
    for name in (*EXACT, *BY_DISCS):
        assert getattr(other, name) == pytest.approx(getattr(plain(sample), name), rel=1e-4, abs=1e-3), name


@pytest.mark.parametrize("sample", SAMPLES)
def test_figures_hold_far_from_the_origin(sample: str):
    """On survey coordinates (4e6 m, steps of 5e-10 m) all figures hold to 1e-6."""
    other = measure(far_away(SAMPLES[sample]())).slabs[0]
    for name in EXACT:
        assert getattr(other, name) == pytest.approx(getattr(plain(sample), name), rel=1e-6, abs=1e-6), name
    for name in BY_DISCS:
        assert getattr(other, name) == pytest.approx(getattr(plain(sample), name), rel=2e-4, abs=2e-4), name


def test_two_slabs_are_summed():
    """The totals of two slabs are the sums of each."""
    patio, garage = shapes.worked_patio(), shapes.worked_garage()
    both = measure(replace(patio, slabs=(*patio.slabs, *garage.slabs)))
    for name in (*EXACT, *BY_DISCS):
        expected = getattr(plain("patio"), name) + getattr(plain("garage"), name)
        assert both.total(name) == pytest.approx(expected, rel=1e-9), name


def test_slab_split_in_two_keeps_its_sums():
    """An L cut into two rectangles: area adds, and edges add but for the new one between them."""
    whole = plain("L")
    right = shapes.outline([(14, 0), (24, 0), (24, 10), (14, 10)], ["wall", "wall", "wall", "slab"])
    left = shapes.outline(
        [(0, 0), (14, 0), (14, 10), (14, 20), (0, 20)], ["wall", "slab", "wall", "wall", "wall"]
    )
    parts = measure(shapes.plan(shapes.slab(left, "Left"), shapes.slab(right, "Right")))
    assert parts.total("net_area_m2") == pytest.approx(whole.net_area_m2, rel=1e-12)
    assert parts.total("hand_grind_edge_m") == pytest.approx(whole.hand_grind_edge_m, rel=1e-12)
    seam = sum(slab.edge_length_by_kind_m["slab"] for slab in parts.slabs)
    assert parts.total("perimeter_m") == pytest.approx(whole.perimeter_m + seam, rel=1e-12)


def test_measuring_twice_gives_the_same():
    """Nothing depends on chance or on what was measured before."""
    one, two = measure(shapes.worked_garage()), measure(shapes.worked_garage())
    assert one == two
    assert one.slabs[0].regions.band.wkb == two.slabs[0].regions.band.wkb

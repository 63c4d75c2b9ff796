"""Joints on the net floor: forms, clipping, doubling, treatments, volumes, and what is said of odd ones."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
import shapes

import floorplan
from floorplan.errors import Fault, Notice, PlanError
from floorplan.measure.fill import PROFILES
from floorplan.measure.floor import measure
from floorplan.measure.model import SlabTakeoff
from floorplan.plan.model import Joint, JointKind
from floorplan.units.factors import CUIN_L, FOOT_M, GALLON_L, INCH_M


def room(*joints: Joint, **parts: object) -> SlabTakeoff:
    """A 20 ft square with joints."""
    (slab,) = measure(shapes.square(20, joints=joints, **parts)).slabs
    return slab


def said(*joints: Joint, **parts: object) -> dict[str, Notice]:
    """The notices on a 20 ft square with joints, by code."""
    return {n.code: n for n in measure(shapes.square(20, joints=joints, **parts)).notices}


def fault_of(joint: Joint) -> Fault:
    """The one thing that a joint is refused for."""
    with pytest.raises(PlanError) as caught:
        measure(shapes.square(20, joints=(joint,)))
    (fault,) = caught.value.faults
    return fault


def feet(slab: SlabTakeoff) -> list[float]:
    """Length of each joint in feet, to where floating point ends."""
    return [round(j.length_m / FOOT_M, 9) for j in slab.joints]


def grid(x: float | None, y: float | None, origin: object = "A", turn: float = 0.0) -> shapes.JointGrid:
    """A grid by its spacings in feet."""
    return shapes.JointGrid(
        spacing_x=None if x is None else shapes.ft(x),
        spacing_y=None if y is None else shapes.ft(y),
        origin=origin,
        turn_deg=turn,
    )


def test_line_past_the_slab_is_clipped():
    """Only floor counts; what was dropped is said."""
    cut = shapes.joint("cut", shapes.lines([(10, -2), (10, 25)]))
    slab = room(cut)
    assert feet(slab) == [20]
    assert slab.joints[0].dropped_m / FOOT_M == pytest.approx(7, rel=1e-9)
    assert said(cut)["joint-clipped"].text == (
        "not counted, because it lies off the floor or in cut-outs: joint cut 7.00 ft"
    )


def test_line_through_a_post_is_clipped():
    """A joint stops at a post and goes on behind it."""
    post = shapes.cutout("post", (10, 10), (1, 1))
    slab = room(shapes.joint("cut", shapes.lines([(10, 0), (10, 20)])), cutouts=(post,))
    assert feet(slab) == [19]
    assert len(slab.joints[0].lines.geoms) == 2


def test_line_through_a_round_column_is_cut_at_the_arc():
    """The chord through a column is exact, not that of a polygon."""
    column = shapes.cutout("column", (10, 10), 2.0)
    slab = room(shapes.joint("cut", shapes.lines([(0, 10.6), (20, 10.6)])), cutouts=(column,))
    assert feet(slab) == [round(20 - 2 * 0.8, 9)]


def test_polyline_crack_is_one_joint():
    """A crack of several points counts along all of them."""
    slab = room(shapes.joint("crack", shapes.lines([(2, 2), (5, 6), (5, 10)]), kind="crack"))
    assert feet(slab) == [9]


def test_line_along_the_edge_is_dropped():
    """A line typed on the side of the slab is no joint, and the cure is said."""
    cut = shapes.joint("cut", shapes.lines([(0, 0), (20, 0)], [(10, 0), (10, 20)]))
    assert feet(room(cut)) == [20]
    assert said(cut)["joint-along-edge"].text.endswith('(give it as along = ["A-B"]): joint cut 20.00 ft')


def test_joint_along_sides_counts_their_floor_edge():
    """Given along, a side counts whole, arcs exact, less what a cut-out stands against; either way round."""
    shape = shapes.outline([(0, 0), (20, 0), (20, 20), (0, 20)], arcs={1: shapes.rise(10)})
    strip = shapes.joint(
        "strip", shapes.JointAlong(sides=(("A", "B"), ("C", "B"))), kind="isolation", treatment="seal"
    )
    pad = shapes.cutout("pad", (2, 1), (4, 2))
    (slab,) = measure(shapes.plan(shapes.slab(shape, joints=(strip,), cutouts=(pad,)))).slabs
    assert feet(slab) == [round(16 + 10 * math.pi, 9)]
    assert slab.seal_m == slab.joint_length_m


def test_joint_along_a_side_twice_counts_once():
    """The second joint along one side counts nothing, and it is said."""
    one = shapes.joint("strip", shapes.JointAlong(sides=(("A", "B"),)))
    two = shapes.joint("seal", shapes.JointAlong(sides=(("B", "A"), ("B", "C"))))
    assert feet(room(one, two)) == [20, 20]
    assert said(one, two)["joint-doubled"].text == (
        "not counted, because it lies on a line that is counted already: joint seal 20.00 ft"
    )


def test_overlapping_lines_count_once():
    """Doubled and partly doubled lines count once, within a joint and across joints, also on a slope."""
    one = shapes.joint("one", shapes.lines([(2, 2), (14, 11)], [(2, 2), (10, 8)]))
    two = shapes.joint("two", shapes.lines([(18, 14), (6, 5)]))
    slab = room(one, two)
    assert slab.joints[0].length_m / FOOT_M == pytest.approx(15, abs=1e-4)
    assert slab.joints[1].length_m / FOOT_M == pytest.approx(5, abs=1e-4)
    assert "one 10.00 ft, two 10.00 ft" in said(one, two)["joint-doubled"].text


def test_crossing_lines_lose_nothing():
    """Two lines that cross count whole."""
    slab = room(shapes.joint("cross", shapes.lines([(0, 5), (20, 5)], [(5, 0), (5, 20)])))
    assert feet(slab) == [40]


def test_joint_off_the_floor_counts_nothing():
    """A joint beside the slab is said, not refused."""
    cut = shapes.joint("cut", shapes.lines([(30, 0), (30, 20)]))
    assert feet(room(cut)) == [0]
    assert said(cut)["joint-outside"].text == (
        "joint cut: no part of it lies on the floor, so nothing of it is counted"
    )


def test_grid_from_a_corner():
    """8 x 7 ft from A on a 20 ft square: x at 8, 16 and y at 7, 14; the lines on the edge are none."""
    joint = shapes.joint("grid", grid(8, 7))
    assert feet(room(joint)) == [80]
    assert not {"joint-along-edge", "joint-clipped"} & said(joint).keys()


def test_grid_of_one_direction():
    """Lines up the sheet only."""
    assert feet(room(shapes.joint("grid", grid(6, None)))) == [60]


def test_grid_from_a_point():
    """From 3, 3 every 8 ft: x at 3, 11, 19 and y likewise."""
    assert feet(room(shapes.joint("grid", grid(8, 8, shapes.at(3, 3))))) == [120]


def test_grid_turned():
    """Turned by 45 degrees about A, lines every 10 ft: one diagonal and two shorter ones each way."""
    slab = room(shapes.joint("grid", grid(10, 10, "A", 45.0)))
    d = 20 * math.sqrt(2)
    up = d + 2 * (d - 20)
    across = 2 * 10 + 2 * (d - 20)
    assert feet(slab)[0] == pytest.approx(up + across, abs=1e-9)


@pytest.mark.parametrize("spacing", [0.0, -1.0, 1e-5])
def test_grid_of_no_spacing_is_refused(spacing: float):
    """A spacing must be above 0 and not so small that it must be in another unit."""
    fault = fault_of(shapes.joint("grid", grid(spacing, None)))
    assert fault.code == "joint-spacing"
    assert fault.place is not None
    assert fault.place.line == 200


def test_grid_from_unknown_corner_is_refused():
    """The origin must be a corner."""
    assert fault_of(shapes.joint("grid", grid(8, 8, "Z"))).text == (
        "joint grid: there is no corner or taped point Z"
    )


def test_along_unknown_side_is_refused():
    """Two corners that no side joins are named, with the sides that exist."""
    fault = fault_of(shapes.joint("strip", shapes.JointAlong(sides=(("A", "C"),))))
    assert fault.code == "side-unknown"
    assert fault.text == "joint strip: the outline has no side A-C"
    assert fault.hint == "its sides are A-B, B-C, C-D, D-A"


def test_line_of_one_point_is_refused():
    """A line needs two different points."""
    assert fault_of(shapes.joint("cut", shapes.lines([(3, 3), (3, 3)]))).code == "joint-line"


def test_lengths_by_treatment():
    """Each treatment has its own sum; bridge and leave are in none of the three."""
    names = ["brush out", "fill", "seal", "bridge", "leave"]
    joints = [
        shapes.joint(name, shapes.lines([(3 * k + 2, 0), (3 * k + 2, 20 - k)]), treatment=name)
        for k, name in enumerate(names)
    ]
    slab = room(*joints)
    sums = [slab.brush_out_m, slab.fill_m, slab.seal_m, slab.joint_length_m]
    assert [round(m / FOOT_M, 9) for m in sums] == [20, 19, 18, 90]
    assert [j.fill_volume_l > 0 for j in slab.joints] == [False, True, True, False, False]


@pytest.mark.parametrize(
    ("kind", "width", "depth", "feet_a_gallon"),
    [
        # 231 / (12 w d), trade brief 3.4; a groove holds 2/3 of width x depth.
        ("saw cut", 1 / 8, 1, 154),
        ("saw cut", 3 / 16, 1, 102.7),
        ("crack", 1 / 4, 1 / 2, 154),
        ("isolation", 1 / 2, 3 / 8, 102.7),
        ("groove", 3 / 8, 3 / 4, 68.4 * 1.5),
    ],
)
def test_filler_volume(kind: str, width: float, depth: float, feet_a_gallon: float):
    """Feet of joint to the gallon, as the filler tables have it."""
    joint = shapes.joint(
        "cut",
        shapes.lines([(0, 10), (20, 10)]),
        kind=kind,
        treatment="fill",
        width=shapes.inches(width),
        depth=shapes.inches(depth),
    )
    (measured,) = room(joint).joints
    assert 20 / (measured.fill_volume_l / GALLON_L) == pytest.approx(feet_a_gallon, rel=1e-3)
    assert not measured.typical


@pytest.mark.parametrize("kind", JointKind)
def test_typical_width_and_depth_are_marked(kind: JointKind):
    """Without width and depth the typical ones of the kind stand in, and the joint says so."""
    joint = shapes.joint("cut", shapes.lines([(0, 10), (20, 10)]), kind=kind.value, treatment="fill")
    (measured,) = room(joint).joints
    assert measured.typical
    profile = PROFILES[kind]
    assert (measured.width_m, measured.depth_m) == (profile.width_m, profile.depth_m)
    assert measured.fill_volume_l > 0


def test_typical_sealant_section():
    """1/2 x 3/8 in of sealant: 2.25 cubic inches to the foot (trade brief 3.4)."""
    joint = shapes.joint("strip", shapes.lines([(0, 10), (20, 10)]), kind="isolation", treatment="seal")
    (measured,) = room(joint).joints
    assert measured.fill_volume_l / CUIN_L == pytest.approx(20 * 2.25, rel=1e-12)
    assert measured.width_m == 0.5 * INCH_M


TAPED = """
[[slab]]
name = "Bay"
[slab.tape]
corners = "A B C D E F"
turning = "counter-clockwise"
inward = "D"
lengths = '''
A-B 40' 0 1/4"
B-C 30' 0"
C-D 15' 11 3/4"
D-E 20' 0 1/4"
E-F 24' 0"
F-A 50' 0 1/2"
A-C 50' 0"
A-D 38' 5"
A-E 55' 5 3/8"
B-D 34' 0"
B-F 64' 0 3/8"
'''
[[slab.joint]]
kind = "saw cut"
spacing = "12' x 10'"
from = "A"
"""


def test_grid_along_taped_walls_is_no_joint(tmp_path: Path) -> None:
    """An L of 40 x 30 and 24 x 20 ft with cuts at x = 12, 24, 36 and y = 10 to 40 ft.

    50 + 30 + 30 and 40 + 40 + 24 + 24 ft: x = 24 above 30 ft is the wall D-E, y = 50 ft is E-F, though the
    fitted corners stand some hundredths of an inch off them.
    """
    (tmp_path / "bay.toml").write_text(TAPED)
    (slab,) = measure(floorplan.load(tmp_path / "bay.toml")).slabs
    assert slab.joints[0].length_m / FOOT_M == pytest.approx(238, abs=0.1)

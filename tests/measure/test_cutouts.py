"""Cut-outs: each form where it stands, each piece of floor taken once, and what is said of odd ones."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapes

from floorplan.errors import Fault, Notice, PlanError
from floorplan.measure.floor import measure
from floorplan.measure.model import SlabTakeoff
from floorplan.plan.model import Cutout
from floorplan.units.factors import FOOT_M, SQFT_M2


def room(*cutouts: Cutout, kinds: str = "wall", **parts: object) -> SlabTakeoff:
    """A 20 ft square with cut-outs."""
    (slab,) = measure(shapes.square(20, kinds, cutouts=cutouts, **parts)).slabs
    return slab


def said(*cutouts: Cutout) -> dict[str, Notice]:
    """The notices on a 20 ft square with cut-outs, by code."""
    return {n.code: n for n in measure(shapes.square(20, cutouts=cutouts)).notices}


def fault_of(*cutouts: Cutout) -> Fault:
    """The one thing that a 20 ft square with these cut-outs is refused for."""
    with pytest.raises(PlanError) as caught:
        measure(shapes.square(20, cutouts=cutouts))
    (fault,) = caught.value.faults
    return fault


def sq_ft(*areas_m2: float) -> list[float]:
    """Square feet, rounded where floating point ends."""
    return [round(a / SQFT_M2, 9) for a in areas_m2]


def test_rectangle_stands_about_its_centre_turned():
    """A 2 x 1 ft rectangle turned by 90 degrees is 1 wide and 2 deep, about the same centre."""
    slab = room(shapes.cutout("planter", (10, 6), (2, 1), turn=90.0))
    box = [v / FOOT_M for v in slab.cutouts[0].ring.bounds()]
    assert box == pytest.approx([9.5, 5, 10.5, 7])
    assert slab.cutouts[0].centre == pytest.approx((10 * FOOT_M, 6 * FOOT_M))


def test_each_copy_is_a_cutout_of_its_own():
    """Copies are named post, post 2, post 3, and each has its own edge."""
    slab = room(shapes.cutout("post", [(5, 5), (10, 5), (15, 5)], (1, 1)))
    assert [c.name for c in slab.cutouts] == ["post", "post 2", "post 3"]
    assert [e.label for e in slab.edges[4:]] == ["post", "post 2", "post 3"]
    assert [e.cutout for e in slab.edges[4:]] == [0, 1, 2]
    assert slab.net_area_m2 / SQFT_M2 == pytest.approx(397, rel=1e-12)


def test_two_cutouts_of_one_name_are_told_apart():
    """Two blocks called post become post and post 2."""
    slab = room(shapes.cutout("post", (5, 5), (1, 1)), shapes.cutout("post", (15, 5), 1.0))
    assert [c.name for c in slab.cutouts] == ["post", "post 2"]


def test_a_name_that_a_number_makes_is_not_given_twice():
    """A cut-out that is called post 2 keeps its name, and the copies of post go round it."""
    two = shapes.cutout("post 2", (3, 15), (1, 1))
    copies = shapes.cutout("post", [(5, 5), (10, 5), (15, 5)], (1, 1))
    assert [c.name for c in room(two, copies).cutouts] == ["post 2", "post", "post 3", "post 4"]


def test_size_is_kept_as_typed():
    """Sheets show the user's own size."""
    slab = room(shapes.cutout("post", (5, 5), (1, 1.5)), shapes.cutout("pipe", (15, 5), 1.0))
    assert [c.size_text for c in slab.cutouts] == ["1 ft x 1.5 ft", "Ø 1 ft"]


def test_typed_corners_move_to_each_place():
    """Corners typed about 0, 0 stand where `at` says; without it they stand as typed."""
    corners = [(0, 0), (2, 0), (0, 2)]
    fixed = shapes.hole("bed", [(x + 3, y + 3) for x, y in corners])
    moved = replace(shapes.hole("bed", corners), at=(shapes.at(3, 3), shapes.at(10, 10)))
    one, two = room(fixed), room(moved)
    assert one.cutouts[0].ring == two.cutouts[0].ring
    assert sq_ft(two.net_area_m2) == [396.0]


def test_round_is_exact():
    """A round cut-out takes πd²/4 and has an edge of πd."""
    slab = room(shapes.cutout("pipe", (10, 10), 3.0))
    assert slab.cutouts[0].deducted_m2 / SQFT_M2 == pytest.approx(math.pi * 9 / 4, rel=1e-12)
    assert slab.cutout_perimeter_m / FOOT_M == pytest.approx(math.pi * 3, rel=1e-12)


def test_net_area_two_cutouts_overlap():
    """Floor covered by two cut-outs is deducted once, from the later one, and both are named."""
    one, two = shapes.cutout("pit", (8, 8), (4, 4)), shapes.cutout("pad", (10, 8), (4, 4))
    slab = room(one, two)
    assert sq_ft(*(c.deducted_m2 for c in slab.cutouts)) == [16, 8]
    assert sq_ft(*(c.area_m2 for c in slab.cutouts)) == [16, 16]
    assert sq_ft(slab.net_area_m2) == [376]
    notice = said(one, two)["cutouts-overlap"]
    assert notice.text == "cut-out pad lies partly over pit: of its 16.0 sq ft only 8.0 sq ft is deducted"
    assert notice.where == "slab Patio, cut-out pad"
    # The outer edge of the two together: 6 by 4 ft.
    assert slab.cutout_perimeter_m / FOOT_M == pytest.approx(20, rel=1e-12)


def test_cutout_inside_an_earlier_one_takes_nothing():
    """A drain in a pit is said to deduct nothing and has no edge on the floor."""
    slab = room(shapes.cutout("pit", (8, 8), (4, 4)), shapes.cutout("drain", (8, 8), (1, 1)))
    assert sq_ft(*(c.deducted_m2 for c in slab.cutouts)) == [16, 0]
    assert slab.edges[-1].length_m == 0.0
    notice = said(shapes.cutout("pit", (8, 8), (4, 4)), shapes.cutout("drain", (8, 8), (1, 1)))
    assert "drain lies partly over pit" in notice["cutouts-overlap"].text


def test_cutout_over_the_edge_takes_its_part_inside():
    """A planter half outside takes half; the side is edge only beside floor, and it is said."""
    planter = shapes.cutout("planter", (10, 0), (4, 2), kind="low wall")
    slab = room(planter)
    assert sq_ft(slab.cutouts[0].deducted_m2) == [4]
    assert slab.edges[0].length_m / FOOT_M == pytest.approx(16, rel=1e-12)
    assert slab.edges[0].whole_m / FOOT_M == pytest.approx(20, rel=1e-12)
    assert slab.edges[4].length_m / FOOT_M == pytest.approx(6, rel=1e-12)
    assert slab.perimeter_m / FOOT_M == pytest.approx(80, rel=1e-12)
    notice = said(planter)["cutout-over-edge"]
    assert "planter lies partly over the edge of the slab" in notice.text
    assert "of its 8.0 sq ft only 4.0 sq ft is deducted" in notice.text


def test_cutout_against_the_edge_is_not_spoken_of():
    """A pad that stands in a corner touches two sides and overlaps none."""
    pad = shapes.cutout("pad", (18.5, 18.5), (3, 3))
    slab = room(pad)
    assert not {"cutout-over-edge", "cutouts-overlap"} & said(pad).keys()
    assert [round(e.length_m / FOOT_M, 9) for e in slab.edges] == [20, 17, 17, 20, 6]


def test_cutout_corner_on_the_edge_is_allowed():
    """A square post turned by 45 degrees touches the wall with one corner."""
    half = math.sqrt(2) / 2
    slab = room(shapes.cutout("post", (10, half), (1, 1), turn=45.0))
    assert sq_ft(slab.net_area_m2) == [399]
    assert slab.edges[0].length_m / FOOT_M == pytest.approx(20, rel=1e-12)


def test_cutouts_side_by_side_share_no_edge():
    """Two pads against each other: the side between them is no edge of the floor."""
    slab = room(shapes.cutout("a", (8, 8), (2, 2)), shapes.cutout("b", (10, 8), (2, 2)))
    assert slab.cutout_perimeter_m / FOOT_M == pytest.approx(12, rel=1e-12)
    assert sq_ft(slab.net_area_m2) == [392]


@pytest.mark.parametrize("x", [25, 21, 20.5])
def test_cutout_outside_is_refused(x: float):
    """A post off the slab, or just against it from outside, is refused by name and line."""
    fault = fault_of(shapes.cutout("post", (x, 5), (1, 1)))
    assert fault.code == "cutout-outside"
    assert fault.text == "cut-out post lies outside the outline, so it takes nothing away"
    assert fault.hint.endswith('the slab lies within x 0" to 20\'-0", y 0" to 20\'-0"')
    assert fault.place is not None
    assert fault.place.line == 100


def test_every_cutout_outside_is_told():
    """A good one before, between or after them hides none."""
    off = [shapes.cutout(name, (x, 5), (1, 1)) for name, x in (("first", 25), ("second", 30))]
    good = shapes.cutout("good", (5, 5), (1, 1))
    for typed in ((good, *off), (off[0], good, off[1]), (*off, good)):
        with pytest.raises(PlanError) as caught:
            room(*typed)
        assert [(f.code, f.text.split()[1]) for f in caught.value.faults] == [
            ("cutout-outside", "first"),
            ("cutout-outside", "second"),
        ]


def test_cutout_that_takes_all_the_floor_is_refused():
    """A cut-out over the whole slab leaves nothing to coat."""
    fault = fault_of(shapes.cutout("pool", (10, 10), (30, 30)))
    assert fault.code == "floor-gone"
    assert fault.text == "slab Patio: the cut-outs (pool) leave no floor"


def test_cutouts_that_split_the_floor_are_named():
    """A trench from wall to wall leaves two parts, named by their corners."""
    trench = shapes.cutout("trench", (5, 10), (1, 20), kind="drain")
    notice = said(trench)["floor-split"]
    assert notice.text == (
        "cut-outs trench split the floor into 2 parts: 90.0 sq ft at A, D, 290.0 sq ft at B, C"
    )
    assert notice.where == "slab Patio"


def test_cutout_of_no_size_is_refused():
    """A size must be above 0."""
    fault = fault_of(shapes.cutout("post", (5, 5), (1, 0)))
    assert (fault.code, fault.place and fault.place.line) == ("cutout-size", 100)


def test_cutout_a_hundred_times_the_slab_is_refused():
    """A pipe of 2,001 ft on a slab of 20 ft is a slip of the unit."""
    fault = fault_of(shapes.cutout("pipe", (5, 5), 2001.0))
    assert fault.code == "cutout-size"
    assert fault.text == "cut-out pipe is more than 100 times as large as the slab"


def test_cutout_far_away_is_refused():
    """A place beyond all measure is refused before it spoils the digits of the rest."""
    assert fault_of(shapes.cutout("pipe", (1e300, 5), 1.0)).code == "spot-far"


def test_cutout_without_a_place_is_refused():
    """A rectangle must be said to stand somewhere."""
    fault = fault_of(replace(shapes.cutout("post", (5, 5), (1, 1)), at=()))
    assert fault.code == "cutout-unplaced"


def test_cutout_at_a_corner_label():
    """A cut-out can be centred on a corner, here with a quarter of it on the floor."""
    slab = room(shapes.cutout("footing", "C", (2, 2)))
    assert sq_ft(slab.cutouts[0].deducted_m2) == [1]


def test_cutout_at_an_unknown_label_is_refused():
    """The labels that exist are offered."""
    fault = fault_of(shapes.cutout("footing", "Q", (2, 2)))
    assert fault.code == "spot-unknown"
    assert fault.text == "cut-out footing: there is no corner or taped point Q"
    assert fault.hint == "known are A, B, C, D; or give a point as x, y"


def test_cutout_crossing_itself_is_refused():
    """A bow-tie cut-out is refused as an outline is, by its own name."""
    fault = fault_of(shapes.hole("bed", [(2, 2), (6, 4), (6, 2), (2, 4)]))
    assert fault.code == "outline-crosses"
    assert fault.text.startswith("cut-out bed: sides A-B and C-D cross at 4'-0\", 3'-0\"")


@pytest.mark.parametrize(("side", "kept"), [(0.9, True), (1.0, False), (1.1, False)])
def test_small_openings_stay_in_the_material_area(side: float, kept: bool):
    """Openings under 1 sq ft are not deducted from the material; one of just 1 sq ft is (trade brief 3.1)."""
    slab = room(shapes.cutout("post", (10, 10), (side, side)))
    assert slab.cutouts[0].ignored is kept
    assert sq_ft(slab.net_area_m2) == [round(400 - side**2, 9)]
    assert sq_ft(slab.material_area_m2) == [400 if kept else round(400 - side**2, 9)]


def test_deduction_rule_of_the_plan_is_used():
    """With a limit of 10 sq ft a 9 sq ft pad stays in the material area."""
    pad = shapes.cutout("pad", (10, 10), (3, 3))
    plan = replace(shapes.square(20, cutouts=(pad,)), ignore_below_m2=10 * SQFT_M2)
    (slab,) = measure(plan).slabs
    assert sq_ft(slab.material_area_m2, slab.net_area_m2) == [400, 391]


def test_pool_surround_is_a_ring_of_floor():
    """A pool with two half-round ends: 12 x 9 m less 5 x 3 m and a circle of 3 m."""
    (slab,) = measure(shapes.pool_surround()).slabs
    pool = 5 * 3 + math.pi * 1.5**2
    assert slab.net_area_m2 == pytest.approx(12 * 9 - pool, rel=1e-12)
    assert slab.cutout_perimeter_m == pytest.approx(10 + math.pi * 3, rel=1e-12)
    assert slab.edge_length_by_kind_m["coping"] == pytest.approx(10 + math.pi * 3, rel=1e-12)

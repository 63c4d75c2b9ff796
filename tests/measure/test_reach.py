"""Machine area, band, pockets and travel against closed forms, and what is said of narrow places."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapes

from floorplan.errors import Notice
from floorplan.measure.floor import measure
from floorplan.measure.model import SlabTakeoff, Takeoff
from floorplan.plan.edge_kinds import SHIPPED
from floorplan.plan.model import Plan
from floorplan.units.factors import INCH_M, SQFT_M2

RADIUS = 9 * INCH_M
GAP = 2 * INCH_M
OVERHANG = 2 * INCH_M


def slab_of(plan: Plan) -> SlabTakeoff:
    """The only slab of a plan."""
    (slab,) = measure(plan).slabs
    return slab


def said(takeoff: Takeoff, code: str) -> list[Notice]:
    """The notices of one code."""
    return [n for n in takeoff.notices if n.code == code]


def metres_room(side: float, kinds: str | list[str] = "wall", **parts: object) -> Plan:
    """A square room typed in metres."""
    return shapes.plan(shapes.slab(shapes.rectangle(side, side, kinds, shapes.metres), **parts))


def test_square_walls_all_round():
    """(s - 2g)² - r²(4 - π) of a square with walls all round (definition of the machine area)."""
    slab = slab_of(metres_room(6.0))
    expected = (6.0 - 2 * GAP) ** 2 - RADIUS**2 * (4 - math.pi)
    assert slab.machine_area_m2 == pytest.approx(expected, rel=1e-6)


def test_one_inside_corner():
    """Beyond the gap strips, one square inside corner leaves r²(1 - π/4)."""
    slab = slab_of(metres_room(6.0, ["wall", "open", "open", "wall"]))
    strips = 2 * 6.0 * GAP - GAP**2
    corner = RADIUS**2 * (1 - math.pi / 4)
    # At open corners, and where a wall ends at an open side, a disc leaves a little more.
    left = slab.net_area_m2 - slab.machine_area_m2 - strips - corner
    assert 0 <= left < 3 * corner


def test_open_floor_is_cut_all_but_corners():
    """With half the head over each open side, even the corners are cut."""
    plan = metres_room(6.0, "open")
    wide = replace(plan, grinder=replace(plan.grinder, overhang=shapes.inches(9)))
    slab = slab_of(wide)
    assert slab.machine_area_m2 == pytest.approx(36.0, rel=1e-12)
    assert slab.hand_grind_area_m2 == pytest.approx(0.0, abs=1e-12)
    assert slab.band_area_m2 == 0.0


def test_no_overhang_at_open_corners():
    """Without overhang each open corner keeps r²(1 - π/4)."""
    plan = metres_room(6.0, "open")
    slab = slab_of(replace(plan, grinder=replace(plan.grinder, overhang=shapes.inches(0))))
    left = 36.0 - slab.machine_area_m2
    assert left == pytest.approx(4 * RADIUS**2 * (1 - math.pi / 4), rel=1e-4)
    assert slab.pocket_area_m2 == pytest.approx(left, rel=1e-4)


def test_overhang_beyond_half_the_head():
    """A head that may pass an open side by more than its half cuts the floor once, and nothing outside."""
    plan = metres_room(3.0, "open")
    slab = slab_of(replace(plan, grinder=replace(plan.grinder, overhang=shapes.inches(14))))
    assert slab.machine_area_m2 == pytest.approx(9.0, rel=1e-12)


def test_round_post_leaves_a_ring():
    """Round a post in an open floor the head leaves an annulus of the gap."""
    post = shapes.cutout("post", (3, 3), 0.3, unit=shapes.metres)
    plan = metres_room(6.0, "open", cutouts=(post,))
    slab = slab_of(replace(plan, grinder=replace(plan.grinder, overhang=shapes.inches(9))))
    ring = math.pi * ((0.15 + GAP) ** 2 - 0.15**2)
    assert slab.net_area_m2 - slab.machine_area_m2 == pytest.approx(ring, rel=1e-4)


@pytest.mark.slow
def test_a_thousand_posts_are_as_exact_as_one():
    """Far apart, each of 1,024 posts leaves its own ring of the gap; the machine area holds to 1e-4."""
    spots = [(2.0 * i + 1.0, 2.0 * k + 1.0) for i in range(32) for k in range(32)]
    plan = metres_room(64.0, "open", cutouts=(shapes.cutout("post", spots, 0.3, unit=shapes.metres),))
    slab = slab_of(replace(plan, grinder=replace(plan.grinder, overhang=shapes.inches(9))))
    posts, ring = 1024 * math.pi * 0.15**2, 1024 * math.pi * ((0.15 + GAP) ** 2 - 0.15**2)
    assert slab.net_area_m2 == pytest.approx(64.0**2 - posts, rel=1e-9)
    assert slab.machine_area_m2 == pytest.approx(64.0**2 - posts - ring, rel=1e-4)
    assert slab.net_area_m2 - slab.machine_area_m2 == pytest.approx(ring, rel=5e-3)


def test_hand_area_is_band_and_pockets():
    """Ground by hand is the band, or what the head leaves where that is more: never counted twice."""
    slab = slab_of(shapes.worked_patio())
    regions = slab.regions
    assert slab.hand_grind_area_m2 == pytest.approx(slab.band_area_m2 + slab.pocket_area_m2, rel=1e-12)
    assert regions.hand.area == pytest.approx(slab.hand_grind_area_m2, rel=1e-9)
    missed = regions.net.difference(regions.machine)
    assert missed.union(regions.band).area == pytest.approx(slab.hand_grind_area_m2, rel=1e-9)


def test_kind_with_its_own_gap_and_band():
    """A fence keeps the head 6 in away and is ground 10 in wide."""
    fence = slab_of(metres_room(6.0, ["fence", "open", "open", "open"]))
    wall = slab_of(metres_room(6.0, ["wall", "open", "open", "open"]))
    assert SHIPPED["fence"].band is not None
    assert fence.band_area_m2 == pytest.approx(6.0 * 10 * INCH_M, rel=1e-9)
    assert wall.band_area_m2 == pytest.approx(6.0 * 6 * INCH_M, rel=1e-9)
    more = wall.machine_area_m2 - fence.machine_area_m2
    assert more == pytest.approx(6.0 * 4 * INCH_M, rel=0.02)


def test_kind_overridden_by_the_plan():
    """A plan that lets a wall pass counts no hand-grind there."""
    kinds = {**SHIPPED, "wall": replace(SHIPPED["wall"], hand_grind=False)}
    slab = slab_of(replace(metres_room(6.0), edge_kinds=kinds))
    assert slab.hand_grind_edge_m == 0.0
    assert slab.band_area_m2 == 0.0


def test_floor_smaller_than_the_head():
    """A landing smaller than the machine is all ground by hand."""
    slab = slab_of(metres_room(0.4))
    assert slab.machine_area_m2 == pytest.approx(0.0, abs=1e-12)
    assert slab.hand_grind_area_m2 == pytest.approx(0.16, rel=1e-9)


DUMBBELL = [
    *((0, 0), (12, 0), (12, 5), (18, 5), (18, 0), (30, 0)),
    *((30, 12), (18, 12), (18, 6.5), (12, 6.5), (12, 12), (0, 12)),
]
"""Two rooms of 12 x 12 ft joined by a passage 6 ft long and 18 in wide."""


def dumbbell(**parts: object) -> Plan:
    """Two rooms and a passage that no machine passes."""
    return shapes.plan(shapes.slab(shapes.outline(DUMBBELL), **parts))


def test_parts_without_an_entry_all_count_and_are_named():
    """Without an entry both rooms count, and a warning names a corner of each."""
    takeoff = measure(dumbbell())
    (notice,) = said(takeoff, "floor-parts")
    assert "cannot cross between 2 parts of the floor, near corners A, D" in notice.text
    assert takeoff.slabs[0].machine_area_m2 / SQFT_M2 > 240


@pytest.mark.parametrize("entry", [("A", "B"), ("B", "A"), shapes.at(2, 1)], ids=["side", "turned", "point"])
def test_entry_leaves_the_other_room_to_hand(entry: object):
    """From the left room the machine does not get to the right one: half as much is cut, and it is said."""
    whole = slab_of(dumbbell())
    takeoff = measure(dumbbell(entry=entry))
    (slab,) = takeoff.slabs
    assert slab.machine_area_m2 == pytest.approx(whole.machine_area_m2 / 2, rel=1e-3)
    (notice,) = said(takeoff, "entry-cut-off")
    assert "(1'-10\" wide) does not get to" in notice.text
    assert "near corner D" in notice.text


def test_entry_side_too_narrow_for_the_machine():
    """A gate of 18 in lets no 22 in machine through: all is left to hand."""
    corners = [(0, 0), (5, 0), (6.5, 0), (12, 0), (12, 12), (0, 12)]
    kinds = ["wall", "threshold", "wall", "wall", "wall", "wall"]
    plan = shapes.plan(shapes.slab(shapes.outline(corners, kinds), entry=("B", "C")))
    takeoff = measure(plan)
    assert takeoff.slabs[0].machine_area_m2 == pytest.approx(0.0, abs=1e-12)
    assert said(takeoff, "entry-cut-off")


def test_entry_side_wide_enough():
    """A gate of 3 ft lets it through, and no part is cut off."""
    corners = [(0, 0), (4.5, 0), (7.5, 0), (12, 0), (12, 12), (0, 12)]
    kinds = ["wall", "threshold", "wall", "wall", "wall", "wall"]
    plan = shapes.plan(shapes.slab(shapes.outline(corners, kinds), entry=("B", "C")))
    takeoff = measure(plan)
    bare = slab_of(shapes.changed(plan, entry=None))
    assert takeoff.slabs[0].machine_area_m2 == pytest.approx(bare.machine_area_m2, rel=1e-12)
    assert not said(takeoff, "entry-cut-off")


@pytest.mark.parametrize("kinds", [["open", "slab", "siding", "siding"], "wall"], ids=["walk", "room"])
def test_entry_at_a_corner(kinds: str | list[str]):
    """At the corner of a wall the machine's middle keeps off by more than half its width (at two walls by √2
    times as much), and it still comes in there."""
    takeoff = measure(shapes.plan(shapes.slab(shapes.rectangle(3.5, 40, kinds), entry=shapes.at(0, 0))))
    bare = slab_of(shapes.plan(shapes.slab(shapes.rectangle(3.5, 40, kinds))))
    assert takeoff.slabs[0].machine_area_m2 == pytest.approx(bare.machine_area_m2, rel=1e-12)
    assert not said(takeoff, "entry-cut-off")


def test_entry_far_from_any_way_in():
    """From a point a whole width and more from where the machine can be, nothing is reached."""
    takeoff = measure(shapes.plan(shapes.slab(shapes.rectangle(8, 8, "wall"), entry=shapes.at(-1.5, 4))))
    assert takeoff.slabs[0].machine_area_m2 == 0.0
    assert said(takeoff, "entry-cut-off")


def test_gap_beside_a_post_is_named():
    """A post 10 in from a wall: the gap, and what the machine needs."""
    post = shapes.cutout("post", (10, 15 / 12), (10 / 12, 10 / 12))
    takeoff = measure(shapes.square(20, cutouts=(post,)))
    (notice,) = said(takeoff, "gap-narrow")
    assert notice.text == (
        'the gap between post and side A-B is 10"; the walk-behind needs 1\'-10" there, so it is'
        " ground by hand"
    )
    assert notice.where == "slab Patio, post"


def test_pocket_behind_a_planter_is_named():
    """A planter 3 ft long, 18 in from the wall: 6 in by 3 ft outside the bands, less a little at the ends."""
    planter = shapes.cutout("planter", (10, 2), (3, 1), kind="low wall")
    takeoff = measure(shapes.square(20, cutouts=(planter,)))
    (notice,) = said(takeoff, "pockets")
    (slab,) = takeoff.slabs
    assert 1.4 < slab.pocket_area_m2 / SQFT_M2 < 1.5
    figure = f"{slab.pocket_area_m2 / SQFT_M2:.1f} sq ft by planter"
    assert notice.text == f"outside the hand-ground band the walk-behind leaves {figure}"


def test_gap_wide_enough_is_not_named():
    """Just the overall width passes."""
    post = shapes.cutout("post", (10, 22 / 12 + 0.5), (1, 1))
    assert not said(measure(shapes.square(20, cutouts=(post,))), "gap-narrow")


def test_gap_between_two_posts_is_named_once():
    """Two posts a foot apart."""
    posts = shapes.cutout("post", [(9, 10), (11, 10)], (1, 1))
    (notice,) = said(measure(shapes.square(20, cutouts=(posts,))), "gap-narrow")
    assert "between post and post 2 is 1'-0\"" in notice.text or "post 2 and post" in notice.text


def test_many_narrow_gaps_are_counted():
    """A palisade is said in nine lines, not a hundred."""
    posts = shapes.cutout("post", [(1 + k, 10) for k in range(18)], (0.5, 0.5))
    notices = said(measure(shapes.square(20, cutouts=(posts,))), "gap-narrow")
    assert len(notices) == 9
    assert "more gaps" in notices[-1].text


def test_regions_lie_in_the_net_floor():
    """Machine, band, pockets and hand are all floor, and machine and what it leaves make the net."""
    regions = slab_of(shapes.worked_garage()).regions
    for region in (regions.machine, regions.band, regions.pockets, regions.hand):
        assert region.difference(regions.net).area < 1e-9
    assert regions.machine.union(regions.hand).area == pytest.approx(regions.net.area, rel=1e-9)
    assert regions.pockets.intersection(regions.band).area < 1e-9
    assert regions.net.difference(regions.outline).area < 1e-9

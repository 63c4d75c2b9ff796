"""Pours of whole plans against the worked estimates of the trade brief (invented, by hand)."""

from __future__ import annotations

from functools import cache

import pytest
import shapely
from estimates import estimate

import floorplan
from floorplan.measure.model import Takeoff
from floorplan.units.factors import FOOT_M, GALLON_L, SQFT_M2
from floorplan.values import replace
from floorplan.work.batches import spread_rate_m2_per_min
from floorplan.work.pours import Pour, pours
from floorplan.work.zone_words import upright_words


@cache
def poured(name: str) -> tuple[Takeoff, tuple[Pour, ...]]:
    """A worked estimate with three people."""
    takeoff = estimate(name)
    found, _ = pours(takeoff, rate_m2_per_min=spread_rate_m2_per_min(3), people=3)
    return takeoff, found


def test_patio_primer_is_two_zones_parted_at_groove_13() -> None:
    """10A: zone 1 (x > 13) 301.60 sq ft and 2.28 gal, zone 2 334.53 and 2.52 gal, one kit each."""
    first, second = poured("patio")[1][0].zones
    assert first.area_m2 / SQFT_M2 == pytest.approx(301.60, abs=0.01)
    assert second.area_m2 / SQFT_M2 == pytest.approx(334.53, abs=0.01)
    assert first.litres / GALLON_L == pytest.approx(2.28, abs=0.005)
    assert second.litres / GALLON_L == pytest.approx(2.52, abs=0.006)
    assert first.floor.bounds[0] == pytest.approx(13 * FOOT_M, abs=1e-6)
    assert first.wet_edge_m / FOOT_M == pytest.approx(23.19, abs=0.01)
    assert first.off_joint_m == pytest.approx(0.0, abs=1e-3)
    assert max(first.kits, second.kits) < 1.0
    assert (first.flake_kg + second.flake_kg) / 0.45359237 == pytest.approx(139.95, abs=0.02)


def test_patio_topcoat_strips_and_the_kit_that_falls_short() -> None:
    """10A: strips of 162.50, 139.10, 160.84, 173.69 sq ft; the last takes 1.01 kit."""
    takeoff = poured("patio")[0]
    found, notices = pours(takeoff, rate_m2_per_min=spread_rate_m2_per_min(3), people=3)
    zones = found[1].zones
    areas = [zone.area_m2 / SQFT_M2 for zone in zones]
    assert areas == pytest.approx([162.50, 139.10, 160.84, 173.69], abs=0.011)
    assert [round(zone.kits, 2) for zone in zones] == [0.95, 0.81, 0.94, 1.01]
    assert zones[3].carried_l / (1.5 * GALLON_L) == pytest.approx(0.0132, abs=0.0005)
    (notice,) = [n for n in notices if n.code == "zone-over-kit"]
    assert notice.where == "slab Patio, topcoat 1"
    assert notice.text == "zone 4 takes 1.01 kit: carry 0.01 kit from the batch before"


def test_garage_primer_is_two_zones_parted_at_cut_12() -> None:
    """10B: the back half with its verticals and step 2.10 gal, the front 2.09 gal, stopped on cut y = 12."""
    first, second = poured("garage")[1][0].zones
    assert first.floor.bounds[1] == pytest.approx(12 * FOOT_M, abs=1e-6)
    assert first.litres / GALLON_L == pytest.approx(2.10, abs=0.005)
    assert second.litres / GALLON_L == pytest.approx(2.09, abs=0.005)
    assert (first.vertical_m2 + second.vertical_m2) / SQFT_M2 == pytest.approx(41.36, abs=0.05)


@pytest.mark.parametrize("name", ["patio", "garage"])
def test_zones_of_every_coat_cover_the_net_floor(name: str) -> None:
    """Zones of each coat cover each slab's floor once."""
    takeoff, found = poured(name)
    net = takeoff.slabs[0].regions.net
    for pour in found:
        floors = [zone.floor for zone in pour.zones]
        assert sum(floor.area for floor in floors) == pytest.approx(net.area, rel=1e-9)
        assert shapely.union_all(floors).area == pytest.approx(net.area, rel=1e-9)
        assert [zone.order for zone in pour.zones] == list(range(1, len(floors) + 1))


@pytest.mark.parametrize("name", ["patio", "garage"])
def test_batches_sum_to_the_material_list(name: str) -> None:
    """What the zones take is what the list orders, coat by coat, small openings included."""
    takeoff, found = poured(name)
    order = floorplan.materials(takeoff.plan, takeoff)
    for product in {pour.batch.coat.product.name for pour in found}:
        need = sum(line.amount for line in order.items if line.product == product)
        mixed = sum(z.litres for p in found for z in p.zones if p.batch.coat.product.name == product)
        assert mixed == pytest.approx(need, rel=2e-3)


TWO_SLABS = """
units = "ft"
[[slab]]
name = "Porch"
entry = "A-B"
system = "outdoor-full-flake"
outline = \"\"\"
A 0, 0 | open
B 24, 0 | open
C 24, 20 | wall
D 0, 20 | wall
\"\"\"
[[slab]]
name = "Walk"
entry = "A-B"
system = "outdoor-full-flake"
outline = \"\"\"
A 30, 0 | slab
B 34, 0 | open
C 34, 60 | open
D 30, 60 | open
\"\"\"
"""


def three(text: str) -> tuple[tuple[Pour, ...], list[str]]:
    """Pours of a typed plan with three people, and the codes of what is said."""
    takeoff = floorplan.takeoff(floorplan.read(text))
    found, notices = pours(takeoff, rate_m2_per_min=spread_rate_m2_per_min(3), people=3)
    return found, [notice.code for notice in notices]


def test_slabs_are_poured_one_after_the_other() -> None:
    """Zones are numbered through, and the second slab's clock begins when the first is down."""
    (primer, *_), codes = three(TWO_SLABS)
    assert [(zone.slab, zone.order) for zone in primer.zones] == [("Porch", 1), ("Porch", 2), ("Walk", 3)]
    ends = [zone.times.end for zone in primer.zones]
    assert ends == sorted(ends)
    assert primer.zones[2].times.mix >= primer.zones[1].times.end - 1e-9
    assert codes == []


def test_exit_that_is_not_stated_is_assumed_and_said() -> None:
    """Without entry or exit the likeliest edge is taken, and that is said."""
    found, codes = three(TWO_SLABS.replace('entry = "A-B"\n', ""))
    assert codes.count("exit-assumed") == 2
    assert found


def test_floor_without_a_way_out_is_said() -> None:
    """A floor with walls all round has no way out."""
    closed = TWO_SLABS.replace('entry = "A-B"\n', "").replace("| open", "| wall").replace("| slab", "| wall")
    assert three(closed)[1].count("exit-missing") == 2


def test_house_door_alone_needs_the_owner() -> None:
    """A floor that is left through the house only is said to be so."""
    door = TWO_SLABS.replace("A 0, 0 | open", "A 0, 0 | threshold")
    assert "exit-house-door" in three(door)[1]


def test_floor_in_two_parts_pours_the_far_one_first() -> None:
    """A trench right across parts the floor; the part without an exit is poured first."""
    trench = '[[slab.cutout]]\nname = "trench"\nkind = "drain"\nat = ["12, 10"]\nsize = "24 x 1"\n'
    walk = '[[slab]]\nname = "Walk"'
    (primer, *_), codes = three(TWO_SLABS.replace(walk, trench + walk))
    assert "floor-apart" in codes
    first = primer.zones[0].floor
    assert first.bounds[1] > 10 * FOOT_M


def test_fewer_people_spread_more_slowly() -> None:
    """People by coat set the rate of that coat alone."""
    takeoff = estimate("patio")
    rate = spread_rate_m2_per_min(3)
    found, _ = pours(takeoff, rate_m2_per_min=rate, people=3, people_by_coat={"topcoat 1": 2})
    assert found[0].batch.rate_m2_per_min == pytest.approx(rate)
    assert found[1].batch.rate_m2_per_min == pytest.approx(spread_rate_m2_per_min(2))
    assert (found[0].people, found[1].people) == (3, 2)


def test_neck_too_narrow_to_walk_is_said() -> None:
    """A room behind a neck of 12 in cannot be reached with a pail, which is said with what would help."""
    neck = """
units = "ft"
[[slab]]
name = "Rooms"
system = "outdoor-full-flake"
entry = "A-B"
outline = \"\"\"
A 0, 0 | open
B 10, 0 | wall
C 10, 10 | wall
D 6, 10 | wall
E 6, 12 | wall
F 10, 12 | wall
G 10, 20 | wall
H 0, 20 | wall
I 0, 12 | wall
J 5, 12 | wall
K 5, 10 | wall
L 0, 10 | wall
\"\"\"
"""
    assert "floor-neck" in three(neck)[1]
    wide = neck.replace("D 6, 10", "D 8, 10").replace("E 6, 12", "E 8, 12")
    assert "floor-neck" not in three(wide)[1]


def test_hot_day_ages_edges_faster() -> None:
    """The time in which a wet edge is met shrinks with the pail's: by 90 °F to 10 / 2^(15/18) = 5.6 min."""
    from floorplan.system.reader import load_system
    from floorplan.units.factors import celsius
    from floorplan.work.batches import batches
    from floorplan.work.pour_model import PourZone
    from floorplan.work.zone_words import zone_notices
    from floorplan.work.zoning import Zone

    zone = poured("patio")[1][0].zones[0]
    system = load_system("outdoor-full-flake")
    rate = spread_rate_m2_per_min(3)
    for age, temperature, said in ((9.9, None, 0), (10.1, None, 1), (5.5, 90, 0), (5.7, 90, 1)):
        hot = None if temperature is None else celsius(temperature)
        batch = batches(system, rate_m2_per_min=rate, temperature_c=hot)[0]
        row: PourZone = replace(zone, off_joint_m=3.0, wet_edge_age_min=age)
        notices = zone_notices("slab Patio, primer", batch, [Zone(zone.floor, 20.0)], [row])
        assert [n.code for n in notices] == ["zone-edge-old"] * said


FACED = """
units = "ft"
system = "outdoor-full-flake"
[[slab]]
outline = \"\"\"
A 0, 0 | wall
B 30, 0 | open
C 30, 20 | open
D 0, 20 | open
\"\"\"
entry = "B-C"
[[slab.joint]]
kind = "groove"
lines = "15, 0 -> 15, 20"
"""
FACE = '[[slab.face]]\nside = "B-C"\nheight = "1 ft"\n'


@pytest.mark.parametrize(("face", "words"), [("", ""), (FACE, "kits for faces and steps too: zone 2")])
def test_zone_with_a_face_says_what_else_its_kit_is_for(face: str, words: str) -> None:
    """Two zones of 300 sq ft in one system take unlike kits where one has a face: 20 sq ft along B-C, at
    the exit and so poured last."""
    takeoff = floorplan.takeoff(floorplan.read(FACED + face))
    first = pours(takeoff, rate_m2_per_min=2.3, people=3)[0][0]
    assert [zone.area_m2 / SQFT_M2 for zone in first.zones] == pytest.approx([300.0, 300.0])
    assert [zone.vertical_m2 / SQFT_M2 for zone in first.zones] == pytest.approx([0.0, 20.0 if face else 0.0])
    assert upright_words(first, first.zones) == words


def test_batch_that_gives_some_on_is_mixed_larger() -> None:
    """10A: the last strip of topcoat 1 takes 1.01 kit: it is mixed as one kit, the strip before by as much
    more as comes over, and all pails together hold what all strips take."""
    top = poured("patio")[1][1]
    last, before = top.zones[-1], top.zones[-2]
    assert last.kits == pytest.approx(1.013, abs=0.002)
    kits = [litres / top.batch.kit_l for litres in top.mixed_l]
    assert kits[-1] == pytest.approx(1.0)
    assert kits[-2] == pytest.approx(before.kits + last.kits - 1.0)
    assert sum(kits) == pytest.approx(sum(zone.kits for zone in top.zones))


def test_coat_that_goes_down_again_is_numbered() -> None:
    """The same coat three times: its name, then with 2 and 3, so that no two zones are called alike."""
    takeoff = estimate("garage")
    slab = takeoff.slabs[0]
    coat = slab.slab.system.coats[0]
    system = replace(slab.slab.system, layers=(coat, coat, coat))
    again = replace(takeoff, slabs=(replace(slab, slab=replace(slab.slab, system=system)),))
    found, _ = pours(again, rate_m2_per_min=spread_rate_m2_per_min(3), people=3)
    assert [pour.layer for pour in found] == [coat.name, f"{coat.name} 2", f"{coat.name} 3"]
    assert all(zone.layer == pour.layer for pour in found for zone in pour.zones)

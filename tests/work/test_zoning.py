"""Pour zones: they cover the floor once, fit the batch, lie on joints, and leave a way out."""

from __future__ import annotations

import time
from collections.abc import Sequence

import numpy as np
import pytest
import shapely
from shapely import LineString, Point, box
from work.floors import FT, chance, dumb_bell, feet, hall, joints, reachable, ring, u_shape

from floorplan.units.factors import SQFT_M2
from floorplan.work.dividing import Loads, Piece, Rules, joined
from floorplan.work.zoning import OVER, PASSAGE_M, Floor, Zone, zone_floor

SHAPES = {"hall": hall, "ring": ring, "u": u_shape, "dumb-bell": dumb_bell}


def check_cover(floor: Floor, zones: Sequence[Zone]) -> None:
    """Zones cover the floor exactly once, to 1e-9 of it."""
    floors = [zone.floor for zone in zones]
    area = floor.region.area
    assert sum(each.area for each in floors) == pytest.approx(area, rel=1e-9)
    assert shapely.union_all(floors).area == pytest.approx(area, rel=1e-9)
    assert shapely.difference(floor.region, shapely.union_all(floors)).area < 1e-9 * area


def check_all(floor: Floor, zones: Sequence[Zone], batch_m2: float) -> None:
    """Cover, size and way out together."""
    check_cover(floor, zones)
    assert all(zone.load_m2 <= batch_m2 * (1 + OVER) + 1e-9 for zone in zones)
    assert not any(zone.whole or zone.strands for zone in zones)


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize("batch_sqft", [120.0, 171.4, 397.5, 5000.0])
def test_zones_of_plain_shapes(name: str, batch_sqft: float) -> None:
    """Rooms, rings, legs and necks are covered once, in batches, with a way out after each."""
    floor, batch = SHAPES[name](), batch_sqft * SQFT_M2
    zones = zone_floor(floor, batch)
    check_all(floor, zones, batch)
    for done in range(1, len(zones)):
        assert reachable(floor, list(zones[done:])), f"after zone {done}"


def test_floor_of_one_batch_is_one_zone() -> None:
    """A floor that a batch covers is poured at once, without a wet edge."""
    floor = Floor(region=box(0, 0, 5, 5), exits=(Point(0, 0),))
    (zone,) = zone_floor(floor, 25.0)
    assert zone.wet_edge_m == 0.0
    assert zone.floor.area == 25.0


def test_batch_a_little_short_is_two_zones() -> None:
    """Just beyond what may be carried over, the floor is parted."""
    floor = Floor(region=box(0, 0, 5, 5), exits=(Point(0, 0),))
    assert len(zone_floor(floor, 25.0 / (1 + OVER) + 1e-6)) == 1
    assert len(zone_floor(floor, 25.0 / (1 + OVER) - 1e-3)) == 2
    assert len(zone_floor(floor, 25.0 - 1e-3, over=0.0)) == 2


def test_edges_lie_on_a_joint_that_is_off_the_middle() -> None:
    """A joint two feet off an even split is taken; without it the floor is split evenly."""
    region, way = box(0, 0, 40 * FT, 15 * FT), (LineString(feet((0, 0), (0, 15))),)
    lines = joints(feet((22, 0), (22, 15)))
    first, second = zone_floor(Floor(region=region, joints=lines, exits=way), 397.5 * SQFT_M2)
    assert first.floor.bounds[0] == pytest.approx(22 * FT, abs=1e-9)
    assert first.off_joint_m == pytest.approx(0.0, abs=1e-6)
    assert second.floor.bounds[2] == pytest.approx(22 * FT, abs=1e-9)
    plain = zone_floor(Floor(region=region, exits=way), 397.5 * SQFT_M2)
    assert plain[0].off_joint_m == pytest.approx(15 * FT, abs=1e-6)
    assert plain[0].floor.area == pytest.approx(region.area / 2, rel=1e-3)


def test_pouring_starts_far_from_the_exit() -> None:
    """A long floor is poured from the far end, every zone nearer to the exit than the one before."""
    zones = zone_floor(hall(None), 397.5 * SQFT_M2)
    away = [zone.away_m for zone in zones]
    assert away == sorted(away, reverse=True)
    assert zones[0].floor.bounds[2] == pytest.approx(100 * FT)


def test_moving_the_exit_turns_the_order_round() -> None:
    """The same floor left at the other end is poured the other way."""
    floor = hall(None)
    other = Floor(region=floor.region, exits=(LineString(feet((100, 0), (100, 50))),))
    assert zone_floor(other, 397.5 * SQFT_M2)[0].floor.bounds[0] == pytest.approx(0.0)


def test_zones_come_out_the_same_twice() -> None:
    """The order and every coordinate are reproducible."""
    one, two = (zone_floor(ring(), 150 * SQFT_M2) for _ in range(2))
    assert [zone.floor.wkb for zone in one] == [zone.floor.wkb for zone in two]


def test_two_exits_leave_from_both_ends() -> None:
    """With a way out at each end the last zone touches one of them, and nothing is stranded."""
    ends = (LineString(feet((0, 0), (0, 10))), LineString(feet((80, 0), (80, 10))))
    floor = Floor(region=box(0, 0, 80 * FT, 10 * FT), exits=ends)
    zones = zone_floor(floor, 170 * SQFT_M2)
    check_all(floor, zones, 170 * SQFT_M2)
    assert min(zones[-1].floor.distance(end) for end in ends) == pytest.approx(0.0, abs=1e-9)


def test_floor_turned_and_moved_is_zoned_alike() -> None:
    """Turning and moving a floor turns its zones with it."""
    floor = u_shape()

    def turned(shape: shapely.Geometry) -> shapely.Geometry:
        return shapely.affinity.translate(shapely.affinity.rotate(shape, 30, origin=(0, 0)), 1000, -500)

    other = Floor(region=turned(floor.region), exits=tuple(map(turned, floor.exits)))
    plain, same = zone_floor(floor, 171.4 * SQFT_M2), zone_floor(other, 171.4 * SQFT_M2)
    assert [z.floor.area for z in same] == pytest.approx([z.floor.area for z in plain], rel=1e-4)


def test_large_floor_with_sixty_joints_is_zoned_in_two_seconds() -> None:
    """5,000 sq ft with 59 joints takes under 2 s of one processor."""
    floor = hall()
    assert len(floor.joints) == 59
    begin = time.process_time()
    zones = zone_floor(floor, 397.5 * SQFT_M2)
    assert time.process_time() - begin < 2.0
    check_all(floor, zones, 397.5 * SQFT_M2)
    assert sum(zone.off_joint_m for zone in zones) == pytest.approx(0.0, abs=1e-3)


def test_batch_of_nothing() -> None:
    """A batch must cover something."""
    with pytest.raises(ValueError, match="batch_m2"):
        zone_floor(ring(), 0.0)


def check_chance(seed: int) -> None:
    """One floor by chance holds everything that zones must hold."""
    floor, batch = chance(seed)
    zones = zone_floor(floor, batch)
    check_all(floor, zones, batch)
    for done in range(1, len(zones)):
        assert reachable(floor, list(zones[done:])) or not _open(floor), f"seed {seed}, after zone {done}"


def _open(floor: Floor) -> bool:
    """True when a person gets everywhere on the whole floor to begin with."""
    return reachable(floor, [Zone(floor.region, floor.region.area)])


@pytest.mark.parametrize("seed", range(20))
def test_floors_by_chance(seed: int) -> None:
    """Twenty random floors; the slow run takes two hundred."""
    check_chance(seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(20, 200))
def test_many_floors_by_chance(seed: int) -> None:
    """The other hundred and eighty random floors."""
    check_chance(seed)


def _pieces(*floors: shapely.Polygon) -> list[Piece]:
    """Pieces with nothing beside the floor."""
    return [Piece(floor, Loads()) for floor in floors]


@pytest.mark.parametrize(
    ("floors", "areas"),
    [
        # 4 and 2 m² along 4 m make one batch of 6; the 10 m² beyond are a batch of their own.
        ((box(0, 0, 4, 1), box(0, 1, 4, 1.5), box(0, 1.5, 4, 4)), [6.0, 10.0]),
        # Touching at a corner, or along 0.3 m, nobody gets from one to the other.
        ((box(0, 0, 2, 2), box(2, 2, 4, 4)), [4.0, 4.0]),
        ((box(0, 0, 2, 2), box(2, 1.7, 4, 3.7)), [4.0, 4.0]),
        # Of two neighbours the one with the longer side in common.
        ((box(0, 0, 1, 2), box(1, 0, 5, 2), box(0, 2, 1, 10)), [8.0, 10.0]),
    ],
)
def test_neighbours_that_one_batch_covers_are_joined(
    floors: tuple[shapely.Polygon, ...], areas: list[float]
) -> None:
    """Batches of 10 m²: a leftover goes with its neighbour, where people can pass from one to the other."""
    rules = Rules(batch_m2=10.0, over=OVER, passage_m=PASSAGE_M)
    assert sorted(piece.floor.area for piece in joined(_pieces(*floors), rules)) == pytest.approx(areas)


def test_two_bays_and_a_drain_take_three_batches() -> None:
    """6.5 by 6.2 m with cuts at x = 3.25 and y = 1.5 and a face of 1.7 m² of load on the left: 41.9 m² in
    batches of 14.6 are three at least; the left back bay is too much for one and its rest, 2.5 m², goes
    with the front."""
    region = box(0, 0, 6.5, 6.2).difference(box(1, 2.9, 5.5, 3.05))
    lines = (LineString([(3.25, 0), (3.25, 6.2)]), LineString([(0, 1.5), (6.5, 1.5)]))
    points = np.array([(0.0, 0.5 + k) for k in range(6)])
    floor = Floor(
        region=region,
        joints=tuple(shapely.multilinestrings([line]) for line in lines),
        exits=(LineString([(3.5, 0), (5.9, 0)]),),
        loads=Loads(points, np.full(6, 1.7 / 6)),
    )
    zones = zone_floor(floor, 14.6)
    check_all(floor, zones, 14.6)
    assert len(zones) == 3

"""How many slab tests, and where they go."""

from __future__ import annotations

import math

import pytest
from outside import rows
from shapely import MultiPolygon, Point, box

from floorplan.units.factors import SQFT_M2
from floorplan.work.slab_tests import FROM_EDGE_M, Kind, probe_count, sheet_count, slab_tests, spread_points


@pytest.mark.parametrize("row", rows("d_moisture", "D1-"), ids=lambda row: row["id"])
def test_counts_follow_the_published_rules(row) -> None:
    """Three for the first 1000 sq ft and one for each further; one sheet for each 500 sq ft."""
    area = row["inputs"]["area_ft2"] * SQFT_M2
    assert probe_count(area) == row["expected"]["f2170"] == row["expected"]["f1869"], row["source"]
    assert sheet_count(area) == row["expected"]["d4263_floor"], row["source"]


@pytest.mark.parametrize("row", rows("d_moisture", "D7"), ids=lambda row: row["id"])
def test_whole_patio(row) -> None:
    """The patio of 480 sq ft."""
    area = row["inputs"]["area_ft2"] * SQFT_M2
    assert probe_count(area) == row["expected"]["f2170"]
    assert sheet_count(area) == row["expected"]["d4263_floor"]


@pytest.mark.parametrize("count", [probe_count, sheet_count])
def test_no_floor_has_no_count(count) -> None:
    """An area of nothing is a caller's mistake."""
    with pytest.raises(ValueError, match="area_m2"):
        count(0.0)


def test_spots_stand_apart_and_off_the_edges() -> None:
    """Every spot is on the floor, 2 ft off its edge, and no two are near each other."""
    floor = MultiPolygon([box(0, 0, 12, 9).difference(box(4, 3, 7, 6))])
    spots = spread_points(floor, 6)
    assert len(spots) == 6
    for x, y in spots:
        assert floor.contains(Point(x, y))
        assert floor.boundary.distance(Point(x, y)) >= FROM_EDGE_M
    gaps = [math.dist(a, b) for i, a in enumerate(spots) for b in spots[:i]]
    assert min(gaps) > 2.0
    assert spots == spread_points(floor, 6)


def test_spots_on_a_narrow_floor_keep_to_its_middle() -> None:
    """A floor narrower than twice the distance still gets its tests."""
    floor = MultiPolygon([box(0, 0, 10, 0.9)])
    spots = spread_points(floor, 3)
    assert len(spots) == 3
    assert all(floor.contains(Point(*spot)) for spot in spots)


def test_outdoors_gets_sheets_and_indoors_probes_as_well() -> None:
    """Plastic sheets everywhere, probes in the slab indoors; no spot is used twice."""
    floor = MultiPolygon([box(0, 0, 9, 9)])
    (outdoors,) = slab_tests(floor, outdoors=True)
    assert outdoors.kind is Kind.SHEET
    assert len(outdoors.at) == sheet_count(81.0)
    probes, sheets = slab_tests(floor, outdoors=False)
    assert (probes.kind, sheets.kind) == (Kind.HUMIDITY, Kind.SHEET)
    assert len(probes.at) == 3
    assert not set(probes.at) & set(sheets.at)

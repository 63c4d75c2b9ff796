"""Regions as GeoJSON and CSV: areas read back by other libraries, and by our own reader."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pyogrio
import pytest
import shapely
from command_runs import PATIO
from shapely.geometry import shape

import floorplan
from floorplan.foreign.drawing import find_loops
from floorplan.foreign.reader import read_source
from floorplan.report.regions import REGIONS, regions_csv, regions_geojson


@pytest.fixture(scope="module", name="takeoff")
def _takeoff() -> floorplan.Takeoff:
    return floorplan.takeoff(floorplan.load(PATIO))


def test_geojson_has_every_region(takeoff: floorplan.Takeoff) -> None:
    """A feature for each region; stated areas are those of the shapes, arcs within their tolerance."""
    pours = floorplan.schedule(takeoff.plan, takeoff).pours
    document = json.loads(regions_geojson(takeoff, pours=pours))
    assert document["type"] == "FeatureCollection"
    found = {feature["properties"]["region"] for feature in document["features"]}
    assert found == set(REGIONS)
    for feature in document["features"]:
        properties, geometry = feature["properties"], shape(feature["geometry"])
        assert geometry.is_valid
        if "area_m2" in properties:
            assert geometry.area == pytest.approx(properties["area_m2"], rel=1e-4)
        if properties["region"] == "edge":
            assert geometry.length == pytest.approx(properties["length_m"], rel=1e-4)
    slab = takeoff.slabs[0]
    joints = [f["properties"] for f in document["features"] if f["properties"]["region"] == "joint"]
    assert sum(joint["length_m"] for joint in joints) == pytest.approx(slab.joint_length_m)


def test_zones_cover_the_net_floor(takeoff: floorplan.Takeoff) -> None:
    """The zones of one coat add up to the net floor."""
    pours = floorplan.schedule(takeoff.plan, takeoff).pours
    document = json.loads(regions_geojson(takeoff, ["zone"], pours=pours[:1]))
    area = sum(feature["properties"]["area_m2"] for feature in document["features"])
    assert area == pytest.approx(takeoff.slabs[0].net_area_m2, rel=1e-6)
    assert regions_csv(takeoff, ["zone"]).count("\n") == 2


def test_geojson_is_read_by_gdal(takeoff: floorplan.Takeoff, tmp_path: Path) -> None:
    """GDAL's GeoJSON driver reads the net floor to the same area."""
    path = tmp_path / "net.geojson"
    path.write_text(regions_geojson(takeoff, ["net"]), encoding="utf-8")
    _, _, shapes, _ = pyogrio.raw.read(path)
    area = sum(part.area for part in shapely.from_wkb(shapes))
    assert area == pytest.approx(takeoff.slabs[0].net_area_m2, rel=1e-4)


def test_geojson_reads_back(takeoff: floorplan.Takeoff) -> None:
    """Our own reader takes the unit and the outline with its holes out of it."""
    source = read_source(regions_geojson(takeoff, ["net"]).encode(), "net.geojson")
    drawing = find_loops(source)
    assert source.unit_m == 1.0
    outline = drawing.outlines()[0]
    holes = sum(drawing.ring(hole).area_m2 for hole in drawing.inside(outline))
    assert drawing.ring(outline).area_m2 - holes == pytest.approx(takeoff.slabs[0].net_area_m2, rel=1e-4)


def test_csv_rows_make_the_same_polygon(takeoff: floorplan.Takeoff) -> None:
    """Points by ring and part: outer ring less the others is the net area."""
    rows = list(csv.reader(io.StringIO(regions_csv(takeoff, ["net"]))))
    assert rows[0][0].startswith("floorplan regions")
    head, body = rows[1], rows[2:]
    assert head == ["slab", "region", "name", "kind", "part", "ring", "point", "x_m", "y_m"]
    rings: dict[tuple[str, str], list[tuple[float, float]]] = {}
    for row in body:
        rings.setdefault((row[4], row[5]), []).append((float(row[7]), float(row[8])))
    area = sum(
        (1.0 if ring == "1" else -1.0) * shapely.Polygon(points).area for (_, ring), points in rings.items()
    )
    assert area == pytest.approx(takeoff.slabs[0].net_area_m2, rel=1e-4)


def test_unknown_region_is_the_callers_mistake(takeoff: floorplan.Takeoff) -> None:
    """A region that does not exist is a ValueError that lists those that do."""
    with pytest.raises(ValueError, match="outline, net, machine"):
        regions_geojson(takeoff, ["roof"])

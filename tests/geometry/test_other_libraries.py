"""The same polygons measured by other libraries: integer clipping (pyclipper), GEOS, and real shapes."""

from __future__ import annotations

import importlib.util
import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pyclipper
import pyogrio
import pytest
import shapely
from geometry.outlines import fine, star
from hypothesis import given, settings
from hypothesis import strategies as st
from outside import DATA
from shapely import Polygon

from floorplan.geometry.crossings import Meeting, crossings
from floorplan.geometry.regions import subtract
from floorplan.geometry.rings import Ring

TABLE = tomllib.loads((DATA / "polygons.toml").read_text(encoding="utf-8"))
STEPS_PER_M = 1e8
# pyclipper works in whole numbers: 1e-8 m keeps a floor of 20 m well inside 62 bits.


def _whole(points: np.ndarray) -> list[tuple[int, int]]:
    return [(int(x), int(y)) for x, y in np.rint(points * STEPS_PER_M)]


def _clipped_area_m2(outline: np.ndarray, cutouts: list[np.ndarray]) -> float:
    """Outline less cut-outs by integer clipping."""
    clipper = pyclipper.Pyclipper()
    clipper.AddPath(_whole(outline), pyclipper.PT_SUBJECT, True)
    for cutout in cutouts:
        clipper.AddPath(_whole(cutout), pyclipper.PT_CLIP, True)
    paths = clipper.Execute(pyclipper.CT_DIFFERENCE, pyclipper.PFT_NONZERO, pyclipper.PFT_NONZERO)
    return sum(pyclipper.Area(path) for path in paths) / STEPS_PER_M**2


@given(st.integers(3, 60), st.integers(0, 100_000))
@settings(max_examples=40)
def test_area_of_random_polygon_agrees_with_pyclipper(n: int, seed: int) -> None:
    """The area of a random simple polygon is that of integer clipping."""
    ring = star(n, seed)
    assert ring.area_m2 == pytest.approx(abs(pyclipper.Area(_whole(ring.points))) / STEPS_PER_M**2, rel=1e-8)


@given(st.integers(0, 100_000))
@settings(max_examples=25)
def test_net_area_of_random_floor_agrees_with_pyclipper(seed: int) -> None:
    """Net area of a random outline with overlapping cut-outs is that of integer clipping."""
    rng = np.random.default_rng(seed)
    outline = star(11, seed)
    cutouts = [Ring(0.3 * star(6, seed + k).points).moved(*rng.uniform(-7, 7, 2)) for k in range(4)]
    cutouts.append(Ring.rectangle(rng.uniform(-7, 7, 2), 4, 1.5, rng.uniform(0, 90)))
    want = _clipped_area_m2(outline.points, [c.points for c in cutouts])
    assert subtract(outline, cutouts).net_area_m2 == pytest.approx(want, abs=1e-5)


def test_net_area_with_arcs_agrees_with_pyclipper() -> None:
    """Round rooms and round posts, to what chords of a tenth of a micron leave."""
    for seed in range(5):
        rng = np.random.default_rng(seed)
        outline = Ring.circle((0, 0), 12)
        cutouts = [Ring.circle(rng.uniform(-6, 6, 2), rng.uniform(0.5, 4)) for _ in range(5)]
        want = _clipped_area_m2(fine(outline), [fine(c) for c in cutouts])
        assert subtract(outline, cutouts).net_area_m2 == pytest.approx(want, abs=1e-5)


@pytest.mark.parametrize(
    "name",
    [
        "A - shell self-touches at vertex",
        "A - spike",
        "A - hole identical to shell",
        "A - duplicate holes",
        "A - hole touches shell twice",
        "A - chain of holes surrounds area",
    ],
)
def test_published_polygon_with_holes(name: str) -> None:
    """Published awkward polygons have the area that filling their rings gives, doubled holes taken once.

    Of two equal holes the even-odd reading of the table puts the floor back (10000); a cut-out named twice is
    still no floor (make_valid, 6400). A spike holds no floor.
    """
    case = next(r for r in TABLE["inline"] if r["name"] == name)
    outline, *holes = [Ring(r[:-1]) for r in case["rings"]]
    want = case["make_valid"] if name == "A - duplicate holes" else case["area"]
    assert subtract(outline, holes).net_area_m2 == pytest.approx(want, abs=1e-9)


@pytest.mark.parametrize(
    "name",
    [r["name"] for r in TABLE["inline"] if len(r["rings"]) == 1 and abs(r["area"] - r["shoelace"]) > 1e-9],
)
def test_published_crossing_polygon_is_refused(name: str) -> None:
    """Where a naive sum is wrong, the outline is refused and never measured."""
    case = next(r for r in TABLE["inline"] if r["name"] == name)
    with pytest.raises(ValueError, match="crosses itself"):
        subtract(Ring(case["rings"][0][:-1]), [])


def _file(package: str, inside: str) -> Path | None:
    """A data file of an installed package, found without importing the package."""
    found = importlib.util.find_spec(package)
    if found is None or not found.submodule_search_locations:
        return None
    path = Path(found.submodule_search_locations[0]).parent / inside
    return path if path.exists() else None


def _read(path: Path, layer: str | None, fid: int) -> Any:
    _, _, shapes, _ = pyogrio.raw.read(path, layer=layer, fids=[fid], columns=[])
    return shapely.from_wkb(shapes[0])


def _measured(shape: Any) -> tuple[float, float]:
    """Area and length of all rings of a polygon or of several, by this library."""
    area = length = 0.0
    for polygon in shapely.get_parts(shape):
        shell, *holes = [Ring(np.array(r.coords)[:-1, :2]) for r in shapely.get_rings(polygon)]
        result = subtract(shell, holes)
        area += result.net_area_m2
        length += result.boundary_m
    return area, length


def test_real_polygons_of_the_table_that_are_at_hand() -> None:
    """Real parcels and buildings whose package is installed have their published area and perimeter, 1e-9."""
    for case in TABLE["real"]:
        path = _file(case["package"], case["file"])
        if path is None:
            continue
        shape = _read(path, case.get("layer"), case["fid"])
        area, length = _measured(shape)
        assert area == pytest.approx(case["area"], rel=1e-9), case["file"]
        assert length == pytest.approx(case["perimeter"], rel=1e-9), case["file"]
        if not case["valid"]:
            rings = [Ring(np.array(r.coords)[:-1]) for r in shapely.get_rings(shapely.get_parts(shape))]
            assert any(crossings(r) for r in rings)


def test_country_outlines_agree_with_geos() -> None:
    """177 country outlines (Natural Earth, with pyogrio) have the area and length that GEOS gives them."""
    path = _file("pyogrio", "pyogrio/tests/fixtures/naturalearth_lowres/naturalearth_lowres.shp")
    assert path is not None
    _, _, shapes, _ = pyogrio.raw.read(path, columns=[])
    for shape in shapely.from_wkb(shapes):
        area, length = _measured(shape)
        if shape.is_valid:
            assert area == pytest.approx(shape.area, rel=1e-9)
            assert length == pytest.approx(shape.length, rel=1e-9)


def test_country_outlines_cross_themselves_where_geos_says() -> None:
    """A country outline that GEOS calls invalid is never sound for us.

    One that GEOS calls valid may hold a spike thinner than a nanometre, as one does; that spoils no area.
    """
    path = _file("pyogrio", "pyogrio/tests/fixtures/naturalearth_lowres/naturalearth_lowres.shp")
    _, _, shapes, _ = pyogrio.raw.read(path, columns=[])
    rings = shapely.get_rings(shapely.get_parts(shapely.from_wkb(shapes)))
    assert len(rings) > 250
    for ring in rings:
        found = [c for c in crossings(Ring(np.array(ring.coords)[:-1])) if c.kind is not Meeting.REPEAT]
        assert not any(c.spoils_area for c in found)
        assert found or Polygon(ring).is_valid

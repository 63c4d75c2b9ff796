"""An independent reader as reference: GDAL's DXF driver through pyogrio, on files made for the purpose."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import numpy as np
import pyogrio
import pytest
import shapely
from foreign.made import areas, dxf, lines

from floorplan.foreign.drawing import find_loops
from floorplan.foreign.reader import read_source

SEEDS = range(12)


@pytest.fixture(autouse=True)
def _fine_arcs() -> Any:
    """GDAL steps arcs by 4 degrees unless told otherwise."""
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": 0.1, "DXF_MERGE_BLOCK_GEOMETRIES": False})
    yield
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": None, "DXF_MERGE_BLOCK_GEOMETRIES": None})


def _gdal_areas(data: bytes, folder: Path) -> list[float]:
    """Areas of everything that GDAL and GEOS close: rings as they are, the rest noded and polygonized."""
    path = folder / "made.dxf"
    path.write_bytes(data)
    _, _, shapes, _ = pyogrio.raw.read(path, columns=[])
    geometries = shapely.from_wkb(shapes)
    rings, open_ = [], []
    for line in shapely.get_parts(geometries):
        line = line.exterior if line.geom_type == "Polygon" else line
        if line.geom_type != "LineString":
            continue
        (rings if line.is_closed else open_).append(line)
    found = [shapely.Polygon(ring).area for ring in rings]
    if open_:
        merged = shapely.union_all(shapely.polygonize([shapely.union_all(open_, grid_size=1e-7)]))
        found += [shapely.Polygon(part.exterior).area for part in shapely.get_parts(merged)]
    return sorted(found, reverse=True)


def _polyline(dice: np.random.Generator, x: float) -> list[tuple[float, float, float]]:
    """A star-shaped ring with some bulges, small enough not to cross."""
    n = int(dice.integers(3, 9))
    angle = 2.0 * math.pi * (np.arange(n) + dice.uniform(0.2, 0.8, n)) / n
    radius = dice.uniform(4.0, 6.0, n)
    bulges = np.where(dice.random(n) < 0.5, dice.uniform(-0.15, 0.3, n), 0.0)
    return [
        (x + r * math.cos(a), r * math.sin(a), float(b))
        for a, r, b in zip(angle, radius, bulges, strict=True)
    ]


@pytest.mark.parametrize("seed", SEEDS)
def test_polylines_with_bulges(seed: int, tmp_path: Path) -> None:
    """Areas of random polylines with arcs agree to the step that GDAL takes."""
    dice = np.random.default_rng(seed)
    rows = [_polyline(dice, 20.0 * k) for k in range(4)]

    def draw(model: Any) -> None:
        for row in rows:
            model.add_lwpolyline(row, format="xyb", close=True)

    data = dxf(draw)
    ours = areas(find_loops(read_source(data, "made.dxf")))
    assert ours == pytest.approx(_gdal_areas(data, tmp_path), rel=1e-4), f"seed {seed}"


@pytest.mark.parametrize("seed", SEEDS)
def test_soup_of_lines_and_arcs(seed: int, tmp_path: Path) -> None:
    """Rectangles with a round end, of lines and arcs that overshoot and split, agree with GDAL and GEOS."""
    dice = np.random.default_rng(100 + seed)

    def draw(model: Any) -> None:
        for k in range(3):
            x, w, h = 30.0 * k, float(dice.uniform(4, 9)), float(dice.uniform(3, 8))
            over = float(dice.uniform(0, 0.5))
            model.add_line((x - over, 0), (x + w + over, 0))
            model.add_line((x, -over), (x, h))
            model.add_line((x + w, h), (x + w, -over))
            model.add_arc((x + w / 2, h), w / 2, 0, 180)
            model.add_line((x, h / 2), (x + w, h / 2))

    data = dxf(draw)
    ours = areas(find_loops(read_source(data, "made.dxf")))
    assert ours == pytest.approx(_gdal_areas(data, tmp_path), rel=2e-5), f"seed {seed}"


def test_circles_ellipses_and_blocks(tmp_path: Path) -> None:
    """Circles, ellipses and a block placed twice, one mirrored, agree."""
    import ezdxf
    from foreign.made import written

    document: Any = ezdxf.new("R2010")
    block = document.blocks.new("PART")
    block.add_lwpolyline([(0, 0, 0.3), (4, 0, 0), (4, 2, 0)], format="xyb", close=True)
    model = document.modelspace()
    model.add_circle((0, 50), 3)
    model.add_ellipse((30, 50), major_axis=(5, 1), ratio=0.6)
    model.add_blockref("PART", (0, 0), dxfattribs={"rotation": 25})
    model.add_blockref("PART", (20, 0), dxfattribs={"xscale": -1.5, "yscale": 1.5})
    data = written(document)
    ours = areas(find_loops(read_source(data, "made.dxf")))
    assert ours == pytest.approx(_gdal_areas(data, tmp_path), rel=5e-5)


def test_three_point_spline(tmp_path: Path) -> None:
    """A closed cubic spline agrees to the coarse steps that GDAL takes along it."""
    control = [(0, 0), (5, -2), (9, 3), (6, 8), (1, 7), (-2, 3), (0, 0)]
    data = dxf(lambda m: m.add_open_spline(control, degree=3))
    ours = areas(find_loops(read_source(data, "made.dxf")))
    assert ours == pytest.approx(_gdal_areas(data, tmp_path), rel=5e-3)


def test_lines_only(tmp_path: Path) -> None:
    """An L of lines is the same to the last digit."""
    corners = [(0, 0), (31.5, 0), (31.5, 13), (19, 13), (19, 22), (-1.5, 22)]
    data = dxf(lambda m: lines(m, *corners, closed=True))
    assert areas(find_loops(read_source(data, "x.dxf"))) == pytest.approx(
        _gdal_areas(data, tmp_path), rel=1e-12
    )

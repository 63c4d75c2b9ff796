"""A drawing as a plan with typed coordinates: what it measures, and that a person can read it."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest
from foreign.made import dxf
from hypothesis import given
from hypothesis import strategies as st

import floorplan
from floorplan.geometry.rings import Ring
from floorplan.plan.convert import conversion_notes, converted
from floorplan.plan.from_drawing import resolve
from floorplan.plan.model import DxfSource
from floorplan.plan.typed_lengths import ROUND_M, typed
from floorplan.plan.writer import write_plan
from floorplan.system.reader import load_system
from floorplan.units.factors import FOOT_M, INCH_M, SQFT_M2
from floorplan.units.length import UnitStyle
from floorplan.units.reading import read_length

OUTDOORS = load_system("outdoor-full-flake")


@pytest.mark.parametrize(
    ("length_m", "style", "text"),
    [
        (12.5 * FOOT_M, UnitStyle.FT_IN, "12'-6\""),
        (-2.5 * FOOT_M, UnitStyle.FT_IN, "-2'-6\""),
        (0.25 * INCH_M, UnitStyle.FT_IN, '1/4"'),
        (0.0, UnitStyle.FT_IN, "0"),
        (12.1 * FOOT_M, UnitStyle.FT_IN, "12.1'"),
        (3.0 * FOOT_M, UnitStyle.FT, "3"),
        (3.81, UnitStyle.M, "3.81"),
        (3.81, UnitStyle.MM, "3810"),
        (3.81, UnitStyle.CM, "381"),
    ],
)
def test_length_as_typed(length_m: float, style: UnitStyle, text: str) -> None:
    """Fractions of an inch where they fit, decimals elsewhere."""
    assert typed(length_m, style).text == text


@given(st.floats(-500.0, 500.0), st.sampled_from(list(UnitStyle)))
def test_typed_length_reads_back(length_m: float, style: UnitStyle) -> None:
    """What is written reads as the value kept beside it, a thousandth of a millimetre off at most."""
    length = typed(length_m, style)
    assert length.m == pytest.approx(length_m, abs=ROUND_M)
    assert read_length(length.text, style).m == pytest.approx(length.m, abs=1e-12)


def _drawn(tmp_path: Path, draw: Any, *, units: int = 2, **asked: Any) -> Any:
    path = tmp_path / "slab.dxf"
    path.write_bytes(dxf(draw, units=units))
    return resolve(DxfSource(file=path, name="slab.dxf", **asked))


def _patio(model: Any) -> None:
    rows = [(100, 50, 0), (131.5, 50, 0), (131.5, 63, 0), (119, 63, 0), (119, 72, 6 / 20.5), (98.5, 72, 0)]
    model.add_lwpolyline(rows, format="xyb", close=True)
    model.add_circle((117.6, 70.9), 0.5)
    model.add_lwpolyline(
        [(110, 55, 0), (111, 54.5, 0), (112, 56, 0.3), (110, 57, 0)], format="xyb", close=True
    )
    model.add_line((106.5, 49), (106.5, 80), dxfattribs={"layer": "CUT"})


@pytest.mark.parametrize("units", [UnitStyle.FT_IN, UnitStyle.FT, UnitStyle.M, UnitStyle.MM])
def test_converted_plan_measures_as_the_drawing(tmp_path: Path, units: UnitStyle) -> None:
    """Written and read again, the plan has the drawing's areas, arcs and joints, in any units."""
    drawn = _drawn(tmp_path, _patio, joints=("CUT",), cutout_kind="post")
    text = write_plan(
        converted([drawn], title="Patio", units=units, system=OUTDOORS), conversion_notes([drawn], "slab.dxf")
    )
    slab = floorplan.takeoff(floorplan.read(text)).slabs[0]
    # The arc's segment: R²(θ - sin θ)/2 = 41.69; shoelace 597.00 (trade brief, worked estimate A).
    assert slab.gross_area_m2 / SQFT_M2 == pytest.approx(638.694, abs=0.001)
    assert slab.cutouts[0].area_m2 / SQFT_M2 == pytest.approx(math.pi / 4.0, rel=1e-6)
    assert slab.joint_length_m / FOOT_M == pytest.approx(24.87, abs=0.01)
    assert {edge.kind for edge in slab.edges} == {"unknown", "post"}
    assert min(corner.x_m for corner in slab.corners) == pytest.approx(0.0)


@pytest.mark.parametrize("units", list(UnitStyle))
def test_arcs_that_stand_in_or_turn_far(tmp_path: Path, units: UnitStyle) -> None:
    """Arcs into the floor, and arcs past a half circle, come back in every unit."""
    rows = [(0, 0, 0), (20, 0, -0.2), (20, 15, 0), (12, 15, 1.3), (8, 15, 0), (0, 15, -0.05)]
    drawn = _drawn(tmp_path, lambda m: m.add_lwpolyline(rows, format="xyb", close=True))
    text = write_plan(converted([drawn], title="Bay", units=units, system=OUTDOORS))
    slab = floorplan.takeoff(floorplan.read(text)).slabs[0]
    ring = Ring([(x, y) for x, y, _ in rows], [b for _, _, b in rows])
    assert slab.gross_area_m2 / SQFT_M2 == pytest.approx(ring.area_m2, rel=1e-6)
    assert slab.perimeter_m / FOOT_M == pytest.approx(ring.perimeter_m, rel=1e-6)


def test_converted_plan_explains_itself(tmp_path: Path) -> None:
    """The head says where the plan came from, what to fill in and what to look at."""
    drawn = _drawn(tmp_path, _patio)
    plan = converted([drawn], title="Patio", units=UnitStyle.FT_IN, system=OUTDOORS)
    text = write_plan(plan, conversion_notes([drawn], "slab.dxf", system=OUTDOORS))
    head = text[: text.index("[[slab]]")]
    assert "# From slab.dxf; unit: feet" in head
    assert "unknown (6 of them)" in head
    assert "wall, siding, open" in head
    assert "# Choose the coating system: the drawing does not say, outdoor-full-flake is taken." in head
    assert "garage-full-flake" in head
    assert "Choose" not in "".join(conversion_notes([drawn], "slab.dxf"))
    assert "# Look at: 1 line bound nothing" in head
    assert "arc rise 3'-0\" out" in text


def test_two_slabs_of_one_name(tmp_path: Path) -> None:
    """Slabs without a text are numbered; a name that comes twice is told apart."""
    drawn = _drawn(tmp_path, _patio)
    plan = converted([drawn, drawn], title="Patio", units=UnitStyle.M, system=OUTDOORS)
    assert [slab.name for slab in plan.slabs] == ["Slab 1", "Slab 2"]

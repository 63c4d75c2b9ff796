"""Real DXF files with figures agreed by two other readers (GDAL with GEOS, and a separate script)."""

from __future__ import annotations

import tomllib
from typing import Any

import numpy as np
import pytest
from outside import DATA

from floorplan.errors import DrawingFileError
from floorplan.foreign.drawing import Drawing, find_loops
from floorplan.foreign.drawing_units import UNITS
from floorplan.foreign.layers import picked
from floorplan.foreign.model import Source
from floorplan.foreign.reader import load_source

GOLDENS = tomllib.loads((DATA / "dxf" / "golden.toml").read_text(encoding="utf-8"))["file"]


def _source(golden: dict[str, Any]) -> Source:
    return load_source(DATA / "dxf" / golden["file"])


def _drawing(golden: dict[str, Any]) -> Drawing:
    source = _source(golden)
    layers = picked(source, ", ".join(golden["layers"]), "outline") if "layers" in golden else None
    return find_loops(source, layers=layers, snap=golden.get("snap", 0.0))


@pytest.mark.parametrize("golden", GOLDENS, ids=lambda g: g["file"])
def test_golden_figures(golden: dict[str, Any]) -> None:
    """Area, perimeter, cut-outs and islands of the largest outline agree within the stated tolerance."""
    drawing, tolerance = _drawing(golden), golden["tolerance"]
    area, round_ = drawing.loops.signed_areas(), drawing.loops.perimeters()
    outline = drawing.outlines()[0]
    holes = drawing.inside(outline)
    islands = [island for hole in holes for island in drawing.inside(hole)]
    assert area[outline] == pytest.approx(golden["area"], rel=tolerance)
    assert round_[outline] == pytest.approx(golden["perimeter"], rel=tolerance)
    assert len(holes) == golden["holes"]
    assert area[holes].sum() == pytest.approx(golden["hole_area"], rel=tolerance)
    assert round_[holes].sum() == pytest.approx(golden["hole_perimeter"], rel=tolerance)
    assert len(islands) == golden.get("islands", 0)
    assert area[islands].sum() == pytest.approx(golden.get("island_area", 0.0), rel=tolerance)
    # The bounds are given to nine digits.
    box = drawing.loops.boxes()[outline]
    assert np.abs(box - golden["bounds"]).max() <= max(1e-6, 1e-8 * np.abs(golden["bounds"]).max())


@pytest.mark.parametrize("golden", GOLDENS, ids=lambda g: g["file"])
def test_golden_count_of_outlines(golden: dict[str, Any]) -> None:
    """As many closed regions are found as the other readers found.

    The reference joins regions with a shared edge; we leave each closed polyline its own. In
    mirrored-blocks one stands on the sides of another, in binary-r12 an open arc stands on a side of a
    square.
    """
    drawing = _drawing(golden)
    more = 1 if golden["file"] in ("mirrored-blocks.dxf", "binary-r12.dxf") else 0
    assert int((~drawing.nest.repeated).sum()) == golden["separate_outlines"] + more


@pytest.mark.parametrize("golden", GOLDENS, ids=lambda g: g["file"])
def test_golden_unit(golden: dict[str, Any]) -> None:
    """The unit is taken from the file where it says one, and from nowhere else."""
    assert _source(golden).unit_m == UNITS.get(golden["units_in_file"])


def test_broken_outline_stays_open_below_its_gap() -> None:
    """A gap of 0.04 is not closed by a snap of 0.03; it is told with both of its ends."""
    source = load_source(DATA / "dxf" / "broken-pair.dxf")
    drawing = find_loops(source, snap=0.03)
    assert drawing.outlines() == []
    widths = {round(gap.width, 9): {gap.start, gap.end} for gap in drawing.joined.left_gaps}
    assert widths[0.04] == {(2.0, 4.0), (1.96, 4.0)}


def test_broken_outline_closes_to_the_drawn_rectangle() -> None:
    """Closing the gap runs the top on to the side, so that 2 x 4 is 8 exactly, and says so."""
    drawing = find_loops(load_source(DATA / "dxf" / "broken-pair.dxf"), snap=0.05)
    assert drawing.ring(drawing.outlines()[0]).area_m2 == pytest.approx(8.0, abs=1e-12)
    assert [round(gap.width, 9) for gap in drawing.joined.gaps] == [0.04]


def test_label_names_the_ring_it_stands_in() -> None:
    """The text inside the cut-out names the cut-out, not the outline around it."""
    drawing = find_loops(load_source(DATA / "dxf" / "outline-hatch-label.dxf"))
    outline = drawing.outlines()[0]
    (hole,) = drawing.inside(outline)
    assert drawing.names[hole].startswith("TEXT TEXT")
    assert drawing.names[outline] == ""


def test_hatch_and_dimensions_are_left_out_and_counted() -> None:
    """What is no line work is listed with kind, layer, count and reason."""
    source = load_source(DATA / "dxf" / "layer-plate.dxf")
    assert [(left.kind, left.layer, left.count) for left in source.left_out] == [("DIMENSION", "dim", 4)]
    assert "no edge" in source.left_out[0].why


def test_contradicting_header_is_told() -> None:
    """$INSUNITS wins over $MEASUREMENT, with a warning."""
    source = load_source(DATA / "dxf" / "old-polylines.dxf")
    assert source.unit_m == 0.001
    assert [notice.code for notice in source.notices] == ["drawing-units-contradict"]
    assert "read as millimetres" in source.notices[0].text


def test_missing_file_is_said_in_words(tmp_path: Any) -> None:
    """A file that is not there is a fault, not a traceback."""
    with pytest.raises(DrawingFileError) as caught:
        load_source(tmp_path / "nowhere.dxf")
    assert caught.value.faults[0].code == "file-missing"

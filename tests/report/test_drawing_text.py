"""What `look` says of a drawing."""

from __future__ import annotations

import json
from typing import Any

from foreign.made import lines, source_of
from outside import DATA

from floorplan.foreign.model import Source
from floorplan.foreign.reader import load_source
from floorplan.plan.drawn_look import look_at
from floorplan.report.drawing_text import drawing_json, drawing_text
from floorplan.units.length import Length


def _text(source: Source, *, corners: bool = False, **how: Any) -> str:
    looked = look_at(source, **how)
    return drawing_text(looked.drawing, looked.unit_m, looked.figures, corners=corners)


def _two(model: Any) -> None:
    square = [(0, 0), (20, 0), (20, 10), (0, 10)]
    model.add_lwpolyline(square, close=True, dxfattribs={"layer": "SLAB"})
    model.add_circle((5, 5), 1, dxfattribs={"layer": "POST"})
    model.add_text("Patio").set_placement((10, 8))
    model.add_line((10, 0), (10, 10), dxfattribs={"layer": "CUT"})
    model.add_point((1, 1))


def test_layers_unit_and_regions() -> None:
    """Layers with their counts, the unit, each region with size, layer, name, cut-outs; what is left out."""
    text = _text(source_of(_two, units=2))
    assert "unit: feet ($INSUNITS 2)" in text
    assert "SLAB       1       1" in text
    assert '1  200.0 sq ft  20\'-0" x 10\'-0"  on SLAB  "Patio"  less 1: 3.1 sq ft' in text
    assert "lines that bound nothing (joints?): 1 on CUT" in text
    assert "1  POINT  on 0  a point encloses nothing" in text


def test_unknown_unit_shows_every_size() -> None:
    """Without a unit, sizes stand in drawing units and in every unit to choose from."""
    text = _text(source_of(_two, units=0))
    assert "the file does not say" in text
    assert "200 square units" in text
    assert "ft  20'-0\" x 10'-0\", 200.0 sq ft  <- likely" in text
    assert "mm  0.020 m x 0.010 m, 0.00 m²" in text


def test_stated_unit_and_corners() -> None:
    """A stated unit is used and said; corners are listed with their letters."""
    text = _text(source_of(_two, units=0), units="m", corners=True)
    assert "200.00 m²" in text
    assert "A  0, 0    to next 20.000 m" in text
    assert "D  0, 10   to next 10.000 m" in text


def test_nothing_that_closes() -> None:
    """The nearest free ends are listed where nothing closes."""
    text = _text(load_source(DATA / "dxf" / "broken-pair.dxf"))
    assert "nothing closes: no floor to measure" in text
    assert "0.04 at 1.96, 4 and 2, 4" in text


def test_small_drawing_is_not_snapped_shut() -> None:
    """Unasked, gaps of a quarter inch are closed on a patio, not on a bracket; asked, they are."""
    source = source_of(lambda m: lines(m, (0, 0), (10, 0), (10, 5), (0, 5), (0, 0.2)), units=1)
    assert "nothing closes" in _text(source)
    assert "gaps closed" in _text(source, snap=Length(0.25 * 0.0254))


def test_region_that_crosses_itself_is_marked() -> None:
    """A bow-tie is marked, and a hatch is shown where nothing else closes."""
    bow = source_of(lambda m: m.add_lwpolyline([(0, 0), (4, 4), (4, 0), (0, 3)], close=True))
    assert "crosses itself" in _text(bow)
    hatch = source_of(
        lambda m: m.add_hatch().paths.add_polyline_path([(0, 0), (9, 0), (9, 9)], is_closed=True)
    )
    assert "40.50 m²" in _text(hatch)


def test_curves_say_how_near_they_are_read() -> None:
    """Ellipses and splines are read to a stated tolerance."""
    text = _text(source_of(lambda m: m.add_ellipse((0, 0), major_axis=(5, 0), ratio=0.5)))
    assert "1 ELLIPSE: read as chains of arcs within 1/50,000 of their size" in text


def test_document_is_json() -> None:
    """The same as one document, with areas in drawing units and in square metres."""
    looked = look_at(source_of(_two, units=2))
    document = json.loads(json.dumps(drawing_json(looked.drawing, looked.unit_m)))
    assert document["made_by"] == "floorplan"
    (region,) = document["outlines"]
    assert region["area"] == 200.0
    assert region["area_m2"] == 200.0 * 0.3048**2
    assert region["cutouts"][0]["layer"] == "POST"
    assert {"0", "SLAB", "POST", "CUT"} <= {layer["name"] for layer in document["layers"]}

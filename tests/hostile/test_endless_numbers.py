"""Numbers beyond all drawings in files from strangers: left out and told, without a library's warning."""

from __future__ import annotations

import warnings

import pytest
from foreign.made import dxf

from floorplan.drawing.logo import logo_marks
from floorplan.errors import FloorplanError, SheetError
from floorplan.foreign.drawing import find_loops
from floorplan.foreign.reader import read_source

SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" viewBox="0 0 200 100">{}</svg>'
SHAPES = [
    '<g transform="rotate(1e999)"><rect width="9" height="4"/></g>',
    '<g transform="skewX(1e999) skewY(-1e400)"><rect width="9" height="4"/></g>',
    '<g transform="scale(1e300) scale(1e300)"><circle r="4"/></g>',
    '<path d="M0 0 h100 a5 -1e308 0 0 1 3 9 z"/>',
    '<path d="M1 1 C1 2 3 1e308 5 6 Z"/>',
    '<polygon points="1,1 4,1e400 9,2"/>',
    '<rect width="1e200" height="1e200"/>',
    '<circle r="1e308"/>',
]


@pytest.mark.parametrize("shape", SHAPES)
def test_endless_shape_is_left_out(shape: str) -> None:
    """The other shapes of the drawing are there, and the endless one is none of them."""
    text = SVG.format(shape + '<rect width="30" height="20"/>')
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        drawing = find_loops(read_source(text.encode(), "slab.svg", paper_scale=48.0))
    areas = [abs(drawing.ring(k).area_m2) for k in drawing.outlines()]
    assert 600.0 in [round(area, 6) for area in areas]
    assert all(area < 1e30 for area in areas)


@pytest.mark.parametrize("shape", SHAPES)
def test_endless_shape_makes_no_logo(shape: str) -> None:
    """A logo with such a shape is refused in words, or drawn in its box."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        try:
            assert logo_marks(SVG.format(shape).encode(), 0.0, 0.0, 40.0, 15.0)
        except SheetError as error:
            assert error.faults[0].code == "logo-unusable"


@pytest.mark.parametrize("code", [b"1e999", b"nan", b"-inf", b"1e308"])
def test_block_turned_without_end_is_left_out(code: bytes) -> None:
    """A block with an endless turn has no place; the outline beside it is read."""

    def draw(model: object) -> None:
        block = model.doc.blocks.new("PAD")  # type: ignore[attr-defined]
        block.add_circle((0, 0), 1)
        model.add_blockref("PAD", (0, 0), dxfattribs={"rotation": 77.125})  # type: ignore[attr-defined]
        model.add_lwpolyline([(0, 0), (9, 0), (9, 8)], close=True)  # type: ignore[attr-defined]

    data = dxf(draw).replace(b"77.125", code)
    try:
        drawing = find_loops(read_source(data, "slab.dxf", damaged=True))
    except FloorplanError as error:
        pytest.fail(str(error))
    assert 36.0 in [round(drawing.ring(k).area_m2, 6) for k in drawing.outlines()]


@pytest.mark.parametrize(
    "text",
    [
        "CURVEPOLYGON (CIRCULARSTRING (0 0, 5 1e999, 4 0, 2 -2, 0 0))",
        "CURVEPOLYGON (CIRCULARSTRING (0 0, 1e308 -1e308, 4 0, 2 -2, 0 0))",
        "POLYGON ((0 0, 1e999 0, 4 4, 0 0))",
        '{"type": "Polygon", "coordinates": [[[0, 0], [1e999, 0], [4, 4], [0, 0]]]}',
        "name,x,y\nA,0,0\nB,1e999,0\nC,4,4\n",
    ],
)
def test_other_formats_with_endless_numbers(text: str) -> None:
    """They are read without a warning of a library, or refused in words."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        try:
            drawing = find_loops(read_source(text.encode(), "slab.wkt"))
        except FloorplanError as error:
            assert str(error)
            return
    assert all(drawing.ring(k).area_m2 < 1e30 for k in drawing.outlines())

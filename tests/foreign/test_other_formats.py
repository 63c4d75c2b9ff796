"""GeoJSON, WKT, lists of points and SVG: areas by closed forms, units, and what is refused."""

from __future__ import annotations

import functools
import json
import math

import numpy as np
import pytest
import shapely
from foreign.made import areas
from outside import row
from svgwrite import Drawing as SvgDrawing

from floorplan.errors import DrawingFileError
from floorplan.foreign.drawing import Drawing, find_loops
from floorplan.foreign.reader import read_source
from floorplan.foreign.svg_transforms import matrix_of
from floorplan.units.factors import FOOT_M, INCH_MM

HALF_RING = [[[0, 0], [8, 0], [8, 6], [0, 6], [0, 0]], [[1, 1], [2, 1], [2, 2], [1, 2], [1, 1]]]


def _drawing(text: str | bytes, name: str = "slab") -> Drawing:
    data = text.encode() if isinstance(text, str) else text
    return find_loops(read_source(data, name))


def _shift(x: float, y: float) -> np.ndarray:
    """A shift as a matrix of the plane."""
    return np.array([[1.0, 0.0, x], [0.0, 1.0, y], [0.0, 0.0, 1.0]])


def _linear(a: float, b: float, c: float, d: float) -> np.ndarray:
    """Rows (a, b) and (c, d) as a matrix of the plane."""
    return np.array([[a, b, 0.0], [c, d, 0.0], [0.0, 0.0, 1.0]], dtype=float)


def _refused(text: str, name: str = "slab") -> str:
    with pytest.raises(DrawingFileError) as caught:
        _drawing(text, name)
    return caught.value.faults[0].code


def _feature(geometry: dict, **properties: object) -> dict:
    return {"type": "Feature", "properties": properties, "geometry": geometry}


def test_geojson_polygon_with_hole_and_name() -> None:
    """A polygon with a hole: 48 less 1, its name and its layer from the properties."""
    polygon = {"type": "Polygon", "coordinates": HALF_RING}
    crs = {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::32633"}}
    text = {
        "type": "FeatureCollection",
        "crs": crs,
        "features": [_feature(polygon, name="Patio", layer="SLAB")],
    }
    drawing = _drawing(json.dumps(text))
    outline = drawing.outlines()[0]
    assert areas(drawing) == [48.0, 1.0]
    assert drawing.inside(outline) != []
    assert drawing.names[outline] == "Patio"
    assert drawing.layer_name(outline) == "SLAB"
    assert drawing.source.unit_m == 1.0


def test_geojson_kinds() -> None:
    """Multi-polygons, lines, collections; points are left out and counted."""
    shapes = [
        {"type": "MultiPolygon", "coordinates": [HALF_RING[:1], [[[20, 0], [21, 0], [21, 1], [20, 0]]]]},
        {"type": "LineString", "coordinates": [[0, 20], [4, 20], [4, 23], [0, 20]]},
        {"type": "Point", "coordinates": [1, 2]},
    ]
    drawing = _drawing(json.dumps({"type": "GeometryCollection", "geometries": shapes}))
    assert areas(drawing) == [48.0, 6.0, 0.5]
    assert [(left.kind, left.count) for left in drawing.source.left_out] == [("Point", 1)]
    assert drawing.source.unit_m is None


@pytest.mark.parametrize(
    ("crs", "code"),
    [
        ("urn:ogc:def:crs:OGC:1.3:CRS84", "drawing-degrees"),
        ("EPSG:4326", "drawing-degrees"),
        ("EPSG:3857", "drawing-web-map"),
    ],
)
def test_geojson_degrees_and_web_maps_are_refused(crs: str, code: str) -> None:
    """Longitude and latitude, and stretched web maps, are refused with the reason."""
    text = {"type": "Polygon", "coordinates": HALF_RING, "crs": {"properties": {"name": crs}}}
    assert _refused(json.dumps(text)) == code


def test_geojson_of_a_slab_in_degrees_is_recognised() -> None:
    """Without a stated system, an extent of a ten-thousandth within 180 by 90 is degrees."""
    ring = [[13.4050, 52.5200], [13.4052, 52.5200], [13.4052, 52.5201], [13.4050, 52.5200]]
    assert _refused(json.dumps({"type": "Polygon", "coordinates": [ring]})) == "drawing-degrees"


@pytest.mark.parametrize("text", ["{", '{"a": 1}', '{"type": "Polygon"', "[1, 2"])
def test_geojson_that_is_none(text: str) -> None:
    """Broken JSON, and JSON that is no GeoJSON, in words."""
    assert _refused(text) in ("drawing-not-json", "drawing-not-geojson")


@pytest.mark.parametrize(
    "text",
    [
        "POLYGON ((0 0, 8 0, 8 6, 0 6, 0 0), (1 1, 2 1, 2 2, 1 2, 1 1))",
        "MULTIPOLYGON (((0 0, 8 0, 8 6, 0 6), (1 1, 2 1, 2 2)), ((20 0, 21 0, 21 1)))",
        "LINESTRING Z (0 0 5, 8 0 5, 8 6 5, 0 0 5)",
        "GEOMETRYCOLLECTION (POLYGON ((0 0, 4 0, 4 4)), POINT (1 1))",
        "SRID=32633; POLYGON((0 0,1e1 0,1e1 1e1,0 0))",
    ],
)
def test_wkt_agrees_with_reference(text: str) -> None:
    """Straight geometries have the areas that shapely reads out of them."""
    plain = text.partition(";")[2] if text.startswith("SRID") else text
    ours = areas(_drawing(text))
    closed = plain.replace(" Z", "")
    try:
        shape = shapely.from_wkt(closed)
    except shapely.errors.GEOSException:
        shape = None  # rings without a repeated last point, which we take and shapely does not
    if shape is None:
        assert ours
        return
    found = []
    for part in shapely.get_parts(shapely.get_parts(shape)):
        if part.geom_type == "Polygon":
            found += [shapely.Polygon(ring).area for ring in (part.exterior, *part.interiors)]
        elif part.geom_type == "LineString":
            found.append(shapely.Polygon(part).area)
    assert ours == pytest.approx(sorted(found, reverse=True))


def test_wkt_circular_arcs_stay_arcs() -> None:
    """A whole circle of radius 3, and a half disc on a 4 x 2 rectangle, to the last digit."""
    circle = _drawing("CURVEPOLYGON (CIRCULARSTRING (3 0, -3 0, 3 0))")
    assert areas(circle) == pytest.approx([9.0 * math.pi], rel=1e-12)
    text = "CURVEPOLYGON (COMPOUNDCURVE ((0 0, 4 0), CIRCULARSTRING (4 0, 5 1, 4 2), (4 2, 0 2, 0 0)))"
    assert areas(_drawing(text)) == pytest.approx([8.0 + math.pi / 2.0], rel=1e-12)


@pytest.mark.parametrize("text", ["POLYGON ((0 0, 1", "POLYGON 0 0", "CIRCLE (1 2)", "POLYGON ((0 0, a b))"])
def test_wkt_that_cannot_be_read(text: str) -> None:
    """A fault with the line and what is missing."""
    assert _refused(f"POINT (1 1);\n{text}") == "drawing-not-wkt"


def test_points_with_header_names_and_rings() -> None:
    """Columns by header in any order, rings by a column; area by coordinates (row A2-4 without its arc)."""
    text = "ring,name,y,x\nslab,A,0,0\nslab,B,0,8\nslab,C,6,8\nslab,D,6,0\npad,E,1,1\npad,F,1,2\npad,G,2,2\n"
    drawing = _drawing(text, "list.csv")
    assert areas(drawing) == [48.0, 0.5]
    assert drawing.layer_name(drawing.outlines()[0]) == "slab"


@pytest.mark.parametrize("sign", [",", ";", "\t", " "])
def test_points_without_header(sign: str) -> None:
    """Two columns of numbers, separated by any usual sign; an empty line begins another ring."""
    rows = ["0 0", "8 0", "8 6", "0 6", "", "1 1", "2 1", "2 2"]
    drawing = _drawing("\n".join(row_.replace(" ", sign) for row_ in rows) + "\n", "list.txt")
    assert areas(drawing) == [48.0, 0.5]
    assert drawing.source.unit_m is None


def test_points_in_feet_and_inches() -> None:
    """Cells in feet and inches are lengths: 12'-6" by 9' is 112.5 sq ft."""
    text = "A, 0, 0\nB, 12' 6\", 0\nC, 12' 6\", 9'\nD, 0, 9'\n"
    drawing = _drawing(text, "list.csv")
    assert areas(drawing) == pytest.approx([112.5 * FOOT_M**2])
    assert drawing.source.unit_m == 1.0


def test_points_with_their_unit_in_the_header() -> None:
    """`x [mm]` says the unit."""
    drawing = _drawing("name;x [mm];y [mm]\nA;0;0\nB;8000;0\nC;8000;6000\n", "list.csv")
    assert drawing.source.unit_m == 0.001


def test_points_of_a_total_station() -> None:
    """Point, northing, easting, height: the header decides which is x."""
    drawing = _drawing("P,N,E,Z\n1,1000,2000,3\n2,1000,2010,3\n3,1008,2000,3\n", "survey.csv")
    assert areas(drawing) == pytest.approx([40.0])
    assert drawing.ring(0).bounds() == pytest.approx((2000.0, 1000.0, 2010.0, 1008.0))


def test_points_that_cannot_be_read() -> None:
    """Every bad row is told with its line, all together."""
    with pytest.raises(DrawingFileError) as caught:
        _drawing("x,y\n0,0\n8,zero\n8,6\nnine,6\n", "list.csv")
    assert [fault.place.line for fault in caught.value.faults if fault.place] == [3, 5]
    assert _refused("lat,lon\n1,2\n3,4\n5,6\n", "list.csv") == "drawing-degrees"
    assert _refused("x,y\n0,0\n1,1\n", "list.csv") == "drawing-no-lines"


def test_svg_shapes_made_by_a_library() -> None:
    """Rectangle, circle, ellipse, polygon and a path with an arc, as svgwrite writes them."""
    made = SvgDrawing(size=("200mm", "100mm"), viewBox="0 0 200 100", profile="full")
    made.add(made.rect((0, 0), (10, 6)))
    made.add(made.circle((50, 50), 4))
    made.add(made.ellipse((100, 50), (8, 3)))
    made.add(made.polygon([(150, 0), (158, 0), (158, 6)]))
    path = made.path("M 0 50 h 10 a 3 3 0 0 1 0 6 h -10 z")
    made.add(path)
    ours = areas(_drawing(made.tostring()))
    exact = [60.0, 16.0 * math.pi, 24.0 * math.pi, 24.0, 60.0 + 4.5 * math.pi]
    assert ours == pytest.approx(sorted(exact, reverse=True), rel=2e-5)


def test_svg_curves_agree_with_closed_forms() -> None:
    """A quadratic over a chord w with its control at height h encloses w h / 3 x ... = (2/3)(h/2) w."""
    drawing = _drawing('<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0 Q6 8 12 0 Z"/></svg>')
    # The curve rises to h / 2 = 4; a parabola encloses two thirds of its box: 2/3 x 12 x 4.
    assert areas(drawing) == pytest.approx([32.0], rel=1e-5)


@pytest.mark.parametrize(
    ("smooth", "plain"),
    [
        ("M0 0Q6 8 12 0T24 0V-20H0Z", "M0 0Q6 8 12 0Q18 -8 24 0V-20H0Z"),
        ("m0 0q6 8 12 0t12 0v-20h-24z", "M0 0Q6 8 12 0Q18 -8 24 0V-20H0Z"),
        ("M0 0C2 6 6 6 8 0S14 -6 16 0V-20H0Z", "M0 0C2 6 6 6 8 0C10 -6 14 -6 16 0V-20H0Z"),
        ("m0 0c2 6 6 6 8 0s6 -6 8 0v-20h-16z", "M0 0C2 6 6 6 8 0C10 -6 14 -6 16 0V-20H0Z"),
        # After anything but a curve of its kind the missing control point is where the pen stands.
        ("M0 0H4S8 6 8 0V-9H0Z", "M0 0H4C4 0 8 6 8 0V-9H0Z"),
        ("M0 0Q2 4 4 0S8 6 8 0V-9H0Z", "M0 0Q2 4 4 0C4 0 8 6 8 0V-9H0Z"),
        ("M0 0H4T8 0V-9H0Z", "M0 0H8V-9H0Z"),
    ],
)
def test_svg_smooth_curves_mirror_the_last_control_point(smooth: str, plain: str) -> None:
    """T and S are Q and C with their first control point mirrored about the pen (SVG 1.1, 8.3.6, 8.3.7)."""
    one, other = (
        areas(_drawing(f'<svg xmlns="http://www.w3.org/2000/svg"><path d="{d}"/></svg>'))
        for d in (smooth, plain)
    )
    assert one == pytest.approx(other, rel=1e-9)
    if "12 0" in plain:
        # The second arch is the first turned about their common end: nothing is won or lost.
        assert one == pytest.approx([480.0], rel=1e-5)


def test_svg_transforms_and_compact_flags() -> None:
    """Nested transforms multiply areas by their scale squared; flags of arcs may be written together."""
    text = (
        '<svg xmlns="http://www.w3.org/2000/svg"><g transform="translate(5,5) rotate(30) scale(2)">'
        '<path d="M0 0h3v3H0z"/><path d="M10 10a2 2 0 1140 0 2 2 0 11-4 0z"/></g></svg>'
    )
    drawing = _drawing(text)
    assert 36.0 in [pytest.approx(area, rel=1e-9) for area in areas(drawing)]


@pytest.mark.parametrize(
    ("words", "matrices"),
    [
        ("translate(3)", [_shift(3, 0)]),
        ("translate(3, -4)", [_shift(3, -4)]),
        ("scale(2)", [_linear(2, 0, 0, 2)]),
        ("scale(2 3)", [_linear(2, 0, 0, 3)]),
        ("rotate(90)", [_linear(0, -1, 1, 0)]),
        # Turned about a point: there, turned, and back again.
        ("rotate(90, 4, 5)", [_shift(4, 5), _linear(0, -1, 1, 0), _shift(-4, -5)]),
        ("rotate(90 4)", [_linear(0, -1, 1, 0)]),
        ("skewX(45)", [_linear(1, 1, 0, 1)]),
        ("skewY(-45)", [_linear(1, 0, -1, 1)]),
        ("matrix(1 2 3 4 5 6)", [_shift(5, 6), _linear(1, 3, 2, 4)]),
        ("translate(1,2) rotate(180) scale(3)", [_shift(1, 2), _linear(-1, 0, 0, -1), _linear(3, 0, 0, 3)]),
        ("rotate(90) none(3) translate()", [_linear(0, -1, 1, 0)]),
    ],
)
def test_svg_transforms_are_the_matrices_of_the_standard(words: str, matrices: list[np.ndarray]) -> None:
    """SVG 1.1, 7.6, with sines and cosines that are 0, 1 or -1; the matrices are applied from the right."""
    wanted = functools.reduce(np.matmul, matrices)
    placed = matrix_of(words)
    assert placed[:2, [0, 1, 3]] == pytest.approx(wanted[:2], abs=1e-12)


@pytest.mark.parametrize("turn", [0, 35, 120])
@pytest.mark.parametrize("radii", [(5.0, 5.0), (6.0, 2.5), (2.0, 7.0)])
@pytest.mark.parametrize("sweep", [70, -70, 170, -200, 300, -340])
@pytest.mark.parametrize("start", [0, 100, 250])
def test_svg_arcs_agree_with_closed_forms(
    start: int, sweep: int, radii: tuple[float, float], turn: int
) -> None:
    """An arc and its chord enclose a b (t - sin t) / 2, and every corner stands on the ellipse.

    The path is written from the centre; the reader has to find it again from the ends (SVG 1.1, F.6.5).
    """
    (a, b), cos, sin = radii, math.cos(math.radians(turn)), math.sin(math.radians(turn))
    begin, t = math.radians(start), math.radians(sweep)

    def at(angle: float) -> tuple[float, float]:
        u, v = a * math.cos(angle), b * math.sin(angle)
        return 20.0 + cos * u - sin * v, 10.0 + sin * u + cos * v

    (x0, y0), (x1, y1) = at(begin), at(begin + t)
    flags = f"{int(abs(sweep) > 180)} {int(sweep > 0)}"
    path = f"M{x0!r} {y0!r}A{a} {b} {turn} {flags} {x1!r} {y1!r}Z"
    drawing = _drawing(f'<svg xmlns="http://www.w3.org/2000/svg"><path d="{path}"/></svg>')
    assert areas(drawing) == pytest.approx([0.5 * a * b * (abs(t) - math.sin(abs(t)))], rel=5e-5)
    x, y = drawing.ring(0).points.T
    # Our y runs up the sheet, the file's down.
    x, y = x - 20.0, -y - 10.0
    u, v = cos * x + sin * y, -sin * x + cos * y
    assert np.hypot(u / a, v / b) == pytest.approx(np.ones(len(x)), abs=1e-4)


def test_svg_arc_too_small_for_its_ends_grows() -> None:
    """Radii that do not reach are scaled up alike until they do (SVG 1.1, F.6.6): half of 10 by 5."""
    path = "M0 0A2 1 0 0 1 10 0Z"
    drawing = _drawing(f'<svg xmlns="http://www.w3.org/2000/svg"><path d="{path}"/></svg>')
    assert areas(drawing) == pytest.approx([0.5 * math.pi * 5.0 * 2.5], rel=5e-5)


def test_svg_scale_of_its_paper() -> None:
    """1:48 on paper in millimetres: a user unit of 1 mm is 48 mm; a stated scale wins over the file's."""
    text = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm" viewBox="0 0 200 100"'
        ' data-scale="48"><rect width="100" height="60"/></svg>'
    )
    assert _drawing(text).source.unit_m == pytest.approx(0.048)
    assert read_source(text.encode(), "x.svg", paper_scale=50.0).unit_m == pytest.approx(0.05)
    bare = '<svg xmlns="http://www.w3.org/2000/svg"><rect width="96" height="96"/></svg>'
    assert read_source(bare.encode(), "x.svg", paper_scale=1.0).unit_m == pytest.approx(
        INCH_MM / 96.0 / 1000.0
    )


def test_svg_that_is_refused() -> None:
    """Entity declarations, other roots and broken XML are refused in words."""
    assert _refused('<!DOCTYPE svg [<!ENTITY a "b">]><svg>&a;</svg>') == "drawing-svg-entities"
    assert _refused("<html></html>") == "drawing-not-svg"
    assert _refused("<svg><g></svg>") == "drawing-not-svg"


def test_svg_hidden_parts_and_pictures_are_left_out() -> None:
    """What is not shown is not floor."""
    text = (
        '<svg xmlns="http://www.w3.org/2000/svg"><rect width="4" height="4"/>'
        '<g style="display:none"><rect width="9" height="9"/></g><image width="9" height="9"/>'
        '<text x="2" y="2">Porch</text></svg>'
    )
    drawing = _drawing(text)
    assert areas(drawing) == [16.0]
    assert drawing.names == ("Porch",)
    assert {left.kind for left in drawing.source.left_out} == {"g", "image"}


def test_lot_with_a_round_corner_in_every_format() -> None:
    """The lot of row I6 has one area as WKT, SVG and points with a bulge."""
    case = row("i_dxf", "I6")["expected"]
    wkt = (
        "CURVEPOLYGON (COMPOUNDCURVE ((0 0, 120 0, 120 40), CIRCULARSTRING (120 40,"
        f" {100 + 20 * math.sqrt(0.5)!r} {40 + 20 * math.sqrt(0.5)!r}, 100 60), (100 60, 0 60, 0 0)))"
    )
    svg = '<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0H120V40A20 20 0 0 1 100 60H0Z"/></svg>'
    points = "x,y,bulge\n0,0,0\n120,0,0\n120,40,0.41421356237309503\n100,60,0\n0,60,0\n"
    for text, name in ((wkt, "a.wkt"), (svg, "a.svg"), (points, "a.csv")):
        ring = _drawing(text, name).ring(0)
        assert ring.area_m2 == pytest.approx(case["area"], rel=1e-12)
        assert ring.perimeter_m == pytest.approx(case["perimeter"], rel=1e-12)

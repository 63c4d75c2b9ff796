"""What each kind of entity encloses: rows I of the outside checks, closed forms, and real files' oddities."""

from __future__ import annotations

import math
from typing import Any

import pytest
from foreign.made import areas, drawing_of, dxf, entities, lines, source_of
from outside import row, rows

from floorplan.foreign.drawing import find_loops
from floorplan.foreign.reader import read_source
from floorplan.geometry import arcs

QUARTER = math.tan(math.pi / 8.0)


@pytest.mark.parametrize("case", rows("i_dxf", "I5"), ids=lambda r: r["id"])
def test_arc_from_bulge(case: dict[str, Any]) -> None:
    """Radius, angle, rise, length and segment of an arc from its bulge (rows I5)."""
    chord, bulge, told = case["inputs"]["chord"], case["inputs"]["bulge"], case["expected"]
    within = {"abs": case["tolerance"], "rel": 0.0}
    assert math.degrees(arcs.angle_rad(bulge)) == pytest.approx(told["angle_deg"], **within)
    assert arcs.radius_m(chord, bulge) == pytest.approx(told["radius"], **within)
    assert abs(arcs.rise_m(chord, bulge)) == pytest.approx(told["sagitta"], **within)
    assert arcs.length_m(chord, bulge) == pytest.approx(told["arc"], **within)
    assert arcs.segment_area_m2(chord, bulge) == pytest.approx(told["segment_area_signed"], **within)


@pytest.mark.parametrize(
    "case", [row("i_dxf", id_) for id_ in ("I6", "I7", "I8", "I8b")], ids=lambda r: r["id"]
)
@pytest.mark.parametrize("backward", [False, True])
def test_polyline_with_bulges(case: dict[str, Any], backward: bool) -> None:
    """Area and perimeter of closed LWPOLYLINEs (rows I6 to I8), typed in either direction."""
    rows_ = [tuple(vertex) for vertex in case["inputs"]["vertices"]]
    if backward:
        corners = [(x, y) for x, y, _ in reversed(rows_)]
        bends = [-b for _, _, b in reversed(rows_)]
        rows_ = [(*corner, bend) for corner, bend in zip(corners, [*bends[1:], bends[0]], strict=True)]
    drawing = drawing_of(lambda m: m.add_lwpolyline(rows_, format="xyb", close=True))
    ring = drawing.ring(drawing.outlines()[0])
    assert ring.area_m2 == pytest.approx(case["expected"]["area"], abs=case["tolerance"])
    assert ring.perimeter_m == pytest.approx(case["expected"]["perimeter"], abs=case["tolerance"])
    assert ring.is_ccw


@pytest.mark.parametrize("version", ["R12", "R2010"])
def test_old_polyline_agrees_with_the_new(version: str) -> None:
    """POLYLINE with VERTEX entities gives what the same LWPOLYLINE gives."""
    vertices = row("i_dxf", "I6")["inputs"]["vertices"]
    drawing = drawing_of(lambda m: m.add_polyline2d(vertices, format="xyb", close=True), version=version)
    assert areas(drawing) == pytest.approx([row("i_dxf", "I6")["expected"]["area"]], abs=1e-9)


def test_repeated_first_vertex_and_closed_flag() -> None:
    """A zero-length closing side changes nothing (row I11)."""
    drawing = drawing_of(lambda m: m.add_lwpolyline([(0, 0), (4, 0), (4, 3), (0, 3), (0, 0)], close=True))
    assert areas(drawing) == [12.0]
    assert len(drawing.ring(0)) == 4


def test_open_polyline_whose_ends_meet() -> None:
    """A polyline without the closed flag is a ring when its ends are one point."""
    drawing = drawing_of(lambda m: m.add_lwpolyline([(0, 0), (4, 0), (4, 3), (0, 3), (0, 0)]))
    assert areas(drawing) == [12.0]


def test_circle_and_whole_arc() -> None:
    """A CIRCLE, and an ARC of equal angles, are pi r squared."""
    circle = drawing_of(lambda m: m.add_circle((5, 6), 2))
    whole = drawing_of(lambda m: m.add_arc((5, 6), 2, 30, 390))
    assert areas(circle) == pytest.approx([4.0 * math.pi], rel=1e-12)
    assert areas(whole) == pytest.approx([4.0 * math.pi], rel=1e-12)


@pytest.mark.parametrize("start", [0.0, 37.0, 200.0])
@pytest.mark.parametrize("sweep", [20.0, 90.0, 180.0, 181.0, 300.0, 359.0])
def test_arc_and_its_chord(start: float, sweep: float) -> None:
    """An ARC closed by a LINE is its circular segment, r²(θ - sin θ)/2."""
    ends = [(3 * math.cos(math.radians(a)), 3 * math.sin(math.radians(a))) for a in (start, start + sweep)]

    def draw(model: Any) -> None:
        model.add_arc((0, 0), 3, start, start + sweep)
        model.add_line(*ends)

    theta = math.radians(sweep)
    assert areas(drawing_of(draw)) == pytest.approx([4.5 * (theta - math.sin(theta))], rel=1e-9)


def test_ellipse_and_half_ellipse() -> None:
    """Whole: pi a b; half with its axis: half of that; the chain of arcs is within 2e-5."""
    whole = drawing_of(lambda m: m.add_ellipse((1, 2), major_axis=(3, 1), ratio=0.5))

    def half(model: Any) -> None:
        model.add_ellipse((0, 0), major_axis=(4, 0), ratio=0.5, start_param=0, end_param=math.pi)
        model.add_line((-4, 0), (4, 0))

    assert areas(whole) == pytest.approx([math.pi * 10.0 * 0.5], rel=2e-5)
    assert areas(drawing_of(half)) == pytest.approx([math.pi * 4.0 * 2.0 / 2.0], rel=2e-5)


def test_closed_spline() -> None:
    """A SPLINE round a unit circle (rational, closed) is pi; one by fit points closes as well."""
    h = math.sqrt(0.5)
    control = [(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1), (1, 0)]
    knots = [0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4]
    exact = drawing_of(
        lambda m: m.add_rational_spline(control, [1, h, 1, h, 1, h, 1, h, 1], degree=2, knots=knots)
    )
    assert areas(exact) == pytest.approx([math.pi], rel=1e-9)
    around = [(math.cos(a), math.sin(a)) for a in (k * math.pi / 12 for k in range(25))]
    fitted = drawing_of(lambda m: m.add_spline(around))
    assert areas(fitted) == pytest.approx([math.pi], rel=1e-3)


def test_splines_of_many_kinds_in_one_file() -> None:
    """Drawn many at once, each keeps its layer: closed ones, open ones, and one that is no curve.

    A uniform quadratic B-spline round a square of side 4 joins parabolas, each from middle to middle of two
    sides of the square: it cuts 1/6 of a 2 by 2 corner off at each, 16 - 4 x 4/6.
    """
    square = [(0, 0), (4, 0), (4, 4), (0, 4), (0, 0), (4, 0)]

    def draw(model: Any) -> None:
        for k, layer in enumerate(("A", "B", "C")):
            x = 10.0 * k
            corners = [(x + px, py, 0.0) for px, py in square]
            closed = model.add_spline(degree=2, dxfattribs={"layer": layer})
            closed.control_points, closed.knots = corners, list(range(9))
            model.add_open_spline([(x, 9, 0), (x + 1, 10, 0), (x + 2, 9, 0), (x + 3, 9, 0)])
        bad = model.add_open_spline([(0, 0, 0), (1, 1, 0), (2, 0, 0), (3, math.inf, 0)])
        bad.dxf.layer = "B"

    drawing = drawing_of(draw)
    assert areas(drawing) == pytest.approx([16.0 - 16.0 / 6.0] * 3, rel=2e-5)
    assert [drawing.layer_name(k) for k in range(3)] == ["A", "B", "C"]
    assert len(drawing.open_strokes()) == 3
    (left,) = drawing.source.left_out
    assert (left.kind, left.layer, left.count) == ("SPLINE", "B", 1)


@pytest.mark.parametrize(
    "draw",
    [
        lambda m: m.add_circle((0, 0), 0),
        lambda m: m.add_circle((0, 0), -3),
        lambda m: m.add_lwpolyline([(1, 1)]),
    ],
    ids=["zero radius", "radius below zero", "one point"],
)
def test_entities_that_draw_nothing(draw: Any) -> None:
    """Entities without size are left out and counted."""
    source = source_of(draw)
    assert len(source.strokes) == 0
    assert sum(left.count for left in source.left_out) == 1


@pytest.mark.parametrize(
    "tags",
    [
        [(0, "ELLIPSE"), (10, 0), (20, 0), (11, 1), (21, 0), (40, 0)],
        [(0, "ELLIPSE"), (10, 0), (20, 0), (11, 0), (21, 0), (40, 0.5)],
        [(0, "LINE"), (10, 0), (20, 0)],
        [(0, "SPLINE"), (71, 3)],
        [(0, "POLYLINE"), (70, 64), (0, "VERTEX"), (10, 0), (20, 0), (0, "SEQEND")],
        [(0, "POLYLINE"), (70, 1), (0, "SEQEND")],
        [(0, "ARC"), (10, 0), (20, 0), (40, 1), (50, "nan"), (51, 90)],
    ],
    ids=lambda tags: tags[0][1],
)
def test_entities_that_lack_something(tags: list[tuple[int, object]]) -> None:
    """Entities without size, ends or points are left out and counted, and do not stop the reading."""
    source = read_source(entities(*tags, (0, "CIRCLE"), (10, 0), (20, 0), (40, 1)), "x.dxf")
    assert [left.kind for left in source.left_out] == [tags[0][1]]
    assert areas(find_loops(source)) == pytest.approx([math.pi])


def test_mirrored_plane() -> None:
    """An extrusion of (0, 0, -1) mirrors the entity left to right, bulges with it."""

    def draw(model: Any) -> None:
        rows_ = [(10, 0, 0), (14, 0, 0), (14, 3, QUARTER), (10, 3, 0)]
        model.add_lwpolyline(rows_, format="xyb", close=True, dxfattribs={"extrusion": (0, 0, -1)})

    drawing = drawing_of(draw)
    ring = drawing.ring(0)
    # 4 x 3, and the segment of a quarter circle over a chord of 4 (row I5: c² (π/2 - 1) / 4).
    assert ring.area_m2 == pytest.approx(12.0 + 16.0 * (math.pi / 2.0 - 1.0) / 4.0, rel=1e-12)
    assert ring.bounds()[0] == pytest.approx(-14.0)
    assert ring.bounds()[2] == pytest.approx(-10.0)


def test_tilted_circle_is_an_ellipse() -> None:
    """A circle tilted by 60 degrees is seen as an ellipse of half the area."""
    drawing = drawing_of(
        lambda m: m.add_circle((0, 0), 2, dxfattribs={"extrusion": (0, math.sqrt(3) / 2, 0.5)})
    )
    assert areas(drawing) == pytest.approx([4.0 * math.pi * 0.5], rel=2e-5)


def test_upright_circle_is_left_out() -> None:
    """A circle seen edge-on encloses no floor."""
    source = source_of(lambda m: m.add_circle((0, 0), 2, dxfattribs={"extrusion": (1, 0, 0)}))
    assert [left.why for left in source.left_out] == ["stands upright, seen edge-on"]


def test_heights_are_dropped_with_a_notice() -> None:
    """Line work at different heights is read as seen from above, and that is said."""

    def draw(model: Any) -> None:
        for start, end in (((0, 0, 1), (4, 0, 2)), ((4, 0, 2), (4, 3, 0)), ((4, 3, 0), (0, 0, 1))):
            model.add_line(start, end)

    source = source_of(draw)
    assert [notice.code for notice in source.notices] == ["drawing-heights-dropped"]
    assert "from 0 to 2" in source.notices[0].text
    assert areas(find_loops(source)) == [6.0]


def test_polyline_without_version_keeps_flag_and_layer() -> None:
    """A file without header: the closed flag and the layer of an LWPOLYLINE are read all the same."""
    data = entities(
        (0, "LWPOLYLINE"), (8, "SLAB"), (90, 3), (70, 1), (10, 0), (20, 0), (10, 4), (20, 0), (10, 4), (20, 3)
    )
    source = read_source(data, "bare.dxf")
    assert source.unit_m is None
    assert [layer.name for layer in source.layers] == ["SLAB"]
    assert areas(find_loops(source)) == [6.0]


def test_codes_in_old_order() -> None:
    """LINEs whose group codes come as 10 11 20 21 are read."""
    triangle = [((0, 0), (4, 0)), ((4, 0), (4, 3)), ((4, 3), (0, 0))]
    tags: list[tuple[int, object]] = []
    for (x0, y0), (x1, y1) in triangle:
        tags += [(0, "LINE"), (8, "0"), (10, x0), (11, x1), (20, y0), (21, y1)]
    assert areas(find_loops(read_source(entities(*tags), "old.dxf"))) == [6.0]


@pytest.mark.parametrize("value", ["nan", "inf", "-inf", "1e300", "1e13", "one"])
def test_coordinates_that_are_no_place(value: str) -> None:
    """A coordinate that is no number or out of all reach costs its entity, which is counted."""
    good = [(0, "CIRCLE"), (10, 0), (20, 0), (40, 2)]
    bad = [(0, "CIRCLE"), (8, "BAD"), (10, value), (20, 0), (40, 2)]
    source = read_source(entities(*good, *bad), "far.dxf")
    assert [(left.layer, left.count) for left in source.left_out] == [("BAD", 1)]
    assert areas(find_loops(source)) == pytest.approx([4.0 * math.pi])


def test_paper_space_invisible_and_hidden() -> None:
    """Paper space and invisible entities are left out, hidden layers are kept apart."""
    import ezdxf
    from foreign.made import written

    document: Any = ezdxf.new("R2010")
    document.paperspace().add_circle((0, 0), 5)
    model = document.modelspace()
    model.add_circle((0, 0), 1)
    model.add_circle((9, 0), 1, dxfattribs={"invisible": 1})
    document.layers.add("OFF").off()
    document.layers.add("ICE").freeze()
    model.add_circle((20, 0), 1, dxfattribs={"layer": "OFF"})
    model.add_circle((30, 0), 1, dxfattribs={"layer": "ICE"})
    source = read_source(written(document), "sheet.dxf")
    reasons = {left.why for left in source.left_out if left.kind == "CIRCLE"}
    assert reasons == {"on a sheet (paper space), not in the model", "made invisible"}
    assert {layer.name for layer in source.layers if layer.hidden} == {"OFF", "ICE"}
    assert areas(find_loops(source)) == pytest.approx([math.pi])


def test_kinds_that_are_no_line_work_are_counted() -> None:
    """Points, solids, faces and texts never become edges; all but texts are counted with a reason."""

    def draw(model: Any) -> None:
        model.add_point((1, 1))
        model.add_solid([(0, 0), (1, 0), (0, 1), (1, 1)])
        model.add_3dface([(0, 0), (1, 0), (1, 1)])
        model.add_xline((0, 0), (1, 0))
        model.add_text("hello").set_placement((1, 1))

    source = source_of(draw)
    assert len(source.strokes) == 0
    assert {left.kind for left in source.left_out} == {"POINT", "SOLID", "3DFACE", "XLINE"}
    assert all(left.why for left in source.left_out)


def test_rotating_and_shifting_changes_no_area() -> None:
    """The same slab at survey coordinates and turned has the same area to 1e-9."""
    case = row("i_dxf", "I6")
    turn, far = math.radians(33.0), (4.0e6, 5.5e6)
    cos, sin = math.cos(turn), math.sin(turn)
    moved = [
        (cos * x - sin * y + far[0], sin * x + cos * y + far[1], b) for x, y, b in case["inputs"]["vertices"]
    ]
    drawing = drawing_of(lambda m: m.add_lwpolyline(moved, format="xyb", close=True))
    assert areas(drawing) == pytest.approx([case["expected"]["area"]], rel=1e-9)


def test_layer_names_keep_their_letters() -> None:
    """Accents and other scripts in layer names survive, in old and in new files."""
    for version in ("R12", "R2000", "R2010"):
        data = dxf(lambda m: lines(m, (0, 0), (1, 0), (1, 1), closed=True, layer="MÜLLER"), version=version)
        assert [layer.name for layer in read_source(data, "x.dxf").layers if layer.name != "0"][-1:] != []
        names = {layer.name for layer in read_source(data, "x.dxf").layers}
        assert "MÜLLER" in names

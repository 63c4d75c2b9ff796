"""Slabs from drawing files: shape, cut-outs, joints, unit, choice, and all that is told."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from foreign.made import dxf, lines
from outside import DATA, row

import floorplan
from floorplan.errors import DrawingFileError, PlanError
from floorplan.foreign.reader import load_source
from floorplan.geometry.rings import Ring
from floorplan.plan.from_drawing import resolve, resolve_all
from floorplan.plan.model import Drawn, DxfSource, JointLines, OutlineShape, Rectangle, Round
from floorplan.units.factors import FOOT_M, INCH_M, SQFT_M2
from floorplan.units.length import Length

PATIO = ((0, 0, 0), (31.5, 0, 0), (31.5, 13, 0), (19, 13, 0), (19, 22, 6 / 20.5), (-1.5, 22, 0))


def _patio(model: Any) -> None:
    """The first worked estimate as a designer draws it, in feet: an arc, two posts, grooves, a wall."""
    model.add_lwpolyline(PATIO, format="xyb", close=True, dxfattribs={"layer": "SLAB"})
    post = [(13 + dx * 2 / 3, 13 + dy * 2 / 3) for dx, dy in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
    model.add_lwpolyline(post, close=True, dxfattribs={"layer": "POST"})
    model.add_circle((17.6, 20.9), 0.5, dxfattribs={"layer": "POST"})
    for x in (6.5, 13.0, 19.0, 25.25):
        model.add_line((x, -1), (x, 30), dxfattribs={"layer": "GROOVE"})
    for y in (6.5, 13.0, 17.5):
        model.add_line((-5, y), (35, y), dxfattribs={"layer": "GROOVE"})
    model.add_line((0, 0), (31.5, 0), dxfattribs={"layer": "A-WALL"})
    model.add_text("Rear patio").set_placement((5, 5))


def _resolve(folder: Path, draw: Any, *, units: int = 2, **asked: Any) -> Drawn:
    path = folder / "slab.dxf"
    path.write_bytes(dxf(draw, units=units))
    return resolve(DxfSource(file=path, name="slab.dxf", **asked))


def _codes(drawn: Drawn) -> list[str]:
    return [notice.code for notice in drawn.notices]


def _refused(folder: Path, draw: Any, **asked: Any) -> Any:
    with pytest.raises(DrawingFileError) as caught:
        _resolve(folder, draw, **asked)
    return caught.value.faults[0]


PLAN = """
title = "Patio"
units = "ft-in"
[grinder]
head = "20 in"
overhang = "4 in"
[[slab]]
name = "Patio"
system = "outdoor-full-flake"
[slab.dxf]
file = "slab.dxf"
outline = "slab"
joints = "GROO*"
joint_kind = "groove"
edges = { "A-WALL" = "siding", "POST" = "post" }
"""


def test_worked_estimate_from_a_drawing(tmp_path: Path) -> None:
    """The patio of the trade brief (common practice, no source): 638.69, 636.13 sq ft, 39.98, 144.74 ft."""
    (tmp_path / "slab.dxf").write_bytes(dxf(_patio, units=2))
    (tmp_path / "plan.toml").write_text(PLAN)
    slab = floorplan.takeoff(floorplan.load(tmp_path / "plan.toml")).slabs[0]
    assert slab.gross_area_m2 / SQFT_M2 == pytest.approx(638.69, abs=0.005)
    assert slab.net_area_m2 / SQFT_M2 == pytest.approx(636.13, abs=0.005)
    assert slab.joint_length_m / FOOT_M == pytest.approx(144.74, abs=0.01)
    # Wall and posts; the other sides are unknown and counted as in the way too.
    wall = slab.edge_length_by_kind_m["siding"] + slab.edge_length_by_kind_m["post"]
    assert wall / FOOT_M == pytest.approx(39.98, abs=0.01)
    assert [corner.label for corner in slab.corners] == list("ABCDEF")


def test_shape_keeps_corners_and_exact_arcs(tmp_path: Path) -> None:
    """Corners in metres in the file's order, bulges as drawn, the text as the name."""
    drawn = _resolve(tmp_path, _patio, outline=("SLAB",), joints=("GROOVE",), edges=(("A-WALL", "wall"),))
    assert [(c.label, c.at.x.m / FOOT_M, c.at.y.m / FOOT_M) for c in drawn.shape.corners][1] == (
        "B",
        pytest.approx(31.5),
        0.0,
    )
    assert drawn.shape.exact_bulges == pytest.approx([b for _, _, b in PATIO])
    assert [side.kind for side in drawn.shape.sides] == ["wall"] + ["unknown"] * 5
    assert drawn.name == "Rear patio"
    assert drawn.unit_m == FOOT_M
    assert "feet" in drawn.unit_how


def test_cutouts_take_their_simplest_form(tmp_path: Path) -> None:
    """A square becomes a rectangle by its centre, a circle a round; names come from layers."""
    drawn = _resolve(tmp_path, _patio, outline=("SLAB",), cutout_kind="post")
    square, circle = drawn.cutouts
    assert isinstance(square.form, Rectangle)
    assert square.form.width.m == pytest.approx(16 * INCH_M)
    assert isinstance(circle.form, Round)
    assert circle.form.diameter.m == pytest.approx(12 * INCH_M)
    assert (square.name, circle.name, square.kind) == ("POST A", "POST B", "post")


def test_like_posts_are_one_cutout_with_places(tmp_path: Path) -> None:
    """Posts of one size on one layer are one cut-out with several places."""

    def draw(model: Any) -> None:
        model.add_lwpolyline([(0, 0), (20, 0), (20, 10), (0, 10)], close=True)
        for x in (3, 9, 15):
            model.add_circle((x, 5), 0.5, dxfattribs={"layer": "POST"})

    (posts,) = _resolve(tmp_path, draw).cutouts
    assert [at.x.m / FOOT_M for at in posts.at] == pytest.approx([3, 9, 15])
    assert posts.name == "POST"


def test_joints_by_layer(tmp_path: Path) -> None:
    """A joint for each layer, its lines as drawn, and no warning about loose lines on it."""
    drawn = _resolve(tmp_path, _patio, joints=("GROOVE",), edges=(("A-WALL", "wall"),))
    (joint,) = drawn.joints
    assert isinstance(joint.form, JointLines)
    assert len(joint.form.lines) == 7
    assert "drawing-loose-lines" not in _codes(drawn)


def test_loose_lines_are_told(tmp_path: Path) -> None:
    """Lines that bound nothing are counted by layer, with how to take them as joints."""
    drawn = _resolve(tmp_path, _patio)
    assert "drawing-loose-lines" in _codes(drawn)
    text = next(n.text for n in drawn.notices if n.code == "drawing-loose-lines")
    assert "7 on GROOVE" in text
    assert [cutout.name for cutout in drawn.cutouts] == ["POST A", "POST B"]


@pytest.mark.parametrize(("short", "closes"), [(0.24, True), (0.26, False)])
def test_gap_at_a_quarter_inch(tmp_path: Path, short: float, closes: bool) -> None:
    """By default gaps of up to 1/4 in are closed and told; wider ones are a fault with both ends."""

    def draw(model: Any) -> None:
        lines(model, (0, 0), (240, 0), (240, 120), (0, 120))
        model.add_line((0, 120), (0, short))

    if closes:
        drawn = _resolve(tmp_path, draw, units=1)
        assert _codes(drawn) == ["drawing-gap-closed"]
        assert '1/4" (at' in drawn.notices[0].text
        return
    fault = _refused(tmp_path, draw, units=1)
    assert fault.code == "drawing-nothing-closes"
    assert "0, 0" in fault.text
    assert "0, 0.26" in fault.text
    assert "snap" in fault.hint


def test_stated_snap(tmp_path: Path) -> None:
    """A wider snap closes a wider gap, and a narrower one leaves a narrow gap open."""

    def draw(model: Any) -> None:
        lines(model, (0, 0), (20, 0), (20, 10), (0, 10))
        model.add_line((0, 10), (0, 0.1))

    assert _resolve(tmp_path, draw, snap=Length(2 * INCH_M)).shape.corners
    assert _refused(tmp_path, draw, snap=Length(0.5 * INCH_M)).code == "drawing-nothing-closes"


def test_unit_from_a_taped_side(tmp_path: Path) -> None:
    """`known = "A-B = 31' 6""` proves feet where the file says nothing."""
    known = ("A", "B", Length(31.5 * FOOT_M, "31' 6\""))
    drawn = _resolve(tmp_path, _patio, units=0, outline=("SLAB",), known=known)
    assert drawn.unit_m == FOOT_M
    fault = _refused(tmp_path, _patio, units=0, outline=("SLAB",), known=("A", "Q", known[2]))
    assert fault.code == "known-corner"
    assert "A to F" in fault.hint


@pytest.mark.parametrize("known", ["A-B = 24'", "A – B = 24 ft", "24'", "288 in", "B-C = 10'"])
def test_known_length_typed_in_a_plan(tmp_path: Path, known: str) -> None:
    """A floor drawn 288 by 120 without a unit is 24 by 10 ft by either side, or by the first side alone."""

    def draw(model: Any) -> None:
        model.add_lwpolyline([(0, 0), (288, 0), (288, 120), (0, 120)], close=True)

    (tmp_path / "slab.dxf").write_bytes(dxf(draw, units=0))
    plan = f'[[slab]]\nsystem = "clear-seal"\n[slab.dxf]\nfile = "slab.dxf"\nknown = "{known}"\n'
    (tmp_path / "plan.toml").write_text(plan, encoding="utf-8")
    takeoff = floorplan.takeoff(floorplan.load(tmp_path / "plan.toml"))
    assert takeoff.slabs[0].net_area_m2 == pytest.approx(24 * 10 * SQFT_M2, rel=1e-9)


def test_unit_missing_lists_sizes(tmp_path: Path) -> None:
    """Where nothing says the unit, the fault lists the size in each."""
    fault = _refused(tmp_path, _patio, units=0)
    assert fault.code == "drawing-units-missing"
    assert "33'-0\" x 25'-0\"" in fault.hint


def _two(model: Any) -> None:
    model.add_lwpolyline([(0, 0), (20, 0), (20, 10), (0, 10)], close=True, dxfattribs={"layer": "A"})
    model.add_lwpolyline([(30, 0), (42, 0), (42, 10), (30, 10)], close=True, dxfattribs={"layer": "B"})
    model.add_text("Patio").set_placement((1, 1))
    model.add_text("Porch").set_placement((31, 1))


@pytest.mark.parametrize("pick", ["Porch", "porch", "2", "35, 5", "B"])
def test_one_of_several_outlines(tmp_path: Path, pick: str) -> None:
    """The largest by default; another by its text, number, a point in it, or its layer."""
    drawn = _resolve(tmp_path, _two)
    assert drawn.name == "Patio"
    assert "drawing-other-outlines" in _codes(drawn)
    assert "'Porch'" in drawn.notices[0].text
    assert _resolve(tmp_path, _two, pick=pick).name == "Porch"


def test_pick_that_fits_none_or_two(tmp_path: Path) -> None:
    """A pick that fits none or several is a fault that lists what there is."""
    fault = _refused(tmp_path, _two, pick="Deck")
    assert fault.code == "drawing-pick"
    assert "1 'Patio' on A; 2 'Porch' on B" in fault.hint
    assert "fits 2 outlines" in _refused(tmp_path, _two, pick="p").text


def test_every_outline_as_a_slab(tmp_path: Path) -> None:
    """All outlines at once, largest first, with no word about others."""
    path = tmp_path / "two.dxf"
    path.write_bytes(dxf(_two, units=2))
    slabs = resolve_all(DxfSource(file=path, name="two.dxf"), load_source(path))
    assert [slab.name for slab in slabs] == ["Patio", "Porch"]
    assert all("drawing-other-outlines" not in _codes(slab) for slab in slabs)


def test_cutout_layers_and_crossings(tmp_path: Path) -> None:
    """Loops of the cut-out layers count where they lie in the outline; one across it is told."""

    def draw(model: Any) -> None:
        model.add_lwpolyline([(0, 0), (20, 0), (20, 10), (0, 10)], close=True, dxfattribs={"layer": "SLAB"})
        for x, layer in ((5, "HOLE"), (20, "HOLE"), (40, "HOLE"), (10, "NOTE")):
            model.add_circle((x, 5), 1, dxfattribs={"layer": layer})

    drawn = _resolve(tmp_path, draw, outline=("SLAB",), cutouts=("HOLE",))
    assert len(drawn.cutouts) == 1
    assert len(drawn.cutouts[0].at) == 2
    crossing = [notice.text for notice in drawn.notices if notice.code == "drawing-crosses"]
    assert len(crossing) == 1 and "corner at 21, 5" in crossing[0]
    by_nesting = _resolve(tmp_path, draw, outline=("SLAB",))
    assert {cutout.name for cutout in by_nesting.cutouts} == {"HOLE", "NOTE"}


def test_island_in_a_cutout_is_told(tmp_path: Path) -> None:
    """Floor inside a cut-out is a slab of its own: told, not counted."""

    def draw(model: Any) -> None:
        for inset in (0, 3, 4):
            corners = [(inset, inset), (20 - inset, inset), (20 - inset, 12 - inset), (inset, 12 - inset)]
            model.add_lwpolyline(corners, close=True)

    drawn = _resolve(tmp_path, draw)
    assert len(drawn.cutouts) == 1
    assert "drawing-islands" in _codes(drawn)


def test_outline_of_a_hatch_where_nothing_else_closes(tmp_path: Path) -> None:
    """A drawing that holds only a hatch gives its outline, and says so."""

    def draw(model: Any) -> None:
        hatch = model.add_hatch()
        hatch.paths.add_polyline_path([(0, 0), (20, 0, 0.2), (20, 10), (0, 10)], is_closed=True)

    drawn = _resolve(tmp_path, draw)
    assert len(drawn.shape.corners) == 4
    assert drawn.shape.exact_bulges[1] == pytest.approx(0.2)
    assert "drawing-hatches-used" in _codes(drawn)


def test_hatch_of_edges(tmp_path: Path) -> None:
    """A hatch bounded by a line, an arc and an elliptic arc closes too."""

    def draw(model: Any) -> None:
        path = model.add_hatch().paths.add_edge_path()
        path.add_line((-10, 0), (10, 0))
        path.add_ellipse((0, 0), major_axis=(10, 0), ratio=0.5, start_angle=0, end_angle=180)

    shape = _resolve(tmp_path, draw).shape
    assert isinstance(shape, OutlineShape)
    ring = Ring([(c.at.x.m, c.at.y.m) for c in shape.corners], shape.exact_bulges)
    assert ring.area_m2 / SQFT_M2 == pytest.approx(math.pi * 10 * 5 / 2, rel=2e-5)


def test_drawing_far_from_its_origin_is_moved(tmp_path: Path) -> None:
    """Survey coordinates are moved to the drawing's own corner, and that is said."""

    def draw(model: Any) -> None:
        corners = [(5e6, 4e6), (5e6 + 20, 4e6), (5e6 + 20, 4e6 + 10), (5e6, 4e6 + 10)]
        model.add_lwpolyline(corners, close=True)

    drawn = _resolve(tmp_path, draw, units=6)
    assert "drawing-moved" in _codes(drawn)
    assert max(abs(c.at.x.m) for c in drawn.shape.corners) <= 20.001


@pytest.mark.parametrize(("x", "y"), [(4e6, 0), (0, 4e6), (-4e6, 0), (0, -4e6)])
def test_drawing_far_along_one_axis_is_moved(tmp_path: Path, x: float, y: float) -> None:
    """Far in one direction is far: 4,000,000 ft are 1,219,200 m; the lower left corner goes to the origin.

    To the left or below, the corner nearest to the origin is 20 or 10 ft less far away.
    """

    def draw(model: Any) -> None:
        corners = [(x, y), (x + 20, y), (x + 20, y + 10), (x, y + 10)]
        model.add_lwpolyline(corners, close=True)

    drawn = _resolve(tmp_path, draw, units=2)
    (text,) = (n.text for n in drawn.notices if n.code == "drawing-moved")
    assert text.startswith("its line work lies 1,219,200 m from its origin")
    corners = {(round(c.at.x.m, 6), round(c.at.y.m, 6)) for c in drawn.shape.corners}
    assert corners == {(0, 0), (6.096, 0), (6.096, 3.048), (0, 3.048)}


def test_drawing_near_its_origin_stays(tmp_path: Path) -> None:
    """Its own coordinates are kept, so that other drawings of the same place fit over it."""

    def draw(model: Any) -> None:
        model.add_lwpolyline([(30, 40), (50, 40), (50, 50), (30, 50)], close=True)

    drawn = _resolve(tmp_path, draw, units=2)
    assert "drawing-moved" not in _codes(drawn)
    assert min(c.at.x.m for c in drawn.shape.corners) == pytest.approx(30 * FOOT_M)


def test_what_was_left_out_is_told(tmp_path: Path) -> None:
    """Points, dimensions and other things that are no edge are counted in one line."""

    def draw(model: Any) -> None:
        _two(model)
        model.add_point((1, 1))
        model.add_solid([(0, 0), (1, 0), (0, 1)])

    text = next(n.text for n in _resolve(tmp_path, draw).notices if n.code == "drawing-left-out")
    assert text == "left out: 1 POINT on 0; 1 SOLID on 0"


def test_hidden_layers_are_told(tmp_path: Path) -> None:
    """Line work on layers that are off is not used, and that is said; named in full it is."""
    document: Any = ezdxf.new("R2010", units=2)
    _two(document.modelspace())
    document.layers.get("B").off() if "B" in document.layers else document.layers.add("B").off()
    path = tmp_path / "off.dxf"
    document.saveas(path)
    drawn = resolve(DxfSource(file=path, name="off.dxf"))
    assert "drawing-hidden-layers" in _codes(drawn)
    assert resolve(DxfSource(file=path, name="off.dxf", outline=("B",))).name == "Porch"
    with pytest.raises(DrawingFileError, match="off or frozen"):
        resolve(DxfSource(file=path, name="off.dxf", outline=("B*",)))


def test_layer_that_is_not_there(tmp_path: Path) -> None:
    """An unknown layer is a fault that offers the nearest names with their counts."""
    fault = _refused(tmp_path, _patio, outline=("SLABB",))
    assert fault.code == "layer-unknown"
    assert "SLAB (1)" in fault.hint


def test_nothing_to_read(tmp_path: Path) -> None:
    """A file without line work tells what it holds instead."""
    fault = _refused(tmp_path, lambda m: m.add_point((1, 1)))
    assert fault.code == "drawing-no-lines"
    assert "1 POINT (a point encloses nothing)" in fault.text


def test_faults_of_a_drawing_name_the_plan(tmp_path: Path) -> None:
    """A plan whose drawing cannot be used fails with the line of the plan that names it."""
    (tmp_path / "slab.dxf").write_bytes(dxf(_patio, units=0))
    (tmp_path / "plan.toml").write_text(PLAN)
    with pytest.raises(PlanError) as caught:
        floorplan.load(tmp_path / "plan.toml")
    fault = caught.value.faults[0]
    assert fault.code == "drawing-units-missing"
    assert fault.place is not None
    assert fault.place.line == 11


def test_drawing_in_place_of_a_plan() -> None:
    """A drawing handed over as a plan is told, with the command that makes a plan of it."""
    with pytest.raises(PlanError, match="floorplan convert"):
        floorplan.load("slab.dxf")


@pytest.mark.parametrize("name", ["tray-bottom.dxf", "bulge-cutouts.dxf", "old-polylines.dxf"])
def test_golden_slabs_measure_as_stated(name: str, tmp_path: Path) -> None:
    """Real files through a plan: gross and deducted areas as the golden figures say, in the unit stated."""
    import tomllib

    goldens = tomllib.loads((DATA / "dxf" / "golden.toml").read_text(encoding="utf-8"))["file"]
    golden = next(g for g in goldens if g["file"] == name)
    (tmp_path / "slab.dxf").write_bytes((DATA / "dxf" / name).read_bytes())
    unit, unit_m = ("ft", FOOT_M) if golden["units_in_file"] == "in" else ("cm", 0.01)
    text = f'[[slab]]\n[slab.dxf]\nfile = "slab.dxf"\nunits = "{unit}"\n'
    (tmp_path / "plan.toml").write_text(text)
    slab = floorplan.takeoff(floorplan.load(tmp_path / "plan.toml")).slabs[0]
    assert slab.gross_area_m2 == pytest.approx(golden["area"] * unit_m**2, rel=1e-6)
    net = (golden["area"] - golden["hole_area"]) * unit_m**2
    assert slab.net_area_m2 == pytest.approx(net, rel=1e-6)


def test_lot_of_the_outside_checks(tmp_path: Path) -> None:
    """Row I6 through a plan: 7114.16 sq ft and 351.42 ft, arcs exact."""
    case = row("i_dxf", "I6")
    vertices = case["inputs"]["vertices"]
    drawn = _resolve(tmp_path, lambda m: m.add_lwpolyline(vertices, format="xyb", close=True))
    assert isinstance(drawn.shape, OutlineShape)
    (tmp_path / "plan.toml").write_text('[[slab]]\n[slab.dxf]\nfile = "slab.dxf"\n')
    slab = floorplan.takeoff(floorplan.load(tmp_path / "plan.toml")).slabs[0]
    assert slab.gross_area_m2 / SQFT_M2 == pytest.approx(case["expected"]["area"], rel=1e-9)
    assert slab.perimeter_m / FOOT_M == pytest.approx(case["expected"]["perimeter"], rel=1e-9)
    assert math.isclose(slab.area_std_m2, 0.0)


SVG = '<svg xmlns="http://www.w3.org/2000/svg"{}><rect width="{}" height="{}"/></svg>'


def _scaled(folder: Path, svg: str, keys: str) -> Any:
    (folder / "slab.svg").write_text(svg)
    (folder / "plan.toml").write_text(f'[[slab]]\nname = "P"\n[slab.dxf]\nfile = "slab.svg"\n{keys}\n')
    return floorplan.takeoff(floorplan.load(folder / "plan.toml")).slabs[0]


def test_svg_by_the_scale_of_its_paper_in_the_plan(tmp_path: Path) -> None:
    """480 x 288 px of 1/96 in (CSS Values) are 5 x 3 in on paper: at 1:48 a floor of 20 by 12 ft."""
    slab = _scaled(tmp_path, SVG.format("", 480, 288), 'scale = "1:48"')
    assert slab.gross_area_m2 / SQFT_M2 == pytest.approx(240.0, rel=1e-9)


def test_survey_feet_in_the_plan(tmp_path: Path) -> None:
    """A survey foot is 1200/3937 m (NIST SP 811): 30 x 20 of them hold 600 (1200/3937)² m²."""
    (tmp_path / "slab.dxf").write_bytes(
        dxf(lambda m: m.add_lwpolyline([(0, 0), (30, 0), (30, 20), (0, 20)], close=True), units=0)
    )
    (tmp_path / "plan.toml").write_text('[[slab]]\n[slab.dxf]\nfile = "slab.dxf"\nunits = "us-survey-ft"\n')
    slab = floorplan.takeoff(floorplan.load(tmp_path / "plan.toml")).slabs[0]
    assert slab.gross_area_m2 == pytest.approx(600.0 * (1200.0 / 3937.0) ** 2, rel=1e-12)


@pytest.mark.parametrize(
    ("scale", "code"),
    [("1/4 in", "ratio-unreadable"), ("1:0", "ratio-unreadable"), ("48", "ratio-unreadable")],
)
def test_scale_that_cannot_be_read(tmp_path: Path, scale: str, code: str) -> None:
    """A scale is 1:48 and nothing else."""
    with pytest.raises(PlanError) as refused:
        _scaled(tmp_path, SVG.format("", 480, 288), f'scale = "{scale}"')
    assert [fault.code for fault in refused.value.faults] == [code]
    assert refused.value.faults[0].hint == "write it like 1:48"


def test_scale_of_a_drawing_without_paper(tmp_path: Path) -> None:
    """A DXF is drawn at true size: a scale beside it is a mistake, and what to write is said."""
    fault = _refused(tmp_path, _patio, paper_scale=48.0)
    assert fault.code == "drawing-scale-unused"
    assert 'units = "ft"' in fault.hint

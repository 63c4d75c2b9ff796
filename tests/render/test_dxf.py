"""The true-size DXF: round trip to 1e-9, audit, units, dimensions, layers, the same bytes twice."""

from __future__ import annotations

import io
import math
from pathlib import Path
from typing import Any

import ezdxf
import pyogrio
import pytest
import shapely
from command_runs import GARAGE, PATIO, POOL
from random_plans import random_plan

import floorplan
from floorplan.foreign.drawing import find_loops
from floorplan.foreign.reader import read_source
from floorplan.measure.model import SlabTakeoff, Takeoff
from floorplan.plan.edge_kinds import SHIPPED
from floorplan.plan.model import JointAlong, Plan
from floorplan.render.dxf import layer_name, render
from floorplan.units.factors import FOOT_M, INCH_M

SAMPLES = (PATIO, GARAGE, POOL)


def _measured(path: str) -> Takeoff:
    return floorplan.takeoff(floorplan.load(path))


def _document(data: bytes) -> Any:
    return ezdxf.read(io.StringIO(data.decode("utf-8")))


def _back(data: bytes, folder: Path, title: str = "back") -> Plan:
    """A plan that takes everything out of a DXF of ours again."""
    (folder / "ours.dxf").write_bytes(data)
    kinds = ", ".join(f'"{layer_name("EDGE", kind)}" = "{kind}"' for kind in _kinds(data, "EDGE"))
    cuts = ", ".join(f'"{layer_name("CUTOUT", kind)}" = "{kind}"' for kind in _kinds(data, "CUTOUT"))
    edges = ", ".join(part for part in (kinds, cuts) if part)
    text = f'title = "{title}"\n[[slab]]\n[slab.dxf]\nfile = "ours.dxf"\noutline = "FLOOR-OUTLINE"\n'
    text += 'text = "FLOOR-NAME"\nunits = "in"\n' if b"$INSUNITS\n 70\n1\n" in data else 'units = "m"\n'
    if cuts:
        text += 'cutouts = "FLOOR-CUTOUT*"\n'
    if b"FLOOR-JOINT" in data:
        text += 'joints = "FLOOR-JOINT*"\n'
    text += f"edges = {{ {edges} }}\n"
    (folder / "back.toml").write_text(text)
    return floorplan.load(folder / "back.toml")


def _kinds(data: bytes, role: str) -> list[str]:
    used = {layer.dxf.name for layer in _document(data).layers}
    return [kind for kind in SHIPPED if layer_name(role, kind) in used]


def _agree(ours: SlabTakeoff, back: SlabTakeoff) -> None:
    assert back.gross_area_m2 == pytest.approx(ours.gross_area_m2, rel=1e-9)
    assert back.perimeter_m == pytest.approx(ours.perimeter_m, rel=1e-9)
    assert back.net_area_m2 == pytest.approx(ours.net_area_m2, rel=1e-9)
    # Joints along sides come back as lines on the boundary, which a plan does not count.
    typed = [joint for joint in ours.joints if not isinstance(joint.joint.form, JointAlong)]
    length = sum(joint.length_m for joint in typed)
    assert back.joint_length_m == pytest.approx(length, rel=1e-6, abs=1e-4)
    sides = [edge for edge in ours.edges if edge.side is not None]
    again = [edge for edge in back.edges if edge.side is not None]
    turned = ours.ring.is_ccw != back.ring.is_ccw
    assert sorted(edge.kind for edge in again) == sorted(edge.kind for edge in sides)
    assert sorted(edge.length_m for edge in again) == pytest.approx(
        sorted(e.length_m for e in sides), rel=1e-9
    )
    signs = -1.0 if turned else 1.0
    assert sorted(edge.bulge for edge in again) == pytest.approx(
        sorted(signs * edge.bulge for edge in sides), rel=1e-9, abs=1e-12
    )


@pytest.mark.parametrize("path", SAMPLES)
def test_round_trip_of_the_samples(path: str, tmp_path: Path) -> None:
    """Plan, DXF, plan: areas, lengths, arcs to 1e-9; edge kinds and the name come back too."""
    takeoff = _measured(path)
    back = floorplan.takeoff(_back(render(takeoff), tmp_path))
    _agree(takeoff.slabs[0], back.slabs[0])
    ours = {cutout.kind: cutout.area_m2 for cutout in takeoff.slabs[0].cutouts}
    assert {cutout.kind: cutout.area_m2 for cutout in back.slabs[0].cutouts} == pytest.approx(ours, rel=1e-9)


@pytest.mark.parametrize("seed", range(40))
def test_round_trip_of_random_plans(seed: int, tmp_path: Path) -> None:
    """Plan, DXF, plan keeps areas, lengths and arcs of any plan to 1e-9."""
    try:
        takeoff = floorplan.takeoff(floorplan.read(random_plan(seed)))
    except floorplan.FloorplanError:
        return  # a few random plans have faults of their own
    back = floorplan.takeoff(_back(render(takeoff), tmp_path))
    _agree(takeoff.slabs[0], back.slabs[0])


@pytest.mark.parametrize("path", SAMPLES)
def test_auditor_finds_no_error(path: str) -> None:
    """ezdxf's auditor has nothing to say about what we write."""
    audit = _document(render(_measured(path))).audit()
    assert [error.message for error in (*audit.errors, *audit.fixes)] == []


@pytest.mark.parametrize("path", SAMPLES)
def test_same_plan_same_bytes(path: str) -> None:
    """No dates, no random names; and the process-wide setting of the library is put back."""
    before = ezdxf.options.write_fixed_meta_data_for_testing
    assert render(_measured(path)) == render(_measured(path))
    assert ezdxf.options.write_fixed_meta_data_for_testing == before


@pytest.mark.parametrize("path", SAMPLES)
def test_an_independent_reader_finds_the_outline(path: str, tmp_path: Path) -> None:
    """GDAL reads the outline layer to the same area, in the unit of the header."""
    takeoff = _measured(path)
    data = render(takeoff)
    (tmp_path / "ours.dxf").write_bytes(data)
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": 0.1})
    meta, _, shapes, fields = pyogrio.raw.read(tmp_path / "ours.dxf", columns=["Layer"])
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": None})
    del meta
    layers = list(fields[0])
    (outline,) = [
        shapely.from_wkb(shape)
        for shape, layer in zip(shapes, layers, strict=True)
        if layer == "FLOOR-OUTLINE"
    ]
    unit_m = INCH_M if takeoff.plan.units.is_us else 1.0
    area = shapely.Polygon(outline.exterior if outline.geom_type == "Polygon" else outline).area
    assert area * unit_m**2 == pytest.approx(takeoff.slabs[0].gross_area_m2, rel=1e-5)


@pytest.mark.parametrize(
    ("units", "code", "unit_m"),
    [
        ("ft-in", 1, INCH_M),
        ("ft", 2, FOOT_M),
        ("in", 1, INCH_M),
        ("m", 6, 1.0),
        ("cm", 5, 0.01),
        ("mm", 4, 0.001),
    ],
)
def test_unit_follows_the_plan(units: str, code: int, unit_m: float) -> None:
    """$INSUNITS says the unit that the coordinates are in; a 4 m side is 4 m in each."""
    text = f'units = "{units}"\n[[slab]]\noutline = """\n0 m, 0 m\n4 m, 0 m\n4 m, 3 m\n0 m, 3 m\n"""\n'
    data = render(floorplan.takeoff(floorplan.read(text)))
    document = _document(data)
    assert document.header["$INSUNITS"] == code
    source = read_source(data, "x.dxf")
    assert source.unit_m == pytest.approx(unit_m)
    ring = find_loops(source).ring(0)
    assert ring.side_lengths_m.max() * unit_m == pytest.approx(4.0, rel=1e-12)


def test_dimensions_are_real_and_true() -> None:
    """Every side of the patio has a DIMENSION whose measured value is its length, readable from below."""
    takeoff = _measured(PATIO)
    dimensions = _document(render(takeoff)).modelspace().query("DIMENSION")
    measured = sorted(dimension.dxf.actual_measurement * INCH_M for dimension in dimensions)
    chords = sorted(takeoff.slabs[0].ring.chords_m.tolist())
    assert measured == pytest.approx(chords, rel=1e-9)
    words = {dimension.dxf.text for dimension in dimensions}
    assert "28'-6\"" in words
    for dimension in dimensions:
        p, q = dimension.dxf.defpoint2, dimension.dxf.defpoint3
        assert -math.pi / 2 < math.atan2(q.y - p.y, q.x - p.x) <= math.pi / 2 + 1e-9
        assert dimension.get_geometry_block() is not None


def test_layers_by_role() -> None:
    """Edges, joints and hatches stand on layers that say what they are."""
    document = _document(render(_measured(PATIO)))
    used = {entity.dxf.layer for entity in document.modelspace()}
    assert {"FLOOR-OUTLINE", "FLOOR-EDGE-WALL", "FLOOR-EDGE-SIDING", "FLOOR-BAND", "FLOOR-NAME"} <= used
    assert any(layer.startswith("FLOOR-JOINT-") for layer in used)
    kinds = {entity.dxftype() for entity in document.modelspace()}
    assert {"LWPOLYLINE", "HATCH", "DIMENSION", "TEXT"} <= kinds


def test_names_that_would_be_codes() -> None:
    """Percent pairs and carets in names do no harm."""
    name = "50%%u ^J deck"
    square = "0, 0\n8, 0\n8, 6\n0, 6"
    text = f'title = "{name}"\nunits = "m"\n[[slab]]\nname = "{name}"\noutline = """\n{square}\n"""\n'
    plan = floorplan.read(text)
    data = render(floorplan.takeoff(plan))
    assert not _document(data).audit().errors
    assert find_loops(read_source(data, "x.dxf")).outlines()


def test_slabs_measured_from_their_own_origins_do_not_cover_each_other() -> None:
    """Two slabs typed from the same origin are drawn side by side, each at true size."""
    square = 'outline = """\n0, 0\n8, 0\n8, 6\n0, 6\n"""\n'
    text = f'units = "m"\n[[slab]]\nname = "A"\n{square}[[slab]]\nname = "B"\n{square}'
    drawing = find_loops(read_source(render(floorplan.takeoff(floorplan.read(text))), "x.dxf"))
    outlines = drawing.outlines()
    assert len(outlines) == 2
    assert [drawing.ring(k).area_m2 for k in outlines] == pytest.approx([48.0, 48.0])
    assert {drawing.names[k].partition("; ")[0] for k in outlines} == {"A", "B"}


@pytest.mark.parametrize("path", SAMPLES)
def test_plan_from_a_drawing_of_ours_needs_no_layer_named(path: str, tmp_path: Path) -> None:
    """Outline, edge kinds of sides and cut-outs, and joints by treatment come back with nothing said."""
    takeoff = _measured(path)
    (tmp_path / "ours.dxf").write_bytes(render(takeoff))
    (tmp_path / "back.toml").write_text('[[slab]]\n[slab.dxf]\nfile = "ours.dxf"\n')
    back = floorplan.takeoff(floorplan.load(tmp_path / "back.toml"))
    ours, again = takeoff.slabs[0], back.slabs[0]
    assert again.net_area_m2 == pytest.approx(ours.net_area_m2, rel=1e-9)
    assert again.edge_length_by_kind_m == pytest.approx(ours.edge_length_by_kind_m, rel=1e-9)
    for name in ("brush_out_m", "fill_m"):
        assert getattr(again, name) == pytest.approx(getattr(ours, name), rel=1e-6, abs=1e-4)


def _hall(head: str = "") -> Any:
    """The drawing of a hall of 8 x 6 m with walls all round."""
    rows = "\n".join(f"{xy} | wall" for xy in ("A 0, 0", "B 8, 0", "C 8, 6", "D 0, 6"))
    text = f'title = "Hall"\nunits = "m"\n{head}[grinder]\nband = "0.5 m"\n'
    text += f'[[slab]]\nname = "Bay"\noutline = """\n{rows}\n"""\n'
    return _document(render(floorplan.takeoff(floorplan.read(text))))


def test_band_is_hatched_and_the_middle_is_not() -> None:
    """The band of 0.5 m along the walls of 8 x 6 m: 8 x 6 less 7 x 5 is 13 m2, the hole left out."""
    hatches = _hall().modelspace().query('HATCH[layer=="FLOOR-BAND"]')
    areas = [
        shapely.Polygon([vertex[:2] for vertex in path.vertices]).area
        for hatch in hatches
        for path in hatch.paths
    ]
    assert 2.0 * max(areas) - sum(areas) == pytest.approx(13.0, rel=1e-3)


def test_lines_have_the_widths_of_the_standard() -> None:
    """ISO 128: widths of the series, and a wide line is at least twice a narrow one."""
    widths = {
        layer.dxf.name: layer.dxf.lineweight for layer in _hall().layers if layer.dxf.name.startswith("FLOOR")
    }
    assert set(widths.values()) <= {13, 18, 25, 35, 50, 70, 100, 140, 200}
    assert widths["FLOOR-OUTLINE"] >= 2 * widths["FLOOR-DIM"]


def test_name_and_area_stand_on_the_floor() -> None:
    """Both in the outline, the area under the name."""
    spots = {text.dxf.text: text.get_placement()[1] for text in _hall().modelspace().query("TEXT")}
    name = spots["Bay"]
    (area,) = [spot for words, spot in spots.items() if "48" in words]
    for spot in (name, area):
        assert 0.0 < spot.x < 8.0
        assert 0.0 < spot.y < 6.0
    assert area.y < name.y

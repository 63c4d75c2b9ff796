"""Areas, edges, bands and joints against rows A2, A4, A8 and A9 of the outside checks."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapes
from outside import row, rows

from floorplan.measure.floor import measure
from floorplan.measure.model import SlabTakeoff
from floorplan.units.factors import FOOT_M, SQFT_M2

NET = [r["id"] for r in rows("a_geometry", "A9") if r.get("method") == "net_area"]
COORDINATES = [r["id"] for r in rows("a_geometry", "A2") if r.get("method") == "polygon_area"]
BAND = [r["id"] for r in rows("a_geometry", "A9-band") if r.get("method") == "band"]


def measured(plan: shapes.Plan) -> SlabTakeoff:
    """The only slab of a plan."""
    (slab,) = measure(plan).slabs
    return slab


@pytest.mark.parametrize("id_", NET)
def test_net_area_and_edges_row(id_: str):
    """Net area, outline and cut-out edges of the published shapes."""
    check = row("a_geometry", id_)
    given, expected = check["inputs"], check["expected"]
    holes = tuple(shapes.hole(f"hole {k}", ring) for k, ring in enumerate(given["holes"]))
    slab = measured(shapes.plan(shapes.slab(shapes.outline(given["outline"]), cutouts=holes)))
    assert slab.net_area_m2 / SQFT_M2 == pytest.approx(expected["net_area"], abs=check["tolerance"])
    assert slab.perimeter_m / FOOT_M == pytest.approx(expected["outline_perimeter"], abs=check["tolerance"])
    inside = slab.cutout_perimeter_m / FOOT_M
    assert inside == pytest.approx(expected["hole_perimeter"], abs=check["tolerance"])


@pytest.mark.parametrize("id_", BAND)
def test_band_all_round_row(id_: str):
    """Floor within the band of walls all round, by the inner parallel body."""
    check = row("a_geometry", id_)
    grinder = replace(shapes.GRINDER, band=shapes.ft(check["inputs"]["w"]))
    slab = measured(shapes.plan(shapes.outline(check["inputs"]["outline"]), grinder=grinder))
    assert slab.band_area_m2 / SQFT_M2 == pytest.approx(
        check["expected"]["band_area"], abs=check["tolerance"]
    )


def test_band_three_walls_row():
    """Walls on three sides: 64 ft to grind, 31.5 sq ft of band."""
    check = row("a_geometry", "A9-wall3")
    slab = measured(shapes.plan(shapes.rectangle(24, 20, ["wall", "wall", "open", "wall"])))
    assert slab.hand_grind_edge_m / FOOT_M == pytest.approx(check["expected"]["wall_length"], abs=1e-9)
    assert slab.band_area_m2 / SQFT_M2 == pytest.approx(check["expected"]["band_area"], abs=1e-9)


def test_round_column_row():
    """A round column: area out and edge in exact, its band an annulus to 1e-4."""
    check = row("a_geometry", "A9-col")["expected"]
    column = shapes.cutout("column", (10, 10), 1.0)
    slab = measured(shapes.square(20, "open", cutouts=(column,)))
    assert slab.cutouts[0].deducted_m2 / SQFT_M2 == pytest.approx(check["area_out"], rel=1e-12)
    assert slab.hand_grind_edge_m / FOOT_M == pytest.approx(check["edge_in"], rel=1e-12)
    assert slab.band_area_m2 / SQFT_M2 == pytest.approx(check["band_area_w_0_5"], rel=1e-4)


@pytest.mark.parametrize("id_", ["A9-joint", "A9-joint-L"])
def test_joints_clipped_row(id_: str):
    """Lines drawn past the slab and through a cut-out count only on the floor."""
    check = row("a_geometry", id_)
    given = check["inputs"]
    holes = tuple(shapes.hole(f"hole {k}", ring) for k, ring in enumerate(given["holes"]))
    cuts = shapes.joint("cuts", shapes.lines(*given["lines"]))
    shape = shapes.outline(given["outline"])
    slab = measured(shapes.plan(shapes.slab(shape, cutouts=holes, joints=(cuts,))))
    assert slab.joint_length_m / FOOT_M == pytest.approx(check["expected"]["length"], abs=1e-9)


def test_joint_grid_row():
    """A grid of 3 x 3 panels counts each crossing once: 2 x 24 + 2 x 24 ft."""
    given = row("a_geometry", "A9-grid")
    a, nx = given["inputs"]["a"], given["inputs"]["nx"]
    grid = shapes.JointGrid(spacing_x=shapes.ft(a / nx), spacing_y=shapes.ft(a / nx), origin="A")
    slab = measured(shapes.square(a, joints=(shapes.joint("grid", grid),)))
    assert slab.joint_length_m / FOOT_M == pytest.approx(given["expected"]["length"], abs=1e-9)


@pytest.mark.parametrize("id_", COORDINATES)
def test_area_by_coordinates_row(id_: str):
    """Published areas by coordinates (northing, easting), in feet."""
    check = row("a_geometry", id_)
    tolerance = check["tolerance"]
    allowed = tolerance["area"] if isinstance(tolerance, dict) else tolerance
    points = [(east, north) for north, east in check["inputs"]["ne"]]
    slab = measured(shapes.plan(shapes.outline(points)))
    assert slab.gross_area_m2 / SQFT_M2 == pytest.approx(check["expected"]["area"], abs=allowed)


def test_rounded_corner_lot_row():
    """A rectangular lot with one corner rounded by a quarter circle (row A2-4)."""
    check = row("a_geometry", "A2-4")
    r = check["inputs"]["corner_radius"]
    width, length = check["inputs"]["width"], check["inputs"]["length"]
    points = [(0, 0), (length, 0), (length, width - r), (length - r, width), (0, width)]
    slab = measured(shapes.plan(shapes.outline(points, arcs={2: shapes.radius(r)})))
    assert slab.gross_area_m2 / SQFT_M2 == pytest.approx(7200 - 400 + 100 * math.pi, abs=1e-9)
    assert slab.gross_area_m2 / SQFT_M2 == pytest.approx(check["expected"]["area"], abs=check["tolerance"])


def test_concave_bite_row():
    """A chord with its arc into the lot takes the published segment (row A2-5)."""
    check = row("a_geometry", "A2-5")
    given, expected = check["inputs"], check["expected"]
    chord = given["chord"]
    depth = given["polygon_area"] / chord
    bite = {0: shapes.radius(given["radius"], "in")}
    slab = measured(shapes.plan(shapes.outline([(0, 0), (chord, 0), (chord, depth), (0, depth)], arcs=bite)))
    assert slab.gross_area_m2 / SQFT_M2 == pytest.approx(expected["net_area"], abs=check["tolerance"])


@pytest.mark.parametrize("id_", [r["id"] for r in rows("a_geometry", "A4-cr")])
def test_arc_by_chord_and_rise_row(id_: str):
    """A side by chord and rise: radius, length and the segment it adds, also above a half circle."""
    check = row("a_geometry", id_)
    chord, rise = check["inputs"]["chord"], check["inputs"]["rise"]
    flat = shapes.outline([(0, 0), (chord, 0), (chord, 30), (0, 30)], arcs={0: shapes.rise(rise)})
    slab = measured(shapes.plan(flat))
    edge = slab.edges[0]
    assert edge.radius_m / FOOT_M == pytest.approx(check["expected"]["radius"], rel=1e-9)
    assert edge.length_m / FOOT_M == pytest.approx(check["expected"]["arc"], rel=1e-9)
    segment = slab.gross_area_m2 / SQFT_M2 - 30 * chord
    assert segment == pytest.approx(check["expected"]["area"], abs=1e-9)


@pytest.mark.parametrize("n", range(3, 13))
def test_regular_polygon_row(n: int):
    """Regular polygons of unit side (published to four decimals)."""
    check = row("a_geometry", f"A8-{n}")
    r = 1.0 / (2.0 * math.sin(math.pi / n))
    turn = [2.0 * math.pi * k / n for k in range(n)]
    points = [(r * math.cos(t), r * math.sin(t)) for t in turn]
    slab = measured(shapes.plan(shapes.outline(points, unit=shapes.metres)))
    assert slab.gross_area_m2 == pytest.approx(check["expected"]["area"], abs=check["tolerance"])

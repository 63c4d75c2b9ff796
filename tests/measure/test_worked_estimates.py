"""The geometry lines of the two worked estimates of the trade brief (section 10), to their printed digits.

The figures were worked by hand and with a planar-geometry library, outside this project (invented jobs;
common practice, no source).
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import pytest
import shapes

from floorplan.measure.floor import measure
from floorplan.measure.model import SlabTakeoff, Takeoff
from floorplan.units.factors import CUIN_L, FOOT_M, SQFT_M2


@cache
def patio() -> Takeoff:
    """Estimate 10A."""
    return measure(shapes.worked_patio())


@cache
def garage() -> Takeoff:
    """Estimate 10B."""
    return measure(shapes.worked_garage())


def sq_ft(area_m2: float) -> float:
    """Square feet as printed."""
    return round(area_m2 / SQFT_M2, 2)


def feet(length_m: float) -> float:
    """Feet as printed."""
    return round(length_m / FOOT_M, 2)


def named(slab: SlabTakeoff) -> dict[str, float]:
    """Joint lengths in feet by name."""
    return {j.joint.name: feet(j.length_m) for j in slab.joints}


def test_patio_areas_as_printed():
    """Gross 638.69, net 636.13; with the 1 sq ft rule only post A deducts, material net 636.92."""
    (slab,) = patio().slabs
    assert sq_ft(slab.gross_area_m2) == 638.69
    assert sq_ft(slab.net_area_m2) == 636.13
    assert sq_ft(slab.material_area_m2) == 636.92
    assert [sq_ft(c.deducted_m2) for c in slab.cutouts] == [1.78, 0.79]
    assert [c.ignored for c in slab.cutouts] == [False, True]


def test_patio_edges_as_printed():
    """Perimeter 109.70; wall 31.50 + post A 5.33 + post B 3.14 = 39.98 ft by hand; mask 118.18."""
    (slab,) = patio().slabs
    assert feet(slab.perimeter_m) == 109.70
    assert feet(slab.hand_grind_edge_m) == pytest.approx(39.975, abs=0.006)
    assert [feet(e.length_m) for e in slab.edges] == [31.5, 13.0, 12.5, 9.0, 21.65, 22.05, 5.33, 3.14]
    assert feet(slab.mask_m) == 118.18
    assert feet(slab.edge_length_by_kind_m["open"]) == 56.15


def test_patio_arc_as_printed():
    """Side 5-6: chord 20.5, rise 3, radius 19.0104."""
    edge = patio().slabs[0].edges[4]
    assert edge.label == "5-6"
    assert feet(edge.chord_m) == 20.5
    assert feet(edge.rise_m) == 3.0
    assert round(edge.radius_m / FOOT_M, 4) == 19.0104


def test_patio_reach_as_printed():
    """Band 21.57; a 20 in head leaves 8.48, 1.09 of it outside the band; by hand 22.66, the rest 613.47."""
    (slab,) = patio().slabs
    assert sq_ft(slab.band_area_m2) == 21.57
    assert sq_ft(slab.net_area_m2 - slab.machine_area_m2) == 8.48
    assert sq_ft(slab.pocket_area_m2) == 1.09
    assert sq_ft(slab.hand_grind_area_m2) == 22.66
    assert sq_ft(slab.net_area_m2 - slab.hand_grind_area_m2) == 613.47


def test_patio_larger_head_as_printed():
    """A 30 in head with 3 in gap: 23.44 sq ft by hand."""
    grinder = replace(shapes.WORKED_GRINDER, head=shapes.inches(30), gap=shapes.inches(3))
    (slab,) = measure(replace(shapes.worked_patio(), grinder=grinder)).slabs
    assert sq_ft(slab.hand_grind_area_m2) == 23.44


def test_patio_grooves_as_printed():
    """Each groove clipped at posts and edges; 144.74 ft in all, and 31.50 ft of isolation strip apart."""
    (slab,) = patio().slabs
    assert named(slab) == {
        "groove x 6.5": 24.87,
        "groove x 13": 23.19,
        "groove x 19": 13.00,
        "groove x 25.25": 13.00,
        "groove y 6.5": 31.94,
        "groove y 13": 18.55,
        "groove y 17.5": 20.19,
        "strip": 31.50,
    }
    assert feet(slab.brush_out_m) == 144.74
    assert feet(slab.seal_m) == 31.50


def test_patio_sealant_as_printed():
    """Sealant at the wall: 31.5 ft of 1/2 x 3/8 in is 70.9 cubic inches."""
    strip = patio().slabs[0].joints[-1]
    assert round(strip.fill_volume_l / CUIN_L, 1) == 70.9


def test_patio_arc_inwards_as_printed():
    """With the arc in, the trade brief prints a gross area of 555.31."""
    shape = shapes.outline(shapes.WORKED_PATIO_CORNERS, "open", {4: shapes.rise(3, "in")}, names="123456")
    (slab,) = measure(shapes.plan(shape)).slabs
    assert sq_ft(slab.gross_area_m2) == 555.31


def test_garage_areas_as_printed():
    """Gross 540.00, geometric net 526.25; the column is not deducted from the material net 526.33."""
    (slab,) = garage().slabs
    assert sq_ft(slab.gross_area_m2) == 540.00
    assert sq_ft(slab.net_area_m2) == 526.25
    assert sq_ft(slab.material_area_m2) == 526.33
    assert [c.ignored for c in slab.cutouts] == [False, False, False, True]


def test_garage_edges_as_printed():
    """Stem wall 67.24 without the parts behind pad and step; 85.12 to grind; net outline 96.08 round."""
    (slab,) = garage().slabs
    by_kind = {kind: feet(m) for kind, m in slab.edge_length_by_kind_m.items()}
    assert by_kind == {
        "stem wall": 67.24,
        "wall": 1.00,
        "garage door": 16.00,
        "low wall": 6.00,
        "step up": 5.83,
        "drain": 4.00,
        "post": 1.05,
    }
    assert feet(slab.hand_grind_edge_m) == 85.12
    outline = [kind for kind in by_kind if kind not in ("drain", "post")]
    assert round(sum(slab.edge_length_by_kind_m[k] for k in outline) / FOOT_M, 2) == 96.08


def test_garage_band_as_printed():
    """Band 43.35 by union; what the head leaves lies all inside it; 482.90 for the walk-behind."""
    (slab,) = garage().slabs
    assert sq_ft(slab.band_area_m2) == 43.35
    assert sq_ft(slab.pocket_area_m2) == 0.0
    assert sq_ft(slab.net_area_m2 - slab.hand_grind_area_m2) == pytest.approx(482.90, abs=0.011)


def test_garage_left_by_the_head_by_closed_form():
    """What a 20 in head with 2 in gap leaves, from strips and corners.

    The brief prints 15.00 and no working; strips, corners and rings by the definition give 15.40.
    """
    g, r = 2 / 12, 10 / 12
    strips = (67.243 + 1.0 + 6.0 + 5.833) * g
    square_inside = 7 * (r**2 * (1 - math.pi / 4) - g**2)
    obtuse_inside = 2 * (r**2 * (math.tan(math.pi / 8) - math.pi / 8) - g**2 * math.tan(math.pi / 8))
    square_outside = 6 * g**2 * math.pi / 4
    drain = 4 * g + math.pi * g**2
    column = math.pi * ((2 / 12 + g) ** 2 - (2 / 12) ** 2)
    # Beside each 6 in jamb the head stands no nearer to the door line than 6 in: beyond the strip it leaves
    # what lies between its own rim and the jamb.
    rim = 0.5 * (0.5 * math.sqrt(r**2 - 0.25) + r**2 * math.asin(0.5 / r))
    jambs = 2 * (0.5 * (r + g) - rim - 0.5 * g)
    expected = strips + square_inside + obtuse_inside + square_outside + drain + column + jambs
    (slab,) = garage().slabs
    # The step is an inch less deep than the head keeps off, so its two corners are cut a little closer.
    assert (slab.net_area_m2 - slab.machine_area_m2) / SQFT_M2 == pytest.approx(expected, abs=0.01)


def test_garage_joints_as_printed():
    """Saw cuts 45.75 and crack 4.89 ft; filler 102.94 and 7.34 cubic inches."""
    (slab,) = garage().slabs
    assert named(slab) == {"saw cuts": 45.75, "crack": 4.89}
    assert [round(j.fill_volume_l / CUIN_L, 2) for j in slab.joints] == [102.94, 7.34]
    assert feet(slab.fill_m) == 50.64


def test_garage_faces_and_step_as_printed():
    """Pad face 2.00; step tread 3.667, risers 4.667, cheeks 1.069 because the upper riser has no side."""
    takeoff = garage()
    (slab,) = takeoff.slabs
    (step,) = takeoff.steps
    assert sq_ft(slab.face_area_m2) == 2.00
    figures = (step.tread_area_m2, step.riser_area_m2, step.cheek_area_m2)
    assert [round(a / SQFT_M2, 3) for a in figures] == [3.667, 4.667, 1.069]
    assert feet(step.nosing_m) == 4.0
    assert takeoff.step_area_m2 == pytest.approx(sum(figures), rel=1e-12)


def test_garage_stem_faces_as_printed():
    """Faces 6 in high along every stem wall side: 33.62 sq ft."""
    sample = shapes.worked_garage()
    shape = sample.slabs[0].shape
    names = [corner.label for corner in shape.corners]
    sides = [
        (names[i], names[(i + 1) % len(names)])
        for i, side in enumerate(shape.sides)
        if side.kind == "stem wall"
    ]
    faces = tuple(shapes.face(side, shapes.inches(6)) for side in sides)
    (slab,) = measure(shapes.changed(sample, faces=faces)).slabs
    assert sq_ft(slab.face_area_m2) == pytest.approx(33.62 + 2.00, abs=0.011)

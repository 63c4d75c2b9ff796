"""The takeoff as the JSON document that outside programs read; keys and units are kept stable, all SI."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from ..errors import Notice
    from ..measure.model import SlabTakeoff, SurveyReport, Takeoff


# Figures that stand in each slab and, summed, in the totals.
SUMMED = (
    "gross_area_m2",
    "net_area_m2",
    "material_area_m2",
    "perimeter_m",
    "cutout_perimeter_m",
    "hand_grind_edge_m",
    "machine_area_m2",
    "hand_grind_area_m2",
    "band_area_m2",
    "pocket_area_m2",
    "joint_length_m",
    "brush_out_m",
    "fill_m",
    "seal_m",
    "mask_m",
    "face_area_m2",
)


def takeoff_document(takeoff: Takeoff) -> dict[str, Any]:
    """The whole takeoff: title, units, slabs, totals, warnings."""
    return {
        "made_by": "floorplan",
        "title": takeoff.plan.title,
        "site": takeoff.plan.site,
        "units": takeoff.plan.units.value,
        "slabs": [_slab(slab) for slab in takeoff.slabs],
        "steps": [
            {
                "name": flight.steps.name,
                "tread_area_m2": flight.tread_area_m2,
                "riser_area_m2": flight.riser_area_m2,
                "cheek_area_m2": flight.cheek_area_m2,
                "nosing_m": flight.nosing_m,
            }
            for flight in takeoff.steps
        ],
        "totals": _totals(takeoff),
        "warnings": notices(takeoff.notices),
    }


def notices(values: Iterable[Notice]) -> list[dict[str, str]]:
    """Warnings as rows of code, text and where."""
    return [{"code": n.code, "text": n.text, "where": n.where} for n in values]


def _totals(takeoff: Takeoff) -> dict[str, Any]:
    by_kind: dict[str, float] = {}
    for slab in takeoff.slabs:
        for kind, length in slab.edge_length_by_kind_m.items():
            by_kind[kind] = by_kind.get(kind, 0.0) + length
    return {
        **{name: takeoff.total(name) for name in SUMMED},
        "edge_length_by_kind_m": by_kind,
        "step_area_m2": takeoff.step_area_m2,
        # Slabs are measured apart, so their errors add as squares (propagation of independent errors).
        "area_std_m2": sum(slab.area_std_m2**2 for slab in takeoff.slabs) ** 0.5,
    }


def _slab(slab: SlabTakeoff) -> dict[str, Any]:
    document: dict[str, Any] = {"name": slab.name, "system": slab.slab.system.name}
    document |= {name: getattr(slab, name) for name in SUMMED}
    document |= {
        "area_std_m2": slab.area_std_m2,
        "edge_length_by_kind_m": dict(slab.edge_length_by_kind_m),
        "corners": [{"label": c.label, "x_m": c.x_m, "y_m": c.y_m, "std_m": c.std_m} for c in slab.corners],
        "edges": [
            {
                "label": e.label,
                "kind": e.kind,
                "length_m": e.length_m,
                "hand_grind": e.hand_grind,
                "mask": e.mask,
            }
            for e in slab.edges
        ],
        "cutouts": [
            {"name": c.name, "kind": c.kind, "area_m2": c.area_m2, "deducted_m2": c.deducted_m2}
            for c in slab.cutouts
        ],
        "joints": [
            {
                "name": j.joint.name,
                "kind": j.joint.kind.value,
                "treatment": j.joint.treatment.value,
                "length_m": j.length_m,
                "fill_volume_l": j.fill_volume_l,
            }
            for j in slab.joints
        ],
        "faces": [
            {"label": f.label, "length_m": f.length_m, "height_m": f.height_m, "area_m2": f.area_m2}
            for f in slab.faces
        ],
    }
    if slab.survey is not None:
        document["survey"] = survey_document(slab.survey)
    return document


def survey_document(survey: SurveyReport) -> dict[str, Any]:
    """How the measurements fitted: method, each length, suspects, closure."""
    closure = None
    if survey.closure_gap_m is not None:
        closure = {"gap_m": survey.closure_gap_m, "ratio": survey.closure_ratio}
    return {
        "method": survey.method,
        "redundancy": survey.redundancy,
        "measurements": [
            {
                "from": m.start,
                "to": m.end,
                "taped_m": None if m.status == "inferred" else m.taped_m,
                "fitted_m": m.fitted_m,
                "fitted_std_m": m.std_m,
                "residual_m": m.residual_m,
                "standardised": m.standardised,
                "status": m.status,
                "note": m.note,
            }
            for m in survey.measurements
        ],
        "suspects": [
            {"from": s.start, "to": s.end, "taped_m": s.taped_m, "likely_m": s.likely_m, "why": s.why}
            for s in survey.suspects
        ],
        "closure": closure,
        "area_without_suspect_m2": survey.area_without_suspect_m2,
        "remarks": list(survey.remarks),
        "as_walked_m": [list(xy) for xy in survey.as_walked_m],
    }

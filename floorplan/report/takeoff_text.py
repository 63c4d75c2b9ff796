"""The takeoff for people: one screen, aligned, in the user's units."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from ..units.figures import Figures
from .columns import aligned, shortened

if TYPE_CHECKING:
    from ..errors import Notice
    from ..measure.model import Edge, MeasuredSteps, SlabTakeoff, Takeoff


def takeoff_text(takeoff: Takeoff) -> str:
    """Areas, hand grinding, edges, joints, faces and steps of each slab, then the sums of several slabs."""
    figures = Figures(takeoff.plan.units)
    head = "  ·  ".join(part for part in (takeoff.plan.title, takeoff.plan.site) if part)
    lines = [f"floorplan takeoff: {head}" if head else "floorplan takeoff"]
    for slab in takeoff.slabs:
        lines += ["", *_slab(slab, figures)]
    if takeoff.steps:
        lines += ["", "Steps", *_steps(takeoff.steps, figures)]
    if len(takeoff.slabs) > 1:
        lines += ["", f"All {len(takeoff.slabs)} slabs", *_sums(takeoff, figures)]
    return "\n".join(lines) + "\n"


def notices_text(notices: Iterable[Notice]) -> str:
    """Warnings as lines, "" for none."""
    lines = [f"  ! {n.where}: {n.text}" if n.where else f"  ! {n.text}" for n in notices]
    return "\n".join(["", "Warnings", *lines, ""]) if lines else ""


def _slab(slab: SlabTakeoff, figures: Figures) -> list[str]:
    lines = [f"{slab.name}  ({slab.slab.system.name})", *_areas(slab, figures)]
    lines += [" Edges", *_edges(slab.edges, figures)]
    if slab.joints:
        lines += [" Joints", *_joints(slab, figures)]
    if slab.faces:
        lines += [" Faces", *_faces(slab, figures)]
    return lines


def _areas(slab: SlabTakeoff, figures: Figures) -> list[str]:
    deducted = sum(c.deducted_m2 for c in slab.cutouts)
    kept = [c.name for c in slab.cutouts if c.ignored]
    spread = f" ± {figures.area(slab.area_std_m2)} (one standard error)" if slab.area_std_m2 else ""
    rows = [("gross area", figures.area(slab.gross_area_m2), f"perimeter {figures.run(slab.perimeter_m)}")]
    if slab.cutouts:
        names = [f"{c.name} {figures.small_area(c.deducted_m2)}" for c in slab.cutouts]
        rows.append(("less cut-outs", figures.small_area(deducted), shortened(names, 48)))
    rows.append(("net area", figures.area(slab.net_area_m2), spread.strip()))
    if kept:
        small = f"small openings kept: {shortened(kept)}"
        rows.append(("material area", figures.area(slab.material_area_m2), small))
    rows += [
        ("walk-behind cuts", figures.area(slab.machine_area_m2), "floor that the head can reach"),
        ("by hand", figures.area(slab.hand_grind_area_m2), _by_hand(slab, figures)),
        ("hand-grind edge", figures.run(slab.hand_grind_edge_m), _kinds_in_way(slab)),
        ("mask", figures.run(slab.mask_m), ""),
    ]
    return aligned(rows, "lrl")


def _by_hand(slab: SlabTakeoff, figures: Figures) -> str:
    return f"band {figures.area(slab.band_area_m2)}, pockets {figures.area(slab.pocket_area_m2)} outside it"


def _kinds_in_way(slab: SlabTakeoff) -> str:
    return shortened(list(dict.fromkeys(edge.kind for edge in slab.edges if edge.hand_grind)), 48)


def _edges(edges: Sequence[Edge], figures: Figures) -> list[str]:
    by_kind: dict[str, list[Edge]] = {}
    for edge in edges:
        by_kind.setdefault(edge.kind, []).append(edge)
    rows = [
        (
            kind,
            figures.run(sum(edge.length_m for edge in group)),
            "hand-grind" if group[0].hand_grind else "",
            "mask" if group[0].mask else "",
            shortened([edge.label for edge in group]),
        )
        for kind, group in by_kind.items()
    ]
    return aligned(rows, "lrlll")


def _joints(slab: SlabTakeoff, figures: Figures) -> list[str]:
    rows = [
        (
            j.joint.name or j.joint.kind.value,
            figures.run(j.length_m),
            j.joint.treatment.value,
            figures.volume(j.fill_volume_l) if j.fill_volume_l else "",
            figures.section(j.width_m, j.depth_m) + (" typical" if j.typical else "")
            if j.fill_volume_l
            else "",
        )
        for j in slab.joints
    ]
    sums = [("brush-out", slab.brush_out_m), ("fill", slab.fill_m), ("seal", slab.seal_m)]
    totals = ", ".join(f"{name} {figures.run(length)}" for name, length in sums if length)
    lines = aligned(rows, "lrlrl")
    return [*lines, f"  all {figures.run(slab.joint_length_m)}" + (f": {totals}" if totals else "")]


def _faces(slab: SlabTakeoff, figures: Figures) -> list[str]:
    rows = [
        (
            face.label,
            figures.small_area(face.area_m2),
            f"{figures.run(face.length_m)} x {figures.length(face.height_m)}",
        )
        for face in slab.faces
    ]
    return aligned(rows, "lrl")


def _steps(steps: Sequence[MeasuredSteps], figures: Figures) -> list[str]:
    rows = [
        (
            flight.steps.name,
            figures.area(flight.area_m2),
            f"treads {figures.area(flight.tread_area_m2)}, risers {figures.area(flight.riser_area_m2)}, "
            f"cheeks {figures.area(flight.cheek_area_m2)}, nosing {figures.run(flight.nosing_m)}",
        )
        for flight in steps
    ]
    return aligned(rows, "lrl")


def _sums(takeoff: Takeoff, figures: Figures) -> list[str]:
    areas = [("gross area", "gross_area_m2"), ("net area", "net_area_m2"), ("by hand", "hand_grind_area_m2")]
    runs = [("hand-grind edge", "hand_grind_edge_m"), ("joints", "joint_length_m"), ("mask", "mask_m")]
    rows = [(name, figures.area(takeoff.total(key))) for name, key in areas]
    rows += [(name, figures.run(takeoff.total(key))) for name, key in runs]
    return aligned(rows, "lr")

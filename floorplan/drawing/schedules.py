"""Tables that several sheets share: edges, joints, cut-outs, faces and steps, notes."""

from __future__ import annotations

from collections.abc import Iterable

from ..measure.model import MeasuredJoint
from ..measure.smooth import listed_edges
from ..units.figures import Figures
from .blocks import Block, Column, table, text_rows
from .job import Job
from .wording import measure, typed


def edge_schedule(job: Job, room_mm: float) -> Block:
    """Every edge with kind, length, how it is ground and masked."""
    kinds, f = job.plan.edge_kinds, job.figures
    cells = []
    for slab in job.slabs:
        for edge in listed_edges(slab):
            kind = kinds.get(edge.kind)
            height = typed(kind.mask_height, f) if kind else ""
            mask = (height or "tape") if edge.mask else ""
            by_hand = "yes" if edge.hand_grind else ""
            cells.append((job.label(slab, edge.label), edge.kind, measure(edge.length_m, f), by_hand, mask))
    columns = (
        Column("Edge", 1.5),
        Column("Kind", 1.6),
        Column("Length", 1.8, right=True),
        Column("Hand", 0.95),
        Column("Mask", 1.0),
    )
    head, rows = table(columns, cells, room_mm)
    return Block(heading="Edges", width_mm=room_mm, rows=rows, head_rows=head, spills=True)


def joint_size(joint: MeasuredJoint, figures: Figures) -> str:
    """Width by depth; typical values say so."""
    both = joint.width_m and joint.depth_m
    size = figures.section(joint.width_m, joint.depth_m) if both else ""
    return f"{size} typ." if size and joint.typical else size


def joint_schedule(job: Job, room_mm: float) -> Block | None:
    """Every joint with treatment, size and length."""
    f = job.figures
    cells = [
        (
            joint.joint.name or str(joint.joint.kind),
            str(joint.joint.treatment),
            joint_size(joint, f),
            f.run(joint.length_m),
        )
        for slab in job.slabs
        for joint in slab.joints
    ]
    columns = (
        Column("Joint", 1.3),
        Column("Treatment", 1.5),
        Column("Size", 1.5),
        Column("Length", 1.5, right=True),
    )
    return _schedule("Joints", columns, cells, room_mm)


def cutout_schedule(job: Job, room_mm: float) -> Block | None:
    """Every cut-out with kind, size and the floor it takes."""
    f = job.figures
    cells = [
        (cutout.name, cutout.kind, cutout.size_text, f.small_area(cutout.deducted_m2))
        for slab in job.slabs
        for cutout in slab.cutouts
    ]
    columns = (
        Column("Cut-out", 1.4),
        Column("Kind", 1.2),
        Column("Size", 1.7),
        Column("Area", 1.6, right=True),
    )
    return _schedule("Cut-outs", columns, cells, room_mm)


def upright_schedule(job: Job, room_mm: float) -> Block | None:
    """Faces and steps that are coated with the floor."""
    f = job.figures
    faces = [
        (
            job.label(slab, f"face {face.label}"),
            f"{measure(face.length_m, f)} x {measure(face.height_m, f)}",
            f.small_area(face.area_m2),
        )
        for slab in job.slabs
        for face in slab.faces
    ]
    steps = [
        (
            flight.steps.name or "steps",
            f"{flight.steps.treads} treads, {flight.steps.risers} risers, "
            f"{typed(flight.steps.width, f)} wide",
            f.area(flight.area_m2),
        )
        for flight in job.steps
    ]
    columns = (Column("What", 1.4), Column("Size", 2.2), Column("Area", 1.4, right=True))
    return _schedule("Faces and steps", columns, [*faces, *steps], room_mm)


def _schedule(
    heading: str, columns: tuple[Column, ...], cells: Iterable[tuple[str, ...]], room_mm: float
) -> Block | None:
    head, rows = table(columns, cells, room_mm)
    if not rows:
        return None
    return Block(heading=heading, width_mm=room_mm, rows=rows, head_rows=head, spills=True)


def notes(job: Job, room_mm: float) -> Block | None:
    """Notes of the sheets and of the slabs."""
    lines = [*job.plan.sheet.notes, *(line for slab in job.plan.slabs for line in slab.notes)]
    rows = [row for words in lines for row in text_rows(words, room_mm, after=0.5)]
    return Block(heading="Notes", width_mm=room_mm, rows=tuple(rows), spills=True) if rows else None

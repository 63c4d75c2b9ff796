"""The estimator's sheet: every measurement and how it fits, how the areas add up, what is still open."""

from __future__ import annotations

from ..measure.model import Measurement, SlabTakeoff, SurveyReport
from ..order.words import plural
from .blocks import Block, Column, Row, pair_row, table, text_rows
from .crew import area
from .floor import Shown
from .job import Job, SheetKind, kept
from .legend import crew_legend
from .questions import questions, statements
from .rooms import Lettering
from .scales import Scale
from .schedules import (
    cutout_schedule,
    edge_schedule,
    joint_schedule,
    notes,
    upright_schedule,
)
from .wording import measure

_MARKS = {"inferred": "~", "adjusted": "*"}
"""The marks of a length's status in the table, the same as on the drawing."""


def blocks(job: Job, room_mm: float, scale: Scale) -> list[Block]:
    """The written part, in the order of its weight."""
    slabs = job.slabs
    return kept(
        questions(job, room_mm, "Questions still open"),
        *(_areas(job, slab, room_mm) for slab in slabs),
        _totals(job, room_mm),
        statements(job, room_mm, "Noted while measuring"),
        *(_survey(job, slab, room_mm) for slab in slabs),
        crew_legend(slabs, room_mm, scale.paper_mm(1.0), job.figures),
        notes(job, room_mm),
        edge_schedule(job, room_mm),
        _by_kind(job, room_mm),
        cutout_schedule(job, room_mm),
        joint_schedule(job, room_mm),
        upright_schedule(job, room_mm),
        *(_corners(job, slab, room_mm) for slab in slabs),
    )


def _areas(job: Job, slab: SlabTakeoff, room_mm: float) -> Block:
    """The areas of a slab as sums that can be redone by hand."""
    f = job.figures
    rows: list[Row] = pair_row("Gross, inside the outline", f.area(slab.gross_area_m2), room_mm)
    for cutout in slab.cutouts:
        rows += pair_row(f"less {cutout.name}", f"-{f.small_area(cutout.deducted_m2)}", room_mm)
    rows += pair_row("Net floor", f.area(slab.net_area_m2), room_mm)
    if slab.area_std_m2 > 0.0:
        rows += pair_row("give or take (one standard error)", f"± {f.area(slab.area_std_m2)}", room_mm)
    back = slab.material_area_m2 - slab.net_area_m2
    if back > 0.0:
        rule = f"Material area: openings under {f.area(job.plan.ignore_below_m2)} not deducted"
        rows += pair_row(rule, f.area(slab.material_area_m2), room_mm)
    rows += pair_row("Walk-behind cuts", f.area(slab.machine_area_m2), room_mm)
    rows += pair_row("By hand (band and pockets)", f.area(slab.hand_grind_area_m2), room_mm)
    rows += pair_row("of it band", f.area(slab.band_area_m2), room_mm)
    if f.area(slab.pocket_area_m2) != f.area(0.0):
        rows += pair_row("and pockets outside the band", f.area(slab.pocket_area_m2), room_mm)
    rows += pair_row("Perimeter", f.run(slab.perimeter_m), room_mm)
    return Block(heading=f"Areas: {slab.name}", width_mm=room_mm, rows=tuple(rows), splits=True)


def _totals(job: Job, room_mm: float) -> Block:
    f, t = job.figures, job.takeoff
    pairs = [
        ("Net floor", f.area(t.total("net_area_m2"))),
        ("Edges ground by hand", f.run(t.total("hand_grind_edge_m"))),
        ("Joints", f.run(t.total("joint_length_m"))),
        ("Brush out", f.run(t.total("brush_out_m"))),
        ("Fill", f.run(t.total("fill_m"))),
        ("Seal", f.run(t.total("seal_m"))),
        ("Mask", f.run(t.total("mask_m"))),
        ("Faces", f.area(t.total("face_area_m2"))),
        ("Steps", f.area(t.step_area_m2)),
    ]
    zero = {f.area(0.0), f.run(0.0)}
    rows = [row for label, value in pairs if value not in zero for row in pair_row(label, value, room_mm)]
    return Block(heading="Whole job", width_mm=room_mm, rows=tuple(rows))


def _survey(job: Job, slab: SlabTakeoff, room_mm: float) -> Block | None:
    """How the tape fits: each length as taped and as fitted, the gap at closing, lengths to tape again."""
    report = slab.survey
    if report is None:
        return None
    columns = (
        Column("Line", 1.0),
        Column("Taped", 1.7, right=True),
        Column("Fitted", 1.7, right=True),
        Column("Off by", 1.3, right=True),
        Column("", 1.0),
    )
    head, body = table(columns, (_measured(job, row) for row in report.measurements), room_mm)
    before = [row for words in _fit_words(job, report) for row in text_rows(words, room_mm, after=0.4)]
    whose = f" of {slab.name}" if len(job.takeoff.slabs) > 1 else ""
    heading = f"Survey{whose}: {report.method}"
    rows = (*head, *body, *before) if body else tuple(before)
    return Block(heading=heading, width_mm=room_mm, rows=rows, splits=True, spills=True)


def _measured(job: Job, row: Measurement) -> tuple[str, ...]:
    f = job.figures
    taped = "" if row.status == "inferred" else measure(row.taped_m, f)
    off = "" if row.status == "inferred" else measure(row.residual_m, f)
    mark = row.note or _MARKS.get(row.status, "")
    return f"{row.start}-{row.end}", taped, measure(row.fitted_m, f), off, mark


def _fit_words(job: Job, report: SurveyReport) -> list[str]:
    f = job.figures
    words = [f"{remark[:1].upper()}{remark[1:]}." for remark in report.remarks]
    if report.closure_gap_m is not None:
        ratio = f", 1 in {report.closure_ratio:.0f} of the way round" if report.closure_ratio else ""
        words.append(f"Gap at closing {measure(report.closure_gap_m, f)}{ratio}.")
    if report.redundancy:
        words.append(f"{plural(report.redundancy, 'length')} more than needed.")
    elif report.method == "tape":
        words.append("No length to spare: the figure closes whatever was misread. Tape a diagonal more.")
    statuses = {row.status for row in report.measurements}
    if "inferred" in statuses:
        words.append("~ worked out, never taped.")
    if "adjusted" in statuses:
        words.append("* moved farther than the tape can be off.")
    words += [
        f"Tape {s.start}-{s.end} again: {measure(s.taped_m, f)} reads like {measure(s.likely_m, f)}, {s.why}."
        for s in report.suspects
    ]
    if report.area_without_suspect_m2 is not None:
        words.append(f"Without it the gross area is {f.area(report.area_without_suspect_m2)}.")
    return words


def _by_kind(job: Job, room_mm: float) -> Block:
    lengths: dict[str, float] = {}
    for slab in job.slabs:
        for kind, length in slab.edge_length_by_kind_m.items():
            lengths[kind] = lengths.get(kind, 0.0) + length
    rows = [
        row for kind, length in lengths.items() for row in pair_row(kind, job.figures.run(length), room_mm)
    ]
    return Block(heading="Edges by kind", width_mm=room_mm, rows=tuple(rows), spills=True)


def _corners(job: Job, slab: SlabTakeoff, room_mm: float) -> Block:
    f = job.figures
    cells = [(corner.label, measure(corner.x_m, f), measure(corner.y_m, f)) for corner in slab.corners]
    columns = (Column("Corner", 1.0), Column("right", 1.4, right=True), Column("up", 1.4, right=True))
    head, rows = table(columns, cells, room_mm)
    heading = f"Corners: {slab.name}"
    return Block(heading=heading, width_mm=room_mm, rows=rows, head_rows=head, spills=True)


SHEET = SheetKind(
    name="estimator",
    title="Estimator sheet",
    shown=Shown(hand=True),
    lettering=Lettering(),
    blocks=blocks,
    area=area,
)

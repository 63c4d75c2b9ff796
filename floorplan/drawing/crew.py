"""The crew sheet: what to grind by hand, which joints to treat how, what to mask, where to stop and sign."""

from __future__ import annotations

from ..errors import Notice
from .annotate import Lettering
from .blocks import Block, Column, Row, item, pair_row, rectangle, table, text_rows
from .edges import UNKNOWN
from .floor import Shown
from .job import Job, SheetKind
from .legend import crew_legend
from .lettering import BODY, letter
from .marks import Mark, Stroke
from .pens import RULE, WHITE
from .scales import Scale
from .wording import measure, typed

CAUTIONS = (
    "Labels and safety data sheets govern; local codes too.",
    "Silica dust: shroud and rated vacuum, no dry sweeping (29 CFR 1926.1153 or local rule).",
    "Hardener, topcoat: no skin contact; stop on rash, wheeze.",
    "Isopropyl burns: no flame, heater, spark; let it dry fully.",
    "Leftover mix heats in the pail: spread it thin outdoors.",
    "Wet floor is slippery; mark drops, pits and pools.",
    "No saw or chase before slab heat, conduit and tendons are ruled out; test old coatings.",
    "Keep dust, slurry, coating out of pool, lawn and drains.",
    "Check the figures on site before mixing.",
)
"""Trade brief 9 and row F of the outside checks (common practice, no source)."""

HOLDS = (
    ("H0", "dry, bare, sound"),
    ("H1", "profile even, edges signed off"),
    ("H2", "no wet spots, no bald spots"),
    ("H3", "no loose flake, no bald area"),
    ("H4", "no puddles in grooves, dry to touch"),
    ("H5", "walk-off, actuals, care sheet"),
)
"""Hold points of a broadcast floor (trade brief 6.2, common practice, no source)."""


def blocks(job: Job, room_mm: float, scale: Scale) -> list[Block]:
    """The written part, in the order of its weight."""
    made = [
        _open_questions(job, room_mm),
        _figures(job, room_mm),
        crew_legend(job.takeoff.slabs, room_mm, scale.paper_mm(1.0)),
        _holds(room_mm),
        _cautions(room_mm),
        _edges(job, room_mm),
        _joints(job, room_mm),
        _cutouts(job, room_mm),
        _notes(job, room_mm),
    ]
    return [block for block in made if block is not None]


def _open_questions(job: Job, room_mm: float) -> Block | None:
    rows: list[Row] = []
    for slab in job.takeoff.slabs:
        unknown = [edge.label for edge in slab.edges if edge.kind == UNKNOWN]
        if unknown:
            where = f" of {slab.name}" if len(job.takeoff.slabs) > 1 else ""
            words = (
                f"ASK what stands along {', '.join(unknown)}{where}: counted as ground by hand until known."
            )
            rows.append(item(words, room_mm, height=BODY, bold=True, bullet=""))
    for notice in job.takeoff.notices:
        if notice.code != "edge-unknown":
            rows.append(item(_notice(notice), room_mm, bullet="!"))
    return (
        Block(heading="Ask before you start", width_mm=room_mm, rows=tuple(rows), loud=True, splits=True)
        if rows
        else None
    )


def _notice(notice: Notice) -> str:
    text = notice.text[:1].upper() + notice.text[1:]
    return text if not notice.where or notice.where in text else f"{notice.where}: {text}"


def _figures(job: Job, room_mm: float) -> Block:
    f, t = job.figures, job.takeoff
    pairs = [
        ("Net floor", f.area(t.total("net_area_m2"))),
        ("Grind by hand, edges", f.run(t.total("hand_grind_edge_m"))),
        ("Grind by hand, band", f.area(t.total("band_area_m2"))),
        ("Pockets outside the band", f.area(t.total("pocket_area_m2"))),
        ("Brush out", f.run(t.total("brush_out_m"))),
        ("Fill", f.run(t.total("fill_m"))),
        ("Seal", f.run(t.total("seal_m"))),
        ("Mask", f.run(t.total("mask_m"))),
        ("Faces", f.area(t.total("face_area_m2"))),
        ("Steps", f.area(t.step_area_m2)),
    ]
    zero = {f.area(0.0), f.run(0.0)}
    rows = [row for label, value in pairs if value not in zero for row in pair_row(label, value, room_mm)]
    g = job.plan.grinder
    setting = f"Walk-behind: {typed(g.head, f)} head, {typed(g.gap, f)} gap, {typed(g.band, f)} band by hand."
    rows += text_rows(setting, room_mm)
    return Block(heading="Work", width_mm=room_mm, rows=tuple(rows))


def _holds(room_mm: float) -> Block:
    rows = []
    for name, words in HOLDS:
        rows.append(_hold(name, words, room_mm))
    return Block(heading="Hold points: initial each", width_mm=room_mm, rows=tuple(rows))


def _hold(name: str, words: str, room_mm: float) -> Row:
    tall, box_mm = 5.0, 13.0
    lines = text_rows(words, room_mm - box_mm - 9.0)

    def paint(x: float, top: float) -> tuple[Mark, ...]:
        frame = rectangle(x + room_mm - box_mm, top - tall + 0.8, box_mm, tall - 0.8)
        marks: list[Mark] = [
            Stroke(runs=(frame,), pen=RULE, fill=WHITE),
            letter(name, (x, top - 3.6), BODY, bold=True),
        ]
        y = top - 0.5 * (tall - sum(row.height_mm for row in lines))
        for row in lines:
            marks += row.paint(x + 6.5, y)
            y -= row.height_mm
        return tuple(marks)

    return Row(tall, paint)


def _cautions(room_mm: float) -> Block:
    rows = [item(words, room_mm) for words in CAUTIONS]
    return Block(heading="Cautions", width_mm=room_mm, rows=tuple(rows), splits=True)


def _edges(job: Job, room_mm: float) -> Block:
    kinds, f = job.plan.edge_kinds, job.figures
    cells = []
    for slab in job.takeoff.slabs:
        for edge in slab.edges:
            kind = kinds.get(edge.kind)
            mask = (
                "" if not edge.mask else typed(kind.mask_height, f) if kind and kind.mask_height else "tape"
            )
            cells.append(
                (edge.label, edge.kind, measure(edge.length_m, f), "yes" if edge.hand_grind else "", mask)
            )
    columns = (
        Column("Edge", 1.5),
        Column("Kind", 1.5),
        Column("Length", 1.7, right=True),
        Column("Hand", 1.0),
        Column("Mask", 1.0),
    )
    head, rows = table(columns, cells, room_mm)
    return Block(heading="Edges", width_mm=room_mm, rows=rows, head_rows=head, spills=True)


def _joints(job: Job, room_mm: float) -> Block | None:
    f = job.figures
    cells = []
    for slab in job.takeoff.slabs:
        for joint in slab.joints:
            size = " x ".join(measure(v, f) for v in (joint.width_m, joint.depth_m) if v)
            size += " typ." if joint.typical and size else ""
            cells.append(
                (
                    joint.joint.name or str(joint.joint.kind),
                    str(joint.joint.treatment),
                    size,
                    f.run(joint.length_m),
                )
            )
    if not cells:
        return None
    columns = (
        Column("Joint", 1.5),
        Column("Treatment", 1.3),
        Column("Size", 1.6),
        Column("Length", 1.4, right=True),
    )
    head, rows = table(columns, cells, room_mm)
    return Block(heading="Joints", width_mm=room_mm, rows=rows, head_rows=head, spills=True)


def _cutouts(job: Job, room_mm: float) -> Block | None:
    f = job.figures
    cells = [
        (cutout.name, cutout.kind, cutout.size_text, f.area(cutout.deducted_m2))
        for slab in job.takeoff.slabs
        for cutout in slab.cutouts
    ]
    if not cells:
        return None
    columns = (
        Column("Cut-out", 1.4),
        Column("Kind", 1.2),
        Column("Size", 1.8),
        Column("Area", 1.4, right=True),
    )
    head, rows = table(columns, cells, room_mm)
    return Block(heading="Cut-outs", width_mm=room_mm, rows=rows, head_rows=head, spills=True)


def _notes(job: Job, room_mm: float) -> Block | None:
    rows = [row for words in job.plan.sheet.notes for row in text_rows(words, room_mm, after=0.5)]
    return Block(heading="Notes", width_mm=room_mm, rows=tuple(rows), spills=True) if rows else None


def area(job: Job, index: int) -> tuple[str, str, str]:
    """Name, net area, and its sum."""
    slab, f = job.takeoff.slabs[index], job.figures
    taken = sum(cutout.deducted_m2 for cutout in slab.cutouts)
    basis = f"{f.area(slab.gross_area_m2)} less {f.area(taken)} cut out" if taken else ""
    return slab.name, f"{f.area(slab.net_area_m2)} net", basis


SHEET = SheetKind(
    name="crew",
    title="Crew sheet",
    shown=Shown(hand=True),
    lettering=Lettering(),
    blocks=blocks,
    area=area,
)

"""The crew sheet: what to grind by hand, which joints to treat how, what to mask, where to stop and sign."""

from __future__ import annotations

from collections.abc import Iterable

from ..values import replace
from ..work.cautions import CAUTIONS
from ..work.holds import HOLDS
from .blocks import Block, Row, item, pair_row, rectangle, stack, text_rows
from .floor import Shown
from .job import Job, SheetKind, kept
from .legend import crew_legend
from .lettering import BODY, letter
from .marks import Mark, Stroke
from .pens import RULE, WHITE
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
from .site_points import draw_assumed_exit, draw_tests, tests_block
from .sketch import Sketch
from .wording import typed
from .zones import draw_zones, first_pour, zone_block


def blocks(job: Job, room_mm: float, scale: Scale) -> list[Block]:
    """The written part, in the order of its weight."""
    return kept(
        questions(job, room_mm, "Ask before you start"),
        crew_legend(job.slabs, room_mm, scale.paper_mm(1.0), job.figures, zones=bool(job.work)),
        statements(job, room_mm, "Know before you start"),
        notes(job, room_mm),
        zone_block(first_pour(job), job.figures, room_mm, job.schedule, job.group),
        _figures(job, room_mm),
        _holds(room_mm),
        tests_block(job.schedule, room_mm),
        cautions(room_mm),
        edge_schedule(job, room_mm),
        joint_schedule(job, room_mm),
        cutout_schedule(job, room_mm),
        upright_schedule(job, room_mm),
    )


def _figures(job: Job, room_mm: float) -> Block:
    f, t = job.figures, replace(job.takeoff, slabs=job.slabs)
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
        ("Steps", f.area(sum(flight.area_m2 for flight in job.steps))),
    ]
    zero = {f.area(0.0), f.run(0.0)}
    rows = [row for label, value in pairs if value not in zero for row in pair_row(label, value, room_mm)]
    g = job.plan.grinder
    setting = f"Walk-behind: {typed(g.head, f)} head, {typed(g.gap, f)} gap, {typed(g.band, f)} band by hand."
    rows += text_rows(setting, room_mm)
    whose = "" if len(job.slabs) == len(t.plan.slabs) else f": {', '.join(slab.name for slab in job.slabs)}"
    return Block(heading=f"Work{whose}", width_mm=room_mm, rows=(stack(rows),), spills=True)


def _holds(room_mm: float) -> Block:
    rows = hold_rows([(hold.code, hold.short) for hold in HOLDS], room_mm)
    # One row, so that no sheet parts what is signed off as one list.
    return Block(heading="Hold points: initial each", width_mm=room_mm, rows=(stack(rows),), spills=True)


def hold_rows(holds: Iterable[tuple[str, str]], room_mm: float) -> tuple[Row, ...]:
    """Hold points with a box to initial."""
    return tuple(_hold(name, words, room_mm) for name, words in holds)


def _hold(name: str, words: str, room_mm: float) -> Row:
    box_mm = 13.0
    lines = text_rows(words, room_mm - box_mm - 8.0)
    tall = max(5.0, sum(row.height_mm for row in lines) + 1.2)

    def paint(x: float, top: float) -> tuple[Mark, ...]:
        frame = rectangle(x + room_mm - box_mm, top - tall + 0.8, box_mm, tall - 0.8)
        marks: list[Mark] = [
            Stroke(runs=(frame,), pen=RULE, fill=WHITE),
            letter(name, (x, top - 3.4), BODY, bold=True),
        ]
        y = top - 0.5 * (tall - 0.8 - sum(row.height_mm for row in lines)) + 0.2
        for row in lines:
            marks += row.paint(x + 6.5, y)
            y -= row.height_mm
        return tuple(marks)

    return Row(tall, paint)


def cautions(room_mm: float) -> Block:
    """The cautions that stand on every crew sheet."""
    rows = tuple(item(words, room_mm) for words in CAUTIONS)
    return Block(heading="Cautions", width_mm=room_mm, rows=rows, splits=True)


def area(job: Job, index: int) -> tuple[str, str, str]:
    """Name, net area, and its sum."""
    slab, f = job.takeoff.slabs[index], job.figures
    taken = sum(cutout.deducted_m2 for cutout in slab.cutouts)
    basis = f"{f.area(slab.gross_area_m2)} less {f.small_area(taken)} cut out" if taken else ""
    return slab.name, f"{f.area(slab.net_area_m2)} net", basis


def _zones(sketch: Sketch, job: Job, index: int) -> None:
    """The zones of the first coat of the page."""
    pour = first_pour(job)
    if pour is not None:
        draw_zones(sketch, pour, index)


def _site_points(sketch: Sketch, job: Job, index: int) -> None:
    """A way out that nobody has stated, and where the slab is tested."""
    if job.schedule is not None:
        draw_assumed_exit(sketch, job.schedule, index)
        draw_tests(sketch, job.schedule, index)


SHEET = SheetKind(
    name="crew",
    title="Crew sheet",
    shown=Shown(hand=True),
    lettering=Lettering(),
    blocks=blocks,
    area=area,
    first=_zones,
    last=_site_points,
)

"""Sheets: from a plan and its takeoff to pages of marks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import shapely

from ..errors import Fault, SheetError
from ..measure.model import SlabTakeoff, Takeoff
from ..plan.model import Plan
from ..units.figures import Figures
from . import crew, customer, estimator
from .annotate import letter_slab
from .arrange import PAD_MM, Arrangement, Need, arrange
from .blocks import Block, Row, text_rows
from .columns import COLUMN_GAP_MM, Area, fill, paint
from .floor import draw_floor
from .furniture import TitleBlock, frame, title_block, title_block_height
from .job import Job, SheetKind
from .marks import Group, Mark, Page, Run, Stroke
from .paper import METRIC_PAPERS, PAPERS, US_PAPERS, Paper, paper_named
from .pens import RULE
from .scales import Scale, read_scale, readable, scales
from .scaling import on_drawing, scale_block
from .sketch import Sketch
from .view import View
from .wording import units_words

SHEETS: dict[str, SheetKind] = {kind.name: kind for kind in (estimator.SHEET, crew.SHEET, customer.SHEET)}


def compose(
    plan: Plan,
    takeoff: Takeoff,
    *,
    sheet: str = "crew",
    paper: str | None = None,
    scale: str | None = None,
    work: Any = None,
    order: Any = None,
) -> tuple[Page, ...]:
    """The pages of one sheet.

    Args:
        plan: the plan.
        takeoff: of that plan.
        sheet: "estimator", "crew" or "customer".
        paper: a name from the table of papers; None takes the plan's, else what an office printer holds.
        scale: "1:48" or "auto"; None takes the plan's.
        work: pour zones, where they are known.
        order: material list, where it is known.

    Raises:
        SheetError: a sheet, paper or scale that is not known or cannot be drawn.
    """
    if sheet not in SHEETS:
        text = f'there is no sheet "{sheet}"'
        raise SheetError(Fault(code="sheet-unknown", text=text, hint=f"write one of {', '.join(SHEETS)}"))
    job = Job(plan=plan, takeoff=takeoff, figures=Figures(plan.units), work=work, order=order)
    kind = SHEETS[sheet]
    papers = _papers(job, paper)
    asked = read_scale(scale if scale is not None else plan.sheet.scale)
    drafts = [draft for group in _views(takeoff.slabs) for draft in _lay(job, kind, group, papers, asked)]
    return _pages(job, kind, drafts)


def _papers(job: Job, paper: str | None) -> list[Paper]:
    name = paper or job.plan.sheet.paper
    if name:
        return [paper_named(name)]
    return [PAPERS[each] for each in (US_PAPERS if job.figures.is_us else METRIC_PAPERS)]


def _views(slabs: Sequence[SlabTakeoff]) -> list[tuple[int, ...]]:
    """Slabs that share a drawing, by index: all of them, or each its own where they would overlap."""
    boxes = [slab.ring.bounds() for slab in slabs]
    apart = all(
        a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
        for i, a in enumerate(boxes)
        for b in boxes[:i]
    )
    every = tuple(range(len(slabs)))
    return [every] if apart else [(i,) for i in every]


def _bounds(job: Job, group: tuple[int, ...]) -> tuple[float, float, float, float]:
    boxes = [job.takeoff.slabs[i].ring.bounds() for i in group]
    x0, y0 = min(b[0] for b in boxes), min(b[1] for b in boxes)
    x1, y1 = max(b[2] for b in boxes), max(b[3] for b in boxes)
    return x0, y0, x1, y1


@dataclass(frozen=True, slots=True)
class _Draft:
    """A page without its title block; `drawn` is False for a page of text alone."""

    made: Arrangement
    marks: tuple[Mark, ...]
    drawn: bool


def _lay(
    job: Job, kind: SheetKind, group: tuple[int, ...], papers: Sequence[Paper], asked: Scale | None
) -> list[_Draft]:
    """Pages of slabs that share a drawing; bars and arrow go among the text where the drawing has no room."""
    for bars in ("drawing", "text"):
        made = _arranged(job, kind, group, papers, asked, bars)
        sketch = _draw(job, kind, made, group)
        if bars == "text" or _bars(sketch, job, made, group):
            return _drafts(sketch, made)
    raise AssertionError("bars among the text always have room")


def _arranged(
    job: Job, kind: SheetKind, group: tuple[int, ...], papers: Sequence[Paper], asked: Scale | None, bars: str
) -> Arrangement:
    x0, y0, x1, y1 = _bounds(job, group)
    need = Need(width_m=x1 - x0, height_m=y1 - y0, around_mm=(22.0, 20.5, 18.0, 16.5))
    metric = not job.figures.is_us
    tries = [asked] if asked else list(scales(metric=metric))
    limit = asked.ratio if asked else readable(metric=metric)

    def at(width: float, scale: Scale) -> list[Block]:
        blocks = kind.blocks(job, width, scale)
        return blocks if bars == "drawing" else [*blocks[:2], scale_block(job, width, scale), *blocks[2:]]

    made = arrange(need, at, papers, tries, limit) or arrange(need, at, papers[-1:], tries, 1e9)
    if made is None:
        text = "the plan does not fit on the paper at any standard scale"
        fault = Fault(code="sheet-too-small", text=text, hint="choose a larger paper or a smaller scale")
        raise SheetError(fault)
    return made


def _bars(sketch: Sketch, job: Job, made: Arrangement, group: tuple[int, ...]) -> bool:
    floor = shapely.union_all([sketch.view.region(job.takeoff.slabs[i].regions.outline) for i in group])
    return sketch.label("scale", on_drawing(job, made.drawing, made.scale, floor))


def _pages(job: Job, kind: SheetKind, drafts: Sequence[_Draft]) -> tuple[Page, ...]:
    return tuple(_page(job, kind, draft, number=k + 1, of=len(drafts)) for k, draft in enumerate(drafts))


def _drafts(sketch: Sketch, made: Arrangement) -> list[_Draft]:
    """The drawing with its text, then pages of text that found no room."""
    text = Group(marks=paint(made.filled, made.columns, made.column_mm), layer="text")
    drafts = [_Draft(made, (*sketch.groups(), _divider(made), text), True)]
    missing = _missing(sketch, made.column_mm)
    rest = [*made.filled.rest, *([missing] if missing else [])]
    while rest:
        area = made.frame.inset(PAD_MM)
        title = title_block_height(made.title.width)
        body = Area(area.x, area.y + title, area.width, area.height - title)
        count = max(1, int((body.width + COLUMN_GAP_MM) // (made.column_mm + COLUMN_GAP_MM)))
        filled = fill(rest, count, body.height)
        if not filled.placed:
            break
        page = Group(marks=paint(filled, body, made.column_mm), layer="text")
        drafts.append(_Draft(made, (page,), False))
        rest = list(filled.rest)
    return drafts


def _missing(sketch: Sketch, room_mm: float) -> Block | None:
    """What found no room on the drawing, in words."""
    rows: list[Row] = []
    for what, text in sketch.unplaced:
        rows += text_rows(f"{what}: {text}" if text else what, room_mm)
    heading = "Not lettered on the drawing"
    return Block(heading=heading, width_mm=room_mm, rows=tuple(rows), spills=True) if rows else None


def _draw(job: Job, kind: SheetKind, made: Arrangement, group: tuple[int, ...]) -> Sketch:
    x0, y0, x1, y1 = _bounds(job, group)
    area = made.drawing
    k = made.scale.paper_mm(1.0)
    left = area.x + 0.5 * (area.width - k * (x1 - x0)) + 2.0
    low = area.y + 0.5 * (area.height - k * (y1 - y0)) + 2.0
    view = View(made.scale, (left - k * x0, low - k * y0))
    bounds = (area.x + 1.0, area.y + 1.0, area.right - 1.0, area.top - 1.0)
    sketch = Sketch(view, bounds, job.figures)
    for i in group:
        draw_floor(sketch, job.takeoff.slabs[i], i + 1, kind.shown)
    for i in group:
        slab = job.takeoff.slabs[i]
        letter_slab(sketch, slab, dict(job.plan.edge_kinds), kind.area(job, i), kind.lettering)
    return sketch


def _divider(made: Arrangement) -> Stroke:
    """The rule between drawing and text."""
    area, frame_ = made.drawing, made.frame
    if area.right < frame_.right - 1.0:
        return Stroke(runs=(Run(((area.right, frame_.y), (area.right, frame_.top))),), pen=RULE)
    return Stroke(runs=(Run(((frame_.x, area.y), (frame_.right, area.y))),), pen=RULE)


def _page(job: Job, kind: SheetKind, draft: _Draft, *, number: int, of: int) -> Page:
    info, plan, made, drawn = job.plan.sheet, job.plan, draft.made, draft.drawn
    width, height = made.size_mm
    block = TitleBlock(
        owner=info.firm,
        address=info.address,
        title=plan.title,
        site=plan.site,
        sheet=kind.title,
        scale=str(made.scale) if drawn else "none",
        units=units_words(plan.units),
        paper=made.paper.name,
        revision=info.revision,
        date=info.date,
        drawn_by=info.drawn_by,
        number=number,
        of=of,
    )
    where = f", {plan.site}" if plan.site else ""
    names = ", ".join(slab.name for slab in job.takeoff.slabs)
    return Page(
        width_mm=width,
        height_mm=height,
        marks=(*draft.marks, title_block(block, made.title), frame(made.frame)),
        title=f"{plan.title}{where}: {kind.title.lower()}, page {number} of {of}",
        description=f"Floor plan of {names} at {made.scale} on {made.paper.name} paper.",
        scale=made.scale.ratio if drawn else 0.0,
        paper=made.paper.name,
    )

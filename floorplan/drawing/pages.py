"""Pages: a drawing with its text on one sheet, pages of text that found no room, and the title block."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import shapely

from ..values import dataclass
from .annotate import letter_area, letter_slab, letter_steps
from .arrange import PAD_MM, Arrangement, Need, arrange
from .blocks import Block, Row, text_rows
from .border import letter_border
from .columns import COLUMN_GAP_MM, Area, Filled, fill, least_height, paint
from .floor import draw_floor
from .furniture import TitleBlock, frame, title_block, title_block_height
from .job import Job, SheetKind
from .labels import Rows
from .lettering import FINE, wrap
from .marks import Group, Mark, Page, Run, Stroke
from .paper import Paper
from .pens import RULE
from .placing import Candidate
from .rooms import open_places, set_rows
from .scales import Scale
from .scaling import on_drawing, scale_block
from .sketch import Sketch
from .view import View
from .wording import units_words

AROUND_MM = (22.0, 20.5, 18.0, 16.5)
"""Paper that dimensions and names take around the floor: left, bottom, right, top."""


CLEAR_OF_FLOOR_MM = 16.0
"""The first dimension line with its figure; bars and arrow keep beyond it."""
NOT_LETTERED = "Not lettered on the drawing"
MOST_BESIDE, BESIDE_MM = 4, 38.0
"""As many notes as may stand beside the drawing instead of on a page of their own, and how wide."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What paper and scales may be used: papers in order, scales from the largest, the smallest readable."""

    papers: tuple[Paper, ...]
    scales: tuple[Scale, ...]
    limit: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A page without its title block, which must know how many pages there are.

    Attributes:
        scale: None for a page of text alone.
        what: of the page, added to its title ("key plan", "part 2"), "" for the sheet itself.
    """

    paper: Paper
    landscape: bool
    frame: Area
    title: Area
    marks: tuple[Mark, ...]
    scale: Scale | None
    what: str = ""


def bounds_m(job: Job, group: Sequence[int]) -> tuple[float, float, float, float]:
    """Box around slabs, metres."""
    boxes = [job.takeoff.slabs[i].ring.bounds() for i in group]
    return (
        min(b[0] for b in boxes),
        min(b[1] for b in boxes),
        max(b[2] for b in boxes),
        max(b[3] for b in boxes),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A drawing on its page, and the text that found no room there."""

    page: Draft
    made: Arrangement
    rest: tuple[Block, ...]

    def drafts(self) -> list[Draft]:
        """The page with pages of text behind it."""
        return [self.page, *text_pages(self.rest, self.made)]


def one_page(
    job: Job, kind: SheetKind, group: Sequence[int], wish: Wish, made: Arrangement | None
) -> Drawn | None:
    """The drawing of some slabs on one page as it was laid out; None where no paper holds it.

    Bars and arrow go on the drawing, or among the text where the drawing has no room.
    """
    if made is None:
        return None
    bars = _bars(job, made, group)
    if bars is None:
        made = arranged(job, kind, group, wish, bars=True)
        if made is None:
            return None
    sketch = draw(job, kind, made, group, bars)
    only_missing = _rest(sketch, made)[2]
    if only_missing and _note_missing(sketch, made, _floor(job, sketch.view, group)):
        sketch.unplaced.clear()
    return drawn(sketch, made)


def arranged(
    job: Job, kind: SheetKind, group: Sequence[int], wish: Wish, *, bars: bool, around: float | None = None
) -> Arrangement | None:
    """The page laid out; `bars` puts them among the text, `around` is the paper about a bare floor."""

    def at(width: float, scale: Scale) -> list[Block]:
        blocks = kind.blocks(job, width, scale)
        return [*blocks[:2], scale_block(job, width, scale), *blocks[2:]] if bars else blocks

    return arrange(need(job, group, around), at, wish.papers, wish.scales, wish.limit)


def need(job: Job, group: Sequence[int], around: float | None = None) -> Need:
    """The floor of some slabs with the paper about it."""
    x0, y0, x1, y1 = bounds_m(job, group)
    room = AROUND_MM if around is None else (around,) * 4
    return Need(width_m=x1 - x0, height_m=y1 - y0, around_mm=room)


def draw(
    job: Job, kind: SheetKind, made: Arrangement, group: Sequence[int], bars: Candidate | None
) -> Sketch:
    """Floor and lettering in the drawing's area, with scale bar and north where these stand on it."""
    sketch = Sketch(view_in(job, made.scale, made.drawing, group), inner(made.drawing), job.figures)
    if bars is not None:
        sketch.label("scale", [bars])
    for i in group:
        draw_floor(sketch, job.takeoff.slabs[i], i + 1, kind.shown)
    for letter in (_in_the_floor, _about_the_floor):
        for i in group:
            before = len(sketch.unplaced)
            letter(sketch, job, kind, i)
            if len(group) > 1:
                sketch.name_unplaced(before, job.takeoff.slabs[i].name)
    return sketch


def _in_the_floor(sketch: Sketch, job: Job, kind: SheetKind, index: int) -> None:
    if kind.first is not None:
        kind.first(sketch, job, index)
    letter_area(sketch, job.takeoff.slabs[index], kind.area(job, index))


def _about_the_floor(sketch: Sketch, job: Job, kind: SheetKind, index: int) -> None:
    slab = job.takeoff.slabs[index]
    letter_slab(sketch, slab, dict(job.plan.edge_kinds), kind.lettering)
    if kind.lettering.kinds:
        letter_steps(sketch, slab, job.takeoff.steps_of(index))
    letter_border(sketch, slab, products=kind.shown.hand)
    if kind.last is not None:
        kind.last(sketch, job, index)


def view_in(job: Job, scale: Scale, area: Area, group: Sequence[int]) -> View:
    """The floor in the middle of an area, a little up and to the right, where there are fewer dimensions."""
    x0, y0, x1, y1 = bounds_m(job, group)
    k = scale.paper_mm(1.0)
    left = area.x + 0.5 * (area.width - k * (x1 - x0)) + 2.0
    low = area.y + 0.5 * (area.height - k * (y1 - y0)) + 2.0
    return View(scale, (left - k * x0, low - k * y0))


def inner(area: Area) -> tuple[float, float, float, float]:
    """The part of an area that lettering may use."""
    return area.x + 1.0, area.y + 1.0, area.right - 1.0, area.top - 1.0


def _bars(job: Job, made: Arrangement, group: Sequence[int]) -> Candidate | None:
    """Bars and arrow on the drawing, beyond what dimensions take; None where there is no such place."""
    floor = _floor(job, view_in(job, made.scale, made.drawing, group), group)
    around = shapely.convex_hull(floor) if len(group) > 1 else floor
    return next(on_drawing(job, made.drawing, made.scale, around.buffer(CLEAR_OF_FLOOR_MM)), None)


def _floor(job: Job, view: View, group: Sequence[int]) -> Any:
    """The outlines of some slabs on paper."""
    return shapely.union_all([view.region(job.takeoff.slabs[i].regions.outline) for i in group])


def _note_missing(sketch: Sketch, made: Arrangement, floor: Any) -> bool:
    """Set what found no room in the drawing beside it, where a page would hold nothing else."""
    words = [f"{what}: {text}" if text else what for what, text in sketch.unplaced]
    lines = [line for word in words for line in wrap(word, FINE, BESIDE_MM)]
    rows: Rows = [(NOT_LETTERED, FINE, True), *((line, FINE, False) for line in lines)]
    beside = shapely.box(*inner(made.drawing)).difference(floor.buffer(CLEAR_OF_FLOOR_MM))
    return len(words) <= MOST_BESIDE and set_rows(sketch, open_places(beside), rows)


def _rest(sketch: Sketch, made: Arrangement) -> tuple[Filled, list[Block], bool]:
    """Text in its columns, what found no room there, and whether that is only what the drawing left out."""
    missing = missing_block(sketch, made.column_mm)
    filled = made.filled
    rest = [*filled.rest, *([missing] if missing else [])]
    if missing:
        # What found no room on the drawing goes under the text, where that has room left.
        more = fill([*made.blocks, missing], made.count, made.columns.height)
        if len(more.rest) <= len(filled.rest):
            filled, rest = more, list(more.rest)
    return filled, rest, rest == [missing]


def drawn(sketch: Sketch, made: Arrangement, what: str = "") -> Drawn:
    """The drawing with its text, and what found no room."""
    filled, rest, _ = _rest(sketch, made)
    text = Group(marks=paint(filled, made.columns, made.column_mm), layer="text")
    page = Draft(
        paper=made.paper,
        landscape=made.landscape,
        frame=made.frame,
        title=made.title,
        marks=(*sketch.groups(), _divider(made), text),
        scale=made.scale,
        what=what,
    )
    return Drawn(page=page, made=made, rest=tuple(rest))


def text_pages(blocks: Sequence[Block], made: Arrangement) -> list[Draft]:
    """Pages of text alone, in even columns."""
    pages: list[Draft] = []
    rest = list(blocks)
    width = made.frame.width
    title = Area(made.frame.x, made.frame.y, width, title_block_height(width))
    area = made.frame.inset(PAD_MM)
    body = Area(area.x, area.y + title.height, area.width, area.height - title.height)
    count = max(1, int((body.width + COLUMN_GAP_MM) // (made.column_mm + COLUMN_GAP_MM)))
    while rest:
        filled = fill(rest, count, least_height(rest, count, body.height) or body.height)
        if not filled.placed:
            raise AssertionError("a block is taller than a page")
        pages.append(
            Draft(
                paper=made.paper,
                landscape=made.landscape,
                frame=made.frame,
                title=title,
                marks=(Group(marks=paint(filled, body, made.column_mm), layer="text"),),
                scale=None,
                what="schedules",
            )
        )
        rest = list(filled.rest)
    return pages


def missing_block(sketch: Sketch, room_mm: float) -> Block | None:
    """What found no room on the drawing, in words."""
    rows: list[Row] = []
    for what, text in sketch.unplaced:
        rows += text_rows(f"{what}: {text}" if text else what, room_mm)
    return Block(heading=NOT_LETTERED, width_mm=room_mm, rows=tuple(rows), spills=True) if rows else None


def _divider(made: Arrangement) -> Stroke:
    """The rule between drawing and text."""
    area, outer = made.drawing, made.frame
    if area.right < outer.right - 1.0:
        return Stroke(runs=(Run(((area.right, outer.y), (area.right, outer.top))),), pen=RULE)
    return Stroke(runs=(Run(((outer.x, area.y), (outer.right, area.y))),), pen=RULE)


def finished(job: Job, kind: SheetKind, drafts_: Sequence[Draft]) -> tuple[Page, ...]:
    """Pages with title block and frame, numbered."""
    return tuple(_page(job, kind, draft, k + 1, len(drafts_)) for k, draft in enumerate(drafts_))


def _page(job: Job, kind: SheetKind, draft: Draft, number: int, of: int) -> Page:
    plan, info = job.plan, job.plan.sheet
    width, height = draft.paper.size_mm(landscape=draft.landscape)
    block = TitleBlock(
        owner=info.firm,
        address=info.address,
        title=plan.title,
        site=plan.site,
        sheet=f"{kind.title}: {draft.what}" if draft.what else kind.title,
        scale=str(draft.scale) if draft.scale else "none",
        units=units_words(plan.units),
        paper=draft.paper.name,
        revision=info.revision,
        date=info.date,
        drawn_by=info.drawn_by,
        number=number,
        of=of,
        logo=info.logo_data,
    )
    where = f", {plan.site}" if plan.site else ""
    part = f" ({draft.what})" if draft.what else ""
    names = ", ".join(slab.name for slab in job.takeoff.slabs)
    drawn = f"Floor plan of {names} at {draft.scale}" if draft.scale else f"Schedules for {names}"
    return Page(
        width_mm=width,
        height_mm=height,
        marks=(*draft.marks, title_block(block, draft.title), frame(draft.frame)),
        title=f"{plan.title}{where}: {kind.title.lower()}{part}, page {number} of {of}",
        description=f"{drawn} on {draft.paper.name} paper.",
        scale=draft.scale.ratio if draft.scale else 0.0,
        paper=draft.paper.name,
        number=number,
        of=of,
    )

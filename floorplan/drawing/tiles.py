"""A drawing too large for one sheet: a key plan, then parts of the floor that match along their edges.

All parts are of one size; a *match line* runs where two of them meet and names the page that goes on.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely

from ..errors import Fault, SheetError
from ..values import dataclass, replace
from .annotate import letter_area, letter_slab, letter_steps
from .blocks import rectangle
from .border import letter_border
from .columns import Area
from .floor import draw_floor
from .furniture import frame_area, title_block_height
from .job import Job, SheetKind
from .lettering import BODY, FINE, HEAD, LOUD, letter
from .marks import Anchor, Group, Mark, Run, Stroke
from .pages import AROUND_MM, Draft, Wish, arranged, bounds_m, drawn, missing_block, text_pages, view_in
from .paper import Paper
from .pens import MATCH
from .placing import CLEAR_MM, Candidate, text_box
from .rooms import Lettering
from .scales import Scale
from .scaling import on_drawing
from .sketch import Sketch
from .view import View

EDGE_MM = 7.0
"""Strip around a part for the words of its match lines."""
MOST = 60
PLAIN = Lettering(
    sides=False,
    kinds=False,
    corners=False,
    cutouts=False,
    located=False,
    joints=False,
    chains=False,
    arrows=False,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Grid:
    """Parts in rows and columns over the floor with the paper that its dimensions take, mm on paper."""

    paper: Paper
    landscape: bool
    scale: Scale
    frame: Area
    title: Area
    columns: int
    rows: int
    wide: float
    tall: float

    @property
    def count(self) -> int:
        return self.columns * self.rows

    @property
    def drawing(self) -> Area:
        low = self.title.top
        return Area(self.frame.x, low, self.frame.width, self.frame.top - low)

    def window(self) -> tuple[float, float, float, float]:
        """Where every part stands on its page."""
        area = self.drawing
        x, y = area.x + 0.5 * (area.width - self.wide), area.y + 0.5 * (area.height - self.tall)
        return x, y, x + self.wide, y + self.tall


def tiled(job: Job, kind: SheetKind, group: Sequence[int], wish: Wish) -> list[Draft]:
    """A key plan with all the text, then the parts.

    Raises:
        SheetError: the scale would need too many pages.
    """
    grid = _grid(job, group, wish)
    parts = _parts(job, kind, group, grid)
    key_scales = tuple(
        Scale(float(ratio)) for ratio in (120, 192, 240, 360, 480, 600, 1000, 2000, 5000, 10000)
    )
    smaller = tuple(scale for scale in (*wish.scales, *key_scales) if scale.ratio > grid.scale.ratio)
    loose = Wish(
        papers=(grid.paper,), scales=tuple(sorted(set(smaller), key=lambda s: s.ratio)), limit=math.inf
    )
    made = arranged(job, kind, group, loose, bars=True, around=12.0)
    if made is None:
        text = "the plan does not fit on the paper at any standard scale"
        raise SheetError(Fault(code="sheet-too-small", text=text, hint="choose a larger paper"))
    key = _key(job, kind, group, made.scale, made.drawing, grid, parts)
    pages = [_part(job, kind, group, grid, parts, k) for k in range(len(parts))]
    first, *rest = drawn(key, made, "key plan").drafts()
    missing = [block for _, sketch in pages if (block := missing_block(sketch, made.column_mm))]
    return [first, *(page for page, _ in pages), *rest, *text_pages(missing, made)]


def _grid(job: Job, group: Sequence[int], wish: Wish) -> _Grid:
    """The way to cut the floor that takes the fewest pages, at the smallest scale that is still readable."""
    paper = wish.papers[-1]
    scale = max((s for s in wish.scales if s.ratio <= wish.limit), key=lambda s: s.ratio)
    x0, y0, x1, y1 = bounds_m(job, group)
    left, bottom, right, top = AROUND_MM
    wide, tall = scale.paper_mm(x1 - x0) + left + right, scale.paper_mm(y1 - y0) + bottom + top
    grids = []
    for landscape in (True, False):
        outer = frame_area(*paper.size_mm(landscape=landscape))
        title = Area(outer.x, outer.y, outer.width, title_block_height(outer.width))
        room_w, room_h = outer.width - 2.0 * EDGE_MM, outer.height - title.height - 2.0 * EDGE_MM
        columns, rows = math.ceil(wide / room_w - 1e-9), math.ceil(tall / room_h - 1e-9)
        grids.append(
            _Grid(
                paper=paper,
                landscape=landscape,
                scale=scale,
                frame=outer,
                title=title,
                columns=columns,
                rows=rows,
                wide=wide / columns,
                tall=tall / rows,
            )
        )
    best = min(grids, key=lambda grid: grid.count)
    if best.count > MOST:
        text = f"at {scale} the plan would take {best.count} pages of {paper.name}"
        raise SheetError(
            Fault(code="sheet-too-many", text=text, hint="choose a larger paper or a smaller scale")
        )
    return best


@dataclass(frozen=True, slots=True)
class _Place:
    """A part that has floor in it: its column and row from the upper left."""

    column: int
    row: int


def _view(job: Job, group: Sequence[int], grid: _Grid, place: _Place) -> View:
    """The floor moved so that this part comes to stand in the window."""
    x0, y0, _, _ = bounds_m(job, group)
    left, bottom, _, _ = AROUND_MM
    window = grid.window()
    low_row = grid.rows - 1 - place.row
    k = grid.scale.paper_mm(1.0)
    origin = (
        window[0] + left - place.column * grid.wide - k * x0,
        window[1] + bottom - low_row * grid.tall - k * y0,
    )
    return View(grid.scale, origin, window)


def _parts(job: Job, kind: SheetKind, group: Sequence[int], grid: _Grid) -> list[_Place]:
    places = [_Place(column, row) for row in range(grid.rows) for column in range(grid.columns)]
    return [
        place
        for place in places
        if any(
            not _view(job, group, grid, place).region(job.takeoff.slabs[i].regions.outline).is_empty
            for i in group
        )
    ]


def _key(
    job: Job,
    kind: SheetKind,
    group: Sequence[int],
    scale: Scale,
    area: Area,
    grid: _Grid,
    parts: Sequence[_Place],
) -> Sketch:
    """The whole floor, small, with the parts and their pages."""
    view = view_in(job, scale, area, group)
    sketch = Sketch(view, (area.x + 1.0, area.y + 1.0, area.right - 1.0, area.top - 1.0), job.figures)
    for i in group:
        draw_floor(sketch, job.takeoff.slabs[i], i + 1, replace(kind.shown, hand=False, joints=False))
    share = grid.scale.ratio / scale.ratio
    x0, y0, _, _ = bounds_m(job, group)
    low = view.xy(x0, y0)
    left, bottom, _, _ = AROUND_MM
    for k, place in enumerate(parts):
        x = low[0] + share * (place.column * grid.wide - left)
        y = low[1] + share * ((grid.rows - 1 - place.row) * grid.tall - bottom)
        wide, tall = share * grid.wide, share * grid.tall
        part = rectangle(x, y, wide, tall)
        sketch.add("labels", Stroke(runs=(part,), pen=MATCH))
        sketch.block((part,))
        sketch.label("labels", _numbers(str(k + 2), x, y, wide, tall))
    for i in group:
        letter_area(sketch, job.takeoff.slabs[i], kind.area(job, i))
    for i in group:
        letter_slab(sketch, job.takeoff.slabs[i], dict(job.plan.edge_kinds), PLAIN)
    return sketch


def _numbers(number: str, x: float, y: float, wide: float, tall: float) -> Iterator[Candidate]:
    """Ways to set the number of a page in its part: in the middle, then round about, then smaller."""
    for height in (LOUD, HEAD, BODY):
        for dy in (0.0, 0.15, -0.15, 0.3, -0.3):
            for dx in (0.0, 0.15, -0.15, 0.3, -0.3):
                at = (x + (0.5 + dx) * wide, y + (0.5 + dy) * tall - 0.5 * height)
                text = letter(number, at, height, anchor=Anchor.MIDDLE, bold=True)
                yield Candidate(marks=(text,), boxes=(text_box(text, CLEAR_MM),))


def _part(
    job: Job, kind: SheetKind, group: Sequence[int], grid: _Grid, parts: Sequence[_Place], k: int
) -> tuple[Draft, Sketch]:
    """One part at full scale with its lettering and match lines."""
    view = _view(job, group, grid, parts[k])
    assert view.window is not None
    sketch = Sketch(view, view.window, job.figures)
    for i in group:
        draw_floor(sketch, job.takeoff.slabs[i], i + 1, kind.shown)
    for i in group:
        if kind.first is not None:
            kind.first(sketch, job, i)
        slab = job.takeoff.slabs[i]
        letter_slab(sketch, slab, dict(job.plan.edge_kinds), kind.lettering)
        letter_steps(sketch, slab, job.takeoff.steps_of(i))
        letter_border(sketch, slab, products=kind.shown.hand)
    floor = shapely.union_all([view.region(job.takeoff.slabs[i].regions.outline) for i in group])
    sketch.label("scale", on_drawing(job, Area(*view.window[:2], grid.wide, grid.tall), grid.scale, floor))
    marks = (*sketch.groups(), Group(marks=_match_lines(grid, parts, parts[k]), layer="match-lines"))
    draft = Draft(
        paper=grid.paper,
        landscape=grid.landscape,
        frame=grid.frame,
        title=grid.title,
        marks=marks,
        scale=grid.scale,
        what=f"part {k + 1} of {len(parts)}",
    )
    return draft, sketch


def _match_lines(grid: _Grid, parts: Sequence[_Place], place: _Place) -> tuple[Mark, ...]:
    """A line along each side where another part goes on, with its page."""
    x0, y0, x1, y1 = grid.window()
    middle_x, middle_y = 0.5 * (x0 + x1), 0.5 * (y0 + y1)
    sides = (
        ((1, 0), ((x1, y0), (x1, y1)), (x1 + 1.5 + BODY, middle_y), 90.0),
        ((-1, 0), ((x0, y0), (x0, y1)), (x0 - 1.5, middle_y), 90.0),
        ((0, -1), ((x0, y1), (x1, y1)), (middle_x, y1 + 1.5), 0.0),
        ((0, 1), ((x0, y0), (x1, y0)), (middle_x, y0 - 1.5 - BODY), 0.0),
    )
    marks: list[Mark] = []
    for (dx, dy), line, at, angle in sides:
        other = _Place(place.column + dx, place.row + dy)
        if other in parts:
            words = f"match line: continued on page {parts.index(other) + 2}"
            marks.append(Stroke(runs=(Run(line),), pen=MATCH))
            marks.append(letter(words, at, FINE, anchor=Anchor.MIDDLE, angle_deg=angle, bold=True))
    return tuple(marks)

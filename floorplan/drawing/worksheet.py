"""The site sheet: what the estimator takes along to measure, blank or for a slab that is partly known.

The first page of a slab is squared paper to draw on, with the outline where one is known, and the keys to
what is
written there; the pages behind it hold a box for every length, joint and post.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from ..measure.tape_needs import Line, SlabNeeds
from ..plan.edge_kinds import SHIPPED
from ..plan.model import EdgeKind, JointKind, Plan, SheetInfo, Treatment
from ..units.figures import Figures
from ..units.length import UnitStyle
from ..values import dataclass
from .blocks import Block, Row, item, rectangle, stack, text_rows
from .columns import COLUMN_GAP_MM, Area, fill, least_height, paint
from .forms import Cell, blank_row, form, tick_row
from .furniture import TitleBlock, frame, frame_area, side_by_side, title_block, title_block_height
from .lettering import BODY, FINE, letter
from .marks import Group, Mark, Page, Stroke
from .paper import Paper
from .pens import WHITE
from .scales import Scale, scales
from .worksheet_sketch import fitting_scale, grid, outline, squares

_PAD_MM = 3.0
_SPARE_LINES = 4
_BLANK_LINES = 14

HOW_TO_TAPE = (
    "Letter the corners in order round the slab, A at the house.",
    "Tape every side, a fan from one corner, and lengths across the fan: the fan alone closes however it is"
    " misread.",
    "Arc: chord from corner to corner, and rise at the middle of it, out or in.",
    "Post or drain: its middle from two corners, and its size.",
    "Write 12-6 1/2 for feet and inches, never 12.6. Is the zero of the reel at the ring or at a mark?",
    "Square corner: check 6-8-10 before you call it square.",
)
HOW_TO_TAPE_METRIC = (
    *HOW_TO_TAPE[:4],
    "Write metres with a point, 3.81, or millimetres, 3810. Is the reel's zero at the ring or at a mark?",
    "Square corner: check 3-4-5 before you call it square.",
)
SITE = (
    "Gate or door width",
    "Power and outlet",
    "Steps, slopes on the way",
    "Fall runs to",
    "Old coating or sealer",
)
CAUTIONS = (
    "Post-tension, floor heat or conduit in the slab: no saw-cutting until that is settled.",
    "Old coating or mastic may hold lead or asbestos: stop and have it tested.",
)
_JOINTS = (
    Cell("joint", 1.6),
    Cell("from", 1.3),
    Cell("to", 1.3),
    Cell("wide", 1.0),
    Cell("deep", 1.0),
    Cell("do", 1.4),
)
_POSTS = (
    Cell("what", 1.5),
    Cell("size", 1.5),
    Cell("from corner", 1.5),
    Cell("from corner", 1.5),
    Cell("gap", 1.0),
)
_STEPS = (
    Cell("where", 2.0),
    Cell("width", 1.0),
    Cell("tread", 1.0),
    Cell("riser", 1.0),
    Cell("how many", 1.0),
)
WHY = {
    "": "",
    "taped": "taped",
    "needed": "to fix a corner",
    "check": "to check the rest",
    "again": "tape again",
}


@dataclass(frozen=True, slots=True)
class _Sheet:
    """What all pages share."""

    paper: Paper
    figures: Figures
    title: str
    site: str
    info: SheetInfo
    kinds: Mapping[str, EdgeKind]

    @property
    def metric(self) -> bool:
        """Metric squares and hints."""
        return not self.figures.is_us


@dataclass(frozen=True, slots=True)
class _Draft:
    marks: tuple[Mark, ...]
    scale: Scale | None
    what: str


def compose_worksheet(
    needs: Sequence[SlabNeeds], plan: Plan | None, *, paper: Paper, metric: bool
) -> tuple[Page, ...]:
    """The pages for each slab, all numbered together.

    Args:
        needs: what is known and wanted of each slab.
        plan: title, site and firm; None for a blank sheet.
        paper: always upright.
        metric: squares and hints in metres, for a blank sheet; a plan has its own units.
    """
    sheet = _Sheet(
        paper=paper,
        figures=Figures(plan.units if plan else UnitStyle.M if metric else UnitStyle.FT_IN),
        title=plan.title if plan else "",
        site=plan.site if plan else "",
        info=plan.sheet if plan else SheetInfo(),
        kinds=plan.edge_kinds if plan else SHIPPED,
    )
    drafts = [draft for slab in needs for draft in _slab(sheet, slab)]
    return tuple(_page(sheet, draft, k + 1, len(drafts)) for k, draft in enumerate(drafts))


def _slab(sheet: _Sheet, needs: SlabNeeds) -> Iterator[_Draft]:
    body = _body(sheet)
    column = (body.width - 2 * COLUMN_GAP_MM) / 3
    keys = _keys(sheet, column)
    low = least_height(keys, 3, body.height) or body.height
    strip = Area(body.x, body.y, body.width, low)
    field = Area(body.x, strip.top + 2.0, body.width, body.height - low - 2.0)
    marks, scale = _sketch(sheet, needs, field)
    text = Group(marks=paint(fill(keys, 3, low), strip, column), layer="text")
    yield _Draft((*marks, text), scale, needs.name)
    yield from _tables(sheet, needs, body)


def _body(sheet: _Sheet) -> Area:
    """Inside the frame, above the title block."""
    outer = frame_area(*sheet.paper.size_mm(landscape=False))
    title = title_block_height(outer.width)
    area = outer.inset(_PAD_MM)
    return Area(area.x, area.y + title, area.width, area.height - title)


def _sketch(sheet: _Sheet, needs: SlabNeeds, field: Area) -> tuple[tuple[Mark, ...], Scale | None]:
    """Squared paper, with the outline at a standard scale, or as a scheme where its shape is not known."""
    paper = squares(metric=sheet.metric)
    lines, area = grid(field, paper)
    if needs.ring is None:
        return (lines, *_caption("1 square =", area, blank_mm=22.0)), None
    if not needs.to_scale:
        x0, _, x1, _ = needs.ring.bounds()
        scheme = Scale((x1 - x0) * 1000.0 / (0.5 * min(area.width, area.height)))
        drawn = outline(needs, needs.ring, area, scheme, paper)
        return (lines, drawn, *_caption("order of the corners only, not to scale", area)), None
    scale = fitting_scale(needs.ring, area, scales(metric=sheet.metric))
    square = sheet.figures.length(paper.size_mm * scale.ratio / 1000.0)
    drawn = outline(needs, needs.ring, area, scale, paper)
    return (lines, drawn, *_caption(f"1 square = {square}", area)), scale


def _caption(content: str, area: Area, *, blank_mm: float = 0.0) -> tuple[Mark, ...]:
    """Words in the corner of the squares, on white, with room to write behind them."""
    words = letter(content, (area.x + 2.0, area.top - 4.5), BODY)
    behind = rectangle(area.x + 0.8, area.top - 5.8, words.width_mm + 2.4 + blank_mm, 5.0)
    return (Stroke(runs=(behind,), fill=WHITE), words)


def _keys(sheet: _Sheet, room: float) -> list[Block]:
    kinds = [name for name in sheet.kinds if name != "unknown"]
    treatments = ", ".join(treatment.value for treatment in Treatment)
    how = HOW_TO_TAPE_METRIC if sheet.metric else HOW_TO_TAPE
    return [
        Block(heading="Along each side, write", width_mm=room, rows=_two_columns(kinds, room)),
        Block(
            heading="Joints, write",
            width_mm=room,
            rows=(
                *_two_columns([kind.value for kind in JointKind], room),
                stack(text_rows(f"and: {treatments}", room)),
            ),
        ),
        Block(heading="How to tape", width_mm=room, rows=tuple(item(line, room) for line in how)),
        Block(
            heading="On site",
            width_mm=room,
            rows=(
                *(blank_row(caption, room) for caption in SITE),
                *tick_row(("water soaks in", "water beads", "moisture tested"), room, per_row=2),
                *(item(line, room) for line in CAUTIONS),
            ),
        ),
    ]


def _two_columns(names: Sequence[str], room: float) -> tuple[Row, ...]:
    """Names with their codes, down two columns."""
    words = [f"{code}  {name}" for name, code in short_codes(names).items()]
    half = (len(words) + 1) // 2
    rows = []
    for k in range(half):
        left = stack(text_rows(words[k], 0.5 * room))
        if k + half < len(words):
            right = stack(text_rows(words[k + half], 0.5 * room))
            rows.append(side_by_side([(0.0, left), (0.5 * room, right)]))
        else:
            rows.append(left)
    return tuple(rows)


def short_codes(names: Iterable[str]) -> dict[str, str]:
    """A code of two letters for each name, to be written on the sketch: initials, or the start of one word.

    >>> short_codes(["garage door", "wall", "slab", "slot"])
    {'garage door': 'GD', 'wall': 'WA', 'slab': 'SL', 'slot': 'SO'}
    """
    codes: dict[str, str] = {}
    for name in names:
        words = name.split()
        plain = "".join(word[0] for word in words) if len(words) > 1 else name
        pairs = [plain[:2], *(plain[0] + letter for letter in plain[1:])]
        tries = (code.upper() for code in (*pairs, *(f"{plain[0]}{k}" for k in range(2, len(codes) + 3))))
        codes[name] = next(code for code in tries if code not in codes.values())
    return codes


def _tables(sheet: _Sheet, needs: SlabNeeds, body: Area) -> Iterator[_Draft]:
    """Forms for lengths, joints and posts, in two columns, on as many pages as they take."""
    room = (body.width - COLUMN_GAP_MM) / 2
    rest: tuple[Block, ...] = tuple(_forms(needs, room, short_codes(sheet.kinds)))
    while rest:
        filled = fill(rest, 2, body.height)
        if not filled.placed:
            raise AssertionError("a form row is taller than a page")
        what = f"{needs.name}, lengths" if needs.name else "lengths"
        yield _Draft((Group(marks=paint(filled, body, room), layer="text"),), None, what)
        rest = filled.rest


def _forms(needs: SlabNeeds, room: float, codes: Mapping[str, str]) -> Iterator[Block]:
    if needs.trouble:
        rows = text_rows(needs.trouble, room, height=FINE)
        yield Block(heading="Not measured yet", width_mm=room, rows=tuple(rows), loud=True, spills=True)
    if needs.stations:
        yield _stations(needs, room)
    else:
        yield _sides(needs, room, codes)
        yield _others(needs, room)
    yield _form_block("Joints", _JOINTS, [("",) * len(_JOINTS)] * 12, room)
    yield _form_block("Posts, drains, planters, pads", _POSTS, [("",) * len(_POSTS)] * 10, room)
    yield _form_block("Steps and faces", _STEPS, [("",) * len(_STEPS)] * 3, room)


def _sides(needs: SlabNeeds, room: float, codes: Mapping[str, str]) -> Block:
    cells = (
        Cell("side", 1.1),
        Cell("length", 2.0),
        Cell("along", 1.0),
        Cell("arc rise", 1.5),
        Cell("square?", 1.0),
    )
    sides = [line for line in needs.lines if line.is_side]
    lines = [
        (line.name, _typed(line), "" if kind == "unknown" else codes.get(kind, ""), arc, "")
        for line, kind, arc in zip(sides, needs.kinds, needs.arcs, strict=False)
    ]
    lines += [("",) * 5] * (_SPARE_LINES if lines else _BLANK_LINES)
    return _form_block("Sides", cells, lines, room)


def _typed(line: Line) -> str:
    return f"{line.typed} ?" if line.why == "again" else line.typed


def _others(needs: SlabNeeds, room: float) -> Block:
    cells = (Cell("from - to", 1.4), Cell("length", 2), Cell("why", 1.8))
    others = [line for line in needs.lines if not line.is_side]
    lines = [(line.name, _typed(line), WHY[line.why]) for line in others]
    doubt = any(line.why == "again" for line in needs.lines)
    heading = "Diagonals and other lengths" + (" (? does not fit)" if doubt else "")
    lines += [("",) * 3] * (_SPARE_LINES if lines else _BLANK_LINES)
    return _form_block(heading, cells, lines, room)


def _stations(needs: SlabNeeds, room: float) -> Block:
    lines = [(line.name, line.typed) for line in needs.lines]
    lines += [("", "")] * _SPARE_LINES
    return _form_block("Baseline and offsets", (Cell("station", 1), Cell("offset", 1)), lines, room)


def _form_block(heading: str, cells: Sequence[Cell], lines: Sequence[Sequence[str]], room: float) -> Block:
    head, rows = form(cells, lines, room)
    return Block(heading=heading, width_mm=room, rows=rows, head_rows=(head,), splits=True, spills=True)


def _page(sheet: _Sheet, draft: _Draft, number: int, of: int) -> Page:
    width, height = sheet.paper.size_mm(landscape=False)
    outer = frame_area(width, height)
    scale = str(draft.scale) if draft.scale else ""
    block = TitleBlock(
        owner=sheet.info.firm,
        address=sheet.info.address,
        title=sheet.title,
        site=sheet.site,
        sheet=f"Site sheet: {draft.what}" if draft.what else "Site sheet",
        scale=scale,
        units="metres" if sheet.metric else "feet and inches",
        paper=sheet.paper.name,
        revision="",
        date="",
        drawn_by="",
        number=number,
        of=of,
    )
    title = Area(outer.x, outer.y, outer.width, title_block_height(outer.width))
    name = sheet.title or "blank"
    return Page(
        width_mm=width,
        height_mm=height,
        marks=(*draft.marks, title_block(block, title), frame(outer)),
        title=f"{name}: site sheet, page {number} of {of}",
        description=f"Sheet to measure a slab by hand on {sheet.paper.name} paper.",
        scale=draft.scale.ratio if draft.scale else 0.0,
        paper=sheet.paper.name,
        number=number,
        of=of,
    )

"""Frame, title block, scale bar and north arrow."""

from __future__ import annotations

from collections.abc import Sequence

from ..units.factors import FOOT_M, INCH_MM
from ..units.figures import Figures
from ..values import dataclass, field
from .blocks import Row, rectangle
from .columns import Area
from .lettering import BODY, DESCENT, FINE, HEAD, LEADING, SOFT, TITLE, letter, shortened, width_mm, wrap
from .marks import Anchor, Group, Mark, Run, Stroke
from .pens import BLACK, FRAME, RULE, THIN, WHITE
from .plane import left_of, polar, shifted
from .scales import Scale

MARGIN_MM = 10.0
TWO_LINES_MM = 9.0
"""A cell of the title block at least this high takes two lines."""
BINDING_MM = 20.0
"""Left margin of sheets that go into a folder (ISO 5457, from memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TitleBlock:
    """What the title block says: the essentials of ISO 7200; "" leaves a field to be written in by hand."""

    owner: str
    address: tuple[str, ...]
    title: str
    site: str
    sheet: str
    scale: str
    units: str
    paper: str
    revision: str
    date: str
    drawn_by: str
    number: int = 1
    of: int = 1
    logo: bytes = field(default=b"", repr=False)


def frame_area(width_mm_: float, height_mm: float) -> Area:
    """The area inside the frame; large sheets have a binding margin at the left."""
    left = BINDING_MM if max(width_mm_, height_mm) > 380.0 else MARGIN_MM
    return Area(left, MARGIN_MM, width_mm_ - left - MARGIN_MM, height_mm - 2.0 * MARGIN_MM)


def frame(area: Area) -> Stroke:
    """The frame of the sheet."""
    return Stroke(runs=(rectangle(area.x, area.y, area.width, area.height),), pen=FRAME)


@dataclass(frozen=True, slots=True)
class _Cell:
    caption: str
    value: str
    share: float
    height: float = BODY
    bold: bool = False
    logo: bytes = b""


def title_block_height(width: float) -> float:
    """Height of the title block at a width."""
    return sum(height for height, _ in _title_rows(_EMPTY, width))


def title_block(block: TitleBlock, area: Area) -> Group:
    """The title block filling an area."""
    marks: list[Mark] = [Stroke(runs=(rectangle(area.x, area.y, area.width, area.height),), pen=FRAME)]
    rules: list[Run] = []
    top = area.top
    for height, cells in _title_rows(block, area.width):
        x = area.x
        whole = sum(cell.share for cell in cells)
        for k, cell in enumerate(cells):
            wide = area.width * cell.share / whole
            marks += _cell(cell, x, top, wide, height)
            if k:
                rules.append(Run(((x, top), (x, top - height))))
            x += wide
        top -= height
        if top > area.y + 0.1:
            rules.append(Run(((area.x, top), (area.right, top))))
    marks.insert(1, Stroke(runs=tuple(rules), pen=RULE))
    return Group(marks=tuple(marks), layer="title-block")


def _title_rows(block: TitleBlock, width: float) -> list[tuple[float, tuple[_Cell, ...]]]:
    b = block
    sheet = _Cell("Sheet", f"{b.number} of {b.of}", 1.0)
    revision = _Cell("Revision", b.revision, 0.9)
    date = _Cell("Date", b.date, 1.3)
    scale = _Cell("Scale", b.scale, 2.2)
    drawn, approved = _Cell("Drawn by", b.drawn_by, 1.5), _Cell("Approved", "", 1.5)
    site = _Cell("Site", b.site, 3.0)
    units = _Cell("Dimensions", b.units, 1.7)
    owner = _Cell(", ".join(b.address) or "Firm", b.owner, 2.6, HEAD, True, b.logo)
    title = _Cell("Title", b.title, 3.6, TITLE if width > 150.0 else HEAD, True)
    kind = _Cell("Drawing", b.sheet, 1.9, HEAD, True)
    paper = _Cell("Paper", b.paper, 1.0)
    if width > 150.0:
        return [
            (11.0, (owner, title, kind)),
            (8.0, (site, scale, units, date, revision, drawn, approved, paper, sheet)),
        ]
    if width > 100.0:
        return [
            (10.5, (title, kind)),
            (8.0, (site, scale, units)),
            (8.0, (owner, date, revision, drawn, approved, sheet)),
        ]
    rows = [
        (9.5, (title,)),
        (9.0, (kind, sheet)),
        (8.0, (site,)),
        (8.0, (scale,)),
        (8.0, (units, paper)),
        (8.0, (date, revision)),
        (8.0, (drawn, approved)),
    ]
    return [*rows, (9.5, (owner,))]


_EMPTY = TitleBlock(
    owner="",
    address=(),
    title="",
    site="",
    sheet="",
    scale="",
    units="",
    paper="",
    revision="",
    date="",
    drawn_by="",
)


def _cell(cell: _Cell, x: float, top: float, wide: float, height: float) -> list[Mark]:
    room = wide - 2.4
    marks: list[Mark] = []
    if cell.logo:
        # Few sheets have one, and reading pictures takes a package of its own.
        from .logo import logo_marks

        logo_wide = min(0.4 * wide, 3.0 * height)
        marks += logo_marks(cell.logo, x + 1.0, top - height + 1.0, logo_wide, height - 2.0)
        x, room = x + logo_wide + 1.0, room - logo_wide - 1.0
    marks += [letter(shortened(cell.caption, 1.5, room), (x + 1.2, top - 2.1), 1.5, colour=SOFT)]
    size = cell.height
    while size > BODY and width_mm(cell.value, size, cell.bold) > room:
        size = max(size - 0.5, BODY)
    low = top - height + 0.6
    if width_mm(cell.value, size, cell.bold) > room and height >= TWO_LINES_MM:
        # A long title stands small on two lines before it is cut.
        lines = wrap(cell.value, FINE, room, bold=cell.bold)
        first, rest = lines[0], shortened(" ".join(lines[1:]), FINE, room, bold=cell.bold)
        for line, up in ((first, LEADING * FINE), (rest, 0.0)):
            marks.append(letter(line, (x + 1.2, low + DESCENT * FINE + up), FINE, bold=cell.bold))
        return marks
    while size > FINE and width_mm(cell.value, size, cell.bold) > room:
        size = max(size - 0.5, FINE)
    line = shortened(cell.value, size, room, bold=cell.bold)
    if line:
        marks.append(letter(line, (x + 1.2, low + DESCENT * size), size, bold=cell.bold))
    return marks


def scale_bar(scale: Scale, figures: Figures, room_mm: float) -> Row:
    """A bar in the plan's units, alternately black and white, with its figures."""
    step_m = _step_m(scale, figures, room_mm)
    step = scale.paper_mm(step_m)
    count = max(2, min(5, int((room_mm - 12.0) // step)))

    def paint(x: float, top: float) -> tuple[Mark, ...]:
        y = top - 7.0
        marks: list[Mark] = [Stroke(runs=(rectangle(x, y, step * count, 2.0),), pen=THIN, fill=WHITE)]
        black = tuple(rectangle(x + step * k, y, step, 2.0) for k in range(0, count, 2))
        marks.append(Stroke(runs=black, fill=BLACK))
        for k in range(count + 1):
            words = (
                _bar_figure(step_m * k, figures) if k < count else _bar_figure(step_m * k, figures, unit=True)
            )
            anchor = Anchor.START if k == 0 else Anchor.MIDDLE
            marks.append(letter(words, (x + step * k, top - 4.0), FINE, anchor=anchor))
        return tuple(marks)

    return Row(9.0, paint)


def _step_m(scale: Scale, figures: Figures, room_mm: float) -> float:
    unit = FOOT_M if figures.is_us else 1.0
    for step in (0.5, 1, 2, 5, 10, 20, 50, 100):
        if scale.paper_mm(step * unit) * 4 >= 0.55 * (room_mm - 12.0):
            return step * unit
    return 200.0 * unit


def _bar_figure(length_m: float, figures: Figures, *, unit: bool = False) -> str:
    number = f"{length_m / (FOOT_M if figures.is_us else 1.0):g}"
    return f"{number} {'ft' if figures.is_us else 'm'}" if unit else number


def print_check(figures: Figures) -> Row:
    """A bar of 2 in or 50 mm on paper, to see whether the printer kept the size."""
    length = 2.0 * INCH_MM if figures.is_us else 50.0
    words = "2 in" if figures.is_us else "50 mm"

    def paint(x: float, top: float) -> tuple[Mark, ...]:
        y = top - 6.5
        line = Run(((x, y), (x + length, y)))
        ends = tuple(Run(((x + k, y - 1.5), (x + k, y + 1.5))) for k in (0.0, length))
        bar = Stroke(
            runs=(line, *ends), pen=RULE, id="print-check", title=f"{words} long when printed true to size"
        )
        return (letter(f"Print check: this line is {words} long", (x, top - 3.2), FINE), bar)

    return Row(9.5, paint)


NORTH_MM = 17.0
"""Room that the north arrow takes beside the bars."""


def north_arrow(north_deg: float, size_mm: float = 11.0) -> Row:
    """An arrow to the north, north on the sheet given counter-clockwise from the right."""
    north = polar(north_deg)
    half = 0.5 * size_mm

    def paint(x: float, top: float) -> tuple[Mark, ...]:
        middle = (x + half + 3.2, top - half - 4.2)
        tip, tail = shifted(middle, north, half), shifted(middle, north, -half)
        left, right = shifted(tail, left_of(north), 2.6), shifted(tail, left_of(north), -2.6)
        notch = shifted(tail, north, 2.4)
        dark, light = Run((tip, left, notch), closed=True), Run((tip, notch, right), closed=True)
        word = shifted(middle, north, half + 2.6)
        return (
            Stroke(runs=(light,), pen=RULE, fill=WHITE),
            Stroke(runs=(dark,), pen=RULE, fill=BLACK),
            letter("N", (word[0], word[1] - 0.5 * BODY), BODY, anchor=Anchor.MIDDLE, bold=True),
        )

    return Row(size_mm + 6.0, paint)


def side_by_side(rows: Sequence[tuple[float, Row]]) -> Row:
    """Rows beside each other, each at its distance from the left."""
    tall = max(row.height_mm for _, row in rows)
    return Row(tall, lambda x, top: tuple(mark for dx, row in rows for mark in row.paint(x + dx, top)))

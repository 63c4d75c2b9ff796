"""The sketch field of a site sheet: squares to draw on, and the outline as far as it is known."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from ..geometry.rings import Ring
from ..measure.tape_needs import Line, SlabNeeds
from ..units.factors import INCH_MM
from ..values import dataclass
from .arcs import chords
from .blocks import rectangle
from .columns import Area
from .labels import corner_letter
from .lettering import FINE, letter
from .marks import XY, Anchor, Group, Mark, Pen, Run, Stroke
from .pens import FINE as FINE_PEN
from .pens import GREY, MEDIUM, WHITE, dashed
from .placing import Candidate, Crowd
from .plane import direction
from .scales import Scale
from .view import View

_CLEAR_MM = (12.0, 10.0)
"""Paper kept free beside and above the outline."""
_BOX_MM = (19.0, 6.0)
_GRID = Pen(0.13, "#a8a8a8")
_GRID_STRONG = Pen(0.18, "#808080")
_NEEDED = dashed(0.25, 14.0, 6.0)
_TAPED = Pen(0.18, GREY)


@dataclass(frozen=True, slots=True)
class Squares:
    """Squared paper: size of a square, and every how many one line is strong."""

    size_mm: float
    strong: int


def squares(*, metric: bool) -> Squares:
    """Quarter inches, strong every inch; or 5 mm, strong every 25."""
    return Squares(5.0, 5) if metric else Squares(INCH_MM / 4.0, 4)


def grid(area: Area, paper: Squares) -> tuple[Group, Area]:
    """Squared paper in an area, and the whole squares that it takes."""
    columns, rows = int(area.width // paper.size_mm), int(area.height // paper.size_mm)
    width, height = columns * paper.size_mm, rows * paper.size_mm
    field = Area(area.x + 0.5 * (area.width - width), area.top - height, width, height)
    thin: list[Run] = []
    strong: list[Run] = []
    for k in range(columns + 1):
        x = field.x + k * paper.size_mm
        (thin if k % paper.strong else strong).append(Run(((x, field.y), (x, field.top))))
    for k in range(rows + 1):
        y = field.top - k * paper.size_mm
        (thin if k % paper.strong else strong).append(Run(((field.x, y), (field.right, y))))
    marks = (
        Stroke(runs=tuple(thin), pen=_GRID, texture=True),
        Stroke(runs=tuple(strong), pen=_GRID_STRONG, texture=True),
    )
    return Group(marks=marks, layer="grid"), field


def fitting_scale(ring: Ring, area: Area, scales: tuple[Scale, ...]) -> Scale:
    """The largest scale at which the outline leaves room for boxes around it; the smallest where none
    does."""
    x0, y0, x1, y1 = ring.bounds()
    for scale in scales:
        room = area.width - 2 * _CLEAR_MM[0], area.height - 2 * _CLEAR_MM[1]
        if scale.paper_mm(x1 - x0) <= room[0] and scale.paper_mm(y1 - y0) <= room[1]:
            return scale
    return scales[-1]


def outline(needs: SlabNeeds, ring: Ring, area: Area, scale: Scale, paper: Squares) -> Group:
    """The outline with corner letters, a box for the length of each side, and the lengths to tape across."""
    view = _view(ring, area, scale, paper)
    points = view.points(ring.points)
    crowd = Crowd((area.x, area.y, area.right, area.top))
    run = Run(points, tuple(float(b) for b in ring.bulges), closed=True)
    crowd.add_line(chords(run))
    marks: list[Mark] = [Stroke(runs=(run,), pen=MEDIUM, id="worksheet-outline")]
    others = view.points([(x, y) for _, x, y in needs.points])
    at = dict(
        zip((*needs.labels, *(label for label, _, _ in needs.points)), (*points, *others), strict=False)
    )
    marks += _across(needs, at)
    marks += _letters(at, crowd)
    marks += [Stroke(runs=_cross(point), pen=MEDIUM) for point in others]
    marks += _side_boxes(needs, ring, points, crowd)
    return Group(marks=tuple(marks), layer="outline")


def _view(ring: Ring, area: Area, scale: Scale, paper: Squares) -> View:
    """The outline about the middle of the squares, its first corner where two lines cross."""
    x0, y0, x1, y1 = ring.bounds()
    k = scale.paper_mm(1.0)
    left = area.x + 0.5 * (area.width - k * (x1 - x0)) - k * x0
    low = area.y + 0.5 * (area.height - k * (y1 - y0)) - k * y0
    x, y = (float(v) * k for v in ring.points[0])
    size = paper.size_mm
    left += round((left + x - area.x) / size) * size - (left + x - area.x)
    low += round((low + y - area.y) / size) * size - (low + y - area.y)
    return View(scale, (left, low))


def _cross(at: XY) -> tuple[Run, ...]:
    """A mark at a point, 3 mm across."""
    x, y = at
    return Run(((x - 1.5, y), (x + 1.5, y))), Run(((x, y - 1.5), (x, y + 1.5)))


def _across(needs: SlabNeeds, at: Mapping[str, XY]) -> Iterator[Mark]:
    """Diagonals: taped ones thin, those to be taped dashed."""
    for pen, wanted in ((_TAPED, False), (_NEEDED, True)):
        runs = tuple(
            Run((at[line.start], at[line.end]))
            for line in needs.lines
            if _is_across(line, at) and _is_open(line) is wanted
        )
        if runs:
            yield Stroke(runs=runs, pen=pen)


def _is_across(line: Line, at: Mapping[str, XY]) -> bool:
    return not line.is_side and line.start in at and line.end in at


def _is_open(line: Line) -> bool:
    return not line.typed or line.why == "again"


def _letters(at: Mapping[str, XY], crowd: Crowd) -> Iterator[Mark]:
    middle = tuple(sum(point[i] for point in at.values()) / len(at) for i in (0, 1))
    for label, point in at.items():
        outward = math.degrees(math.atan2(point[1] - middle[1], point[0] - middle[0]))
        placed = crowd.place(corner_letter(point, outward, label))
        yield from placed or ()


def _side_boxes(needs: SlabNeeds, ring: Ring, points: tuple[XY, ...], crowd: Crowd) -> Iterator[Mark]:
    """A box beside each side with its length, or empty to be written in; sides too crowded have the table
    only."""
    sides = [line for line in needs.lines if line.is_side]
    if len(sides) != len(points):
        return
    way = 1.0 if ring.is_ccw else -1.0
    for k, line in enumerate(sides):
        a, b = points[k], points[(k + 1) % len(points)]
        ux, uy = direction(a, b)
        out = (uy * way, -ux * way)
        rise = 0.5 * way * float(ring.bulges[k]) * math.dist(a, b)
        text = f"{line.typed} ?" if line.typed and line.why == "again" else line.typed
        inward = (-out[0], -out[1])
        ways = (*_boxes(text, a, b, out, rise), *_boxes(text, a, b, inward, -rise))
        yield from crowd.place(ways) or ()


def _boxes(text: str, a: XY, b: XY, out: XY, rise: float) -> Iterator[Candidate]:
    wide, tall = _BOX_MM
    half = 0.5 * (wide * abs(out[0]) + tall * abs(out[1]))
    for share in (0.5, 0.4, 0.6, 0.3, 0.7):
        for far in (1.5, 4.0, 8.0):
            # The arc stands off its chord by about this much there.
            off = far + half + rise * (1.0 - (2.0 * share - 1.0) ** 2)
            x, y = (a[i] + share * (b[i] - a[i]) + out[i] * off for i in (0, 1))
            corner = (x - 0.5 * wide, y - 0.5 * tall)
            box = rectangle(*corner, wide, tall)
            marks: list[Mark] = [Stroke(runs=(box,), pen=FINE_PEN, fill=WHITE)]
            if text:
                marks.append(letter(text, (x, y - 0.5 * FINE), FINE, anchor=Anchor.MIDDLE))
            yield Candidate(tuple(marks), boxes=(box.points,))

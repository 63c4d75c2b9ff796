"""Placing labels: no text over text, and no text over a line that it does not belong to.

A *candidate* is one way to set a label: its marks, with the boxes of its text and the lines that it draws. A
label offers candidates from the best to the last; the first one that fits is taken and stands in the way of
later ones. Where none fits the caller is told, and puts the label into a table.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from typing import Any, Final

import numpy as np
import shapely

from ..values import dataclass
from .lettering import ASCENT, DESCENT
from .marks import XY, Anchor, Mark, Text

CLEAR_MM: Final = 0.5
"""Least distance of a text box from anything else."""
ALONG_MM: Final = 1.0
"""Lines nearer than this that run alike look like one."""
_CELL_MM: Final = 10.0
_HAIR_MM: Final = 1e-6
_FEW_PLACES: Final = 16
"""So many places are looked at first, then four times as many, and so on."""
_HANGING: Final = frozenset("gjpqyQ,;()[]{}|_/@§çşţμ")
_SHARE: Final = {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}

Hull = tuple[XY, ...]
"""Corners of a convex figure: a box has four, a piece of a line two."""


def text_box(text: Text, clear_mm: float = 0.0) -> Hull:
    """The box around a text, widened all round by `clear_mm`."""
    low = 0.05 if _HANGING.isdisjoint(text.content) else DESCENT
    x0 = -_SHARE[text.anchor] * text.width_mm - clear_mm
    x1 = x0 + text.width_mm + 2.0 * clear_mm
    y0, y1 = -low * text.height_mm - clear_mm, ASCENT * text.height_mm + clear_mm
    turn = math.radians(text.angle_deg)
    cos, sin = math.cos(turn), math.sin(turn)
    x, y = text.at
    return (
        (x + cos * x0 - sin * y0, y + sin * x0 + cos * y0),
        (x + cos * x1 - sin * y0, y + sin * x1 + cos * y0),
        (x + cos * x1 - sin * y1, y + sin * x1 + cos * y1),
        (x + cos * x0 - sin * y1, y + sin * x0 + cos * y1),
    )


def box(x0: float, y0: float, x1: float, y1: float) -> Hull:
    """An upright box."""
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def around(hulls: Sequence[Hull]) -> Hull:
    """The upright box around several."""
    xs, ys = [x for hull in hulls for x, _ in hull], [y for hull in hulls for _, y in hull]
    return box(min(xs), min(ys), max(xs), max(ys))


@dataclass(frozen=True, slots=True)
class Candidate:
    """One way to set a label.

    Attributes:
        marks: what is drawn.
        boxes: what nothing may touch.
        lines: what later text may not touch; each a row of points.
        apart: lines that may not run along one that is there already.
    """

    marks: tuple[Mark, ...]
    boxes: tuple[Hull, ...] = ()
    lines: tuple[tuple[XY, ...], ...] = ()
    apart: tuple[tuple[XY, XY], ...] = ()


@dataclass(slots=True)
class _Thing:
    hull: Hull
    low: XY
    high: XY
    solid: bool
    soft: bool
    upright: bool


class Crowd:
    """Everything that already stands on a part of the paper.

    `bounds` (x0, y0, x1, y1) is the paper that labels may use. Changes as labels are placed; one Crowd
    belongs to one page being laid out.
    """

    def __init__(self, bounds: tuple[float, float, float, float]) -> None:
        self.bounds = bounds
        self._cells: dict[tuple[int, int], list[_Thing]] = {}
        self._tree: shapely.STRtree | None = None
        # Whether something runs along a line, which ways to set a label share; good until a thing is added.
        self._asked: dict[tuple[XY, XY], bool] = {}
        self.boxes: list[Hull] = []

    def add_box(self, hull: Hull) -> None:
        """Keep a box clear of text and lines."""
        self.boxes.append(hull)
        self._add(hull, solid=True, soft=False)

    def add_line(self, points: Sequence[XY], *, soft: bool = False) -> None:
        """Keep text off a line; `soft` lines are those of labels, which others rather do not cross."""
        for start, end in itertools.pairwise(points):
            for hull in _short(start, end):
                self._add(hull, solid=False, soft=soft)

    def fits(self, candidate: Candidate, *, crossing: bool) -> bool:
        """True when its text touches nothing and (unless `crossing`) its lines cross no other label's."""
        return self._has_room(candidate) and self._clear(candidate, crossing)

    def place(self, candidates: Iterable[Candidate], *, crossing: bool = True) -> tuple[Mark, ...] | None:
        """Take the first candidate that fits: without crossing lines if possible, else with."""
        crossed = []
        for candidate in candidates:
            if not self._has_room(candidate):
                continue
            if self._clear(candidate, crossing=False):
                return self.take(candidate)
            crossed.append(candidate)
        if crossing:
            for candidate in crossed:
                if self._clear(candidate, crossing=True):
                    return self.take(candidate)
        return None

    def take(self, candidate: Candidate) -> tuple[Mark, ...]:
        """Set a candidate down whether it fits or not."""
        for hull in candidate.boxes:
            self.add_box(hull)
        for line in candidate.lines:
            self.add_line(line, soft=True)
        return candidate.marks

    def free_places(self, places: Sequence[XY], reach: tuple[float, float, float, float]) -> Iterator[XY]:
        """Those of many places where an upright box, given about a place, touches nothing; in their order.

        Most often one of the first is taken, so that the others need not be looked at.
        """
        start, count = 0, _FEW_PLACES
        while start < len(places):
            some = places[start : start + count]
            if self._tree is None:
                self._tree = shapely.STRtree(self._figures())
            x, y = np.array(some).T
            boxes = shapely.box(x + reach[0], y + reach[1], x + reach[2], y + reach[3])
            taken = set(self._tree.query(boxes, predicate="intersects")[0].tolist())
            yield from (place for k, place in enumerate(some) if k not in taken)
            start, count = start + count, 4 * count

    def _figures(self) -> list[Any]:
        things = {id(thing): thing for cell in self._cells.values() for thing in cell}.values()
        lines = [thing.hull for thing in things if len(thing.hull) == 2]
        solids = [shapely.Polygon(thing.hull) for thing in things if len(thing.hull) > 2]
        figures: list[Any] = [*solids]
        if lines:
            figures += list(np.atleast_1d(np.asarray(shapely.linestrings(np.array(lines)))))
        return figures

    def _has_room(self, candidate: Candidate) -> bool:
        """True when it is on the paper, its text touches nothing and no line runs along its own."""
        # What is cheap to tell comes first: most candidates leave the paper.
        return (
            self._inside(candidate.boxes)
            and self._inside(candidate.lines)
            and self._free(candidate.boxes)
            and not any(self._beside(line) for line in candidate.apart)
        )

    def _inside(self, hulls: Iterable[tuple[XY, ...]]) -> bool:
        x0, y0, x1, y1 = self.bounds
        for hull in hulls:
            for x, y in hull:
                if not (x0 <= x <= x1 and y0 <= y <= y1):
                    return False
        return True

    def _free(self, hulls: Iterable[Hull]) -> bool:
        for hull in hulls:
            upright = _upright(hull)
            for thing in self._near(hull):
                if _touch(hull, upright, thing):
                    return False
        return True

    def _clear(self, candidate: Candidate, crossing: bool) -> bool:
        """True when its lines run through no text and (unless `crossing`) cross no other label's lines."""
        for line in candidate.lines:
            for start, end in itertools.pairwise(line):
                for hull in _short(start, end):
                    for thing in self._near(hull):
                        if (thing.solid or (thing.soft and not crossing)) and _touch(hull, False, thing):
                            return False
        return True

    def _beside(self, line: tuple[XY, XY]) -> bool:
        """True when a line of the drawing runs along this one, within a millimetre, for more than 3 mm."""
        if line not in self._asked:
            (x0, y0), (x1, y1) = _ends(line)
            around_ = box(x0 - ALONG_MM, y0 - ALONG_MM, x1 + ALONG_MM, y1 + ALONG_MM)
            near = self._near(around_)
            self._asked[line] = any(len(thing.hull) == 2 and _runs_along(line, thing.hull) for thing in near)
        return self._asked[line]

    def _add(self, hull: Hull, *, solid: bool, soft: bool) -> None:
        self._tree = None
        self._asked.clear()
        low, high = _ends(hull)
        thing = _Thing(hull, low, high, solid, soft, _upright(hull))
        for cell in _cells(low, high):
            self._cells.setdefault(cell, []).append(thing)

    def _near(self, hull: Hull) -> list[_Thing]:
        """Things whose upright box overlaps that of a hull; one may come twice."""
        (x0, y0), (x1, y1) = low, high = _ends(hull)
        cells = self._cells
        return [
            thing
            for cell in _cells(low, high)
            if cell in cells
            for thing in cells[cell]
            if thing.low[0] < x1 and thing.high[0] > x0 and thing.low[1] < y1 and thing.high[1] > y0
        ]


def _runs_along(line: Hull, other: Hull) -> bool:
    (x0, y0), (x1, y1) = line
    length = math.dist(line[0], line[1])
    if length < 1e-9:
        return False
    dx, dy = (x1 - x0) / length, (y1 - y0) / length
    if any(abs(dx * (y - y0) - dy * (x - x0)) >= ALONG_MM for x, y in other):
        return False
    along = sorted(dx * (x - x0) + dy * (y - y0) for x, y in other)
    return min(along[1], length) - max(along[0], 0.0) > 3.0


def _upright(hull: Hull) -> bool:
    """True for boxes along the paper's edges: their ends say all of them."""
    return (
        len(hull) == 4 and hull[0][1] == hull[1][1] and hull[1][0] == hull[2][0] and hull[0][0] == hull[3][0]
    )


def _ends(hull: Hull) -> tuple[XY, XY]:
    """Lower left and upper right of the upright box around a hull; a flat one is given a hair of width."""
    if len(hull) == 2:
        (ax, ay), (bx, by) = hull
        x0, x1 = (ax, bx) if ax <= bx else (bx, ax)
        y0, y1 = (ay, by) if ay <= by else (by, ay)
    else:
        xs, ys = [x for x, _ in hull], [y for _, y in hull]
        x0, x1, y0, y1 = min(xs), max(xs), min(ys), max(ys)
    return (x0 - _HAIR_MM, y0 - _HAIR_MM), (x1 + _HAIR_MM, y1 + _HAIR_MM)


def _cells(low: XY, high: XY) -> list[tuple[int, int]]:
    x0, y0 = int(low[0] // _CELL_MM), int(low[1] // _CELL_MM)
    x1, y1 = int(high[0] // _CELL_MM), int(high[1] // _CELL_MM)
    if x0 == x1 and y0 == y1:
        return [(x0, y0)]
    return [(x, y) for x in range(x0, x1 + 1) for y in range(y0, y1 + 1)]


def _short(start: XY, end: XY) -> list[Hull]:
    """A line in pieces of a few cells, so that a long slanting one does not fill its whole box with cells."""
    count = int(math.dist(start, end) // (3.0 * _CELL_MM)) + 1
    if count == 1:
        return [(start, end)]
    (x0, y0), (x1, y1) = start, end
    stops = [k / count for k in range(count + 1)]
    # Each piece reaches a hair into the next, so that nothing slips through between them.
    return [
        ((x0 + (x1 - x0) * low, y0 + (y1 - y0) * low), (x0 + (x1 - x0) * high, y0 + (y1 - y0) * high))
        for low, high in ((a, min(1.0, b + _HAIR_MM)) for a, b in itertools.pairwise(stops))
    ]


def _touch(hull: Hull, upright: bool, thing: _Thing) -> bool:
    """True when two convex figures whose upright boxes overlap share more than a boundary.

    The sides of an upright box part nothing that the boxes did not part already.
    """
    other = thing.hull
    return not ((not upright and _parted(hull, other)) or (not thing.upright and _parted(other, hull)))


def _parted(a: Hull, b: Hull) -> bool:
    """True when a line along a side of `a` parts the two."""
    if len(a) == 2:
        return _line_parts(a, b)
    for (x0, y0), (x1, y1) in zip(a, a[1:] + a[:1], strict=True):
        nx, ny = y0 - y1, x1 - x0
        mine = [nx * x + ny * y for x, y in a]
        its = [nx * x + ny * y for x, y in b]
        if max(mine) <= min(its) or max(its) <= min(mine):
            return True
    return False


def _line_parts(line: Hull, other: Hull) -> bool:
    """True when a figure lies on one side of a line, or both are lines that end before each other."""
    (x0, y0), (x1, y1) = line
    dx, dy = x1 - x0, y1 - y0
    off = [dx * (y - y0) - dy * (x - x0) for x, y in other]
    if min(off) >= 0.0 or max(off) <= 0.0:
        return True
    if len(other) > 2:
        return False
    along = [dx * (x - x0) + dy * (y - y0) for x, y in other]
    return min(along) >= dx * dx + dy * dy or max(along) <= 0.0

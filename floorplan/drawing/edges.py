"""Edges on paper: sides of the outline and rings of cut-outs, with what stands along them."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from shapely import LineString, box, intersection

from ..measure.model import Edge, SlabTakeoff
from ..values import dataclass
from .arcs import chords, heading_at, piece_points, point_at
from .marks import XY, Pen, Run, Stroke
from .pens import EDGE_HAND, EDGE_OTHER, EDGE_UNKNOWN, TICK, TICK_EVERY_MM, TICK_LENGTH_MM
from .plane import shifted
from .sketch import Sketch
from .view import View, line_runs

UNKNOWN = "unknown"
TICKED_FROM_MM = 3.0
"""A shorter side on paper has no room for ticks."""


@dataclass(frozen=True, slots=True)
class PaperSide:
    """A side of an outline on paper, in the user's direction.

    Attributes:
        out: +1 when the open side (off the floor) lies to the right of travel, -1 when to the left.
    """

    edge: Edge
    start: XY
    end: XY
    bulge: float
    out: float

    @property
    def chord_mm(self) -> float:
        """Straight distance of the ends."""
        return math.dist(self.start, self.end)

    @property
    def rise_out_mm(self) -> float:
        """How far the arc stands out of the floor beyond its chord; negative where it stands in."""
        return 0.5 * self.bulge * self.chord_mm * self.out

    def at(self, share: float) -> XY:
        """The point a share of the way along."""
        return point_at(self.start, self.end, self.bulge, share)

    def along(self, share: float = 0.5) -> XY:
        """Direction of travel there."""
        return heading_at(self.start, self.end, self.bulge, share)

    def outward(self, share: float = 0.5) -> XY:
        """Unit direction off the floor there."""
        x, y = self.along(share)
        return y * self.out, -x * self.out

    @property
    def chord_outward(self) -> XY:
        """Unit direction off the floor, square to the chord."""
        chord = max(self.chord_mm, 1e-9)
        x, y = (self.end[0] - self.start[0]) / chord, (self.end[1] - self.start[1]) / chord
        return y * self.out, -x * self.out

    def run(self) -> Run:
        """The side as a run."""
        return Run((self.start, self.end), (self.bulge,))


def paper_sides(slab: SlabTakeoff, view: View) -> list[PaperSide]:
    """Sides of the outline in the user's order."""
    out = 1.0 if slab.ring.is_ccw else -1.0
    corners = view.points(slab.ring.points)
    by_side = {edge.side: edge for edge in slab.edges if edge.side is not None}
    return [
        PaperSide(by_side[i], corner, corners[(i + 1) % len(corners)], float(slab.ring.bulges[i]), out)
        for i, corner in enumerate(corners)
        if i in by_side
    ]


def edge_pen(edge: Edge) -> Pen:
    """The line of an edge by what stands along it."""
    if edge.kind == UNKNOWN:
        return EDGE_UNKNOWN
    return EDGE_HAND if edge.hand_grind else EDGE_OTHER


def draw_side(sketch: Sketch, side: PaperSide, slab_id: str) -> None:
    """One side: its line, and ticks outside where it is ground by hand."""
    runs = _seen(sketch.view, side.run())
    if not runs:
        return
    edge = side.edge
    words = f"{edge.label}: {edge.kind}{', ground by hand' if edge.hand_grind else ''}"
    name = sketch.new_id(slab_id, "edge", edge.label)
    sketch.add("edges", Stroke(runs=runs, pen=edge_pen(edge), id=name, title=words))
    sketch.block(runs)
    if edge.hand_grind and math.dist(side.start, side.end) >= TICKED_FROM_MM:
        every = (tick for run in runs for tick in _ticks(run, side.out))
        ticks = tuple(tick for tick in every if all(sketch.view.shows(point) for point in tick.points))
        if ticks:
            sketch.add("edges", Stroke(runs=ticks, pen=TICK))
            sketch.block(ticks)


def draw_plain_side(sketch: Sketch, side: PaperSide) -> None:
    """One side for a reader who does not grind: one line for all kinds."""
    runs = _seen(sketch.view, side.run())
    if runs:
        sketch.add("edges", Stroke(runs=runs, pen=EDGE_OTHER))
        sketch.block(runs)


def _seen(view: View, run: Run) -> tuple[Run, ...]:
    if view.window is None:
        return (run,)
    return line_runs(intersection(LineString(chords(run, 0.01)), box(*view.window)))


def _ticks(run: Run, out: float) -> Iterator[Run]:
    """Slanting ticks off the floor along a run, evenly spaced, none at the very ends."""
    points = [run.points[0]]
    for start, end, bulge in run.pieces():
        points += piece_points(start, end, bulge)
    total = sum(math.dist(a, b) for a, b in itertools.pairwise(points))
    count = max(1, round(total / TICK_EVERY_MM))
    half = TICK_LENGTH_MM * math.sqrt(0.5)
    for at, along in _spaced(points, total, count):
        normal = (along[1] * out, -along[0] * out)
        yield Run((at, shifted(shifted(at, normal, half), along, -half)))


def _spaced(points: list[XY], total: float, count: int) -> Iterator[tuple[XY, XY]]:
    """`count` points evenly along a line, each in the middle of its share, with the direction there."""
    stops = iter((k + 0.75) * total / count for k in range(count))
    stop: float | None = next(stops)
    gone = 0.0
    for a, b in itertools.pairwise(points):
        length = math.dist(a, b)
        along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length) if length else (1.0, 0.0)
        while stop is not None and stop <= gone + length:
            yield shifted(a, along, stop - gone), along
            stop = next(stops, None)
        if stop is None:
            return
        gone += length

"""Lettering of a drawing: dimensions first where they have least choice, notes last."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from ..measure.model import MeasuredSteps, SlabTakeoff
from ..measure.smooth import listed_edges, smooth_sides
from ..measure.steps import edge_of
from ..plan.job import counted
from ..plan.model import EdgeKind
from .arrows import draw_arrows
from .chains import letter_chains
from .cutout_labels import letter_cutouts
from .dimensions import FIRST_MM, overall_dimension, side_dimension
from .edges import UNKNOWN, PaperSide, paper_sides
from .labels import SIDE_SHARES, area_rows, corner_letter, joint_label, note, side_name
from .lettering import FINE
from .plane import direction
from .rooms import Lettering, open_places, said, set_rows
from .sketch import Sketch
from .view import line_strings
from .wording import arc_words, edge_words, side_lengths

STEPS_MM = 8.0
"""Least distance of the name of steps from their side."""
CLOSE_MM = 1.0
"""How close together places for a name are tried in a floor that is all but full."""


def letter_area(sketch: Sketch, slab: SlabTakeoff, area: tuple[str, str, str]) -> None:
    """Set the name of a slab, its area and what that rests on in its floor, else beside it on a leader.

    Before the dimensions of any slab on the page, since a floor is the only place for its name.
    """
    name, figure, basis = area
    places = open_places(sketch.view.region(slab.regions.net))
    if not places:
        return
    if set_rows(sketch, places, *area_rows(name, figure, basis)):
        return
    if sketch.label("labels", note(places[0], [name, figure], nearest=11.0)):
        return
    # Where only one of the two fits, the name: the lists give the area by it.
    close = open_places(sketch.view.region(slab.regions.net), CLOSE_MM)
    if not set_rows(sketch, close, [(name, FINE, True), (figure, FINE, False)]):
        set_rows(sketch, close, [(name, FINE, True)])
        sketch.unplaced.append(("area", figure))


def letter_slab(sketch: Sketch, slab: SlabTakeoff, kinds: dict[str, EdgeKind], what: Lettering) -> None:
    """Letter one slab, but for its name and area."""
    every = _seen(sketch, paper_sides(slab, sketch.view))
    smooth = smooth_sides(slab)
    sides = [side for side in every if side.edge.side not in smooth]
    if what.arrows:
        draw_arrows(sketch, slab)
    if what.kinds:
        _kinds(sketch, slab, sides, kinds, what)
        _smooth_edge(sketch, slab, [side for side in every if side.edge.side in smooth], kinds, what)
    if what.sides:
        _sides(sketch, slab, sides, what)
        _overall(sketch, slab, what)
    if what.corners:
        _corners(sketch, slab)
    if what.cutouts:
        letter_cutouts(sketch, slab, what)
    if what.chains:
        letter_chains(sketch, slab)
    if what.joints:
        _joints(sketch, slab)


def letter_steps(sketch: Sketch, slab: SlabTakeoff, flights: Sequence[MeasuredSteps]) -> None:
    """Name the flights of steps at the side where they stand; a cut-out is lettered already."""
    sides = {side.edge.side: side for side in _seen(sketch, paper_sides(slab, sketch.view))}
    for flight in (flight.steps for flight in flights):
        edge = edge_of(slab, flight)
        side = sides.get(edge.side) if edge is not None and edge.side is not None else None
        if side is None:
            continue
        words = f"{flight.name}: {counted(flight.treads, 'tread')}"
        ways = (
            way for s in SIDE_SHARES for way in note(side.at(s), [words], nearest=STEPS_MM, heights=(FINE,))
        )
        if not sketch.label("labels", ways):
            sketch.unplaced.append((words, f"at side {side.edge.label}"))


def _seen(sketch: Sketch, sides: list[PaperSide]) -> list[PaperSide]:
    """Sides whose middle lies on this piece of paper."""
    if sketch.view.window is None:
        return sides
    return [side for side in sides if sketch.view.shows(side.at(0.5))]


def _kinds(
    sketch: Sketch, slab: SlabTakeoff, sides: list[PaperSide], kinds: dict[str, EdgeKind], what: Lettering
) -> None:
    for side in sorted(sides, key=lambda side: (side.edge.kind != UNKNOWN, side.chord_mm)):
        loud = side.edge.kind == UNKNOWN and what.asks
        words = "ASK: what is here?" if loud else side.edge.kind if what.asks else ""
        if what.masks and not loud:
            words = edge_words(side.edge, kinds, sketch.figures)
        lines = [words]
        if side.bulge and not loud and not what.coarse:
            lines.append(arc_words(slab, side.edge, sketch.figures))
        if not words:
            continue
        length = math.dist(side.start, side.end)
        points = [(side.at(s), side.along(s), side.outward(s)) for s in SIDE_SHARES]
        if sketch.label("labels", side_name(points, length, lines, loud=loud)):
            continue
        if loud:
            sketch.label("labels", note(side.at(0.5), ["ASK"], loud=True), crossing=True)
        elif side.bulge:
            sketch.label("labels", note(side.at(0.5), lines, nearest=11.0))
        elif what.masks:
            sketch.label("labels", side_name(points, length, [side.edge.kind.upper()]))


def _smooth_edge(
    sketch: Sketch, slab: SlabTakeoff, sides: list[PaperSide], kinds: dict[str, EdgeKind], what: Lettering
) -> None:
    """One label for the arcs that draw a smooth edge, at their middle or as near it as there is room."""
    if not sides:
        return
    whole = next(edge for edge in listed_edges(slab) if edge.side == min(smooth_sides(slab)))
    words = edge_words(whole, kinds, sketch.figures) if what.masks else whole.kind if what.asks else ""
    length = f"smooth edge {whole.label}, {said(whole.length_m, sketch, what)}"
    for side in sorted(sides, key=lambda side: abs(sides.index(side) - len(sides) // 2)):
        if sketch.label("labels", note(side.at(0.5), [words, length] if words else [length], nearest=6.0)):
            return
    sketch.unplaced.append((whole.label, said(whole.length_m, sketch, what)))


def _sides(sketch: Sketch, slab: SlabTakeoff, sides: list[PaperSide], what: Lettering) -> None:
    texts = side_lengths(slab, sketch.figures, coarse=what.coarse)
    for side in sorted(sides, key=lambda side: side.chord_mm):
        if not (sketch.view.shows(side.start) and sketch.view.shows(side.end)):
            _cut_side(sketch, side, texts)
            continue
        beyond = max(0.0, side.rise_out_mm)
        text = texts[side.edge.side] if side.edge.side is not None else ""
        ways = side_dimension(side.start, side.end, side.chord_outward, text, beyond=beyond)
        led = note(side.at(0.5), [f"{side.edge.label} {text}"], nearest=9.0, heights=(FINE,))
        if not sketch.label("dimensions", ways) and not sketch.label("dimensions", led, crossing=False):
            sketch.unplaced.append((side.edge.label, text))


def _cut_side(sketch: Sketch, side: PaperSide, texts: dict[int, str]) -> None:
    """A side that goes on on another page: its name and whole length along it."""
    text = texts[side.edge.side] if side.edge.side is not None else ""
    points = [
        (side.at(s), side.along(s), side.outward(s)) for s in SIDE_SHARES if sketch.view.shows(side.at(s))
    ]
    words = [f"{side.edge.label}: {text} in all"]
    if not sketch.label("dimensions", side_name(points, side.chord_mm, words, off=FIRST_MM)):
        sketch.unplaced.append((side.edge.label, text))


def _overall(sketch: Sketch, slab: SlabTakeoff, what: Lettering) -> None:
    """Greatest width and depth, unless one side already gives it."""
    x0, y0, x1, y1 = slab.ring.bounds()
    corners = slab.ring.points
    view = sketch.view
    for size, axis in ((x1 - x0, 0), (y1 - y0, 1)):
        spans = np.abs(np.roll(corners, -1, axis=0) - corners)
        if any(abs(span[axis] - size) < 1e-6 and span[1 - axis] < 1e-6 for span in spans):
            continue
        low, high = view.xy(x0, y0), view.xy(x1, y1)
        if view.window is not None:
            continue
        text = said(size, sketch, what)
        if axis == 0:
            tries = [
                ((low[0], low[1]), (high[0], low[1]), (0.0, -1.0)),
                ((low[0], high[1]), (high[0], high[1]), (0.0, 1.0)),
            ]
        else:
            tries = [
                ((low[0], low[1]), (low[0], high[1]), (-1.0, 0.0)),
                ((high[0], low[1]), (high[0], high[1]), (1.0, 0.0)),
            ]
        ways = (way for a, b, off in tries for way in overall_dimension(a, b, off, text))
        if not sketch.label("dimensions", ways):
            sketch.unplaced.append((("overall width", "overall depth")[axis], text))


def _corners(sketch: Sketch, slab: SlabTakeoff) -> None:
    points = sketch.view.points(slab.ring.points)
    sides = paper_sides(slab, sketch.view)
    smooth = smooth_sides(slab)
    for i, corner in enumerate(slab.corners):
        x, y = points[i]
        within = i in smooth and (i - 1) % len(sides) in smooth
        if within or not sketch.view.shows((x, y)):
            continue
        before, after = sides[i - 1].outward(1.0), sides[i].outward(0.0)
        way = direction((0.0, 0.0), (before[0] + after[0], before[1] + after[1]))
        outward = math.degrees(math.atan2(way[1], way[0]))
        if not sketch.label("labels", corner_letter((x, y), outward, corner.label)):
            sketch.unplaced.append((f"corner {corner.label}", ""))


def _joints(sketch: Sketch, slab: SlabTakeoff) -> None:
    for joint in slab.joints:
        lines = sketch.view.region(joint.lines)
        pieces = sorted(line_strings(lines), key=lambda line: -line.length)
        runs = [
            ((float(a[0]), float(a[1])), (float(b[0]), float(b[1])))
            for line in pieces[:12]
            for a, b in zip(line.coords, line.coords[1:], strict=False)
        ]
        both = joint.width_m and joint.depth_m
        size = sketch.figures.section(joint.width_m, joint.depth_m) if both else ""
        typical = " typical" if joint.typical else ""
        name = joint.joint.name or str(joint.joint.kind)
        full = f"{name}: {joint.joint.treatment}"
        contents = [f"{full}, {size}{typical}"] if size else []
        sketch.label("labels", joint_label(runs, [*contents, full, str(joint.joint.treatment)]))

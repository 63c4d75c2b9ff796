"""Lettering of a drawing: dimensions first where they have least choice, notes last."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import shapely

from ..measure.model import MeasuredCutout, SlabTakeoff
from ..plan.model import EdgeKind
from ..values import dataclass
from .arrows import draw_arrows
from .chains import letter_chains
from .dimensions import FIRST_MM, location, overall_dimension, side_dimension
from .edges import UNKNOWN, PaperSide, paper_sides
from .labels import SIDE_SHARES, Rows, area_rows, corner_letter, joint_label, note, side_name, stacked
from .lettering import FINE
from .locating import references
from .marks import XY
from .plane import direction
from .sketch import Sketch
from .view import line_strings, polygons
from .wording import arc_words, coarse_measure, cutout_words, edge_words, measure, side_lengths

COARSE_MM = 0.3
"""How far the floor may be off where only room for a label is looked for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lettering:
    """What a sheet letters.

    Attributes:
        sides: lengths of all sides.
        kinds: what stands along each side.
        masks: heights to mask with the kinds.
        corners: corner letters.
        cutouts: name and size of cut-outs.
        located: where each cut-out stands.
        joints: names of joints.
        coarse: lengths to the inch or centimetre, none finer than a tape holds.
        chains: distances across the joints.
        arrows: entry and exits.
        asks: sides of unknown kind are drawn loudly.
    """

    sides: bool = True
    kinds: bool = True
    masks: bool = True
    corners: bool = True
    cutouts: bool = True
    located: bool = True
    joints: bool = True
    chains: bool = True
    arrows: bool = True
    coarse: bool = False
    asks: bool = True


def letter_slab(
    sketch: Sketch, slab: SlabTakeoff, kinds: dict[str, EdgeKind], area: tuple[str, str, str], what: Lettering
) -> None:
    """Letter one slab; `area` is its name, its area and what the area rests on."""
    sides = _seen(sketch, paper_sides(slab, sketch.view))
    _area(sketch, slab, area)
    if what.arrows:
        draw_arrows(sketch, slab)
    if what.kinds:
        _kinds(sketch, slab, sides, kinds, what)
    if what.sides:
        _sides(sketch, slab, sides, what)
        _overall(sketch, slab, what)
    if what.corners:
        _corners(sketch, slab)
    if what.cutouts:
        _cutouts(sketch, slab, what)
    if what.chains:
        letter_chains(sketch, slab)
    if what.joints:
        _joints(sketch, slab)


def _seen(sketch: Sketch, sides: list[PaperSide]) -> list[PaperSide]:
    """Sides whose middle lies on this piece of paper."""
    if sketch.view.window is None:
        return sides
    return [side for side in sides if sketch.view.shows(side.at(0.5))]


def _area(sketch: Sketch, slab: SlabTakeoff, area: tuple[str, str, str]) -> None:
    name, figure, basis = area
    if not figure:
        return
    places = open_places(sketch.view.region(slab.regions.net))
    if not places:
        return
    for rows in area_rows(name, figure, basis):
        if _stacked(sketch, places, rows):
            return
    sketch.label("labels", note(places[0], [name, figure], start=0.0, nearest=11.0))


def _stacked(sketch: Sketch, places: list[XY], rows: Rows) -> bool:
    """Set rows of text at the first of many places where they are free."""
    ((x0, y0), _, (x1, y1), _) = stacked((0.0, 0.0), rows).boxes[0]
    for start in range(0, len(places), 150):
        for place in sketch.crowd.free_places(places[start : start + 150], (x0, y0, x1, y1)):
            if sketch.label("labels", [stacked(place, rows)]):
                return True
    return False


def open_places(floor: Any, step_mm: float = 3.0) -> list[XY]:
    """Points of the floor, the one farthest from every edge first."""
    floor = floor.simplify(COARSE_MM)
    parts = polygons(floor)
    if not parts:
        return []
    x0, y0, x1, y1 = floor.bounds
    step = max(step_mm, math.sqrt((x1 - x0) * (y1 - y0) / 900.0))
    xs, ys = np.meshgrid(np.arange(x0 + 0.5 * step, x1, step), np.arange(y0 + 0.5 * step, y1, step))
    shapely.prepare(floor)
    spots = np.asarray(shapely.points(np.column_stack((xs.ravel(), ys.ravel()))))
    inside = spots[shapely.contains_properly(floor, spots)]
    if not len(inside):
        spot = max(parts, key=lambda part: part.area).representative_point()
        return [(spot.x, spot.y)]
    middle = floor.centroid
    edge = floor.boundary
    shapely.prepare(edge)
    clear = shapely.distance(edge, inside)
    # Near the middle counts as well as clear: a label in a far corner looks lost.
    score = np.minimum(clear, 25.0) - 0.25 * shapely.distance(middle, inside)
    at = shapely.get_coordinates(inside)
    order = np.lexsort((at[:, 0], -at[:, 1], -np.round(score, 3)))
    return [(x, y) for x, y in at[order].tolist()]


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
        text = _length(size, sketch, what)
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


def _length(length_m: float, sketch: Sketch, what: Lettering) -> str:
    return coarse_measure(length_m, sketch.figures) if what.coarse else measure(length_m, sketch.figures)


def _corners(sketch: Sketch, slab: SlabTakeoff) -> None:
    points = sketch.view.points(slab.ring.points)
    sides = paper_sides(slab, sketch.view)
    for i, corner in enumerate(slab.corners):
        x, y = points[i]
        if not sketch.view.shows((x, y)):
            continue
        before, after = sides[i - 1].outward(1.0), sides[i].outward(0.0)
        way = direction((0.0, 0.0), (before[0] + after[0], before[1] + after[1]))
        outward = math.degrees(math.atan2(way[1], way[0]))
        if not sketch.label("labels", corner_letter((x, y), outward, corner.label)):
            sketch.unplaced.append((f"corner {corner.label}", ""))


def _cutouts(sketch: Sketch, slab: SlabTakeoff, what: Lettering) -> None:
    for cutout in slab.cutouts:
        x0, y0, x1, y1 = sketch.view.box(cutout.ring.bounds())
        middle = sketch.view.xy(*cutout.centre) if cutout.size_text else (0.5 * (x0 + x1), 0.5 * (y0 + y1))
        if not sketch.view.shows(middle):
            continue
        words = cutout_words(cutout)
        if what.sides and not cutout.size_text:
            _cutout_sides(sketch, cutout, what)
        if min(x1 - x0, y1 - y0) > 18.0:
            rows = [(words[0], 2.5, True), *((line, 1.8, False) for line in words[1:])]
            region = sketch.view.region(cutout.ring.polygon(sketch.view.flat_m))
            if _stacked(sketch, open_places(region), rows):
                continue
        start = 0.5 * math.hypot(x1 - x0, y1 - y0)
        if not sketch.label("labels", note(middle, words, start=start, nearest=1.5)):
            sketch.unplaced.append((cutout.name, cutout.size_text))
    if what.located:
        for cutout in slab.cutouts:
            if sketch.view.shows(sketch.view.xy(*cutout.centre)):
                _locate(sketch, slab, cutout)


def _cutout_sides(sketch: Sketch, cutout: MeasuredCutout, what: Lettering) -> None:
    """Lengths of the sides of a cut-out with a typed outline, inside it where it is large, in their order."""
    view = sketch.view
    for side in sorted(cutout.ring.sides(), key=lambda side: side.chord_m):
        a, b = view.points((side.start, side.end))
        way = direction(a, b)
        beyond = max(0.0, -0.5 * side.bulge * math.dist(a, b))
        # The ring runs counter-clockwise: the cut-out lies to the left.
        text = _length(side.chord_m, sketch, what)
        ways = side_dimension(a, b, (-way[1], way[0]), text, beyond=beyond)
        if not sketch.label("dimensions", ways):
            sketch.unplaced.append((f"side of {cutout.name}", text))


def _locate(sketch: Sketch, slab: SlabTakeoff, cutout: MeasuredCutout) -> None:
    """Distances of a cut-out's centre square to the two nearest sides that are not parallel."""
    for reference in references(slab, cutout):
        a, b = sketch.view.points((reference.foot, reference.point))
        text = measure(reference.distance_m, sketch.figures)
        whole = sketch.view.shows(a) and sketch.view.shows(b)
        if not whole or not sketch.label("dimensions", location(a, b, text)):
            sketch.unplaced.append((f"{cutout.name} from {reference.side}", text))


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

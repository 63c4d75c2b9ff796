"""The floor itself on paper: surfaces, outline, edges, cut-outs and joints, before any lettering."""

from __future__ import annotations

import itertools
import math
from typing import Any

from shapely import MultiLineString, box, intersection

from ..measure.model import Edge, MeasuredCutout, MeasuredJoint, SlabTakeoff
from ..order.surfaces import border_floor
from ..plan.model import JointAlong
from ..values import dataclass
from .arcs import chords
from .border import draw_border
from .edges import UNKNOWN, draw_plain_side, draw_side, edge_pen, paper_sides
from .marks import XY, Pen, Run, Stroke
from .pens import (
    BAND,
    BAND_EDGE,
    BLACK,
    BLUE,
    COATED,
    CUTOUT,
    JOINTS,
    OFF_FLOOR,
    PALE,
    POCKET,
    POCKET_EDGE,
    SOLID,
    WHITE,
)
from .plane import left_of, shifted
from .sketch import Sketch
from .view import View, line_runs, line_strings, region_runs

BEAD_EVERY_MM = 7.0
BEAD_MM = 1.2
SEAL_APART_MM = 0.9
ALONG_OFF_MM = 1.5
"""How far inside its edge a joint along an edge is drawn."""
SMALL_MM = 5.0
"""A cut-out below this on paper is drawn solid: a texture in it would only be a blot."""
SPECK_MM2 = 0.5
"""A smaller surface on paper is a speck, not a mark."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """What a sheet shows of the floor.

    Attributes:
        hand: edges by how they are ground, band and pockets.
        joints: joints by their treatment.
        coated: the coated floor is textured.
        border: the band in another colour, where the system has one.
    """

    hand: bool = True
    joints: bool = True
    coated: bool = False
    border: bool = True


def draw_floor(sketch: Sketch, slab: SlabTakeoff, number: int, shown: Shown) -> None:
    """One slab without lettering; `number` counts slabs from 1."""
    slab_id = f"slab-{number}"
    if shown.coated:
        _coated(sketch, slab)
    if shown.hand:
        _surface(sketch, slab.regions.band, "band", BAND, BAND_EDGE)
        _surface(sketch, slab.regions.pockets, "pockets", POCKET, POCKET_EDGE)
    if shown.border:
        draw_border(sketch, slab, slab_id)
    outline = Stroke(
        runs=sketch.view.ring_lines(slab.ring),
        pen=Pen(0.25),
        id=sketch.new_id(slab_id, "outline"),
        title=f"Outline of {slab.name}",
    )
    if outline.runs:
        sketch.add("outline", outline)
    for side in paper_sides(slab, sketch.view):
        if shown.hand:
            draw_side(sketch, side, slab_id)
        else:
            draw_plain_side(sketch, side)
    by_cutout = {edge.cutout: edge for edge in slab.edges if edge.cutout is not None}
    for i, cutout in enumerate(slab.cutouts):
        draw_cutout(sketch, cutout, by_cutout.get(i), slab_id, shown)
    for joint in slab.joints if shown.joints else ():
        draw_joint(sketch, slab, joint, slab_id, shown)


def _coated(sketch: Sketch, slab: SlabTakeoff) -> None:
    region = sketch.view.region(slab.regions.net)
    runs = region_runs(region)
    if runs:
        sketch.add("floor", Stroke(runs=runs, fill="#eef4f8", id=sketch.new_id("coated", slab.name)))
        border = border_floor(slab)
        field = slab.regions.net if border is None else slab.regions.net.difference(border)
        sketch.texture("floor", sketch.view.region(field), COATED)


def _surface(sketch: Sketch, floor: Any, layer: str, texture: Any, pen: Pen) -> None:
    region = sketch.view.region(floor)
    runs = region_runs(region) if region.area > SPECK_MM2 else ()
    if runs:
        sketch.add(layer, Stroke(runs=runs, pen=pen, id=sketch.new_id(layer)))
        sketch.block(runs)
        sketch.texture(layer, region, texture)


def draw_cutout(
    sketch: Sketch, cutout: MeasuredCutout, edge: Edge | None, slab_id: str, shown: Shown
) -> None:
    """A cut-out: solid when small, else textured as floor that is not coated."""
    runs = sketch.view.ring_runs(cutout.ring)
    if not runs:
        return
    x0, y0, x1, y1 = sketch.view.box(cutout.ring.bounds())
    small = min(x1 - x0, y1 - y0) < SMALL_MM
    pen = edge_pen(edge) if edge is not None and shown.hand else CUTOUT
    if small and edge is not None and edge.kind != UNKNOWN:
        pen = CUTOUT
    name = sketch.new_id(slab_id, "cutout", cutout.name)
    fill, words = SOLID if small else WHITE, f"{cutout.name}: {cutout.kind}" if shown.hand else cutout.name
    lines = sketch.view.ring_lines(cutout.ring)
    if sketch.view.holds(cutout.ring):
        sketch.add("cutouts", Stroke(runs=runs, pen=pen, fill=fill, id=name, title=words))
    else:
        sketch.add("cutouts", Stroke(runs=runs, fill=fill, id=name, title=words), Stroke(runs=lines, pen=pen))
    sketch.block(lines)
    if not small:
        sketch.texture("cutouts", sketch.view.region(cutout.ring.polygon(sketch.view.flat_m)), OFF_FLOOR)


def draw_joint(sketch: Sketch, slab: SlabTakeoff, joint: MeasuredJoint, slab_id: str, shown: Shown) -> None:
    """A joint in the line of its treatment."""
    view = sketch.view
    runs = tuple(Run(view.points(line.coords)) for line in line_strings(joint.lines) if line.length > 0.0)
    if isinstance(joint.joint.form, JointAlong):
        runs = _inside(view, slab, joint)
    if view.window is not None:
        cut = intersection(MultiLineString([run.points for run in runs]), box(*view.window))
        runs = line_runs(cut)
    if not runs:
        return
    words = joint.joint.name or str(joint.joint.kind)
    if shown.hand:
        # How it is treated is a word of the shop, which hides in no title of the customer's file.
        words += f": {joint.joint.treatment}"
    sketch.block(runs)
    for k, mark in enumerate(joint_marks(runs, str(joint.joint.treatment))):
        sketch.block(mark.runs)
        name = sketch.new_id(slab_id, "joint", joint.joint.name) if k == 0 else ""
        sketch.add(
            "joints",
            Stroke(runs=mark.runs, pen=mark.pen, fill=mark.fill, id=name, title=words if name else ""),
        )


def _inside(view: View, slab: SlabTakeoff, joint: MeasuredJoint) -> tuple[Run, ...]:
    """A joint along an edge, moved on to the floor so that the line of the edge does not hide it."""
    floor = view.region(slab.regions.net)
    beside = view.region(joint.lines).buffer(ALONG_OFF_MM + 0.1, cap_style="flat")
    return line_runs(intersection(floor.buffer(-ALONG_OFF_MM, join_style="mitre").boundary, beside))


def joint_marks(runs: tuple[Run, ...], treatment: str) -> list[Stroke]:
    """Lines of a joint by its treatment, told apart without colour."""
    (pen,) = JOINTS[treatment]
    if treatment == "seal":
        return [Stroke(runs=tuple(side for run in runs for side in _doubled(run)), pen=pen)]
    marks = [Stroke(runs=runs, pen=pen)]
    if treatment == "fill":
        beads = tuple(bead for run in runs for bead in _beads(run))
        if beads:
            marks.append(Stroke(runs=beads, fill=pen.colour))
    return marks


def _doubled(run: Run) -> list[Run]:
    points = chords(run)
    rows: list[Run] = []
    for a, b in itertools.pairwise(points):
        length = math.dist(a, b)
        if length:
            across = left_of(((b[0] - a[0]) / length, (b[1] - a[1]) / length))
            half = 0.5 * SEAL_APART_MM
            rows += [Run((shifted(a, across, s * half), shifted(b, across, s * half))) for s in (1.0, -1.0)]
    return rows


def _beads(run: Run) -> list[Run]:
    points = chords(run)
    total = sum(math.dist(a, b) for a, b in itertools.pairwise(points))
    count = max(1, round(total / BEAD_EVERY_MM))
    beads: list[Run] = []
    gone = 0.0
    stops = [(k + 0.5) * total / count for k in range(count)]
    for a, b in itertools.pairwise(points):
        length = math.dist(a, b)
        while stops and length and stops[0] <= gone + length:
            share = (stops.pop(0) - gone) / length
            beads.append(_bead((a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)))
        gone += length
    return beads


def _bead(at: XY) -> Run:
    r = 0.5 * BEAD_MM
    return Run(((at[0] - r, at[1]), (at[0] + r, at[1])), (1.0, 1.0), closed=True)


__all__ = ["BLACK", "BLUE", "PALE", "Shown", "draw_floor", "joint_marks"]

"""Legend: a sample of every line and surface that the drawing uses, and of nothing else."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import shapely

from ..measure.model import SlabTakeoff
from ..units.figures import Figures
from .blocks import Block, Row, rectangle, text_rows
from .border import border_words, bordered
from .edges import UNKNOWN
from .floor import SMALL_MM, SPECK_MM2, joint_marks
from .hatching import hatched
from .lettering import FINE
from .marks import Mark, Pen, Run, Stroke
from .pens import (
    BAND,
    BAND_EDGE,
    BORDER,
    BORDER_EDGE,
    COATED,
    CUTOUT,
    EDGE_HAND,
    EDGE_OTHER,
    EDGE_UNKNOWN,
    OFF_FLOOR,
    POCKET,
    POCKET_EDGE,
    SOLID,
    TICK,
    WHITE,
    ZONE,
    Texture,
)
from .plane import shifted

SAMPLE_MM = 13.0
_TALL_MM = 3.6


def _row(sample: Iterable[Stroke], words: str, room_mm: float) -> Row:
    rows = text_rows(words, room_mm - SAMPLE_MM - 2.5, height=FINE)
    tall = max(sum(row.height_mm for row in rows), _TALL_MM) + 0.9
    strokes = tuple(sample)

    def paint(x: float, top: float) -> tuple[Mark, ...]:
        marks: list[Mark] = [_moved(stroke, x, top - 0.4 - 0.5 * _TALL_MM) for stroke in strokes]
        y = top - 0.4 - max(0.0, 0.5 * (_TALL_MM - sum(row.height_mm for row in rows)))
        for row in rows:
            marks += row.paint(x + SAMPLE_MM + 2.5, y)
            y -= row.height_mm
        return tuple(marks)

    return Row(tall, paint)


def _moved(stroke: Stroke, dx: float, dy: float) -> Stroke:
    runs = tuple(
        Run(tuple((x + dx, y + dy) for x, y in run.points), run.bulges, run.closed) for run in stroke.runs
    )
    return Stroke(runs=runs, pen=stroke.pen, fill=stroke.fill, texture=stroke.texture)


def line_sample(pen: Pen, *, ticks: bool = False) -> list[Stroke]:
    """A line, with the ticks of a hand-ground edge."""
    line = Run(((0.0, 0.0), (SAMPLE_MM, 0.0)))
    strokes = [Stroke(runs=(line,), pen=pen)]
    if ticks:
        rows = tuple(
            Run(((1.8 + 2.4 * k, 0.0), shifted((1.8 + 2.4 * k, 0.0), (-0.7, 0.7), 2.0))) for k in range(5)
        )
        strokes.append(Stroke(runs=rows, pen=TICK))
    return strokes


def surface_sample(texture: Texture | None, pen: Pen, fill: str = WHITE) -> list[Stroke]:
    """A small field of a texture."""
    field = rectangle(0.0, -0.5 * _TALL_MM, SAMPLE_MM, _TALL_MM)
    strokes = [Stroke(runs=(field,), pen=pen, fill=fill)]
    if texture is not None:
        region = shapely.box(0.0, -0.5 * _TALL_MM, SAMPLE_MM, 0.5 * _TALL_MM)
        strokes.append(Stroke(runs=hatched(region, texture), pen=texture.pen, texture=True))
    return strokes


def crew_legend(
    slabs: Iterable[SlabTakeoff], room_mm: float, mm_per_m: float, figures: Figures, *, zones: bool = False
) -> Block:
    """What the crew's drawing uses; `zones` where pour zones are drawn."""
    slabs = tuple(slabs)
    edges = [edge for slab in slabs for edge in slab.edges]
    rows: list[Row] = []
    if any(edge.hand_grind and edge.kind != UNKNOWN for edge in edges):
        rows.append(
            _row(
                line_sample(EDGE_HAND, ticks=True),
                "ground by hand, ticks off the floor",
                room_mm,
            )
        )
    if any(edge.kind == UNKNOWN for edge in edges):
        rows.append(_row(line_sample(EDGE_UNKNOWN, ticks=True), "UNKNOWN edge: ask", room_mm))
    if any(not edge.hand_grind for edge in edges):
        rows.append(_row(line_sample(EDGE_OTHER), "the walk-behind may pass this edge", room_mm))
    if any(slab.band_area_m2 > 0.0 for slab in slabs):
        rows.append(_row(surface_sample(BAND, BAND_EDGE), "band ground by hand", room_mm))
    if any(slab.pocket_area_m2 * mm_per_m**2 > SPECK_MM2 for slab in slabs):
        rows.append(
            _row(
                surface_sample(POCKET, POCKET_EDGE),
                "pocket the walk-behind cannot reach",
                room_mm,
            )
        )
    rows += _borders(slabs, room_mm, figures, products=True)
    rows += _joints(slabs, room_mm)
    rows += _cutouts(slabs, room_mm, mm_per_m)
    if zones:
        rows.append(_row(line_sample(ZONE), "pour zone; numbers give the order", room_mm))
    return Block(heading="Legend", width_mm=room_mm, rows=tuple(rows))


def customer_legend(slabs: Iterable[SlabTakeoff], room_mm: float, mm_per_m: float, figures: Figures) -> Block:
    """What the customer's drawing uses."""
    slabs = tuple(slabs)
    rows = [_row(surface_sample(COATED, EDGE_OTHER, "#eef4f8"), "coated floor", room_mm)]
    rows += _borders(slabs, room_mm, figures, products=False)
    rows += _cutouts(slabs, room_mm, mm_per_m)
    rows += _joints(slabs, room_mm, _TOLD)
    return Block(heading="Legend", width_mm=room_mm, rows=tuple(rows))


def _borders(
    slabs: tuple[SlabTakeoff, ...], room_mm: float, figures: Figures, *, products: bool
) -> list[Row]:
    return [
        _row(surface_sample(BORDER, BORDER_EDGE), border_words(system, figures, products=products), room_mm)
        for system in bordered(slabs)
    ]


_TREATED = {
    "brush out": "joint kept open, brushed out",
    "fill": "joint filled",
    "seal": "joint sealed, not coated over",
    "bridge": "joint coated over",
    "leave": "joint left as it is",
}


_TOLD = {
    "brush out": "joint that stays open",
    "fill": "joint that is filled",
    "seal": "joint that is sealed",
    "bridge": "joint that is coated over",
    "leave": "joint left as it is",
}
"""The same for the customer."""


def _joints(slabs: tuple[SlabTakeoff, ...], room_mm: float, said: Mapping[str, str] = _TREATED) -> list[Row]:
    used = {str(joint.joint.treatment) for slab in slabs for joint in slab.joints if joint.length_m > 0.0}
    line = (Run(((0.0, 0.0), (SAMPLE_MM, 0.0))),)
    return [
        _row(joint_marks(line, treatment), words, room_mm)
        for treatment, words in said.items()
        if treatment in used
    ]


def _cutouts(slabs: tuple[SlabTakeoff, ...], room_mm: float, mm_per_m: float) -> list[Row]:
    sizes = []
    for slab in slabs:
        for cutout in slab.cutouts:
            x0, y0, x1, y1 = cutout.ring.bounds()
            sizes.append(min(x1 - x0, y1 - y0) * mm_per_m)
    large = any(size >= SMALL_MM for size in sizes)
    small = any(size < SMALL_MM for size in sizes)
    if not sizes:
        return []
    sample = surface_sample(OFF_FLOOR, CUTOUT) if large else []
    wide = 5.0 if large else SAMPLE_MM
    if small:
        corner = rectangle(SAMPLE_MM - wide, -0.5 * _TALL_MM, wide, _TALL_MM)
        sample = [*sample, Stroke(runs=(corner,), pen=CUTOUT, fill=SOLID)]
    return [_row(sample, "not coated (small ones grey)" if large and small else "not coated", room_mm)]

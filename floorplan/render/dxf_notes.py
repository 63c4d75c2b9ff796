"""Dimensions, letters and words of the true-size drawing, and the pencil that draws in metres.

The pencil holds the DXF document; it turns metres into drawing units, and it alone knows the library's calls.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, Final

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry
from shapely.ops import polylabel

from ..geometry.rings import Ring, Side
from ..measure.model import SlabTakeoff, Takeoff
from ..units.figures import Figures
from ..values import dataclass, replace

_STYLE: Final = "FLOOR"
_LETTER_OFF, _LETTER_NEAR = 4.7, 2.1
"""Corner letters stand this many letter heights off, beyond the dimension lines or before them."""

_SHARP: Final = 0.5
"""Sine of the turn from which on a corner that stands in has room before the dimension lines."""

_SHORTEST_DIMENSION: Final = 3.5
"""Sides shorter than this many letter heights get no dimension: it would cover its neighbours."""

_Point = Sequence[float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pencil:
    """Draws in the model space of a document.

    Attributes:
        document: of the DXF library.
        model: its model space.
        unit_m: metres for one drawing unit.
        letter: height of letters, drawing units.
        figures: writes lengths and areas.
        dx: shift to the right, metres; `dy` upward.
    """

    document: Any
    model: Any
    unit_m: float
    letter: float
    figures: Figures
    dx: float = 0.0
    dy: float = 0.0

    def moved(self, dx: float, dy: float) -> Pencil:
        """The same pencil with another shift."""
        return replace(self, dx=dx, dy=dy)

    def prepare(self) -> None:
        """Set up the style of dimensions: ticks, text above the line."""
        style = self.document.dimstyles.new(_STYLE)
        h = self.letter
        style.dxf.dimtxt, style.dxf.dimtsz, style.dxf.dimasz = h, 0.5 * h, h
        style.dxf.dimexo, style.dxf.dimexe, style.dxf.dimgap = 0.6 * h, 0.5 * h, 0.4 * h
        style.dxf.dimtad, style.dxf.dimtih, style.dxf.dimtoh = 1, 0, 0

    def at(self, point: _Point) -> tuple[float, float]:
        """A point in metres as drawing units."""
        return (point[0] + self.dx) / self.unit_m, (point[1] + self.dy) / self.unit_m

    def ring(self, ring: Ring, layer: str) -> None:
        """A closed polyline with its arcs."""
        rows = zip(ring.points.tolist(), ring.bulges.tolist(), strict=True)
        self._polyline([(*self.at(point), bulge) for point, bulge in rows], layer, closed=True)

    def side(self, side: Side, layer: str) -> None:
        """One side, an arc where it is one."""
        ends = [(*self.at(side.start), side.bulge), (*self.at(side.end), 0.0)]
        self._polyline(ends, layer, closed=False)

    def line(self, points: Sequence[_Point], layer: str) -> None:
        """An open line through points."""
        self._polyline([(*self.at(point), 0.0) for point in points], layer, closed=False)

    def _polyline(self, rows: list[tuple[float, float, float]], layer: str, *, closed: bool) -> None:
        self._layer(layer)
        self.model.add_lwpolyline(rows, format="xyb", close=closed, dxfattribs={"layer": layer})

    def hatch(self, rings: Sequence[Sequence[_Point]], layer: str, pattern: str) -> None:
        """A hatched region: its outer ring first, then its holes."""
        self._layer(layer)
        hatch = self.model.add_hatch(dxfattribs={"layer": layer})
        hatch.set_pattern_fill(pattern, scale=self._pattern_scale())
        for i, ring in enumerate(rings):
            flags = 1 if i == 0 else 16
            hatch.paths.add_polyline_path([self.at(point) for point in ring], is_closed=True, flags=flags)

    def _pattern_scale(self) -> float:
        # The lines of the named patterns stand an eighth of an inch apart at scale 1, in inches or in mm.
        metric = self.document.header["$MEASUREMENT"] == 1
        return self.letter * 0.8 / (3.175 if metric else 0.125)

    def text(self, words: str, at: _Point, layer: str, *, height: float | None = None) -> None:
        """Words centred on a point in metres; `height` in drawing units."""
        from ezdxf.enums import TextEntityAlignment

        self._layer(layer)
        attributes = {"layer": layer, "height": self.letter if height is None else height}
        text = self.model.add_text(_plain(words), dxfattribs=attributes)
        text.set_placement(self.at(at), align=TextEntityAlignment.MIDDLE_CENTER)

    def dimension(self, start: _Point, end: _Point, off: float, words: str, layer: str) -> None:
        """An aligned dimension `off` drawing units to the left of start-end."""
        self._layer(layer)
        p, q = self.at(start), self.at(end)
        made = self.model.add_aligned_dim(
            p1=p, p2=q, distance=off, dimstyle=_STYLE, text=_plain(words), dxfattribs={"layer": layer}
        )
        made.render()
        made.dimension.dxf.actual_measurement = math.dist(p, q)

    def _layer(self, name: str) -> None:
        if name not in self.document.layers:
            self.document.layers.add(name)


def dimension_sides(pencil: Pencil, slab: SlabTakeoff) -> None:
    """A dimension outside every side with room for one: its length, or an arc's chord, rise and radius."""
    ring = slab.ring
    outward = -1.0 if ring.is_ccw else 1.0
    least = _SHORTEST_DIMENSION * pencil.letter * pencil.unit_m
    for side in ring.sides():
        if side.chord_m < least:
            continue
        stands_out = side.bulge * outward < 0.0
        beyond = side.rise_m / pencil.unit_m if stands_out else 0.0
        off = outward * (3.0 * pencil.letter + beyond)
        start, end = side.start, side.end
        if not _reads(start, end):
            start, end, off = end, start, -off
        pencil.dimension(start, end, off, _words(pencil, side), "FLOOR-DIM")


def _words(pencil: Pencil, side: Side) -> str:
    length = pencil.figures.length
    if not side.bulge:
        return length(side.chord_m)
    way = "chord {}, rise {}, R {}"
    return way.format(length(side.chord_m), length(side.rise_m), length(side.radius_m))


def _reads(start: _Point, end: _Point) -> bool:
    """Whether words from start to end read from below or from the right."""
    x, y = end[0] - start[0], end[1] - start[1]
    return x > 1e-9 * abs(y) or (abs(x) <= 1e-9 * abs(y) and y > 0.0)


def letter_corners(pencil: Pencil, slab: SlabTakeoff) -> None:
    """The letter of each corner, outside the outline."""
    ring = slab.ring
    way = 1.0 if ring.is_ccw else -1.0
    into = ring.points - np.roll(ring.points, 1, axis=0)
    out_of = ring.ends - ring.points
    away = _unit(into) - _unit(out_of)
    # Straight on, the corner's own direction says nothing: go square to the side.
    square = way * np.column_stack((_unit(out_of)[:, 1], -_unit(out_of)[:, 0]))
    turn = into[:, 0] * out_of[:, 1] - into[:, 1] * out_of[:, 0]
    straight = np.hypot(*away.T) < 1e-3
    away = np.where(straight[:, None], square, _unit(away) * (np.sign(turn) * way)[:, None])
    # In a sharp corner that stands in, the dimension lines cross out there: the letter goes before them.
    size = np.maximum(np.hypot(*into.T) * np.hypot(*out_of.T), 1e-300)
    off = np.where(turn * way / size < -_SHARP, _LETTER_NEAR, _LETTER_OFF)
    spots = ring.points + away * (off * pencil.letter * pencil.unit_m)[:, None]
    for corner, spot in zip(slab.corners, spots.tolist(), strict=False):
        pencil.text(corner.label, spot, "FLOOR-TEXT")


def name_cutouts(pencil: Pencil, slab: SlabTakeoff) -> None:
    """The name of each cut-out inside it, small enough to fit."""
    for cutout in slab.cutouts:
        x0, y0, x1, y1 = cutout.ring.bounds()
        room = min(0.9 * (x1 - x0) / max(1.0, 0.8 * len(cutout.name)), 0.5 * (y1 - y0)) / pencil.unit_m
        inside = cutout.ring.polygon().representative_point()
        pencil.text(cutout.name, (inside.x, inside.y), "FLOOR-NAME", height=min(pencil.letter, room))


def name_slab(pencil: Pencil, slab: SlabTakeoff) -> None:
    """The name of the slab where its floor is widest, clear of joints; its net area below."""
    clear: BaseGeometry = slab.regions.net
    for lines in (joint.lines for joint in slab.joints):
        clear = clear.difference(lines.buffer(2.5 * pencil.letter * pencil.unit_m))
    parts = shapely.get_parts(clear if not clear.is_empty else slab.regions.outline)
    largest = max(parts, key=lambda part: part.area)
    middle = polylabel(largest, tolerance=0.02 * math.sqrt(largest.area))
    x, y = float(middle.x), float(middle.y)
    pencil.text(slab.name, (x, y), "FLOOR-NAME", height=1.5 * pencil.letter)
    below = y - 2.0 * pencil.letter * pencil.unit_m
    pencil.text(f"net {pencil.figures.area(slab.net_area_m2)}", (x, below), "FLOOR-TEXT")


def title(pencil: Pencil, takeoff: Takeoff) -> None:
    """Title, site and date below everything, and a reminder to check one length."""
    boxes = [slab.ring.bounds() for slab in takeoff.slabs]
    left, low = min(box[0] for box in boxes), min(box[1] for box in boxes)
    plan, step = takeoff.plan, 2.0 * pencil.letter * pencil.unit_m
    lines = [
        plan.title,
        plan.site,
        plan.sheet.revision and f"revision {plan.sheet.revision}",
        plan.sheet.date,
    ]
    lines.append("true size; check one dimension with a tape before use")
    x = left + 0.5 * max(box[2] - box[0] for box in boxes)
    for i, line in enumerate(words for words in lines if words):
        pencil.text(line, (x, low - (i + 5) * step), "FLOOR-TEXT")


def _unit(vectors: Any) -> Any:
    return vectors / np.maximum(np.hypot(*vectors.T), 1e-300)[:, None]


def _plain(words: str) -> str:
    """Words without what a DXF would read as a code: line ends, percent pairs, carets."""
    shown = "".join(c if c.isprintable() else " " for c in words)
    return shown.replace("%%", "% %").replace("^", "^ ")[:250]

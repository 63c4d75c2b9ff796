"""From metres on the floor to millimetres on paper."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
import shapely
from shapely import LineString, MultiLineString, MultiPolygon, Polygon
from shapely.geometry.polygon import orient

from ..geometry.rings import Ring
from ..values import dataclass
from .marks import XY, Run
from .scales import Scale

_ON_PAPER_MM = 0.01
"""Corners of flattened arcs nearer than this to the line are left out: a tenth of the thinnest pen."""


@dataclass(frozen=True, slots=True)
class View:
    """A scale and where the floor's origin stands on paper.

    Attributes:
        scale: of the drawing.
        origin_mm: paper point of the floor's (0, 0).
        window: (x0, y0, x1, y1) of the paper that shows this piece of the floor, when it is cut there; else
            None.
    """

    scale: Scale
    origin_mm: XY
    window: tuple[float, float, float, float] | None = None

    def mm(self, length_m: float) -> float:
        """A length on paper."""
        return self.scale.paper_mm(length_m)

    def xy(self, x_m: float, y_m: float) -> XY:
        """A point on paper."""
        return self.origin_mm[0] + self.mm(x_m), self.origin_mm[1] + self.mm(y_m)

    def points(self, points_m: Iterable[Sequence[float]]) -> tuple[XY, ...]:
        """Points on paper."""
        k = self.scale.paper_mm(1.0)
        x0, y0 = self.origin_mm
        return tuple((x0 + k * float(p[0]), y0 + k * float(p[1])) for p in points_m)

    def region(self, floor: Any) -> Any:
        """A shapely figure on paper, cut to the window, without corners that no eye can see."""
        k = self.scale.paper_mm(1.0)
        moved = shapely.transform(floor, lambda points: points * k + np.array(self.origin_mm))
        if self.window is None:
            return moved
        # Slivers that were valid in metres may touch themselves on paper.
        whole = moved if shapely.is_valid(moved) else shapely.make_valid(moved)
        return shapely.intersection(whole, shapely.box(*self.window))

    def ring_runs(self, ring: Ring) -> tuple[Run, ...]:
        """A ring as a closed run with true arcs; cut to the window it becomes straight pieces of polygon."""
        if self.holds(ring):
            return (Run(self.points(ring.points), tuple(float(b) for b in ring.bulges), closed=True),)
        return region_runs(self.region(ring.polygon(self.flat_m)))

    def ring_lines(self, ring: Ring) -> tuple[Run, ...]:
        """A ring as lines: closed with true arcs, or the pieces inside the window where that cuts it."""
        if self.holds(ring):
            return self.ring_runs(ring)
        return line_runs(self.region(ring.polygon(self.flat_m).exterior))

    def holds(self, ring: Ring) -> bool:
        """True when the whole ring is on this page."""
        return self.window is None or shapely.box(*self.window).contains(
            shapely.box(*self.box(ring.bounds()))
        )

    def shows(self, point: XY) -> bool:
        """True when a point on paper is on this page."""
        if self.window is None:
            return True
        x0, y0, x1, y1 = self.window
        return x0 <= point[0] <= x1 and y0 <= point[1] <= y1

    def box(self, bounds_m: tuple[float, float, float, float]) -> tuple[float, float, float, float]:
        """A box on paper."""
        return (*self.xy(*bounds_m[:2]), *self.xy(*bounds_m[2:]))

    @property
    def flat_m(self) -> float:
        """How far a chord may stand off its arc, metres on the floor."""
        return _ON_PAPER_MM * self.scale.ratio / 1000.0


def region_runs(region: Any) -> tuple[Run, ...]:
    """Rings of a polygon, or of several, on paper."""
    return tuple(_closed(ring) for polygon in polygons(region) for ring in _rings(polygon))


def _rings(polygon: Polygon) -> list[Any]:
    """Outside counter-clockwise, holes clockwise: so the fill is the same by either rule."""
    turned = orient(polygon)
    return [turned.exterior, *turned.interiors]


def _closed(ring: Any) -> Run:
    slim = ring.simplify(_ON_PAPER_MM, preserve_topology=False)
    kept = slim if len(slim.coords) > 3 else ring
    return Run(tuple((float(x), float(y)) for x, y in kept.coords[:-1]), closed=True)


def line_runs(lines: Any) -> tuple[Run, ...]:
    """Open runs of a line, or of several, on paper."""
    return tuple(
        Run(
            tuple(
                (float(x), float(y)) for x, y in line.simplify(_ON_PAPER_MM, preserve_topology=False).coords
            )
        )
        for line in line_strings(lines)
        if line.length > 0.0
    )


def polygons(figure: Any) -> list[Polygon]:
    """The polygons in a shapely figure."""
    if isinstance(figure, Polygon):
        return [] if figure.is_empty else [figure]
    if isinstance(figure, MultiPolygon) or hasattr(figure, "geoms"):
        return [polygon for part in figure.geoms for polygon in polygons(part)]
    return []


def line_strings(figure: Any) -> list[LineString]:
    """The lines in a shapely figure."""
    if isinstance(figure, LineString):
        return [] if figure.is_empty else [figure]
    if isinstance(figure, MultiLineString) or hasattr(figure, "geoms"):
        return [line for part in figure.geoms for line in line_strings(part)]
    return []

"""What is coated beside the floor and where it stands: faces by their edges, steps as the plan says."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Point, Polygon

from ..measure.model import MeasuredSteps, SlabTakeoff
from ..measure.steps import stand_of
from ..system.model import Surface
from ..values import dataclass
from .batches import Batch
from .dividing import Loads

EVERY_M: Final = 0.1
"""Faces are counted by points this far apart."""


@dataclass(frozen=True, slots=True)
class Standing:
    """Square metres beside the floor, at points of the floor's edge.

    Attributes:
        points: (k, 2) metres.
        vertical_m2: (k,) faces, risers, cheeks.
        flat_m2: (k,) treads, and small openings that the material area keeps.
    """

    points: NDArray[np.float64]
    vertical_m2: NDArray[np.float64]
    flat_m2: NDArray[np.float64]

    def on(self, floor: Polygon) -> Standing:
        """The part that stands nearest to a piece of floor, once `snapped` to the whole."""
        held = shapely.intersects_xy(floor, self.points[:, 0], self.points[:, 1])
        return Standing(self.points[held], self.vertical_m2[held], self.flat_m2[held])

    def loads(self, batch: Batch) -> Loads:
        """What a batch must cover here, as floor."""
        on = batch.coat.on
        amounts = np.zeros(len(self.points))
        if Surface.FACES in on or Surface.RISERS in on:
            amounts = amounts + self.vertical_m2 * batch.as_floor_m2(1.0)
        amounts = amounts + self.flat_m2
        return Loads(self.points, amounts)


def standing(
    slab: SlabTakeoff, steps: Sequence[MeasuredSteps], net: Polygon, exits: Sequence[Any], *, first: bool
) -> Standing:
    """What stands at one connected part of a slab's floor.

    Args:
        slab: measured.
        steps: flights coated with this slab.
        net: the part.
        exits: points and lines that people leave by.
        first: this is the largest part, which takes the flights that nobody has placed.
    """
    rows: list[tuple[float, float, float, float]] = []
    edges = {edge.label: edge for edge in slab.edges}
    for face in slab.faces:
        edge = edges.get(face.label)
        if edge is not None and not edge.lines.is_empty:
            rows += _along(edge.lines, face.area_m2)
    for cutout in slab.cutouts:
        if cutout.ignored:
            rows.append((*cutout.centre, 0.0, cutout.deducted_m2))
    for flight in steps:
        at = stand_of(slab, flight.steps) or (_far(net, exits) if first else None)
        if at is not None:
            rows.append((*at, flight.riser_area_m2 + flight.cheek_area_m2, flight.tread_area_m2))
    return _snapped(slab, net, rows)


def _along(lines: shapely.MultiLineString, area_m2: float) -> list[tuple[float, float, float, float]]:
    found = []
    whole = lines.length
    for line in shapely.get_parts(lines):
        count = max(1, round(line.length / EVERY_M))
        for k in range(count):
            at = shapely.line_interpolate_point(line, (k + 0.5) / count, normalized=True)
            found.append((at.x, at.y, area_m2 * line.length / whole / count, 0.0))
    return found


def _far(net: Polygon, exits: Sequence[Any]) -> tuple[float, float]:
    """Where a flight that nobody has placed is counted: away from the exits, with the first zone."""
    points = shapely.get_coordinates(shapely.simplify(net.exterior, 0.02))
    away = [min((shapely.distance(Point(*p), way) for way in exits), default=0.0) for p in points]
    far = points[int(np.argmax(np.round(away, 6)))]
    return float(far[0]), float(far[1])


def _snapped(slab: SlabTakeoff, net: Polygon, rows: list[tuple[float, float, float, float]]) -> Standing:
    """Points moved a little on to the floor; those that stand nearer to another part are left to it."""
    if not rows:
        return Standing(np.empty((0, 2)), np.empty(0), np.empty(0))
    table = np.array(rows)
    points = np.array([Point(row[0], row[1]) for row in rows], dtype=object)
    parts = list(slab.regions.net.geoms)
    if len(parts) > 1:
        away = np.array([shapely.distance(part, points) for part in parts])
        own = int(np.argmin([shapely.hausdorff_distance(part, net) for part in parts]))
        keep = np.argmin(away, axis=0) == own
        table, points = table[keep], points[keep]
    inside = shapely.buffer(net, -0.01, quad_segs=1)
    target = inside if not inside.is_empty else net
    ways = shapely.shortest_line(target, points)
    starts = shapely.get_coordinates(shapely.get_point(ways, 0)) if len(table) else np.empty((0, 2))
    return Standing(starts, table[:, 2], table[:, 3])

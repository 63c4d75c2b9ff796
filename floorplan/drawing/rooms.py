"""What a sheet letters, and where a surface has room for letters."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely

from ..values import dataclass
from .labels import Rows, stacked
from .marks import XY
from .sketch import Sketch
from .view import polygons
from .wording import coarse_measure, measure

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


def set_rows(sketch: Sketch, places: Sequence[XY], *ways: Rows) -> bool:
    """Set rows of text at the first of many places where they are free, worded the first way that has one."""
    reaches = [_reach(rows) for rows in ways]
    for k, (rows, reach) in enumerate(zip(ways, reaches, strict=True)):
        if k == 1:
            # Where there is no room for what all wordings cover, there is none for any of them.
            x0, y0, x1, y1 = zip(*reaches, strict=True)
            places = list(sketch.crowd.free_places(places, (max(x0), max(y0), min(x1), min(y1))))
        for place in sketch.crowd.free_places(places, reach):
            if sketch.label("labels", [stacked(place, rows)]):
                return True
    return False


def _reach(rows: Rows) -> tuple[float, float, float, float]:
    """The box around rows of text, from their middle."""
    ((x0, y0), _, (x1, y1), _) = stacked((0.0, 0.0), rows).boxes[0]
    return x0, y0, x1, y1


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


def said(length_m: float, sketch: Sketch, what: Lettering) -> str:
    """A length as this sheet writes it."""
    return coarse_measure(length_m, sketch.figures) if what.coarse else measure(length_m, sketch.figures)

"""Many shapes grown and put together, most of which stand apart: posts on a floor by the thousand.

A polygon library that grows or unites them in one go weighs each against all others. Here each is grown by
itself, and only those that meet are united.
"""

from __future__ import annotations

from typing import Final, TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiLineString, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from .arcs import Flags, Ints

Shapes: TypeAlias = NDArray[np.object_]

MANY: Final = 200
"""From so many shapes on each goes by itself; fewer are quicker together."""


def polygons(*regions: BaseGeometry) -> Shapes:
    """The areas of some regions one by one, without lines, points and empty parts."""
    parts = shapely.get_parts(shapely.get_parts(np.array(regions, dtype=object)))
    return np.asarray(parts[(shapely.get_type_id(parts) == _POLYGON) & ~shapely.is_empty(parts)])


_LINE, _POLYGON = 1, 3


def united(*regions: BaseGeometry) -> BaseGeometry:
    """The union of areas, as `shapely.union_all` has it, in time that grows with the parts that meet."""
    parts = polygons(*regions)
    if len(parts) < MANY:
        return shapely.union_all(regions)
    group = _groups(parts)
    alone = np.bincount(group, minlength=len(parts))[group] == 1
    meeting = np.flatnonzero(~alone)
    order = meeting[np.argsort(group[meeting], kind="stable")]
    bounds = np.flatnonzero(np.diff(group[order])) + 1
    unions = [shapely.union_all(parts[few]) for few in np.split(order, bounds) if len(few)]
    return MultiPolygon([*parts[alone], *polygons(*unions)])


def _groups(parts: Shapes) -> Ints:
    """For each shape the first of all those that hang together with it."""
    group = np.arange(len(parts))
    if len(parts) < 2:
        return group
    one, two = shapely.STRtree(parts).query(parts, predicate="intersects")
    one, two = one[two < one], two[two < one]
    while len(one):
        # Each takes the first that a neighbour has; then what that one has in turn, to the end of the chain.
        known = group.copy()
        np.minimum.at(group, group[one], group[two])
        np.minimum.at(group, group[two], group[one])
        while (group[group] != group).any():
            group = group[group]
        if (group == known).all():
            break
    return group


def grown(region: BaseGeometry, by_m: float, quarter: int) -> BaseGeometry:
    """A region, or lines, with all that lies within `by_m`, corners rounded by `quarter` chords a quarter."""
    parts = shapely.get_parts(shapely.get_parts(region))
    if len(parts) + shapely.get_num_interior_rings(parts).sum() < MANY:
        return shapely.buffer(region, by_m, quad_segs=quarter)
    area, open_ = shapely.get_type_id(parts) == _POLYGON, _are_open(parts)
    lines = MultiLineString(list(parts[open_]))
    apart = np.array([*parts[~area & ~open_], lines], dtype=object)
    spread = np.asarray(shapely.buffer(apart, by_m, quad_segs=quarter))
    return united(*spread, *(_grown_area(part, by_m, quarter) for part in parts[area]))


def _are_open(parts: Shapes) -> Flags:
    return np.asarray((shapely.get_type_id(parts) == _LINE) & ~shapely.is_closed(parts), dtype=np.bool_)


def _grown_area(part: Polygon, by_m: float, quarter: int) -> Polygon:
    """The shell grown and every hole shrunk, each by itself: none of them can meet another."""
    shell = shapely.buffer(Polygon(part.exterior), by_m, quad_segs=quarter)
    holes = shapely.polygons(shapely.get_rings(part)[1:])
    left = polygons(*np.asarray(shapely.buffer(holes, -by_m, quad_segs=quarter)))
    return Polygon(shell.exterior, [*shell.interiors, *shapely.get_exterior_ring(left)])

"""What the zones of a floor share: edges, how much of them lies on joints, and where people can pass."""

from __future__ import annotations

import heapq
import math
from collections.abc import Sequence
from typing import Any, Final

import numpy as np
import shapely
from shapely import MultiLineString, Point, Polygon

from ..values import dataclass
from .dividing import OFF_JOINT
from .pouring import Border, Network
from .remembered import remembered

TOUCH_M: Final = 1e-6
"""Edges this near are one edge: far above the rounding of cuts, far below anything built."""
ON_JOINT_M: Final = 0.03
"""An edge this near to a joint lies on it: the width of a groove."""
ELBOW_ROOM: Final = 1.3
"""People pass from zone to zone where the edge is so many times as wide as they need to walk straight."""
AT_EXIT_M: Final = 0.01
ROOM_SHARE: Final = 0.45
"""Of the width that people need, how far their middle keeps from an edge: a little less than half."""
ROUGH_M: Final = 0.01
"""Walking does not hang on less."""


@dataclass(frozen=True, slots=True)
class SharedEdge:
    """What two zones share.

    Attributes:
        first, second: zones by index.
        line: the edge.
        length_m: of it.
        joint_m: of that, on a joint.
        widest_m: its longest stretch without a break.
        across: it goes from edge to edge of the floor.
    """

    first: int
    second: int
    line: MultiLineString
    length_m: float
    joint_m: float
    widest_m: float
    across: bool


def shared_edges(floors: Sequence[Polygon], whole: Polygon, joints: Any) -> list[SharedEdge]:
    """Edges between zones.

    Args:
        floors: the zones.
        whole: the floor that they cover.
        joints: lines of all joints.
    """
    return list(_shared(whole, tuple(floors), joints))


@remembered
def _shared(whole: Polygon, floors: tuple[Polygon, ...], joints: Any) -> tuple[SharedEdge, ...]:
    outer = whole.boundary
    shapely.prepare(outer)
    inner = [_inner(floor, outer) for floor in floors]
    strips = [shapely.buffer(lines, TOUCH_M, quad_segs=1) for lines in inner]
    near_joint = shapely.buffer(joints, ON_JOINT_M, cap_style="flat") if not joints.is_empty else joints
    pairs = shapely.STRtree(strips).query(strips, predicate="intersects")
    found = []
    for a, b in sorted(pairs[:, pairs[0] < pairs[1]].T.tolist()):
        line = _lines(shapely.intersection(inner[a], strips[b]))
        if line.length > 10.0 * TOUCH_M:
            on = shapely.intersection(line, near_joint).length if not near_joint.is_empty else 0.0
            parts = shapely.get_parts(line)
            ends = shapely.get_parts(shapely.boundary(line))
            across = bool(shapely.dwithin(outer, ends, 10.0 * TOUCH_M).all())
            widest = max(part.length for part in parts)
            found.append(SharedEdge(a, b, line, line.length, on, widest, across))
    return tuple(found)


def _inner(floor: Polygon, outer: Any) -> MultiLineString:
    """The segments of a zone that do not lie on the edge of the whole floor."""
    segments = []
    for ring in (floor.exterior, *floor.interiors):
        points = shapely.get_coordinates(ring)
        middles = shapely.points(0.5 * (points[:-1] + points[1:]))
        inside = ~shapely.dwithin(outer, middles, TOUCH_M)
        segments += [points[i : i + 2] for i in np.flatnonzero(inside)]
    return MultiLineString(segments)


def _lines(region: Any) -> MultiLineString:
    parts = [part for part in shapely.get_parts(region) if part.geom_type == "LineString" and part.length > 0]
    merged = shapely.line_merge(MultiLineString(parts))
    return MultiLineString([part for part in shapely.get_parts(merged) if part.length > TOUCH_M])


def network(
    floors: Sequence[Polygon], edges: Sequence[SharedEdge], exits: Sequence[Any], passage_m: float
) -> Network:
    """The graph that an order of pouring is found on; without exits every zone may be left from."""
    borders = {
        (edge.first, edge.second): Border(
            edge.joint_m + OFF_JOINT * (edge.length_m - edge.joint_m),
            edge.widest_m >= ELBOW_ROOM * passage_m or _is_neck(edge, passage_m),
        )
        for edge in edges
    }
    doors = exit_zones(floors, exits, passage_m)
    return Network(len(floors), borders, doors, _away(floors, edges, exits, doors))


def _is_neck(edge: SharedEdge, passage_m: float) -> bool:
    """True where an edge goes right across a neck that people can just get through."""
    return edge.across and edge.widest_m >= 0.9 * passage_m


def exit_zones(floors: Sequence[Polygon], exits: Sequence[Any], passage_m: float) -> frozenset[int]:
    """Zones that touch an exit over the width that people need, else that touch one, else the nearest."""
    wide, touching = set(), set()
    for exit_ in exits:
        near = shapely.buffer(exit_, AT_EXIT_M)
        need = min(passage_m, 0.9 * exit_.length)
        for k, floor in enumerate(floors):
            if shapely.distance(floor, exit_) <= AT_EXIT_M:
                touching.add(k)
                if shapely.intersection(floor.boundary, near).length >= need:
                    wide.add(k)
    if wide or touching or not exits:
        return frozenset(wide or touching or range(len(floors)))
    distances = [min(shapely.distance(floor, exit_) for exit_ in exits) for floor in floors]
    return frozenset({int(np.argmin(distances))})


def walkable(floor: Polygon, passage_m: float) -> Any:
    """Where the middle of a person can be who needs some width to walk on a floor."""
    return shapely.buffer(shapely.simplify(floor, ROUGH_M), -ROOM_SHARE * passage_m, quad_segs=2)


def without(room: Any, floor: Polygon, passage_m: float) -> Any:
    """What is left to walk on when a part of the floor is wet: its middle keeps as far off as from an edge.

    Eroding a floor less some part is eroding the floor, less the part dilated: only the part is worked on.
    """
    wet = shapely.buffer(shapely.simplify(floor, ROUGH_M), ROOM_SHARE * passage_m, quad_segs=2)
    return shapely.difference(room, wet)


def cut_off_m2(room: Any, exits: Sequence[Any], passage_m: float) -> float:
    """The part of what can be walked on from which people get to no exit over the rest of it.

    What is too narrow to walk on anyway (a strip behind a post) is left out of it.
    """
    parts = [part for part in shapely.get_parts(room) if part.area > 0.0]
    if not parts or not exits:
        return 0.0
    near = shapely.buffer(shapely.union_all(list(exits)), passage_m)
    got = shapely.intersects(parts, near)
    if not got.any():
        got[int(np.argmin(shapely.distance(parts, near)))] = True
    return float(shapely.area(parts)[~got].sum())


def _away(
    floors: Sequence[Polygon], edges: Sequence[SharedEdge], exits: Sequence[Any], doors: frozenset[int]
) -> list[float]:
    """Walking distance of the middle of each zone from the nearest exit, by the middles of shared edges."""
    middles = [_middle(floor) for floor in floors]
    near: list[list[tuple[int, float]]] = [[] for _ in floors]
    for edge in edges:
        gate = shapely.line_interpolate_point(
            max(shapely.get_parts(edge.line), key=lambda p: p.length), 0.5, normalized=True
        )
        way = shapely.distance(middles[edge.first], gate) + shapely.distance(gate, middles[edge.second])
        near[edge.first].append((edge.second, way))
        near[edge.second].append((edge.first, way))
    starts = [(min((shapely.distance(middles[k], e) for e in exits), default=0.0), k) for k in sorted(doors)]
    return _shortest(near, starts)


def _shortest(near: list[list[tuple[int, float]]], starts: list[tuple[float, int]]) -> list[float]:
    away = [math.inf] * len(near)
    heap = list(starts)
    heapq.heapify(heap)
    while heap:
        distance, zone = heapq.heappop(heap)
        if distance >= away[zone]:
            continue
        away[zone] = distance
        for other, way in near[zone]:
            heapq.heappush(heap, (distance + way, other))
    known = max((d for d in away if math.isfinite(d)), default=0.0)
    return [d if math.isfinite(d) else known for d in away]


def _middle(floor: Polygon) -> Point:
    middle = shapely.centroid(floor)
    return middle if shapely.contains(floor, middle) else shapely.point_on_surface(floor)

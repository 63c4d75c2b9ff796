"""Floors to be zoned, by plain names and by chance with a fixed seed."""

from __future__ import annotations

import random

import shapely
from shapely import LineString, MultiLineString, Point, Polygon, affinity, box
from shapely.geometry.base import BaseGeometry

from floorplan.units.factors import FOOT_M
from floorplan.work.zoning import PASSAGE_M, Floor, Zone

FT = FOOT_M


def feet(*points: tuple[float, float]) -> list[tuple[float, float]]:
    """Points typed in feet."""
    return [(x * FT, y * FT) for x, y in points]


def joints(*lines: list[tuple[float, float]]) -> tuple[MultiLineString, ...]:
    """Joints, each of one line."""
    return tuple(MultiLineString([line]) for line in lines)


def hall(grid_ft: float | None = 5.0) -> Floor:
    """100 by 50 ft, left at the left end, with a grid of joints."""
    lines = []
    if grid_ft:
        lines += [feet((k * grid_ft, 0), (k * grid_ft, 50)) for k in range(1, round(100 / grid_ft))]
        lines += [feet((0, k * 50 / 41), (100, k * 50 / 41)) for k in range(1, 41)]
    way_out = LineString(feet((0, 0), (0, 50)))
    return Floor(region=box(0, 0, 100 * FT, 50 * FT), joints=joints(*lines), exits=(way_out,))


def ring() -> Floor:
    """A pool surround of 40 by 30 ft round a pool of 24 by 14 ft, left at the middle of the near side."""
    region = box(0, 0, 40 * FT, 30 * FT).difference(box(8 * FT, 8 * FT, 32 * FT, 22 * FT))
    return Floor(region=region, exits=(Point(20 * FT, 0),))


def u_shape() -> Floor:
    """A U of three legs 12 ft wide, left at the end of one leg."""
    region = Polygon(feet((0, 0), (40, 0), (40, 30), (28, 30), (28, 12), (12, 12), (12, 30), (0, 30)))
    return Floor(region=region, exits=(LineString(feet((0, 30), (12, 30))),))


def dumb_bell() -> Floor:
    """Two rooms of 16 by 16 ft joined by a neck 3 ft wide, left from the right-hand one."""
    rooms = [
        box(0, 0, 16 * FT, 16 * FT),
        box(24 * FT, 0, 40 * FT, 16 * FT),
        box(15 * FT, 6 * FT, 25 * FT, 9 * FT),
    ]
    return Floor(region=shapely.union_all(rooms), exits=(LineString(feet((40, 0), (40, 16))),))


def chance(seed: int) -> tuple[Floor, float]:
    """A floor of several boxes with holes and joints, and a batch to zone it by, both by chance."""
    draw = random.Random(seed)
    region: BaseGeometry = box(0, 0, draw.uniform(3, 9), draw.uniform(3, 9))
    for _ in range(draw.randint(0, 5)):
        x0, y0, x1, y1 = region.bounds
        x, y = draw.uniform(x0 - 1, x1 - 0.5), draw.uniform(y0 - 1, y1 - 0.5)
        part = box(x, y, x + draw.uniform(1.5, 8), y + draw.uniform(1.5, 8))
        region = region.union(affinity.rotate(part, draw.choice([0, 0, 0, 20, 45])))
    for _ in range(draw.randint(0, 4)):
        x0, y0, x1, y1 = region.bounds
        at = Point(draw.uniform(x0, x1), draw.uniform(y0, y1))
        hole = (
            at.buffer(draw.uniform(0.1, 1.5))
            if draw.random() < 0.6
            else box(at.x, at.y, at.x + 1.2, at.y + 2)
        )
        region = region.difference(hole)
    floor = max(shapely.get_parts(region), key=lambda part: part.area)
    x0, y0, x1, y1 = floor.bounds
    lines = []
    for _ in range(draw.randint(0, 6)):
        x, y = draw.uniform(x0, x1), draw.uniform(y0, y1)
        line = LineString([(x, y0), (x, y1)] if draw.random() < 0.5 else [(x0, y), (x1, y)])
        parts = [p for p in shapely.get_parts(line.intersection(floor)) if p.geom_type == "LineString"]
        lines.append(MultiLineString(parts))
    corners = shapely.get_coordinates(shapely.simplify(floor.exterior, 0.02))
    k = draw.randrange(len(corners) - 1)
    return Floor(region=floor, joints=tuple(lines), exits=(LineString(corners[k : k + 2]),)), draw.uniform(
        8, 35
    )


def reachable(floor: Floor, left: list[Zone]) -> bool:
    """True when every zone left can be walked to from an exit over floor that is left.

    People are discs of the passage's width; a zone counts as reached where most of what is walkable of it is.
    """
    if not left:
        return True
    rest = shapely.union_all([zone.floor for zone in left]).buffer(1e-6)
    room = rest.buffer(-0.45 * PASSAGE_M)
    ways = shapely.union_all(list(floor.exits)).buffer(PASSAGE_M)
    parts = list(shapely.get_parts(room))
    got = [part for part in parts if part.intersects(ways)]
    if not got:
        nearest = min(parts, key=lambda part: part.distance(ways), default=None)
        got = [] if nearest is None else [nearest]
    whole = sum(part.area for part in parts)
    return sum(part.area for part in got) >= 0.97 * whole

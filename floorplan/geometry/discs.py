"""Discs rolled over the floor: growing, shrinking, strips along edges, and where a round head cuts.

Words: the centre of the head *keeps off* an edge by a distance; past an open edge it may run over, so that
the distance is smaller than half the head, and below zero where even the centre may pass the edge. Where the
centre may *stand*, and what the head *cuts* from there, are two regions. A *neck* is a narrow place between
two parts.

Discs are polygons whose area falls short by a stated share (`DISC_SHARE`); see there.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TypeAlias

import numpy as np
import shapely
from shapely import GeometryCollection, MultiLineString, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from . import unions
from .tolerance import DISC_SHARE, SPECK_M2
from .unions import united

KeepOff: TypeAlias = Sequence[tuple[BaseGeometry, float]]
"""Lines, and how far the centre of a disc keeps off them in metres; negative where it may pass over."""


def quarter_chords(share: float = DISC_SHARE) -> int:
    """Chords in a quarter of a disc so that its area falls short by no more than `share`.

    A sector of angle φ loses 1 - sin φ / φ, which is under φ²/6, to its chord.

    >>> quarter_chords(1e-4)
    65
    """
    if not 0.0 < share < 1.0:
        raise ValueError(f"share must lie between 0 and 1, got {share!r}")
    return math.ceil(0.5 * math.pi / math.sqrt(6.0 * share))


def grown(region: BaseGeometry, by_m: float, share: float = DISC_SHARE) -> BaseGeometry:
    """A region, or lines, with all that lies within `by_m` of it."""
    return unions.grown(region, _not_negative(by_m), quarter_chords(share))


def shrunk(region: BaseGeometry, by_m: float, share: float = DISC_SHARE) -> BaseGeometry:
    """The part of a region that lies at least `by_m` inside its edge."""
    return shapely.buffer(region, -_not_negative(by_m), quad_segs=quarter_chords(share))


def near(along: Sequence[tuple[BaseGeometry, float]], share: float = DISC_SHARE) -> BaseGeometry:
    """All that lies within a width of some lines, each with its own width."""
    strips = [_around(lines, width, share) for lines, width in _by_distance(along)]
    return united(*strips) if len(strips) != 1 else strips[0]


def strip(
    region: BaseGeometry, along: Sequence[tuple[BaseGeometry, float]], share: float = DISC_SHARE
) -> MultiPolygon:
    """The part of a region within a width of some lines, each with its own width, counted once."""
    return areas(shapely.intersection(near(along, share), region))


def standing(net: BaseGeometry, keep_off: KeepOff, share: float = DISC_SHARE) -> MultiPolygon:
    """Where the centre of the head may stand.

    Args:
        net: the floor.
        keep_off: edges of it, and how far the centre keeps off them. Where the distance is negative, the
            centre may pass the edge by as much, straight over the edge and not round its ends.
        share: of the area of a disc that may be lost to its chords.
    """
    edges = _by_distance(keep_off)
    beyond = [_strip_over(lines, -d, share) for lines, d in edges if d < 0.0]
    region = shapely.union_all([net, *beyond]) if beyond else net
    barred = [_around(lines, d, share) for lines, d in edges if d > 0.0]
    return areas(shapely.difference(region, united(*barred)) if barred else region)


def reach(
    net: BaseGeometry,
    radius_m: float,
    in_way: Sequence[tuple[BaseGeometry, float]],
    past: Sequence[tuple[BaseGeometry, float]] = (),
    share: float = DISC_SHARE,
) -> tuple[MultiPolygon, MultiPolygon]:
    """Where the centre of a round head may stand, and the floor that it cuts from there.

    The distance to an open edge is taken as signed, less than zero beyond it: a head that may hang over by
    more than half its radius does not come to stand in a strip of its own outside.

    Args:
        net: the floor.
        radius_m: half the head.
        in_way: edges that stand in the way, and the gap that the head leaves along them.
        past: open edges, and how far the head may run over them.
        share: of the area of a disc that may be lost to its chords.
    """
    if not radius_m > 0.0:
        raise ValueError(f"radius_m must be > 0, got {radius_m!r}")
    keep_off = [(lines, radius_m + _not_negative(gap)) for lines, gap in in_way]
    keep_off += [(lines, radius_m - _not_negative(over)) for lines, over in past]
    stand = standing(net, keep_off, share)
    return stand, cut_from(stand, net, radius_m, share)


def cut_from(
    stand: BaseGeometry, net: BaseGeometry, radius_m: float, share: float = DISC_SHARE
) -> MultiPolygon:
    """The floor that a head cuts whose centre goes wherever it may stand."""
    return areas(shapely.intersection(grown(stand, radius_m, share), net))


def reached(
    stand: BaseGeometry, travel: BaseGeometry, entry: BaseGeometry, within_m: float
) -> tuple[MultiPolygon, MultiPolygon]:
    """The places for the head that the machine gets to from its entry, and those that it does not.

    Args:
        stand: where the centre of the head may stand.
        travel: where the middle of the machine may go, which keeps off by half its overall width.
        entry: the point or line it comes in at.
        within_m: how far from the entry the middle of the machine may be as it comes in.

    A place to stand belongs to the part of `travel` that it holds. Where it holds several, joined by a neck
    that lets the head through and not the machine, each of its points belongs to the nearest of them.
    """
    ways = _solid(travel)
    open_ = [shapely.distance(way, entry) <= within_m for way in ways]
    got: list[Polygon] = []
    missed: list[Polygon] = []
    for place in _solid(stand):
        held = [k for k, way in enumerate(ways) if shapely.intersects(way, place)]
        if len({open_[k] for k in held}) < 2:
            (got if held and open_[held[0]] else missed).append(place)
            continue
        mine = shapely.union_all([ways[k] for k in held if open_[k]])
        other = shapely.union_all([ways[k] for k in held if not open_[k]])
        near, far = _shared_out(place, mine, other)
        got += near
        missed += far
    return MultiPolygon(got), MultiPolygon(missed)


def _shared_out(
    place: Polygon, mine: BaseGeometry, other: BaseGeometry
) -> tuple[list[Polygon], list[Polygon]]:
    """Cut a place in the neck between two ways: what lies within half the way over goes with the first."""
    half = 0.5 * shapely.distance(mine, other)
    ahead = areas(shapely.difference(place, grown(other, half)))
    near = [p for p in ahead.geoms if shapely.intersects(p, mine)]
    return near, list(areas(shapely.difference(place, MultiPolygon(near))).geoms)


def _by_distance(edges: Sequence[tuple[BaseGeometry, float]]) -> list[tuple[MultiLineString, float]]:
    """Edges of one distance as one set of lines: grown at once, they need no union after."""
    groups: dict[float, list[BaseGeometry]] = {}
    for lines, distance in edges:
        if not lines.is_empty:
            groups.setdefault(distance, []).append(lines)
    return [(joined(GeometryCollection(few)), distance) for distance, few in groups.items()]


def joined(lines: BaseGeometry) -> MultiLineString:
    """Lines joined end to end, so that growing makes no caps between neighbours."""
    parts = shapely.get_parts(shapely.get_parts(lines))
    return MultiLineString(list(shapely.get_parts(shapely.line_merge(MultiLineString(list(parts))))))


def _around(lines: MultiLineString, by_m: float, share: float) -> BaseGeometry:
    """All that lies within `by_m` of lines.

    A small ring is grown as the area that it fills: GEOS 3.11 loses the inside of a ring that is grown by as
    much as its half width, and an area is quicker.
    """
    parts = shapely.get_parts(lines)
    x0, y0, x1, y1 = shapely.bounds(parts).T
    small = shapely.is_closed(parts) & (np.minimum(x1 - x0, y1 - y0) <= 2.0 * by_m)
    at, ring = shapely.get_coordinates(parts[small], return_index=True)
    filled = np.asarray(shapely.polygons(shapely.linearrings(at, indices=ring)))
    return grown(GeometryCollection([*parts[~small], *filled]), by_m, share)


def areas(region: BaseGeometry) -> MultiPolygon:
    """Only the areas of a region, without the lines and points that a polygon library leaves."""
    parts = shapely.get_parts(shapely.get_parts(region))
    return MultiPolygon([p for p in parts if p.geom_type == "Polygon" and not p.is_empty])


def _solid(region: BaseGeometry) -> list[Polygon]:
    return [part for part in areas(region).geoms if part.area > SPECK_M2]


def _strip_over(lines: BaseGeometry, by_m: float, share: float) -> BaseGeometry:
    """A strip on both sides of lines that ends square, not round, at their ends."""
    return shapely.buffer(lines, by_m, quad_segs=quarter_chords(share), cap_style="flat")


def _not_negative(length_m: float) -> float:
    if not length_m >= 0.0:
        raise ValueError(f"a distance must be >= 0, got {length_m!r}")
    return length_m

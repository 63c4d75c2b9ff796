"""What the walk-behind cuts, what is ground by hand, and the pockets between.

The centre of the head may stand at least its half diameter and the gap from every edge in the way, and may
come to an open edge up to its half diameter less the overhang. What a disc of the head covers from there
is *machine area*. The *band* is floor within the hand-ground width of an edge in the way; a *pocket* is
floor outside the band that the head does not cover. Where an entry is given, only those places count to
which the overall width of the machine can travel from it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import shapely
from shapely import MultiPolygon, Point, Polygon
from shapely.geometry.base import BaseGeometry

from ..plan.model import EdgeKind, Grinder
from .model import Edge

FINEST: Final = 400
"""Chords for a quarter of a disc on a plan of few corners: 1e-6 of the area of the disc."""

COARSEST: Final = 64
"""Likewise on a plan of very many corners: 1e-4 of the disc, the most that a reported area may be off."""

CHORD_BUDGET: Final = 100_000
"""How many chords a plan may spend on round corners, about."""

SPECK_M2: Final = 1e-6
"""A part smaller than a square millimetre is rounding, not floor."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """Regions of the net floor, and how far the machine gets.

    Attributes:
        machine: floor that the head cuts.
        band: floor within the hand-ground width of an edge in the way.
        pockets: neither of the two.
        hand: band and all floor that the head does not cut.
        parts: where the head's centre may stand, one polygon for each part that the machine cannot leave;
            with an entry, only the parts it gets to.
        cut_off: with an entry, the parts that it does not get to; else empty.
        missed_area_m2: net floor that the head does not cut.
        band_area_m2: area of `band`.
        pocket_area_m2: area of `pockets`.
    """

    machine: MultiPolygon
    band: MultiPolygon
    pockets: MultiPolygon
    hand: MultiPolygon
    parts: tuple[Polygon, ...]
    cut_off: tuple[Polygon, ...]
    missed_area_m2: float
    band_area_m2: float
    pocket_area_m2: float


def measure_reach(
    net: MultiPolygon,
    edges: Sequence[Edge],
    *,
    grinder: Grinder,
    kinds: Mapping[str, EdgeKind],
    entry: Point | None = None,
    entry_side: int | None = None,
) -> Reach:
    """Machine area, band and pockets of a floor.

    Args:
        net: the floor, arcs as chords.
        edges: all edges of it, with their lines.
        grinder: head, overall width, gap, overhang, band.
        kinds: rows of the edge-kind table, which may carry a gap, overhang or band of their own.
        entry: where the machine comes in; None counts every part.
        entry_side: index of the side it comes in over, where the entry is a side.
    """
    lay = _Layout(net, edges, grinder, kinds)
    stand = lay.inset(lay.head_keep_off)
    reached: BaseGeometry = stand
    cut_off: BaseGeometry = MultiPolygon()
    parts = _parts(stand)
    if entry is not None:
        travelled = lay.travelled(entry, entry_side)
        reached, cut_off = _split(parts, travelled, lay.slack_m)
        parts = _parts(reached)
    machine = _polygons(shapely.intersection(lay.grown(reached, grinder.head.m / 2.0), net))
    band = lay.band()
    missed = shapely.difference(net, machine)
    pockets = _polygons(shapely.difference(missed, band))
    return Reach(
        machine=machine,
        band=band,
        pockets=pockets,
        hand=_polygons(shapely.union(missed, band)),
        parts=parts,
        cut_off=_parts(cut_off),
        missed_area_m2=missed.area,
        band_area_m2=band.area,
        pocket_area_m2=pockets.area,
    )


class _Layout:
    """The floor with its edges sorted by how far a machine keeps off them."""

    def __init__(
        self,
        net: MultiPolygon,
        edges: Sequence[Edge],
        grinder: Grinder,
        kinds: Mapping[str, EdgeKind],
    ) -> None:
        self.net = net
        self.edges = edges
        self.grinder = grinder
        self.kinds = kinds
        count = max(1, int(shapely.get_num_coordinates(net)))
        self.quarter = max(COARSEST, min(FINEST, CHORD_BUDGET // count))

    @property
    def slack_m(self) -> float:
        """How much further the machine's body keeps off than its head, at most."""
        gaps = [kind.gap.m for kind in self.kinds.values() if kind.gap is not None]
        least = min([self.grinder.gap.m, *gaps])
        return max(0.0, (self.grinder.overall.m - self.grinder.head.m) / 2.0 - least)

    def head_keep_off(self, kind: EdgeKind) -> float:
        """Distance of the head's centre from an edge; negative where it may pass over an open one."""
        half = self.grinder.head.m / 2.0
        if kind.hand_grind:
            return half + (kind.gap or self.grinder.gap).m
        return half - (kind.overhang or self.grinder.overhang).m

    def body_keep_off(self, kind: EdgeKind) -> float:
        """Distance of the machine's middle from an edge as it travels."""
        return self.grinder.overall.m / 2.0 if kind.hand_grind else self.head_keep_off(kind)

    def band_width(self, kind: EdgeKind) -> float:
        """Width ground by hand along an edge in the way."""
        return (kind.band or self.grinder.band).m

    def grown(self, region: BaseGeometry, by_m: float) -> BaseGeometry:
        """A region and all within a distance of it."""
        return shapely.buffer(region, by_m, quad_segs=self.quarter)

    def inset(self, keep_off: Callable[[EdgeKind], float], without: Edge | None = None) -> BaseGeometry:
        """The floor at least so far from each edge, and beyond open edges where the distance is negative."""
        groups = self._groups(keep_off, self.edges)
        if not groups:
            return self.net
        nearest = 0.0 if without is not None else max(0.0, min(groups))
        region: BaseGeometry = self.net
        beyond = [self.grown(_lines(few), -d) for d, few in groups.items() if d < 0.0 and few]
        if beyond:
            region = shapely.union_all([region, *beyond])
        elif nearest > 0.0:
            region = self.grown(region, -nearest)
        for distance, few in groups.items():
            kept = [edge for edge in few if edge is not without]
            if distance > nearest and kept:
                region = shapely.difference(region, self.grown(_lines(kept), distance))
        return region

    def _groups(
        self, keep_off: Callable[[EdgeKind], float], edges: Sequence[Edge]
    ) -> dict[float, list[Edge]]:
        distance = {name: keep_off(kind) for name, kind in self.kinds.items()}
        groups: dict[float, list[Edge]] = {}
        for edge in edges:
            if not edge.lines.is_empty:
                groups.setdefault(distance[edge.kind], []).append(edge)
        return groups

    def band(self) -> MultiPolygon:
        """Floor within the hand-ground width of the edges in the way."""
        groups = self._groups(self.band_width, [edge for edge in self.edges if edge.hand_grind])
        whole = sum(len(few) for few in groups.values()) == sum(not e.lines.is_empty for e in self.edges)
        if whole and len(groups) == 1:
            return _polygons(shapely.difference(self.net, self.grown(self.net, -next(iter(groups)))))
        strips = [self.grown(_lines(few), width) for width, few in groups.items()]
        return _polygons(shapely.intersection(shapely.union_all(strips), self.net))

    def travelled(self, entry: Point, entry_side: int | None) -> BaseGeometry:
        """Where the middle of the machine gets to from its entry."""
        door = None if entry_side is None else self.edges[entry_side]
        free = self.inset(self.body_keep_off, without=door)
        near = door.lines if door is not None else entry
        within = 1e-6 if door is not None else self.grinder.overall.m / 2.0
        kept = [part for part in _parts(free) if shapely.distance(part, near) <= within]
        return MultiPolygon(kept)


def _split(
    parts: Sequence[Polygon], travelled: BaseGeometry, slack_m: float
) -> tuple[BaseGeometry, BaseGeometry]:
    """Places for the head that the machine gets to, and those that it does not.

    The head may stand nearer to an edge than the middle of the machine does, by the slack; in a sharp corner
    that comes to a few times as much.
    """
    if travelled.is_empty:
        return MultiPolygon(), MultiPolygon(parts)
    near = shapely.buffer(travelled, 3.0 * slack_m + 1e-6)
    standing = MultiPolygon(parts)
    return shapely.intersection(standing, near), shapely.difference(standing, near)


def _lines(edges: Sequence[Edge]) -> BaseGeometry:
    """The lines of the edges, joined end to end, so that no round caps are made between neighbours."""
    return shapely.line_merge(shapely.multilinestrings([g for e in edges for g in e.lines.geoms]))


def _parts(region: BaseGeometry) -> tuple[Polygon, ...]:
    """The polygons of a region that are more than rounding."""
    polygons = (p for g in shapely.get_parts(region) for p in shapely.get_parts(g))
    return tuple(p for p in polygons if p.geom_type == "Polygon" and p.area > SPECK_M2)


def _polygons(region: BaseGeometry) -> MultiPolygon:
    """Only the areas of a region."""
    polygons = (p for g in shapely.get_parts(region) for p in shapely.get_parts(g))
    return MultiPolygon([p for p in polygons if p.geom_type == "Polygon" and not p.is_empty])


def clear_width_m(grinder: Grinder, kind: EdgeKind) -> float:
    """Half of the clear way that the machine needs on the side of an edge of this kind."""
    overhang = (kind.overhang or grinder.overhang).m
    return grinder.overall.m / 2.0 if kind.hand_grind else max(0.0, grinder.head.m / 2.0 - overhang)

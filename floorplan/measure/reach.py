"""What the walk-behind cuts, what is ground by hand, and the pockets between.

The centre of the head may stand at least its half diameter and the gap from every edge in the way, and may
come to an open edge up to its half diameter less the overhang. What a disc of the head covers from there is
*machine area*. The *band* is floor within the hand-ground width of an edge in the way; a *pocket* is floor
outside the band that the head does not cover. Where an entry is given, only those places count to which the
overall width of the machine can travel from it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Final

import numpy as np
import shapely
from shapely import MultiLineString, MultiPolygon, Point, Polygon
from shapely.geometry.base import BaseGeometry

from ..geometry.discs import areas, cut_from, grown, near, reached, standing
from ..geometry.regions import Subtraction
from ..geometry.tolerance import DISC_SHARE, SPECK_M2
from ..plan.model import EdgeKind, Grinder
from ..values import dataclass
from .model import Edge

FINE_SHARE: Final = 2e-6
"""Share of a disc lost to its chords on a plan of few corners; rows of closed forms hold to six digits."""

FINE_BELOW_CORNERS: Final = 500
"""From this many corners on, the geometry's own share stands in: round corners cost time there."""

MANY_CUTOUTS: Final = 1000

COARSE_SHARE: Final = 8e-5
"""Likewise on a floor with more cut-outs than that: four round corners each are what takes the time."""

DUST_M2: Final = 1e-9
"""Two regions that should share an edge overlap or gape by less than this."""

DOOR_M: Final = 1e-6
"""Travel that touches the side of the entry to within rounding comes in there."""


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
        cut_off: with an entry, the floor that the head would cut but does not get to; else empty.
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
    floor: Subtraction,
    edges: Sequence[Edge],
    *,
    grinder: Grinder,
    kinds: Mapping[str, EdgeKind],
    entry: Point | None = None,
    entry_side: int | None = None,
) -> Reach:
    """Machine area, band and pockets of a floor.

    Args:
        floor: the floor left of the outline.
        edges: all edges of it, in its order.
        grinder: head, overall width, gap, overhang, band.
        kinds: rows of the edge-kind table, which may carry a gap, overhang or band of their own.
        entry: where the machine comes in; None counts every part.
        entry_side: index of the side it comes in over, where the entry is a side.
    """
    net = floor.net
    share = FINE_SHARE if len(edges) < FINE_BELOW_CORNERS else DISC_SHARE
    share = COARSE_SHARE if len(floor.cutouts) > MANY_CUTOUTS else share
    apart = _Apart(floor, [kinds[edge.kind] for edge in edges])
    stand = standing(net, apart.by(lambda kind: head_keep_off(grinder, kind)), share)
    missing = MultiPolygon()
    if entry is not None:
        travel = standing(net, apart.by(lambda kind: body_keep_off(grinder, kind), but=entry_side), share)
        door: BaseGeometry = entry if entry_side is None else edges[entry_side].lines
        within = _near_a_point(entry, travel, grinder.overall.m) if entry_side is None else DOOR_M
        stand, missing = reached(stand, travel, door, within)
    swept = grown(stand, grinder.head.m / 2.0, share)
    edge = near(apart.by(lambda kind: (kind.band or grinder.band).m, in_way=True), share)
    machine, band = areas(shapely.intersection(swept, net)), areas(shapely.intersection(edge, net))
    # Overlays with the regions before they were clipped to the floor share fewer lines: ten times as fast.
    missed = shapely.difference(net, swept)
    pockets = _solid(shapely.difference(missed, edge))
    return Reach(
        machine=machine,
        band=band,
        pockets=pockets,
        hand=_solid(shapely.difference(net, shapely.difference(swept, edge))) if len(pockets.geoms) else band,
        parts=_parts(stand),
        cut_off=_lost(missing, machine, net, grinder, share),
        missed_area_m2=missed.area,
        band_area_m2=band.area,
        pocket_area_m2=pockets.area,
    )


def _near_a_point(entry: Point, travel: BaseGeometry, overall_m: float) -> float:
    """How far from an entry that is a point the machine's middle may come in.

    Half its width, so that the point lies under it. Its middle gets no nearer to a corner with a wall beside
    it than some more; then the nearest way in counts, up to a whole width off.
    """
    nearest = float(shapely.distance(travel, entry))
    return nearest + DOOR_M if overall_m / 2.0 < nearest <= overall_m else overall_m / 2.0


def _lost(
    missing: MultiPolygon, machine: MultiPolygon, net: MultiPolygon, grinder: Grinder, share: float
) -> tuple[Polygon, ...]:
    """Floor cut from places that the machine does not get to, and from no other place."""
    if missing.is_empty:
        return ()
    floor = cut_from(missing, net, grinder.head.m / 2.0, share)
    return _parts(areas(shapely.difference(floor, machine)))


def head_keep_off(grinder: Grinder, kind: EdgeKind) -> float:
    """Distance of the head's centre from an edge; negative where it may pass over an open one."""
    half = grinder.head.m / 2.0
    if kind.hand_grind:
        return half + (kind.gap or grinder.gap).m
    return half - (kind.overhang or grinder.overhang).m


def body_keep_off(grinder: Grinder, kind: EdgeKind) -> float:
    """Distance of the machine's middle from an edge as it travels; over an open one as the head."""
    return grinder.overall.m / 2.0 if kind.hand_grind else head_keep_off(grinder, kind)


class _Apart:
    """The edges of a floor, sorted by a distance of their kinds."""

    def __init__(self, floor: Subtraction, kinds: Sequence[EdgeKind]) -> None:
        self.floor = floor
        self.kinds = list({kind.name: kind for kind in kinds}.values())
        number = {kind.name: k for k, kind in enumerate(self.kinds)}
        self.kind = np.array([number[kind.name] for kind in kinds])

    def by(
        self, distance_m: Callable[[EdgeKind], float], *, in_way: bool = False, but: int | None = None
    ) -> list[tuple[MultiLineString, float]]:
        """Lines of the edges with the distance of each, those of one distance together.

        Args:
            distance_m: of a kind.
            in_way: only edges in the machine's way.
            but: an edge to leave out.
        """
        distances = [distance_m(kind) for kind in self.kinds if kind.hand_grind or not in_way]
        known = sorted(set(distances))
        groups = [
            known.index(distance_m(kind)) if kind.hand_grind or not in_way else -1 for kind in self.kinds
        ]
        group = np.array(groups)[self.kind]
        if but is not None:
            group[but] = -1
        return list(zip(self.floor.joined_edges(group), known, strict=False))


def _solid(region: BaseGeometry) -> MultiPolygon:
    """The areas of a region without what rounding leaves along edges."""
    return MultiPolygon([part for part in areas(region).geoms if part.area > DUST_M2])


def _parts(region: MultiPolygon) -> tuple[Polygon, ...]:
    """The polygons of a region that are more than rounding."""
    return tuple(part for part in region.geoms if part.area > SPECK_M2)

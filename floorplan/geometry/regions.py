"""Floor left when cut-outs are taken out of an outline: exact areas and edges, each piece of floor once.

Rings are cut where they meet, so that a polygon library only has to choose among whole pieces; the arcs are
put back into what it chose. Areas and lengths are therefore as exact as the corners, whatever the tolerance
of the polygon.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

import numpy as np
import shapely
from shapely import MultiLineString, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from ..values import dataclass, field
from . import arcs
from .arcs import Flags, Floats, Ints
from .meets import Sides
from .pieces import Chords, Pieces
from .rings import Ring
from .tolerance import FLAT_M

_Area: TypeAlias = Polygon | MultiPolygon


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Subtraction:
    """What is left of an outline, and what each cut-out took.

    Attributes:
        outline: as given.
        cutouts: as given.
        net: the floor left, arcs as chords within the tolerance.
        gross_area_m2: of the outline.
        net_area_m2: of the floor left.
        deducted_m2: what each cut-out took, in the order listed: clipped to the outline, less what earlier
            ones took. Gross less all of these is net.
        boundary_m: length round the floor left, all rings.
        side_lengths_m: (n,) of each side of the outline the length that still bounds floor.
        cutout_lengths_m: of each cut-out the length that bounds floor: inside the outline, not along it, and
            not along or under an earlier cut-out.
        tolerance_m: of the polygon.
    """

    outline: Ring
    cutouts: tuple[Ring, ...]
    net: MultiPolygon
    gross_area_m2: float
    net_area_m2: float
    deducted_m2: tuple[float, ...]
    boundary_m: float
    side_lengths_m: Floats
    cutout_lengths_m: tuple[float, ...]
    tolerance_m: float
    _edges: _Edges = field(repr=False, compare=False)

    def side_lines(self, i: int) -> MultiLineString:
        """The part of side i of the outline that still bounds floor, arcs as chords."""
        return self._edges.lines(0, i)

    def contains(self, points: Floats) -> Flags:
        """Which of (k, 2) points lie on the floor left, (k,), arcs exact; on its boundary either may come."""
        inside = np.asarray(shapely.contains_xy(self.net, points[:, 0], points[:, 1]), dtype=np.bool_)
        edges = shapely.boundary(self.net)
        shapely.prepare(edges)
        doubtful = np.flatnonzero(shapely.dwithin(edges, shapely.points(points), 2.0 * self.tolerance_m))
        for k in doubtful:
            at = points[k : k + 1]
            inside[k] = self.outline.contains(at)[0] and not any(c.contains(at)[0] for c in self.cutouts)
        return inside

    def edge_lines(self) -> list[MultiLineString]:
        """The part of every edge that bounds floor: of each side of the outline, then of each cut-out.

        In one pass, because outlines can have very many sides.
        """
        count = len(self.outline) + len(self.cutouts)
        return self._edges.by_key(self._numbers(), count)

    def joined_edges(self, group: Ints) -> list[MultiLineString]:
        """Edges of one group as one value, joined end to end; negative numbers are left out.

        Args:
            group: (sides + cut-outs,) number of the group of each edge, in the order of `edge_lines`.
        """
        count = int(group.max(initial=-1)) + 1
        return self._edges.by_key(group[self._numbers()], count)

    def _numbers(self) -> Ints:
        """The edge, in the order of `edge_lines`, that each edge of the polygon belongs to."""
        ring, side = self._edges.ring, self._edges.side
        return np.where(ring == 0, side, len(self.outline) + ring - 1)

    def cutout_lines(self, k: int) -> MultiLineString:
        """The part of cut-out k that bounds floor, arcs as chords."""
        return self._edges.lines(k + 1, None)


@dataclass(frozen=True, slots=True)
class _Edges:
    """Edges of the net floor with the ring and side that each belongs to."""

    starts: Floats
    ends: Floats
    ring: Ints
    side: Ints

    def lines(self, ring: int, side: int | None) -> MultiLineString:
        mine = self.ring == ring
        if side is not None:
            mine &= self.side == side
        pairs = np.stack((self.starts[mine], self.ends[mine]), axis=1)
        merged = shapely.line_merge(MultiLineString(list(pairs)))
        parts = [line for line in shapely.get_parts(merged) if not line.is_empty]
        return MultiLineString(parts)

    def by_key(self, key: Ints, count: int) -> list[MultiLineString]:
        """The lines of every key from 0 up to `count`, in one pass over the edges."""
        result = np.full(count, MultiLineString(), dtype=object)
        mine = np.flatnonzero(key >= 0)
        if not len(mine):
            return list(result)
        starts, ends, key = self.starts[mine], self.ends[mine], key[mine]
        new = np.ones(len(mine), dtype=np.bool_)
        new[1:] = (key[1:] != key[:-1]) | (starts[1:] != ends[:-1]).any(axis=1)
        run = np.cumsum(new) - 1
        last = np.append(np.flatnonzero(new)[1:] - 1, len(mine) - 1)
        at = np.insert(starts, last + 1, ends[last], axis=0)
        lines = np.asarray(shapely.linestrings(at, indices=np.insert(run, last + 1, run[last])))
        order = np.argsort(key[last], kind="stable")
        shapely.multilinestrings(lines[order], indices=key[last][order], out=result)
        # A ring of the polygon may begin in the middle of a run.
        for i in np.flatnonzero(shapely.get_num_geometries(result) > 1):
            result[i] = MultiLineString(list(shapely.get_parts(shapely.line_merge(result[i]))))
        return list(result)


def subtract(outline: Ring, cutouts: Sequence[Ring], tolerance_m: float = FLAT_M) -> Subtraction:
    """Take cut-outs out of an outline.

    The rings must not cross themselves (see `crossings`); they may run either way round, and cut-outs may
    overlap, touch, nest, and stand across or outside the outline.

    Raises:
        ValueError: a ring crosses itself.
    """
    chords, (floor, *holes) = _laid_out([outline, *cutouts], tolerance_m)
    net = _parts(shapely.difference(floor, shapely.union_all(holes))) if holes else _parts(floor)
    deducted = _deducted(chords, floor, holes, cutouts)
    starts, ends = _edges(net)
    measured = _measured(chords, starts, ends)
    ring, side = measured.ring, measured.side
    sides = np.bincount(side[ring == 0], measured.length[ring == 0], minlength=len(outline))
    rings = np.bincount(ring, measured.length, minlength=len(cutouts) + 1)
    gross = outline.area_m2
    return Subtraction(
        outline=outline,
        cutouts=tuple(cutouts),
        net=net,
        gross_area_m2=gross,
        net_area_m2=max(0.0, gross - sum(deducted)),
        deducted_m2=deducted,
        boundary_m=float(measured.length.sum()),
        side_lengths_m=sides.astype(np.float64),
        cutout_lengths_m=tuple(float(x) for x in rings[1:]),
        tolerance_m=tolerance_m,
        _edges=_Edges(starts, ends, ring, side),
    )


def exact_area_m2(chords: Chords, region: BaseGeometry) -> float:
    """Area of a region whose edges are chords of the table, with the arcs put back."""
    starts, ends = _edges(region)
    if not len(starts):
        return 0.0
    chord, along = chords.find(starts, ends)
    origin = starts[0]
    a, b = starts - origin, ends - origin
    doubled = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    bend = np.where(chord >= 0, chords.bulges[chord], 0.0) * np.where(along, 1.0, -1.0)
    bulged = arcs.segment_areas_m2(np.hypot(*(b - a).T), bend)
    return float((0.5 * doubled + bulged).sum())


@dataclass(frozen=True, slots=True)
class _Measured:
    ring: Ints
    side: Ints
    length: Floats


def _measured(chords: Chords, starts: Floats, ends: Floats) -> _Measured:
    """Ring, side and exact length of every edge."""
    chord, _ = chords.find(starts, ends)
    strayed = np.flatnonzero(chord < 0)
    bend = chords.bulges[chord]
    if len(strayed):
        chord = chord.copy()
        chord[strayed] = _nearest(chords, 0.5 * (starts[strayed] + ends[strayed]))
        bend = np.where(chord >= 0, chords.bulges[chord], 0.0)
        bend[strayed] = 0.0
    length = arcs.lengths_m(np.hypot(*(ends - starts).T), bend)
    lead = _leading_piece(chords)[chords.strand[chord]]
    return _Measured(chords.pieces.ring[lead], chords.pieces.side[lead], length)


def _nearest(chords: Chords, points: Floats) -> Ints:
    lines = np.asarray(shapely.linestrings(np.stack((chords.starts, chords.ends), axis=1)))
    return np.asarray(shapely.STRtree(lines).nearest(shapely.points(points)), dtype=np.intp)


def _leading_piece(chords: Chords) -> Ints:
    """The first listed piece of every strand: of the outline where it has one, else of the first cut-out."""
    pieces = chords.pieces
    lead = np.full(len(pieces.bulges), len(pieces.strand), dtype=np.intp)
    np.minimum.at(lead, pieces.strand, np.arange(len(pieces.strand)))
    return lead


def _deducted(chords: Chords, floor: _Area, holes: list[_Area], cutouts: Sequence[Ring]) -> tuple[float, ...]:
    """What each cut-out takes that no earlier one took."""
    if not holes:
        return ()
    shapely.prepare(floor)
    inside = shapely.contains_properly(floor, holes)
    one, two = shapely.STRtree(holes).query(holes, predicate="intersects")
    earlier: dict[int, list[int]] = {}
    for k, before in zip(one.tolist(), two.tolist(), strict=True):
        if before < k:
            earlier.setdefault(k, []).append(before)
    taken = []
    for k, hole in enumerate(holes):
        if inside[k] and k not in earlier:
            taken.append(cutouts[k].area_m2)
            continue
        part = hole if inside[k] else shapely.intersection(hole, floor)
        if k in earlier:
            part = shapely.difference(part, shapely.union_all([holes[e] for e in sorted(earlier[k])]))
        taken.append(exact_area_m2(chords, _parts(part)))
    return tuple(taken)


def _laid_out(rings: Sequence[Ring], tolerance_m: float) -> tuple[Chords, list[_Area]]:
    """The rings as polygons of shared chords."""
    sides = Sides.of(*rings)
    chords = Chords.of(Pieces.of(sides), tolerance_m)
    plain = [chords.polygon(k) for k in range(len(rings))]
    if shapely.is_valid(plain).all():
        return chords, list(plain)
    # A ring that touches itself has an area, but not the form that the library wants. It is cut at the touch
    # first, so that mending finds corners there and makes none.
    chords = Chords.of(Pieces.of(sides, own=True), tolerance_m)
    return chords, [_mended(chords.polygon(k), k) for k in range(len(rings))]


def _mended(polygon: Polygon, ring: int) -> _Area:
    if polygon.is_valid:
        return polygon
    mended = _parts(shapely.make_valid(polygon))
    if abs(mended.area - polygon.area) > _MENDED_SHARE * mended.area:
        raise ValueError(f"ring {ring} crosses itself")
    return mended


_MENDED_SHARE = 1e-9
# Mending a touch changes the area by rounding only; a crossing turns part of it over.


def _parts(region: BaseGeometry) -> MultiPolygon:
    """The areas of a region, without the lines and points that a polygon library leaves where edges touch."""
    parts = shapely.get_parts(shapely.get_parts(region))
    return MultiPolygon([p for p in parts if p.geom_type == "Polygon" and not p.is_empty])


def _edges(region: BaseGeometry) -> tuple[Floats, Floats]:
    """Start and end of every edge: shells counter-clockwise, holes clockwise."""
    rings, owner = shapely.get_rings(shapely.get_parts(region), return_index=True)
    shell = np.diff(owner, prepend=-1) > 0
    rings = np.where(shapely.is_ccw(rings) == shell, rings, shapely.reverse(rings))
    coords, ring = shapely.get_coordinates(rings, return_index=True)
    within = ring[1:] == ring[:-1]
    return coords[:-1][within], coords[1:][within]

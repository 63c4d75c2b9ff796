"""Edges of the floor: the sides of the outline, then the cut-outs, as far as coated floor lies beside them.

A side that a cut-out stands against is an edge only where there is floor; so the lengths to grind and to
mask, and the sums by kind, are what the crew meets on the slab.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType

import numpy as np
from shapely import MultiLineString

from ..geometry import arcs
from ..geometry.regions import Subtraction
from ..plan.model import EdgeKind
from .cutouts import Placed
from .model import Edge
from .solved import SolvedShape


def measure_edges(
    shape: SolvedShape, placed: Sequence[Placed], floor: Subtraction, kinds: Mapping[str, EdgeKind]
) -> tuple[Edge, ...]:
    """Every side in the user's order, then every copy of every cut-out."""
    lines = floor.edge_lines()
    sides = _side_edges(shape, floor, kinds, lines)
    return (*sides, *_cutout_edges(placed, floor, kinds, lines[len(shape.sides) :]))


def _side_edges(
    shape: SolvedShape, floor: Subtraction, kinds: Mapping[str, EdgeKind], lines: Sequence[MultiLineString]
) -> Iterable[Edge]:
    ring = shape.ring
    chords, bulges = ring.chords_m, ring.bulges
    radii = [arcs.radius_m(c, b) if b else 0.0 for c, b in zip(chords.tolist(), bulges.tolist(), strict=True)]
    following = (*shape.labels[1:], shape.labels[0])
    known = {name: (kind.name, kind.hand_grind, kind.mask) for name, kind in kinds.items()}
    rows = zip(
        floor.side_lengths_m.tolist(),
        lines[: len(shape.sides)],
        chords.tolist(),
        np.abs(0.5 * chords * bulges).tolist(),
        radii,
        bulges.tolist(),
        ring.side_lengths_m.tolist(),
        strict=True,
    )
    for i, (length, line, chord, rise, radius, bulge, whole) in enumerate(rows):
        name, hand_grind, mask = known[shape.sides[i].kind]
        yield Edge(
            label=f"{shape.labels[i]}-{following[i]}",
            kind=name,
            length_m=length,
            hand_grind=hand_grind,
            mask=mask,
            side=i,
            lines=line,
            chord_m=chord,
            rise_m=rise,
            radius_m=radius,
            bulge=bulge,
            whole_m=whole,
        )


def _cutout_edges(
    placed: Sequence[Placed],
    floor: Subtraction,
    kinds: Mapping[str, EdgeKind],
    lines: Sequence[MultiLineString],
) -> Iterable[Edge]:
    for k, copy in enumerate(placed):
        kind = kinds[copy.cutout.kind]
        yield Edge(
            label=copy.name,
            kind=kind.name,
            length_m=floor.cutout_lengths_m[k],
            hand_grind=kind.hand_grind,
            mask=kind.mask,
            cutout=k,
            lines=lines[k],
        )


def length_by_kind(edges: Iterable[Edge]) -> Mapping[str, float]:
    """Metres of edge of each kind, kinds in the order in which they first stand on the floor."""
    sums: dict[str, float] = {}
    for edge in edges:
        sums[edge.kind] = sums.get(edge.kind, 0.0) + edge.length_m
    return MappingProxyType(sums)


def hand_grind_m(edges: Iterable[Edge]) -> float:
    """Metres of edge in the machine's way."""
    return sum(edge.length_m for edge in edges if edge.hand_grind)


def mask_m(edges: Iterable[Edge]) -> float:
    """Metres of edge to tape or film."""
    return sum(edge.length_m for edge in edges if edge.mask)


def joined_lines(edges: Iterable[Edge]) -> MultiLineString:
    """The lines of several edges as one value."""
    return MultiLineString([line for edge in edges for line in edge.lines.geoms])

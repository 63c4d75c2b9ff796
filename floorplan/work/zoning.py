"""A floor cut into pour zones in pouring order.

Several ways to divide the floor are tried, with edges of zones along each of its main directions and along
any; the one with the fewest batches, the shortest edges, most of them on joints, and the best order is taken.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Final

import shapely
from shapely import MultiLineString, Polygon

from ..values import dataclass, field, replace
from .borders import SharedEdge, cut_off_m2, network, shared_edges, walkable, without
from .cut_lines import CutLine, directions, joint_cut_lines
from .dividing import EXTRA_ZONE_M, Loads, Piece, Rules, divide, joined
from .pouring import Order, best_order

PASSAGE_M: Final = 0.4572
"""Room that a person with a pail needs to get by: 18 in, common practice, no source."""
OVER: Final = 0.03
"""A zone that ends on joints may need this share of a batch more, which is carried from the batch before."""
BLOCKED_M2: Final = 0.2
"""Floor that nobody can leave counts from this size on; a smaller corner is coated in passing."""
UNEVEN_M: Final = 6.0
"""A batch more or less than the mean weighs as much as so many metres of edge on a joint."""


@dataclass(frozen=True, slots=True)
class Zone:
    """One batch of floor.

    Attributes:
        floor: its polygon, metres.
        load_m2: floor and what the batch covers with it, as floor.
        edges: (index of a zone poured later, length, of that on a joint): the wet edges left for it.
        away_m: walking distance from its middle to the exit.
        whole: it could not be cut to the size of a batch.
        strands: after it, part of the rest is cut off from every exit.
    """

    floor: Polygon
    load_m2: float
    edges: tuple[tuple[int, float, float], ...] = ()
    away_m: float = 0.0
    whole: bool = False
    strands: bool = False

    @property
    def wet_edge_m(self) -> float:
        """Edges shared with floor that is poured later."""
        return sum(length for _, length, _ in self.edges)

    @property
    def off_joint_m(self) -> float:
        """The part of the wet edge that lies on no joint."""
        return sum(length - on for _, length, on in self.edges)


@dataclass(frozen=True, slots=True, kw_only=True)
class Floor:
    """A connected floor to be zoned.

    Attributes:
        region: the net floor, metres.
        joints: lines of joints that an edge of a zone may lie on.
        exits: points and lines that people leave by; empty where none is known.
        loads: what is coated with the floor beside it.
    """

    region: Polygon
    joints: tuple[MultiLineString, ...] = ()
    exits: tuple[Any, ...] = ()
    loads: Loads = field(default_factory=Loads)


@dataclass(frozen=True, slots=True)
class _Way:
    """One way to divide a floor, with its order."""

    cost: float
    pieces: list[Piece]
    edges: list[SharedEdge]
    order: Order
    away_m: Sequence[float]


def zone_floor(
    floor: Floor, batch_m2: float, *, passage_m: float = PASSAGE_M, over: float = OVER
) -> tuple[Zone, ...]:
    """Zones in pouring order; together they cover the floor exactly.

    Args:
        floor: what to pour.
        batch_m2: load that one batch covers, > 0.
        passage_m: width that people need to get by.
        over: share of a batch that may be carried over from the one before.
    """
    if not batch_m2 > 0.0:
        raise ValueError(f"batch_m2 must be > 0, got {batch_m2!r}")
    rules = Rules(batch_m2=batch_m2, over=over, passage_m=passage_m)
    lines = joint_cut_lines(floor.joints)
    whole = Piece(floor.region, floor.loads)
    divisions: dict[tuple[Polygon, ...], list[Piece]] = {}
    for angles in _styles(floor, rules, lines):
        pieces = divide(whole, rules, lines, angles)
        divisions.setdefault(tuple(piece.floor for piece in pieces), pieces)
        if len(pieces) == 1:
            break
    # Joined pieces have more corners to get round: worth it only where they save a batch.
    fewest = min(map(len, divisions.values()))
    for pieces in list(divisions.values()):
        fewer = joined(pieces, rules)
        if len(fewer) < fewest:
            divisions.setdefault(tuple(piece.floor for piece in fewer), fewer)
    found = []
    for way in _cheapest_first(floor, rules, list(divisions.values())):
        blocked = _blocked(floor, way, passage_m)
        found.append((len(blocked), way, blocked))
        if not blocked:
            break
    _, best, blocked = min(found, key=lambda row: row[0])
    return _zones(best, rules, blocked)


def _blocked(floor: Floor, way: _Way, passage_m: float) -> frozenset[int]:
    """Zones after which somebody on the rest of the floor has no way out, by their place in the order."""
    floors = [way.pieces[zone].floor for zone in way.order.zones]
    if len(floors) < 2:
        return frozenset()
    room, cut_off = walkable(floor.region, passage_m), []
    for poured in floors:
        cut_off.append(cut_off_m2(room, floor.exits, passage_m))
        room = without(room, poured, passage_m)
    return frozenset(
        k for k in range(len(floors) - 1) if cut_off[k + 1] > min(cut_off[0], cut_off[k]) + BLOCKED_M2
    )


def _styles(floor: Floor, rules: Rules, lines: Sequence[CutLine]) -> list[tuple[float, ...]]:
    found = directions(floor.region, lines) or (0.0,)
    every = tuple(dict.fromkeys((*found, *(line.angle for line in lines))))
    return [*((angle,) for angle in found), found, every]


def _cheapest_first(floor: Floor, rules: Rules, divisions: Sequence[list[Piece]]) -> Iterator[_Way]:
    """Divisions with their orders, the cheapest first; one that cannot be the next is not looked into."""
    waiting: list[tuple[float, int, _Way | None]] = [
        (round(_least_cost(floor, rules, pieces), 6), k, None) for k, pieces in enumerate(divisions)
    ]
    while waiting:
        first = min(waiting, key=lambda row: (row[0], row[2] is not None, row[1]))
        waiting.remove(first)
        _, k, way = first
        if way is not None:
            yield way
        else:
            way = _way(floor, rules, divisions[k])
            waiting.append((round(way.cost, 6), k, way))


def _least_cost(floor: Floor, rules: Rules, pieces: Sequence[Piece]) -> float:
    """What a division costs in the best order: every edge between two pieces counts once at least."""
    sides = float(sum(piece.floor.length for piece in pieces) - floor.region.length)
    return _size_cost(rules, pieces) + max(0.0, 0.499 * sides)


def _size_cost(rules: Rules, pieces: Sequence[Piece]) -> float:
    """What speaks against a number of batches and against uneven ones."""
    loads = [piece.load_m2 / rules.batch_m2 for piece in pieces]
    mean = sum(loads) / len(loads)
    return EXTRA_ZONE_M * len(pieces) + UNEVEN_M * sum(abs(load - mean) for load in loads)


def _way(floor: Floor, rules: Rules, pieces: list[Piece]) -> _Way:
    floors = [piece.floor for piece in pieces]
    every = MultiLineString([line for joint in floor.joints for line in shapely.get_parts(joint)])
    edges = shared_edges(floors, floor.region, every)
    loads = [piece.load_m2 / rules.batch_m2 for piece in pieces]
    graph = replace(network(floors, edges, floor.exits, rules.passage_m), loads=loads)
    order = best_order(graph)
    return _Way(order.cost + _size_cost(rules, pieces), pieces, edges, order, graph.away_m)


def _zones(way: _Way, rules: Rules, blocked: frozenset[int]) -> tuple[Zone, ...]:
    place = {zone: k for k, zone in enumerate(way.order.zones)}
    edges: list[list[tuple[int, float, float]]] = [[] for _ in way.pieces]
    for edge in way.edges:
        first, second = sorted((place[edge.first], place[edge.second]))
        edges[first].append((second, edge.length_m, edge.joint_m))
    return tuple(
        Zone(
            floor=way.pieces[zone].floor,
            load_m2=way.pieces[zone].load_m2,
            edges=tuple(sorted(edges[k])),
            away_m=way.away_m[zone],
            whole=way.pieces[zone].load_m2 > rules.most_m2,
            strands=k in blocked or zone in way.order.stranded,
        )
        for k, zone in enumerate(way.order.zones)
    )

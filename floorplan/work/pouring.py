"""The order of pouring: from the far end to the exit, one wet edge at a time.

Zones and what they share make a graph. An order is good when after each zone the rest still hangs together
with an exit, so that nobody is coated into a corner or has to cross wet floor.
"""

from __future__ import annotations

import heapq
from collections.abc import Mapping, Sequence
from typing import Final

from ..values import dataclass

AGE_WEIGHTS: Final = (0.0, 1.0, 3.0, 4.0)
"""What a metre of shared edge costs by how many zones later its other side is poured, the last for all
beyond: poured next it is the one wet edge of the crew, later it is a second one, in the end an old one."""
FAR_WEIGHT: Final = 0.3
"""A metre that a zone lies nearer to the exit than the farthest left weighs as this many of edge."""
CARRIED_M: Final = 2.0
"""A batch that takes a little from the one before weighs as much as so many metres of edge on a joint."""
SHORT_M: Final = 20.0
"""Likewise one for which a little more must be mixed."""
STRANDED_M: Final = 1e4
"""A zone after which somebody has no way out weighs as much as so many metres: taken only where all do."""
SEARCH: Final = ((14, 32), (40, 8))
"""(zones, orders kept side by side); beyond the last, `LEAST_KEPT`."""
LEAST_KEPT: Final = 3


@dataclass(frozen=True, slots=True)
class Border:
    """What two zones share: metres that count (off a joint for more), and whether people can pass over it."""

    weight: float
    passable: bool


@dataclass(frozen=True, slots=True)
class Order:
    """An order of pouring.

    Attributes:
        zones: by index.
        cost: the smaller the better.
        stranded: zones after which part of the rest is cut off from every exit.
    """

    zones: tuple[int, ...]
    cost: float
    stranded: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Network:
    """Zones, their borders and exits.

    Attributes:
        borders: by both indexes.
        exits: zones that people can leave from.
        away_m: walking distance of each zone from the exit.
        loads: batches that each zone takes; empty where all fit.
    """

    count: int
    borders: Mapping[tuple[int, int], Border]
    exits: frozenset[int]
    away_m: Sequence[float]
    loads: Sequence[float] = ()

    def neighbours(self) -> list[list[tuple[int, Border]]]:
        """Borders of each zone."""
        near: list[list[tuple[int, Border]]] = [[] for _ in range(self.count)]
        for (a, b), border in sorted(self.borders.items()):
            near[a].append((b, border))
            near[b].append((a, border))
        return near


@dataclass(frozen=True, slots=True)
class _State:
    """Zones poured so far, also as the bits of a number."""

    cost: float
    poured: tuple[int, ...]
    stranded: tuple[int, ...]
    mask: int


@dataclass(frozen=True, slots=True)
class _Step:
    """A zone poured after a state."""

    cost: float
    rank: int
    zone: int
    strands: bool


def best_order(network: Network) -> Order:
    """The order with the least cost that a search with a few orders side by side finds."""
    near = network.neighbours()
    ways = [[other for other, border in beside if border.passable] for beside in near]
    kept = [_State(0.0, (), (), 0)]
    width = next((keep for most, keep in SEARCH if network.count <= most), LEAST_KEPT)
    for _ in range(network.count):
        best: dict[tuple[int, int], _Step] = {}
        for rank, state in enumerate(kept):
            for step in _steps(network, near, ways, state, rank):
                key = (state.mask | 1 << step.zone, step.zone)
                known = best.get(key)
                if known is None or step.cost < known.cost:
                    best[key] = step
        chosen = heapq.nsmallest(width, best.values(), key=lambda s: (s.cost, s.rank, s.zone))
        kept = [_poured(kept[step.rank], step) for step in chosen]
    found = kept[0]
    return Order(found.poured, found.cost, found.stranded)


def _poured(state: _State, step: _Step) -> _State:
    stranded = (*state.stranded, step.zone) if step.strands else state.stranded
    return _State(step.cost, (*state.poured, step.zone), stranded, state.mask | 1 << step.zone)


def _steps(
    network: Network, near: list[list[tuple[int, Border]]], ways: list[list[int]], state: _State, rank: int
) -> list[_Step]:
    """Every zone that may come next; those that strand somebody only where there is no other."""
    left = [zone for zone in range(network.count) if not state.mask >> zone & 1]
    at = {zone: k for k, zone in enumerate(state.poured)}
    farthest = max(network.away_m[zone] for zone in left)
    needed = _needed(network.exits, ways, left)
    free = [zone for zone in left if zone not in needed]
    strands = not free
    steps = []
    for zone in free or left:
        cost = state.cost + FAR_WEIGHT * (farthest - network.away_m[zone]) + (STRANDED_M if strands else 0.0)
        cost += _short(network, state, zone)
        for other, border in near[zone]:
            if other in at:
                age = min(len(at) - at[other], len(AGE_WEIGHTS) - 1)
                cost += border.weight * AGE_WEIGHTS[age]
        steps.append(_Step(cost, rank, zone, strands))
    return steps


def _short(network: Network, state: _State, zone: int) -> float:
    """What speaks against a batch that is not quite enough: little where the one before has it to spare."""
    if not network.loads or network.loads[zone] <= 1.0 + 1e-9:
        return 0.0
    spare = max(0.0, 1.0 - network.loads[state.poured[-1]]) if state.poured else 0.0
    return CARRIED_M if network.loads[zone] - 1.0 <= spare else SHORT_M


def _needed(exits: frozenset[int], ways: list[list[int]], left: Sequence[int]) -> set[int]:
    """Zones that others need to get to an exit: the cut points of what is left, seen from outside.

    One walk through the graph from outside all exits (Tarjan's low links): a zone is needed when something
    beyond it reaches nothing before it. `ways` are the zones that people can pass to from each.
    """
    # Depth 0 is not yet seen, and poured zones are passed over like one seen as deep as can be.
    depth = [len(ways) + 1] * len(ways)
    for zone in left:
        depth[zone] = 0
    low = depth.copy()
    needed: set[int] = set()
    for door in left:
        if door not in exits or depth[door]:
            continue
        # Outside lies before all, so a zone with an exit of its own never needs another.
        depth[door], low[door] = 1, 0
        walk = [(door, -1, iter(ways[door]))]
        while walk:
            zone, before, rest = walk[-1]
            beyond = next(rest, None)
            if beyond is None:
                walk.pop()
                if walk:
                    parent = walk[-1][0]
                    low[parent] = min(low[parent], low[zone])
                    if low[zone] >= depth[parent]:
                        needed.add(parent)
            elif not depth[beyond]:
                depth[beyond] = depth[zone] + 1
                low[beyond] = 0 if beyond in exits else depth[beyond]
                walk.append((beyond, zone, iter(ways[beyond])))
            elif beyond != before and depth[beyond] < low[zone]:
                low[zone] = depth[beyond]
    return needed

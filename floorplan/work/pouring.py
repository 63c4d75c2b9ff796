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
    cost: float
    poured: tuple[int, ...]
    stranded: tuple[int, ...]


def best_order(network: Network) -> Order:
    """The order with the least cost that a search with a few dozen orders side by side finds."""
    near = network.neighbours()
    kept = [_State(0.0, (), ())]
    width = next((keep for most, keep in SEARCH if network.count <= most), LEAST_KEPT)
    for _ in range(network.count):
        steps = [step for state in kept for step in _steps(network, near, state)]
        best: dict[tuple[frozenset[int], int], _State] = {}
        for step in sorted(steps, key=lambda s: (s.cost, s.poured)):
            best.setdefault((frozenset(step.poured), step.poured[-1]), step)
        kept = heapq.nsmallest(width, best.values(), key=lambda s: (s.cost, s.poured))
    found = kept[0]
    return Order(found.poured, found.cost, found.stranded)


def _steps(network: Network, near: list[list[tuple[int, Border]]], state: _State) -> list[_State]:
    """Every zone that may come next; those that strand somebody only where there is no other."""
    left = set(range(network.count)) - set(state.poured)
    at = {zone: k for k, zone in enumerate(state.poured)}
    farthest = max(network.away_m[zone] for zone in left)
    cut_off = _cut_off(network, near, left)
    allowed = []
    for zone in sorted(left):
        now = _cut_off(network, near, left - {zone})
        if len(now) <= len(cut_off - {zone}):
            allowed.append((zone, False))
    free = allowed or [(zone, True) for zone in sorted(left)]
    steps = []
    for zone, strands in free:
        cost = state.cost + FAR_WEIGHT * (farthest - network.away_m[zone]) + (1e4 if strands else 0.0)
        cost += _short(network, state, zone)
        for other, border in near[zone]:
            if other in at:
                age = min(len(at) - at[other], len(AGE_WEIGHTS) - 1)
                cost += border.weight * AGE_WEIGHTS[age]
        stranded = (*state.stranded, zone) if strands else state.stranded
        steps.append(_State(cost, (*state.poured, zone), stranded))
    return steps


def _short(network: Network, state: _State, zone: int) -> float:
    """What speaks against a batch that is not quite enough: little where the one before has it to spare."""
    if not network.loads or network.loads[zone] <= 1.0 + 1e-9:
        return 0.0
    spare = max(0.0, 1.0 - network.loads[state.poured[-1]]) if state.poured else 0.0
    return CARRIED_M if network.loads[zone] - 1.0 <= spare else SHORT_M


def _cut_off(network: Network, near: list[list[tuple[int, Border]]], left: set[int]) -> set[int]:
    """Zones of those left that no exit can be reached from over floor that is left."""
    open_ = [zone for zone in left if zone in network.exits]
    seen = set(open_)
    while open_:
        zone = open_.pop()
        for other, border in near[zone]:
            if border.passable and other in left and other not in seen:
                seen.add(other)
                open_.append(other)
    return left - seen

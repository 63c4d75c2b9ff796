"""Where the grinder comes in and people leave, as points on the floor."""

from __future__ import annotations

from shapely import Point

from ..errors import Fault, PlanError
from ..plan.model import Slab, Spot
from ..values import dataclass
from .solved import SolvedShape
from .spots import spot_xy, unknown_side


@dataclass(frozen=True, slots=True, kw_only=True)
class Doors:
    """Entry and exits of a slab; a side stands as the point half way along it.

    `entry_side` is the side that the entry lies on, None for a point or no entry.
    """

    entry: Point | None = None
    entry_side: int | None = None
    exits: tuple[Point, ...] = ()


def find_doors(slab: Slab, shape: SolvedShape) -> tuple[Doors, list[Fault]]:
    """Entry and exits; a slab without exits is left by its entry."""
    faults: list[Fault] = []
    entry = None if slab.entry is None else _door(slab.entry, slab, shape, "entry", faults)
    exits = [_door(way, slab, shape, "exit", faults) for way in slab.exits]
    side = shape.side_between(slab.entry) if isinstance(slab.entry, tuple) else None
    found = tuple(point for point in exits if point is not None)
    if not found and entry is not None:
        found = (entry,)
    return Doors(entry=entry, entry_side=side, exits=found), faults


def _door(
    way: tuple[str, str] | Spot, slab: Slab, shape: SolvedShape, what: str, faults: list[Fault]
) -> Point | None:
    if isinstance(way, tuple):
        side = shape.side_between(way)
        if side is None:
            faults.append(unknown_side(way, shape, what, slab.place))
            return None
        return Point(shape.ring.side(side).at(0.5))
    try:
        return Point(spot_xy(way, shape, what, slab.place))
    except PlanError as error:
        faults += error.faults
        return None

"""The ground that coats are poured on: parts of a slab, their ways out and what stands there."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import shapely
from shapely import Point, Polygon

from ..errors import Notice
from ..measure.model import MeasuredJoint, SlabTakeoff, Takeoff
from ..plan.model import JointAlong, JointKind
from ..values import dataclass, replace
from .batches import Batch
from .borders import cut_off_m2, walkable
from .standing import Standing, standing
from .ways_out import ways_out
from .zoning import BLOCKED_M2, OVER, PASSAGE_M, Floor, Zone, zone_floor


@dataclass(frozen=True, slots=True)
class Part:
    """A connected part of a slab's floor."""

    region: Polygon
    exits: tuple[Any, ...]
    standing: Standing


@dataclass(frozen=True, slots=True)
class Ground:
    """What stays the same for all coats of a slab.

    Attributes:
        slab: measured.
        index: in the plan.
        parts: in the order they are poured.
        notices: what must be said of its ways out.
    """

    slab: SlabTakeoff
    index: int
    parts: tuple[Part, ...]
    notices: tuple[Notice, ...]


def ground(takeoff: Takeoff, index: int) -> Ground:
    """The parts of a slab's floor, first those that no exit touches: they are left over the rest."""
    slab = takeoff.slabs[index]
    exits, notices = ways_out(slab)
    regions = sorted(slab.regions.net.geoms, key=lambda part: -part.area)
    parts = []
    apart, narrow = 0, 0.0
    for k, region in enumerate(regions):
        own = tuple(way for way in exits if shapely.distance(region, way) <= 0.02)
        apart += not own
        ways = own or _stepping_over(region, exits)
        beside = standing(slab, takeoff.steps_of(index), region, exits, first=k == 0)
        parts.append(Part(region, ways, beside))
        narrow += cut_off_m2(walkable(region, PASSAGE_M), ways, PASSAGE_M)
    parts.sort(key=lambda part: -min(shapely.distance(part.region, way) for way in exits))
    return Ground(slab, index, tuple(parts), (*notices, *_words(slab, apart, narrow)))


def _words(slab: SlabTakeoff, apart: int, narrow_m2: float) -> list[Notice]:
    where = f"slab {slab.name}"
    said = []
    if apart:
        text = f"{apart} part(s) of the floor touch no exit; they are poured first and left over the rest"
        said.append(Notice(code="floor-apart", text=text, where=where))
    if narrow_m2 > BLOCKED_M2:
        text = (
            "part of the floor is reached from the exits only through a neck too narrow to walk with a pail;"
            " state an exit on the far side, or plan to step over the wet neck on spiked shoes"
        )
        said.append(Notice(code="floor-neck", text=text, where=where))
    return said


def _stepping_over(region: Polygon, exits: Sequence[Any]) -> tuple[Any, ...]:
    nearest = min(exits, key=lambda way: shapely.distance(region, way))
    return (Point(shapely.shortest_line(region, nearest).coords[0]),)


def slab_zones(place: Ground, batch: Batch) -> list[tuple[Zone, Part]]:
    """Zones of one coat over all parts of a slab, in pouring order."""
    joints = tuple(joint.lines for joint in place.slab.joints if _stops_here(joint))
    # Where the clock is the limit nothing can be carried over: the rest of a pail would be too old.
    over = 0.0 if batch.clock_m2 < batch.kit_m2 else OVER
    found: list[tuple[Zone, Part]] = []
    for part in place.parts:
        floor = Floor(region=part.region, joints=joints, exits=part.exits, loads=part.standing.loads(batch))
        first = len(found)
        for zone in zone_floor(floor, batch.area_m2, over=over):
            edges = tuple((k + first, length, on) for k, length, on in zone.edges)
            found.append((replace(zone, edges=edges), part))
    return found


def _stops_here(joint: MeasuredJoint) -> bool:
    """True where an edge of a zone may lie on a joint: not on a crack, nor along the edge of the slab."""
    return joint.joint.kind is not JointKind.CRACK and not isinstance(joint.joint.form, JointAlong)

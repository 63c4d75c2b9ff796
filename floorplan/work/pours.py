"""Pours: every coat of every slab as zones with area, kits, flake, edges and clock."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any, Final

import numpy as np
import shapely
from shapely import Point, Polygon

from ..errors import Notice
from ..measure.model import MeasuredJoint, SlabTakeoff, Takeoff
from ..plan.model import JointAlong, JointKind
from ..system.model import Surface
from ..values import dataclass, replace
from .batches import WET_EDGE_MIN, Batch, batches, spread_rate_m2_per_min
from .clock import Times, edge_age_min, pour_clock
from .standing import Standing, standing
from .temperature import factor
from .ways_out import ways_out
from .zoning import PASSAGE_M, Floor, Zone, zone_floor

THROW_M: Final = 3.6576
"""How far flake is thrown evenly from where one stands: 12 ft, common practice, no source."""
_GRID: Final = 24


@dataclass(frozen=True, slots=True, kw_only=True)
class PourZone:
    """One batch of one coat on one slab.

    Attributes:
        slab: its name; slab_index in the plan.
        layer: name of the coat.
        order: place in the pouring order of this layer over all slabs, from 1.
        floor: polygon in metres.
        area_m2: of the floor.
        vertical_m2: faces and risers that this batch covers.
        litres: mixed product, waste included.
        kits: of the usual size, as a part.
        carried_l: what comes from the batch before because a kit is not quite enough.
        flake_kg: thrown.
        grit_kg: stirred in.
        wet_edge_m: edges shared with floor that is poured later.
        off_joint_m: of those, not on a joint.
        wet_edge_age_min: age of the oldest of them when it is met; None without one.
        away_m: walking distance from its middle to the exit.
        throw_m: farthest floor from where somebody can stand dry.
        times: clock, minutes from the first mixing of the pour.
    """

    slab: str
    slab_index: int
    layer: str
    order: int
    floor: Polygon
    area_m2: float
    vertical_m2: float
    litres: float
    kits: float
    carried_l: float
    flake_kg: float
    grit_kg: float
    wet_edge_m: float
    off_joint_m: float
    wet_edge_age_min: float | None
    away_m: float
    throw_m: float
    times: Times


@dataclass(frozen=True, slots=True, kw_only=True)
class Pour:
    """One coat of the job: zones of every slab that has it, in pouring order.

    Attributes:
        layer: name of the coat.
        batch: of the first slab; slabs of one pour share product, not always the rate.
        zones: in order.
        people: that spread.
    """

    layer: str
    batch: Batch
    zones: tuple[PourZone, ...]
    people: int

    @property
    def minutes(self) -> float:
        """From the first mixing to the last floor spread."""
        return max((zone.times.end for zone in self.zones), default=0.0)


@dataclass(frozen=True, slots=True)
class _Part:
    """A connected part of a slab's floor."""

    region: Polygon
    exits: tuple[Any, ...]
    standing: Standing


@dataclass(frozen=True, slots=True)
class _Ground:
    """What stays the same for all coats of a slab."""

    slab: SlabTakeoff
    index: int
    parts: tuple[_Part, ...]
    notices: tuple[Notice, ...]


def pours(
    takeoff: Takeoff,
    *,
    rate_m2_per_min: float,
    people: int,
    temperature_c: float | None = None,
    people_by_coat: Mapping[str, int] = MappingProxyType({}),
) -> tuple[tuple[Pour, ...], tuple[Notice, ...]]:
    """Every coat of the job in zones, in the order of the work, and what must be said of it.

    Args:
        takeoff: of the plan.
        rate_m2_per_min: floor that `people` spread in a minute; other crews in proportion.
        people: on the first day.
        temperature_c: of the material; None takes that of the data sheet.
        people_by_coat: people on the day of each coat, where it is not the first.
    """
    grounds = [_ground(takeoff, k) for k in range(len(takeoff.slabs))]
    notices = [notice for ground in grounds for notice in ground.notices]
    rows: dict[str, list[tuple[_Ground, Batch]]] = {}
    for ground in grounds:
        slab = ground.slab.slab
        made = batches(
            slab.system, surface=slab.surface, rate_m2_per_min=rate_m2_per_min, temperature_c=temperature_c
        )
        for name, one in zip(_names(made), made, strict=True):
            there = people_by_coat.get(one.coat.name, people)
            share = spread_rate_m2_per_min(there) / spread_rate_m2_per_min(people)
            batch = replace(one, rate_m2_per_min=rate_m2_per_min * share)
            rows.setdefault(name, []).append((ground, batch))
    found = []
    for name, row in rows.items():
        pour, said = _pour(name, row, people_by_coat.get(row[0][1].coat.name, people))
        found.append(pour)
        notices += said
    return tuple(found), tuple(dict.fromkeys(notices))


def _names(made: Sequence[Batch]) -> list[str]:
    """Names of layers; a coat that goes down again gets a number."""
    names: list[str] = []
    for batch in made:
        count = sum(1 for other in made[: len(names)] if other.coat.name == batch.coat.name)
        names.append(batch.coat.name if not count else f"{batch.coat.name} {count + 1}")
    return names


def _ground(takeoff: Takeoff, index: int) -> _Ground:
    slab = takeoff.slabs[index]
    exits, notices = ways_out(slab)
    steps = takeoff.steps_of(index)
    regions = sorted(slab.regions.net.geoms, key=lambda part: -part.area)
    parts = []
    apart = 0
    for k, region in enumerate(regions):
        own = tuple(way for way in exits if shapely.distance(region, way) <= 0.02)
        apart += not own
        ways = own or _stepping_over(region, exits)
        parts.append(_Part(region, ways, standing(slab, steps, region, exits, first=k == 0)))
    # Parts that no exit touches come first: people leave them over floor that is not yet poured.
    parts.sort(key=lambda part: -min(shapely.distance(part.region, way) for way in exits))
    said = list(notices)
    if apart:
        text = f"{apart} part(s) of the floor touch no exit; they are poured first and left over the rest"
        said.append(Notice(code="floor-apart", text=text, where=f"slab {slab.name}"))
    return _Ground(slab, index, tuple(parts), tuple(said))


def _stepping_over(region: Polygon, exits: Sequence[Any]) -> tuple[Any, ...]:
    nearest = min(exits, key=lambda way: shapely.distance(region, way))
    return (Point(shapely.shortest_line(region, nearest).coords[0]),)


def _stops_here(joint: MeasuredJoint) -> bool:
    """True where an edge of a zone may lie on a joint: not on a crack, nor along the edge of the slab."""
    return joint.joint.kind is not JointKind.CRACK and not isinstance(joint.joint.form, JointAlong)


def _pour(name: str, row: Sequence[tuple[_Ground, Batch]], people: int) -> tuple[Pour, list[Notice]]:
    zones: list[PourZone] = []
    notices: list[Notice] = []
    begin = 0.0
    for ground, batch in row:
        made = _slab_zones(ground, batch)
        clock = pour_clock(batch, [zone.load_m2 for zone, _ in made], people)
        clock = tuple(_later(times, begin) for times in clock)
        carried = _carried(batch, [zone.load_m2 for zone, _ in made])
        for k, (zone, part) in enumerate(made):
            rows = (zone, part, clock, carried[k], len(zones))
            zones.append(_zone(name, ground, batch, rows, k))
        notices += _notices(name, ground, batch, made, zones[-len(made) :])
        begin = max((times.end for times in clock), default=begin)
    return Pour(layer=name, batch=row[0][1], zones=tuple(zones), people=people), notices


def _later(times: Times, begin: float) -> Times:
    if not begin:
        return times
    return Times(
        mix=times.mix + begin,
        start=times.start + begin,
        end=times.end + begin,
        flake_by=None if times.flake_by is None else times.flake_by + begin,
        pail_by=None if times.pail_by is None else times.pail_by + begin,
        recheck=None if times.recheck is None else (times.recheck[0] + begin, times.recheck[1] + begin),
    )


def _slab_zones(ground: _Ground, batch: Batch) -> list[tuple[Zone, _Part]]:
    joints = tuple(joint.lines for joint in ground.slab.joints if _stops_here(joint))
    over = 0.0 if batch.clock_m2 < batch.kit_m2 else None
    found: list[tuple[Zone, _Part]] = []
    for part in ground.parts:
        floor = Floor(region=part.region, joints=joints, exits=part.exits, loads=part.standing.loads(batch))
        extra = {} if over is None else {"over": over}
        made = zone_floor(floor, batch.area_m2, **extra)
        first = len(found)
        for zone in made:
            edges = tuple((k + first, length, on) for k, length, on in zone.edges)
            found.append((Zone(zone.floor, zone.load_m2, edges, zone.away_m, zone.whole, zone.strands), part))
    return found


def _carried(batch: Batch, loads_m2: Sequence[float]) -> list[float]:
    """Litres that each batch takes from the one before, as far as that has them to spare."""
    found = []
    spare = 0.0
    for load in loads_m2:
        need = batch.litres(load)
        short = max(0.0, need - batch.kit_l)
        taken = min(short, spare)
        found.append(taken)
        spare = max(0.0, batch.kit_l - need)
    return found


def _zone(
    name: str,
    ground: _Ground,
    batch: Batch,
    row: tuple[Zone, _Part, Sequence[Times], float, int],
    k: int,
) -> PourZone:
    zone, part, clock, carried, before = row
    on = part.standing.on(zone.floor)
    litres = batch.litres(zone.load_m2)
    vertical = float(on.vertical_m2.sum())
    cast = batch.broadcast
    flake = 0.0
    if cast is not None:
        flake = (zone.floor.area + float(on.flat_m2.sum())) * cast.thrown_on(Surface.FLOOR)
        flake += vertical * cast.thrown_on(Surface.FACES)
    ages = [edge_age_min(batch, length, clock[k].end, clock[j].start) for j, length, _ in zone.edges]
    return PourZone(
        slab=ground.slab.name,
        slab_index=ground.index,
        layer=name,
        order=before + 1,
        floor=zone.floor,
        area_m2=float(zone.floor.area),
        vertical_m2=vertical,
        litres=litres,
        kits=litres / batch.kit_l,
        carried_l=carried,
        flake_kg=flake,
        grit_kg=batch.coat.grit.kg_per_l * litres if batch.coat.grit else 0.0,
        wet_edge_m=zone.wet_edge_m,
        off_joint_m=zone.off_joint_m,
        wet_edge_age_min=max(ages, default=None),
        away_m=zone.away_m,
        throw_m=_throw_m(zone, ground.slab) if cast is not None else 0.0,
        times=clock[k],
    )


def _throw_m(zone: Zone, slab: SlabTakeoff) -> float:
    """The farthest floor of a zone from dry standing: the rest of the floor, or outside an edge that is
    free."""
    free = [edge.lines for edge in slab.edges if not edge.hand_grind and not edge.lines.is_empty]
    stand = shapely.union_all([shapely.difference(zone.floor.boundary, slab.regions.net.boundary), *free])
    if stand.is_empty:
        return 0.0
    x0, y0, x1, y1 = zone.floor.bounds
    x, y = np.meshgrid(np.linspace(x0, x1, _GRID), np.linspace(y0, y1, _GRID))
    inside = shapely.intersects_xy(zone.floor, x, y)
    points = np.column_stack((x[inside], y[inside]))
    corners = shapely.get_coordinates(shapely.simplify(zone.floor.exterior, 0.02))
    return float(shapely.distance(shapely.points(np.vstack((points, corners))), stand).max())


def _notices(
    name: str,
    ground: _Ground,
    batch: Batch,
    made: Sequence[tuple[Zone, _Part]],
    zones: Sequence[PourZone],
) -> list[Notice]:
    where = f"slab {ground.slab.name}, {name}"
    limit = WET_EDGE_MIN * factor(batch.coat.times.at_c, None)
    found = []
    for (zone, _), row in zip(made, zones, strict=True):
        n = f"zone {row.order}"
        if zone.whole:
            text = f"{n} is more than one batch and no straight cut parts it; mark an edge there by a joint"
            found.append(Notice(code="zone-over-batch", text=text, where=where))
        elif row.litres > batch.kit_l * (1.0 + 1e-9):
            short = (row.litres - batch.kit_l) / batch.kit_l
            text = f"{n} takes {row.kits:.2f} kit: carry {short:.2f} kit from the batch before"
            if row.carried_l < row.litres - batch.kit_l - 1e-9:
                text = f"{n} takes {row.kits:.2f} kit: mix {short:.2f} of another for it"
            found.append(Notice(code="zone-over-kit", text=text, where=where))
        if zone.strands:
            text = (
                f"after {n} part of the floor is cut off from every exit: it must be left on spiked shoes"
                " or over a plank; another exit or a wider way would help"
            )
            found.append(Notice(code="zone-no-way-out", text=text, where=where))
        age = row.wet_edge_age_min
        if age is not None and age > limit and row.off_joint_m > PASSAGE_M:
            text = f"the edge of {n} off a joint is {age:.0f} min old when it is met; it may show"
            found.append(Notice(code="zone-edge-old", text=text, where=where))
    return found

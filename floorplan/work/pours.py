"""Pours: every coat of every slab as zones with area, kits, flake, edges and clock."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Final

import numpy as np
import shapely

from ..errors import Notice
from ..measure.model import SlabTakeoff, Takeoff
from ..system.model import Surface
from ..values import replace
from .batches import Batch, batches, spread_rate_m2_per_min
from .clock import Times, edge_age_min, pour_clock
from .ground import Ground, Part, ground, slab_zones
from .pour_model import Pour, PourZone
from .zone_words import zone_notices
from .zoning import Zone

__all__ = ["THROW_M", "Pour", "PourZone", "pours"]

THROW_M: Final = 3.6576
"""How far flake is thrown evenly from where one stands: 12 ft, common practice, no source."""
_GRID: Final = 24


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
    grounds = [ground(takeoff, k) for k in range(len(takeoff.slabs))]
    notices = [notice for place in grounds for notice in place.notices]
    rows: dict[str, list[tuple[Ground, Batch]]] = {}
    for place in grounds:
        slab = place.slab.slab
        made = batches(
            slab.system, surface=slab.surface, rate_m2_per_min=rate_m2_per_min, temperature_c=temperature_c
        )
        for name, one in zip(_names(made), made, strict=True):
            there = people_by_coat.get(one.coat.name, people)
            share = spread_rate_m2_per_min(there) / spread_rate_m2_per_min(people)
            batch = replace(one, rate_m2_per_min=rate_m2_per_min * share)
            rows.setdefault(name, []).append((place, batch))
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


def _pour(name: str, row: Sequence[tuple[Ground, Batch]], people: int) -> tuple[Pour, list[Notice]]:
    zones: list[PourZone] = []
    notices: list[Notice] = []
    begin = 0.0
    for place, batch in row:
        made = slab_zones(place, batch)
        clock = pour_clock(batch, [zone.load_m2 for zone, _ in made], people)
        clock = tuple(_later(times, begin) for times in clock)
        carried = _carried(batch, [zone.load_m2 for zone, _ in made])
        for k, (zone, part) in enumerate(made):
            rows = (zone, part, clock, carried[k], len(zones))
            zones.append(_zone(name, place, batch, rows, k))
        where = f"slab {place.slab.name}, {name}"
        notices += zone_notices(where, batch, [zone for zone, _ in made], zones[-len(made) :])
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
    place: Ground,
    batch: Batch,
    row: tuple[Zone, Part, Sequence[Times], float, int],
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
        flake += vertical * cast.thrown_on(Surface.FACES) if Surface.FACES in cast.on else 0.0
    ages = [edge_age_min(batch, length, clock[k].end, clock[j].start) for j, length, _ in zone.edges]
    return PourZone(
        slab=place.slab.name,
        slab_index=place.index,
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
        throw_m=_throw_m(zone, place.slab) if cast is not None else 0.0,
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

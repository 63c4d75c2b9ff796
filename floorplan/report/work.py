"""The work plan as the JSON document that outside programs read; all SI, times as typed on site."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

import shapely

from ..work.days import clock_text
from ..work.loading import loading
from ..work.weather import windows
from .contract import notices

if TYPE_CHECKING:
    from shapely import Polygon

    from ..plan.model_work import Weather
    from ..work.days import Block, Day
    from ..work.plan import CoatWeather, WorkPlan
    from ..work.pours import Pour, PourZone
    from ..work.weather import Verdict

_DIGITS = 9


def work_document(work: WorkPlan) -> dict[str, Any]:
    """Zones, days, recoat windows, tests, weather and warnings."""
    starts = {id(block.pour): block.start for day in work.days.days for block in day.blocks if block.pour}
    return {
        "made_by": "floorplan",
        "title": work.takeoff.plan.title,
        "zones": [
            _zone(work, pour, zone, starts.get(id(pour))) for pour in work.pours for zone in pour.zones
        ],
        "days": [_day(work, day) for day in work.days.days],
        "recoat": [
            {
                "after": window.after,
                "before": window.before,
                "earliest": _at(work, window.earliest),
                "latest": None if window.latest is None else _at(work, window.latest),
                "planned": _at(work, window.planned),
            }
            for window in work.days.recoats
        ],
        "use": [{"what": use.what, "from": _at(work, use.start)} for use in work.days.uses],
        "tests": [
            {
                "slab": tests.slab,
                "kind": spots.kind.value,
                "points": [{"name": f"{spots.letter}{k + 1}", "x_m": x, "y_m": y}],
            }
            for tests in work.tests
            for spots in tests.spots
            for k, (x, y) in enumerate(spots.at)
        ],
        "loading": [
            {
                "day": load.day,
                "weight_kg": load.weight_kg,
                "items": [
                    {"item": row.name, "count": row.count, "pack": row.pack, "weight_kg": row.weight_kg}
                    for row in load.loads
                ],
            }
            for load in loading(work.days, work.supplies)
        ],
        "weather": [_weather(row) for row in work.weather],
        "warnings": notices(work.notices),
    }


def _zone(work: WorkPlan, pour: Pour, zone: PourZone, begin: timedelta | None) -> dict[str, Any]:
    return {
        "slab": zone.slab,
        "layer": zone.layer,
        "order": zone.order,
        "area_m2": zone.area_m2,
        "vertical_m2": zone.vertical_m2,
        "polygon": rings(zone.floor),
        "kits": zone.kits,
        "kit_l": pour.batch.kit_l,
        "litres": zone.litres,
        "carried_l": zone.carried_l,
        "flake_kg": zone.flake_kg,
        "grit_kg": zone.grit_kg,
        "start": _moment(work, begin, zone.times.start),
        "end": _moment(work, begin, zone.times.end),
        "mix": _moment(work, begin, zone.times.mix),
        "flake_by": _moment(work, begin, zone.times.flake_by),
        "pail_by": _moment(work, begin, zone.times.pail_by),
        "start_min": zone.times.start,
        "end_min": zone.times.end,
        "wet_edge_m": zone.wet_edge_m,
        "wet_edge_off_joint_m": zone.off_joint_m,
        "wet_edge_age_min": zone.wet_edge_age_min,
        "throw_m": zone.throw_m,
    }


def rings(floor: Polygon) -> list[list[list[float]]]:
    """Outer ring first, then holes, each closed, metres."""
    return [
        [[round(float(x), _DIGITS), round(float(y), _DIGITS)] for x, y in shapely.get_coordinates(ring)]
        for ring in (floor.exterior, *floor.interiors)
    ]


def _moment(work: WorkPlan, begin: timedelta | None, minutes: float | None) -> str | None:
    if begin is None or minutes is None:
        return None
    at = work.days.at(begin + timedelta(minutes=minutes))
    return None if at is None else _iso(at)


def _at(work: WorkPlan, offset: timedelta) -> str:
    """ISO date and time; `day 2 13:40` where the plan states no date."""
    at = work.days.at(offset)
    return clock_text(offset) if at is None else _iso(at)


def _iso(at: datetime) -> str:
    return at.replace(second=0, microsecond=0).isoformat(timespec="minutes")


def _day(work: WorkPlan, day: Day) -> dict[str, Any]:
    return {
        "day": day.number,
        "people": day.people,
        "start": _at(work, day.start),
        "end": _at(work, day.end),
        "man_hours": day.man_hours,
        "travel_man_hours": day.travel_h,
        "blocks": [_block(work, block) for block in day.blocks],
    }


def _block(work: WorkPlan, block: Block) -> dict[str, Any]:
    return {
        "name": block.name,
        "part": block.part.value,
        "start": _at(work, block.start),
        "end": _at(work, block.end),
        "man_hours": block.man_hours,
        "tasks": [{"task": chore.name, "man_hours": chore.hours, "how": chore.how} for chore in block.chores],
        "hold": None if block.hold is None else {"code": block.hold.code, "text": block.hold.text},
    }


def _weather(row: CoatWeather) -> dict[str, Any]:
    return {
        "layer": row.layer,
        "now": None if row.now is None else verdict_document(row.now),
        "hours": [
            {
                "at": None if hour.weather.at is None else _iso(hour.weather.at),
                **verdict_document(hour.verdict),
            }
            for hour in row.hours
        ],
    }


def conditions_document(now: Weather | None, rows: Sequence[CoatWeather]) -> dict[str, Any]:
    """A reading and a forecast held against coats."""
    return {
        "made_by": "floorplan",
        "reading": None
        if now is None
        else {
            "air_c": now.air_c,
            "surface_c": now.surface_c,
            "humidity": now.humidity,
            "wind_m_s": now.wind_m_s,
        },
        "coats": [
            {
                **_weather(row),
                "windows": [
                    {"start": _iso(window.start), "end": _iso(window.end)} for window in windows(row.hours)
                ],
            }
            for row in rows
        ],
    }


def verdict_document(verdict: Verdict) -> dict[str, Any]:
    """Go or no-go with its reasons."""
    return {
        "go": verdict.go,
        "dew_point_c": verdict.dew_c,
        "spread_c": verdict.spread_c,
        "pail_min": verdict.pail_min,
        "recoat_min_h": verdict.recoat_h,
        "reasons": [{"level": r.level.value, "code": r.code, "text": r.text} for r in verdict.reasons],
    }

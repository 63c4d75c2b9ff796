"""The work plan for people: zones by coat, days by the clock, tests, loading and cautions."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from typing import TYPE_CHECKING

from ..plan.job import counted
from ..units.figures import Figures
from ..work.cautions import CAUTIONS
from ..work.days import clock_text, people_words
from ..work.holds import BEFORE
from ..work.loading import loading
from ..work.plan import SLIP
from ..work.pours import THROW_M
from ..work.temperature import RULE_WORDS
from ..work.zone_words import upright_words
from .columns import aligned
from .weather_text import weather_text

if TYPE_CHECKING:
    from ..work.days import Day
    from ..work.plan import WorkPlan
    from ..work.pours import Pour


def work_text(work: WorkPlan) -> str:
    """Everything on one page of text."""
    figures = Figures(work.takeoff.plan.units)
    plan = work.takeoff.plan
    head = "  ·  ".join(part for part in (plan.title, plan.site) if part)
    lines = [f"floorplan work: {head}" if head else "floorplan work"]
    for pour in work.pours:
        lines += ["", *_pour(work, pour, figures)]
    for day in work.days.days:
        lines += ["", *_day(work, day)]
    lines += ["", *_windows(work), "", *_tests(work), "", *_loading(work, figures)]
    if work.weather:
        lines += ["", "Weather", weather_text(plan.conditions.now, work.weather, figures).rstrip("\n")]
    lines += ["", "Cautions (safety data sheets, local codes and licensed practice govern)"]
    lines += [f"  - {text}" for text in (*CAUTIONS, SLIP)]
    return "\n".join(lines) + "\n"


def _pour(work: WorkPlan, pour: Pour, figures: Figures) -> list[str]:
    batch = pour.batch
    kit = f"{figures.volume(batch.kit_l)} {batch.coat.product.pack_word}"
    limit = "the kit" if batch.kit_m2 <= batch.clock_m2 else "the clock"
    begin = block_start(work, pour)
    lines = [
        f"{pour.layer}: {counted(len(pour.zones), 'zone')}, at most {figures.area(batch.area_m2)} a batch"
        f" ({limit}; {kit} at {figures.rate(batch.coverage_m2_per_l)} less waste),"
        f" {people_words(pour.people)}"
    ]
    several = len(work.takeoff.slabs) > 1
    rows = [("zone", "floor", "kits", "flake", "mix", "spread", "done", "flake by", "wet edge", "age")]
    for zone in pour.zones:
        times = zone.times
        age = zone.wet_edge_age_min
        rows.append(
            (
                f"{zone.order} {zone.slab}" if several else f"{zone.order}",
                figures.area(zone.area_m2),
                f"{zone.kits:.2f}",
                figures.weight(zone.flake_kg) if zone.flake_kg else "",
                moment(begin, times.mix),
                moment(begin, times.start),
                moment(begin, times.end),
                moment(begin, times.flake_by),
                figures.run(zone.wet_edge_m) if zone.wet_edge_m else "",
                f"{age:.0f} min" if age is not None else "",
            )
        )
    upright = upright_words(pour, pour.zones)
    more = [f"  {upright}"] if upright else []
    return [*lines, *aligned(rows, "lrrrrrrrrr"), *more, *_throws(pour, figures)]


def _throws(pour: Pour, figures: Figures) -> list[str]:
    """Zones that nobody can throw over from where he stands dry."""
    far = [zone for zone in pour.zones if zone.throw_m > THROW_M]
    if not far:
        return []
    numbers = ", ".join(str(zone.order) for zone in far)
    reach = figures.run(max(zone.throw_m for zone in far))
    return [f"  throw zone {numbers} on spiked shoes: floor up to {reach} from dry standing"]


def block_start(work: WorkPlan, pour: Pour) -> timedelta | None:
    """When a coat begins; None where no day holds it."""
    blocks = (block for day in work.days.days for block in day.blocks)
    return next((block.start for block in blocks if block.pour is pour), None)


def moment(begin: timedelta | None, minutes: float | None) -> str:
    """The time of day some minutes after a begin; minutes alone where there is none, "" for no time."""
    if minutes is None:
        return ""
    if begin is None:
        return f"+{minutes:.0f} min"
    return clock_text(begin + timedelta(minutes=minutes))[-5:]


def when(work: WorkPlan, offset: timedelta) -> str:
    """`Tue 2027-05-04 13:40`, or `day 2 13:40` where the plan states no date."""
    return work.days.words(offset)


def _day(work: WorkPlan, day: Day) -> list[str]:
    lines = [
        f"Day {day.number}: {when(work, day.start)} to {clock_text(day.end)[-5:]},"
        f" {people_words(day.people)}, {day.man_hours:.1f} man-hours ({day.travel_h:.1f} on the road)"
    ]
    if day.number == 1:
        lines.append(f"  [ ] {BEFORE.code} {BEFORE.text}")
    for block in day.blocks:
        lines.append(f"  {clock_text(block.start)[-5:]} to {clock_text(block.end)[-5:]}  {block.name}")
        lines += [f"      {chore.hours:5.2f} h  {chore.name}" for chore in block.chores]
        if block.hold is not None:
            lines.append(f"  [ ] {block.hold.code} {block.hold.text}")
    return lines


def _windows(work: WorkPlan) -> list[str]:
    lines = [f"Recoat and use ({RULE_WORDS})"]
    for window in work.days.recoats:
        until = f" to {when(work, window.latest)}" if window.latest is not None else ", no latest stated"
        lines.append(f"  {window.before} over {window.after}: {when(work, window.earliest)}{until}")
        if window.latest is not None:
            lines.append(f"    missed: {window.missed}")
    lines += [f"  {use.what} from {when(work, use.start)}" for use in work.days.uses]
    return lines


def _tests(work: WorkPlan) -> list[str]:
    lines = ["Tests before coating (indicators; the standards' own text and the specification govern)"]
    for tests in work.tests:
        lines += [f"  {tests.slab}: {len(spots.at)} x {spots.kind.value}" for spots in tests.spots]
    return [*lines, "  pull-off tests (ASTM D7234): as many as the specification asks"]


def _loading(work: WorkPlan, figures: Figures) -> Iterable[str]:
    lines = ["Loading"]
    for load in loading(work.days, work.supplies):
        guessed = any(row.guessed for row in load.loads)
        note = " (liquids at a typical density)" if guessed else ""
        lines.append(f"  day {load.day}: {figures.weight(load.weight_kg)}{note}")
        rows = [
            (f"{row.count} x", row.name, str(figures.weight(row.weight_kg)) if row.weight_kg else "")
            for row in load.loads
        ]
        lines += aligned(rows, "rlr", indent=4)
    return lines

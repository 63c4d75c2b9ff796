"""`floorplan work`: pour zones, clock, days, tests."""

from __future__ import annotations

from pathlib import Path

import click

import floorplan
from floorplan.report.documents import json_text
from floorplan.values import replace

from .options import finish, force_option, json_option, measure, plan_argument, refuse_notices, strict_option
from .output import emit, write_files
from .quantities import AT, TEMPERATURE


@click.command("work", epilog="Example: floorplan work sample_plans/l-patio.toml --start '2027-05-04 07:30'")
@plan_argument
@json_option
@click.option("--start", type=AT, help="First day and hour on site; left out: the plan's, or no dates.")
@click.option("--crew", type=click.IntRange(1, 20), help="People on the first day; left out: by area.")
@click.option("--temperature", type=TEMPERATURE, help="Of material and slab, as '85 F' or '30 C'.")
@click.option(
    "--calendar", metavar="FILE.ics", help="Also write days, coats and windows as a calendar for phones."
)
@force_option
@strict_option
def command(
    plan_file: str,
    as_json: bool,
    start: object,
    crew: int | None,
    temperature: float | None,
    calendar: str | None,
    force: bool,
    strict: bool,
) -> None:
    """Cut the floor into pour zones in order, and lay out the days by the clock."""
    from floorplan.report.calendar_file import calendar_text
    from floorplan.report.work import work_document
    from floorplan.report.work_text import work_text

    takeoff = measure(plan_file, strict=strict)
    given = {"start": start, "crew": crew, "temperature_c": temperature}
    settings = replace(
        takeoff.plan.work, **{name: value for name, value in given.items() if value is not None}
    )
    work = floorplan.schedule(takeoff.plan, takeoff, settings=settings)
    refuse_notices(work.notices, strict=strict)
    if calendar is not None:
        if not calendar.lower().endswith(".ics"):
            raise click.BadParameter(f"{calendar}: end the name in .ics", param_hint="--calendar")
        if work.days.first is None:
            raise click.UsageError("a calendar needs a date: add --start '2027-05-04 07:30'")
        write_files({Path(calendar): calendar_text(work).encode("utf-8")}, force=force)
    if as_json:
        emit(json_text(work_document(work)))
    else:
        emit(work_text(work))
        finish(takeoff.notices + work.notices)

"""`floorplan materials`: what to buy."""

from __future__ import annotations

import click
from floorplan.report.materials import materials_csv, materials_document, materials_text

import floorplan
from floorplan.report.documents import json_text

from .options import finish, json_option, measure, plan_argument, refuse_notices, strict_option
from .output import emit


@click.command("materials", epilog="Example: floorplan materials sample_plans/l-patio.toml --csv")
@plan_argument
@json_option
@click.option("--csv", "as_csv", is_flag=True, help="Print comma-separated rows for a spreadsheet.")
@strict_option
def command(plan_file: str, as_json: bool, as_csv: bool, strict: bool) -> None:
    """List the material in whole kits and boxes, each line with its sum."""
    if as_json and as_csv:
        raise click.UsageError("--json and --csv exclude each other")
    takeoff = measure(plan_file, strict=strict)
    order = floorplan.materials(takeoff.plan, takeoff)
    refuse_notices(order.notices, strict=strict)
    if as_json:
        emit(json_text(materials_document(order)))
    elif as_csv:
        emit(materials_csv(order))
    else:
        emit(materials_text(order))
        finish(takeoff.notices + order.notices)

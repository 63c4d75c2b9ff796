"""`floorplan materials`: what to buy."""

from __future__ import annotations

import click

from floorplan.report.documents import json_text
from floorplan.report.materials import materials_csv, materials_document, materials_text

from .firm_options import firm_option, prices_option, read_figures, read_on_hand, stock_option
from .options import finish, json_option, measure, plan_argument, refuse_notices, strict_option
from .output import emit


@click.command("materials", epilog="Example: floorplan materials sample_plans/l-patio.toml --csv")
@plan_argument
@json_option
@click.option("--csv", "as_csv", is_flag=True, help="Print comma-separated rows for a spreadsheet.")
@click.option("--explain", is_flag=True, help="Print the sum of every line and the file of its rates.")
@firm_option
@prices_option
@stock_option
@strict_option
def command(
    plan_file: str,
    as_json: bool,
    as_csv: bool,
    explain: bool,
    firm_file: str | None,
    prices_file: str | None,
    stock_file: str | None,
    strict: bool,
) -> None:
    """List the material in whole kits and boxes, each line with its sum."""
    if as_json and as_csv:
        raise click.UsageError("--json and --csv exclude each other")
    from floorplan.order.job import rules_of
    from floorplan.order.needs import material_list

    takeoff = measure(plan_file, strict=strict)
    firm = read_figures(firm_file, prices_file)
    rules = rules_of(firm, takeoff, read_on_hand(stock_file, takeoff.plan))
    order = material_list(takeoff.plan, takeoff, rules=rules)
    refuse_notices(order.notices, strict=strict)
    if as_json:
        emit(json_text(materials_document(order)))
    elif as_csv:
        emit(materials_csv(order))
    else:
        emit(materials_text(order, explain=explain))
        finish(takeoff.notices + order.notices)

"""`floorplan materials`: what to buy."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from floorplan.report.documents import json_text
from floorplan.report.materials import materials_csv, materials_document, materials_text
from floorplan.values import replace

from .firm_options import blend_option, firm_option, prices_option, read_figures, read_on_hand, stock_option
from .options import finish, json_option, measure, plan_argument, refuse_notices, strict_option
from .output import emit

if TYPE_CHECKING:
    from floorplan.errors import Notice
    from floorplan.measure.model import Takeoff
    from floorplan.order.model import MaterialList


@click.command("materials", epilog="Example: floorplan materials sample_plans/l-patio.toml --csv")
@plan_argument
@json_option
@click.option("--csv", "as_csv", is_flag=True, help="Print comma-separated rows for a spreadsheet.")
@click.option("--explain", is_flag=True, help="Print the sum of every line and the file of its rates.")
@click.option("--batches", is_flag=True, help="Also check that the packs go round zone by zone.")
@firm_option
@prices_option
@stock_option
@blend_option
@strict_option
def command(
    plan_file: str,
    as_json: bool,
    as_csv: bool,
    explain: bool,
    batches: bool,
    firm_file: str | None,
    prices_file: str | None,
    stock_file: str | None,
    blend: str,
    strict: bool,
) -> None:
    """List the material in whole kits and boxes, each line with its sum."""
    if as_json and as_csv:
        raise click.UsageError("--json and --csv exclude each other")
    from floorplan.order.firm_rules import rules_of
    from floorplan.order.needs import material_list

    firm = read_figures(firm_file, prices_file)
    takeoff = measure(plan_file, strict=strict, firm=firm)
    rules = rules_of(firm, takeoff, read_on_hand(stock_file, takeoff.plan, blend))
    order = material_list(takeoff.plan, takeoff, rules=rules)
    if batches:
        order = replace(order, notices=order.notices + _batch_notices(order, takeoff))
    refuse_notices(order.notices, strict=strict)
    if as_json:
        emit(json_text(materials_document(order)))
    elif as_csv:
        emit(materials_csv(order))
    else:
        emit(materials_text(order, explain=explain) + _closed_jobs(stock_file, takeoff))
        finish(takeoff.notices + order.notices)


def _closed_jobs(stock_file: str | None, takeoff: Takeoff) -> str:
    """The rates that closed jobs in the stock file teach, beside the planned ones."""
    if stock_file is None:
        return ""
    from floorplan.order.stock import learned_rates
    from floorplan.order.stock_file import load_stock
    from floorplan.report.stock import rates_text
    from floorplan.units.figures import Figures

    return rates_text(learned_rates(load_stock(stock_file)), Figures(takeoff.plan.units))


def _batch_notices(order: MaterialList, takeoff: Takeoff) -> tuple[Notice, ...]:
    """Whether the packs go round in the zones of the work plan, with the usual crew."""
    from floorplan.order.batches import batch_needs, batch_notices
    from floorplan.order.quantities import job_quantities
    from floorplan.work.batches import spread_rate_m2_per_min
    from floorplan.work.pours import pours

    people = max(1, job_quantities(takeoff).crew.most)
    poured, _ = pours(takeoff, rate_m2_per_min=spread_rate_m2_per_min(people), people=people)
    return batch_notices(order, batch_needs(poured))

"""`floorplan stock`: what is on hand, reserved and used."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

from floorplan.files.text import read_text
from floorplan.order.model import Group
from floorplan.order.stock import close, learned_rates, release, reserve
from floorplan.order.stock_file import change_stock, load_stock, new_stock
from floorplan.report.documents import json_text
from floorplan.report.stock import lot_words, stock_document, stock_text
from floorplan.units.figures import Figures
from floorplan.units.length import UnitStyle

from .firm_options import blend_option, firm_option, job_name, read_figures, read_on_hand
from .options import json_option, measure, plan_argument
from .output import emit, say

if TYPE_CHECKING:
    from floorplan.order.job import WorkedJob

Decorator = Callable[[Callable[..., Any]], Callable[..., Any]]
stock_argument: Decorator = click.argument("stock_file", metavar="STOCK", type=click.Path())
date_option: Decorator = click.option("--date", default="", help="Date for the rows, e.g. 2027-04-12.")


@click.group("stock", epilog="Example: floorplan stock show stock.csv")
def command() -> None:
    """Keep a stock file (CSV): show it, reserve for a job, close a job with what it really took.

    A row is on hand, reserved for a job, or used by a closed one. The file may be edited in a spreadsheet.
    """


@command.command("new", epilog="Example: floorplan stock new stock.csv")
@stock_argument
def new(stock_file: str) -> None:
    """Write an empty stock file."""
    new_stock(stock_file)
    say(f"wrote {stock_file}: add rows of what is on hand")


@command.command("show", epilog="Example: floorplan stock show stock.csv")
@stock_argument
@click.option("--metric", is_flag=True, help="Rates in metric units.")
@json_option
def show(stock_file: str, metric: bool, as_json: bool) -> None:
    """Show what is on hand and reserved, and what closed jobs teach about the rates."""
    stock = load_stock(stock_file)
    rates = learned_rates(stock)
    if as_json:
        emit(json_text(stock_document(stock, rates)))
    else:
        emit(stock_text(stock, rates, Figures(UnitStyle.M if metric else UnitStyle.FT_IN)))


@command.command("reserve", epilog="Example: floorplan stock reserve stock.csv sample_plans/l-patio.toml")
@stock_argument
@plan_argument
@firm_option
@blend_option
@date_option
def reserve_(stock_file: str, plan_file: str, firm_file: str | None, blend: str, date: str) -> None:
    """Set aside what a job needs and the stock has; run again, it replaces what the job held."""
    job, blend = _job(stock_file, plan_file, firm_file, blend)
    name = job_name(job.plan)
    wanted: dict[str, float] = {}
    for line in job.order.items:
        if line.group is not Group.SUNDRY and line.hand_amount:
            wanted[line.product] = wanted.get(line.product, 0.0) + line.hand_amount
    stock = change_stock(stock_file, lambda old: reserve(old, name, wanted, date=date, blend=blend))
    held = ", ".join(lot_words(lot) for lot in stock.reserved(name))
    say(f"reserved for {name}: {held or 'nothing, none of it is on hand'}")


@command.command("release", epilog="Example: floorplan stock release stock.csv sample_plans/l-patio.toml")
@stock_argument
@plan_argument
def release_(stock_file: str, plan_file: str) -> None:
    """Put back on hand what a job had reserved."""
    name = job_name(measure(plan_file).plan)
    change_stock(stock_file, lambda old: release(old, name))
    say(f"nothing is reserved for {name} now")


@command.command(
    "close",
    epilog="Example: floorplan stock close stock.csv sample_plans/l-patio.toml"
    " --actuals sample_plans/office/actuals.toml",
)
@stock_argument
@plan_argument
@click.option(
    "--actuals", required=True, metavar="FILE", help="What the job took: [used], [bought], [hours]."
)
@firm_option
@blend_option
@date_option
def close_(
    stock_file: str, plan_file: str, actuals: str, firm_file: str | None, blend: str, date: str
) -> None:
    """Close a job: write down what it took, put back what is left and what was swept up."""
    from floorplan.order.actuals import read_actuals

    job, blend = _job(stock_file, plan_file, firm_file, blend)
    name = job_name(job.plan)
    took = read_actuals(read_text(actuals), actuals, job, blend=blend)
    change_stock(stock_file, lambda old: close(old, name, took, date=date))
    say(f"closed {name}: {len(took)} rows written to {stock_file}")


def _job(stock_file: str, plan_file: str, firm_file: str | None, blend: str) -> tuple[WorkedJob, str]:
    """The job worked through, and its blend: as said, or that of what it has reserved."""
    from floorplan.order.job import work_job

    firm = read_figures(firm_file, None)
    takeoff = measure(plan_file, firm=firm)
    blend = blend or load_stock(stock_file).blend_of(job_name(takeoff.plan))
    on_hand = read_on_hand(stock_file, takeoff.plan, blend)
    return work_job(takeoff.plan, takeoff, firm=firm, on_hand=on_hand, priced=False), blend

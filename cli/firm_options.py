"""Options for the firm's own figures, a job's prices and the stock, shared by the commands that need them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

import click

from floorplan.order.firm import Firm
from floorplan.order.firm_reader import load_firm

from .output import show_notices
from .user_files import FIRM_FILE, users_firm

if TYPE_CHECKING:
    from floorplan.order.rules import OnHand
    from floorplan.plan.model import Plan

Decorator = Callable[[Callable[..., Any]], Callable[..., Any]]

firm_option: Decorator = click.option(
    "--firm",
    "firm_file",
    metavar="FILE",
    help=f"The firm's own figures; left out: {FIRM_FILE} in your folder for floorplan, if there is one.",
)
prices_option: Decorator = click.option(
    "--prices", "prices_file", metavar="FILE", help="Prices of this job; they go over the firm's."
)
stock_option: Decorator = click.option(
    "--stock", "stock_file", metavar="FILE", help="Stock file: what is on hand is not ordered."
)


def read_figures(firm_file: str | None, prices_file: str | None) -> Firm:
    """The firm's figures with the job's prices over them; without a name those of the user's folder."""
    firm = load_firm(firm_file) if firm_file is not None else users_firm()
    return load_firm(prices_file).over(firm) if prices_file is not None else firm


blend_option: Decorator = click.option(
    "--blend", default="", metavar="NAME", help="The floor's colour blend: only stock of that blend is used."
)


def job_name(plan: Plan) -> str:
    """How stock and books name a job: its title and site."""
    return ", ".join(part for part in (plan.title, plan.site) if part)


def read_on_hand(stock_file: str | None, plan: Plan, blend: str = "") -> Mapping[str, OnHand]:
    """What the job may take from the stock file; nothing without one. Other blends are told on stderr."""
    if stock_file is None:
        return {}
    from floorplan.order.stock import other_blends, usable
    from floorplan.order.stock_file import load_stock

    stock = load_stock(stock_file)
    show_notices(other_blends(stock, blend))
    return usable(stock, job_name(plan), blend)

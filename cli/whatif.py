"""`floorplan what-if`: the job run again with one thing different."""

from __future__ import annotations

import re
from typing import Any

import click

from floorplan.report.changes import changes_document, changes_text
from floorplan.report.documents import json_text
from floorplan.units.factors import FAHRENHEIT_PER_CELSIUS
from floorplan.units.figures import Figures
from floorplan.units.notation import Unreadable
from floorplan.units.reading import read_percent

from .firm_options import blend_option, firm_option, prices_option, read_figures, read_on_hand, stock_option
from .options import finish, json_option, measure, plan_argument, strict_option
from .output import emit

_DEGREES = re.compile(r"\s*([+-]?\d+(?:\.\d+)?)\s*°?\s*([FfCc])\s*")


class Share(click.ParamType):
    """A percentage such as 5% or -3 %."""

    name = "percent"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """The share as a part of one."""
        if isinstance(value, float):
            return value
        try:
            share = read_percent(str(value))
        except Unreadable as error:
            self.fail(f"{error.text}; write it like 5%", param, ctx)
        if not -1 < share <= 10:
            self.fail(f"{value}: more than -100 % and at most 1000 % is wanted", param, ctx)
        return share


class Warmer(click.ParamType):
    """A difference of temperature such as 10F or 5 C."""

    name = "degrees"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """Degrees Celsius of difference."""
        if isinstance(value, float):
            return value
        match = _DEGREES.fullmatch(str(value))
        if match is None:
            self.fail(f"cannot read {value!r}; write it like 10F or 5C", param, ctx)
        degrees = float(match[1])
        return degrees / FAHRENHEIT_PER_CELSIUS if match[2] in "Ff" else degrees


@click.command(
    "what-if",
    epilog="Example: floorplan what-if sample_plans/l-patio.toml --bigger 5% --hotter 10F",
)
@plan_argument
@click.option("--bigger", type=Share(), default=0.0, help="Floor so much larger, e.g. 5%.")
@click.option("--surface", default="", help="trowelled, ordinary, broom, weathered or aggregate.")
@click.option("--hotter", type=Warmer(), default=0.0, help="Material so much warmer, e.g. 10F.")
@click.option("--short", "fewer", type=click.IntRange(0, 20), default=0, help="So many people missing.")
@click.option("--spare-kits", type=click.IntRange(0, 20), default=0, help="So many more kits of each liquid.")
@prices_option
@firm_option
@stock_option
@blend_option
@click.option("--all", "all_rows", is_flag=True, help="Show what stays the same as well.")
@json_option
@strict_option
def command(
    plan_file: str,
    bigger: float,
    surface: str,
    hotter: float,
    fewer: int,
    spare_kits: int,
    prices_file: str | None,
    firm_file: str | None,
    stock_file: str | None,
    blend: str,
    all_rows: bool,
    as_json: bool,
    strict: bool,
) -> None:
    """Run the job again with one thing different, and show what that changes."""
    from floorplan.order.changes import Change, changed_job, rows_between, zone_rows
    from floorplan.order.job import work_job

    firm = read_figures(firm_file, prices_file)
    takeoff = measure(plan_file, strict=strict, firm=firm)
    on_hand = read_on_hand(stock_file, takeoff.plan, blend)
    priced = firm.money("labour", "rate") is not None
    base = work_job(takeoff.plan, takeoff, firm=firm, on_hand=on_hand, priced=priced)
    change = Change(bigger=bigger, surface=surface, hotter_c=hotter, fewer=fewer, spare_kits=spare_kits)
    changed = changed_job(base, change, firm=firm, on_hand=on_hand)
    rows = rows_between(base, changed, hotter_c=hotter)
    if (hotter or fewer) and not bigger:
        rows += zone_rows(base, changed, hotter_c=hotter)
    if as_json:
        emit(json_text(changes_document(rows)))
        return
    currency = firm.text("currency") or "$"
    head = f"floorplan what-if: {takeoff.plan.title}"
    emit(changes_text(rows, Figures(takeoff.plan.units), head=head, all_rows=all_rows, currency=currency))
    finish(takeoff.notices)

"""`floorplan compare`: what changed between two revisions of a plan."""

from __future__ import annotations

import click

from floorplan.report.changes import changes_document, changes_text
from floorplan.report.documents import json_text
from floorplan.units.figures import Figures

from .firm_options import firm_option, prices_option, read_figures
from .options import finish, json_option, measure, strict_option
from .output import emit


@click.command(
    "compare", epilog="Example: floorplan compare sample_plans/l-patio.toml sample_plans/garage.toml --all"
)
@click.argument("old_plan", metavar="OLD", type=click.Path(allow_dash=True))
@click.argument("new_plan", metavar="NEW", type=click.Path(allow_dash=True))
@prices_option
@firm_option
@click.option("--all", "all_rows", is_flag=True, help="Show what stayed the same as well.")
@json_option
@strict_option
def command(
    old_plan: str,
    new_plan: str,
    prices_file: str | None,
    firm_file: str | None,
    all_rows: bool,
    as_json: bool,
    strict: bool,
) -> None:
    """Say what changed from one plan to another: areas, lengths, kits, hours and, with prices, money."""
    from floorplan.order.changes import rows_between
    from floorplan.order.job import work_job

    firm = read_figures(firm_file, prices_file)
    priced = firm.money("labour", "rate") is not None
    old, new = (measure(name, strict=strict, firm=firm) for name in (old_plan, new_plan))
    jobs = [work_job(t.plan, t, firm=firm, priced=priced) for t in (old, new)]
    rows = rows_between(jobs[0], jobs[1])
    if as_json:
        emit(json_text(changes_document(rows)))
        return
    head = f"floorplan compare: {old.plan.title} ({old_plan}) -> {new.plan.title} ({new_plan})"
    currency = firm.text("currency") or "$"
    emit(changes_text(rows, Figures(new.plan.units), head=head, all_rows=all_rows, currency=currency))
    finish(new.notices)

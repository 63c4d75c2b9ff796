"""`floorplan quote`: the customer's quote, the entry for the books, and, apart, the firm's cost sheet."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from floorplan.report.documents import json_text
from floorplan.values import replace

from .firm_options import blend_option, firm_option, prices_option, read_figures, read_on_hand, stock_option
from .options import (
    finish,
    force_option,
    measure,
    paper_option,
    plan_argument,
    refuse_notices,
    strict_option,
)
from .output import emit, write_files

if TYPE_CHECKING:
    from floorplan.measure.model import Takeoff
    from floorplan.order.quote import Quote

FORMATS = ("pdf", "json", "csv")


@click.command(
    "quote",
    epilog="Example: floorplan quote sample_plans/l-patio.toml"
    " --prices sample_plans/office/prices.toml -o quote.pdf",
)
@plan_argument
@prices_option
@firm_option
@stock_option
@blend_option
@click.option(
    "-o",
    "--output",
    required=True,
    metavar="FILE",
    help="FILE.pdf (with FILE.json and FILE.csv for the books), FILE.json or FILE.csv; - prints JSON.",
)
@click.option(
    "--cost-sheet",
    metavar="FILE",
    help="Also write the firm's own cost sheet: FILE.txt or FILE.json. Not for the customer.",
)
@paper_option
@force_option
@strict_option
def command(
    plan_file: str,
    prices_file: str | None,
    firm_file: str | None,
    stock_file: str | None,
    blend: str,
    output: str,
    cost_sheet: str | None,
    paper: str | None,
    force: bool,
    strict: bool,
) -> None:
    """Write a quote for the customer: drawing, scope, choices with prices, terms; no cost, no kits."""
    form = "json" if output == "-" else Path(output).suffix.lower().lstrip(".")
    if form not in FORMATS:
        raise click.BadParameter(f"{output}: end the name in .{', .'.join(FORMATS)}", param_hint="-o")
    if cost_sheet is not None and Path(cost_sheet).suffix.lower() not in (".txt", ".json"):
        raise click.BadParameter(f"{cost_sheet}: end the name in .txt or .json", param_hint="--cost-sheet")
    from floorplan.order.job import work_job
    from floorplan.order.options import priced_options
    from floorplan.order.quote import make_quote
    from floorplan.report.quote import cost_document, cost_text, quote_document

    firm = read_figures(firm_file, prices_file)
    takeoff = measure(plan_file, strict=strict, firm=firm)
    on_hand = read_on_hand(stock_file, takeoff.plan, blend)
    job = work_job(takeoff.plan, takeoff, firm=firm, on_hand=on_hand)
    beside = Path() if plan_file == "-" else Path(plan_file).parent
    options = priced_options(job, firm, on_hand=on_hand, beside=beside)
    notices = job.order.notices + (job.cost.notices if job.cost else ())
    notices += tuple(notice for option in options for notice in option.notices)
    refuse_notices(notices, strict=strict)
    quote = make_quote(job, options, firm)
    files = {} if output == "-" else _files(Path(output), form, quote, takeoff, paper)
    if cost_sheet is not None:
        as_json = Path(cost_sheet).suffix.lower() == ".json"
        text = json_text(cost_document(job, options)) if as_json else cost_text(job, options)
        if Path(cost_sheet) in files:
            raise click.BadParameter("the cost sheet needs a name of its own", param_hint="--cost-sheet")
        files[Path(cost_sheet)] = text.encode("utf-8")
    if output == "-":
        emit(json_text(quote_document(quote)))
    write_files(files, force=force)
    finish(takeoff.notices + notices)


def _files(output: Path, form: str, quote: Quote, takeoff: Takeoff, paper: str | None) -> dict[Path, bytes]:
    from floorplan.report.quote import quote_csv, quote_document

    books = {
        "json": json_text(quote_document(quote)).encode("utf-8"),
        "csv": quote_csv(quote).encode("utf-8"),
    }
    if form != "pdf":
        return {output: books[form]}
    files = {output: _pdf(quote, takeoff, paper)}
    return files | {output.with_suffix(f".{suffix}"): data for suffix, data in books.items()}


def _pdf(quote: Quote, takeoff: Takeoff, paper: str | None) -> bytes:
    from floorplan.api import pages
    from floorplan.drawing.quote_pages import compose_quote
    from floorplan.render.files import render_pages

    # One document, one letterhead.
    named = replace(takeoff.plan.sheet, firm=quote.firm, address=quote.address)
    letter = "letter" if takeoff.plan.units.value in ("ft-in", "ft", "in") else "A4"
    # One document, one paper, unless the user asked for another for the drawing.
    asked = paper or named.paper or letter
    drawing = pages(replace(takeoff.plan, sheet=named), takeoff, sheet="customer", paper=asked)
    return render_pages((*compose_quote(quote, paper=letter), *drawing), "pdf")[0]

"""`floorplan packet`: the main job, everything for one plan in one folder."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

import floorplan
from floorplan.report.contract import takeoff_document
from floorplan.report.documents import json_text
from floorplan.report.materials import materials_csv, materials_document, materials_text
from floorplan.report.takeoff_text import notices_text, takeoff_text

from .firm_options import blend_option, firm_option, read_figures, read_on_hand, stock_option
from .options import (
    PACKET_FORMATS,
    SHEETS,
    finish,
    force_option,
    formats_option,
    measure,
    paper_option,
    plan_argument,
    refuse_notices,
    scale_option,
    strict_option,
)
from .output import say
from .sheet_files import numbered, tell_choice, write_sheets

if TYPE_CHECKING:
    from floorplan.measure.model import Takeoff
    from floorplan.order.model import MaterialList
    from floorplan.work.plan import WorkPlan

CALENDAR = "work.ics"


@click.command("packet", epilog="Example: floorplan packet sample_plans/l-patio.toml -o packet")
@plan_argument
@click.option(
    "-o", "--output", required=True, metavar="DIR", help="Folder for the packet; made when missing."
)
@formats_option
@paper_option
@scale_option
@firm_option
@stock_option
@blend_option
@force_option
@strict_option
def command(
    plan_file: str,
    output: str,
    formats: tuple[str, ...],
    paper: str | None,
    scale: str | None,
    firm_file: str | None,
    stock_file: str | None,
    blend: str,
    force: bool,
    strict: bool,
) -> None:
    """Write every sheet, the takeoff, the material list and the work plan of a plan."""
    from floorplan.order.firm_rules import rules_of
    from floorplan.order.needs import material_list

    firm = read_figures(firm_file, None)
    takeoff = measure(plan_file, strict=strict, firm=firm)
    rules = rules_of(firm, takeoff, read_on_hand(stock_file, takeoff.plan, blend))
    order = material_list(takeoff.plan, takeoff, rules=rules)
    refuse_notices(order.notices, strict=strict)
    days = floorplan.schedule(takeoff.plan, takeoff, order=order)
    files = packet_files(takeoff, order, formats=formats, paper=paper, scale=scale, days=days, tell=say)
    folder = Path(output)
    # What a packet of other options or of an earlier state of the plan may have left there.
    known = [folder / f"{sheet}.{form}" for sheet in SHEETS for form in PACKET_FORMATS]
    known.append(folder / CALENDAR)
    write_sheets({folder / name: data for name, data in files.items()}, known, force=force)
    finish(takeoff.notices + order.notices + days.notices)


def packet_files(
    takeoff: Takeoff,
    order: MaterialList,
    *,
    formats: Sequence[str],
    paper: str | None,
    scale: str | None,
    days: WorkPlan | None = None,
    tell: Callable[[str], None] | None = None,
) -> dict[str, bytes]:
    """Every file of a packet by its name; `tell` hears which paper each sheet has, and why.

    `days` is the work plan with the loads of that order, worked out here when left out.
    """
    from floorplan.api import pages
    from floorplan.render.files import render_pages

    days = days or floorplan.schedule(takeoff.plan, takeoff, order=order)
    files = _lists(takeoff, order, days)
    for sheet in SHEETS:
        drawn = pages(takeoff.plan, takeoff, sheet=sheet, paper=paper, scale=scale, days=days)
        tell_choice(sheet, drawn, tell)
        for form in dict.fromkeys(formats):
            named = numbered(Path(f"{sheet}.{form}"), render_pages(drawn, form))
            files |= {path.name: data for path, data in named.items()}
    return files


def _lists(takeoff: Takeoff, order: MaterialList, days: WorkPlan) -> dict[str, bytes]:
    # Loaded here: the work plan brings the polygon library along, and help must not.
    from floorplan.report.calendar_file import calendar_text
    from floorplan.report.work import work_document
    from floorplan.report.work_text import work_text

    texts = {
        "takeoff.txt": takeoff_text(takeoff) + notices_text(takeoff.notices),
        "takeoff.json": json_text(takeoff_document(takeoff)),
        "materials.txt": materials_text(order),
        "materials.json": json_text(materials_document(order)),
        "materials.csv": materials_csv(order),
        "work.txt": work_text(days) + notices_text(days.notices),
        "work.json": json_text(work_document(days)),
    }
    if days.days.first is not None:
        texts[CALENDAR] = calendar_text(days)
    return {name: text.encode("utf-8") for name, text in texts.items()}

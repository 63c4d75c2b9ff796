"""`floorplan draw`: one sheet, to scale."""

from __future__ import annotations

from pathlib import Path

import click

import floorplan

from .options import (
    SHEETS,
    finish,
    force_option,
    measure,
    paper_option,
    plan_argument,
    scale_option,
    strict_option,
)
from .output import emit_bytes, say
from .sheet_files import numbered, tell_choice, write_sheets
from .watch import keep_drawing

FORMATS = ("svg", "pdf", "png", "dxf")


@click.command("draw", epilog="Example: floorplan draw sample_plans/l-patio.toml -o crew.svg --sheet crew")
@plan_argument
@click.option(
    "-o", "--output", required=True, metavar="FILE", help="FILE.svg, .pdf, .png or .dxf; - prints SVG."
)
@click.option("--sheet", type=click.Choice(SHEETS), default="crew", show_default=True, help="Who it is for.")
@paper_option
@scale_option
@click.option("--watch", is_flag=True, help="Draw again whenever the plan is saved, until Ctrl-C.")
@force_option
@strict_option
def command(
    plan_file: str,
    output: str,
    sheet: str,
    paper: str | None,
    scale: str | None,
    watch: bool,
    force: bool,
    strict: bool,
) -> None:
    """Draw the plan to scale on paper; a DXF holds it at true size."""
    form = "svg" if output == "-" else Path(output).suffix.lower().lstrip(".")
    if form not in FORMATS:
        raise click.BadParameter(f"{output}: end the name in .{', .'.join(FORMATS)}", param_hint="-o")
    if watch and "-" in (plan_file, output):
        raise click.UsageError("--watch needs a plan file and -o FILE, not -")

    from floorplan.api import pages
    from floorplan.render.files import render_pages

    def draw() -> None:
        takeoff = measure(plan_file, strict=strict)
        if form == "dxf":
            files = floorplan.draw(takeoff.plan, takeoff, format=form)
        else:
            drawn = pages(takeoff.plan, takeoff, sheet=sheet, paper=paper, scale=scale)
            tell_choice(sheet, drawn, say)
            files = render_pages(drawn, form)
        if output == "-":
            emit_bytes(files[0])
        else:
            write_sheets(numbered(Path(output), files), [Path(output)], force=force)
        finish(takeoff.notices)

    if watch:
        keep_drawing(Path(plan_file), draw)
    else:
        draw()

"""`floorplan worksheet`: the sheet to take along and measure with."""

from __future__ import annotations

from pathlib import Path

import click

from .options import force_option, paper_option, read_plan
from .output import emit_bytes, say
from .sheet_files import numbered, write_sheets

FORMATS = ("svg", "pdf", "png")


@click.command(
    "worksheet",
    epilog="Example: floorplan worksheet sample_plans/porch-tape.toml -o site.pdf"
    " (without a plan: a blank sheet)",
)
@click.argument("plan_file", metavar="[PLAN]", required=False, type=click.Path(allow_dash=True))
@click.option("-o", "--output", required=True, metavar="FILE", help="FILE.pdf, .svg or .png; - prints SVG.")
@click.option(
    "--corners",
    type=click.IntRange(0, 60),
    default=0,
    metavar="N",
    help="Without a plan: list the lengths of N corners.",
)
@click.option(
    "--anew", is_flag=True, help="With a plan: leave out what was taped, to tape all of it once more."
)
@click.option("--metric", is_flag=True, help="Without a plan: metric squares and hints.")
@paper_option
@force_option
def command(
    plan_file: str | None, output: str, corners: int, anew: bool, metric: bool, paper: str | None, force: bool
) -> None:
    """Print a site sheet: squared paper, keys, and a box for each length still to be taped.

    With a plan it lists what was taped, what is still needed to fix every corner, and what would check it
    best; the plan need not be measurable yet.
    """
    form = "svg" if output == "-" else Path(output).suffix.lower().lstrip(".")
    if form not in FORMATS:
        raise click.BadParameter(f"{output}: end the name in .{', .'.join(FORMATS)}", param_hint="-o")
    if plan_file is None and anew:
        raise click.UsageError("--anew goes with a plan")
    if plan_file is not None and (corners or metric):
        raise click.UsageError("--corners and --metric go without a plan: a plan has its own")
    from floorplan.drawing.paper import paper_named
    from floorplan.drawing.worksheet import compose_worksheet
    from floorplan.measure.tape_needs import blank_needs, needs
    from floorplan.render.files import render_pages
    from floorplan.units.figures import Figures

    plan = None if plan_file is None else read_plan(plan_file)
    is_metric = metric if plan is None else not Figures(plan.units).is_us
    name = paper or (plan.sheet.paper if plan else "") or ("A4" if is_metric else "letter")
    slabs = (blank_needs(corners),) if plan is None else needs(plan, anew=anew)
    files = render_pages(compose_worksheet(slabs, plan, paper=paper_named(name), metric=is_metric), form)
    if output == "-":
        emit_bytes(files[0])
    else:
        write_sheets(numbered(Path(output), files), [Path(output)], force=force)
    for slab in slabs:
        wanted = [line.name for line in slab.open_lines]
        if wanted and plan is not None and not anew:
            say(f"{slab.name}: tape {', '.join(wanted)}")

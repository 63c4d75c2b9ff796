"""`floorplan export`: the regions of a takeoff for other programs."""

from __future__ import annotations

from pathlib import Path

import click

import floorplan
from floorplan.report.regions import REGIONS, regions_csv, regions_geojson

from .options import finish, force_option, measure, plan_argument, strict_option
from .output import emit, write_files

FORMATS = ("geojson", "csv")


@click.command("export", epilog="Example: floorplan export sample_plans/l-patio.toml -o regions.geojson")
@plan_argument
@click.option("-o", "--output", required=True, metavar="FILE", help="FILE.geojson or .csv; - prints GeoJSON.")
@click.option(
    "--region",
    "regions",
    multiple=True,
    type=click.Choice(list(REGIONS)),
    help="Only this region; may be given several times.",
)
@force_option
@strict_option
def command(plan_file: str, output: str, regions: tuple[str, ...], force: bool, strict: bool) -> None:
    """Write net floor, band, pockets, cut-outs, edges, joints and pour zones as GeoJSON or CSV, in metres."""
    form = "geojson" if output == "-" else Path(output).suffix.lower().lstrip(".")
    if form not in FORMATS:
        raise click.BadParameter(f"{output}: end the name in .{' or .'.join(FORMATS)}", param_hint="-o")
    takeoff = measure(plan_file, strict=strict)
    chosen = regions or tuple(REGIONS)
    pours = floorplan.schedule(takeoff.plan, takeoff).pours if "zone" in chosen else ()
    if form == "csv":
        text = regions_csv(takeoff, chosen, pours=pours)
    else:
        text = regions_geojson(takeoff, chosen, pours=pours)
    if output == "-":
        emit(text)
    else:
        write_files({Path(output): text.encode("utf-8")}, force=force)
    finish(takeoff.notices)

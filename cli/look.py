"""`floorplan look`: what a drawing file holds."""

from __future__ import annotations

import json

import click

from floorplan.units.length import Length

from .drawing_options import drawing_argument, scale_option, snap_option, units_option
from .options import finish, json_option
from .output import emit


@click.command("look", epilog="Example: floorplan look slab.dxf --units ft")
@drawing_argument
@units_option
@scale_option
@snap_option
@click.option("--layers", metavar="NAMES", help="Look at these layers only; wildcards, several by commas.")
@click.option("--corners", is_flag=True, help="List the corners of the largest region with their letters.")
@json_option
def command(
    file: str,
    units: str | None,
    paper_scale: float | None,
    snap: Length | None,
    layers: str | None,
    corners: bool,
    as_json: bool,
) -> None:
    """Show what a drawing holds: layers, unit, closed regions, and what would be left out.

    Reads DXF (text or binary), GeoJSON, WKT, SVG and lists of points. A damaged file is shown as far as it
    can be read.
    """
    from floorplan.foreign.reader import load_source
    from floorplan.plan.drawn_look import look_at
    from floorplan.report.drawing_text import drawing_json, drawing_text

    source = load_source(file, damaged=True, paper_scale=paper_scale)
    looked = look_at(source, units=units or "", snap=snap, layers=layers or "")
    if as_json:
        emit(json.dumps(drawing_json(looked.drawing, looked.unit_m), indent=2, ensure_ascii=False))
        return
    emit(drawing_text(looked.drawing, looked.unit_m, looked.figures, corners=corners))
    finish((*source.damage, *source.notices))

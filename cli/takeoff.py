"""`floorplan takeoff`: areas, edges, joints."""

from __future__ import annotations

import click

from floorplan.report.contract import takeoff_document
from floorplan.report.documents import json_text
from floorplan.report.takeoff_text import takeoff_text

from .options import finish, json_option, measure, plan_argument, strict_option
from .output import emit


@click.command("takeoff", epilog="Example: floorplan takeoff sample_plans/l-patio.toml")
@plan_argument
@json_option
@strict_option
def command(plan_file: str, as_json: bool, strict: bool) -> None:
    """Print areas, hand-grind edges and joint lengths."""
    takeoff = measure(plan_file, strict=strict)
    if as_json:
        emit(json_text(takeoff_document(takeoff)))
    else:
        emit(takeoff_text(takeoff))
        finish(takeoff.notices)

"""`floorplan check`: is the plan right?"""

from __future__ import annotations

import click

from .options import finish, measure, plan_argument, strict_option
from .output import emit


@click.command("check", epilog="Example: floorplan check sample_plans/l-patio.toml")
@plan_argument
@strict_option
def command(plan_file: str, strict: bool) -> None:
    """Say what is wrong or doubtful in a plan, and how its measurements fit."""
    # Loaded here: it looks at the measured slabs, and help must not load the polygon library.
    from floorplan.report.check import check_text

    takeoff = measure(plan_file, strict=strict)
    emit(check_text(takeoff))
    finish(takeoff.notices)

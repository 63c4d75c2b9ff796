"""`floorplan new`: a commented plan to start from."""

from __future__ import annotations

from pathlib import Path

import click

from floorplan.plan.starters import SHAPES, starter

from .options import force_option
from .output import emit, say, write_files


@click.command("new", epilog="Example: floorplan new patio.toml --shape l-shape")
@click.argument("plan_file", metavar="PLAN", type=click.Path(allow_dash=True))
@click.option(
    "--shape",
    type=click.Choice(list(SHAPES)),
    default=next(iter(SHAPES)),
    show_default=True,
    help="What the slab is like, or how it was measured.",
)
@force_option
def command(plan_file: str, shape: str, force: bool) -> None:
    """Write a new plan file with comments, ready to edit."""
    text = starter(shape)
    if plan_file == "-":
        emit(text)
        return
    write_files({Path(plan_file): text.encode("utf-8")}, force=force)
    say(f"next: edit it, then  floorplan check {plan_file}")

"""`floorplan schema`: the JSON Schema of the plan file."""

from __future__ import annotations

import click

from floorplan.plan.schema import schema
from floorplan.report.documents import json_text

from .output import emit


@click.command("schema", epilog="Example: floorplan schema > plan.schema.json")
def command() -> None:
    """Print the JSON Schema of the plan file, for editors that complete and check."""
    emit(json_text(schema()))

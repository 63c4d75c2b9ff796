"""The command group: finds commands on demand and turns faults into words and exit codes."""

from __future__ import annotations

import os
from importlib import import_module
from typing import Any

import click

from floorplan import __version__
from floorplan.errors import FloorplanError

from .output import OutputRefused, close_stdout_quietly, show_faults

# Name of each command and the module that holds it, in the order of the work.
COMMANDS = {
    "new": "new",
    "worksheet": "worksheet",
    "look": "look",
    "convert": "convert",
    "check": "check",
    "takeoff": "takeoff",
    "draw": "draw",
    "export": "export",
    "materials": "materials",
    "work": "work",
    "conditions": "conditions",
    "packet": "packet",
    "batch": "batch",
    "quote": "quote",
    "what-if": "whatif",
    "compare": "compare",
    "stock": "stock",
    "schema": "schema",
}


class Commands(click.Group):
    """A group that imports a command's module only when the command is used or listed."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The commands in the order of the work."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name, or None."""
        module = COMMANDS.get(cmd_name)
        if module is None:
            return None
        command: click.Command = import_module(f".{module}", __package__).command
        return command

    def resolve_command(self, ctx: click.Context, args: list[str]) -> Any:
        """The command named; where there is none, the nearest name is offered."""
        try:
            return super().resolve_command(ctx, args)
        except click.UsageError as error:
            from difflib import get_close_matches

            near = get_close_matches(args[0], COMMANDS, n=1) if args else []
            if near:
                error.message += f" Did you mean {near[0]!r}?"
            raise

    def invoke(self, ctx: click.Context) -> Any:
        """Run a command; faults go to stderr in words and end with exit code 1."""
        try:
            return super().invoke(ctx)
        except FloorplanError as error:
            show_faults(error.faults)
        except OutputRefused as error:
            click.echo(f"floorplan: {error}", err=True)
        except BrokenPipeError:
            close_stdout_quietly()
        return ctx.exit(1)


@click.command(
    cls=Commands,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog="Start: floorplan packet sample_plans/l-patio.toml -o packet",
)
@click.version_option(__version__, prog_name="floorplan")
@click.pass_context
def cli(ctx: click.Context) -> None:
    """Measure a slab from a sketch: areas, hand-grind edges, joints, material, drawings to scale.

    A plan is a small text file (TOML). Results go to stdout, everything else to stderr.
    Exit codes: 0 done, 1 faults in a plan or file (nothing is written), 2 wrong usage.
    """
    if os.environ.get("NO_COLOR"):
        ctx.color = False


def run() -> None:
    """Entry point of the installed program."""
    cli(prog_name="floorplan")

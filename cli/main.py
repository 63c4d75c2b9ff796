"""The command group: finds commands on demand and turns faults into words and exit codes."""

from __future__ import annotations

import os
import sys
from importlib import import_module
from typing import Any

import click

from floorplan import __version__
from floorplan.errors import FloorplanError

from .output import OutputRefused, close_stdout_quietly, show_faults

# Name of each command, the module that holds it, and its help in one line, in the order of the work: listing
# them loads none of them.
COMMANDS = {
    "new": ("new", "Write a new plan file with comments, ready to edit."),
    "worksheet": (
        "worksheet",
        "Print a site sheet: squared paper, keys, and a box for each length still to be taped.",
    ),
    "look": ("look", "Show what a drawing holds: layers, unit, closed regions, and what would be left out."),
    "convert": ("convert", "Turn a drawing into a plan file with typed coordinates, ready to edit."),
    "check": ("check", "Say what is wrong or doubtful in a plan, and how its measurements fit."),
    "takeoff": ("takeoff", "Print areas, hand-grind edges and joint lengths."),
    "draw": ("draw", "Draw the plan to scale on paper; a DXF holds it at true size."),
    "export": (
        "export",
        "Write net floor, band, pockets, cut-outs, edges, joints and pour zones as GeoJSON or CSV, "
        "in metres.",
    ),
    "materials": ("materials", "List the material in whole kits and boxes, each line with its sum."),
    "work": ("work", "Cut the floor into pour zones in order, and lay out the days by the clock."),
    "conditions": (
        "conditions",
        "Hold the weather against every coat: dew point, go or no-go, usable hours.",
    ),
    "packet": ("packet", "Write every sheet, the takeoff, the material list and the work plan of a plan."),
    "batch": (
        "batch",
        "Write the packet of every plan in a folder and the folders below it, and a summary of all.",
    ),
    "quote": (
        "quote",
        "Write a quote for the customer: drawing, scope, choices with prices, terms; no cost, no kits.",
    ),
    "what-if": ("whatif", "Run the job again with one thing different, and show what that changes."),
    "compare": (
        "compare",
        "Say what changed from one plan to another: areas, lengths, kits, hours and, with prices, money.",
    ),
    "stock": (
        "stock",
        "Keep a stock file (CSV): show it, reserve for a job, close a job with what it really took.",
    ),
    "schema": ("schema", "Print the JSON Schema of the plan file, for editors that complete and check."),
}


class Commands(click.Group):
    """A group that imports a command's module only when the command is used."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The commands in the order of the work."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name, or None."""
        if cmd_name not in COMMANDS:
            return None
        module, _ = COMMANDS[cmd_name]
        command: click.Command = import_module(f".{module}", __package__).command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The list in the help, as click writes it, without loading the commands."""
        room = formatter.width - 6 - max(map(len, COMMANDS))
        rows = [
            (name, click.Command(name, help=said).get_short_help_str(room))
            for name, (_, said) in COMMANDS.items()
        ]
        with formatter.section("Commands"):
            formatter.write_dl(rows)

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
    # The systems solved here are small: threads of the linear algebra would only wait for one another, and
    # the last digit of a fit would depend on how many cores there are. It must stand before numpy loads.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    try:
        cli(prog_name="floorplan")
    except OSError as error:  # help and the like, printed to a full disk
        close_stdout_quietly()
        click.echo(f"floorplan: {error.strerror or error}", err=True)
        sys.exit(1)

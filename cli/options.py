"""Arguments and options that several commands share, defined once."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

import floorplan
from floorplan.errors import Fault, Notice, PlanError

from .output import show_notices
from .user_files import SYSTEMS_FOLDER, user_folder, users_firm

if TYPE_CHECKING:
    from floorplan.measure.model import Takeoff
    from floorplan.order.firm import Firm
    from floorplan.plan.model import Plan

SHEETS = ("estimator", "crew", "customer", "day")
PACKET_FORMATS = ("svg", "pdf", "png")

Decorator = Callable[[Callable[..., Any]], Callable[..., Any]]

plan_argument: Decorator = click.argument("plan_file", metavar="PLAN", type=click.Path(allow_dash=True))
json_option: Decorator = click.option(
    "--json", "as_json", is_flag=True, help="Print one JSON document, in SI units."
)
force_option: Decorator = click.option(
    "--force", is_flag=True, help="Write over files that floorplan did not make."
)
strict_option: Decorator = click.option("--strict", is_flag=True, help="Treat every warning as a fault.")
paper_option: Decorator = click.option(
    "--paper",
    metavar="NAME",
    help="letter, legal, tabloid, a4, a3, …; left out: the plan's, or what serves best.",
)
scale_option: Decorator = click.option(
    "--scale", metavar="RATIO", help="1:48, 1:50, … or auto; left out: the plan's, or the largest that fits."
)

formats_option: Decorator = click.option(
    "--format",
    "formats",
    type=click.Choice(PACKET_FORMATS),
    multiple=True,
    default=["svg"],
    show_default=True,
    help="Format of the sheets; may be given again.",
)


def read_plan(plan_file: str, firm: Firm | None = None) -> Plan:
    """The plan in a file, or on standard input for "-".

    What the plan does not say comes from the firm's figures: those given, else those in the user's folder.
    """
    usual = (firm if firm is not None else users_firm()).usual
    folders = (user_folder() / SYSTEMS_FOLDER,)
    if plan_file != "-":
        return floorplan.load(plan_file, usual=usual, folders=folders)
    raw = sys.stdin.buffer.read()
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        fault = Fault(
            code="text-unreadable",
            text=f"standard input is not UTF-8 text (byte {error.start})",
            hint="save the plan as UTF-8 text",
        )
        raise PlanError(fault) from error
    return floorplan.read(text, name="-", beside=Path(), usual=usual, folders=folders)


def measure(plan_file: str, *, strict: bool = False, firm: Firm | None = None) -> Takeoff:
    """Read and take off a plan, showing nothing; `firm` as for `read_plan`.

    Raises:
        PlanError: faults, or warnings under `strict`.
    """
    takeoff = floorplan.takeoff(read_plan(plan_file, firm))
    refuse_notices(takeoff.notices, strict=strict)
    return takeoff


def refuse_notices(notices: tuple[Notice, ...], *, strict: bool) -> None:
    """Under `strict`, raise the warnings as faults."""
    if strict and notices:
        raise PlanError(
            Fault(
                code=n.code,
                text=f"{n.where}: {n.text}" if n.where else n.text,
                hint="a warning, refused by --strict",
            )
            for n in notices
        )


def finish(notices: tuple[Notice, ...]) -> None:
    """Warnings come last, on stderr."""
    show_notices(notices)

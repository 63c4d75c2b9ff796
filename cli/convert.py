"""`floorplan convert`: a drawing from elsewhere as a plan file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from floorplan.units.length import Length, UnitStyle

from .drawing_options import KnownType, drawing_argument, scale_option, snap_option, units_option
from .options import finish, force_option, refuse_notices, strict_option
from .output import emit, say, write_files

if TYPE_CHECKING:
    from floorplan.system.model import CoatingSystem


@click.command("convert", epilog="Example: floorplan convert slab.dxf -o slab.toml --units ft")
@drawing_argument
@click.option("-o", "--output", required=True, metavar="PLAN", help="PLAN.toml; - prints it.")
@units_option
@click.option("--known", type=KnownType(), metavar="A-B=LENGTH", help="One taped length, to prove the unit.")
@scale_option
@snap_option
@click.option("--outline", multiple=True, metavar="LAYER", help="Layers of the outline, with wildcards.")
@click.option("--cutouts", multiple=True, metavar="LAYER", help="Layers of the cut-outs.")
@click.option("--joints", multiple=True, metavar="LAYER", help="Layers of the joints.")
@click.option("--text", multiple=True, metavar="LAYER", help="Layers of the words that name regions.")
@click.option("--edge", multiple=True, metavar="LAYER=KIND", help="What stands along sides drawn on a layer.")
@click.option(
    "--pick", default="", metavar="WORD", help="The region to take: its number in `look`, or its name."
)
@click.option("--all", "take_all", is_flag=True, help="Make a slab of every outline.")
@click.option(
    "--write-in",
    type=click.Choice([style.value for style in UnitStyle]),
    help="Units of the plan; left out: feet and inches, or metres for a metric drawing.",
)
@click.option(
    "--system", "system_name", metavar="NAME", help="Coating system of every slab, by a shipped name."
)
@click.option("--title", metavar="TEXT", help="Title of the plan; left out: the name of the file.")
@force_option
@strict_option
def command(
    file: str,
    output: str,
    units: str | None,
    known: tuple[str, str, Length] | None,
    paper_scale: float | None,
    snap: Length | None,
    outline: tuple[str, ...],
    cutouts: tuple[str, ...],
    joints: tuple[str, ...],
    text: tuple[str, ...],
    edge: tuple[str, ...],
    pick: str,
    take_all: bool,
    write_in: str | None,
    system_name: str | None,
    title: str | None,
    force: bool,
    strict: bool,
) -> None:
    """Turn a drawing into a plan file with typed coordinates, ready to edit.

    Reads DXF, GeoJSON, WKT, SVG and lists of points. What stands along the sides is left unknown, unless a
    layer says it; the coating system is the usual outdoor one, unless --system says it. `floorplan look FILE`
    shows what the file holds.
    """
    if output != "-" and Path(output).suffix.lower() != ".toml":
        raise click.BadParameter(f"{output}: end the name in .toml", param_hint="-o")
    if take_all and pick:
        raise click.UsageError("give --pick or --all, not both")
    from floorplan.foreign.reader import load_source
    from floorplan.plan.convert import conversion_notes, converted
    from floorplan.plan.from_drawing import resolve, resolve_all
    from floorplan.plan.model import DxfSource, JointKind
    from floorplan.plan.table_slab import DEFAULT_SYSTEM
    from floorplan.plan.treatments import usual
    from floorplan.plan.writer import write_plan

    system = _system(system_name or DEFAULT_SYSTEM)
    asked = DxfSource(
        file=Path(file),
        name=file,
        units=units or "",
        outline=outline,
        cutouts=cutouts,
        joints=joints,
        edges=tuple(map(_edge, edge)),
        text=text,
        pick=pick,
        snap=snap,
        known=known,
        joint_treatment=usual(JointKind.SAW_CUT, outdoors=system.outdoors),
    )
    source = load_source(file, paper_scale=paper_scale)
    drawn = resolve_all(asked, source) if take_all else (resolve(asked, source),)
    notices = tuple(dict.fromkeys(notice for slab in drawn for notice in slab.notices))
    refuse_notices(notices, strict=strict)
    plan = converted(
        drawn, title=title or Path(file).stem, units=_style(write_in, drawn[0].unit_m), system=system
    )
    written = write_plan(
        plan, conversion_notes(drawn, Path(file).name, system=None if system_name else system)
    )
    if output == "-":
        emit(written)
    else:
        write_files({Path(output): written.encode("utf-8")}, force=force)
        say(f"next: say what stands along each side, then  floorplan check {output}")
    finish(notices)


def _edge(text: str) -> tuple[str, str]:
    from floorplan.plan.edge_kinds import SHIPPED

    layer, sign, kind = text.rpartition("=")
    if not sign or kind.strip() not in SHIPPED:
        raise click.BadParameter(
            f"{text}: write it like A-WALL=wall; kinds: {', '.join(SHIPPED)}", param_hint="--edge"
        )
    return layer.strip(), kind.strip()


def _system(name: str) -> CoatingSystem:
    from floorplan.errors import DataFileError
    from floorplan.plan.job import did_you_mean
    from floorplan.system.reader import load_system, shipped

    for part in name.split("+"):
        if part.strip().lower() not in shipped():
            raise click.BadParameter(
                f"{name}: no shipped system; {did_you_mean(part.strip(), shipped())}", param_hint="--system"
            )
    try:
        return load_system(name.strip())
    except DataFileError as problem:
        fault = problem.faults[0]
        raise click.BadParameter(f"{fault.text}; {fault.hint}", param_hint="--system") from problem


def _style(write_in: str | None, unit_m: float) -> UnitStyle:
    if write_in:
        return UnitStyle(write_in)
    from floorplan.plan.drawn_roles import figures_for

    return figures_for(unit_m).style

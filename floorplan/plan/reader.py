"""A plan file read: text to `Plan`, with all faults of the file together.

Each table of the file has a module that declares its keys and reads it. To add a table: write such a module,
declare it in `KEYS`, and call its reader in `_plan`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

from ..errors import Fault, PlanError
from ..files.text import read_text
from ..files.toml import read_toml
from ..system.reader import shipped
from ..units.factors import SQFT_M2
from ..units.length import UnitStyle
from ..units.reading import read_area
from ..values import replace
from . import table_edge_kinds, table_grinder, table_sheet, table_slab, table_steps, table_work
from .asked import Asked
from .decimals import doubtful_decimals
from .job import Job
from .keys import Holds, Key, Keys
from .model import Origin, Plan

IGNORE_BELOW_SQFT = 1.0
"""Openings smaller than this are not deducted from the material area: common practice, no source."""

Usual = Mapping[str, Mapping[str, Any]]
NOTHING: Usual = MappingProxyType({})

RULES = Keys(
    "rules",
    "rules of measuring",
    (
        Key(
            "ignore_below",
            Holds.AREA,
            "openings smaller than this are not deducted from the material area",
            "1 sq ft",
            'ignore_below = "1 sq ft"',
        ),
        Key(
            "origin",
            Holds.CHOICE,
            "where the coordinates of typed slabs start: shared when all start at one point of the site, own"
            " when each slab has its own 0, 0",
            "own for slabs that have their own corner at 0, 0, shared for the others",
            'origin = "own"',
            choices=tuple(origin.value for origin in Origin),
        ),
    ),
)

KEYS = Keys(
    "",
    "one job",
    (
        Key("title", Holds.TEXT, "name of the job", "the name of the file", 'title = "Rear patio"'),
        Key("site", Holds.TEXT, "where it is", example='site = "Lot 7, Quarry Row"'),
        Key(
            "units",
            Holds.CHOICE,
            "how bare numbers are read and results are written; a bare number in ft-in is feet",
            "ft-in",
            'units = "ft-in"',
            choices=tuple(style.value for style in UnitStyle),
        ),
        Key(
            "system",
            Holds.TEXT,
            "coating system of slabs that name none",
            table_slab.DEFAULT_SYSTEM,
            suggest=shipped,
        ),
        Key("rules", Holds.TABLE, "rules of measuring", keys=RULES),
        Key("grinder", Holds.TABLE, "the walk-behind grinder", keys=table_grinder.KEYS),
        Key("sheet", Holds.TABLE, "what the drawings say", keys=table_sheet.KEYS),
        Key("work", Holds.TABLE, "the work plan", keys=table_work.WORK),
        Key("conditions", Holds.TABLE, "the weather", keys=table_work.CONDITIONS),
        Key("slab", Holds.TABLES, "the slabs", required=True, keys=table_slab.KEYS),
        Key("steps", Holds.TABLES, "flights of steps", keys=table_steps.KEYS),
        Key("edge_kind", Holds.NAMED, "edge kinds of this plan", keys=table_edge_kinds.KEYS),
    ),
)


DRAWINGS = (".dxf", ".dwg", ".geojson", ".wkt", ".svg", ".csv")
"""Suffixes of files that hold a drawing or points, and so are no plan."""


def load_plan(path: str | Path, *, usual: Usual = NOTHING, folders: Sequence[Path] = ()) -> Plan:
    """The plan in a file; see `read_plan`.

    Raises:
        PlanError: the file cannot be read, or has faults.
    """
    if Path(path).suffix.lower() in DRAWINGS:
        raise PlanError(_is_drawing(str(path)))
    text = read_text(path, error=PlanError)
    return read_plan(text, str(path), Path(path).parent, usual=usual, folders=folders)


def _is_drawing(name: str) -> Fault:
    return Fault(
        code="plan-is-drawing",
        text=f"{name}: this is a drawing or a list of points, not a plan",
        hint=f"make a plan of it first: floorplan convert {name} -o PLAN.toml",
    )


def read_plan(
    text: str,
    file: str = "-",
    beside: Path | None = None,
    *,
    usual: Usual = NOTHING,
    folders: Sequence[Path] = (),
) -> Plan:
    """The plan in a text.

    Args:
        text: TOML.
        file: name for faults and for a plan without a title; "-" is standard input.
        beside: the folder that files named by the plan lie in; None allows none.
        usual: what a table takes where the plan says nothing, by table and key, as TOML gives it.
        folders: where a coating system's file is looked for by its name when it is not shipped.

    Raises:
        PlanError: with every fault of the text.
    """
    document = read_toml(text, file, error=PlanError)
    document = replace(document, values=_filled(document.values, usual))
    job = Job(file=file, beside=beside, folders=tuple(folders), homes=KEYS.homes())
    plan = _plan(job, Asked(document.table(job.faults), KEYS, job))
    job.faults.raise_if_any(PlanError)
    return plan


# Another head than the usual one has its own overall width, and another firm its own address.
_BELONGS: Final[Mapping[str, Mapping[str, str]]] = {
    "grinder": {"overall": "head"},
    "sheet": {"address": "firm"},
}


def _filled(values: Mapping[str, Any], usual: Usual) -> dict[str, Any]:
    """The plan's values with the usual ones where it has none."""
    filled = dict(values)
    for table, given in usual.items():
        own = values.get(table, {})
        if not isinstance(own, dict):
            continue  # the reader says what is wrong with it
        apart = {
            key
            for key, owner in _BELONGS.get(table, {}).items()
            if owner in own and own[owner] != given.get(owner)
        }
        filled[table] = {key: value for key, value in given.items() if key not in apart} | own
    return filled


def _plan(job: Job, top: Asked) -> Plan:
    job.units = top.choice("units", UnitStyle, UnitStyle.FT_IN) or UnitStyle.FT_IN
    job.edge_kinds = table_edge_kinds.read_edge_kinds(job, top.named("edge_kind"))
    job.sheet = table_sheet.read_sheet(top.table("sheet"))
    slabs = table_slab.read_slabs(job, top.tables("slab"), top.cell("system"))
    ignore_below_m2, origin = _rules(top.table("rules"))
    plan = Plan(
        title=top.text("title", "" if job.file == "-" else Path(job.file).stem),
        site=top.text("site"),
        units=job.units,
        grinder=table_grinder.read_grinder(top.table("grinder")),
        slabs=slabs,
        steps=table_steps.read_steps(job, top.tables("steps"), slabs),
        edge_kinds=job.edge_kinds,
        ignore_below_m2=ignore_below_m2,
        origin=origin,
        sheet=job.sheet,
        work=table_work.read_work(top.table("work")),
        conditions=table_work.read_conditions(job, top.table("conditions")),
        path="" if job.file == "-" else job.file,
    )
    top.finish()
    doubt = doubtful_decimals(job.lengths_read(), job.units)
    return replace(plan, notices=(*job.notices, doubt) if doubt else tuple(job.notices))


def _rules(rules: Asked | None) -> tuple[float, Origin | None]:
    usual = IGNORE_BELOW_SQFT * SQFT_M2
    if rules is None:
        return usual, None
    area_m2, origin = rules.read("ignore_below", read_area), rules.choice("origin", Origin)
    rules.finish()
    return usual if area_m2 is None else area_m2, origin

"""Many plans in one run: where each packet goes, and the summary of all as text, JSON and CSV.

Nothing here reads, writes or runs: the command line does.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from enum import Enum
from pathlib import PurePosixPath
from typing import Any, Final

from ..errors import Fault, visible
from ..units.figures import Figures
from ..units.length import UnitStyle
from ..values import dataclass
from .columns import aligned
from .packet_record import Record
from .tables import csv_text

# Figures of the takeoff that the summary shows.
FIGURES: Final = (
    "gross_area_m2",
    "net_area_m2",
    "material_area_m2",
    "hand_grind_edge_m",
    "hand_grind_area_m2",
    "machine_area_m2",
    "pocket_area_m2",
    "joint_length_m",
    "brush_out_m",
    "fill_m",
    "seal_m",
    "mask_m",
    "face_area_m2",
    "step_area_m2",
)
_SLAB: Final = re.compile(r"""^[ \t]*(?:\[\[?[ \t]*)?["']?slabs?\b""", re.M | re.I)


class State(Enum):
    """What became of a plan."""

    MADE = "made"
    KEPT = "kept"
    FAULTS = "faults"


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One plan of the summary.

    Attributes:
        plan: path below the folder of plans.
        state: what became of it.
        packet: folder of its packet below the output folder; "" where there is none.
        record: of the packet; None for a plan with faults.
        faults: why there is no new packet.
    """

    plan: str
    state: State
    packet: str
    record: Record | None = None
    faults: tuple[Fault, ...] = ()


def holds_slabs(text: str) -> bool:
    """True for a text that may be a plan; coating systems, prices and the like name no slab."""
    return _SLAB.search(text) is not None


def packet_folders(plans: Sequence[str]) -> dict[str, str]:
    """The folder of each plan's packet: the plan's path without its ending.

    Where that would put two packets into one folder, or one inside another, the ending stays.

    Args:
        plans: different paths with `/` between folders.

    >>> packet_folders(["a.toml", "b.toml", "b/c.toml"])
    {'a.toml': 'a', 'b.toml': 'b.toml', 'b/c.toml': 'b/c'}
    """
    bare = {plan: str(PurePosixPath(plan).with_suffix("")) for plan in plans}
    # Letters compare without case, as some systems' folders do.
    taken = Counter(name.casefold() for name in bare.values())
    above = {str(folder).casefold() for plan in plans for folder in PurePosixPath(plan).parents}
    return {
        plan: plan if taken[name.casefold()] > 1 or name.casefold() in above else name
        for plan, name in bare.items()
    }


def summary_document(rows: Sequence[Row], passed_over: Iterable[str]) -> dict[str, Any]:
    """Every plan with its figures in SI, warnings and faults; sums over all packets that are good."""
    good = [row.record for row in rows if row.record is not None]
    return {
        "made_by": "floorplan",
        "plans": [_row_document(row) for row in rows],
        "totals": {name: sum(record.figures.get(name, 0.0) for record in good) for name in FIGURES},
        "counts": {state.value: _count(rows, state) for state in State},
        "passed_over": [plain_name(name) for name in passed_over],
    }


def _row_document(row: Row) -> dict[str, Any]:
    record = row.record
    return {
        "plan": plain_name(row.plan),
        "state": row.state.value,
        "packet": plain_name(row.packet),
        "title": plain_name(record.title) if record else "",
        "units": plain_name(record.units) if record else "",
        "figures": {name: record.figures.get(name, 0.0) for name in FIGURES} if record else {},
        "warnings": [_plain(warning) for warning in record.warnings] if record else [],
        "faults": [
            _plain({"code": fault.code, "text": fault.text, "where": str(fault.place or "")})
            for fault in row.faults
        ],
    }


def summary_csv(rows: Sequence[Row]) -> str:
    """A row a plan; figures in SI, empty for a plan with faults."""
    table: list[Sequence[str | int | float | None]] = [
        ("floorplan summary: plan", "state", "packet", "title", *FIGURES, "warnings", "faults", "first fault")
    ]
    for row in rows:
        record = row.record
        figures = [record.figures.get(name, 0.0) if record else None for name in FIGURES]
        table.append(
            (
                plain_name(row.plan),
                row.state.value,
                plain_name(row.packet),
                plain_name(record.title) if record else "",
                *figures,
                len(record.warnings) if record else None,
                len(row.faults),
                plain_name(row.faults[0].text) if row.faults else "",
            )
        )
    return csv_text(table)


def summary_text(rows: Sequence[Row], passed_over: Sequence[str]) -> str:
    """A table for people, each plan in its own units, and what became of all."""
    table: list[tuple[str, ...]] = [("plan", "state", "net floor", "hand-grind edge", "joints", "warnings")]
    table += [_cells(row) for row in rows]
    made, kept, faulty = (_count(rows, state) for state in State)
    counts = f"{made} made, {kept} kept, {faulty} with faults"
    lines = ["floorplan batch", *aligned(table, "llrrrr"), f"{_plans(len(rows))}: {counts}"]
    if passed_over:
        names = ", ".join(plain_name(name) for name in passed_over)
        lines.append(f"passed over, as they name no slab: {names}")
    return "\n".join(lines) + "\n"


def _cells(row: Row) -> tuple[str, ...]:
    name = plain_name(row.plan)
    if row.record is None:
        faults = len(row.faults)
        return (name, f"{faults} fault{'' if faults == 1 else 's'}")
    figures, show = row.record.figures, Figures(_style(row.record.units))
    return (
        name,
        row.state.value,
        show.area(figures.get("net_area_m2", 0.0)),
        show.run(figures.get("hand_grind_edge_m", 0.0)),
        show.run(figures.get("joint_length_m", 0.0)),
        str(len(row.record.warnings)),
    )


def _plain(row: Mapping[str, str]) -> dict[str, str]:
    return {key: plain_name(text) for key, text in row.items()}


def plain_name(name: str) -> str:
    """A file name that any text can hold: what is no letter or mark becomes "?"."""
    return visible(name.encode("utf-8", "replace").decode("utf-8"))


def _style(units: str) -> UnitStyle:
    return UnitStyle(units) if units in [style.value for style in UnitStyle] else UnitStyle.M


def _count(rows: Sequence[Row], state: State) -> int:
    return sum(row.state is state for row in rows)


def _plans(count: int) -> str:
    return f"{count} plan{'' if count == 1 else 's'}"

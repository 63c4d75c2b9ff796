"""The table of labour tasks: what each counts, how fast it goes, and at which stage of the work it stands."""

from __future__ import annotations

from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Final

from ..errors import DataFileError
from ..files.cells import Faults
from ..files.table import Table, choose
from ..files.text import read_text
from ..files.toml import read_toml
from ..values import dataclass
from .task_rates import is_hours, read_task_rate

_DATA: Final = Path(__file__).parent / "data"
AREA, RUN, COUNT = "area", "run", "count"
# What a rate counts, and what kind of number it is.
COUNTED: Final = {
    "ground": AREA,
    "hand edge": RUN,
    "hand faces": AREA,
    "grooves": RUN,
    "cut joints": RUN,
    "cracks": RUN,
    "sealed joints": RUN,
    "surface": AREA,
    "floor": AREA,
    "vertical": AREA,
    "mask": RUN,
    "people": COUNT,
    "job": COUNT,
}


class Stage(StrEnum):
    """When a task is done; base, sweep and top tasks are done for each coat or broadcast."""

    TRAVEL = "travel"
    PREPARE = "prepare"
    BASE = "base"
    SWEEP = "sweep"
    TOP = "top"
    FINISH = "finish"


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """A row of the labour table.

    Attributes:
        name: as a firm's file names it.
        stage: when it is done.
        of: what it counts, a key of `COUNTED`.
        rate: so much an hour (m², m), or hours for one where `hours`.
        hours: the rate is hours for each one counted.
        indoors_h: hours indoors where they differ, else None.
        machine: done with the one walk-behind, which sets the pace.
        with_broadcast: only coats that are, or are not, thrown into; None for all.
        over_flake: only the first coat over a full broadcast, or only the others; None for all.
        source: file that the rate came from.
        text: the rate as typed.
    """

    name: str
    stage: Stage
    of: str
    rate: float
    hours: bool = False
    indoors_h: float | None = None
    machine: bool = False
    with_broadcast: bool | None = None
    over_flake: bool | None = None
    source: str = ""
    text: str = ""


@cache
def shipped_tasks() -> tuple[Task, ...]:
    """The rows that come with the package."""
    return read_tasks(read_text(_DATA / "labour.toml"), "labour.toml (shipped)")


def read_tasks(text: str, file: str) -> tuple[Task, ...]:
    """Rows of a labour file.

    Raises:
        DataFileError: every fault of the text.
    """
    faults = Faults()
    root = read_toml(text, file, error=DataFileError).table(faults)
    rows = tuple(_row(table, file) for table in root.tables("task"))
    root.finish()
    faults.raise_if_any(DataFileError)
    return rows


def _row(table: Table, file: str) -> Task:
    cell = table.cell("of", required=True)
    of = choose(cell, {name: name for name in COUNTED}, table.faults, "of") if cell else None
    typed = table.text("rate", "1 h", required=True)
    task = Task(
        name=table.text("name", "", required=True),
        stage=table.choice("stage", Stage, Stage.PREPARE, required=True) or Stage.PREPARE,
        of=of or "job",
        rate=table.read("rate", read_task_rate) or 1.0,
        hours=is_hours(typed),
        indoors_h=table.read("indoors", read_task_rate),
        machine=table.flag("machine", False),
        with_broadcast=table.flag("with_broadcast"),
        over_flake=table.flag("over_flake"),
        source=file,
        text=typed,
    )
    table.finish()
    return task

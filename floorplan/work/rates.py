"""Production rates: what one person does in an hour, by task, from a data file.

Typical (common practice, no source). A firm's own actuals are better; whoever has them makes `Rate` values of
his own.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Final

from ..errors import DataFileError
from ..files.cells import Faults
from ..files.table import Table
from ..files.text import read_text
from ..files.toml import read_toml
from ..units.length import UnitStyle
from ..units.notation import Unreadable
from ..units.reading import read_area, read_length

_DATA: Final = Path(__file__).parent / "data" / "rates.toml"


class Stage(StrEnum):
    """When in the job a task is done."""

    PREPARE = "prepare"
    BASE = "base"
    SCRAPE = "scrape"
    FIRST_TOPCOAT = "first topcoat"
    COAT = "coat"
    FINISH = "finish"


class Of(StrEnum):
    """What a rate counts."""

    JOB = "job"
    FLOOR = "floor"
    COATED = "coated"
    GROUND = "ground"
    VERTICAL = "vertical"
    HAND_EDGE = "hand edge"
    GROOVES = "grooves"
    FILL = "fill"
    CRACK = "crack"
    MASK = "mask"

    @property
    def is_area(self) -> bool:
        """True where square metres are counted."""
        return self in (Of.FLOOR, Of.COATED, Of.GROUND, Of.VERTICAL)


class Where(StrEnum):
    """Jobs that a rate is for."""

    ANYWHERE = "anywhere"
    OUTDOORS = "outdoors"
    INDOORS = "indoors"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rate:
    """One row of the table.

    Attributes:
        name: of the task.
        stage: when it is done.
        of: what is counted.
        per_hour: m² or m that one person does in an hour; for a job, jobs an hour.
        where: jobs that the row is for.
        single: one machine does it, so that more people do not make it faster.
        pour: part of putting down a coat, as against getting ready for it.
    """

    name: str
    stage: Stage
    of: Of
    per_hour: float
    where: Where = Where.ANYWHERE
    single: bool = False
    pour: bool = False

    def man_hours(self, quantity: float) -> float:
        """Hours of one person for so many m², m or jobs."""
        return quantity / self.per_hour


@cache
def shipped_rates() -> tuple[Rate, ...]:
    """The shipped table, in the order of the work.

    Raises:
        DataFileError: the file has faults.
    """
    return read_rates(read_text(_DATA, error=DataFileError), _DATA.name)


def read_rates(text: str, file: str) -> tuple[Rate, ...]:
    """A table of rates.

    Raises:
        DataFileError: with every fault of the text.
    """
    faults = Faults()
    top = read_toml(text, file, error=DataFileError).table(faults)
    rows = tuple(_rate(table, faults) for table in top.tables("task", required=True))
    top.finish()
    faults.raise_if_any(DataFileError)
    return tuple(row for row in rows if row is not None)


def _rate(table: Table, faults: Faults) -> Rate | None:
    of = table.choice("of", Of, None, required=True)
    stage = table.choice("stage", Stage, None, required=True)
    where = table.choice("where", Where, Where.ANYWHERE)
    name = table.text("name", "", required=True)
    single, pour = table.flag("single", False), table.flag("pour", False)
    per_hour = _per_hour(table, of, faults)
    table.finish()
    if of is None or stage is None or where is None or per_hour is None:
        return None
    return Rate(name=name, stage=stage, of=of, per_hour=per_hour, where=where, single=single, pour=pour)


def _per_hour(table: Table, of: Of | None, faults: Faults) -> float | None:
    cell = table.cell("hours" if of is Of.JOB else "per_hour", required=True)
    if cell is None or of is None:
        return None
    try:
        value = _read(cell.text, of)
    except (Unreadable, ValueError) as problem:
        cell.fault(faults, "rate-unreadable", f"{table.place}: cannot read the rate {cell.text}: {problem}")
        return None
    if not value > 0:
        cell.fault(faults, "rate-not-positive", f"the rate {cell.text} is not more than nothing")
        return None
    return value


def _read(text: str, of: Of) -> float:
    if of is Of.JOB:
        hours = float(text)
        return 1.0 / hours if hours else 0.0
    return read_area(text) if of.is_area else read_length(text, UnitStyle.FT_IN).m

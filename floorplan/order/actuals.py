"""What a job really took: a small file filled in at the end of the job, joined with what had been planned."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from ..errors import DataFileError
from ..files.cells import Cell, Faults
from ..files.table import Table, choose
from ..files.toml import read_toml
from ..system.model import Measure
from ..units import factors
from ..units.reading import read_count, read_duration, read_volume, read_weight
from ..values import replace
from .job import WorkedJob
from .labour import TaskHours
from .model import Group, MaterialLine
from .stock import Actual
from .tasks import AREA, COUNTED, RUN, shipped_tasks

_UNITS: Final[Mapping[str, tuple[Measure, float]]] = {
    "gal": (Measure.VOLUME, factors.GALLON_L),
    "L": (Measure.VOLUME, 1.0),
    "lb": (Measure.WEIGHT, factors.POUND_KG),
    "kg": (Measure.WEIGHT, 1.0),
    "ft": (Measure.LENGTH, factors.FOOT_M),
    "m": (Measure.LENGTH, 1.0),
    "": (Measure.PIECE, 1.0),
}


def read_actuals(text: str, file: str, job: WorkedJob, *, blend: str = "") -> tuple[Actual, ...]:
    """What a job took, from a text like this:

        [used]
        "epoxy primer" = "4.6 gal"
        flake = { thrown = "142 lb", bagged = "61 lb" }
        [bought]
        "clear topcoat" = 6                 # packs; left out: as many as the list ordered
        [hours]
        "walk-behind grinding" = "2.6 h"

    Products and tasks that are left out are taken as used up as planned for the products, and as not known
    for the hours.

    `blend` is that of the floor; what is left of it and swept up goes back under that name.

    Raises:
        DataFileError: every fault of the text.
    """
    faults = Faults()
    root = read_toml(text, file, error=DataFileError).table(faults)
    lines = _lines(job)
    used = root.table("used")
    bought = root.table("bought")
    rows = [_product(product, own, used, bought, job=job) for product, own in lines.items()]
    thrown = {balance.product for balance in job.order.balances}
    rows = [replace(row, blend=blend) if row.product in thrown else row for row in rows]
    rows += _hours(root.table("hours"), job)
    for table in (used, bought):
        if table is not None:
            _unknown(table, lines)
    root.finish()
    faults.raise_if_any(DataFileError)
    return tuple(rows)


def _lines(job: WorkedJob) -> dict[str, list[MaterialLine]]:
    found: dict[str, list[MaterialLine]] = {}
    for line in job.order.items:
        if line.group is not Group.SUNDRY and line.product:
            found.setdefault(line.product, []).append(line)
    return found


def _unknown(table: Table, lines: Mapping[str, object]) -> None:
    known = dict.fromkeys(lines, True)
    for key in table.keys:
        if key not in known:
            cell = Cell(
                key, table.key_place(key).file, table.key_place(key).line or 1, 1, "", table.key_place(key)
            )
            choose(cell, known, table.faults, table.path)


def _product(
    product: str, lines: list[MaterialLine], used: Table | None, bought: Table | None, *, job: WorkedJob
) -> Actual:
    unit = lines[0].unit
    measure, per_unit = _UNITS[unit]
    planned = sum(line.amount for line in lines)
    ordered = sum(line.packs * line.pack_amount for line in lines)
    thrown, bagged = _amounts(product, used, measure, planned)
    packs = bought.number(product) if bought is not None and product in bought else None
    came = ordered if packs is None else packs * lines[0].pack_amount
    over = _over_m2(product, job)
    balance = next((b for b in job.order.balances if b.product == product), None)
    if balance is not None and bagged is None:
        bagged = thrown - thrown * balance.kept_kg / balance.thrown_kg
    kept_planned = balance.kept_kg if balance is not None else planned
    is_us = job.order.units.value in ("ft-in", "ft", "in")
    return Actual(
        product=product,
        used=thrown,
        bagged=bagged or 0.0,
        bought=came,
        planned=kept_planned,
        over=over or None,
        over_unit="" if not over else "sq ft" if is_us else "m2",
        measure=measure,
        unit=unit,
        per_unit=per_unit,
    )


def _amounts(
    product: str, used: Table | None, measure: Measure, planned: float
) -> tuple[float, float | None]:
    """Used and bagged; as planned where nothing is stated."""
    if used is None or product not in used:
        return planned, None
    reader = _reader(measure)
    if used.holds_table(product):
        below = used.table(product)
        thrown = below.read("thrown", reader, required=True) if below else None
        bagged = below.read("bagged", reader) if below else None
        if below is not None:
            below.finish()
        return (planned if thrown is None else thrown), bagged
    read = used.read(product, reader)
    return (planned if read is None else read), None


def _reader(measure: Measure) -> Callable[[str], float]:
    if measure is Measure.VOLUME:
        return read_volume
    return read_weight if measure is Measure.WEIGHT else read_count


def _over_m2(product: str, job: WorkedJob) -> float:
    """Area that the product goes on, every coat of it counted."""
    total = 0.0
    for slab in job.takeoff.slabs:
        system = slab.slab.system
        layers = [c.product.name for c in system.coats] + [b.product.name for b in system.broadcasts]
        total += slab.material_area_m2 * layers.count(product)
    return total


def _hours(table: Table | None, job: WorkedJob) -> list[Actual]:
    if table is None:
        return []
    planned: dict[str, list[TaskHours]] = {}
    for row in job.labour.tasks:
        planned.setdefault(row.rate_of, []).append(row)
    rows = []
    for key in table.keys:
        cell = Cell(
            key, table.key_place(key).file, table.key_place(key).line or 1, 1, "", table.key_place(key)
        )
        task = choose(cell, {name: name for name in planned}, table.faults, "hours")
        seconds = table.read(key, read_duration)
        if task is not None and seconds is not None:
            rows.append(_task(task, seconds / factors.HOUR_S, planned[task], job))
    return rows


def _task(task: str, hours: float, planned: list[TaskHours], job: WorkedJob) -> Actual:
    row = next(row for row in shipped_tasks() if row.name == task)
    count = sum(one.count for one in planned)
    kind = COUNTED[row.of]
    is_us = job.order.units.value in ("ft-in", "ft", "in")
    units = {AREA: "sq ft" if is_us else "m2", RUN: "ft" if is_us else "m"}
    return Actual(
        product=task,
        used=hours,
        planned=sum(one.hours for one in planned),
        over=count if kind in units else None,
        over_unit=units.get(kind, ""),
        unit="h",
    )

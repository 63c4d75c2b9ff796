"""What is on hand: a ledger of rows that people can edit in a spreadsheet.

A row is *on hand*, *reserved* for a job, *used* by a closed job, or *hours* of a closed job. Reclaimed
broadcast (swept up, dry, clean) is in the state `swept`, or `dirty` where it is only good for patching; all
else is `new` or `opened`. Nothing here reads a file or a clock.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from enum import StrEnum

from ..errors import DataFileError, Fault, Notice, Place
from ..system.model import Measure
from ..values import dataclass, field, replace
from .rules import OnHand

# Less than this of a litre, kilogram, metre or piece is the dust of binary sums.
DUST = 1e-9


class What(StrEnum):
    """What a row says."""

    ON_HAND = "on hand"
    RESERVED = "reserved"
    USED = "used"
    HOURS = "hours"


class State(StrEnum):
    """How far a lot has been touched."""

    NEW = "new"
    OPENED = "opened"
    SWEPT = "swept"
    DIRTY = "dirty"


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """One row of the ledger.

    Attributes:
        what: on hand, reserved, used or hours.
        product: name as systems have it; a task for hours.
        amount: litres, kilograms, metres, pieces or hours.
        measure: of `amount`; None for hours.
        unit: as people write it, for writing the row back.
        per_unit: `amount` of one of that unit.
        planned: what the list had foreseen, in the same; None on rows that are on hand.
        over: area in m² or length in m that it went on, None where it does not apply.
        over_unit: "m2" or "m" as written.
        blend: of colours, "" where it does not matter; different blends do not mix on one floor.
        batch: number on the pack.
        state: new, opened, swept or dirty.
        job: whom it is reserved for or was used by.
        date: as typed.
        note: free text.
    """

    what: What
    product: str
    amount: float
    measure: Measure | None = None
    unit: str = ""
    per_unit: float = 1.0
    planned: float | None = None
    over: float | None = None
    over_unit: str = ""
    blend: str = ""
    batch: str = ""
    state: State = State.NEW
    job: str = ""
    date: str = ""
    note: str = ""
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """The ledger: rows in the order of the file, and the comment lines above them."""

    lots: tuple[Lot, ...] = ()
    comments: tuple[str, ...] = ()

    def free(self, product: str, blend: str = "") -> tuple[Lot, ...]:
        """Rows on hand of a product that fit a blend and no job holds, reclaimed ones first."""
        own = [lot for lot in self.lots if lot.what is What.ON_HAND and lot.product == product]
        rows = [lot for lot in own if fits(lot, blend)]
        return tuple(sorted(rows, key=lambda lot: lot.state is not State.SWEPT))

    def reserved(self, job: str) -> tuple[Lot, ...]:
        """Rows held for a job."""
        return tuple(lot for lot in self.lots if lot.what is What.RESERVED and lot.job == job)

    def blend_of(self, job: str) -> str:
        """The one blend of what is held for a job, "" where it holds none or several."""
        blends = {lot.blend for lot in self.reserved(job)} - {""}
        return blends.pop() if len(blends) == 1 else ""

    def closed(self, job: str) -> bool:
        """True when the job's actual use is in the ledger."""
        return any(lot.what in (What.USED, What.HOURS) and lot.job == job for lot in self.lots)

    def jobs(self) -> tuple[str, ...]:
        """Names of all jobs in the ledger, in its order."""
        return tuple(dict.fromkeys(lot.job for lot in self.lots if lot.job))


def fits(lot: Lot, blend: str) -> bool:
    """True where a lot may go into a floor of that blend: clean, and of that blend or of none."""
    return lot.state is not State.DIRTY and lot.blend.casefold() in ("", blend.casefold())


def usable(stock: Stock, job: str = "", blend: str = "") -> dict[str, OnHand]:
    """What a job may take: what is free and fits its blend, and what is already held for it, by product."""
    found: dict[str, OnHand] = {}
    for lot in stock.lots:
        free = lot.what is What.ON_HAND and fits(lot, blend)
        if free or (lot.what is What.RESERVED and job and lot.job == job):
            known = found.get(lot.product, OnHand(amount=0.0))
            swept = lot.amount if lot.state is State.SWEPT else 0.0
            found[lot.product] = OnHand(amount=known.amount + lot.amount, reclaimed=known.reclaimed + swept)
    return found


def other_blends(stock: Stock, blend: str) -> tuple[Notice, ...]:
    """What is on hand in blends that the job was not said to have."""
    found: dict[tuple[str, str], list[Lot]] = {}
    for lot in stock.lots:
        if lot.what is What.ON_HAND and lot.blend and not fits(lot, blend) and lot.state is not State.DIRTY:
            found.setdefault((lot.product, lot.blend), []).append(lot)
    return tuple(
        Notice(
            code="stock-blend",
            text=f"{sum(lot.amount for lot in lots) / lots[0].per_unit:g} {lots[0].unit} in the blend {name} "
            "is on hand and not used: name the job's blend to use it",
            where=product,
        )
        for (product, name), lots in found.items()
    )


def release(stock: Stock, job: str) -> Stock:
    """The job's reserved rows put back on hand."""
    lots = (
        replace(lot, what=What.ON_HAND, job="") if lot.what is What.RESERVED and lot.job == job else lot
        for lot in stock.lots
    )
    return replace(stock, lots=merged(lots))


def reserve(stock: Stock, job: str, wanted: Mapping[str, float], *, date: str = "", blend: str = "") -> Stock:
    """Rows on hand set aside for a job; what it held before is released first, so that twice is once.

    Args:
        stock: the ledger.
        job: whom for.
        wanted: litres, kilograms, metres or pieces by product; what is not on hand is not reserved.
        date: written on the rows.
        blend: of the job; rows of other blends stay.

    Raises:
        DataFileError: the job is closed.
    """
    if stock.closed(job):
        raise _closed(job)
    stock = release(stock, job)
    lots = list(stock.lots)
    for product, amount in wanted.items():
        left = amount
        for lot in stock.free(product, blend):
            if left <= DUST:
                break
            take = min(left, lot.amount)
            left -= take
            at = lots.index(lot)
            held = replace(lot, what=What.RESERVED, amount=take, job=job, date=date or lot.date)
            rest = [replace(lot, amount=lot.amount - take)] if lot.amount - take > DUST else []
            lots[at : at + 1] = [*rest, held]
    return replace(stock, lots=tuple(lots))


@dataclass(frozen=True, slots=True, kw_only=True)
class Actual:
    """What a closed job really took of one product or task.

    Attributes:
        product: name, or a task's name for hours.
        used: litres, kilograms, metres, pieces or hours; of a broadcast what was thrown.
        bagged: kilograms swept up clean and kept.
        bought: what came in for the job beside the reserved stock.
        planned: what the list had foreseen.
        over: area in m² or length in m that it went on.
        over_unit: "m2" or "m".
        measure: None for hours.
        unit: as people write amounts of it.
        per_unit: amount of one of that unit.
        blend: of what was bought and bagged.
    """

    product: str
    used: float
    bagged: float = 0.0
    bought: float = 0.0
    planned: float | None = None
    over: float | None = None
    over_unit: str = ""
    measure: Measure | None = None
    unit: str = ""
    per_unit: float = 1.0
    blend: str = ""


def close(stock: Stock, job: str, actuals: Sequence[Actual], *, date: str = "") -> Stock:
    """The ledger after a job: what was used is written down, what is left goes back on hand.

    Opening + bought - kept = closing, where a broadcast's kept is thrown less bagged.

    Raises:
        DataFileError: the job is closed already, or used more than it had.
    """
    if stock.closed(job):
        raise _closed(job)
    held = stock.reserved(job)
    lots = [lot for lot in stock.lots if not (lot.what is What.RESERVED and lot.job == job)]
    for actual in actuals:
        if actual.measure is not None:
            own = [lot for lot in held if lot.product == actual.product]
            lots += _left(job, actual, own, date)
        lots.append(_used(job, actual, date))
    named = {actual.product for actual in actuals}
    lots += [replace(lot, what=What.ON_HAND, job="") for lot in held if lot.product not in named]
    return replace(stock, lots=merged(lots))


def _closed(job: str) -> DataFileError:
    hint = "take its used and hours rows out of the file to close it again"
    return DataFileError(Fault(code="job-closed", text=f"the job {job} is closed already", hint=hint))


def _used(job: str, actual: Actual, date: str) -> Lot:
    return Lot(
        what=What.USED if actual.measure is not None else What.HOURS,
        product=actual.product,
        amount=actual.used - actual.bagged,
        measure=actual.measure,
        unit=actual.unit,
        per_unit=actual.per_unit,
        planned=actual.planned,
        over=actual.over,
        over_unit=actual.over_unit,
        job=job,
        date=date,
        note=f"thrown {actual.used / actual.per_unit:g} {actual.unit}" if actual.bagged else "",
    )


def _left(job: str, actual: Actual, held: Sequence[Lot], date: str) -> list[Lot]:
    """What goes back: unused reserved lots (new ones are used last), the rest of what was bought, bagged."""
    had = sum(lot.amount for lot in held) + actual.bought
    if actual.used > had + DUST * max(1.0, had):
        text = (
            f"{job}: {actual.used / actual.per_unit:.2f} {actual.unit} of {actual.product} used, but only "
            f"{had / actual.per_unit:.2f} {actual.unit} reserved and bought"
        )
        raise DataFileError(
            Fault(
                code="stock-short", text=text, hint="reserve the job first, or state what was bought for it"
            )
        )
    left = actual.used
    rows = []
    for lot in sorted(held, key=lambda lot: lot.state is not State.SWEPT):
        take = min(left, lot.amount)
        left -= take
        if lot.amount - take > DUST:
            state = lot.state if take <= DUST or lot.state is State.SWEPT else State.OPENED
            rows.append(replace(lot, what=What.ON_HAND, amount=lot.amount - take, job="", state=state))
    fresh = Lot(
        what=What.ON_HAND,
        product=actual.product,
        amount=actual.bought - left,
        measure=actual.measure,
        unit=actual.unit,
        per_unit=actual.per_unit,
        blend=actual.blend,
        date=date,
        note=f"left over from {job}",
    )
    if fresh.amount > DUST:
        rows.append(fresh)
    if actual.bagged > DUST:
        rows.append(replace(fresh, amount=actual.bagged, state=State.SWEPT, note=f"swept up after {job}"))
    return rows


def merged(lots: Iterable[Lot]) -> tuple[Lot, ...]:
    """Rows that differ only in their amount put together; empty ones dropped."""
    found: dict[Lot, float] = {}
    for lot in lots:
        if lot.what in (What.USED, What.HOURS):
            found[lot] = 0.0
            continue
        key = replace(lot, amount=0.0)
        found[key] = found.get(key, 0.0) + lot.amount
    rows = (
        lot if lot.what in (What.USED, What.HOURS) else replace(lot, amount=amount)
        for lot, amount in found.items()
    )
    return tuple(lot for lot in rows if lot.what in (What.USED, What.HOURS) or lot.amount > DUST)


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """A rate of closed jobs beside the planned one: m² or m to a litre, kilogram or hour."""

    name: str
    what: What
    measure: Measure | None
    over_unit: str
    typical: float
    learned: float
    jobs: int


def learned_rates(stock: Stock) -> tuple[Learned, ...]:
    """What the closed jobs really covered, by product and task, in the order of the ledger."""
    groups: dict[tuple[What, str], list[Lot]] = {}
    for lot in stock.lots:
        counts = lot.over and lot.planned and lot.amount > 0
        if lot.what in (What.USED, What.HOURS) and counts:
            groups.setdefault((lot.what, lot.product), []).append(lot)
    rows = []
    for (what, name), lots in groups.items():
        over = sum(lot.over or 0.0 for lot in lots)
        rows.append(
            Learned(
                name=name,
                what=what,
                measure=lots[0].measure,
                over_unit=lots[0].over_unit,
                typical=over / sum(lot.planned or 0.0 for lot in lots),
                learned=over / sum(lot.amount for lot in lots),
                jobs=len({lot.job for lot in lots}),
            )
        )
    return tuple(rows)

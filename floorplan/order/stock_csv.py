"""The stock ledger as CSV text: read with the faults of a plan, written back with nothing lost."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Mapping, Sequence
from enum import StrEnum
from typing import Final, TypeVar

from ..errors import DataFileError, Place
from ..files.cells import Faults
from ..system.model import Measure
from ..units import factors
from ..units.notation import Unreadable
from ..units.reading import read_volume, read_weight
from .stock import Lot, State, Stock, What

COLUMNS: Final = (
    "what",
    "product",
    "amount",
    "unit",
    "planned",
    "over",
    "over_unit",
    "blend",
    "batch",
    "state",
    "job",
    "date",
    "note",
)
HEAD: Final = "# floorplan stock: a row is on hand, reserved (for a job), used or hours (of a closed job)"
_OVER: Final[Mapping[str, float]] = {
    "sq ft": factors.SQFT_M2,
    "m2": 1.0,
    "ft": factors.FOOT_M,
    "m": 1.0,
}
_LENGTHS: Final[Mapping[str, float]] = {"ft": factors.FOOT_M, "m": 1.0}
_DIGITS: Final = 9
E = TypeVar("E", bound=StrEnum)


def read_stock(text: str, file: str) -> Stock:
    """The ledger in a text.

    Raises:
        DataFileError: every fault of the text, with its line.
    """
    faults = Faults()
    comments: list[str] = []
    lots: list[Lot] = []
    columns: Sequence[str] = ()
    for number, line, cells in _records(text):
        if not columns and line.startswith("#"):
            comments.append(line)
            continue
        if not any(cell.strip() for cell in cells):
            continue
        place = Place(file=file, line=number, text=line)
        if not columns:
            columns = _columns(cells, place, faults)
            continue
        lot = _lot(dict(zip(columns, cells, strict=False)), len(cells) - len(columns), place, faults)
        if lot is not None:
            lots.append(lot)
    if not columns and not len(faults):
        hint = f"the first row is {','.join(COLUMNS)}"
        faults.add("stock-empty", "no head row", Place(file=file), hint)
    faults.raise_if_any(DataFileError)
    return Stock(lots=tuple(lots), comments=tuple(comments))


def _records(text: str) -> list[tuple[int, str, list[str]]]:
    """Line number, line and cells of every record; a quoted cell may run over lines, a comment not."""
    lines = text.removeprefix("\ufeff").splitlines()
    first = next((k for k, line in enumerate(lines) if line.strip() and line[0] != "#"), len(lines))
    rows = [(k + 1, lines[k], [lines[k]]) for k in range(first)]
    reader = csv.reader(lines[first:])
    start = first
    try:
        for cells in reader:
            rows.append((start + 1, lines[start], cells))
            start = first + reader.line_num
    except csv.Error:
        rows.append((start + 1, lines[start], ["\0"]))
    return rows


def _columns(cells: Sequence[str], place: Place, faults: Faults) -> list[str]:
    names = [cell.strip().lower() for cell in cells]
    wrong = [name for name in names if name and name not in COLUMNS]
    missing = [name for name in ("what", "product", "amount", "unit") if name not in names]
    if wrong:
        hint = f"known columns: {', '.join(COLUMNS)}"
        faults.add("column-unknown", f"{', '.join(wrong)} is no column of a stock file", place, hint)
    if missing:
        hint = f"the head row is {','.join(COLUMNS)}"
        faults.add("column-missing", f"the head row lacks {', '.join(missing)}", place, hint)
    return names


def _lot(row: Mapping[str, str], more: int, place: Place, faults: Faults) -> Lot | None:
    before = len(faults)
    if more > 0:
        hint = "put marks around a text with a comma in it"
        faults.add("stock-cells", f"{more} more cells than columns", place, hint)
    cells = {name: _unguarded(cell.strip()) for name, cell in row.items()}
    what = _one_of(cells.get("what", ""), What, "what", place, faults)
    state = _one_of(cells.get("state", "") or "new", State, "state", place, faults)
    product = cells.get("product", "")
    if not product:
        faults.add("stock-product", "the row names no product", place)
    measure, per_unit = _unit(cells.get("unit", ""), what, place, faults)
    amount = _number(cells.get("amount", ""), "amount", place, faults, needed=True)
    planned = _number(cells.get("planned", ""), "planned", place, faults)
    over = _number(cells.get("over", ""), "over", place, faults)
    over_unit = cells.get("over_unit", "")
    if over is not None and over_unit not in _OVER:
        faults.add("stock-over", f"over_unit {over_unit or 'is empty'}", place, f"one of {', '.join(_OVER)}")
    if what is What.RESERVED and not cells.get("job"):
        faults.add("stock-job", "a reserved row names no job", place)
    if len(faults) > before or what is None or state is None or amount is None:
        return None
    return Lot(
        what=what,
        product=product,
        amount=amount * per_unit,
        measure=measure,
        unit=cells.get("unit", ""),
        per_unit=per_unit,
        planned=None if planned is None else planned * per_unit,
        over=None if over is None else over * _OVER[over_unit],
        over_unit="" if over is None else over_unit,
        blend=cells.get("blend", ""),
        batch=cells.get("batch", ""),
        state=state,
        job=cells.get("job", ""),
        date=cells.get("date", ""),
        note=cells.get("note", ""),
        place=place,
    )


def _one_of(text: str, kinds: type[E], what: str, place: Place, faults: Faults) -> E | None:
    for kind in kinds:
        if kind.value == text.lower():
            return kind
    known = ", ".join(kind.value for kind in kinds)
    faults.add("value-unknown", f"{what}: {text or 'nothing'} is not known", place, f"known: {known}")
    return None


def _unit(text: str, what: What | None, place: Place, faults: Faults) -> tuple[Measure | None, float]:
    if what is What.HOURS:
        return None, 1.0
    if not text:
        return Measure.PIECE, 1.0
    if text in _LENGTHS:
        return Measure.LENGTH, _LENGTHS[text]
    readers: tuple[tuple[Measure, Callable[[str], float]], ...] = (
        (Measure.VOLUME, read_volume),
        (Measure.WEIGHT, read_weight),
    )
    for measure, reader in readers:
        try:
            return measure, reader(f"1 {text}")
        except Unreadable:
            continue
    faults.add("unit", f"unit: {text} is no volume, weight or length", place, "write gal, lb, L, kg, ft or m")
    return None, 1.0


def _number(text: str, what: str, place: Place, faults: Faults, *, needed: bool = False) -> float | None:
    if not text and not needed:
        return None
    try:
        number = float(text)
    except ValueError:
        number = float("nan")
    if not 0 <= number < 1e9:
        faults.add("stock-number", f"{what}: {text or 'nothing'} is no number of zero or more", place)
        return None
    return number


def write_stock(stock: Stock) -> str:
    r"""The ledger as CSV with `\n` line ends; reading it gives the same ledger."""
    out = io.StringIO(newline="")
    for line in stock.comments or (HEAD,):
        out.write(f"{line}\n")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for lot in stock.lots:
        writer.writerow(_row(lot))
    return out.getvalue()


def _row(lot: Lot) -> list[str]:
    def plain(value: float | None, per: float) -> str:
        return "" if value is None else f"{round(value / per, _DIGITS):.10g}"

    over = _OVER.get(lot.over_unit, 1.0)
    texts = (lot.blend, lot.batch, lot.state.value, lot.job, lot.date, lot.note)
    return [
        lot.what.value,
        _guarded(lot.product),
        plain(lot.amount, lot.per_unit),
        lot.unit,
        plain(lot.planned, lot.per_unit),
        plain(lot.over, over),
        lot.over_unit,
        *(_guarded(text) for text in texts),
    ]


def _guarded(text: str) -> str:
    """A text that no spreadsheet runs as a formula."""
    return f"'{text}" if text[:1] in tuple("=+-@\t\r'") else text


def _unguarded(text: str) -> str:
    return text[1:] if text[:1] == "'" and text[1:2] in tuple("=+-@\t\r'") else text

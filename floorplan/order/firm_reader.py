"""Firm and price files read: one form for both, so that a firm's figures and a job's prices look alike."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any, Final

from ..errors import DataFileError
from ..files.cells import Cell, Faults
from ..files.table import Table, choose
from ..files.text import read_text
from ..files.toml import read_toml
from ..plan.model import JointKind
from ..units.length import UnitStyle
from ..units.money import read_money
from ..units.reading import (
    Unreadable,
    read_area,
    read_count,
    read_duration,
    read_length,
    read_percent,
    read_volume,
    read_weight,
)
from .firm import Figure, Firm, Option, Per, TaxOn
from .rules import PackChoice
from .task_rates import read_task_rate

_Reader = Callable[[str], "Decimal | float | str | bool"]


def _days(text: str) -> float:
    return read_duration(text) / 86400 if not text.strip().isdecimal() else read_count(text)


def _choice(values: type[PackChoice] | type[TaxOn]) -> _Reader:
    known = [str(value) for value in values]

    def read(text: str) -> str:
        if text.strip().lower() in known:
            return text.strip().lower()
        raise Unreadable(
            "value-unknown", f"{text.strip()} is not known", f"known: {', '.join(known)}", end=len(text)
        )

    return read


def _yes(text: str) -> bool:
    if text.strip().lower() in ("yes", "no"):
        return text.strip().lower() == "yes"
    raise Unreadable(
        "value-unknown", f"{text.strip()} is neither yes nor no", 'write "yes" or "no"', end=len(text)
    )


def _whole(text: str) -> float:
    if text.strip().isdecimal():
        return read_count(text)
    raise Unreadable("value-whole", f"{text.strip()} is no whole number", end=len(text))


# Tables with fixed keys: how each value is read.
_FIXED: Final[Mapping[str, Mapping[str, _Reader]]] = {
    "labour": {"rate": read_money, "contingency": read_percent},
    "overhead": {"share": read_percent, "per_hour": read_money},
    "price": {
        "margin": read_percent,
        "markup": read_percent,
        "minimum": read_money,
        "round_up": read_money,
        "tax": read_percent,
        "tax_on": _choice(TaxOn),
        "deposit": read_percent,
        "validity": _days,
    },
    "order": {
        "packs": _choice(PackChoice),
        "split_kits": _yes,
        "waste": read_percent,
        "crew": _whole,
        "spare_kits": _whole,
    },
}


def load_firm(path: str | Path) -> Firm:
    """The figures of a firm or price file.

    Raises:
        DataFileError: the file cannot be read, or has faults.
    """
    return read_firm(read_text(path, error=DataFileError), str(path))


def read_firm(text: str, file: str) -> Firm:
    """The figures of a firm or price text.

    Raises:
        DataFileError: every fault of the text.
    """
    faults = Faults()
    root = read_toml(text, file, error=DataFileError).table(faults)
    figures: dict[tuple[str, ...], Figure] = {}
    currency = root.text("currency", "")
    if currency:
        figures["currency",] = Figure(value=currency, source=file)
    for name, readers in _FIXED.items():
        figures.update(_fixed(root.table(name), name, readers, file))
    figures.update(_prices(root.table("material"), "material", file))
    figures.update(_prices(root.table("sundry"), "sundry", file))
    figures.update(_open(root.table("tasks"), "tasks", read_task_rate, file))
    figures.update(_stock(root.table("stock"), file))
    equipment = _equipment(root.table("equipment"), figures, file)
    name, address = _firm(root.table("firm"))
    quote = root.table("quote")
    exclusions, terms = (_lines(quote, "exclusions"), _lines(quote, "terms")) if quote else ((), ())
    if quote:
        quote.finish()
    options = tuple(_option(table) for table in root.tables("option"))
    usual = _usual(root, name, address)
    _check(root, figures, options)
    root.finish()
    faults.raise_if_any(DataFileError)
    return Firm(
        figures=figures,
        equipment=equipment,
        options=options,
        exclusions=exclusions,
        terms=terms,
        name=name,
        address=address,
        files=(file,),
        usual=usual,
    )


def _usual(root: Table, name: str, address: tuple[str, ...]) -> dict[str, dict[str, Any]]:
    """What a plan takes where it says nothing; every length with its unit, since plans differ in theirs."""
    found: dict[str, dict[str, Any]] = {}
    grinder, rules = root.table("grinder"), root.table("rules")
    if grinder is not None:
        cells = {key: grinder.cell(key) for key in ("head", "overall", "gap", "overhang", "band")}
        read = {k: c.text for k, c in cells.items() if c and c.read(_with_unit, root.faults, k) is not None}
        found["grinder"] = dict(read)
        grinder.finish()
    if rules is not None:
        cell = rules.cell("ignore_below")
        if cell and cell.read(read_area, root.faults, "ignore_below") is not None:
            found["rules"] = {"ignore_below": cell.text}
        rules.finish()
    sheet: dict[str, Any] = {"firm": name} if name else {}
    sheet |= {"address": list(address)} if address else {}
    return found | ({"sheet": sheet} if sheet else {})


def _with_unit(text: str) -> float:
    """A length that reads the same whatever the units of the plan."""
    length = read_length(text, UnitStyle.MM).m
    if read_length(text, UnitStyle.IN).m != length:
        hint = f"write {text.strip()} in or {text.strip()} mm"
        raise Unreadable("length-no-unit", f"the length {text.strip()} has no unit", hint, end=len(text))
    if length < 0:
        raise Unreadable("length-range", f"the length {text.strip()} is below zero", end=len(text))
    return length


def _figure(cell: Cell, reader: _Reader, faults: Faults, what: str, file: str) -> Figure | None:
    value = cell.read(reader, faults, what)
    return None if value is None else Figure(value=value, source=file, text=cell.text)


def _fixed(
    table: Table | None, name: str, readers: Mapping[str, _Reader], file: str
) -> dict[tuple[str, ...], Figure]:
    found: dict[tuple[str, ...], Figure] = {}
    if table is None:
        return found
    for key, reader in readers.items():
        cell = table.cell(key)
        figure = _figure(cell, reader, table.faults, f"{name} {key}", file) if cell else None
        if figure is not None:
            found[name, key] = figure
    table.finish()
    return found


def _open(table: Table | None, name: str, reader: _Reader, file: str) -> dict[tuple[str, ...], Figure]:
    found: dict[tuple[str, ...], Figure] = {}
    for key in table.keys if table else ():
        cell = table.cell(key) if table else None
        figure = _figure(cell, reader, table.faults, f"{name} {key}", file) if cell and table else None
        if figure is not None:
            found[name, key] = figure
    return found


def _prices(table: Table | None, name: str, file: str) -> dict[tuple[str, ...], Figure]:
    """A price of the usual pack, or a table of prices by pack size."""
    found: dict[tuple[str, ...], Figure] = {}
    if table is None:
        return found
    for key in table.keys:
        if table.holds_table(key):
            below = table.table(key)
            rows = _open(below, key, _price, file) if below else {}
            found.update({(name, key, path[1]): figure for path, figure in rows.items()})
            continue
        cell = table.cell(key)
        figure = _figure(cell, _price, table.faults, f"{name} {key}", file) if cell else None
        if figure is not None:
            found[name, key] = figure
    return found


def _price(text: str) -> Decimal:
    amount = read_money(text)
    if amount < 0:
        raise Unreadable("price-range", f"the price {text.strip()} is below zero", end=len(text))
    return amount


def _stock(table: Table | None, file: str) -> dict[tuple[str, ...], Figure]:
    """What stock taken for a job is charged at, by the litre or kilogram: `flake = "1.44 per lb"`."""
    return _open(table, "stock", _stock_value, file)


def _stock_value(text: str) -> Decimal:
    amount, per, unit = text.replace("/", " per ").partition(" per ")
    if not per:
        raise Unreadable(
            "stock-value", f"cannot read the value {text.strip()}", "write it like 1.44 per lb", end=len(text)
        )
    for reader in (read_weight, read_volume):
        try:
            size = reader(f"1 {unit.strip()}")
        except Unreadable:
            continue
        return _price(amount) / Decimal(repr(size))
    raise Unreadable(
        "unit", f"{unit.strip()} is no weight or volume", "write it like 1.44 per lb", end=len(text)
    )


def _equipment(
    table: Table | None, figures: dict[tuple[str, ...], Figure], file: str
) -> tuple[tuple[str, Per], ...]:
    """`"grinder hire" = { price = 120, per = "day" }`, or a price alone, by the job."""
    if table is None:
        return ()
    rows = []
    for key in table.keys:
        below = table.table(key) if table.holds_table(key) else None
        cell = (below.cell("price", required=True) if below else None) or (None if below else table.cell(key))
        per = below.choice("per", Per, Per.JOB) if below else Per.JOB
        if below:
            below.finish()
        figure = _figure(cell, _price, table.faults, f"equipment {key}", file) if cell else None
        if figure is not None:
            figures["equipment", key] = figure
            rows.append((key, per or Per.JOB))
    return tuple(rows)


def _firm(table: Table | None) -> tuple[str, tuple[str, ...]]:
    if table is None:
        return "", ()
    name, address = table.text("name", ""), _lines(table, "address")
    table.finish()
    return name, address


def _lines(table: Table, key: str) -> tuple[str, ...]:
    return tuple(cell.text.strip() for cell in table.texts(key))


def _option(table: Table) -> Option:
    faces = table.table("faces")
    heights = []
    for kind in faces.keys if faces else ():
        length = faces.length(kind, UnitStyle.FT_IN, above_zero=True) if faces else None
        if length is not None:
            heights.append((kind, length.m))
    kinds = {str(kind): str(kind) for kind in JointKind}

    def joints(key: str) -> tuple[str, ...]:
        found = [choose(cell, kinds, table.faults, key) for cell in table.texts(key)]
        return tuple(kind for kind in found if kind is not None)

    name = table.text("name", "", required=True)
    option = Option(
        name=name,
        title=table.text("title", name),
        says=_lines(table, "says"),
        system=table.text("system", ""),
        faces=tuple(heights),
        seal=joints("seal"),
        fill=joints("fill"),
        extra_coat=table.text("extra_coat", ""),
        spare_kits=table.count("spare_kits", 0, high=20) or 0,
        base=table.text("base", ""),
    )
    table.finish()
    return option


def _check(root: Table, figures: Mapping[tuple[str, ...], Figure], options: tuple[Option, ...]) -> None:
    margin = figures.get(("price", "margin"))
    if margin is not None and not 0 <= float(margin.value) < 1:
        root.fault("margin-range", f"a margin of {margin.text}; 0 % to under 100 % is wanted", "price")
    if margin is not None and ("price", "markup") in figures:
        hint = "a margin of 20 % is a markup of 25 %; keep one"
        root.fault("margin-twice", "both margin and markup are given", "price", hint)
    names: list[str] = []
    for option in options:
        if option.base and option.base not in names:
            text = f"option {option.name} builds on {option.base}, which does not stand before it"
            root.fault("option-base", text, "option", f"before it: {', '.join(names) or 'none'}")
        names.append(option.name)

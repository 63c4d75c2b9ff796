"""Typed reading of a TOML table: each accessor gives a value or notes a fault and gives the default.

A reader asks for every key that it knows and calls `finish`, which reports the keys that nobody asked
for, with the nearest known one offered. Numbers typed without marks are read as typed: `width = 5` is
`width = "5"`.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Mapping
from enum import Enum
from types import MappingProxyType
from typing import Any, Final, TypeVar, overload

from ..errors import Place
from ..units import reading
from ..units.length import Length, UnitStyle
from .cells import Cell, Faults, block_lines
from .places import Mark, Source

T = TypeVar("T")
E = TypeVar("E", bound=Enum)

_NAMES: Final = (
    (bool, "true or false"),
    ((int, float), "a number"),
    (str, "text"),
    (list, "a list"),
    (dict, "a table"),
    ((datetime.date, datetime.time), "a date"),
)


NOWHERE: Final[Mapping[str, str]] = MappingProxyType({})

UNKNOWN_SHOWN: Final = 20
"""So many unknown keys of a table are told one by one."""


def kind_of(value: object) -> str:
    """What a TOML value is, in words."""
    return next((words for types, words in _NAMES if isinstance(value, types)), "a value")


class Table:
    """A table of a document with typed accessors.

    Attributes:
        faults: the collector shared over the file.
        path: name of the table as headers write it, "" for the root.
    """

    __slots__ = ("_asked", "_mark", "_source", "_values", "faults", "path")

    def __init__(
        self, source: Source, values: Mapping[str, Any], mark: Mark | None, faults: Faults, path: str
    ) -> None:
        self._source, self._values, self._mark = source, values, mark
        self._asked: dict[str, None] = {}
        self.faults, self.path = faults, path

    # Places

    @property
    def place(self) -> Place:
        """The table's header, or where an inline table stands; the file alone for the root."""
        if self._mark is None or not self.path:
            return Place(file=self._source.file)
        return self._source.place(self._mark.start, self._mark.end)

    def key_place(self, key: str) -> Place:
        """Where the key stands; the table's place where it does not."""
        entry = (self._mark.keys or {}).get(key) if self._mark else None
        return self._source.place(entry.start, entry.end) if entry else self.place

    def value_place(self, key: str) -> Place:
        """Where the key's value stands; the table's place where there is none."""
        mark = self._value_mark(key)
        return self._source.place(mark.start, mark.end) if mark else self.place

    def _value_mark(self, key: str) -> Mark | None:
        entry = (self._mark.keys or {}).get(key) if self._mark else None
        return entry.value if entry else None

    # Keys

    def __contains__(self, key: str) -> bool:
        """True when the key is given; asking so does not count as reading it."""
        return key in self._values

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys given, in order."""
        return tuple(self._values)

    def holds_table(self, key: str) -> bool:
        """True when the key's value is a table; asking so does not count as reading it."""
        return isinstance(self._values.get(key), dict)

    def name_of(self, key: str) -> str:
        """The key with its table's name, as messages call it."""
        return f"{self.path}.{key}" if self.path else key

    def fault(self, code: str, text: str, key: str = "", hint: str = "") -> None:
        """Note a fault at a key's value, or at the table."""
        self.faults.add(code, text, self.value_place(key) if key else self.place, hint)

    def _take(self, key: str, required: bool, cure: str = "") -> Any:
        self._asked[key] = None
        value = self._values.get(key)
        if value is None and required:
            of = f" in {self.path}" if self.path else ""
            hint = cure or f"add a line {key} = …"
            self.faults.add("key-missing", f"{key} is missing{of}", self.place, hint)
        return value

    def _wrong(self, key: str, value: object, wanted: str, hint: str = "") -> None:
        text = f"{key} is {kind_of(value)}; {wanted} is wanted"
        self.faults.add("value-type", text, self.value_place(key), hint)

    def ignore(self, *keys: str) -> None:
        """Take these keys as known without reading them."""
        self._asked.update(dict.fromkeys(keys))

    def finish(self, also: Iterable[str] = (), elsewhere: Mapping[str, str] = NOWHERE) -> None:
        """Note a fault for each key that was not asked for, with the nearest that was.

        Args:
            also: further known keys, to be offered though no accessor asked for them this time.
            elsewhere: keys of other tables, each with where it belongs, as `in [sheet]`.
        """
        known = sorted({*self._asked, *also})
        unknown = [key for key in self._values if key not in self._asked]
        where = f"[{self.path}]" if self.path else "the top of the file"
        for key in unknown[:UNKNOWN_SHOWN]:
            from difflib import get_close_matches

            near = get_close_matches(key[:60], known, n=1, cutoff=0.6)
            hint = f"did you mean {near[0]}?" if near else f"known here: {', '.join(known)}"
            hint = f"{key} belongs {elsewhere[key]}" if key in elsewhere else hint
            self.faults.add("key-unknown", f"{key[:60]} is not a key of {where}", self.key_place(key), hint)
        if len(unknown) > UNKNOWN_SHOWN:
            more = len(unknown) - UNKNOWN_SHOWN
            place = self.key_place(unknown[UNKNOWN_SHOWN])
            self.faults.add("key-unknown", f"{more} more keys are not keys of {where}", place)

    # Text

    def cell(self, key: str, *, required: bool = False) -> Cell | None:
        """The value as a cell: text, or a number or date as typed."""
        value = self._take(key, required)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, (str, int, float, datetime.date, datetime.time)):
            self._wrong(key, value, "text", f'write {key} = "…"')
            return None
        return self._cell(value, self._value_mark(key))

    @overload
    def text(self, key: str, default: str, *, required: bool = False) -> str: ...
    @overload
    def text(self, key: str, default: None = None, *, required: bool = False) -> str | None: ...
    def text(self, key: str, default: str | None = None, *, required: bool = False) -> str | None:
        """A text; a date is taken as typed, a number is a fault."""
        value = self._take(key, required)
        if isinstance(value, str):
            return value
        if isinstance(value, (datetime.date, datetime.time)):
            return self._cell(value, self._value_mark(key)).text
        if value is not None:
            typed = self._typed(key)
            self._wrong(key, value, "text", f'write {key} = "{typed}"' if len(typed) < 30 else "")
        return default

    def texts(self, key: str, *, required: bool = False) -> tuple[Cell, ...]:
        """A list of texts or numbers, each a cell; one text alone is a list of one."""
        value = self._take(key, required)
        if value is None:
            return ()
        mark = self._value_mark(key)
        if isinstance(value, (str, int, float)) and not isinstance(value, bool):
            return (self._cell(value, mark),)
        if not isinstance(value, list):
            self._wrong(key, value, "a list of texts", f'write {key} = ["…", "…"]')
            return ()
        items = mark.items if mark and mark.items is not None else []
        cells = []
        for index, item in enumerate(value):
            at = items[index] if index < len(items) else mark
            if isinstance(item, (str, int, float)) and not isinstance(item, bool):
                cells.append(self._cell(item, at))
            else:
                place = self._source.place(at.start, at.end) if at else self.place
                self.faults.add(
                    "value-type", f"{key} holds {kind_of(item)}; a list of texts is wanted", place
                )
        return tuple(cells)

    def choice(
        self,
        key: str,
        choices: type[E] | Mapping[str, E],
        default: E | None = None,
        *,
        required: bool = False,
    ) -> E | None:
        """One of an enum's values by its text; the nearest is offered otherwise."""
        cell = self.cell(key, required=required)
        if cell is None:
            return default
        rows = choices if isinstance(choices, Mapping) else {str(one.value): one for one in choices}
        found = choose(cell, rows, self.faults, key)
        return default if found is None else found

    def block(self, key: str, *, required: bool = False) -> tuple[Cell, ...]:
        """Lines of a block, without comments and blank ones; a list of texts does as well."""
        value = self._values.get(key)
        if isinstance(value, list):
            return block_lines(self.texts(key, required=required))
        value = self._take(key, required)
        if value is None:
            return ()
        if not isinstance(value, str):
            self._wrong(key, value, "a block of lines", f'write {key} = """ and the lines, then """')
            return ()
        return block_lines(self._lines(value, self._value_mark(key)))

    def _typed(self, key: str) -> str:
        mark = self._value_mark(key)
        return self._source.text[mark.start : mark.end] if mark else ""

    def _cell(self, value: object, mark: Mark | None) -> Cell:
        """A cell for a scalar; where escapes hide the columns, its parts take the place of the whole."""
        if mark is None:
            return Cell(str(value), self._source.file, 1, 1, "", self.place)
        typed = self._source.text[mark.start : mark.end]
        place = self._source.place(mark.start, mark.end)
        line, column = place.line or 1, place.column or 1
        if not isinstance(value, str):
            return Cell(typed.replace("_", ""), self._source.file, line, column, place.text)
        for marks in ('"""', "'''", '"', "'"):
            if typed == f"{marks}{value}{marks}" and "\n" not in value:
                return Cell(value, self._source.file, line, column + len(marks), place.text)
        return Cell(value, self._source.file, line, column, place.text, place)

    def _lines(self, value: str, mark: Mark | None) -> list[Cell]:
        if mark is None or "\n" not in value:
            return [self._cell(value, mark)]
        typed = self._source.text[mark.start + 3 : mark.end - 3]
        dropped = 1 if typed.startswith("\n") else 0
        if typed[dropped:] != value:
            whole = self._source.place(mark.start, mark.end)
            return [
                Cell(text, self._source.file, whole.line or 1, 1, text, whole) for text in value.split("\n")
            ]
        source, start = self._source, mark.start + 3 + dropped
        first = source.line_of(start)
        cells = []
        for index, text in enumerate(value.split("\n")):
            column = start - source.start_of(first) + 1 if index == 0 else 1
            cells.append(Cell(text, source.file, first + index, column, source.lines[first + index - 1]))
        return cells

    # Numbers

    @overload
    def flag(self, key: str, default: bool) -> bool: ...
    @overload
    def flag(self, key: str, default: None = None) -> bool | None: ...
    def flag(self, key: str, default: bool | None = None) -> bool | None:
        """True or false."""
        value = self._take(key, False)
        if isinstance(value, bool):
            return value
        if value is not None:
            self._wrong(key, value, "true or false", f"write {key} = true or {key} = false, without marks")
        return default

    def count(
        self,
        key: str,
        default: int | None = None,
        *,
        required: bool = False,
        low: int = 0,
        high: int = 1_000_000,
    ) -> int | None:
        """A whole number from `low` to `high`; a text that is one does as well."""
        number = self.number(key, None, required=required, low=low, high=high)
        if number is None:
            return default
        if number != int(number):
            self.fault("value-whole", f"{key} is {number:g}; a whole number is wanted", key)
            return default
        return int(number)

    def number(
        self,
        key: str,
        default: float | None = None,
        *,
        required: bool = False,
        low: float = 0.0,
        high: float = 1e12,
    ) -> float | None:
        """A number without a unit from `low` to `high`; a text that is one does as well."""
        cell = self.cell(key, required=required)
        if cell is None:
            return default
        try:
            number = float(cell.text) if len(cell.text) < 40 else float("nan")
        except ValueError:
            self.fault("value-number", f"{key} is {cell.text[:40]}; a number without a unit is wanted", key)
            return default
        if not low <= number <= high:
            limits = f"{low:g} to {high:g}" if high < 1e6 else f"{low:g} or more"
            self.fault("value-range", f"{key} is {cell.text[:40]}; {limits} is wanted", key)
            return default
        return number

    # With units

    def read(
        self, key: str, reader: Callable[[str], T], default: T | None = None, *, required: bool = False
    ) -> T | None:
        """What a reader of `units.reading` makes of the value."""
        cell = self.cell(key, required=required)
        if cell is None:
            return default
        found = cell.read(reader, self.faults, key)
        return default if found is None else found

    def length(
        self,
        key: str,
        style: UnitStyle,
        default: Length | None = None,
        *,
        required: bool = False,
        above_zero: bool = False,
        signed: bool = False,
    ) -> Length | None:
        """A length; below zero only where `signed`, zero not where `above_zero`."""
        length = self.read(key, lambda text: reading.read_length(text, style), None, required=required)
        if length is None:
            return default
        if (length.m < 0 and not signed) or (length.m <= 0 and above_zero):
            wanted = "more than zero" if above_zero else "zero or more"
            self.fault("length-range", f"{key} is {length.text}; {wanted} is wanted", key)
            return default
        return length

    # Tables

    def table(self, key: str, *, required: bool = False) -> Table | None:
        """The table of that name."""
        value = self._take(key, required)
        if value is None:
            return None
        if not isinstance(value, dict):
            head = self.name_of(key)
            hint = f"write [{head}] once" if isinstance(value, list) else f"write [{head}] and its keys below"
            self._wrong(key, value, "a table", hint)
            return None
        return self._below(key, value, self._value_mark(key))

    def tables(self, key: str, *, required: bool = False) -> tuple[Table, ...]:
        """The tables of an array of tables, in order."""
        value = self._take(key, required, f"add [[{self.name_of(key)}]] and its keys below")
        if value is None:
            return ()
        mark = self._value_mark(key)
        if isinstance(value, dict):
            head = self.name_of(key)
            self._wrong(key, value, "a list of tables", f"write [[{head}]] with two brackets")
            return ()
        if not isinstance(value, list) or not all(isinstance(item, dict) for item in value):
            self._wrong(key, value, "a list of tables", f"write [[{self.name_of(key)}]] and its keys below")
            return ()
        marks = mark.items if mark and mark.items is not None else []
        return tuple(
            self._below(key, item, marks[index] if index < len(marks) else mark)
            for index, item in enumerate(value)
        )

    def named_tables(self, key: str) -> dict[str, Table]:
        """The tables below a key by name, as `[edge_kind.NAME]` gives them."""
        outer = self.table(key)
        if outer is None:
            return {}
        found = {name: outer.table(name) for name in outer.keys}
        return {name: table for name, table in found.items() if table is not None}

    def _below(self, key: str, values: Mapping[str, Any], mark: Mark | None) -> Table:
        return Table(self._source, values, mark, self.faults, self.name_of(key))


def choose(cell: Cell, rows: Mapping[str, T], faults: Faults, what: str) -> T | None:
    """The row that a cell names, upper or lower case; otherwise a fault with the nearest name offered."""
    asked = " ".join(cell.text.lower().split())
    for name, row in rows.items():
        if name.lower() == asked:
            return row
    from difflib import get_close_matches

    near = get_close_matches(asked, [name.lower() for name in rows], n=1, cutoff=0.6)
    known = ", ".join(rows)
    hint = f"did you mean {near[0]}? known: {known}" if near else f"known: {known}"
    cell.fault(faults, "value-unknown", f"{what}: {cell.text[:60] or 'nothing'} is not known", hint)
    return None

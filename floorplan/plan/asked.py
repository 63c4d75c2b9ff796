"""One table of the plan file, read against its declaration."""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import TypeVar

from ..errors import Place
from ..files.cells import Cell
from ..files.table import Table
from ..units.length import Length
from ..units.notation import Unreadable, shown
from ..units.reading import read_angle
from .job import Job
from .keys import Key, Keys

T = TypeVar("T")
E = TypeVar("E", bound=Enum)

LONGEST_NAME = 200
"""Characters that a name may have; more would not fit any sheet."""

LONGEST_LINE = 2_000
"""Characters that a line of a block may have."""

LONGEST_VALUE = 10_000
"""Characters that any other value may have."""


class Asked:
    """Typed access to a table that knows which keys were declared for it.

    Attributes:
        job: takes faults and notices.
        keys: the declaration; asking for any other key is a `KeyError`.
    """

    __slots__ = ("_table", "job", "keys")

    def __init__(self, table: Table, keys: Keys, job: Job) -> None:
        self._table, self.keys, self.job = table, keys, job

    def __contains__(self, name: str) -> bool:
        return self.keys.key(name).name in self._table

    @property
    def place(self) -> Place:
        """The header of the table."""
        return self._table.place

    def place_of(self, name: str) -> Place:
        """Where the value of a key stands."""
        return self._table.value_place(self.keys.key(name).name)

    def fault(self, code: str, text: str, name: str = "", hint: str = "") -> None:
        """Keep a fault at the value of a key, or at the table."""
        self.job.fault(code, text, self.place_of(name) if name else self.place, hint)

    def given(self, names: tuple[str, ...]) -> list[str]:
        """Which of these keys stand in the table."""
        return [name for name in names if name in self]

    def finish(self) -> None:
        """Report keys that were not declared, and those that shut each other out."""
        self._table.ignore(*self.given(self.keys.names()))
        self._table.finish(also=self.keys.names(), elsewhere=self.job.homes)
        _one_of(self)

    def text(self, name: str, default: str = "") -> str:
        """A text of one line; a number does as well."""
        cell = self.cell(name)
        return default if cell is None else self._clean(cell, name)

    def texts(self, name: str) -> tuple[str, ...]:
        """A list of texts; one alone does as well."""
        return tuple(self._clean(cell, name) for cell in self.cells(name))

    def _clean(self, cell: Cell, name: str) -> str:
        text = cell.text.strip()
        if any(not (char.isprintable() or char == " ") for char in text):
            self.job.fault(
                "text-control",
                f"{name} holds a character that cannot be printed: {shown(text)}",
                cell.place,
                "type it anew, on one line",
            )
        elif len(text) > LONGEST_NAME:
            self.job.fault(
                "text-too-long",
                f"{name} is {len(text)} characters long",
                cell.place,
                f"use {LONGEST_NAME} characters at most",
            )
        return text[:LONGEST_NAME]

    def cell(self, name: str) -> Cell | None:
        """The value as a piece of text with its place."""
        cell = self._table.cell(name, required=self.keys.key(name).required)
        return cell if cell is None or self._short(cell, name, LONGEST_VALUE) else None

    def cells(self, name: str) -> tuple[Cell, ...]:
        """A list of pieces of text; one alone does as well."""
        cells = self._table.texts(name, required=self.keys.key(name).required)
        return tuple(cell for cell in cells if self._short(cell, name, LONGEST_VALUE))

    def lines(self, name: str, longest: int = LONGEST_LINE) -> tuple[Cell, ...]:
        """The lines of a block, without comments and empty ones."""
        cells = self._table.block(name, required=self.keys.key(name).required)
        return tuple(cell for cell in cells if self._short(cell, name, longest))

    def _short(self, cell: Cell, name: str, longest: int) -> bool:
        if len(cell.text) <= longest:
            return True
        self.job.fault(
            "text-too-long",
            f"{name}: {len(cell.text)} characters stand on one line",
            cell.part(0, 1),
            f"use {longest} at most",
        )
        return False

    def choice(self, name: str, choices: type[E], default: E | None = None) -> E | None:
        """One word of an enum."""
        return self._table.choice(name, choices, default, required=self.keys.key(name).required)

    def flag(self, name: str, default: bool) -> bool:
        """True or false."""
        return self._table.flag(self.keys.key(name).name, default)

    def count(self, name: str, low: int, high: int) -> int | None:
        """A whole number from `low` to `high`."""
        return self._table.count(name, required=self.keys.key(name).required, low=low, high=high)

    def length(self, name: str) -> Length | None:
        """A length above nothing."""
        cell = self.cell(name)
        return None if cell is None else self.job.positive(cell, name)

    def length_or_nothing(self, name: str) -> Length | None:
        """A length of zero or more."""
        cell = self.cell(name)
        length = None if cell is None else self.job.length(cell, name)
        if length is not None and length.m < 0:
            self.fault("length-negative", f"{name} is below nothing: {length.text}", name, "write 0 or more")
            return None
        return length

    def read(self, name: str, reader: Callable[[str], T]) -> T | None:
        """What a reader of `units.reading` makes of the value."""
        cell = self.cell(name)
        return None if cell is None else self._read(cell, name, reader)

    def reads(self, name: str, reader: Callable[[str], T]) -> tuple[T, ...]:
        """The same for every text of a list; those that cannot be read are left out and told."""
        found = (self._read(cell, name, reader) for cell in self.cells(name))
        return tuple(value for value in found if value is not None)

    def _read(self, cell: Cell, name: str, reader: Callable[[str], T]) -> T | None:
        try:
            return reader(cell.text)
        except Unreadable as problem:
            place = cell.part(problem.start, problem.end)
            self.job.fault(problem.code, f"{name}: {problem.text}", place, problem.hint)
            return None

    def angle(self, name: str) -> float | None:
        """Degrees."""
        return self.read(name, read_angle)

    def table(self, name: str) -> Asked | None:
        """The table below a key."""
        key = self.keys.key(name)
        table = self._table.table(name, required=key.required)
        return None if table is None else Asked(table, _below(key), self.job)

    def tables(self, name: str) -> tuple[Asked, ...]:
        """The tables of `[[name]]`, in order."""
        key = self.keys.key(name)
        tables = self._table.tables(name, required=key.required)
        return tuple(Asked(table, _below(key), self.job) for table in tables)

    def named(self, name: str) -> dict[str, Asked]:
        """The tables `[name.NAME]`, by name."""
        key = self.keys.key(name)
        tables = self._table.named_tables(name)
        return {called: Asked(table, _below(key), self.job) for called, table in tables.items()}

    def pairs(self, name: str) -> tuple[tuple[Cell, str], ...]:
        """A small table of texts: (value with its place, key as typed)."""
        table = self._table.table(self.keys.key(name).name)
        if table is None:
            return ()
        found = [(table.cell(key), key) for key in table.keys]
        return tuple((cell, key) for cell, key in found if cell is not None)

    def file(self, name: str) -> Path | None:
        """A file beside the plan; a path that leaves the plan's folder is a fault."""
        cell = self.cell(name)
        return None if cell is None else _beside(self.job, cell, name)

    def path_beside(self, cell: Cell, name: str) -> Path | None:
        """Likewise, of a value that was read already."""
        return _beside(self.job, cell, name)


def _below(key: Key) -> Keys:
    if key.keys is None:
        raise KeyError(key.name)
    return key.keys


def _one_of(asked: Asked) -> None:
    """Report a table with none or several of the keys of which one must stand."""
    rule, header = asked.keys.one_of, asked.keys.header()
    given = asked.given(rule)
    if rule and not given:
        listed = ", ".join(rule[:-1]) + f" or {rule[-1]}"
        asked.fault("key-missing", f"{header} has none of {listed}", hint=f"give one of {listed}")
    if len(given) > 1:
        both = " and ".join(given)
        asked.fault(
            "keys-exclude", f"{header} has {both}; only one may stand", given[1], f"keep one of {both}"
        )


def _beside(job: Job, cell: Cell, name: str) -> Path | None:
    typed = cell.text.strip()
    reason = _leaves(typed)
    if not reason and job.beside is None:
        reason = "a plan that is not read from a file has no folder"
    if not reason and job.beside is not None:
        path = job.beside / PurePosixPath(typed.replace("\\", "/"))
        reason = _no_file_inside(path, job.beside)
        if not reason:
            return path
    job.fault(
        "path-leaves-folder",
        f"{name}: {shown(typed)} cannot be taken: {reason}",
        cell.place,
        "put the file beside the plan and write its name",
    )
    return None


def _leaves(typed: str) -> str:
    if not typed or any(not char.isprintable() for char in typed):
        return "that is no file name"
    if PurePosixPath(typed).is_absolute() or PureWindowsPath(typed).anchor or typed.startswith("~"):
        return "it starts outside the folder of the plan"
    if ".." in PureWindowsPath(typed).parts:
        return "it climbs out of the folder of the plan"
    return ""


def _no_file_inside(path: Path, folder: Path) -> str:
    """Why a path is no file of the folder; "" for a file, a folder or nothing: reading tells those apart."""
    try:
        inside = path.resolve().is_relative_to(folder.resolve())
    except RuntimeError:  # links that go round in a circle, told only by Python below 3.13
        return ""
    except OSError:
        inside = False
    if not inside:
        return "a link leads out of the folder of the plan"
    try:
        # Opening a pipe would wait for ever.
        return "it is no plain file" if path.exists() and not (path.is_file() or path.is_dir()) else ""
    except OSError:
        return ""

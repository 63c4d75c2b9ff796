"""Cells: pieces of typed text that know their place, and the collector of faults of a file.

A *block* is a text of several lines in a plan, such as the corners of an outline; each line is a cell, and is
split into further cells.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from typing import TypeVar

from ..errors import Fault, FloorplanError, Place
from ..patterns import pattern
from ..units.notation import Unreadable
from ..values import dataclass

T = TypeVar("T")

_WORDS = pattern(r"\S+")
_COMMENT = pattern(r"(?:^|(?<=\s))#")


class Faults:
    """The faults of a file, collected while it is read and raised once."""

    def __init__(self) -> None:
        self._found: list[Fault] = []

    def add(self, code: str, text: str, place: Place | None = None, hint: str = "") -> None:
        """Note a fault."""
        self._found.append(Fault(code=code, text=text, place=place, hint=hint))

    def extend(self, faults: Iterable[Fault]) -> None:
        """Note the faults of another reading."""
        self._found.extend(faults)

    def __len__(self) -> int:
        return len(self._found)

    @property
    def found(self) -> tuple[Fault, ...]:
        """All faults in the order of the file; the same fault is given once."""
        known = dict.fromkeys(self._found)
        return tuple(sorted(known, key=_order))

    def raise_if_any(self, error: type[FloorplanError] = FloorplanError) -> None:
        """Raise all faults found in one error; without faults do nothing."""
        if self._found:
            raise error(self.found)


def _order(fault: Fault) -> tuple[str, int, int]:
    place = fault.place
    if place is None:
        return ("", 0, 0)
    return (place.file, place.line or 0, place.column or 0)


@dataclass(frozen=True, slots=True)
class Cell:
    """A piece of typed text and where it stands.

    Attributes:
        text: as typed.
        file, line, column: of its first character, counted from 1.
        line_text: the whole line.
        fixed: the place of the whole value, where escapes in it hide where its parts stand; None otherwise.
    """

    text: str
    file: str
    line: int
    column: int
    line_text: str
    fixed: Place | None = None

    @property
    def place(self) -> Place:
        """Where it stands."""
        return self.part(0, len(self.text)) if self.fixed is None else self.fixed

    def part(self, start: int, end: int) -> Place:
        """Place of [start, end) of its text."""
        if self.fixed is not None:
            return self.fixed
        return Place(
            file=self.file,
            line=self.line,
            column=self.column + start,
            width=max(1, end - start),
            text=self.line_text,
        )

    def __bool__(self) -> bool:
        return bool(self.text)

    def __str__(self) -> str:
        return self.text

    def slice(self, start: int, end: int) -> Cell:
        """The cell of [start, end) of its text."""
        return Cell(
            self.text[start:end], self.file, self.line, self.column + start, self.line_text, self.fixed
        )

    def strip(self) -> Cell:
        """Without the spaces at both ends."""
        return self._stripped(0, self.text)

    def _stripped(self, start: int, piece: str) -> Cell:
        """The cell of the piece of its text from `start`, without the spaces at both ends."""
        left = piece.lstrip()
        start += len(piece) - len(left)
        return Cell(left.rstrip(), self.file, self.line, self.column + start, self.line_text, self.fixed)

    def split(self, separator: str) -> tuple[Cell, ...]:
        """The stripped cells between separators; as `str.split`, an empty text gives one empty cell."""
        cells, start = [], 0
        for piece in self.text.split(separator):
            cells.append(self._stripped(start, piece))
            start += len(piece) + len(separator)
        return tuple(cells)

    def split_at(self, pattern: re.Pattern[str]) -> tuple[Cell, ...]:
        """The stripped cells between matches of a pattern, such as an arrow or an x with spaces about it."""
        cells, start = [], 0
        for match in pattern.finditer(self.text):
            cells.append(self._stripped(start, self.text[start : match.start()]))
            start = match.end()
        cells.append(self._stripped(start, self.text[start:]))
        return tuple(cells)

    def partition(self, separator: str) -> tuple[Cell, Cell | None]:
        """Stripped cells before and after the first separator; None where it does not stand."""
        before, found, after = self.text.partition(separator)
        rest = self._stripped(len(before) + len(separator), after) if found else None
        return self._stripped(0, before), rest

    def words(self) -> tuple[Cell, ...]:
        """The cells between spaces."""
        return tuple(self.slice(match.start(), match.end()) for match in _WORDS.finditer(self.text))

    def first_word(self) -> tuple[Cell, Cell]:
        """The first word and the stripped rest."""
        match = _WORDS.search(self.text)
        if match is None:
            return self.strip(), self.slice(len(self.text), len(self.text))
        end = match.end()
        return self.slice(match.start(), end), self._stripped(end, self.text[end:])

    def read(self, reader: Callable[[str], T], faults: Faults, what: str = "") -> T | None:
        """What `reader` makes of the text; None, and a fault at the bad part, where it cannot read it.

        Args:
            reader: raises `Unreadable` and nothing else.
            faults: takes the fault.
            what: said before the fault, e.g. "corner C".
        """
        try:
            return reader(self.text)
        except Unreadable as problem:
            text = f"{what}: {problem.text}" if what else problem.text
            faults.add(problem.code, text, self.part(problem.start, problem.end), problem.hint)
            return None

    def fault(self, faults: Faults, code: str, text: str, hint: str = "") -> None:
        """Note a fault about this cell."""
        faults.add(code, text, self.place, hint)


def block_lines(cells: Iterable[Cell]) -> tuple[Cell, ...]:
    """Lines of a block without comments (from a `#` at the start or after a space) and blank lines."""
    kept = []
    for cell in cells:
        if "#" in cell.text:
            comment = _COMMENT.search(cell.text)
            if comment:
                cell = cell.slice(0, comment.start())
        cell = cell.strip()
        if cell.text:
            kept.append(cell)
    return tuple(kept)

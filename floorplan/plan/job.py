"""What a plan's reader carries along: the file, the units, the edge kinds, and the faults found so far."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from ..errors import Fault, Notice, Place, PlanError
from ..files.cells import Cell, Faults
from ..units.length import Length, UnitStyle
from ..units.notation import Unreadable, shown
from ..units.reading import read_length
from ..values import dataclass, field
from .edge_kinds import SHIPPED
from .model import EdgeKind, SheetInfo

MOST_FAULTS = 100
"""So many faults of one file are named, and no more are looked for."""

_MANY = f"{MOST_FAULTS} faults were found; what comes after them was not looked at"


@dataclass(slots=True, kw_only=True)
class Job:
    """One reading of one plan; only the reader sees it.

    Attributes:
        file: the plan as the user named it.
        beside: the folder of the plan; None when it was not read from a folder.
        folders: where systems of the user's own are looked for by name.
        units: how bare numbers are read.
        homes: where a key belongs, of each that few tables have, as `in [sheet]`.
        edge_kinds: shipped rows with the plan's overrides.
        sheet: what the plan says of its sheets.
        faults: takes every fault.
        notices: what the user should know, in the order found.
    """

    file: str
    beside: Path | None
    folders: tuple[Path, ...] = ()
    units: UnitStyle = UnitStyle.FT_IN
    homes: Mapping[str, str] = field(default_factory=dict)
    edge_kinds: Mapping[str, EdgeKind] = field(default_factory=lambda: SHIPPED)
    sheet: SheetInfo = field(default_factory=SheetInfo)
    faults: Faults = field(default_factory=Faults)
    notices: list[Notice] = field(default_factory=list)
    _lengths: dict[str, Length] = field(default_factory=dict)

    def fault(self, code: str, text: str, place: Place | None, hint: str = "") -> None:
        """Keep a fault; where a file is full of them the reading ends."""
        self.faults.add(code, text, place, hint)
        if len(self.faults) >= MOST_FAULTS:
            raise PlanError((*self.faults.found, Fault(code="faults-many", text=_MANY, place=place)))

    def notice(self, code: str, text: str, where: str = "") -> None:
        """Keep a warning."""
        self.notices.append(Notice(code=code, text=text, where=where))

    def read_length(self, text: str) -> Length:
        """A length in the plan's units.

        Raises:
            Unreadable: it cannot be read.
        """
        length = self._lengths.get(text)
        if length is None:
            length = self._lengths[text] = read_length(text, self.units)
        return length

    def lengths_read(self) -> tuple[Length, ...]:
        """Every different length read so far."""
        return tuple(self._lengths.values())

    def length(self, cell: Cell, who: str) -> Length | None:
        """The length that a cell gives; None after a fault that begins with `who`."""
        try:
            return self.read_length(cell.text)
        except Unreadable as problem:
            text = f"{who}: {problem.text}"
            self.fault(problem.code, text, cell.part(problem.start, problem.end), problem.hint)
            return None

    def positive(self, cell: Cell, who: str) -> Length | None:
        """Likewise, of a length that must be more than nothing."""
        length = self.length(cell, who)
        if length is None or length.m > 0:
            return length
        self.fault(
            "length-not-positive",
            f"{who}: the length {shown(cell.text)} is not more than nothing",
            cell.place,
            "write a length above 0",
        )
        return None


def did_you_mean(word: str, words: Iterable[str], otherwise: str = "") -> str:
    """A hint with the nearest of the words a user could have meant, or the first few of them."""
    known = list(words)
    by_folded = {name.casefold(): name for name in reversed(known)}
    from difflib import get_close_matches

    close = get_close_matches(word[:60].casefold(), list(by_folded), n=1, cutoff=0.6)
    if close:
        return f"did you mean {by_folded[close[0]]}?"
    listed = ", ".join(known[:20]) + (" …" if len(known) > 20 else "")
    return otherwise or (f"known are: {listed}" if listed else "")


def counted(number: int, noun: str) -> str:
    """A number with its noun: `no corners`, `1 corner`, `2 corners`."""
    return f"{number or 'no'} {noun}{'' if number == 1 else 's'}"

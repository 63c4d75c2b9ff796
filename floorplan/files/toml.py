"""TOML text to a document whose every key, value and block line has its place.

`tomllib` stays the authority on values; `places` adds where they stand; `mistakes` says in words what is
wrong with a text that is no TOML.
"""

from __future__ import annotations

import tomllib
from typing import Any, Final

from ..errors import Fault, FloorplanError, Place
from ..values import dataclass
from .cells import Faults
from .mistakes import Refusal, explain
from .places import Mark, Source, scan
from .table import Table

MISTAKES_SHOWN: Final = 12
"""So many mistakes of writing are looked for in one text."""


@dataclass(frozen=True, slots=True)
class Document:
    """A text that was read: its values and where they stand.

    Attributes:
        source: the text and the file's name.
        values: as `tomllib` gives them.
        marks: the root table's mark.
    """

    source: Source
    values: dict[str, Any]
    marks: Mark

    def table(self, faults: Faults) -> Table:
        """The root table, for typed reading; what is wrong is added to `faults`."""
        return Table(self.source, self.values, self.marks, faults, "")


def read_toml(text: str, file: str, *, error: type[FloorplanError] = FloorplanError) -> Document:
    """The document of a TOML text.

    Args:
        text: of the file; a byte-order mark and either line end are accepted.
        file: name for faults; "-" is standard input.
        error: which child of `FloorplanError` to raise.

    Raises:
        FloorplanError: with every mistake of writing that can be told apart.
    """
    source = Source(text.removeprefix("\ufeff").replace("\r\n", "\n"), file)
    values = _loads(source.text)
    if isinstance(values, Refusal):
        raise error(_mistakes(source, values))
    try:
        marks = scan(source.text)
    except RecursionError as problem:
        raise error(_too_deep(source)) from problem
    return Document(source, values, marks)


def _loads(text: str) -> dict[str, Any] | Refusal:
    """The values, or why there are none."""
    try:
        return tomllib.loads(text)
    except RecursionError:
        return Refusal("too deep", None, None)
    except ValueError as problem:
        return Refusal.of(problem)


def _too_deep(source: Source) -> Fault:
    return Fault(
        code="toml-too-deep",
        text="brackets stand inside one another too deeply to be read",
        place=Place(file=source.file),
        hint="check for a bracket [ that was never closed",
    )


def _mistakes(source: Source, refusal: Refusal) -> list[Fault]:
    """The mistake that stopped the reading, and those found when its line is left out."""
    if refusal.words == "too deep":
        return [_too_deep(source)]
    faults: list[Fault] = []
    text, last = source.text, 0
    while True:
        fault, alone = explain(Source(text, source.file), refusal)
        line = fault.place.line if fault.place and fault.place.line else 0
        if line <= last:
            break
        faults.append(fault)
        last = line
        if not alone or len(faults) >= MISTAKES_SHOWN:
            break
        text = _without_line(text, line)
        again = _loads(text)
        if not isinstance(again, Refusal) or again.words == "too deep":
            break
        refusal = again
    return faults


def _without_line(text: str, line: int) -> str:
    lines = text.split("\n")
    lines[line - 1] = ""
    return "\n".join(lines)

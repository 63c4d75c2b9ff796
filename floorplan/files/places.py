"""Where things stand in a TOML text: a scan for places only.

`tomllib` says what the values are; this says where they are. The text has already been accepted by `tomllib`,
so the scan may be short: it only has to find the bounds of keys, strings, arrays and tables. A *mark* is a
stretch of the text by its offsets; marks nest as the values do.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from functools import cached_property
from typing import Final

from ..errors import Place
from ..values import dataclass, field

_BLANK: Final = re.compile(r"(?:[ \t\r\n]++|#[^\n]*+)*+")
_SPACE: Final = re.compile(r"[ \t]*+")
_KEY: Final = re.compile(r"""[A-Za-z0-9_-]++|"(?:[^"\\\n]|\\.)*+"|'[^'\n]*+'""")
_STRINGS: Final = {
    '"""': re.compile(r'"""(?:[^"\\]++|\\.|"(?!""))*+"{3,5}', re.DOTALL),
    "'''": re.compile(r"'''(?:[^']++|'(?!''))*+'{3,5}", re.DOTALL),
    '"': re.compile(r'"(?:[^"\\\n]++|\\.)*+"'),
    "'": re.compile(r"'[^'\n]*+'"),
}
_BARE: Final = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2} [0-9][^\s,\]}#]*|[^\s,\]}#]+")


@dataclass(slots=True)
class Mark:
    """Where a value stands: [start, end) in the text; for a table by header, its header line's brackets.

    Attributes:
        keys: for a table, its entries by name.
        items: for an array, its items in order.
    """

    start: int
    end: int
    keys: dict[str, Entry] | None = None
    items: list[Mark] | None = None


@dataclass(frozen=True, slots=True)
class Entry:
    """A key of a table: where the key stands, and its value."""

    start: int
    end: int
    value: Mark


@dataclass(frozen=True)
class Source:
    """A text with its file's name, that turns offsets into places.

    Attributes:
        text: with plain line ends.
        file: as the user gave it.
    """

    text: str
    file: str
    _starts: list[int] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        starts = [0, *(match.end() for match in re.finditer("\n", self.text))]
        object.__setattr__(self, "_starts", starts)

    @cached_property
    def lines(self) -> list[str]:
        """The lines without their ends."""
        return self.text.split("\n")

    def line_of(self, offset: int) -> int:
        """Line of an offset, counted from 1."""
        return bisect_right(self._starts, offset)

    def start_of(self, line: int) -> int:
        """Offset of the first character of a line."""
        return self._starts[line - 1]

    def place(self, start: int, end: int) -> Place:
        """Place of [start, end); what runs over several lines is marked on its first."""
        line = self.line_of(start)
        begin = self._starts[line - 1]
        text = self.lines[line - 1]
        width = min(end, begin + len(text)) - start
        return Place(file=self.file, line=line, column=start - begin + 1, width=max(1, width), text=text)


def scan(text: str) -> Mark:
    """The root table's mark of a text that is known to be good TOML."""
    return _Scan(text).document()


class _Scan:
    def __init__(self, text: str) -> None:
        self.text, self.pos = text, 0

    def document(self) -> Mark:
        """Headers and statements, one after the other."""
        root = Mark(0, 0, keys={})
        current = root
        self.skip()
        while self.pos < len(self.text):
            if self.text[self.pos] == "[":
                current = self.header(root)
            else:
                self.statement(current)
            self.skip()
        return root

    def skip(self) -> None:
        match = _BLANK.match(self.text, self.pos)
        self.pos = match.end() if match else self.pos

    def space(self) -> None:
        match = _SPACE.match(self.text, self.pos)
        self.pos = match.end() if match else self.pos

    def header(self, root: Mark) -> Mark:
        """`[a.b]` or `[[a.b]]`: the table that the statements below belong to."""
        start = self.pos
        many = self.text.startswith("[[", start)
        self.pos += 2 if many else 1
        path = self.dotted()
        self.pos += 2 if many else 1
        table = root
        for name, at, end in path[:-1]:
            table = self.below(table, name, at, end)
        name, at, end = path[-1]
        fresh = Mark(start, self.pos, keys={})
        entries = table.keys if table.keys is not None else {}
        known = entries.get(name)
        if many and known is not None and known.value.items is not None:
            known.value.items.append(fresh)
        elif many:
            entries[name] = Entry(at, end, Mark(start, self.pos, items=[fresh]))
        elif known is not None and known.value.keys is not None:
            fresh.keys = known.value.keys
            entries[name] = Entry(at, end, fresh)
        else:
            entries[name] = Entry(at, end, fresh)
        return fresh

    def below(self, table: Mark, name: str, at: int, end: int) -> Mark:
        """The table of that name in a table, made where missing; of an array of tables its last."""
        entries = table.keys if table.keys is not None else {}
        if name not in entries:
            entries[name] = Entry(at, end, Mark(at, end, keys={}))
        value = entries[name].value
        return value.items[-1] if value.items else value

    def dotted(self) -> list[tuple[str, int, int]]:
        """A key with its parts, each with its bounds."""
        parts = []
        while True:
            self.space()
            match = _KEY.match(self.text, self.pos)
            if match is None:
                raise ValueError(f"no key at offset {self.pos}")
            parts.append((_name(match[0]), match.start(), match.end()))
            self.pos = match.end()
            self.space()
            if not self.text.startswith(".", self.pos):
                return parts
            self.pos += 1

    def statement(self, table: Mark) -> None:
        """`key = value`."""
        path = self.dotted()
        self.pos += 1  # the equals sign
        self.space()
        for name, at, end in path[:-1]:
            table = self.below(table, name, at, end)
        name, at, end = path[-1]
        value = self.value()
        if table.keys is not None:
            table.keys[name] = Entry(at, end, value)

    def value(self) -> Mark:
        """Any value."""
        first = self.text[self.pos : self.pos + 1]
        if first == "[":
            return self.array()
        if first == "{":
            return self.inline()
        if first in ("'", '"'):
            triple = self.text[self.pos : self.pos + 3]
            pattern = _STRINGS[triple if triple in _STRINGS else first]
        else:
            pattern = _BARE
        match = pattern.match(self.text, self.pos)
        if match is None:
            raise ValueError(f"no value at offset {self.pos}")
        self.pos = match.end()
        return Mark(match.start(), match.end())

    def array(self) -> Mark:
        """`[a, b]`, over any number of lines."""
        mark = Mark(self.pos, self.pos, items=[])
        items: list[Mark] = []
        self.pos += 1
        self.skip()
        while not self.text.startswith("]", self.pos):
            items.append(self.value())
            self.skip()
            if self.text.startswith(",", self.pos):
                self.pos += 1
                self.skip()
        self.pos += 1
        mark.end, mark.items = self.pos, items
        return mark

    def inline(self) -> Mark:
        """`{a = 1, b = 2}`."""
        mark = Mark(self.pos, self.pos, keys={})
        self.pos += 1
        self.skip()
        while not self.text.startswith("}", self.pos):
            self.statement(mark)
            self.skip()
            if self.text.startswith(",", self.pos):
                self.pos += 1
                self.skip()
        self.pos += 1
        mark.end = self.pos
        return mark


def _name(typed: str) -> str:
    """The name that a key's part stands for."""
    if typed.startswith("'"):
        return typed[1:-1]
    if typed.startswith('"'):
        return next(iter(tomllib.loads(f"{typed}=0"))) if "\\" in typed else typed[1:-1]
    return typed

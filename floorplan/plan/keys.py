"""How the keys of the plan file are declared: once, for the reader, the JSON Schema and the reference.

A *key* says what it holds, what it is for and what stands when it is left out. A *keys table* (`Keys`) is
the keys of one table of the file, and which of them shut each other out. Each table's module declares its
own; the reader refuses to ask for a key that was not declared, so that nothing can be read unannounced.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from enum import StrEnum

from ..values import dataclass


class Holds(StrEnum):
    """What a key holds, in the words of the reference."""

    TEXT = "text"
    TEXTS = "list of texts"
    CHOICE = "one of the words"
    LENGTH = "length"
    LENGTHS = "two lengths, `A x B`"
    ANGLE = "angle"
    AREA = "area"
    COUNT = "whole number"
    FLAG = "true or false"
    BLOCK = "lines"
    SPOT = "point or corner"
    SPOTS = "points or corners"
    SIDES = "list of sides"
    KIND = "edge kind"
    TABLE = "table"
    TABLES = "tables"
    NAMED = "tables by name"
    PAIRS = "table of texts"


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a table.

    Attributes:
        name: as typed.
        holds: what may stand there.
        doc: one sentence without a full stop, for the schema and the reference.
        default: what stands when it is left out, in words, "" for nothing.
        example: as typed in TOML, "" where `holds` says enough.
        required: True when the table cannot be read without it.
        choices: the words of a CHOICE.
        keys: the keys of a TABLE, TABLES or NAMED.
        or_text: True when a LENGTH may also be a word from a list kept elsewhere.
        suggest: gives words that an editor may offer where others are allowed too.
    """

    name: str
    holds: Holds
    doc: str
    default: str = ""
    example: str = ""
    required: bool = False
    choices: tuple[str, ...] = ()
    keys: Keys | None = None
    or_text: bool = False
    suggest: Callable[[], tuple[str, ...]] | None = None


@dataclass(frozen=True, slots=True)
class Keys:
    """The keys of one table.

    Attributes:
        name: as the header is typed, "" for the top of the file.
        doc: what the table is for.
        keys: in the order of the reference.
        one_of: exactly one of these keys stands in the table; empty for no such rule.
        many: True when the table may stand more than once.
    """

    name: str
    doc: str
    keys: tuple[Key, ...]
    one_of: tuple[str, ...] = ()
    many: bool = False

    def names(self) -> tuple[str, ...]:
        """Every key that may be typed here."""
        return tuple(key.name for key in self.keys)

    def header(self) -> str:
        """How the table is opened in the file: `[grinder]`, `[[slab]]`; "" for the top of the file."""
        return f"[[{self.name}]]" if self.many else f"[{self.name}]" if self.name else ""

    def key(self, name: str) -> Key:
        """The declaration of a key.

        Raises:
            KeyError: it was not declared, which is a mistake of the reader's author.
        """
        for key in self.keys:
            if key.name == name:
                return key
        raise KeyError(name)

    def walk(self) -> Iterator[Keys]:
        """This table and all below it, in the order of the file."""
        yield self
        for key in self.keys:
            if key.keys is not None:
                yield from key.keys.walk()

    def homes(self) -> dict[str, str]:
        """Where each key of this table and those below belongs, of keys that at most two of them have."""
        found: dict[str, list[str]] = {}
        for table in self.walk():
            for name in table.names():
                where = f"in {table.header()}" if table.name else "at the top of the file"
                found.setdefault(name, []).append(where)
        return {name: " or ".join(headers) for name, headers in found.items() if len(headers) <= 2}

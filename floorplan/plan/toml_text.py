"""Pieces of TOML text: quoted values, blocks of lines, tables of keys."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal

from ..patterns import pattern
from ..units.length import Length

_BARE_KEY = pattern(r"[A-Za-z0-9_-]+")
_ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r"}


def quoted(text: str) -> str:
    """A text as a TOML value, in the marks that need the fewest escapes."""
    if "'" not in text and text.isprintable() and ('"' in text or "\\" in text):
        return f"'{text}'"
    return '"' + "".join(_escaped(char) for char in text) + '"'


def _escaped(char: str) -> str:
    if char in _ESCAPES:
        return _ESCAPES[char]
    return char if char.isprintable() else f"\\U{ord(char):08x}"


def key(name: str) -> str:
    """A key or a part of a header, in quotes where it needs them."""
    return name if _BARE_KEY.fullmatch(name) else quoted(name)


def block(lines: Iterable[str]) -> str:
    """Lines between three quotes, so that foot and inch marks stand as typed."""
    text = "\n".join(lines)
    if "\\" in text or '"""' in text:
        return "\n".join(("'''", text, "'''"))
    return "\n".join(('"""', text, '"""'))


def listed(texts: Sequence[str]) -> str:
    """A list of texts, as a block where inch marks would need escapes."""
    if any('"' in text for text in texts):
        return block(texts)
    return "[" + ", ".join(quoted(text) for text in texts) + "]"


def number(value: float) -> str:
    """A number in plain digits that reads back the same."""
    plain = format(Decimal(repr(float(value))), "f")
    return plain.removesuffix(".0")


def length(value: Length) -> str:
    """A length as typed, or in metres where it was worked out."""
    return value.text or f"{number(value.m)} m"


def pairs(rows: Iterable[tuple[str, str]]) -> list[str]:
    """Lines `key = value` with the signs in one column."""
    kept = list(rows)
    width = max((len(name) for name, _ in kept), default=0)
    return [f"{name:<{width}} = {value}" for name, value in kept]


def columns(rows: Sequence[tuple[str, ...]]) -> list[str]:
    """Rows as lines with their columns under each other."""
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    return [
        "   ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in rows
    ]

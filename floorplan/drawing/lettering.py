"""Lettering: heights, exact widths, and breaking text into lines.

Widths come from one table of the advance widths of Liberation Sans, whose metrics equal those of Arial and
Helvetica, so that a layout holds in every viewer that has one of them. A character that the table lacks takes
the width of the font's square (an em) where it is a wide one, such as a Chinese one, else that of a capital
M.

Heights are those of the capitals, from the ISO 3098 row 1.8, 2.5, 3.5, 5, 7, 10 mm.
"""

from __future__ import annotations

import json
import unicodedata
from functools import cache, lru_cache
from pathlib import Path
from typing import Final

from ..files.text import read_text
from .marks import XY, Anchor, Text

_ADVANCES: Final = Path(__file__).parent / "data" / "advances.json"

FINE: Final = 1.8
BODY: Final = 2.5
HEAD: Final = 3.5
TITLE: Final = 5.0
LOUD: Final = 7.0

CAPITAL: Final = 1409 / 2048
"""Height of a capital as a share of the font size."""
ASCENT: Final = 1466 / 2048 / CAPITAL
"""How far an upright letter (b, d, quotes) rises, as a share of the capitals."""
DESCENT: Final = 434 / 2048 / CAPITAL
"""How far letters hang below the baseline, as a share of the capitals."""
LEADING: Final = 1.58
"""Distance of two baselines, as a share of the capitals."""

INK: Final = "#000000"
SOFT: Final = "#404040"
"""Second ink: 10.4:1 on white, so that it survives a copy at half contrast."""


@cache
def _advances(bold: bool) -> dict[str, float]:
    table = json.loads(read_text(_ADVANCES))
    runs = table["bold" if bold else "regular"]
    scale = 1.0 / (table["units_per_em"] * CAPITAL)
    return {
        chr(int(first) + k): advance * scale
        for first, widths in runs.items()
        for k, advance in enumerate(widths)
    }


def covered(character: str) -> bool:
    """True when the bundled font has the character."""
    return character in _advances(False)


@cache
def width_mm(content: str, height_mm: float, bold: bool = False) -> float:
    """Width of one line of text, mm.

    >>> round(width_mm("A", 1409 / 2048 * 10), 3)
    6.67
    """
    advances = _advances(bold)
    return height_mm * sum(advances[c] if c in advances else _guess(c, advances) for c in content)


def _guess(character: str, advances: dict[str, float]) -> float:
    if unicodedata.combining(character):
        return 0.0
    return 1.0 / CAPITAL if unicodedata.east_asian_width(character) in "WF" else advances["M"]


def clean(content: str) -> str:
    """One line without control characters: each run of white space becomes one space."""
    if content.isascii() and content.isprintable() and "  " not in content:
        return content.strip()
    kept = (
        " " if c.isspace() else c for c in content if c.isspace() or unicodedata.category(c) not in _UNSEEN
    )
    return " ".join("".join(kept).split())


_UNSEEN = ("Cc", "Cs", "Cn", "Co", "Cf")
"""Controls, lone surrogates, unassigned and private characters, marks that could reorder a line."""


def letter(
    content: str,
    at: XY,
    height_mm: float = BODY,
    *,
    anchor: Anchor = Anchor.START,
    angle_deg: float = 0.0,
    bold: bool = False,
    colour: str = INK,
) -> Text:
    """A line of text with its width filled in."""
    line = clean(content)
    return Text(
        at=at,
        content=line,
        height_mm=height_mm,
        anchor=anchor,
        angle_deg=angle_deg,
        bold=bold,
        colour=colour,
        width_mm=width_mm(line, height_mm, bold),
    )


@lru_cache(maxsize=4096)
def wrap(content: str, height_mm: float, room_mm: float, *, bold: bool = False) -> tuple[str, ...]:
    """Lines no wider than `room_mm`, broken at spaces, within a word only where the word alone is too wide.

    An empty text gives no line.
    """
    lines: list[str] = []
    line = ""
    for word in clean(content).split(" "):
        longer = f"{line} {word}" if line else word
        if width_mm(longer, height_mm, bold) <= room_mm:
            line = longer
            continue
        if line:
            lines.append(line)
        *whole, line = _broken(word, height_mm, room_mm, bold)
        lines += whole
    return (*lines, line) if line else tuple(lines)


def _broken(word: str, height_mm: float, room_mm: float, bold: bool) -> list[str]:
    pieces = [""]
    for character in word:
        if pieces[-1] and width_mm(pieces[-1] + character, height_mm, bold) > room_mm:
            pieces.append("")
        pieces[-1] += character
    return pieces


def shortened(content: str, height_mm: float, room_mm: float, *, bold: bool = False) -> str:
    """The text, cut with "…" where it is wider than `room_mm`."""
    line = clean(content)
    if width_mm(line, height_mm, bold) <= room_mm:
        return line
    while line and width_mm(line.rstrip() + "…", height_mm, bold) > room_mm:
        line = line[:-1]
    return line.rstrip() + "…"

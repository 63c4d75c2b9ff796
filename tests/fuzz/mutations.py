"""Texts and files changed as typing slips, damaged disks and strangers change them, from a seeded dice."""

from __future__ import annotations

import random
from collections.abc import Sequence

# What breaks readers: numbers that are none, signs, ends of quoting, other scripts, formulas, mark-up.
PIECES: tuple[str, ...] = (
    *"\"'[]{}()=|,;#?±½⅝\\A\n\t\r\0\u202e\u200b\ufeff-–−+*/%@<>&:°′″",
    *("nan", "inf", "-inf", "1e999", "1e308", "-1e308", "1e-320", "-0.0", "0", "9" * 400, "0x1F", "1_0", "٣"),
    *('"""', "'''", "->", "\x1b[2J", "''", "- ", "true", " x ", "1/0", "0/0", "\\u0000", "\\", "\U0001f9f1"),
    *("12' 6 1/2\"", "3.81 m", "150 in", "30 deg", "N 35 E", "5 %", "72 F", "1 sq ft", "2 gal", "40 lb"),
    *("=1+1", "@SUM(A1)", "]]>", "</svg>", "BEGIN:VEVENT", "%%EOF", "../../x", "C:\\x", "~", "1979-05-27"),
)


def mutated(
    text: str, dice: random.Random, others: Sequence[str] = (), pieces: Sequence[str] = PIECES
) -> str:
    """The text with one to eight changes: pieces put in or over, parts cut, doubled, swapped or put in."""
    for _ in range(dice.choice((1, 1, 1, 2, 3, 5, 8))):
        i, j = sorted((dice.randrange(len(text) + 1), dice.randrange(len(text) + 1)))
        j = min(j, i + dice.choice((1, 3, 12, 60)))
        match dice.randrange(7):
            case 0:
                text = text[:i] + dice.choice(pieces) + text[i:]
            case 1:
                text = text[:i] + text[j:]
            case 2:
                text = text[:i] + text[i:j] * dice.choice((2, 2, 3, 50)) + text[j:]
            case 3:
                text = text[:i] + dice.choice(pieces) + text[j:]
            case 4:
                text = _lines_swapped(text, dice)
            case 5:
                text = _value_replaced(text, dice, pieces)
            case _:
                text = text[:i] + _part(dice.choice(others), dice) + text[i:] if others else text[:i]
    return text[:200_000]


def mutated_bytes(data: bytes, dice: random.Random, words: Sequence[bytes], whole: int = 60) -> bytes:
    """Bytes changed, cut, repeated or dropped, or lines replaced by hard words; the first `whole` stay."""
    mess = bytearray(data)
    for _ in range(dice.choice((1, 2, 5, 20))):
        if len(mess) <= whole:
            break
        at = dice.randrange(whole, len(mess))
        match dice.randrange(6):
            case 0:
                mess[at] = dice.randrange(256)
            case 1:
                del mess[at : at + dice.randrange(1, 60)]
            case 2:
                mess[at:at] = dice.randbytes(dice.randrange(1, 9))
            case 3:
                lines = mess.split(b"\n")
                lines[dice.randrange(len(lines))] = dice.choice(words)
                mess = bytearray(b"\n".join(lines))
            case 4:
                other = dice.randrange(whole, len(mess))
                mess[at:at] = mess[min(at, other) : max(at, other)][:3000]
            case _:
                del mess[at:]
    return bytes(mess)


def _lines_swapped(text: str, dice: random.Random) -> str:
    lines = text.split("\n")
    i, j = dice.randrange(len(lines)), dice.randrange(len(lines))
    lines[i], lines[j] = lines[j], lines[i]
    return "\n".join(lines)


def _value_replaced(text: str, dice: random.Random, pieces: Sequence[str]) -> str:
    """One `key = value` line, or one cell between commas, with another value."""
    lines = text.split("\n")
    i = dice.randrange(len(lines))
    sign = "=" if "=" in lines[i] else ","
    cells = lines[i].split(sign)
    k = dice.randrange(len(cells))
    value = dice.choice(pieces)
    cells[k] = value if dice.random() < 0.5 else f' "{value}"'
    lines[i] = sign.join(cells)
    return "\n".join(lines)


def _part(text: str, dice: random.Random) -> str:
    i = dice.randrange(len(text) + 1)
    return text[i : i + dice.choice((5, 40, 300))]

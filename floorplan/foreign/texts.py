"""Texts of a DXF as a person reads them: encodings and formatting codes.

Source: DXF reference, group 1 of TEXT and MTEXT; the codes of MTEXT from its formatting table.
"""

from __future__ import annotations

import codecs
import re
from typing import Final

_LONGEST = 200
_UNICODE: Final = re.compile(r"\\[Uu]\+([0-9A-Fa-f]{4})")
_MTEXT: Final = re.compile(
    r"\\P|\\~"  # line end, hard space
    r"|\\[ACHQTWfFpacHS][^;\\]*;"  # codes with a value up to a semicolon
    r"|\\[LlOoKk]"  # under, over, through
    r"|[{}]"
)
_PERCENT: Final = re.compile(r"%%(?:([dDpPcC])|[uUoOkK]|%|(\d{3}))")
_SIGNS: Final = {"d": "°", "p": "±", "c": "Ø"}


def codec_of(page: str) -> str:
    """Python's name for a $DWGCODEPAGE, "cp1252" where it is not known."""
    name = page.strip().lower().replace("ansi_", "cp").replace("dos", "cp")
    name = {"cp932": "cp932", "cp936": "gbk", "cp949": "cp949", "cp950": "big5", "cp1361": "johab"}.get(
        name, name
    )
    try:
        return codecs.lookup(name).name
    except LookupError:
        return "cp1252"


def decoded(raw: bytes, codec: str) -> str:
    """Bytes as text: UTF-8 where they are, else by the file's code page; a bad byte costs itself only."""
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError:
        text = raw.decode(codec, errors="replace")
    if "\\" in text:
        text = _UNICODE.sub(lambda m: chr(int(m[1], 16)), text)
    return printable(text)


def printable(text: str) -> str:
    """The text without control characters and lone surrogates, cut where it is very long."""
    return "".join(c for c in text if c.isprintable() or c == " ")[:4096]


def plain(text: str, *, many_lines: bool = False) -> str:
    """The words of a TEXT (or with `many_lines` an MTEXT) without formatting codes, on one line."""
    if many_lines:
        text = text.replace("\\\\", "\x00").replace("\\{", "\x01").replace("\\}", "\x02")
        text = _MTEXT.sub(lambda m: " " if m[0] in ("\\P", "\\~") else _stacked(m[0]), text)
        text = text.replace("\x00", "\\").replace("\x01", "{").replace("\x02", "}")
    text = _PERCENT.sub(_percent, text)
    text = " ".join(text.split())
    return text if len(text) <= _LONGEST else text[: _LONGEST - 1] + "…"


def _percent(match: re.Match[str]) -> str:
    if match[1]:
        return _SIGNS[match[1].lower()]
    if match[2]:
        return printable(chr(int(match[2])))
    return "%" if match[0] == "%%%" else ""


def _stacked(code: str) -> str:
    """A stacked fraction keeps its figures: \\S1/2; or \\S1#2; reads 1/2."""
    return " " + code[2:-1].replace("#", "/").replace("^", "/") + " " if code.startswith("\\S") else ""

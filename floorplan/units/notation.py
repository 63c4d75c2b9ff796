"""What every reader of numbers with units shares: characters, numbers with fractions, and the fault.

A *mixed number* is whole, decimal or has a fraction: `6`, `6.5`, `6 1/2`, `6-1/2`, `6½`, `1/2`.
Characters are made plain one for one, so that an offset in the plain text is one in the text as typed.
"""

from __future__ import annotations

import re
from typing import NoReturn

from ..values import dataclass

LONGEST = 80
"""Characters that a length, an area or the like may take; anything longer is no number with a unit."""

_SAME = {
    "'": "′’‘‛´`ʹʼ＇",
    '"': "″”“‟ʺ＂",
    "-": "−–—‐‑‒",
    " ": "\t\u00a0\u2007\u2009\u202f\u2002\u2003\u2008\u200a",
    "/": "⁄∕",
    "u": "µμ",
    "2": "²",
    "3": "³",
    "°": "º˚",
    "x": "×",
}
_PLAIN = {ord(odd): plain for plain, odds in _SAME.items() for odd in odds}

_TAPE_MARKS = "½1/2 ⅓1/3 ⅔2/3 ¼1/4 ¾3/4 ⅕1/5 ⅖2/5 ⅗3/5 ⅘4/5 ⅙1/6 ⅚5/6 ⅛1/8 ⅜3/8 ⅝5/8 ⅞7/8"
VULGAR = {row[0]: (int(row[1]), int(row[3])) for row in _TAPE_MARKS.split()}
"""Fractions that are one character, as (top, bottom)."""

_V = "".join(VULGAR)

_MIXED = re.compile(
    rf"""(?P<whole>[0-9]+)(?:(?P<h0>[ ]*-?[ ]*)(?P<v1>[{_V}])
                           |(?P<h1>[ ]*-[ ]*|[ ]+)(?P<n1>[0-9]+)[ ]*/[ ]*(?P<d1>[0-9]+))
      |(?P<n2>[0-9]+)[ ]*/[ ]*(?P<d2>[0-9]+)
      |(?P<v2>[{_V}])
      |(?P<dec>[0-9]+(?:[.][0-9]*|(?:,[0-9]+)+(?:[.][0-9]+)?)?|[.][0-9]+)""",
    re.VERBOSE,
)
_SPACE = re.compile(r" *")
_SIGN = re.compile(r" *([+-])? *")
_FINEST = 64


class Unreadable(ValueError):
    """Text that cannot be read as what it should be.

    Attributes:
        code: short lasting word, e.g. "length-ambiguous".
        text: what is wrong, lower case, with the text as typed.
        hint: what would be right, or "".
        start, end: offsets of the bad part in the text as typed.
    """

    def __init__(self, code: str, text: str, hint: str = "", *, start: int = 0, end: int = 0) -> None:
        super().__init__(text)
        self.code = code
        self.text = text
        self.hint = hint
        self.start = start
        self.end = max(end, start)


@dataclass(frozen=True, slots=True)
class Number:
    """A number as typed, kept as an exact quotient num / den.

    Attributes:
        decimals: digits after the point as typed, None without a point.
        fraction: written with a fraction.
        hyphen: a hyphen joins whole and fraction.
        comma: written with a comma; then num / den take it as a decimal comma, or drop thousands commas.
    """

    num: int
    den: int
    start: int
    end: int
    decimals: str | None = None
    fraction: bool = False
    hyphen: bool = False
    comma: bool = False

    @property
    def value(self) -> float:
        """The number as a float, rounded once."""
        return self.num / self.den

    @property
    def whole(self) -> bool:
        """True when it was typed without a point, a comma or a fraction."""
        return self.decimals is None and not self.fraction and not self.comma


def plain(text: str) -> str:
    """The text with curly quotes, primes, dashes and odd spaces made plain, character for character."""
    return text if text.isascii() and "\t" not in text and "`" not in text else text.translate(_PLAIN)


def shown(text: str) -> str:
    """The text as a message shows it: control characters out, shortened when very long."""
    clean = "".join(c if c.isprintable() else "?" for c in text.strip()[:61])
    return clean if len(clean) <= 60 else clean[:57] + "..."


class Cursor:
    """A place in a text that moves as numbers, signs and units are read off it.

    Args:
        text: as typed.
        what: the thing read, e.g. "length"; begins the codes.
        example: how such a thing is written, for hints.
    """

    __slots__ = ("example", "pos", "raw", "text", "what")

    def __init__(self, text: str, what: str, example: str) -> None:
        self.raw, self.what, self.example = text, what, example
        self.text, self.pos = text, 0
        if len(text) > LONGEST:
            self.fail(f"cannot read the {what} {shown(text)}: it is {len(text)} characters long")
        self.text = plain(text)
        if not self.text.strip():
            self.fail(f"no {what} is given", code="missing")

    def fail(
        self,
        text: str = "",
        *,
        code: str = "unreadable",
        hint: str = "",
        start: int | None = None,
        end: int = 0,
    ) -> NoReturn:
        """Raise `Unreadable`; without text and start, the whole cannot be read."""
        first = len(self.raw) - len(self.raw.lstrip())
        last = len(self.raw.rstrip())
        raise Unreadable(
            f"{self.what.replace(' ', '-')}-{code}",
            text or f"cannot read the {self.what} {shown(self.raw)}",
            hint or f"write it like {self.example}",
            start=first if start is None else start,
            end=end or max(last, first),
        )

    def sign(self) -> int:
        """Read an optional sign: 1 or -1."""
        match = _SIGN.match(self.text, self.pos)
        assert match is not None
        self.pos = match.end()
        return -1 if match[1] == "-" else 1

    def skip(self) -> None:
        """Step over spaces."""
        match = _SPACE.match(self.text, self.pos)
        assert match is not None
        self.pos = match.end()

    def done(self) -> bool:
        """True when only spaces are left."""
        self.skip()
        return self.pos >= len(self.text)

    def rest(self) -> str:
        """What is left, as typed."""
        return self.raw[self.pos :].strip()

    def number(self) -> Number | None:
        """Read a mixed number, None where there is none; a fraction of one or more is a fault."""
        match = _MIXED.match(self.text, self.pos)
        if match is None:
            return None
        self.pos = match.end()
        if match["dec"] is not None:
            return _decimal(match)
        return self._fraction(match)

    def _fraction(self, match: re.Match[str]) -> Number:
        mark = match["v1"] or match["v2"]
        top, bottom = (
            VULGAR[mark] if mark else (int(match["n1"] or match["n2"]), int(match["d1"] or match["d2"]))
        )
        if not 0 <= top < bottom <= _FINEST:
            written = shown(self.raw[match.start() : match.end()])
            self.fail(
                f"cannot read the {self.what} {shown(self.raw)}: {written} is no fraction of an inch tape",
                code="fraction",
                hint=f"a fraction is less than one, in parts down to 1/{_FINEST}",
                start=match.start(),
                end=match.end(),
            )
        joint = match["h0"] or match["h1"] or ""
        return Number(
            int(match["whole"] or 0) * bottom + top,
            bottom,
            match.start(),
            match.end(),
            fraction=True,
            hyphen="-" in joint,
        )


def _decimal(match: re.Match[str]) -> Number:
    typed = match["dec"]
    comma = "," in typed
    if comma and ("." in typed or typed.count(",") > 1):
        plain_number = typed.replace(",", "")
    else:
        plain_number = typed.replace(",", ".")
    whole, point, after = plain_number.partition(".")
    num = int((whole + after) or "0")
    return Number(
        num, 10 ** len(after), match.start(), match.end(), decimals=after if point else None, comma=comma
    )

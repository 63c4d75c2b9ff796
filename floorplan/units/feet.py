"""Lengths as they stand on a tape sheet: feet, inches and fractions in any handwriting, and metric."""

from __future__ import annotations

import re
from typing import Final, NoReturn

from ..patterns import pattern
from . import factors
from .length import Length, UnitStyle
from .notation import Cursor, Number, Unreadable, shown

LONGEST_M: Final = 20_000_000.0
"""Survey grids count up to ten million metres; anything beyond twice that is a slip of the keyboard."""

EXAMPLE: Final = "12' 6 1/2\", 12.5', 150\" or 3.81 m"

_FOOT, _INCH = "foot", "inch"
_SPELLINGS: Final = {
    _FOOT: "' ft feet foot",
    _INCH: '" in ins inch inches',
    "m": "m metre metres meter meters",
    "cm": "cm centimetre centimetres centimeter centimeters",
    "mm": "mm millimetre millimetres millimeter millimeters",
}
_UNITS: Final = {word: unit for unit, words in _SPELLINGS.items() for word in words.split()}
# Metres in one unit as a whole quotient, so that a length is rounded to a float once only.
_METRES: Final = {
    _FOOT: (round(factors.FOOT_M * 10_000), 10_000),
    _INCH: (round(factors.INCH_M * 10_000), 10_000),
    "m": (1, 1),
    "cm": (1, 100),
    "mm": (1, 1000),
}
_BARE: Final = {
    UnitStyle.FT_IN: _FOOT,
    UnitStyle.FT: _FOOT,
    UnitStyle.IN: _INCH,
    UnitStyle.M: "m",
    UnitStyle.CM: "cm",
    UnitStyle.MM: "mm",
}
_WORD = pattern(r" *(['\"]|[a-zA-Z]+)\.?")
_HYPHEN = pattern(r" *-? *")
_FEET_INCHES = pattern(r" *- *(?=[0-9])")
_TENTHS_OR_INCHES = ("10", "11")


def read_length(text: str, style: UnitStyle) -> Length:
    """The length that a text gives, in any notation; a bare number is in the units of `style`.

    Args:
        text: e.g. `12' 6 1/2"`, `12-6½`, `12ft 6in`, `150"`, `3.81 m`, `-2'`.
        style: the plan's units; in ft-in a bare number is feet.

    Raises:
        Unreadable: and nothing else, whatever the text.

    >>> round(read_length("12' 6 1/2\\"", UnitStyle.FT_IN).m / 0.0254, 9)
    150.5
    """
    cursor = Cursor(text, "length", EXAMPLE)
    if "''" in cursor.text:
        _two_foot_marks(cursor, style)
    sign = cursor.sign()
    first = cursor.number()
    if first is None:
        cursor.fail()
    unit = _unit(cursor)
    num, den = _metres(cursor, first, unit, style)
    if not cursor.done():
        _left_over(cursor)
    if num > LONGEST_M * den:
        cursor.fail(
            f"the length {shown(text)} is more than 20,000 km",
            code="absurd",
            hint="check the number and its unit",
        )
    return Length(sign * num / den if num else 0.0, text.strip())


def _metres(cursor: Cursor, first: Number, unit: str, style: UnitStyle) -> tuple[int, int]:
    if unit == _FOOT:
        return _feet_and_inches(cursor, first)
    if not unit and style.is_us:
        _ask_about_hyphen(cursor, first, style)
        match = _FEET_INCHES.match(cursor.text, cursor.pos)
        if match:
            return _feet_and_inches(cursor, first)
    if not unit:
        _ask_about_bare(cursor, first, style)
    if first.comma:
        _check_comma(cursor, first, unit or _BARE[style])
    return _times(first, unit or _BARE[style])


def _times(number: Number, unit: str) -> tuple[int, int]:
    num, den = _METRES[unit]
    return number.num * num, number.den * den


def _unit(cursor: Cursor) -> str:
    """The unit at the cursor, "" where none stands; an unknown word is a fault."""
    match = _WORD.match(cursor.text, cursor.pos)
    if match is None:
        return ""
    unit = _UNITS.get(match[1]) or _UNITS.get(match[1].lower())
    if unit is None:
        cursor.fail(
            f"cannot read the length {shown(cursor.raw)}: {shown(match[1])} is no unit of length",
            code="unit",
            hint="units are ft, in, ', \", m, cm and mm",
            start=match.start(1),
            end=match.end(),
        )
    cursor.pos = match.end()
    return unit


def _feet_and_inches(cursor: Cursor, feet: Number) -> tuple[int, int]:
    if feet.comma:
        _check_comma(cursor, feet, _FOOT)
    num, den = _times(feet, _FOOT)
    between = _HYPHEN.match(cursor.text, cursor.pos)
    assert between is not None
    if between.end() >= len(cursor.text) and "-" not in between[0]:
        return num, den
    cursor.pos = between.end()
    inches = cursor.number()
    if inches is None:
        _left_over(cursor)
    unit = _unit(cursor)
    _check_inches(cursor, feet, inches, unit)
    inch_num, inch_den = _times(inches, _INCH)
    return num * inch_den + inch_num * den, den * inch_den


def _check_inches(cursor: Cursor, feet: Number, inches: Number, unit: str) -> None:
    """Faults of the inches that follow feet."""
    if unit not in ("", _INCH):
        cursor.fail(
            f"cannot read the length {shown(cursor.raw)}: after feet come inches",
            hint="write 12' 6\"",
            start=inches.start,
            end=cursor.pos,
        )
    if inches.comma:
        _check_comma(cursor, inches, _INCH)
    if not feet.whole:
        cursor.fail(
            f"cannot read the length {shown(cursor.raw)}: parts of a foot and inches both",
            hint="write whole feet before inches, as 12' 6\", or feet alone, as 12.5'",
            start=feet.start,
            end=feet.end,
        )
    foot = factors.INCHES_PER_FOOT * inches.den
    if inches.num >= foot:
        more, left = divmod(inches.num, foot)
        meant = f"{feet.num + more}' {_number_text(left, inches.den)}\""
        typed = shown(cursor.raw[inches.start : inches.end])
        cursor.fail(
            f"the length {shown(cursor.raw)} has {typed} inches after the feet",
            code="inches",
            hint=f"inches after feet stay below 12: write {meant} if that is meant",
            start=inches.start,
            end=inches.end,
        )


def _number_text(num: int, den: int) -> str:
    """A mixed number or decimal for a hint."""
    whole, rest = divmod(num, den)
    if not rest:
        return str(whole)
    if den & (den - 1) == 0:
        return f"{whole} {rest}/{den}" if whole else f"{rest}/{den}"
    return f"{num / den:g}"


def _ask_about_bare(cursor: Cursor, number: Number, style: UnitStyle) -> None:
    """A bare 12.10 or 12.11 may mean feet and inches; two bare numbers may as well."""
    if style is UnitStyle.FT_IN and number.decimals in _TENTHS_OR_INCHES and not number.comma:
        whole, typed = number.num // number.den, cursor.raw[number.start : number.end]
        minus = "-" if cursor.text.lstrip().startswith("-") else ""
        cursor.fail(
            f"the length {shown(cursor.raw)} may mean feet and inches or a decimal of a foot",
            code="ambiguous",
            hint=f"write {minus}{whole}'-{number.decimals}\" or {minus}{shown(typed)}'",
        )
    start = cursor.pos
    if cursor.done() or not style.is_us:
        return
    second = cursor.number()
    if second is not None and number.whole and (cursor.done() or _unit(cursor) == _INCH) and cursor.done():
        inches = cursor.raw[second.start : second.end]
        cursor.fail(
            f"the length {shown(cursor.raw)} has two numbers and no foot mark",
            code="ambiguous",
            hint=f"write {number.num}'-{shown(inches)}\" if feet and inches are meant",
        )
    cursor.pos = start


def _ask_about_hyphen(cursor: Cursor, number: Number, style: UnitStyle) -> None:
    """A bare 12-1/2 is twelve and a half, or twelve feet and half an inch."""
    if number.hyphen and style is not UnitStyle.IN:
        whole, rest = divmod(number.num, number.den)
        fraction = f"{rest}/{number.den}"
        cursor.fail(
            f"the length {shown(cursor.raw)} may mean feet and inches or part of a foot",
            code="ambiguous",
            hint=f"write {whole}'-0 {fraction}\" or {whole} {fraction}'",
        )


def _check_comma(cursor: Cursor, number: Number, unit: str) -> None:
    """A comma is a decimal comma with a metric unit, as long as it cannot be a thousands comma."""
    typed = cursor.raw[number.start : number.end]
    head, _, tail = typed.partition(",")
    metric = unit in ("m", "cm", "mm")
    if metric and typed.count(",") == 1 and "." not in typed and (len(tail) != 3 or not head.strip("0")):
        return
    without = typed.replace(",", "")
    either = f" or {head}.{tail}" if metric and typed.count(",") == 1 and "." not in typed else ""
    cursor.fail(
        f"cannot read the length {shown(cursor.raw)}: the comma may be a thousands mark or point",
        code="comma",
        hint=f"write {without}{either} without a comma",
        start=number.start,
        end=number.end,
    )


def _two_foot_marks(cursor: Cursor, style: UnitStyle) -> None:
    """Two foot marks are often meant as an inch mark: say so, with the length they would give."""
    guess = cursor.text.replace("''", '"').strip()
    hint = ""
    try:
        length = read_length(guess, style)
    except Unreadable:
        pass
    else:
        feet_text = f"{length.m / factors.FOOT_M:.4f}".rstrip("0").rstrip(".")
        spaced = re.sub(r"(?<=')(?=[0-9])", " ", guess)
        hint = f"write {spaced} or {feet_text}'"
    cursor.fail(hint=hint)


def _left_over(cursor: Cursor) -> NoReturn:
    start = cursor.pos
    rest = cursor.rest()
    if not rest:
        cursor.fail(f"cannot read the length {shown(cursor.raw)}: nothing stands after the hyphen")
    cursor.fail(
        f"cannot read the length {shown(cursor.raw)}: what is {shown(rest)}?",
        start=start + len(cursor.raw[start:]) - len(cursor.raw[start:].lstrip()),
    )

"""Areas, volumes, weights, rates, film thickness, temperature, duration and shares, read with their units.

One table row a kind of quantity: the spellings of its units and their metric factors. A quotient (a spread
rate, a density) has two such tables. Nothing has a default unit: a bare number is asked about.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from ..patterns import pattern
from ..values import dataclass
from . import factors
from .notation import Cursor, Number, shown


def _spellings(rows: Mapping[str, float]) -> dict[str, float]:
    return {word.strip(): factor for words, factor in rows.items() for word in words.split(",")}


AREA_M2: Final = _spellings(
    {
        "sq ft, sqft, sf, ft2, sq foot, sq feet": factors.SQFT_M2,
        "sq in, sqin, in2, sq inch, sq inches": factors.SQIN_M2,
        "sq yd, sqyd, sy, yd2, sq yard, sq yards": factors.SQYD_M2,
        "m2, sqm, sq m, sq metre, sq metres, sq meter, sq meters": 1.0,
        "cm2, sq cm": factors.SQCM_M2,
    }
)
VOLUME_L: Final = _spellings(
    {
        "gal, gals, gallon, gallons, us gal": factors.GALLON_L,
        "qt, qts, quart, quarts": factors.QUART_L,
        "pt, pts, pint, pints": factors.PINT_L,
        "fl oz, floz, fluid oz, fluid ounce, fluid ounces": factors.FLUID_OUNCE_L,
        "cu in, in3, cubic in": factors.CUIN_L,
        "cu ft, ft3": factors.CUFT_L,
        "l, litre, litres, liter, liters": 1.0,
        "ml": 0.001,
        "m3, cu m": factors.M3_L,
    }
)
WEIGHT_KG: Final = _spellings(
    {
        "lb, lbs, pound, pounds, #": factors.POUND_KG,
        "oz, ounce, ounces": factors.OUNCE_KG,
        "kg, kilo, kilos, kilogram, kilograms": 1.0,
        "g, gram, grams": factors.GRAM_KG,
    }
)
THICKNESS_M: Final = _spellings(
    {
        "mil, mils": factors.MIL_M,
        "um, micron, microns": factors.UM_M,
        "mm": factors.MM_M,
        'in, inch, inches, "': factors.INCH_M,
    }
)
DURATION_S: Final = _spellings(
    {
        "s, sec, secs, second, seconds": 1.0,
        "min, mins, minute, minutes": float(factors.MINUTE_S),
        "h, hr, hrs, hour, hours": float(factors.HOUR_S),
        "d, day, days": float(factors.DAY_S),
    }
)
SPEED_M_S: Final = _spellings(
    {
        "mph": factors.MILE_M / factors.HOUR_S,
        "km/h, kmh, kph": 1000.0 / factors.HOUR_S,
        "m/s": 1.0,
    }
)
_SHARE: Final = _spellings({"%, percent, per cent, pct": 0.01})
_TEMPERATURE: Final = _spellings({"f, °f, deg f, degf, fahrenheit": 1.0, "c, °c, deg c, degc, celsius": 2.0})
_CELSIUS: Final = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """A kind of quantity: its name in messages, its units with factors, and how one is written.

    Attributes:
        per: units below the stroke, for a quotient.
        largest: in the metric unit; more than this is a slip.
        signed: may be negative.
    """

    name: str
    units: Mapping[str, float]
    example: str
    per: Mapping[str, float] | None = None
    largest: float = 1e9
    signed: bool = False


AREA: Final = Quantity(name="area", units=AREA_M2, example="636 sq ft or 59 m2")
VOLUME: Final = Quantity(name="volume", units=VOLUME_L, example="1.5 gal or 5.7 L")
WEIGHT: Final = Quantity(name="weight", units=WEIGHT_KG, example="40 lb or 18 kg")
THICKNESS: Final = Quantity(name="thickness", units=THICKNESS_M, example="10 mil or 250 um", largest=1.0)
RATE: Final = Quantity(name="rate", units=AREA_M2, per=VOLUME_L, example="160 sq ft/gal or 3.9 m2/L")
WEIGHT_RATE: Final = Quantity(
    name="weight rate", units=WEIGHT_KG, per=AREA_M2, example="0.22 lb/sq ft or 1.07 kg/m2"
)
DENSITY: Final = Quantity(name="density", units=WEIGHT_KG, per=VOLUME_L, example="9.2 lb/gal or 1.1 kg/L")
SPEED: Final = Quantity(name="speed", units=SPEED_M_S, example="15 mph or 24 km/h")
DURATION: Final = Quantity(name="duration", units=DURATION_S, example="30 min, 6.5 h or 18-24 h")
COUNT: Final = Quantity(name="count", units={}, example="4 or 1.5")
SHARE: Final = Quantity(name="share", units=_SHARE, example="5%", largest=100.0, signed=True)
TEMPERATURE: Final = Quantity(
    name="temperature", units=_TEMPERATURE, example="75 F or 24 C", largest=1e4, signed=True
)

_RANGE = pattern(r" *(?:-|to\b) *")
_BETWEEN = pattern(r"(?<=[a-zA-Z]) *(?:-|\bto\b) *(?=[-+.0-9])")
_WORD = pattern(r" *([a-zA-Z]+)\.?")


def read_area(text: str) -> float:
    """Square metres: `636 sq ft`, `59.1 m2`."""
    return read_quantity(AREA, text)


def read_volume(text: str) -> float:
    """Litres: `3 gal`, `10.1 fl oz`, `5.7 L`."""
    return read_quantity(VOLUME, text)


def read_weight(text: str) -> float:
    """Kilograms: `40 lb`, `5 oz`, `18 kg`."""
    return read_quantity(WEIGHT, text)


def read_rate(text: str) -> float:
    """Square metres a litre: `160 sq ft/gal`, `160 sf/gal`, `3.9 m2/L`."""
    return read_quantity(RATE, text)


def read_weight_rate(text: str) -> float:
    """Kilograms a square metre: `0.22 lb/sq ft`, `1.07 kg/m2`."""
    return read_quantity(WEIGHT_RATE, text)


def read_density(text: str) -> float:
    """Kilograms a litre: `9.2 lb/gal`, `1.1 kg/L`."""
    return read_quantity(DENSITY, text)


def read_thickness(text: str) -> float:
    """Metres of film: `10 mil`, `250 um`, `0.25 mm`."""
    return read_quantity(THICKNESS, text)


def read_speed(text: str) -> float:
    """Metres a second: `15 mph`, `24 km/h`."""
    return read_quantity(SPEED, text)


def read_percent(text: str) -> float:
    """A share as a part of one: `5%` is 0.05. A bare number is asked about, but for 0."""
    if text.strip() == "0":
        return 0.0
    return read_quantity(SHARE, text)


def read_temperature(text: str) -> float:
    """Degrees Celsius: `75 F`, `24 C`, `24 °C`. A bare number is asked about."""
    low, high = read_temperature_range(text)
    if low != high:
        Cursor(text, "temperature", TEMPERATURE.example).fail(
            f"one temperature is wanted, not the range {shown(text)}", code="range"
        )
    return low


def read_temperature_range(text: str) -> tuple[float, float]:
    """Lowest and highest degrees Celsius: `50-90 F`; one temperature gives it twice."""
    cursor = Cursor(text, TEMPERATURE.name, TEMPERATURE.example)
    low, high, scale = _range(cursor, TEMPERATURE)
    if scale == _CELSIUS:
        return low, high
    return factors.celsius(low), factors.celsius(high)


def read_duration(text: str) -> float:
    """Seconds: `30 min`, `6.5 h`, `1 h 30 min`, `2 days`."""
    low, high = read_duration_range(text)
    if low != high:
        Cursor(text, "duration", DURATION.example).fail(
            f"one duration is wanted, not the range {shown(text)}", code="range"
        )
    return low


def read_duration_range(text: str) -> tuple[float, float]:
    """Shortest and longest, seconds: `18-24 h`, `10 to 20 min`; one duration gives it twice."""
    cursor = Cursor(text, DURATION.name, DURATION.example)
    parts = _parts(cursor)
    if parts is not None:
        return parts, parts
    cursor.pos = 0
    low, high, factor = _range(cursor, DURATION)
    return low * factor, high * factor


def read_count(text: str) -> float:
    """A bare number of zero or more, such as a count of pieces or a factor: `4`, `1.5`."""
    cursor = Cursor(text, COUNT.name, COUNT.example)
    number = _signed(cursor, COUNT)
    if not cursor.done():
        cursor.fail()
    return _limited(cursor, COUNT, number)


def read_quantity(quantity: Quantity, text: str) -> float:
    """The metric value of a number with a unit of that kind."""
    cursor = Cursor(text, quantity.name, quantity.example)
    value = _signed(cursor, quantity)
    return _limited(cursor, quantity, value * _factor(cursor, quantity))


def _signed(cursor: Cursor, quantity: Quantity) -> float:
    sign = cursor.sign()
    number = cursor.number()
    if number is None:
        cursor.fail()
    _check_comma(cursor, number)
    if sign < 0 and not quantity.signed and number.num:
        cursor.fail(f"the {quantity.name} {shown(cursor.raw)} is below zero", code="negative")
    return sign * number.value


def _check_comma(cursor: Cursor, number: Number) -> None:
    typed = cursor.raw[number.start : number.end]
    head, _, tail = typed.partition(",")
    decimal = number.comma and typed.count(",") == 1 and "." not in typed
    if number.comma and not (decimal and (len(tail) != 3 or not head.strip("0"))):
        cursor.fail(
            f"cannot read the {cursor.what} {shown(cursor.raw)}: the comma may be a thousands mark or point",
            code="comma",
            hint=f"write {typed.replace(',', '')}"
            + (f" or {head}.{tail}" if decimal else "")
            + " without a comma",
            start=number.start,
            end=number.end,
        )


def _limited(cursor: Cursor, quantity: Quantity, value: float) -> float:
    if not abs(value) <= quantity.largest:
        cursor.fail(
            f"the {quantity.name} {shown(cursor.raw)} is far too large",
            code="absurd",
            hint="check the number and its unit",
        )
    return value


def _factor(cursor: Cursor, quantity: Quantity) -> float:
    """Factor of the unit that takes all the rest of the text."""
    cursor.skip()
    start = cursor.pos
    word = unit_word(cursor.text[start:])
    if not word:
        cursor.fail(f"the {quantity.name} {shown(cursor.raw)} has no unit", code="no-unit")
    factor = quantity.units.get(word) if quantity.per is None else _quotient(quantity, word)
    if factor is None:
        cursor.fail(
            f"cannot read the {quantity.name} {shown(cursor.raw)}: {shown(cursor.rest())} is no unit for it",
            code="unit",
            start=start,
        )
    return factor


def _quotient(quantity: Quantity, word: str) -> float | None:
    over, stroke, under = word.partition("/")
    top, bottom = quantity.units.get(over.strip()), (quantity.per or {}).get(under.strip())
    return top / bottom if stroke and top is not None and bottom is not None else None


def unit_word(text: str) -> str:
    """A unit as the tables spell it: lower case, no points, `sq` for square, `/` for per."""
    word = " ".join(text.lower().replace(".", "").replace("^", "").split())
    word = word.replace("square", "sq").replace("cubic", "cu")
    if word not in ("per cent",):
        word = re.sub(r" ?(?:/|\bper\b|\ba\b) ?", "/", word)
    return word


def _range(cursor: Cursor, quantity: Quantity) -> tuple[float, float, float]:
    """Low, high and the unit's factor of `18-24 h`, `50 F to 90 F` or one number with a unit."""
    low = _signed(cursor, quantity)
    match = _RANGE.match(cursor.text, cursor.pos)
    if match is None or match.end() >= len(cursor.text):
        middle = _BETWEEN.search(cursor.text[cursor.pos :])
        if middle is None:
            return _limited(cursor, quantity, low), low, _factor(cursor, quantity)
        first = unit_word(cursor.text[cursor.pos : cursor.pos + middle.start()])
        cursor.pos += middle.end()
        high = _signed(cursor, quantity)
        factor = _factor(cursor, quantity)
        if quantity.units.get(first) != factor:
            cursor.fail(f"the range {shown(cursor.raw)} mixes units", code="unit")
    else:
        cursor.pos = match.end()
        high = _signed(cursor, quantity)
        factor = _factor(cursor, quantity)
    if high < low:
        cursor.fail(f"the range {shown(cursor.raw)} runs from high to low", code="range")
    return low, _limited(cursor, quantity, high), factor


def _parts(cursor: Cursor) -> float | None:
    """Sum of `1 h 30 min`; None where the text is not one or more numbers each with its unit."""
    total = 0.0
    while not cursor.done():
        number = cursor.number()
        if number is None or number.comma:
            return None
        match = _WORD.match(cursor.text, cursor.pos)
        factor = DURATION_S.get(match[1].lower()) if match else None
        if match is None or factor is None:
            return None
        total += number.value * factor
        cursor.pos = match.end()
    return _limited(cursor, DURATION, total)

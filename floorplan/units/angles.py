"""Angles and bearings: degrees, degrees with minutes and seconds, quadrant bearings, azimuths."""

from __future__ import annotations

import re
from typing import Final

from ..patterns import pattern
from .notation import Cursor, shown

ANGLE_EXAMPLE: Final = "30 deg, 12.5 or 12°30'"
BEARING_EXAMPLE: Final = "N 35 E, S 75°23'18\" W, north or azimuth 125.5"

_DMS = pattern(
    r"""\ *(?P<d>[0-9]+(?:\.[0-9]*)?|\.[0-9]+)\ *(?:°|degrees?\b|deg\b\.?|d\b)?
        (?:\ *-?\ *(?P<m>[0-9]+(?:\.[0-9]*)?)\ *(?:'|min\b|m\b)?
        (?:\ *-?\ *(?P<s>[0-9]+(?:\.[0-9]*)?)\ *(?:\"|sec\b|s\b)?)?)?\ *""",
    re.IGNORECASE | re.VERBOSE,
)
_QUADRANT = pattern(r" *(?P<ns>north|south|n|s) *(?P<angle>.*?) *(?P<ew>east|west|e|w) *", re.IGNORECASE)
_AZIMUTH = pattern(r" *(?:azimuth|az)\.? *", re.IGNORECASE)
_CARDINAL: Final = {"n": 0.0, "e": 90.0, "s": 180.0, "w": 270.0}
_LARGEST_DEG = 3600.0


def read_angle(text: str) -> float:
    """Degrees of an angle: `30 deg`, `30°`, `-12.5`, `12°30'`, `12-30-15`."""
    cursor = Cursor(text, "angle", ANGLE_EXAMPLE)
    sign = cursor.sign()
    return sign * _degrees(cursor, cursor.pos, len(cursor.text))


def read_bearing(text: str) -> float:
    """Azimuth in degrees clockwise from north, 0 <= a < 360, of a bearing, a cardinal or an azimuth.

    >>> read_bearing("S 30 E")
    150.0
    """
    cursor = Cursor(text, "bearing", BEARING_EXAMPLE)
    word = cursor.text.strip().lower().removeprefix("due ").strip()
    if word in ("north", "south", "east", "west", "n", "s", "e", "w"):
        return _CARDINAL[word[0]]
    quadrant = _QUADRANT.fullmatch(cursor.text)
    if quadrant:
        return _quadrant(cursor, quadrant)
    azimuth = _AZIMUTH.match(cursor.text)
    cursor.pos = azimuth.end() if azimuth else 0
    degrees = cursor.sign() * _degrees(cursor, cursor.pos, len(cursor.text))
    return degrees % 360.0


def _quadrant(cursor: Cursor, match: re.Match[str]) -> float:
    inside = match["angle"]
    if not inside:
        angle = 45.0
    else:
        angle = _degrees(cursor, match.start("angle"), match.end("angle"))
    if angle > 90:
        cursor.fail(
            f"the bearing {shown(cursor.raw)} turns more than 90 degrees",
            code="range",
            hint="a bearing turns 0 to 90 degrees from north or south, as N 35 E; or write azimuth 125.5",
            start=match.start("angle"),
            end=match.end("angle"),
        )
    east = match["ew"][0].lower() == "e"
    if match["ns"][0].lower() == "n":
        return angle if east else (360.0 - angle) % 360.0
    return 180.0 - angle if east else 180.0 + angle


def _degrees(cursor: Cursor, start: int, end: int) -> float:
    match = _DMS.fullmatch(cursor.text, start, end)
    if match is None:
        cursor.fail()
    degrees, minutes, seconds = match["d"], match["m"], match["s"]
    if (minutes and "." in degrees) or (seconds and "." in (minutes or "")):
        cursor.fail(
            f"cannot read the {cursor.what} {shown(cursor.raw)}: parts of a degree and minutes both",
            start=match.start("d"),
            end=match.end("d"),
        )
    for name, value in (("minutes", minutes), ("seconds", seconds)):
        if value and float(value) >= 60:
            cursor.fail(
                f"the {cursor.what} {shown(cursor.raw)} has {value} {name}",
                code="range",
                hint=f"{name} stay below 60",
                start=match.start(name[0]),
                end=match.end(name[0]),
            )
    total = float(degrees) + float(minutes or 0) / 60 + float(seconds or 0) / 3600
    if total > _LARGEST_DEG:
        cursor.fail(f"the {cursor.what} {shown(cursor.raw)} is more than ten full turns", code="range")
    return total

"""A list of corner points as CSV: from a spreadsheet, a total station, a laser measure.

Columns by a header (`x, y`, `easting, northing`, `n, e` in any order, with `name` and `ring`), or two
columns of numbers without one. An empty line, or another word under `ring`, begins another ring. Cells
may be lengths in feet and inches.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from typing import Final, Literal

from ..errors import DrawingFileError, Fault, Place
from ..units.length import UnitStyle
from ..units.reading import Unreadable, read_length
from .collector import Collector
from .crs import degrees, looks_like_degrees
from .drawing import bounds_of
from .model import Source

_X: Final = ("x", "e", "easting", "east", "right")
_Y: Final = ("y", "n", "northing", "north", "up")
_DEGREE_HEADS: Final = ("lon", "lat", "longitude", "latitude", "long", "lng")
_RING: Final = ("ring", "part", "shape", "polygon", "outline", "layer")
_BULGE: Final = ("bulge",)
POINT_SUFFIXES: Final = (".csv", ".txt", ".tsv", ".xy", ".xyz", ".pts")
_MOST_FAULTS: Final = 20
_UNIT_IN_HEAD: Final = re.compile(r"\s*[\[(]?\s*(ft|feet|in|inches|m|metres|meters|cm|mm)\s*[\])]?\s*$")
_HEAD_UNITS: Final = {
    "ft": "ft",
    "feet": "ft",
    "in": "in",
    "inches": "in",
    "m": "m",
    "metres": "m",
    "meters": "m",
    "cm": "cm",
    "mm": "mm",
}


def read_points(text: str, name: str) -> Source:
    """The rings of a list of points; each ring is closed from its last point to its first.

    Raises:
        DrawingFileError: rows that cannot be read, each with its line; degrees; fewer than three points.
    """
    rows = _rows(text, name)
    head, first = _head(rows, name)
    collector = Collector(name, "CSV of points")
    points = _points(rows[first:], head, name, collector)
    for ring, (spots, bulges) in points.items():
        if len(spots) > 1 and spots[0] == spots[-1]:
            spots, bulges = spots[:-1], bulges[:-1]
        if len(spots) < 3 and not any(bulges):
            collector.leave_out("ring", ring[1], "fewer than three points")
            continue
        collector.stroke(spots, bulges, closed=True, layer=ring[1], kind="points")
    source = collector.source()
    if not len(source.strokes):
        words = f"{name}: no ring of three points or more in it"
        raise DrawingFileError(Fault(code="drawing-no-lines", text=words, hint="write x, y on each line"))
    if source.unit_m is None and looks_like_degrees(bounds_of(source.strokes)):
        raise DrawingFileError(degrees(name, "its extent is a few hundredths of a degree"))
    return source


def looks_like_points(text: str) -> bool:
    """Whether the first lines of a text are two numbers or more each."""
    lines = [line for line in text[:2000].splitlines()[:-1] if line.strip()][:5]
    cells = [re.split(r"[,;\t ]+", line.strip()) for line in lines]
    return bool(cells) and all(len(row) > 1 and all(map(_is_number, row[-2:])) for row in cells)


def _is_number(cell: str) -> bool:
    return _number(cell) is not None


_Row = tuple[int, list[str]]


def _rows(text: str, name: str) -> list[_Row]:
    """Cells of every line, with its number; comments are dropped, empty lines stay as no cells."""
    lines = text.splitlines()
    sample = "\n".join(lines[:20])
    sign = max((";", "\t", ",", " "), key=lambda s: min(sample.count(s), 40) * (0.1 if s == " " else 1.0))
    rows = []
    for number, line in enumerate(lines, 1):
        if line.lstrip().startswith("#"):
            continue
        if sign == " ":
            cells = line.split()
        else:
            try:
                cells = [
                    cell.strip()
                    for cell in next(csv.reader([line], delimiter=sign, quoting=_quoting(line)), [])
                ]
            except csv.Error as error:
                raise DrawingFileError(_fault(name, number, line, "the line is no row of a table")) from error
        rows.append((number, cells if any(cells) else []))
    while rows and not rows[0][1]:
        rows.pop(0)
    return rows


def _quoting(line: str) -> Literal[0, 3]:
    # A quotation mark after a figure means inches.
    return csv.QUOTE_NONE if re.search(r"\d\s*\"", line) and not line.startswith('"') else csv.QUOTE_MINIMAL


class _Head:
    """Which column holds what."""

    def __init__(self, cells: Sequence[str] | None, width: int) -> None:
        self.x, self.y = (0, 1) if width < 3 or cells is not None else (width - 2, width - 1)
        self.ring = self.bulge = -1
        self.unit = ""
        for i, cell in enumerate(cells or ()):
            word = cell.strip().lower()
            match = _UNIT_IN_HEAD.search(word)
            if match and word[: match.start()].strip() in (*_X, *_Y):
                self.unit, word = _HEAD_UNITS[match[1]], word[: match.start()].strip()
            if word in _X:
                self.x = i
            elif word in _Y:
                self.y = i
            elif word in _RING:
                self.ring = i
            elif word in _BULGE:
                self.bulge = i


def _head(rows: list[_Row], name: str) -> tuple[_Head, int]:
    if not rows:
        raise DrawingFileError(Fault(code="drawing-no-lines", text=f"{name}: the file is empty"))
    cells = rows[0][1]
    words = [cell.strip().lower() for cell in cells]
    if any(word in _DEGREE_HEADS for word in words):
        raise DrawingFileError(degrees(name, ", ".join(words)[:60]))
    if any(_number(cell) is not None for cell in cells[:2]):
        return _Head(None, len(cells)), 0
    head = _Head(cells, len(cells))
    bare = [_UNIT_IN_HEAD.sub("", word).strip() if word not in (*_X, *_Y) else word for word in words]
    if not (any(word in _X for word in bare) and any(word in _Y for word in bare)):
        # A first column of point names, and no header.
        if len(cells) > 2 and all(_number(cell) is not None for cell in cells[-2:]):
            return _Head(None, len(cells)), 0
        words_ = f"its first line names no x and y: {', '.join(cells)[:60]}"
        raise DrawingFileError(_fault(name, rows[0][0], ", ".join(cells), words_))
    return head, 1


_Rings = dict[tuple[int, str], tuple[list[tuple[float, float]], list[float]]]


def _points(rows: list[_Row], head: _Head, name: str, collector: Collector) -> _Rings:
    """Points and bulges by ring (a number that grows with every empty line, and the word under `ring`)."""
    faults: list[Fault] = []
    rings: _Rings = {}
    part = 0
    lengths = any("'" in c or '"' in c or "′" in c or "’" in c for _, cells in rows for c in cells)
    for number, cells in rows:
        if not cells:
            part += 1
            continue
        try:
            x, y = (_value(cells[i], lengths) for i in (head.x, head.y))
            bulge = float(cells[head.bulge] or 0.0) if 0 <= head.bulge < len(cells) else 0.0
        except (ValueError, IndexError):
            if len(faults) < _MOST_FAULTS:
                faults.append(_fault(name, number, ", ".join(cells), "no x and y can be read"))
            continue
        word = cells[head.ring] if 0 <= head.ring < len(cells) else ""
        spots, bulges = rings.setdefault((part, word or "0"), ([], []))
        spots.append((x, y))
        bulges.append(bulge)
    if faults:
        raise DrawingFileError(faults)
    if lengths:
        collector.unit_m, collector.unit_said = 1.0, "lengths with their units"
    elif head.unit:
        from .drawing_units import UNITS

        collector.unit_m, collector.unit_said = UNITS[head.unit], f"{head.unit} (first line)"
    return rings


def _value(cell: str, lengths: bool) -> float:
    if not lengths:
        return float(cell)
    try:
        return read_length(cell, UnitStyle.FT_IN).m
    except Unreadable as error:
        raise ValueError(error.text) from error


def _number(cell: str) -> float | None:
    try:
        return _value(cell, lengths=False)
    except ValueError:
        pass
    try:
        return _value(cell, lengths=True) if cell[:1].isdigit() or cell[:1] in "-+." else None
    except ValueError:
        return None


def _fault(name: str, line: int, text: str, what: str) -> Fault:
    place = Place(file=name, line=line, text=text[:200])
    return Fault(
        code="points-unreadable", text=what, place=place, hint="write x, y in two columns on each line"
    )

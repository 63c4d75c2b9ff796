"""An hourly forecast: typed lines, or a file of comma-separated values.

A line is `2027-05-04 13:00 | 72 F | 65 % | surface 75 F | wind 8 mph | rain 20 %`; what follows the
humidity may be left out. A file has a head with `time`, `air`, `humidity` and, where known, `surface`,
`wind` and `rain`; the unit stands in each value or in the head, as `air (F)`.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from itertools import pairwise
from pathlib import Path
from typing import Final

from ..errors import DataFileError
from ..files.cells import Cell, Faults
from ..files.text import read_text
from ..patterns import pattern
from ..units.notation import Unreadable, shown
from ..units.quantities import read_percent, read_speed, read_temperature
from .model_work import Weather

MOST_ROWS: Final = 1000
"""Rows that a forecast may have: six weeks of hours."""
_EXAMPLE: Final = "2027-05-04 13:00 | 72 F | 65 % | wind 8 mph"
_HEADS: Final = {
    "time": ("time", "date", "at", "when", "hour"),
    "air": ("air", "temp", "temperature", "air temperature"),
    "humidity": ("humidity", "rh", "relative humidity"),
    "surface": ("surface", "slab", "slab temperature", "surface temperature"),
    "wind": ("wind", "wind speed"),
    "rain": ("rain", "rain chance", "chance of rain", "precipitation"),
}
_ONE_DIGIT: Final = pattern(r"^(\S+[ T])(\d:)")
_UNIT: Final = pattern(r"\s*[(\[]\s*(.*?)\s*[)\]]\s*$")


def read_time(text: str) -> datetime:
    """A date and a time of day: `2027-05-04 07:30`, or `7:30` as people write it.

    Raises:
        Unreadable: anything else, or a time with an offset from Greenwich: the site's own clock is meant.
    """
    try:
        found = datetime.fromisoformat(_ONE_DIGIT.sub(r"\g<1>0\g<2>", text.strip()))
    except ValueError:
        found = None
    if found is None or found.tzinfo is not None or len(text.strip()) < len("2027-05-04 7"):
        raise Unreadable(
            "time-unreadable",
            f"cannot read the time {shown(text.strip())}",
            "write it like 2027-05-04 07:30",
            end=max(1, len(text)),
        )
    return found


def read_humidity(text: str) -> float:
    """Relative humidity as a part of one, above 0 and up to 1."""
    share = read_percent(text)
    if not 0.0 < share <= 1.0:
        raise Unreadable(
            "humidity-range",
            f"a humidity of {shown(text.strip())} is not possible",
            "write 1 % to 100 %",
            end=max(1, len(text)),
        )
    return share


_READERS: Final[Mapping[str, Callable[[str], float]]] = {
    "air": read_temperature,
    "humidity": read_humidity,
    "surface": read_temperature,
    "wind": read_speed,
    "rain": read_percent,
}


def typed_forecast(lines: Sequence[Cell], faults: Faults) -> tuple[Weather, ...]:
    """Rows of a block, in the order of time."""
    rows = [_typed(line, faults) for line in lines[:MOST_ROWS]]
    return _in_order([row for row in rows if row is not None], faults)


def _typed(line: Cell, faults: Faults) -> Weather | None:
    cells = line.split("|")
    values: dict[str, Cell] = {}
    for k, cell in enumerate(cells[1:]):
        first, rest = cell.first_word()
        named = first.text.casefold()
        if named in ("surface", "wind", "rain"):
            values[named] = rest
        elif k < 2:
            values[("air", "humidity")[k]] = cell
        elif cell.text:
            cell.fault(faults, "forecast-cell", f"cannot tell what {shown(cell.text)} is", _EXAMPLE)
    return _weather(cells[0], values, line, faults)


def csv_forecast(text: str, name: str, faults: Faults) -> tuple[Weather, ...]:
    """Rows of a file, in the order of time."""
    lines = text.splitlines()
    try:
        table = list(csv.reader(io.StringIO(text)))
    except csv.Error:
        text = f"{name} is not a table of values with commas between them"
        faults.add("forecast-unreadable", text, None, "save it as CSV from the spreadsheet")
        return ()
    if not table or not lines:
        faults.add("forecast-empty", f"{name} holds no forecast", None, "give it a head: time,air,humidity")
        return ()
    heads = [_head(cell) for cell in table[0]]
    missing = [word for word in ("time", "air", "humidity") if word not in [head for head, _ in heads]]
    if missing:
        whole = Cell(lines[0], name, 1, 1, lines[0])
        text = f"the head has no {' and no '.join(missing)}"
        whole.fault(faults, "forecast-head", text, "write a head like time,air (F),humidity (%)")
        return ()
    rows = []
    for k, row in enumerate(table[1 : MOST_ROWS + 1]):
        if any(cell.strip() for cell in row):
            line_text = ",".join(row)
            rows.append(_from_file(heads, [Cell(c, name, k + 2, 1, line_text) for c in row], faults))
    return _in_order([row for row in rows if row is not None], faults)


def load_forecast(path: str | Path) -> tuple[Weather, ...]:
    """The forecast in a file.

    Raises:
        DataFileError: it cannot be read, or has faults.
    """
    faults = Faults()
    found = csv_forecast(read_text(path, error=DataFileError), str(path), faults)
    faults.raise_if_any(DataFileError)
    return found


def _head(text: str) -> tuple[str, str]:
    """The column's meaning and the unit that its head states."""
    unit = _UNIT.search(text)
    words = _UNIT.sub("", text).strip().casefold()
    known = next((name for name, names in _HEADS.items() if words in names), "")
    return known, unit[1] if unit else ""


def _from_file(heads: Sequence[tuple[str, str]], row: Sequence[Cell], faults: Faults) -> Weather | None:
    values: dict[str, Cell] = {}
    for (name, unit), cell in zip(heads, row, strict=False):
        bare = re.fullmatch(r"[-+.\d\s]+", cell.text)
        text = f"{cell.text.strip()} {unit}" if unit and bare else cell.text
        if name and cell.text.strip():
            values[name] = Cell(text, cell.file, cell.line, cell.column, cell.line_text, cell.place)
    at = values.pop("time", None)
    whole = row[0] if row else Cell("", "", 1, 1, "")
    if at is None:
        whole.fault(faults, "forecast-time", "this row has no time", "write it like 2027-05-04 13:00")
        return None
    return _weather(at, values, whole, faults)


def _weather(at: Cell, values: Mapping[str, Cell], line: Cell, faults: Faults) -> Weather | None:
    before = len(faults)
    time = at.read(read_time, faults)
    read = {name: cell.read(_READERS[name], faults, name) for name, cell in values.items()}
    air, humidity = read.get("air"), read.get("humidity")
    if len(faults) == before and (air is None or humidity is None):
        line.fault(faults, "forecast-short", "air temperature and humidity are both needed", _EXAMPLE)
    if time is None or air is None or humidity is None or len(faults) > before:
        return None
    return Weather(
        air_c=air,
        humidity=humidity,
        surface_c=read.get("surface"),
        wind_m_s=read.get("wind"),
        rain_chance=read.get("rain"),
        at=time,
        place=line.place,
    )


def _in_order(rows: Sequence[Weather], faults: Faults) -> tuple[Weather, ...]:
    ordered = sorted(rows, key=lambda row: row.at or datetime.min)
    for before, row in pairwise(ordered):
        if before.at == row.at:
            text = f"the forecast gives {row.at:%Y-%m-%d %H:%M} twice"
            faults.add("forecast-twice", text, row.place, "keep one of the rows")
    return tuple(ordered)

"""`[slab.offsets]`: a slab by a baseline with offsets to a free-form edge."""

from __future__ import annotations

import re
from enum import StrEnum
from itertools import pairwise

from ..files.cells import Cell
from ..patterns import pattern
from ..units.length import Length
from ..units.notation import Unreadable, shown
from .accuracy import ACCURACY_DOC, read_accuracy
from .asked import Asked
from .job import Job, counted
from .keys import Holds, Key, Keys
from .model import OffsetsShape, Side, Station
from .sides import read_side


class Edge(StrEnum):
    """How the free edge runs between stations."""

    SMOOTH = "smooth"
    STRAIGHT = "straight"


KEYS = Keys(
    "slab.offsets",
    "a baseline with offsets to a free-form edge",
    (
        Key("baseline", Holds.LENGTH, "length of the baseline", required=True),
        Key(
            "stations",
            Holds.BLOCK,
            "station along the baseline and offset there",
            required=True,
            example="4'   6' 3\"",
        ),
        Key(
            "edge",
            Holds.CHOICE,
            "how the edge runs between stations",
            "straight",
            choices=("smooth", "straight"),
        ),
        Key("along_baseline", Holds.KIND, "what stands along the baseline", "unknown"),
        Key("along_edge", Holds.KIND, "what stands along the free edge", "unknown"),
        Key("along_start", Holds.KIND, "what stands along the closing side at the first station", "unknown"),
        Key("along_end", Holds.KIND, "what stands along the closing side at the last station", "unknown"),
        Key("accuracy", Holds.LENGTH, ACCURACY_DOC, "blade tape", or_text=True),
    ),
)

_GAP = pattern(r"\s{2,}|\t|\s*[,:]\s*")


def read_offsets(job: Job, asked: Asked, who: str) -> OffsetsShape | None:
    """A baseline with offsets; None after a fault."""
    before = len(job.faults)
    baseline = asked.length("baseline")
    edge = asked.choice("edge", Edge, Edge.STRAIGHT)
    rows = [_station(job, line, who) for line in asked.lines("stations")]
    stations = tuple(row for row in rows if row is not None)
    sides = {name: _side(job, asked, name, who) for name in KEYS.names() if name.startswith("along_")}
    accuracy, instrument = read_accuracy(asked)
    asked.finish()
    if baseline is not None and len(stations) == len(rows):
        _check_stations(job, asked, stations, baseline, who)
    if len(job.faults) > before or baseline is None:
        return None
    return OffsetsShape(
        baseline=baseline,
        stations=stations,
        smooth=edge is Edge.SMOOTH,
        baseline_side=sides["along_baseline"],
        edge_side=sides["along_edge"],
        end_sides=(sides["along_end"], sides["along_start"]),
        accuracy=accuracy,
        instrument=instrument,
        place=asked.place,
    )


def _side(job: Job, asked: Asked, name: str, who: str) -> Side:
    side = read_side(job, asked.cell(name), f"{who}: {name}")
    if side.arc is not None:
        asked.fault("arc-unwanted", f"{who}: {name} is no arc", name, "leave the arc out")
    return side


def _station(job: Job, line: Cell, who: str) -> Station | None:
    pair = _two(job, line)
    if pair is None:
        job.fault(
            "station-unreadable",
            f"{who}: cannot read the line {shown(line.text)}",
            line.place,
            "write the station, some spaces, and the offset there: 4'   6' 3\"",
        )
        return None
    station, offset = job.length(pair[0], f"{who}: station"), job.length(pair[1], f"{who}: offset")
    if station is None or offset is None:
        return None
    for what, length, cell in (("station", station, pair[0]), ("offset", offset, pair[1])):
        if length.m < 0:
            job.fault(
                "length-negative",
                f"{who}: the {what} {shown(cell.text)} is below nothing",
                cell.place,
                "write 0 or more",
            )
    return Station(station=station, offset=offset, place=line.place)


def _two(job: Job, line: Cell) -> tuple[Cell, Cell] | None:
    """The two lengths of a line: apart by a comma or wide space, or where only one way to part them reads."""
    gaps = list(_GAP.finditer(line.text))
    if len(gaps) == 1:
        gap = gaps[0]
        return line.slice(0, gap.start()), line.slice(gap.end(), len(line.text))
    if gaps:
        return None
    ways = []
    for match in re.finditer(r"\s", line.text):
        first, second = line.slice(0, match.start()), line.slice(match.end(), len(line.text))
        if _reads(job, first) and _reads(job, second):
            ways.append((first, second))
    return ways[0] if len(ways) == 1 else None


def _reads(job: Job, cell: Cell) -> bool:
    try:
        job.read_length(cell.text)
    except Unreadable:
        return False
    return True


def _check_stations(
    job: Job, asked: Asked, stations: tuple[Station, ...], baseline: Length, who: str
) -> None:
    if len(stations) < 2:
        asked.fault(
            "stations-too-few",
            f"{who}: {counted(len(stations), 'station')} cannot make an edge",
            "stations",
            "give two or more",
        )
    for last, row in pairwise(stations):
        if row.station.m <= last.station.m:
            job.fault(
                "stations-order",
                f"{who}: station {row.station.text} does not come after {last.station.text}",
                row.place,
                "list the stations in order along the baseline, each once",
            )
    if stations and stations[-1].station.m > baseline.m * (1 + 1e-9):
        job.fault(
            "station-beyond",
            f"{who}: station {stations[-1].station.text} lies beyond the baseline of {baseline.text}",
            stations[-1].place,
            "check the station, or the length of the baseline",
        )
    if stations and all(row.offset.m == 0 for row in stations):
        asked.fault(
            "stations-flat", f"{who}: every offset is 0, so there is no floor", "stations", "give the offsets"
        )

"""`[slab.tape]` and `[slab.offsets]`: a slab by its taped lengths."""

from __future__ import annotations

import re
from enum import StrEnum
from itertools import pairwise

from ..files.cells import Cell
from ..survey.instruments import INSTRUMENTS
from ..units.length import Length
from ..units.notation import Unreadable, shown
from .asked import Asked
from .job import Job, counted, did_you_mean
from .keys import Holds, Key, Keys
from .model import OffsetsShape, Side, Station, TapeShape, Turning
from .sides import read_side
from .spots import Names
from .tape_lines import read_labels, read_on_side, read_ties

_ACCURACY_DOC = "one standard error of a length, or an instrument: " + ", ".join(INSTRUMENTS)

TAPE_KEYS = Keys(
    "slab.tape",
    "sides and diagonals, solved for the corners; more lengths than needed check each other",
    (
        Key(
            "corners",
            Holds.TEXT,
            "the letters in order around the slab",
            required=True,
            example='corners = "A B C D"',
        ),
        Key(
            "turning",
            Holds.CHOICE,
            "the way round that they are listed; A goes to the origin, A-B along the sheet",
            required=True,
            choices=tuple(turning.value for turning in Turning),
        ),
        Key(
            "lengths",
            Holds.BLOCK,
            "taped lengths; `?` for a side not taped",
            required=True,
            example="A-B   26' 0 1/8\"   | wall",
        ),
        Key("accuracy", Holds.LENGTH, _ACCURACY_DOC, "blade tape", or_text=True),
        Key("square", Holds.TEXT, "corners checked square", example='square = "A B"'),
        Key(
            "inward",
            Holds.TEXT,
            "corners that stand in, or none: settles mirror solutions",
            "asked where it matters",
        ),
        Key("points", Holds.TEXT, "letters of points that are no corners, such as the middle of a post"),
        Key("on_side", Holds.BLOCK, "points that lie along a side", example="P   A-B"),
    ),
)


class Edge(StrEnum):
    """How the free edge runs between stations."""

    SMOOTH = "smooth"
    STRAIGHT = "straight"


OFFSETS_KEYS = Keys(
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
        Key("accuracy", Holds.LENGTH, _ACCURACY_DOC, "blade tape", or_text=True),
    ),
)

_GAP = re.compile(r"\s{2,}|\t|\s*[,:]\s*")
LEAST_CORNERS = 3


def read_accuracy(asked: Asked) -> tuple[Length | None, str]:
    """(one standard error, name of an instrument): one of them, or neither."""
    cell = asked.cell("accuracy")
    if cell is None:
        return None, ""
    name = " ".join(cell.text.lower().split())
    if name in INSTRUMENTS:
        return None, name
    if not re.match(r"\s*[0-9.½⅓⅔¼¾⅛⅜⅝⅞+-]", cell.text):
        asked.fault(
            "instrument-unknown",
            f"accuracy: no instrument is called {shown(cell.text)}",
            "accuracy",
            did_you_mean(name, INSTRUMENTS),
        )
        return None, ""
    return asked.job.positive(cell, "accuracy"), ""


def read_tape(job: Job, asked: Asked, who: str) -> TapeShape | None:
    """A tape sheet; None after a fault."""
    before = len(job.faults)
    labels = {name: _labels(job, asked, name, who) for name in ("corners", "square", "points")}
    names = Names(labels["corners"], labels["points"])
    turning = asked.choice("turning", Turning)
    inward = _inward(job, asked, who)
    _check_labels(asked, names, {"square": labels["square"], "inward": inward or ()}, who)
    ties, untaped = read_ties(job, asked.lines("lengths"), names, who)
    on_side = read_on_side(job, asked.lines("on_side"), names, who)
    accuracy, instrument = read_accuracy(asked)
    asked.finish()
    if len(job.faults) > before or turning is None:
        return None
    return TapeShape(
        corners=names.corners,
        turning=turning,
        ties=ties,
        squares=labels["square"],
        points=names.points,
        accuracy=accuracy,
        instrument=instrument,
        on_side=on_side,
        untaped=untaped,
        inward=inward,
        place=asked.place,
    )


def _inward(job: Job, asked: Asked, who: str) -> tuple[str, ...] | None:
    """Corners that stand in; () where the plan says that none does, None where it says nothing."""
    if "inward" not in asked:
        return None
    return () if asked.text("inward").lower() == "none" else _labels(job, asked, "inward", who)


def _labels(job: Job, asked: Asked, name: str, who: str) -> tuple[str, ...]:
    return tuple(label for cell in asked.cells(name) for label in read_labels(job, cell, f"{who}: {name}"))


def _check_labels(asked: Asked, names: Names, lists: dict[str, tuple[str, ...]], who: str) -> None:
    if "corners" in asked and len(names.corners) < LEAST_CORNERS:
        asked.fault(
            "outline-too-short",
            f"{who}: {counted(len(names.corners), 'corner')} cannot make a floor",
            "corners",
            "name every corner",
        )
    for key, labels in lists.items():
        for label in labels:
            if label not in names.corners:
                asked.fault(
                    "corner-unknown",
                    f"{who}: {key}: no corner is called {label}",
                    key,
                    did_you_mean(label, names.corners),
                )
    for label in names.points:
        if label in names.corners:
            asked.fault(
                "corner-label-repeated", f"{who}: the point {label} is a corner too", "points", "rename it"
            )


def read_offsets(job: Job, asked: Asked, who: str) -> OffsetsShape | None:
    """A baseline with offsets; None after a fault."""
    before = len(job.faults)
    baseline = asked.length("baseline")
    edge = asked.choice("edge", Edge, Edge.STRAIGHT)
    rows = [_station(job, line, who) for line in asked.lines("stations")]
    stations = tuple(row for row in rows if row is not None)
    sides = {name: _side(job, asked, name, who) for name in OFFSETS_KEYS.names() if name.startswith("along_")}
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

"""The lines of a walk: `A   right 26'   | wall`, `turn left 118, 20'`, `N 35 E 12'`, `? 14'`."""

from __future__ import annotations

import re
from collections.abc import Sequence

from ..errors import Place
from ..files.cells import Cell
from ..patterns import pattern
from ..units.length import Length
from ..units.notation import Unreadable, shown
from ..units.reading import read_angle, read_bearing
from .job import Job, counted
from .labels import LABEL, lettered
from .model import Heading, HeadingKind, Leg, WalkShape
from .sides import bar_cure, read_side

WALK_EXAMPLE = "A   right 26'   | wall"
_HINT = (
    f"write it like: {WALK_EXAMPLE} (right, left, up, down, N, E, S, W, N 35 E, azimuth 125.5, "
    "turn left 118, inside 62, or ? for what is missing)"
)
_SHEET = {"right": 0.0, "up": 90.0, "left": 180.0, "down": 270.0}
_NUMBER = r"[0-9]+(?:\.[0-9]*)?|\.[0-9]+"
# Minutes need a degree sign before them: `inside 62 20'` is 62 degrees, then twenty feet.
_ANGLE = rf"(?:{_NUMBER})(?:\s*[°º](?:\s*[0-9]+['′’](?:\s*[0-9.]+[\"″”])?)?|\s*deg(?:rees)?\b)?"
_COMPASS = r"north|south|east|west|[nesw]"
_HEADING = pattern(
    rf"""(?P<missing>\?)
       | (?P<sheet>right|left|up|down)\b
       | turn\s+(?P<turn>left|right)\b(?:\s+(?P<turned>{_ANGLE})(?=\s|,|$)(?!\s*['"]))?
       | inside\s+(?P<inside>{_ANGLE})(?=\s|,|$)
       | azimuth\s+(?P<azimuth>{_ANGLE})(?=\s|,|$)
       | (?P<bearing>(?:north|south|[ns])\s*[0-9.][^|a-z,]*(?:deg\b[^|a-z,]*)?(?:east|west|[ew]))\b
       | (?P<compass>{_COMPASS})\b""",
    re.IGNORECASE | re.VERBOSE,
)
_UP_DEG = 90.0
_TURN_DEG = 90.0


def read_walk(
    job: Job,
    lines: Sequence[Cell],
    who: str,
    *,
    accuracy: Length | None = None,
    instrument: str = "",
    angle_accuracy_deg: float | None = None,
    place: Place | None = None,
) -> WalkShape | None:
    """Directions and lengths round a slab; None after a fault."""
    before = len(job.faults)
    rows = [_read_leg(job, line, number, who) for number, line in enumerate(lines, 1)]
    legs = _named(job, [row for row in rows if row is not None], who)
    if len(job.faults) == before:
        _check(job, legs, who, place)
    if len(job.faults) > before:
        return None
    return WalkShape(
        legs=legs,
        accuracy=accuracy,
        instrument=instrument,
        angle_accuracy_deg=angle_accuracy_deg,
        place=place,
    )


def walked_labels(lines: Sequence[Cell]) -> tuple[str, ...]:
    """The letters of corners, whatever else may be wrong with their lines."""
    return lettered([_label(line.partition("|")[0])[0] for line in lines])


def _read_leg(job: Job, line: Cell, number: int, who: str) -> Leg | None:
    left, bar = line.partition("|")
    label, rest = _label(left)
    corner = f"corner {label or number}"
    found = _HEADING.match(rest.text)
    if found is None:
        job.fault("walk-unreadable", f"{who}: cannot read the line {shown(left.text)}", left.place, _HINT)
        return None
    heading = _heading(job, rest, found, corner)
    after = rest.slice(found.end(), len(rest.text)).strip()
    if after.text.startswith(","):
        after = after.slice(1, len(after.text)).strip()
    cure = bar_cure(left.text, left.text.count(",") - after.text.count(",") + 1, bar)
    if cure:
        job.fault("walk-unreadable", f"{who}: cannot read the line {shown(left.text)}", left.place, cure)
        return None
    length = _length(job, rest, after, corner)
    side = read_side(job, bar, f"side from {corner}")
    if heading is None:
        return None
    return Leg(label=label, heading=heading, length=length, side=side, place=left.place)


def _label(cell: Cell) -> tuple[str, Cell]:
    """The corner's letter, or "", and the rest: a first word is a letter where a direction follows it."""
    word, rest = cell.first_word()
    starts = _HEADING.match(cell.text)
    if rest and LABEL.fullmatch(word.text):
        follows = _HEADING.match(rest.text)
        if follows and not (starts and starts.end() > len(word.text)):
            return word.text, rest
    return "", cell


def _heading(job: Job, cell: Cell, found: re.Match[str], who: str) -> Heading | None:
    text = " ".join(found[0].split())
    try:
        return _heading_of(job, found, text)
    except Unreadable as problem:
        place = cell.part(found.start(), found.end())
        job.fault(problem.code, f"{who}: {problem.text}", place, problem.hint)
        return None


def _heading_of(job: Job, found: re.Match[str], text: str) -> Heading:
    if found["missing"]:
        return Heading(kind=HeadingKind.MISSING, text=text)
    if found["sheet"]:
        return Heading(kind=HeadingKind.ABSOLUTE, degrees=_SHEET[found["sheet"].lower()], text=text)
    if found["turn"]:
        degrees = read_angle(found["turned"]) if found["turned"] else _TURN_DEG
        way = 1.0 if found["turn"].lower() == "left" else -1.0
        return Heading(kind=HeadingKind.TURN, degrees=way * degrees, text=text)
    if found["inside"]:
        return Heading(kind=HeadingKind.INSIDE, degrees=read_angle(found["inside"]), text=text)
    azimuth = read_angle(found["azimuth"]) if found["azimuth"] else read_bearing(found[0])
    north = _UP_DEG if job.sheet.north_deg is None else job.sheet.north_deg
    return Heading(kind=HeadingKind.ABSOLUTE, degrees=(north - azimuth) % 360.0, text=text)


def _length(job: Job, line: Cell, cell: Cell, who: str) -> Length | None:
    if cell.text == "?":
        return None
    if not cell:
        job.fault(
            "walk-length-missing",
            f"{who}: no length stands after {shown(line.text)}",
            line.place,
            "add the length, or ? where it is to be found from closing",
        )
        return None
    return job.positive(cell, who)


def _named(job: Job, legs: list[Leg], who: str) -> tuple[Leg, ...]:
    labels = lettered([leg.label for leg in legs])
    seen: dict[str, Leg] = {}
    named = []
    for label, leg in zip(labels, legs, strict=True):
        if label in seen:
            first = seen[label].place
            job.fault(
                "corner-label-repeated",
                f"{who}: two corners are called {label}",
                leg.place,
                f"the first stands in line {first.line}" if first else "",
            )
        seen.setdefault(label, leg)
        named.append(Leg(label=label, heading=leg.heading, length=leg.length, side=leg.side, place=leg.place))
    return tuple(named)


def _check(job: Job, legs: tuple[Leg, ...], who: str, place: Place | None) -> None:
    if len(legs) < 2:
        job.fault(
            "outline-too-short",
            f"{who}: {counted(len(legs), 'side')} cannot make a floor",
            place,
            "type every side",
        )

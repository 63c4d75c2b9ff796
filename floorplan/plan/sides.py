"""What stands along a side, as typed after the bar: `siding` or `open, arc rise 2' out`."""

from __future__ import annotations

import re

from ..files.cells import Cell
from ..patterns import pattern
from ..units.notation import shown
from .edge_kinds import UNKNOWN
from .job import Job, did_you_mean
from .model import ArcSpec, Bulge, Side

_ARC = pattern(
    r"arc\s+(?P<what>rise|radius)\s+(?P<length>.*?)\s*(?:\b(?P<bulge>in|out)(?:wards?)?(?:\s+(?P<major>major))?)?",
    re.IGNORECASE,
)
_BARE = pattern(r"[0-9][0-9./ ]*")
_HINT = "write it like: open, arc rise 2' out  or  open, arc radius 20' in"


def read_side(job: Job, cell: Cell | None, who: str) -> Side:
    """The kind and the arc of a side; without a cell, or with an empty one, the kind is unknown.

    Args:
        job: keeps the faults; the side is then as much as could be read.
        cell: what stands after the bar.
        who: begins the words of a fault, e.g. "side from corner A".
    """
    if cell is None or not cell.text:
        return Side(place=cell.place if cell else None)
    if "|" in cell.text:
        first, _, second = (part.strip() for part in cell.text.partition("|"))
        text = f"{who}: {shown(cell.text)} has a second bar"
        job.fault("side-bars", text, cell.place, f"write a comma there: {first}, {second}")
        return Side(place=cell.place)
    kind_cell, rest = cell.partition(",")
    if kind_cell.text.lower().startswith("arc "):
        if rest is not None and tidy_kind(rest.text) in job.edge_kinds:
            return Side(kind=read_kind(job, rest, who), arc=_read_arc(job, kind_cell, who), place=cell.place)
        return Side(arc=_read_arc(job, cell, who), place=cell.place)
    kind = read_kind(job, kind_cell, who)
    arc = _read_arc(job, rest, who) if rest is not None else None
    return Side(kind=kind, arc=arc, place=cell.place)


def tidy_kind(text: str) -> str:
    """The name of an edge kind as the table has it: lower case, single spaces."""
    return " ".join(text.lower().split())


def read_kind(job: Job, cell: Cell, who: str) -> str:
    """The name of an edge kind; nothing or `?` is unknown, and so is one that no row has, after a fault."""
    name = tidy_kind(cell.text)
    if name in job.edge_kinds:
        return name
    if name not in ("", "?"):
        job.fault(
            "edge-kind-unknown",
            f"{who}: no edge kind is called {shown(cell.text)}",
            cell.place,
            did_you_mean(name, job.edge_kinds),
        )
    return UNKNOWN


def _read_arc(job: Job, cell: Cell, who: str) -> ArcSpec | None:
    match = _ARC.fullmatch(cell.text)
    if match is None:
        job.fault("arc-unreadable", f"{who}: cannot read the arc {shown(cell.text)}", cell.place, _HINT)
        return None
    if not _says_which_way(job, cell, match, who):
        return None
    length = job.positive(cell.slice(match.start("length"), match.end("length")), f"{who}: the arc")
    if length is None:
        return None
    bulge, major = Bulge(match["bulge"].lower()), bool(match["major"])
    if match["what"].lower() == "radius":
        return ArcSpec(radius=length, bulge=bulge, major=major)
    if major:
        job.fault(
            "arc-major-rise",
            f"{who}: a rise already says which way round the arc goes",
            cell.part(match.start("major"), match.end("major")),
            "leave major out; it goes with a radius only",
        )
    return ArcSpec(rise=length, bulge=bulge)


def _says_which_way(job: Job, cell: Cell, match: re.Match[str], who: str) -> bool:
    """False after a fault: an arc stands out of or into the floor, and `2 in` may be inches."""
    what, length = match["what"].lower(), match["length"]
    if match["bulge"] is None:
        job.fault(
            "arc-way-missing",
            f"{who}: {shown(cell.text)} does not say which way the arc stands",
            cell.place,
            f"end with out (out of the floor) or in (into it): arc {what} {length or '2 ft'} out",
        )
        return False
    if match["bulge"].lower() == "in" and _BARE.fullmatch(length):
        job.fault(
            "arc-in-ambiguous",
            f"{who}: {shown(cell.text)} may mean inches, or an arc into the floor",
            cell.place,
            f"write arc {what} {length} in out, or arc {what} {length}' in",
        )
        return False
    return True


def bar_cure(left: str, numbers: int, bar: Cell | None) -> str:
    """What would be right where words of the side stand before the bar, as in `B 7', 3', wall`; else "".

    Args:
        left: what stands before the bar.
        numbers: how many parts between its commas belong there.
        bar: what stands behind it.
    """
    parts = [part.strip() for part in left.split(",")]
    words = parts[numbers:]
    if not (words and all(word[:1].isalpha() for word in words)):
        return ""
    side = ", ".join([*([bar.text] if bar else []), *words])
    return f"what stands along the side goes behind a bar: {', '.join(parts[:numbers])}   | {side}"

"""Points and places named by letters: `6', 20'`, `B`, a side `A-B`."""

from __future__ import annotations

from functools import cached_property

from ..files.cells import Cell
from ..units.notation import shown
from ..values import dataclass
from .job import Job, did_you_mean
from .labels import LABEL
from .model import OffsetsShape, OutlineShape, Point, Shape, Spot, TapeShape, WalkShape

DASHES = str.maketrans("–—−‐‑", "-----")


@dataclass(frozen=True)
class Names:
    """The letters that a slab's shape gives.

    Attributes:
        corners: in order around the slab; empty where they are only known once the shape is solved.
        points: other taped points.
    """

    corners: tuple[str, ...] = ()
    points: tuple[str, ...] = ()

    @cached_property
    def spots(self) -> dict[str, None]:
        """Everything that a letter may name."""
        return dict.fromkeys(self.corners + self.points)

    @cached_property
    def sides(self) -> dict[tuple[str, str], None]:
        """Every side by its corners, in order around the slab."""
        return dict.fromkeys(zip(self.corners, self.corners[1:] + self.corners[:1], strict=True))


def names_of(shape: Shape | None) -> Names:
    """The letters of a shape as typed."""
    match shape:
        case OutlineShape(corners=corners):
            return Names(tuple(corner.label for corner in corners))
        case WalkShape(legs=legs):
            return Names(tuple(leg.label for leg in legs))
        case TapeShape(corners=labels, points=points):
            return Names(labels, points)
        case OffsetsShape() | None:
            return Names()


def read_point(job: Job, cell: Cell, who: str) -> Point | None:
    """`x, y`; None after a fault."""
    parts = cell.split(",")
    if len(parts) != 2 or not all(parts):
        job.fault(
            "point-unreadable",
            f"{who}: cannot read the point {shown(cell.text)}",
            cell.place,
            "write x and y with one comma between, as 26', 14' 3\"",
        )
        return None
    x, y = (job.length(part, who) for part in parts)
    return None if x is None or y is None else Point(x=x, y=y, place=cell.place)


def read_spot(job: Job, cell: Cell, names: Names, who: str) -> Spot | None:
    """A point, or a letter of the shape; None after a fault."""
    if "," in cell.text:
        return read_point(job, cell, who)
    label = cell.text
    if LABEL.fullmatch(label) and (label in names.spots or not names.corners):
        return label
    if label[:1].isdigit() or label[:1] in ("-", "−", "+", "."):
        text = f"{who}: {shown(label)} is one length, and a point takes two"
        hint = "write x and y in one text with a comma between, as \"26', 14'\""
        job.fault("point-half", text, cell.place, hint)
        return None
    if names.corners:
        hint = did_you_mean(label, names.spots)
    else:
        hint = "write x and y with a comma between, or the letter of a corner"
    job.fault("corner-unknown", f"{who}: no corner or point is called {shown(label)}", cell.place, hint)
    return None


def split_pair(cell: Cell) -> tuple[Cell, Cell] | None:
    """The two letters of `A-B`; None where that is not what stands there."""
    at = cell.text.translate(DASHES).find("-")
    if at < 0:
        return None
    first, second = cell.slice(0, at).strip(), cell.slice(at + 1, len(cell.text)).strip()
    good = LABEL.fullmatch(first.text) and LABEL.fullmatch(second.text)
    return (first, second) if good else None


def read_side_name(job: Job, cell: Cell, names: Names, who: str) -> tuple[str, str] | None:
    """A side `A-B`, given back in the order around the slab; None after a fault."""
    pair = split_pair(cell)
    if pair is None:
        job.fault(
            "side-unreadable",
            f"{who}: {shown(cell.text)} does not name a side",
            cell.place,
            "name a side by its two corners, as A-B",
        )
        return None
    start, end = pair[0].text, pair[1].text
    if not names.corners:
        return start, end
    return _known_side(job, cell, pair, names, who)


def _known_side(
    job: Job, cell: Cell, pair: tuple[Cell, Cell], names: Names, who: str
) -> tuple[str, str] | None:
    strange = [part for part in pair if part.text not in names.corners]
    for part in strange:
        job.fault(
            "corner-unknown",
            f"{who}: no corner is called {shown(part.text)}",
            part.place,
            did_you_mean(part.text, names.corners),
        )
    if strange:
        return None
    start, end = pair[0].text, pair[1].text
    for side in ((start, end), (end, start)):
        if side in names.sides:
            return side
    near = " and ".join(f"{a}-{b}" for a, b in names.sides if start in (a, b))
    job.fault(
        "side-unknown",
        f"{who}: {start}-{end} is not a side",
        cell.place,
        f"the sides at {start} are {near}",
    )
    return None

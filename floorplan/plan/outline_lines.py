"""The lines of an outline: `A   26', 14' 3"   | open, arc rise 2' out`."""

from __future__ import annotations

import re
from collections.abc import Sequence

from ..errors import Place
from ..files.cells import Cell
from ..units.length import Length
from ..units.notation import Unreadable, shown
from .job import Job, counted
from .labels import LABEL, lettered
from .model import Corner, OutlineShape, Point, Side
from .sides import bar_cure, read_side

CORNER_EXAMPLE = "A   26', 14' 3\"   | wall"
_STARTS_WITH_LETTER = re.compile(r"[^\W\d]")
_PLAIN = re.compile(
    r"""(?:(?P<label>[^\W\d]\w*+)\s++)?(?P<x>[^,|]*[^,|\s])\s*+,
        \s*+(?P<y>[^,|]*[^,|\s])\s*+(?:\|\s*+(?P<kind>[a-z\ ]*[a-z]))?""",
    re.VERBOSE,
)


def read_outline(job: Job, lines: Sequence[Cell], who: str, place: Place) -> OutlineShape | None:
    """Typed corners with what stands along each side; None after a fault that leaves no outline."""
    before = len(job.faults)
    rows = [
        _plain_row(job, line) or _read_row(job, line, number, who) for number, line in enumerate(lines, 1)
    ]
    if len(job.faults) > before:
        return None
    good = [row for row in rows if row is not None]
    labels = lettered([label for label, _, _ in good])
    corners = tuple(
        Corner(label=label, at=point, place=point.place)
        for label, (_, point, _) in zip(labels, good, strict=True)
    )
    sides = tuple(side for _, _, side in good)
    if not (_enough(job, sides, who, place) and _labels_differ(job, corners, who)):
        return None
    _no_corner_twice(job, corners, who)
    return OutlineShape(corners=corners, sides=sides)


def typed_labels(job: Job, lines: Sequence[Cell]) -> tuple[str, ...]:
    """The letters of corners, whatever else may be wrong with their lines."""
    firsts = (line.partition("|")[0].partition(",")[0] for line in lines)
    return lettered([_label_and_x(job, first, number)[0] for number, first in enumerate(firsts, 1)])


def _plain_row(job: Job, line: Cell) -> tuple[str, Point, Side] | None:
    """What `_read_row` gives for a line without arcs, faults and oddities, in a third of the time."""
    match = _PLAIN.fullmatch(line.text)
    if match is None or (match["kind"] and match["kind"] not in job.edge_kinds):
        return None
    try:
        x, y = job.read_length(match["x"]), job.read_length(match["y"])
    except Unreadable:
        return None
    point = Point(x=x, y=y, place=line.part(0, match.end("y")))
    if not match["kind"]:
        return match["label"] or "", point, Side()
    return match["label"] or "", point, Side(kind=match["kind"], place=line.part(*match.span("kind")))


def _comma_hint(text: str) -> str:
    """What would be right where decimals have commas, as in `B 7,85, 3,2`; "" where they have not."""
    apart = re.sub(r"(?<=\d),(?=\d)", ".", text)
    return f"write decimals with a point: {apart}" if apart != text and apart.count(",") == 1 else ""


def _read_row(job: Job, line: Cell, number: int, who: str) -> tuple[str, Point, Side] | None:
    left, bar = line.partition("|")
    x_cell, y_cell = left.partition(",")
    if y_cell is None or not y_cell or "," in y_cell.text:
        job.fault(
            "corner-unreadable",
            f"{who}: cannot read the corner {shown(left.text)}",
            left.place,
            bar_cure(left.text, 2, bar) or _comma_hint(left.text) or f"write it like: {CORNER_EXAMPLE}",
        )
        return None
    label, x_cell, x = _label_and_x(job, x_cell, number)
    corner = f"corner {label or number}"
    if x is None:
        x = job.length(x_cell, corner)
    y = job.length(y_cell, corner)
    side = read_side(job, bar, f"side from {corner}")
    if x is None or y is None:
        return None
    return label, Point(x=x, y=y, place=left.place), side


def _label_and_x(job: Job, cell: Cell, number: int) -> tuple[str, Cell, Length | None]:
    """A corner's own letter, or "", the cell of its x, and x where it is known already."""
    word, rest = cell.first_word()
    if not rest or not LABEL.fullmatch(word.text):
        return "", cell, None
    if _STARTS_WITH_LETTER.match(word.text):
        return word.text, rest, None
    try:
        return "", cell, job.read_length(cell.text)
    except Unreadable as problem:
        # `12 6` may be feet and inches without marks; a numbered corner stands apart or in its turn.
        apart = rest.column - word.column - len(word.text) > 1 or word.text == str(number)
        if problem.code == "length-ambiguous" and not apart:
            return "", cell, None
    try:
        return word.text, rest, job.read_length(rest.text)
    except Unreadable:
        return "", cell, None


def _enough(job: Job, sides: tuple[Side, ...], who: str, place: Place) -> bool:
    if len(sides) >= 3 or (len(sides) == 2 and any(side.arc for side in sides)):
        return True
    job.fault(
        "outline-too-short",
        f"{who}: {counted(len(sides), 'corner')} cannot make a floor",
        place,
        "type three corners or more, one a line",
    )
    return False


def _labels_differ(job: Job, corners: tuple[Corner, ...], who: str) -> bool:
    first: dict[str, Corner] = {}
    for corner in corners:
        if corner.label in first:
            seen = first[corner.label].place
            job.fault(
                "corner-label-repeated",
                f"{who}: two corners are called {corner.label}",
                corner.place,
                f"the first stands in line {seen.line}" if seen else "",
            )
        first.setdefault(corner.label, corner)
    return len(first) == len(corners)


def _no_corner_twice(job: Job, corners: tuple[Corner, ...], who: str) -> None:
    for last, corner in zip(corners[-1:] + corners[:-1], corners, strict=True):
        if last.at != corner.at:
            continue
        if corner is corners[0]:
            job.fault(
                "corner-repeated",
                f"{who}: the last corner {last.label} stands on the first, {corner.label}",
                last.place,
                "leave the last line out: the outline closes by itself",
            )
        else:
            job.fault(
                "corner-repeated",
                f"{who}: corner {corner.label} stands on corner {last.label}, so the side has no length",
                corner.place,
                "leave one of them out, or check its numbers",
            )

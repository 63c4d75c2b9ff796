"""The lines of a tape sheet: `A-B   26' 0 1/8"   | wall`, and its lists of letters."""

from __future__ import annotations

import re
from collections.abc import Sequence

from ..files.cells import Cell
from ..patterns import pattern
from ..units.length import Length
from ..units.notation import shown
from .job import Job, did_you_mean
from .labels import LABEL
from .model import Side, Tie
from .sides import read_side
from .spots import DASHES, Names, read_side_name

TIE_EXAMPLE = "A-B   26' 0 1/8\"   | wall"
_PAIR = pattern(r"(\w+)\s*(?:-|\bto\b)\s*(\w+)(?:\s+|\s*[:=]\s*)(?=\S)", re.IGNORECASE)
_ACCURACY = pattern(r"\s*(?:±|\+/-|\+-)\s*")


def read_labels(job: Job, cell: Cell, who: str) -> tuple[str, ...]:
    """Letters between spaces or commas."""
    labels: dict[str, None] = {}
    for part in cell.split(","):
        for word in part.words():
            if not LABEL.fullmatch(word.text):
                job.fault(
                    "label-unreadable",
                    f"{who}: {shown(word.text)} is no letter or name of a corner",
                    word.place,
                    "use letters and digits, as A, B, C or A1",
                )
            elif word.text in labels:
                job.fault("corner-label-repeated", f"{who}: {word.text} stands there twice", word.place)
            else:
                labels[word.text] = None
    return tuple(labels)


def read_ties(
    job: Job, lines: Sequence[Cell], names: Names, who: str
) -> tuple[tuple[Tie, ...], tuple[tuple[str, str, Side], ...]]:
    """Every taped length, and the sides typed with `?` instead of one."""
    ties: dict[frozenset[str], Tie] = {}
    untaped = []
    for line in lines:
        row = _read_tie(job, line, names, who)
        if isinstance(row, Tie):
            _keep(job, ties, row, line, who)
        elif row is not None:
            untaped.append(row)
    return tuple(ties.values()), tuple(untaped)


def _keep(job: Job, ties: dict[frozenset[str], Tie], tie: Tie, line: Cell, who: str) -> None:
    pair = frozenset((tie.start, tie.end))
    if pair in ties:
        first = ties[pair].place
        job.fault(
            "tape-repeated",
            f"{who}: {tie.start}-{tie.end} is taped twice",
            line.place,
            f"the first stands in line {first.line}: keep one of them" if first else "",
        )
    ties.setdefault(pair, tie)


def _read_tie(job: Job, line: Cell, names: Names, who: str) -> Tie | tuple[str, str, Side] | None:
    left, bar = line.partition("|")
    match = _PAIR.match(left.text.translate(DASHES))
    if match is None:
        job.fault(
            "tape-unreadable",
            f"{who}: cannot read the line {shown(left.text)}",
            left.place,
            f"write it like: {TIE_EXAMPLE}",
        )
        return None
    start, end = left.slice(*match.span(1)), left.slice(*match.span(2))
    good = _known_pair(job, start, end, names, who)
    label = f"{start.text}-{end.text}"
    is_side = (start.text, end.text) in names.sides or (end.text, start.text) in names.sides
    side = _side(job, bar, label, is_side)
    value = left.slice(match.end(), len(left.text)).strip()
    if value.text == "?":
        return _untaped(job, value, (start.text, end.text), side, label)
    length, accuracy = _length_and_accuracy(job, value, label)
    if length is None or not good:
        return None
    return Tie(start=start.text, end=end.text, length=length, side=side, accuracy=accuracy, place=left.place)


def _known_pair(job: Job, start: Cell, end: Cell, names: Names, who: str) -> bool:
    good = True
    for cell in (start, end):
        if cell.text not in names.spots:
            job.fault(
                "corner-unknown",
                f"{who}: no corner or point is called {shown(cell.text)}",
                cell.place,
                did_you_mean(cell.text, names.spots, otherwise="add it to corners, or to points"),
            )
            good = False
    if start.text == end.text:
        job.fault(
            "tape-to-itself",
            f"{who}: a length from {start.text} to itself",
            start.place,
            "name two different corners",
        )
        good = False
    return good


def _side(job: Job, bar: Cell | None, label: str, is_side: bool) -> Side | None:
    if bar is None:
        return None
    if not is_side:
        job.fault(
            "tape-side-of-tie",
            f"{label} is not a side, so nothing stands along it",
            bar.place,
            "leave out what stands after the bar, or correct the letters",
        )
        return None
    return read_side(job, bar, f"side {label}")


def _untaped(
    job: Job, value: Cell, pair: tuple[str, str], side: Side | None, label: str
) -> tuple[str, str, Side] | None:
    if side is None:
        job.fault(
            "tape-unreadable",
            f"{label}: a length that is not known says nothing",
            value.place,
            "leave the line out, or say what stands along the side: A-B   ?   | wall",
        )
        return None
    return (*pair, side)


def _length_and_accuracy(job: Job, cell: Cell, label: str) -> tuple[Length | None, Length | None]:
    parts = _ACCURACY.split(cell.text, maxsplit=1)
    length = job.positive(cell.slice(0, len(parts[0])), label)
    if len(parts) == 1:
        return length, None
    start = len(cell.text) - len(parts[1])
    return length, job.positive(cell.slice(start, len(cell.text)).strip(), f"{label}: the accuracy")


def read_on_side(job: Job, lines: Sequence[Cell], names: Names, who: str) -> tuple[tuple[str, str, str], ...]:
    """Points that lie along a side, a line each: `P   A-B`."""
    rows = []
    for line in lines:
        label, rest = line.first_word()
        if label.text not in names.points:
            job.fault(
                "corner-unknown",
                f"{who}: no point is called {shown(label.text)}",
                label.place,
                did_you_mean(label.text, names.points, otherwise="add it to points"),
            )
        side = read_side_name(job, rest, names, who)
        if side and label.text in names.points:
            rows.append((label.text, *side))
    return tuple(rows)

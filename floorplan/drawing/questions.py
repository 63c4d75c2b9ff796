"""What is open before work starts, with a line to write each answer on; and, apart, what there is to know."""

from __future__ import annotations

from typing import Final

from ..errors import Notice
from ..measure.model import SlabTakeoff
from .blocks import Block, Row, item, stack
from .edges import UNKNOWN
from .forms import blank_row
from .job import Job
from .lettering import BODY
from .marks import Mark

STATEMENTS: Final = frozenset(
    {
        "gap-narrow", "pockets",
        "joint-outside", "joint-doubled", "joint-along-edge", "joint-clipped",
        "joint-treatment-doubtful", "cutouts-overlap", "cutout-over-edge",
        "entry-cut-off", "floor-parts", "floor-split",
        "walk-amber", "walk-angles-amber", "walk-unchecked", "walk-taken-clockwise",
        "tape-rougher", "tape-weak-corner", "tape-part-unchecked",
        "drawing-block-bomb", "drawing-cut-off", "drawing-drawn-twice", "drawing-gap-closed",
        "drawing-hatches-used", "drawing-heights-dropped", "drawing-hidden-layers", "drawing-islands",
        "drawing-labels", "drawing-left-out", "drawing-loop-dropped", "drawing-loose-lines",
        "drawing-mended", "drawing-moved", "drawing-no-sections", "drawing-reference",
        "drawing-units-overruled",
    }
)  # fmt: skip
"""Warnings that say how things are or what was done; every other one asks for an answer."""

_TWO_FROM = 3
"""So many sides to ask about share lines, two on each."""


def questions(job: Job, room_mm: float, heading: str) -> Block | None:
    """Unknown edges, loudly, then every other question, each with a line for the answer."""
    rows: list[Row] = []
    for slab in job.slabs:
        unknown = unknown_edges(slab)
        if unknown:
            where = f" of {slab.name}" if len(job.takeoff.slabs) > 1 else ""
            words = f"ASK what stands along {', '.join(unknown)}{where}: ground by hand until known."
            asked = item(words, room_mm, height=BODY, bold=True, bullet="")
            lines = _answers(unknown, room_mm)
            rows += [stack([asked, lines[0]]), *lines[1:]]
    for notice in _notices(job, statements=False):
        rows.append(stack([item(notice_words(notice), room_mm, bullet="?"), blank_row("answer", room_mm)]))
    return _block(heading, rows, room_mm, loud=True)


def statements(job: Job, room_mm: float, heading: str) -> Block | None:
    """What the crew must know and nobody has to answer."""
    rows = [item(notice_words(notice), room_mm, bullet="!") for notice in _notices(job, statements=True)]
    return _block(heading, rows, room_mm)


def _block(heading: str, rows: list[Row], room_mm: float, *, loud: bool = False) -> Block | None:
    return (
        Block(heading=heading, width_mm=room_mm, rows=tuple(rows), loud=loud, splits=True) if rows else None
    )


def _notices(job: Job, *, statements: bool) -> list[Notice]:
    return [
        notice
        for notice in job.takeoff.notices
        if notice.code != "edge-unknown"
        and (notice.code in STATEMENTS) is statements
        and not job.is_elsewhere(notice)
    ]


def _answers(names: list[str], room_mm: float) -> list[Row]:
    """A line to write on for each name; two on a row where there are many."""
    if len(names) < _TWO_FROM:
        return [blank_row(name, room_mm) for name in names]
    half = 0.5 * room_mm - 1.5
    cells = [blank_row(name, half) for name in names]
    return [_beside(cells[k : k + 2], half + 3.0) for k in range(0, len(cells), 2)]


def _beside(rows: list[Row], step_mm: float) -> Row:
    def paint(x: float, top: float) -> tuple[Mark, ...]:
        return tuple(mark for k, row in enumerate(rows) for mark in row.paint(x + k * step_mm, top))

    return Row(max(row.height_mm for row in rows), paint)


def unknown_edges(slab: SlabTakeoff) -> list[str]:
    """Edges of unknown kind; sides that follow each other as one stretch, "A to D"."""
    sides = [edge.side for edge in slab.edges if edge.side is not None and edge.kind == UNKNOWN]
    labels = [corner.label for corner in slab.corners]
    stretches: list[list[int]] = []
    for side in sides:
        if stretches and stretches[-1][-1] == side - 1:
            stretches[-1].append(side)
        else:
            stretches.append([side])
    words = []
    for stretch in stretches:
        start, end = labels[stretch[0]], labels[(stretch[-1] + 1) % len(labels)]
        words.append(f"{start}-{end}" if len(stretch) == 1 else f"{start} to {end}")
    return words + [edge.label for edge in slab.edges if edge.side is None and edge.kind == UNKNOWN]


def notice_words(notice: Notice) -> str:
    """A warning as a sentence that names its place once."""
    text = notice.text[:1].upper() + notice.text[1:]
    named = not notice.where or all(word in text for word in notice.where.replace("slab ", "").split(", "))
    # A slab without a name of its own is called "Slab 2".
    where = notice.where.removeprefix("slab ") if notice.where.startswith("slab Slab ") else notice.where
    return text if named else f"{where[:1].upper()}{where[1:]}: {notice.text}"

"""Scale bar, print check, north and house side: on the drawing where it has room, else in the text."""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from .blocks import Block, Row, stack, text_rows
from .columns import Area
from .furniture import NORTH_MM, north_arrow, print_check, scale_bar, side_by_side
from .job import Job
from .placing import Candidate, box
from .scales import Scale

WIDE_MM = 58.0


def scale_row(job: Job, room_mm: float, scale: Scale) -> Row:
    """Bars and arrow as one row."""
    info = job.plan.sheet
    words = f"House side: {info.house}" if info.house else ""
    if info.north_deg is None:
        said = text_rows(words or "North and house side: not stated", room_mm)
        return stack([scale_bar(scale, job.figures, room_mm), print_check(job.figures), *said])
    room = room_mm - NORTH_MM
    bar = stack([scale_bar(scale, job.figures, room), *text_rows(words, room)])
    return stack([side_by_side([(0.0, bar), (room, north_arrow(info.north_deg))]), print_check(job.figures)])


def scale_block(job: Job, room_mm: float, scale: Scale) -> Block:
    """Bars and arrow among the text."""
    return Block(heading=f"Scale {scale}", width_mm=room_mm, rows=(scale_row(job, room_mm, scale),))


def on_drawing(job: Job, area: Area, scale: Scale, floor: shapely.Geometry) -> Iterator[Candidate]:
    """Ways to set bars and arrow on the drawing, off the floor: corners first, then along foot and head."""
    row = scale_row(job, WIDE_MM, scale)
    tall, room = row.height_mm + 1.0, area.inset(3.5)
    lows = (room.y, room.top - tall)
    across = room.width - WIDE_MM
    if across < 0.0:
        return
    steps = max(1, int(across // 8.0))
    shares = sorted((k / steps for k in range(steps + 1)), key=lambda share: min(share, 1.0 - share))
    for share in shares:
        for low in lows:
            x = room.x + across * share
            hull = box(x - 1.5, low - 1.0, x + WIDE_MM + 1.5, low + tall + 1.0)
            if not shapely.Polygon(hull).intersects(floor):
                yield Candidate(marks=row.paint(x, low + tall), boxes=(hull,))

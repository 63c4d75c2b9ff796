"""Points of the site on the crew's drawing: where slabs are tested, and where people leave the wet floor."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import shapely

from ..work.plan import WorkPlan
from ..work.slab_tests import Spots
from ..work.ways_out import ways_out
from .blocks import Block, text_rows
from .lettering import FINE, letter
from .marks import XY, Anchor, Mark, Run, Stroke
from .pens import BLACK, ORDER, WHITE
from .pens import FINE as FINE_PEN
from .placing import CLEAR_MM, Candidate, box, text_box
from .plane import left_of, polar, shifted
from .sketch import Sketch

HALF_MM = 1.5
"""Half a test point's square."""
EXIT_MM = 9.0


def draw_tests(sketch: Sketch, schedule: WorkPlan, slab: int) -> None:
    """A small square and its name at each test; one that finds no room is named in the list only."""
    for spots in schedule.tests[slab].spots:
        for k, (x, y) in enumerate(spots.at):
            name = f"{spots.letter}{k + 1}"
            if not sketch.label("labels", _test(sketch.view.xy(x, y), name)):
                sketch.unplaced.append((f"test {name}", f"{spots.kind.value}, in the middle of the floor"))


def _test(at: XY, name: str) -> Iterator[Candidate]:
    """The point itself, else a few millimetres off: a test has no exact place."""
    for reach in (0.0, 5.0, 9.0, 14.0):
        for turn in range(8 if reach else 1):
            yield _square(shifted(at, polar(45.0 * turn), reach), name)


def _square(at: XY, name: str) -> Candidate:
    """A crossed square with its name beside it."""
    (x, y), h = at, HALF_MM
    low_left, low_right, high_right, high_left = (
        (x - h, y - h),
        (x + h, y - h),
        (x + h, y + h),
        (x - h, y + h),
    )
    square = Run((low_left, low_right, high_right, high_left), closed=True)
    cross = (Run((low_left, high_right)), Run((high_left, low_right)))
    words = letter(name, (x + h + 0.8, y - 0.5 * FINE), FINE, bold=True)
    marks: tuple[Mark, ...] = (
        Stroke(runs=(square,), pen=FINE_PEN, fill=WHITE),
        Stroke(runs=cross, pen=FINE_PEN),
        words,
    )
    clear = h + CLEAR_MM
    boxes = (box(x - clear, y - clear, x + h, y + clear), text_box(words, CLEAR_MM))
    return Candidate(marks=marks, boxes=boxes)


def draw_assumed_exit(sketch: Sketch, schedule: WorkPlan, slab: int) -> None:
    """An arrow off the floor where people are taken to leave though the plan does not say so."""
    takeoff = schedule.takeoff.slabs[slab]
    if takeoff.exits:
        return
    floor = sketch.view.region(takeoff.regions.net)
    for way in ways_out(takeoff)[0]:
        line = sketch.view.region(way)
        if line.length == 0.0 or not sketch.label("arrows", _exit(line, floor)):
            sketch.unplaced.append(("exit assumed", f"of {takeoff.name}: state where people leave"))


def _exit(line: Any, floor: Any) -> Iterator[Candidate]:
    for share in (0.5, 0.3, 0.7, 0.15, 0.85):
        at, along = _along(line, share)
        for out in (left_of(along), left_of((-along[0], -along[1]))):
            if not shapely.contains_xy(floor, *shifted(at, out, 1.0)):
                yield from _arrow(at, out)


def _arrow(at: XY, out: XY) -> Iterator[Candidate]:
    """The arrow with its word on either side."""
    tail, tip = shifted(at, out, -0.5 * EXIT_MM), shifted(at, out, 0.5 * EXIT_MM)
    neck, wing = shifted(tip, out, -3.2), left_of(out)
    head = Run((tip, shifted(neck, wing, 1.8), shifted(neck, wing, -1.8)), closed=True)
    strokes: tuple[Mark, ...] = (
        Stroke(runs=(Run((tail, neck)),), pen=ORDER),
        Stroke(runs=(head,), fill=BLACK),
    )
    for beside in (2.4, -2.4, 4.0, -4.0):
        x, y = shifted(tail, wing, beside)
        anchor = Anchor.START if wing[0] * beside >= 0.0 else Anchor.END
        words = letter("EXIT?", (x, y - 0.5 * FINE), FINE, anchor=anchor, bold=True)
        hull = text_box(words, CLEAR_MM)
        yield Candidate(marks=(*strokes, words), boxes=(hull,), lines=((tail, tip),))


def _along(line: Any, share: float) -> tuple[XY, XY]:
    """A point of a way out and the direction of the edge there."""
    part = max(shapely.get_parts(line), key=lambda one: one.length)
    a = part.interpolate(max(0.0, share - 0.01), normalized=True)
    b = part.interpolate(share + 0.01, normalized=True)
    gap = math.hypot(b.x - a.x, b.y - a.y)
    return (0.5 * (a.x + b.x), 0.5 * (a.y + b.y)), ((b.x - a.x) / gap, (b.y - a.y) / gap)


def tests_block(schedule: WorkPlan | None, room_mm: float) -> Block | None:
    """Tests before coating: what, how many, where."""
    if schedule is None:
        return None
    found = [
        f"{_names(spots)}{f' ({tests.slab})' if len(schedule.tests) > 1 else ''}: {spots.kind.value}"
        for tests in schedule.tests
        for spots in tests.spots
    ]
    rows = text_rows(f"{'; '.join(found)}. Indicators: the specification governs.", room_mm)
    return Block(heading="Test before coating", width_mm=room_mm, rows=tuple(rows), spills=True)


def _names(spots: Spots) -> str:
    """`S1`, or `S1 to S3`."""
    last = len(spots.at)
    return f"{spots.letter}1" + (f" to {spots.letter}{last}" if last > 1 else "")

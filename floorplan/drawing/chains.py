"""Chains of dimensions across the joints: edge, joint, joint, edge, along one line over the floor."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from typing import Any

from shapely import LineString

from ..measure.model import SlabTakeoff
from ..values import dataclass, replace
from .dimensions import LIFT_MM, along_text, end_stroke
from .lettering import FINE
from .marks import XY, Run, Stroke
from .pens import DIMENSION, MEDIUM
from .placing import CLEAR_MM, Candidate, text_box
from .plane import left_of
from .sketch import Sketch
from .view import line_strings
from .wording import measure

ALIKE_DEG = 1.0
SHARES = (0.08, 0.92, 0.16, 0.84, 0.28, 0.72, 0.4, 0.6, 0.5)
NEAREST_MM = 3.0
"""Joints nearer to each other on paper are not told apart in a chain."""


@dataclass(frozen=True, slots=True)
class _Line:
    """A straight joint in a frame turned so that joints of its set run along: across, from, to."""

    across: float
    low: float
    high: float


def letter_chains(sketch: Sketch, slab: SlabTakeoff) -> None:
    """One chain for each direction of straight joints, where there is a free line for it."""
    # Uncut by the window: its edge is no edge of the floor.
    floor = replace(sketch.view, window=None).region(slab.regions.net)
    for way, lines in _sets(sketch, slab).items():
        direction = (math.cos(math.radians(way)), math.sin(math.radians(way)))
        sketch.label("dimensions", _chains(sketch, floor, direction, lines))


def _sets(sketch: Sketch, slab: SlabTakeoff) -> dict[float, list[_Line]]:
    sets: dict[float, list[_Line]] = {}
    whole = replace(sketch.view, window=None)
    for joint in slab.joints:
        for line in line_strings(whole.region(joint.lines)):
            for a, b in itertools.pairwise(line.coords):
                if math.dist(a, b) < 8.0:
                    continue
                angle = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])) % 180.0
                way = next((w for w in sets if _apart(w, angle) < ALIKE_DEG), round(angle, 6))
                sets.setdefault(way, []).append(_turned(a, b, way))
    return sets


def _apart(a: float, b: float) -> float:
    gap = abs(a - b) % 180.0
    return min(gap, 180.0 - gap)


def _turned(a: Sequence[float], b: Sequence[float], way: float) -> _Line:
    cos, sin = math.cos(math.radians(way)), math.sin(math.radians(way))
    along = sorted((a[0] * cos + a[1] * sin, b[0] * cos + b[1] * sin))
    across = 0.5 * (b[1] * cos - b[0] * sin + a[1] * cos - a[0] * sin)
    return _Line(across, along[0], along[1])


def _chains(sketch: Sketch, floor: Any, direction: XY, lines: Sequence[_Line]) -> Iterator[Candidate]:
    low, high = min(line.low for line in lines), max(line.high for line in lines)
    for share in SHARES:
        t = low + (high - low) * share
        stops = _stops(floor, direction, lines, t)
        if len(stops) > 2:
            candidate = _chain(sketch, direction, t, stops)
            if candidate is not None:
                yield candidate


def _stops(floor: Any, direction: XY, lines: Sequence[_Line], t: float) -> list[float]:
    """Edge, joints, edge along the line across the joints at t: the stretch with most joints."""
    normal = left_of(direction)
    reach = 1e4
    foot = (direction[0] * t, direction[1] * t)
    ends = [(foot[0] + s * normal[0] * reach, foot[1] + s * normal[1] * reach) for s in (-1.0, 1.0)]
    best: list[float] = []
    for span in _spans(floor, ends, normal):
        inside = sorted(
            line.across
            for line in lines
            if line.low <= t <= line.high and span[0] + NEAREST_MM < line.across < span[-1] - NEAREST_MM
        )
        kept = [span[0]]
        for across in inside:
            if across - kept[-1] > NEAREST_MM:
                kept.append(across)
        stops = [*kept, span[-1]]
        # Only an edge square to the chain is measured to: on a slanting one the figure means nothing.
        square = [_square(floor, direction, ends, stop, normal) for stop in (span[0], span[-1])]
        low, high = (0 if square[0] else 1), (len(stops) if square[1] else len(stops) - 1)
        if high - low > len(best):
            best = stops[low:high]
    return best


def _spans(floor: Any, ends: Sequence[XY], normal: XY) -> list[list[float]]:
    """Stretches of floor along a line, as sorted places across the joints."""
    pieces = line_strings(LineString(ends).intersection(floor))
    return [sorted(x * normal[0] + y * normal[1] for x, y in piece.coords) for piece in pieces]


def _square(floor: Any, direction: XY, ends: Sequence[XY], stop: float, normal: XY) -> bool:
    """True when the edge at a stop stands there a millimetre further along too."""
    beside = [(x + direction[0], y + direction[1]) for x, y in ends]
    found = (place for span in _spans(floor, beside, normal) for place in (span[0], span[-1]))
    return any(abs(place - stop) < 0.05 for place in found)


def _chain(sketch: Sketch, direction: XY, t: float, stops: Sequence[float]) -> Candidate | None:
    normal = left_of(direction)
    points = [(direction[0] * t + normal[0] * s, direction[1] * t + normal[1] * s) for s in stops]
    texts = []
    for a, b in itertools.pairwise(points):
        length_m = math.dist(a, b) / sketch.view.mm(1.0)
        text = along_text(measure(length_m, sketch.figures), a, b, lift=LIFT_MM, height=FINE)
        if text.width_mm + 2.0 > math.dist(a, b):
            return None
        texts.append(text)
    line = (points[0], points[-1])
    strokes = tuple(end_stroke(point, normal) for point in points)
    return Candidate(
        marks=(Stroke(runs=(Run(line),), pen=DIMENSION), Stroke(runs=strokes, pen=MEDIUM), *texts),
        boxes=tuple(text_box(text, CLEAR_MM) for text in texts),
        lines=(line, *(stroke.points for stroke in strokes)),
        apart=(line,),
    )

"""Dimensions: side lengths, overall sizes, and where cut-outs stand, by the essentials of ISO 129-1.

A dimension line runs parallel to what it measures, with a slanting stroke at either end and the figure above
it, readable from the bottom or from the right. Extension lines start clear of the outline and run a little
past it. The first line stands 11 mm off, later levels 7 mm apart (at least 10 and 6 mm: US Navy training
manual 14069, ch. 10).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from .lettering import BODY, FINE, letter, width_mm
from .marks import XY, Anchor, Run, Stroke, Text
from .pens import DIMENSION, MEDIUM
from .placing import CLEAR_MM, Candidate, text_box
from .plane import between, direction, left_of, shifted, upright_deg

FIRST_MM = 11.0
LEVEL_MM = 7.0
GAP_MM = 2.6
OVERSHOOT_MM = 1.5
LIFT_MM = 0.9
STROKE_MM = 2.2
SHARES = (0.5, 0.36, 0.64, 0.25, 0.75)


def along_text(
    content: str,
    a: XY,
    b: XY,
    *,
    share: float = 0.5,
    lift: float = LIFT_MM,
    height: float = BODY,
    bold: bool = False,
) -> Text:
    """Text centred above a line from a to b."""
    angle = upright_deg(direction(a, b))
    up = left_of((math.cos(math.radians(angle)), math.sin(math.radians(angle))))
    at = shifted(between(a, b, share), up, lift)
    return letter(content, at, height, anchor=Anchor.MIDDLE, angle_deg=angle, bold=bold)


def end_stroke(at: XY, along: XY) -> Run:
    """The slanting stroke at the end of a dimension line."""
    half = 0.5 * STROKE_MM * math.sqrt(0.5)
    x, y = along[0] - along[1], along[0] + along[1]
    return Run(((at[0] - x * half, at[1] - y * half), (at[0] + x * half, at[1] + y * half)))


def dimension(
    a: XY,
    b: XY,
    off: XY,
    distance: float,
    content: str,
    *,
    share: float,
    height: float = BODY,
    gap: float = GAP_MM,
    from_start: bool = True,
) -> Candidate | None:
    """A dimension from a to b, its line `distance` away in the direction `off`.

    Its line runs along no other, or the two would read as one. Where the figure is wider than the line it
    stands beyond the end nearer to `share`, on the line drawn longer. None where the figure would reach past
    one end only.
    """
    a2, b2 = shifted(a, off, distance), shifted(b, off, distance)
    along, length = direction(a2, b2), math.dist(a2, b2)
    line = (a2, b2)
    half = 0.5 * width_mm(content, height)
    if 2.0 * half + 3.0 > length:
        reach = half + 2.2
        end = b2 if share >= 0.5 else a2
        way = along if share >= 0.5 else (-along[0], -along[1])
        middle = shifted(end, way, reach)
        text = along_text(content, shifted(middle, along, -1.0), shifted(middle, along, 1.0), height=height)
        far = shifted(end, way, reach + half)
        line = (a2, far) if share >= 0.5 else (far, b2)
    elif half + 1.4 <= share * length <= length - half - 1.4:
        text = along_text(content, a2, b2, share=share, height=height)
    else:
        return None
    extensions = tuple(
        (
            shifted(p, off, math.copysign(min(gap, abs(distance)), distance)),
            shifted(q, off, math.copysign(OVERSHOOT_MM, distance)),
        )
        for p, q in ((a, a2), (b, b2))[0 if from_start else 1 :]
        if abs(distance) > gap
    )
    runs = (Run(line), *(Run(extension) for extension in extensions))
    ends = (end_stroke(a2, along), end_stroke(b2, along))
    return Candidate(
        marks=(Stroke(runs=runs, pen=DIMENSION), Stroke(runs=ends, pen=MEDIUM), text),
        boxes=(text_box(text, CLEAR_MM),),
        lines=(line, *extensions, *(end.points for end in ends)),
        apart=(line,),
    )


def _kept(candidates: Iterable[Candidate | None]) -> Iterator[Candidate]:
    return (candidate for candidate in candidates if candidate is not None)


def side_dimension(a: XY, b: XY, off: XY, content: str, *, beyond: float = 0.0) -> Iterator[Candidate]:
    """Ways to dimension a side: outside by levels, then inside; `beyond` clears an arc that stands out."""
    short = math.dist(a, b) < 14.0
    shares = (0.5, 0.9, 0.1) if short else SHARES
    outside = [beyond + FIRST_MM + LEVEL_MM * level for level in range(4)]
    inside = [-FIRST_MM - LEVEL_MM * level for level in range(2)]
    return _kept(
        dimension(a, b, off, distance, content, share=share, height=height)
        for height in (BODY, FINE)
        for distance in (*outside, *inside)
        for share in shares
    )


def overall_dimension(a: XY, b: XY, off: XY, content: str) -> Iterator[Candidate]:
    """Ways to give an overall size along a side of the drawing's box, from the first free level outwards."""
    return _kept(
        dimension(a, b, off, FIRST_MM + LEVEL_MM * (1 + level), content, share=share, gap=FIRST_MM)
        for level in range(8)
        for share in SHARES
    )


def location(foot: XY, point: XY, content: str) -> Iterator[Candidate]:
    """Ways to give the square distance of a point from a side: straight, or aside on an extension line."""
    aside = left_of(direction(foot, point))
    return _kept(
        dimension(
            foot,
            point,
            aside,
            off,
            content,
            share=share,
            height=height,
            gap=0.6,
            from_start=False,
        )
        for height in (BODY, FINE)
        for off in (0.0, 4.5, -4.5, 8.0, -8.0, 12.0, -12.0, 17.0, -17.0)
        for share in SHARES[:3]
    )

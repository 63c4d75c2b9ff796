"""Where the grinder comes in and people leave: arrows at the edge."""

from __future__ import annotations

import math
from collections.abc import Iterator

from ..measure.model import SlabTakeoff
from .edges import PaperSide, paper_sides
from .lettering import BODY, letter
from .marks import XY, Anchor, Run, Stroke
from .pens import BLACK
from .placing import CLEAR_MM, Candidate, text_box
from .plane import left_of, polar, shifted, upright_deg
from .sketch import Sketch

LONG_MM = 7.0
HALF_MM = 2.2


def draw_arrows(sketch: Sketch, slab: SlabTakeoff) -> None:
    """Arrows for entry and exits, each with its word; an entry that is the exit too has one arrow."""
    entry = (slab.entry.x, slab.entry.y) if slab.entry is not None else None
    leaving = [(point.x, point.y) for point in slab.exits]
    if entry is not None:
        both = not leaving or any(math.dist(entry, point) < 0.01 for point in leaving)
        _arrow(sketch, slab, entry, "IN AND OUT" if both else "IN", inward=True)
    for point in leaving:
        if entry is None or math.dist(entry, point) >= 0.01:
            _arrow(sketch, slab, point, "OUT", inward=False)


def _arrow(sketch: Sketch, slab: SlabTakeoff, point: XY, word: str, *, inward: bool) -> None:
    at = sketch.view.xy(*point)
    if not sketch.view.shows(at):
        return
    side, share = _nearest(paper_sides(slab, sketch.view), at)
    if not sketch.label("arrows", _ways(at, side.outward(share), word, inward), crossing=False):
        sketch.unplaced.append((word.lower(), f"at side {side.edge.label}"))


def _nearest(sides: list[PaperSide], at: XY) -> tuple[PaperSide, float]:
    """The side of the outline that is nearest, and where along it."""
    shares = [k / 20.0 for k in range(1, 20)]
    return min(
        ((side, share) for side in sides for share in shares),
        key=lambda pair: math.dist(pair[0].at(pair[1]), at),
    )


def _ways(at: XY, outward: XY, word: str, inward: bool) -> Iterator[Candidate]:
    for off in (3.2, 6.0, 10.0, 14.0, 18.0):
        for aside in (0.0, 6.0, -6.0, 12.0, -12.0, 20.0, -20.0):
            tip = shifted(shifted(at, outward, off), left_of(outward), aside)
            yield _way(tip, outward, word, inward)


def _way(tip: XY, outward: XY, word: str, inward: bool) -> Candidate:
    """An arrow whose end next to the floor is `tip`, with its word beyond."""
    near, far = (tip, shifted(tip, outward, LONG_MM))
    point, tail = (near, far) if inward else (far, near)
    back = (outward[0], outward[1]) if inward else (-outward[0], -outward[1])
    neck = shifted(point, back, 0.5 * LONG_MM)
    side = left_of(outward)
    shape = (
        point,
        shifted(neck, side, HALF_MM),
        shifted(neck, side, 0.45 * HALF_MM),
        shifted(tail, side, 0.45 * HALF_MM),
        shifted(tail, side, -0.45 * HALF_MM),
        shifted(neck, side, -0.45 * HALF_MM),
        shifted(neck, side, -HALF_MM),
    )
    beyond = shifted(far, outward, 1.2)
    angle = upright_deg(side)
    up = polar(angle + 90.0)
    # Text that stands beyond the arrow towards its own foot is set a line farther out.
    away = up[0] * outward[0] + up[1] * outward[1]
    at = shifted(beyond, outward, BODY if away < 0.0 else 0.0)
    text = letter(word, at, BODY, anchor=Anchor.MIDDLE, angle_deg=angle, bold=True)
    arrow_box = tuple(
        shifted(shifted(end, side, s * (HALF_MM + 0.5)), outward, t)
        for end, t, s in ((near, -0.3, 1.0), (near, -0.3, -1.0), (far, 0.3, -1.0), (far, 0.3, 1.0))
    )
    arrow = Stroke(runs=(Run(shape, closed=True),), fill=BLACK, title=word.lower())
    return Candidate(marks=(arrow, text), boxes=(arrow_box, text_box(text, CLEAR_MM)))

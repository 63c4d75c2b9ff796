"""Where a cut-out stands: square distances of its centre from two sides, as a tape gives them."""

from __future__ import annotations

import math

from ..measure.model import MeasuredCutout, SlabTakeoff
from ..values import dataclass

LEAST_ANGLE = math.sin(math.radians(40.0))
"""Two references must not run more nearly alike than this: a small slip would move the centre far."""


@dataclass(frozen=True, slots=True)
class Reference:
    """A side, the foot of the square on it from a point of the cut-out (metres), and the distance."""

    side: str
    foot: tuple[float, float]
    point: tuple[float, float]
    distance_m: float
    along: tuple[float, float]


def references(slab: SlabTakeoff, cutout: MeasuredCutout) -> tuple[Reference, ...]:
    """From its centre (of a typed outline, its lower left corner): the nearest straight side and the nearest
    other one across it, at most two.

    Only sides count whose foot lies on the side itself, so that the tape can be held there; empty where the
    centre stands on the outline or no such pair exists.
    """
    point = cutout.centre if cutout.size_text else _corner(cutout)
    found = sorted(_feet(slab, point), key=lambda reference: round(reference.distance_m, 6))
    if not found or found[0].distance_m < 1e-6:
        return ()
    first = found[0]
    for other in found[1:]:
        cross = first.along[0] * other.along[1] - first.along[1] * other.along[0]
        if abs(cross) >= LEAST_ANGLE:
            return first, other
    return ()


def _corner(cutout: MeasuredCutout) -> tuple[float, float]:
    """The lower left corner of a cut-out with a typed outline."""
    x, y = min(cutout.ring.points.tolist(), key=lambda p: (round(p[0] + p[1], 6), p[0]))
    return x, y


def _feet(slab: SlabTakeoff, centre: tuple[float, float]) -> list[Reference]:
    feet: list[Reference] = []
    for edge in slab.edges:
        if edge.side is None or edge.bulge:
            continue
        side = slab.ring.side(edge.side)
        dx, dy = side.end[0] - side.start[0], side.end[1] - side.start[1]
        square = dx * dx + dy * dy
        share = ((centre[0] - side.start[0]) * dx + (centre[1] - side.start[1]) * dy) / square
        if 0.0 <= share <= 1.0:
            foot = (side.start[0] + share * dx, side.start[1] + share * dy)
            length = math.sqrt(square)
            feet.append(
                Reference(edge.label, foot, centre, math.dist(foot, centre), (dx / length, dy / length))
            )
    return feet

"""What one entity of a DXF draws, in its own plane or in space, and how it comes down to the plan.

A *chain* is points joined by straight or circular pieces in the entity's own plane; a *conic* an ellipse or a
part of one in space; a *nurbs* a spline in space. A block keeps its entities in this form and puts them down
once for each INSERT.
"""

from __future__ import annotations

import math
from typing import TypeAlias

import numpy as np

from ..geometry import arcs
from ..geometry.arcs import Floats
from ..values import dataclass
from .curves import ellipse
from .planes import STRAIGHT_UP, Placement, Vector, plane_of, similarity, stands_upright, then, unmoved
from .splines import Spline, spline_of


@dataclass(frozen=True, slots=True)
class OnPlan:
    """Line work on the plan: n points (x and y first), n bulges (0 after the last point of an open one)."""

    points: Floats | list[Vector]
    bulges: Floats | list[float]
    closed: bool


@dataclass(frozen=True, slots=True)
class Chain:
    """Points with bulges in the plane given by `normal`; as many bulges as points."""

    points: list[Vector]
    bulges: list[float]
    closed: bool
    normal: Vector = STRAIGHT_UP


@dataclass(frozen=True, slots=True)
class Conic:
    """centre + cos t first + sin t second for t from start to end, radians; a full turn is closed."""

    centre: Vector
    first: Vector
    second: Vector
    start: float
    end: float

    @property
    def closed(self) -> bool:
        """True for a whole ellipse."""
        return abs(self.end - self.start) >= 2.0 * math.pi * (1.0 - 1e-9)


@dataclass(frozen=True, slots=True)
class Nurbs:
    """A spline by its control points, knots, weights (none is all alike) and degree."""

    control: list[Vector]
    knots: list[float]
    weights: list[float]
    degree: int


Shape: TypeAlias = Chain | Conic | Nurbs


def height_of(shape: Shape) -> tuple[float, float]:
    """Least and greatest height of what an entity draws, before any placing."""
    if isinstance(shape, Chain):
        if shape.normal != STRAIGHT_UP:
            heights = [float(z) for z in _in_space(shape, plane_of(shape.normal))[:, 2]]
        else:
            heights = [point[2] for point in shape.points]
    elif isinstance(shape, Conic):
        swing = math.hypot(shape.first[2], shape.second[2])
        heights = [shape.centre[2] - swing, shape.centre[2] + swing]
    else:
        heights = [point[2] for point in shape.control]
    return min(heights), max(heights)


def put_down(shape: Chain | Conic, placement: Placement | None) -> OnPlan:
    """A shape on the plan, after `placement` (None leaves it where it is).

    Circles that are tilted or stretched become chains of arcs.

    Raises:
        ValueError: the numbers do not make a curve.
    """
    if isinstance(shape, Chain):
        return _chain_down(shape, placement)
    vectors = _moved(np.array([shape.first, shape.second]), placement, shift=False)
    centre = _moved(np.array([shape.centre]), placement, shift=True)[0]
    points, bulges = ellipse(centre, vectors[0], vectors[1], shape.start, shape.end)
    if shape.closed:
        return OnPlan(points[:-1], bulges, True)
    return OnPlan(points, np.append(bulges, 0.0), False)


def flat_spline(shape: Nurbs, placement: Placement | None) -> Spline:
    """A spline on the plan, not yet drawn.

    Raises:
        ValueError: the numbers do not make a curve.
    """
    control = _moved(np.array(shape.control), placement, shift=True)
    return spline_of(control, shape.knots, shape.weights, shape.degree)


def is_upright(shape: Shape, placement: Placement | None) -> bool:
    """True when a flat shape stands on edge, as seen from above."""
    if not isinstance(shape, Chain) or len(shape.points) < 3:
        return False
    if shape.normal == STRAIGHT_UP and placement is None:
        return False
    return stands_upright(_down(shape, placement))


def _down(chain: Chain, placement: Placement | None) -> Placement:
    """From a chain's own plane to the plan."""
    if chain.normal == STRAIGHT_UP:
        return unmoved() if placement is None else placement
    plane = plane_of(chain.normal)
    return plane if placement is None else then(placement, plane)


def _chain_down(chain: Chain, placement: Placement | None) -> OnPlan:
    if placement is None and chain.normal == STRAIGHT_UP:
        return OnPlan(chain.points, chain.bulges, chain.closed)
    down = _down(chain, placement)
    points, bulges = _in_space(chain, down)[:, :2], np.array(chain.bulges)
    if not bulges.any():
        return OnPlan(points, bulges, chain.closed)
    round_still = similarity(down)
    if round_still:
        return OnPlan(points, round_still * bulges, chain.closed)
    return _stretched(chain, down)


def _stretched(chain: Chain, down: Placement) -> OnPlan:
    """A chain whose circles come down as ellipses: piece by piece."""
    local = np.array(chain.points)
    places = _in_space(chain, down)[:, :2]
    pieces = len(local) if chain.closed else len(local) - 1
    points: list[Floats] = []
    bulges: list[Floats] = []
    for i in range(pieces):
        j = (i + 1) % len(local)
        if chain.bulges[i] == 0.0:
            points.append(places[i : i + 1])
            bulges.append(np.zeros(1))
            continue
        centre, angle, turn = _circle(local[i, :2], local[j, :2], chain.bulges[i])
        radius = float(np.hypot(*(local[i, :2] - centre)))
        height = local[i, 2]
        middle = down[:2, 0] * centre[0] + down[:2, 1] * centre[1] + down[:2, 2] * height + down[:2, 3]
        way, bends = ellipse(middle, radius * down[:2, 0], radius * down[:2, 1], angle, angle + turn)
        way[0] = places[i]
        points.append(way[:-1])
        bulges.append(bends)
    if not chain.closed:
        points.append(places[-1:])
        bulges.append(np.zeros(1))
    return OnPlan(np.vstack(points), np.concatenate(bulges), chain.closed)


def _circle(start: Floats, end: Floats, bulge: float) -> tuple[Floats, float, float]:
    centre = arcs.centres(start[None, :], end[None, :], np.array([bulge]))[0]
    return centre, math.atan2(start[1] - centre[1], start[0] - centre[0]), arcs.angle_rad(bulge)


def _in_space(chain: Chain, placement: Placement) -> Floats:
    return np.asarray(np.array(chain.points) @ placement[:, :3].T + placement[:, 3], dtype=np.float64)


def _moved(vectors: Floats, placement: Placement | None, *, shift: bool) -> Floats:
    if placement is None:
        return np.asarray(vectors[:, :2], dtype=np.float64)
    moved = vectors @ placement[:2, :3].T
    return np.asarray(moved + placement[:2, 3] if shift else moved, dtype=np.float64)

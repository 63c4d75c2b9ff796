"""Where joints were meant to run, before they are clipped to the floor: typed lines, grids, sides."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from ..errors import PlanError
from ..geometry.clip import grid_lines
from ..geometry.tolerance import GRID_LINES
from ..plan.model import Joint, JointAlong, JointGrid, JointLines
from .solved import SolvedShape, fault
from .spots import spot_xy, unknown_side

Line = NDArray[np.float64]


def typed_lines(joint: Joint, form: JointLines, shape: SolvedShape) -> list[Line]:
    """Typed lines as (n, 2) points, metres.

    Raises:
        PlanError: a label that nothing has, or a line of fewer than two different points.
    """
    lines = []
    for line in form.lines:
        points = np.array([spot_xy(spot, shape, f"joint {joint.name}", joint.place) for spot in line])
        points = points.reshape(-1, 2)
        if len(points) < 2 or not np.ptp(points, axis=0).any():
            said = f"joint {joint.name}: a line needs two different points"
            raise PlanError(fault("joint-line", said, joint.place, "write each line as x, y -> x, y"))
        lines.append(points)
    return lines


def spaced_lines(joint: Joint, form: JointGrid, shape: SolvedShape, floor: BaseGeometry) -> list[Line]:
    """The lines of a grid, each long enough to cross the floor.

    Raises:
        PlanError: a label that nothing has, or a spacing that no floor has.
    """
    origin = spot_xy(form.origin, shape, f"joint {joint.name}", joint.place)
    spacing = tuple(math.inf if s is None else s.m for s in (form.spacing_x, form.spacing_y))
    try:
        return grid_lines(floor, (spacing[0], spacing[1]), origin, form.turn_deg)
    except ValueError as error:
        said = f"joint {joint.name}: the spacing gives more than {GRID_LINES} lines across the floor"
        if not min(spacing) > 0.0:
            said = f"joint {joint.name}: the spacing must be above 0"
        raise PlanError(
            fault("joint-spacing", said, joint.place, "look at the unit of the spacing")
        ) from error


def along_sides(joint: Joint, form: JointAlong, shape: SolvedShape) -> list[int]:
    """Indices of the sides that a joint runs along, each once.

    Raises:
        PlanError: two labels that no side joins.
    """
    sides = []
    for ends in form.sides:
        side = shape.side_between(ends)
        if side is None:
            raise PlanError(unknown_side(ends, shape, f"joint {joint.name}", joint.place))
        sides.append(side)
    return list(dict.fromkeys(sides))

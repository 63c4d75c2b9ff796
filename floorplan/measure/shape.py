"""From how a slab was measured to where its corners are: one solver for each kind of shape."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any, Final

from ..plan.model import OffsetsShape, OutlineShape, Plan, Slab, TapeShape, WalkShape
from ..units.figures import Figures
from .outline import solve_outline
from .solved import SolvedShape
from .survey_shapes import solve_offsets, solve_tape, solve_walk

Solver = Callable[[Any, Plan, Slab], SolvedShape]
"""From a shape as measured, with the plan and the slab that it belongs to, to its corners."""


def _outline(shape: OutlineShape, plan: Plan, slab: Slab) -> SolvedShape:
    return solve_outline(shape, Figures(plan.units), whose=f"slab {slab.name}", place=slab.place)


SOLVERS: Final[Mapping[type, Solver]] = MappingProxyType(
    {OutlineShape: _outline, WalkShape: solve_walk, TapeShape: solve_tape, OffsetsShape: solve_offsets}
)


def solve_shape(plan: Plan, slab: Slab) -> SolvedShape:
    """Corners of a slab in the user's order and direction.

    Raises:
        PlanError: the shape has faults; all of them are in it.
    """
    return SOLVERS[type(slab.shape)](slab.shape, plan, slab)

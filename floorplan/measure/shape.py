"""From how a slab was measured to where its corners are: one solver for each kind of shape."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any, Final

from ..plan.model import OffsetsShape, OutlineShape, Plan, Slab, TapeShape, WalkShape
from ..units.figures import Figures
from .outline import solve_outline
from .solved import SolvedShape

Solver = Callable[[Any, Plan, Slab], SolvedShape]
"""From a shape as measured, with the plan and the slab that it belongs to, to its corners."""


def _outline(shape: OutlineShape, plan: Plan, slab: Slab) -> SolvedShape:
    return solve_outline(shape, Figures(plan.units), whose=f"slab {slab.name}", place=slab.place)


def _walk(shape: WalkShape, plan: Plan, slab: Slab) -> SolvedShape:
    from .survey_shapes import solve_walk  # the solvers load with the first slab that needs them

    return solve_walk(shape, plan, slab)


def _tape(shape: TapeShape, plan: Plan, slab: Slab) -> SolvedShape:
    from .survey_shapes import solve_tape

    return solve_tape(shape, plan, slab)


def _offsets(shape: OffsetsShape, plan: Plan, slab: Slab) -> SolvedShape:
    from .survey_shapes import solve_offsets

    return solve_offsets(shape, plan, slab)


SOLVERS: Final[Mapping[type, Solver]] = MappingProxyType(
    {OutlineShape: _outline, WalkShape: _walk, TapeShape: _tape, OffsetsShape: _offsets}
)


def solve_shape(plan: Plan, slab: Slab) -> SolvedShape:
    """Corners of a slab in the user's order and direction.

    Raises:
        PlanError: the shape has faults; all of them are in it.
    """
    return SOLVERS[type(slab.shape)](slab.shape, plan, slab)

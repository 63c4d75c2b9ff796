"""Joints on the net floor: clipped at edges and cut-outs, counted once where they lie on one another.

A joint given `along` sides runs on the edge of the floor and is counted there, arcs exact; every other joint
loses what runs along the edge. What two joints share belongs to the one that the plan names first.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from shapely import MultiLineString

from ..errors import Fault, Notice, PlanError
from ..geometry.clip import Clipped, clip_groups
from ..geometry.regions import Subtraction
from ..geometry.tolerance import BOUNDARY_M, SURVEYED_BOUNDARY_M
from ..plan.model import Joint, JointAlong, JointGrid, JointLines, Slab, Treatment
from ..units.figures import Figures
from ..values import dataclass
from .edges import joined_lines
from .fill import fill_volume_l, section
from .joint_lines import Line, along_sides, spaced_lines, typed_lines
from .model import Edge, MeasuredJoint
from .solved import SolvedShape

WORTH_SAYING_M: Final = 0.005
"""Less than this is lost in the width of the joint."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Joints:
    """The joints of a slab in the order of the plan, with what is wrong and what to know."""

    joints: tuple[MeasuredJoint, ...] = ()
    faults: tuple[Fault, ...] = ()
    notices: tuple[Notice, ...] = ()

    @property
    def length_m(self) -> float:
        """Metres of all joints."""
        return sum(j.length_m for j in self.joints)

    def treated_m(self, treatment: Treatment) -> float:
        """Metres that get one treatment."""
        return sum(j.length_m for j in self.joints if j.joint.treatment is treatment)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Meant:
    """Where a joint was meant to run: across the floor, or along sides of it."""

    joint: Joint
    lines: tuple[Line, ...] = ()
    sides: tuple[int, ...] = ()


def measure_joints(
    slab: Slab, shape: SolvedShape, floor: Subtraction, edges: Sequence[Edge], figures: Figures
) -> Joints:
    """Every joint of a slab on its net floor."""
    faults: list[Fault] = []
    meant: list[_Meant] = []
    for joint in slab.joints:
        try:
            meant.append(_meant(joint, shape, floor))
        except PlanError as error:
            faults += error.faults
    if faults:
        return Joints(faults=tuple(faults))
    within = BOUNDARY_M if shape.survey is None else SURVEYED_BOUNDARY_M
    clipped = clip_groups([want.lines for want in meant], floor, edge_within_m=within)
    taken: set[int] = set()
    counted: list[tuple[Joint, Clipped]] = []
    for want, part in zip(meant, clipped, strict=True):
        counted.append((want.joint, _with_sides(part, want, edges, taken)))
        taken.update(want.sides)
    measured = tuple(_measured(joint, part) for joint, part in counted)
    return Joints(joints=measured, notices=tuple(_notices(counted, slab, figures)))


def _meant(joint: Joint, shape: SolvedShape, floor: Subtraction) -> _Meant:
    match joint.form:
        case JointLines():
            return _Meant(joint=joint, lines=tuple(typed_lines(joint, joint.form, shape)))
        case JointGrid():
            return _Meant(joint=joint, lines=tuple(spaced_lines(joint, joint.form, shape, floor.net)))
        case JointAlong():
            return _Meant(joint=joint, sides=tuple(along_sides(joint, joint.form, shape)))


def _with_sides(part: Clipped, want: _Meant, edges: Sequence[Edge], taken: set[int]) -> Clipped:
    """A joint along sides: their floor edge, less the sides that an earlier joint runs along."""
    if not want.sides:
        return part
    fresh = [edges[i] for i in want.sides if i not in taken]
    doubled = sum(edges[i].length_m for i in want.sides if i in taken)
    length = sum(edge.length_m for edge in fresh)
    return Clipped(
        lines=joined_lines(fresh),
        length_m=length,
        dropped_m=sum(edges[i].whole_m for i in want.sides) - length,
        doubled_m=doubled,
    )


def _measured(joint: Joint, part: Clipped) -> MeasuredJoint:
    profile = section(joint)
    # A grid is meant to run past the floor; only what it shares with another joint is lost.
    dropped = part.doubled_m if isinstance(joint.form, JointGrid) else part.dropped_m
    return MeasuredJoint(
        joint=joint,
        length_m=part.length_m,
        fill_volume_l=fill_volume_l(joint, part.length_m),
        lines=MultiLineString(part.lines),
        dropped_m=dropped,
        width_m=profile.width_m,
        depth_m=profile.depth_m,
        typical=profile.typical,
    )


def _notices(meant: Sequence[tuple[Joint, Clipped]], slab: Slab, figures: Figures) -> Iterator[Notice]:
    """What was not counted: one notice for each reason, naming the joints."""
    away = [joint.name for joint, part in meant if _is_away(part)]
    doubled = [(joint, part.doubled_m) for joint, part in meant]
    typed = [(j, part) for j, part in meant if isinstance(j.form, JointLines) and not _is_away(part)]
    beside = [(joint, part.edge_m) for joint, part in typed]
    outside = [(joint, part.dropped_m - part.doubled_m - part.edge_m) for joint, part in typed]
    where = f"slab {slab.name}"
    if away:
        text = f"joint {_few(away)}: no part of it lies on the floor, so nothing of it is counted"
        yield Notice(code="joint-outside", text=text, where=where)
    for code, lengths, why in (
        ("joint-doubled", doubled, "lies on a line that is counted already"),
        (
            "joint-along-edge",
            beside,
            'runs along the edge of the floor (give it as along = ["A-B"])',
        ),
        ("joint-clipped", outside, "lies off the floor or in cut-outs"),
    ):
        told = [f"{joint.name} {figures.run(m)}" for joint, m in lengths if m > WORTH_SAYING_M]
        if told:
            yield Notice(code=code, text=f"not counted, because it {why}: joint {_few(told)}", where=where)


def _is_away(part: Clipped) -> bool:
    return max(part.length_m, part.doubled_m, part.edge_m) <= WORTH_SAYING_M


def _few(names: Sequence[str]) -> str:
    return ", ".join(names[:8]) + (f" and {len(names) - 8} more" if len(names) > 8 else "")

"""The takeoff: from a plan to every figure of every slab.

All slabs are measured before anything is refused, so that the faults of all of them come together.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from shapely import Point, Polygon

from ..errors import Fault, Notice, PlanError
from ..geometry.regions import Subtraction, subtract
from ..plan.model import Plan, Slab, Treatment
from ..units.figures import Figures
from ..values import dataclass
from . import gaps, plausible
from .cutouts import Placed, place_cutouts
from .deductions import cutout_faults, cutout_notices, measure_cutouts
from .doors import find_doors
from .doubled import overlap_notices
from .edges import hand_grind_m, length_by_kind, mask_m, measure_edges
from .faces import measure_faces
from .joints import Joints, measure_joints
from .model import Edge, MeasuredFace, Regions, SlabTakeoff, SolvedCorner, Takeoff
from .reach import MANY_CUTOUTS, Reach, measure_reach
from .shape import solve_shape
from .solved import SolvedShape
from .steps import measure_steps, placeless_steps

FLAT_M: Final = 1e-5
"""How far a chord stands off its arc in the regions: areas there stay within 1e-4 of true."""

FINE_FLAT_M: Final = 3e-6
"""Likewise on a plan of few edges, so that even the ring about a post of a few inches does."""

COARSE_FLAT_M: Final = 3e-5
"""Likewise on a floor of thousands of posts, where chords cost time; their band stays within 1e-4."""

FLAT_SHARE: Final = 3e-8
"""Likewise as a share of the slab's span, where that is more: a great circle need not be a million chords."""

FEW_EDGES: Final = 200
"""So many sides and cut-outs are few."""

POCKET_SHARE: Final = 0.25
"""A pocket is named when it is this share of a square of the head's width."""


def measure(plan: Plan) -> Takeoff:
    """Measure a whole plan.

    Raises:
        PlanError: something typed encloses no floor or names what is not there; every fault of every slab is
            in it.
    """
    slabs: list[SlabTakeoff] = []
    notices: list[Notice] = list(plan.notices)
    faults: list[Fault] = []
    for slab in plan.slabs:
        try:
            measured, said = measure_slab(plan, slab)
        except PlanError as error:
            faults += error.faults
            continue
        slabs.append(measured)
        notices += said
    if faults:
        raise PlanError(faults)
    notices += overlap_notices(plan, slabs)
    steps = tuple(measure_steps(flight) for flight in plan.steps)
    notices += placeless_steps(slabs, steps)
    return Takeoff(
        plan=plan,
        slabs=tuple(slabs),
        steps=steps,
        step_area_m2=sum(flight.area_m2 for flight in steps),
        notices=tuple(notices),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Measured:
    """The parts of one slab, before they are put together."""

    slab: Slab
    shape: SolvedShape
    placed: list[Placed]
    floor: Subtraction
    outline: Polygon
    edges: tuple[Edge, ...]
    joints: Joints
    faces: tuple[MeasuredFace, ...]
    entry: Point | None
    exits: tuple[Point, ...]
    reach: Reach


def measure_slab(plan: Plan, slab: Slab) -> tuple[SlabTakeoff, list[Notice]]:
    """Measure one slab of a plan, and say what is worth knowing of it.

    Raises:
        PlanError: with every fault of the slab that can be told.
    """
    figures = Figures(plan.units)
    shape = solve_shape(plan, slab)
    placed, faults = place_cutouts(slab.cutouts, shape, figures)
    flat_m = _flat_m(shape, placed)
    floor = subtract(shape.ring, [copy.ring for copy in placed], flat_m)
    outline = shape.ring.polygon(flat_m)
    edges = measure_edges(shape, placed, floor, plan.edge_kinds)
    joints = measure_joints(slab, shape, floor, edges, figures)
    faces, face_faults = measure_faces(slab, shape, placed, edges)
    doors, door_faults = find_doors(slab, shape)
    faults += [
        *cutout_faults(placed, floor, outline, slab, figures),
        *joints.faults,
        *face_faults,
        *door_faults,
    ]
    if faults:
        raise PlanError(faults)
    reach = measure_reach(
        floor,
        edges,
        grinder=plan.grinder,
        kinds=plan.edge_kinds,
        entry=doors.entry,
        entry_side=doors.entry_side,
    )
    measured = _Measured(
        slab=slab,
        shape=shape,
        placed=placed,
        floor=floor,
        outline=outline,
        edges=edges,
        joints=joints,
        faces=faces,
        entry=doors.entry,
        exits=doors.exits,
        reach=reach,
    )
    return _takeoff(measured, plan), list(_notices(measured, plan, figures))


def _flat_m(shape: SolvedShape, placed: list[Placed]) -> float:
    x0, y0, x1, y1 = shape.ring.bounds()
    least = FINE_FLAT_M if len(shape.labels) + len(placed) <= FEW_EDGES else FLAT_M
    least = COARSE_FLAT_M if len(placed) > MANY_CUTOUTS else least
    return max(least, FLAT_SHARE * max(x1 - x0, y1 - y0))


def _takeoff(m: _Measured, plan: Plan) -> SlabTakeoff:
    floor, reach = m.floor, m.reach
    cutouts = measure_cutouts(m.placed, floor, plan.ignore_below_m2)
    kept_back = sum(cutout.deducted_m2 for cutout in cutouts if cutout.ignored)
    return SlabTakeoff(
        slab=m.slab,
        name=m.slab.name,
        ring=m.shape.ring,
        corners=_corners(m.shape),
        gross_area_m2=floor.gross_area_m2,
        cutouts=cutouts,
        net_area_m2=floor.net_area_m2,
        material_area_m2=floor.net_area_m2 + kept_back,
        perimeter_m=m.shape.ring.perimeter_m,
        cutout_perimeter_m=sum(floor.cutout_lengths_m),
        edges=m.edges,
        edge_length_by_kind_m=length_by_kind(m.edges),
        hand_grind_edge_m=hand_grind_m(m.edges),
        machine_area_m2=max(0.0, floor.net_area_m2 - reach.missed_area_m2),
        hand_grind_area_m2=reach.band_area_m2 + reach.pocket_area_m2,
        band_area_m2=reach.band_area_m2,
        pocket_area_m2=reach.pocket_area_m2,
        joints=m.joints.joints,
        joint_length_m=m.joints.length_m,
        brush_out_m=m.joints.treated_m(Treatment.BRUSH_OUT),
        fill_m=m.joints.treated_m(Treatment.FILL),
        seal_m=m.joints.treated_m(Treatment.SEAL),
        mask_m=mask_m(m.edges),
        faces=m.faces,
        face_area_m2=sum(face.area_m2 for face in m.faces),
        area_std_m2=m.shape.area_std_m2,
        regions=_regions(m),
        survey=m.shape.survey,
        entry=m.entry,
        exits=m.exits,
    )


def _regions(m: _Measured) -> Regions:
    return Regions(
        outline=m.outline,
        net=m.floor.net,
        machine=m.reach.machine,
        band=m.reach.band,
        pockets=m.reach.pockets,
        hand=m.reach.hand,
    )


def _corners(shape: SolvedShape) -> tuple[SolvedCorner, ...]:
    std = shape.std_m or (0.0,) * len(shape.labels)
    rows = zip(shape.labels, shape.ring.points.tolist(), std, strict=True)
    return tuple([SolvedCorner(label=label, x_m=x, y_m=y, std_m=s) for label, (x, y), s in rows])


def _notices(m: _Measured, plan: Plan, figures: Figures) -> Iterator[Notice]:
    yield from m.shape.notices
    yield from plausible.area_notice(m.slab, m.floor.net_area_m2, figures)
    yield from plausible.foot_notices(m.slab, m.shape, figures)
    yield from plausible.face_notices(m.slab, m.faces, figures)
    yield from cutout_notices(m.placed, m.floor, m.shape, m.slab, figures)
    yield from plausible.unknown_notices(m.slab, m.edges, figures)
    yield from gaps.gap_notices(m.slab, m.edges, plan, figures)
    least = POCKET_SHARE * plan.grinder.head.m**2
    yield from gaps.part_notices(m.slab, m.shape, m.reach, plan, figures, least)
    yield from gaps.pocket_notice(m.slab, m.shape, m.edges, m.reach, figures, least)
    yield from m.joints.notices

"""The quantities of a whole job that sundries, labour and prices count: areas, lengths, coats, people."""

from __future__ import annotations

from ..measure.model import MeasuredJoint, SlabTakeoff, Takeoff
from ..plan.model import JointKind, Treatment
from ..system.model import Surface
from ..values import dataclass
from .crew import CrewPlan, crew_plan
from .surfaces import spread_of

_HORIZONTAL = (Surface.FLOOR, Surface.TREADS)


@dataclass(frozen=True, slots=True, kw_only=True)
class CoatQuantities:
    """What one coat covers over all slabs that have it.

    Attributes:
        name: of the layer.
        floor_m2: floor and treads.
        vertical_m2: faces, risers and cheeks.
        grooves_m: joints that are brushed out after this coat.
    """

    name: str
    floor_m2: float = 0.0
    vertical_m2: float = 0.0
    grooves_m: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class JobQuantities:
    """Sums over a job.

    Attributes:
        floor_m2: material area and treads.
        slab_m2: material area alone.
        vertical_m2: coated faces, risers and open cheeks.
        ground_m2: floor ground by the walk-behind: net less everything ground by hand.
        hand_edge_m: edges ground by hand.
        hand_face_m2: faces, risers, cheeks and treads, all ground by hand.
        grooves_m: joints brushed out.
        cut_m: joints cut or cleaned and filled, cracks apart.
        crack_m: cracks chased and filled.
        seal_m: joints sealed.
        mask_m: edges taped.
        film: taped edges that also get film: (edge kind, length in m, height in m), a row a kind.
        outdoors: any slab's system is for outdoors.
        coats: the liquid coats in the order of the work.
        crew: people by day.
    """

    floor_m2: float
    slab_m2: float
    vertical_m2: float
    ground_m2: float
    hand_edge_m: float
    hand_face_m2: float
    grooves_m: float
    cut_m: float
    crack_m: float
    seal_m: float
    mask_m: float
    film: tuple[tuple[str, float, float], ...]
    outdoors: bool
    coats: tuple[CoatQuantities, ...]
    crew: CrewPlan

    @property
    def film_m(self) -> float:
        """Film along all edges."""
        return sum(length for _, length, _ in self.film)


def job_quantities(takeoff: Takeoff, *, crew: int | None = None) -> JobQuantities:
    """Sums over all slabs and steps; `crew` is the people of the first day, by area when left out."""
    slabs = takeoff.slabs
    treads = sum(flight.tread_area_m2 for flight in takeoff.steps)
    risers = sum(flight.riser_area_m2 + flight.cheek_area_m2 for flight in takeoff.steps)
    slab_m2 = takeoff.total("material_area_m2")
    floor = slab_m2 + treads
    vertical = takeoff.total("face_area_m2") + risers
    return JobQuantities(
        floor_m2=floor,
        slab_m2=slab_m2,
        vertical_m2=vertical,
        ground_m2=sum(slab.net_area_m2 - slab.hand_grind_area_m2 for slab in slabs),
        hand_edge_m=takeoff.total("hand_grind_edge_m"),
        hand_face_m2=vertical + treads,
        grooves_m=takeoff.total("brush_out_m"),
        cut_m=_joints(slabs, Treatment.FILL, crack=False),
        crack_m=_joints(slabs, Treatment.FILL, crack=True),
        seal_m=takeoff.total("seal_m"),
        mask_m=takeoff.total("mask_m"),
        film=_film(takeoff),
        outdoors=any(slab.slab.system.outdoors for slab in slabs),
        coats=_coats(takeoff),
        crew=_crew(takeoff, floor, crew),
    )


def _joints(slabs: tuple[SlabTakeoff, ...], treatment: Treatment, *, crack: bool) -> float:
    def counts(joint: MeasuredJoint) -> bool:
        return joint.joint.treatment is treatment and (joint.joint.kind is JointKind.CRACK) is crack

    return sum(joint.length_m for slab in slabs for joint in slab.joints if counts(joint))


def _film(takeoff: Takeoff) -> tuple[tuple[str, float, float], ...]:
    """Length and height of film along each kind of edge that is masked to a height."""
    found: dict[str, tuple[str, float, float]] = {}
    for slab in takeoff.slabs:
        for edge in slab.edges:
            kind = takeoff.plan.edge_kinds.get(edge.kind)
            if edge.mask and kind is not None and kind.mask_height is not None:
                _, length, height = found.get(edge.kind, (edge.kind, 0.0, kind.mask_height.m))
                found[edge.kind] = (edge.kind, length + edge.length_m, height)
    return tuple(found.values())


def _coats(takeoff: Takeoff) -> tuple[CoatQuantities, ...]:
    """Coats of the same name on several slabs are put down together."""
    found: dict[str, CoatQuantities] = {}
    for i, slab in enumerate(takeoff.slabs):
        spread = spread_of(slab, takeoff.steps_of(i))
        for coat in slab.slab.system.coats:
            areas = dict(spread.on(coat.on))
            floor = sum(area for surface, area in areas.items() if surface in _HORIZONTAL)
            faces = sum(area for surface, area in areas.items() if surface.vertical)
            known = found.get(coat.name, CoatQuantities(name=coat.name))
            found[coat.name] = CoatQuantities(
                name=coat.name,
                floor_m2=known.floor_m2 + floor,
                vertical_m2=known.vertical_m2 + faces,
                grooves_m=known.grooves_m + slab.brush_out_m,
            )
    return tuple(found.values())


def _crew(takeoff: Takeoff, floor_m2: float, crew: int | None) -> CrewPlan:
    """People for the system that takes the most days."""
    systems = [slab.slab.system for slab in takeoff.slabs]
    plans = [crew_plan(system, floor_m2, first=crew) for system in systems]
    return max(plans, key=lambda plan: len(plan.people), default=CrewPlan(people=()))

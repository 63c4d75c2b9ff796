"""The takeoff: what was measured, in SI, with the regions it was measured on.

Words: the *band* is floor within the hand-ground width of an edge that is in the machine's way; a *pocket* is
floor that the walk-behind cannot cut outside the band; *deducted* floor counts each piece once.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from shapely import MultiLineString, MultiPolygon, Point, Polygon

from ..errors import Notice
from ..geometry.rings import Ring
from ..plan.model import Joint, Plan, Slab, Steps
from ..values import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """One edge of the floor: a side of the outline, or the whole ring of a cut-out (one row for each copy).

    Attributes:
        label: "A-B" in the user's order, or the cut-out's name ("post", or "post 2" for the second copy).
        kind: name of an edge kind.
        length_m: along the edge where there is coated floor beside it, arcs exact, each piece once: a side
            without the stretches that cut-outs stand against, a cut-out without what lies outside the
            outline, along it, or against another cut-out.
        hand_grind: the kind is in the machine's way.
        mask: the edge is taped or filmed.
        cutout: index into `SlabTakeoff.cutouts`, None for a side of the outline.
        side: index of the side in the user's order, None for a cut-out.
        lines: the edge in the plane, metres, arcs at the tolerance.
        chord_m: straight distance between its corners (sides only, else 0).
        rise_m: rise of its arc, 0 for a straight side.
        radius_m: radius of its arc, 0 for a straight side.
        bulge: signed tan(angle/4) in the user's direction, 0 for a straight side.
        whole_m: along the whole side, with the stretches that cut-outs stand against (sides only, else 0).
    """

    label: str
    kind: str
    length_m: float
    hand_grind: bool
    mask: bool
    cutout: int | None = None
    side: int | None = None
    lines: MultiLineString = field(default_factory=MultiLineString, compare=False)
    chord_m: float = 0.0
    rise_m: float = 0.0
    radius_m: float = 0.0
    bulge: float = 0.0
    whole_m: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredCutout:
    """One copy of a cut-out.

    Attributes:
        name: as in `Edge.label`.
        kind: name of an edge kind.
        area_m2: of its own shape, arcs exact.
        deducted_m2: the floor it takes away: clipped to the outline, less what earlier cut-outs took.
        ignored: True when smaller than the plan's rule, so that the material area keeps it.
        ring: its shape, counter-clockwise, metres.
        centre: where it was placed (for drawing dimensions), metres.
        size_text: "10 in x 10 in", "Ø 12 in" as the plan has it, "" for a typed outline.
    """

    name: str
    kind: str
    area_m2: float
    deducted_m2: float
    ignored: bool
    ring: Ring
    centre: tuple[float, float]
    size_text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredJoint:
    """A joint clipped to the net floor.

    Attributes:
        joint: as typed.
        length_m: on net floor, overlaps within the joint and with earlier joints counted once.
        fill_volume_l: for treatments fill and seal, width x depth x length (grooves by their profile factor),
            else 0.
        lines: what was measured, metres.
        dropped_m: typed length that lies outside, in cut-outs, along the boundary or on an earlier joint.
        width_m: typed, or the default of its kind (`typical` then True).
        depth_m: likewise.
        typical: True when width or depth is a typical value, not typed.
    """

    joint: Joint
    length_m: float
    fill_volume_l: float
    lines: MultiLineString
    dropped_m: float = 0.0
    width_m: float = 0.0
    depth_m: float = 0.0
    typical: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredFace:
    """A vertical face: label of the side or cut-out, length, height."""

    label: str
    length_m: float
    height_m: float

    @property
    def area_m2(self) -> float:
        """Length times height, m²."""
        return self.length_m * self.height_m


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredSteps:
    """A flight of steps: areas as sums of rectangles, m², and nosing length, m."""

    steps: Steps
    tread_area_m2: float
    riser_area_m2: float
    cheek_area_m2: float
    nosing_m: float

    @property
    def area_m2(self) -> float:
        """Treads, risers and open cheeks together, m²."""
        return self.tread_area_m2 + self.riser_area_m2 + self.cheek_area_m2


@dataclass(frozen=True, slots=True, kw_only=True)
class SolvedCorner:
    """A corner in the user's order, metres; std_m is its standard error (0 where coordinates are exact)."""

    label: str
    x_m: float
    y_m: float
    std_m: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """A taped or walked length beside the fitted one; `standardised` is residual over its standard error.

    `status` is "taped", "adjusted" (moved beyond tolerance) or "inferred" (worked out, never taped).
    `std_m` is the standard error of the fitted length.
    """

    start: str
    end: str
    taped_m: float
    fitted_m: float
    residual_m: float
    standardised: float = 0.0
    status: str = "taped"
    note: str = ""
    std_m: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """A length that probably was misread: what it likely was, and why in words."""

    start: str
    end: str
    taped_m: float
    likely_m: float
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SurveyReport:
    """How the measurements of a walk, tape or offsets shape fitted.

    `closure_gap_m` and `closure_ratio` (perimeter over gap, 0 when it closes) are None where nothing
    closes on itself. `redundancy` is the number of lengths beyond those needed. `as_walked_m` are the corners
    of a walk before its gap was spread, with the point where it ended. `remarks` say how the area was
    reckoned.
    """

    method: str
    measurements: tuple[Measurement, ...]
    suspects: tuple[Suspect, ...] = ()
    closure_gap_m: float | None = None
    closure_ratio: float | None = None
    redundancy: int = 0
    area_without_suspect_m2: float | None = None
    as_walked_m: tuple[tuple[float, float], ...] = ()
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Regions:
    """The floor of one slab as polygons in metres (arcs at the tolerance): for drawing, zoning and export."""

    outline: Polygon
    net: MultiPolygon
    machine: MultiPolygon
    band: MultiPolygon
    pockets: MultiPolygon
    hand: MultiPolygon


@dataclass(frozen=True, slots=True, kw_only=True)
class SlabTakeoff:
    """All figures of one slab; names as in the JSON contract (design page, section 5)."""

    slab: Slab
    name: str
    ring: Ring
    corners: tuple[SolvedCorner, ...]
    gross_area_m2: float
    cutouts: tuple[MeasuredCutout, ...]
    net_area_m2: float
    material_area_m2: float
    perimeter_m: float
    cutout_perimeter_m: float
    edges: tuple[Edge, ...]
    edge_length_by_kind_m: Mapping[str, float]
    hand_grind_edge_m: float
    machine_area_m2: float
    hand_grind_area_m2: float
    band_area_m2: float
    pocket_area_m2: float
    joints: tuple[MeasuredJoint, ...]
    joint_length_m: float
    brush_out_m: float
    fill_m: float
    seal_m: float
    mask_m: float
    faces: tuple[MeasuredFace, ...]
    face_area_m2: float
    area_std_m2: float
    regions: Regions = field(compare=False)
    survey: SurveyReport | None = None
    entry: Point | None = None
    exits: tuple[Point, ...] = ()

    def __post_init__(self) -> None:
        frozen = MappingProxyType(dict(self.edge_length_by_kind_m))
        object.__setattr__(self, "edge_length_by_kind_m", frozen)


@dataclass(frozen=True, slots=True, kw_only=True)
class Takeoff:
    """The takeoff of a whole plan.

    Attributes:
        plan: what was measured.
        slabs: in the order of the plan.
        steps: in the order of the plan; each takes the system of one slab.
        step_area_m2: treads, risers and cheeks of all flights.
        notices: warnings of the reader and of the measuring, in the order of the plan.
    """

    plan: Plan
    slabs: tuple[SlabTakeoff, ...]
    steps: tuple[MeasuredSteps, ...]
    step_area_m2: float
    notices: tuple[Notice, ...]

    def steps_of(self, index: int) -> tuple[MeasuredSteps, ...]:
        """The flights that are coated with the slab at this place, from 0."""
        return tuple(flight for flight in self.steps if flight.steps.slab == index)

    def total(self, name: str) -> float:
        """Sum over the slabs of one figure, by its name in the JSON contract.

        Raises:
            AttributeError: no such figure.
        """
        return float(sum(getattr(slab, name) for slab in self.slabs))

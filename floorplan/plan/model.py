"""The plan as typed: immutable values, every length in metres with the user's own text beside it.

Nothing here is solved or measured. A *shape* says how a slab was measured (typed corners, a walk, a tape,
offsets); a DXF has already been read into typed corners. Places are kept so that a fault found later,
such as an outline that crosses itself, can still name the line.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from pathlib import Path
from types import MappingProxyType

from ..errors import Notice, Place
from ..system.model import CoatingSystem
from ..units.length import Length, UnitStyle
from ..values import dataclass, field
from .model_work import Conditions, WorkSettings


class Bulge(StrEnum):
    """Which way an arc stands: out of the floor or into it."""

    OUT = "out"
    IN = "in"


class JointKind(StrEnum):
    """What a joint is in the slab."""

    GROOVE = "groove"
    SAW_CUT = "saw cut"
    CONSTRUCTION = "construction"
    ISOLATION = "isolation"
    CRACK = "crack"


class Treatment(StrEnum):
    """What the crew does with a joint."""

    BRUSH_OUT = "brush out"
    FILL = "fill"
    SEAL = "seal"
    BRIDGE = "bridge"
    LEAVE = "leave"


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeKind:
    """What stands along an edge, one row of the edge-kind table.

    Attributes:
        name: as typed in a plan, lower case.
        hand_grind: True when it is in the walk-behind's way, so the edge is ground by hand.
        gap: what the walk-behind leaves uncut along it; None takes the grinder's gap.
        overhang: how far the cut may run past it where it is not in the way; None takes the grinder's.
        band: width ground by hand; None takes the grinder's band.
        mask: True when the edge is taped or filmed.
        mask_height: height to mask above the floor; None when only a tape line.
        brush: True when coats are brushed (cut in) along it.
        face: True when the vertical face there is usually coated.
        drop: True when a person can fall or a wheel can drop past it.
        note: what the crew must know, "" for nothing.
    """

    name: str
    hand_grind: bool
    gap: Length | None = None
    overhang: Length | None = None
    band: Length | None = None
    mask: bool = False
    mask_height: Length | None = None
    brush: bool = False
    face: bool = False
    drop: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """A typed point, metres on the sheet (x right, y up)."""

    x: Length
    y: Length
    place: Place | None = field(default=None, compare=False)


Spot = Point | str
"""A typed point, or the label of a corner or of a taped point, which is found once the shape is solved."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ArcSpec:
    """A circular side as typed: exactly one of rise and radius is given.

    Attributes:
        rise: greatest distance from chord to arc, > 0.
        radius: > 0, at least half the chord.
        bulge: out of or into the floor.
        major: with a radius, the longer way round.
    """

    rise: Length | None = None
    radius: Length | None = None
    bulge: Bulge
    major: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """What stands along a side, and its arc. `kind` is "unknown" where none was stated."""

    kind: str = "unknown"
    arc: ArcSpec | None = None
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """A lettered corner with typed coordinates."""

    label: str
    at: Point
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlineShape:
    """Typed corners in the user's order and direction; `sides[i]` runs from corner i to the next.

    `exact_bulges`, when not empty, has one signed bulge tan(angle/4) per side, positive counter-clockwise
    in the order of the corners, taken from a drawing file; it then stands in place of the arcs of `sides`.
    """

    corners: tuple[Corner, ...]
    sides: tuple[Side, ...]
    exact_bulges: tuple[float, ...] = ()
    source: str = ""


class HeadingKind(StrEnum):
    """How a direction of a walk was given."""

    ABSOLUTE = "absolute"
    TURN = "turn"
    INSIDE = "inside"
    MISSING = "missing"


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """A direction of a walk.

    Attributes:
        kind: ABSOLUTE: `degrees` counter-clockwise from the sheet's right; TURN: left positive, from the last
            direction; INSIDE: interior angle at the leg's first corner; MISSING: to be found from closing.
        degrees: see kind; 0 for MISSING.
        text: as typed.
    """

    kind: HeadingKind
    degrees: float = 0.0
    text: str = field(default="", compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """One side as walked; `length` is None where it is to be found from closing."""

    label: str
    heading: Heading
    length: Length | None
    side: Side
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkShape:
    """Directions and lengths as one walks the edge with a tape; `instrument` as in `TapeShape`."""

    legs: tuple[Leg, ...]
    accuracy: Length | None = None
    instrument: str = ""
    angle_accuracy_deg: float | None = None
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tie:
    """A taped distance between two named points; `side` where it runs along the outline."""

    start: str
    end: str
    length: Length
    side: Side | None = None
    accuracy: Length | None = None
    place: Place | None = field(default=None, compare=False)


class Turning(StrEnum):
    """Which way round the corners are listed."""

    CLOCKWISE = "clockwise"
    COUNTER_CLOCKWISE = "counter-clockwise"


@dataclass(frozen=True, slots=True, kw_only=True)
class TapeShape:
    """Sides and diagonals, to be solved.

    Attributes:
        corners: labels in order around the slab.
        turning: the way round; the first corner goes to the origin, the first side along the sheet.
        ties: every taped length.
        squares: corners checked square.
        points: labels that are not corners (post centres, points on a side) tied by lengths.
        accuracy: one standard error of a length; None takes the instrument's.
        instrument: a row of the instrument table, "" for the default.
        on_side: (point label, corner, corner): points that lie along a side.
        untaped: sides that were not taped, typed with `?`, by their two corners, with what stands along them.
        inward: corners that stand in (an inside angle over 180 degrees), where the plan says so; None where
            it does not, an empty tuple where it says that none does. Settles mirror solutions.
    """

    corners: tuple[str, ...]
    turning: Turning
    ties: tuple[Tie, ...]
    squares: tuple[str, ...] = ()
    points: tuple[str, ...] = ()
    accuracy: Length | None = None
    instrument: str = ""
    on_side: tuple[tuple[str, str, str], ...] = ()
    untaped: tuple[tuple[str, str, Side], ...] = ()
    inward: tuple[str, ...] | None = None
    place: Place | None = field(default=None, compare=False)

    def sides(self) -> tuple[Side, ...]:
        """What stands along each side, taped or not, from corner i to the next."""
        known = {frozenset((a, b)): side for a, b, side in self.untaped}
        known |= {frozenset((tie.start, tie.end)): tie.side for tie in self.ties if tie.side}
        pairs = zip(self.corners, self.corners[1:] + self.corners[:1], strict=True)
        return tuple(known.get(frozenset(pair), Side()) for pair in pairs)


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A station along a baseline and the offset of the edge there."""

    station: Length
    offset: Length
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class OffsetsShape:
    """A baseline with offsets to a free-form edge, which is straight or smooth between stations.

    `baseline_side` and `edge_side` say what stands along the baseline and along the free edge; `end_sides`
    along the closing sides at the last and the first station (used where the offset there is not zero).
    """

    baseline: Length
    stations: tuple[Station, ...]
    smooth: bool
    baseline_side: Side = Side()
    edge_side: Side = Side()
    end_sides: tuple[Side, Side] = (Side(), Side())
    accuracy: Length | None = None
    instrument: str = ""
    place: Place | None = field(default=None, compare=False)


Shape = OutlineShape | WalkShape | TapeShape | OffsetsShape


@dataclass(frozen=True, slots=True, kw_only=True)
class Rectangle:
    """A rectangle by its width (x) and depth (y) before turning."""

    width: Length
    depth: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """A circle by its diameter."""

    diameter: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutout:
    """Floor that is not coated: a post, a planter, a drain, a pool.

    Attributes:
        name: as typed; the edges of the cut-out carry it.
        kind: an edge kind.
        form: rectangle or circle about `at`, or typed corners (then `at` shifts them; none is no shift).
        at: one place for each copy; empty only with typed corners.
        turn_deg: counter-clockwise about the place.
        face: height of a vertical face coated all round, None for none.
    """

    name: str
    kind: str
    form: Rectangle | Round | OutlineShape
    at: tuple[Spot, ...] = ()
    turn_deg: float = 0.0
    face: Length | None = None
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class DxfSource:
    """A drawing file that gives the shape of a slab, as typed; what it holds is found by `plan.from_drawing`.

    Attributes:
        file: the path, inside the folder of the plan.
        name: the path as typed, for words.
        units: "ft", "in", "mm", … where the file does not say or is wrong; "" takes the file's own.
        paper_scale: 48 for an SVG whose paper is at 1:48; None takes the file's own.
        outline: layer names with wildcards; empty takes every visible layer. So do `cutouts` and `joints`.
        edges: (layer pattern, edge kind): what stands along sides drawn on those layers.
        text: layers of the words that name rings.
        pick: the ring to take where there are several: words of its label, "" for the largest.
        snap: ends closer than this are joined; None takes the reader's default.
        known: (first label or "", second label or "", true length): one length that was checked with a tape.
        cutout_kind: the edge kind of cut-outs of the file.
        joint_kind: the kind of joints of the file; their treatment is `joint_treatment`.
    """

    file: Path
    name: str
    units: str = ""
    paper_scale: float | None = None
    outline: tuple[str, ...] = ()
    cutouts: tuple[str, ...] = ()
    joints: tuple[str, ...] = ()
    edges: tuple[tuple[str, str], ...] = ()
    text: tuple[str, ...] = ()
    pick: str = ""
    snap: Length | None = None
    known: tuple[str, str, Length] | None = None
    cutout_kind: str = "unknown"
    joint_kind: JointKind = JointKind.SAW_CUT
    joint_treatment: Treatment = Treatment.LEAVE
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class JointLines:
    """Typed lines, each of two or more points."""

    lines: tuple[tuple[Spot, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class JointGrid:
    """A grid of joints.

    Attributes:
        spacing_x: between the lines that run up the sheet (before turning); None for none of these.
        spacing_y: between the lines that run across; None for none of these.
        origin: a corner label or a point through which a line of each set would pass.
        turn_deg: counter-clockwise.
    """

    spacing_x: Length | None
    spacing_y: Length | None
    origin: Spot
    turn_deg: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class JointAlong:
    """Joints that run along sides, each named by its two corners."""

    sides: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """A joint, or a set of joints treated alike."""

    name: str
    kind: JointKind
    treatment: Treatment
    form: JointLines | JointGrid | JointAlong
    width: Length | None = None
    depth: Length | None = None
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """What a drawing file gave for one slab.

    Attributes:
        shape: the outline with exact arcs.
        cutouts: rings inside it.
        joints: lines across it.
        notices: what was mended, left out or assumed.
        name: the words that name the outline in the drawing, "" for none.
        unit_m: metres in one unit of the drawing.
        unit_how: how the unit was found, in words.
    """

    shape: OutlineShape
    cutouts: tuple[Cutout, ...] = ()
    joints: tuple[Joint, ...] = ()
    notices: tuple[Notice, ...] = ()
    name: str = ""
    unit_m: float = 1.0
    unit_how: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """A vertical face coated with the floor, along one side or round one cut-out."""

    side: tuple[str, str] | str
    height: Length
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Steps:
    """A flight of steps coated with the floor.

    `open_sides` (0, 1 or 2) cheeks are coated. `risers` is the number of risers, by default that of treads.
    `slab` is the place in the plan, from 0, of the slab whose coating system the flight takes; `side` the one
    of its sides where the flight stands, by its corners, None where the plan does not say.
    """

    name: str
    width: Length
    treads: int
    tread: Length
    riser: Length
    risers: int
    open_sides: int = 0
    slab: int = 0
    side: tuple[str, str] | None = None
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Slab:
    """One slab: its shape and all that is on it.

    Attributes:
        system: the coating system of this slab.
        surface: a row of the surface table of the systems ("broom", "trowelled", …), "" for the system's own.
        entry: where the grinder comes in: a side by its corners, or a spot; None when not stated.
        exits: where people leave; empty takes the entry.
        notes: words for the sheets, a line each.
    """

    name: str
    system: CoatingSystem
    shape: Shape
    cutouts: tuple[Cutout, ...] = ()
    joints: tuple[Joint, ...] = ()
    faces: tuple[Face, ...] = ()
    surface: str = ""
    entry: tuple[str, str] | Spot | None = None
    exits: tuple[tuple[str, str] | Spot, ...] = ()
    notes: tuple[str, ...] = ()
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Grinder:
    """The walk-behind grinder: diameter of the cut, overall width, gap, overhang, and hand-ground band."""

    head: Length
    overall: Length
    gap: Length
    overhang: Length
    band: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetInfo:
    """What the plan says of its sheets; every part may be left out, nothing is taken from the clock.

    `north_deg` is the direction of north, counter-clockwise from the sheet's right; None when not stated.
    `house` names the side or words for the house side. `logo` is a path beside the plan, `logo_data` what
    that file holds.
    """

    paper: str = ""
    scale: str = ""
    north_deg: float | None = None
    house: str = ""
    revision: str = ""
    date: str = ""
    drawn_by: str = ""
    firm: str = ""
    address: tuple[str, ...] = ()
    logo: str = ""
    logo_data: bytes = field(default=b"", repr=False)
    notes: tuple[str, ...] = ()


class Origin(StrEnum):
    """Where the coordinates of typed slabs start: all at one point of the site, or each at its own."""

    SHARED = "shared"
    OWN = "own"


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """One job: slabs, steps, grinder and sheet data.

    Attributes:
        units: how bare numbers were read and how results are written.
        edge_kinds: every kind that the plan may use, shipped rows with the plan's overrides, by name.
        ignore_below_m2: openings smaller than this are not deducted from the material area.
        origin: where the coordinates of typed slabs start; None when not stated.
        path: the plan file as given, "" when read from text.
        notices: what the reader wants the user to know.
    """

    title: str
    site: str
    units: UnitStyle
    grinder: Grinder
    slabs: tuple[Slab, ...]
    steps: tuple[Steps, ...]
    edge_kinds: Mapping[str, EdgeKind]
    ignore_below_m2: float
    origin: Origin | None = None
    sheet: SheetInfo = SheetInfo()
    work: WorkSettings = field(default_factory=WorkSettings)
    conditions: Conditions = field(default_factory=Conditions)
    path: str = field(default="", compare=False)
    notices: tuple[Notice, ...] = field(default=(), compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "edge_kinds", MappingProxyType(dict(self.edge_kinds)))

"""What holds of every floor: on random plans, against a second polygon library, and on ugly plans."""

from __future__ import annotations

import math
from dataclasses import replace

import pyclipper
import pytest
import shapes
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from floorplan.errors import PlanError
from floorplan.measure.floor import measure
from floorplan.plan.edge_kinds import SHIPPED
from floorplan.plan.model import ArcSpec, Bulge, Cutout, Joint, OutlineShape, Plan, Slab
from floorplan.units.length import UnitStyle

KINDS = sorted(SHIPPED)
SCALE = 1_000_000
"""Clipper counts in whole micrometres."""

settings.register_profile("measure", deadline=None, suppress_health_check=list(HealthCheck), print_blob=True)
FEW = settings(settings.get_profile("measure"), max_examples=60)
MANY = settings(settings.get_profile("measure"), max_examples=800)


def star(radii: list[float], turn: float) -> list[tuple[float, float]]:
    """A star-shaped outline: one corner at each radius, evenly round."""
    n = len(radii)
    return [
        (r * math.cos(turn + 2 * math.pi * k / n), r * math.sin(turn + 2 * math.pi * k / n))
        for k, r in enumerate(radii)
    ]


@st.composite
def floors(draw: st.DrawFn) -> Plan:
    """A star-shaped floor with rectangles and rounds about it and some lines; straight sides."""
    radii = draw(st.lists(st.floats(2, 8), min_size=3, max_size=14))
    points = star(radii, draw(st.floats(0, 1)))
    kinds = draw(st.lists(st.sampled_from(KINDS), min_size=len(points), max_size=len(points)))
    holes = []
    for k in range(draw(st.integers(0, 4))):
        x, y = draw(st.floats(-5, 5)), draw(st.floats(-5, 5))
        size = (draw(st.floats(0.05, 3)), draw(st.floats(0.05, 3)))
        turn = draw(st.sampled_from([0.0, 30.0, 45.0, 90.0]))
        holes.append(shapes.cutout(f"hole {k}", (x, y), size, unit=shapes.metres, turn=turn))
    lines = [
        [(draw(st.floats(-9, 9)), draw(st.floats(-9, 9))) for _ in range(2)]
        for _ in range(draw(st.integers(0, 3)))
    ]
    assume(all(math.dist(*line) > 1e-3 for line in lines))
    joints = (shapes.joint("cuts", shapes.lines(*lines, unit=shapes.metres)),) if lines else ()
    shape = shapes.outline(points, kinds, unit=shapes.metres)
    slab = shapes.slab(shape, cutouts=tuple(holes), joints=joints)
    return shapes.plan(slab, units=UnitStyle.M)


@st.composite
def tight_floors(draw: st.DrawFn, *, bent: bool) -> Plan:
    """A room on whole metres with cut-outs and lines on half metres, so that edges fall on one another."""
    half = st.integers(0, 12).map(lambda v: v / 2)
    corners = draw(
        st.sampled_from(
            [
                [(0, 0), (6, 0), (6, 6), (0, 6)],
                [(0, 0), (6, 0), (6, 3), (3, 3), (3, 6), (0, 6)],
                [(0, 0), (6, 0), (3, 6)],
                [(0, 0), (2, 0), (2, 1), (4, 1), (4, 0), (6, 0), (6, 6), (0, 6)],
            ]
        )
    )
    kinds = draw(st.lists(st.sampled_from(KINDS), min_size=len(corners), max_size=len(corners)))
    arcs = {}
    if bent:
        for i in range(len(corners)):
            if draw(st.booleans()):
                size = draw(st.sampled_from([0.1, 0.25, 0.5]))
                arcs[i] = shapes.rise(size, draw(st.sampled_from(["in", "out"])), shapes.metres)
    holes = []
    for k in range(draw(st.integers(0, 6))):
        where = (draw(half), draw(half))
        size = draw(st.sampled_from([(1, 1), (1, 0.5), (2, 1), (0.5, 3), *([1.0, 0.5] if bent else [])]))
        turn = draw(st.sampled_from([0.0, 0.0, 90.0, 45.0]))
        holes.append(shapes.cutout(f"hole {k}", where, size, unit=shapes.metres, turn=turn))
    lines = [[(draw(half), draw(half)), (draw(half), draw(half))] for _ in range(draw(st.integers(0, 5)))]
    lines = [line for line in lines if line[0] != line[1]]
    joints = (shapes.joint("cuts", shapes.lines(*lines, unit=shapes.metres)),) if lines else ()
    entry = draw(st.sampled_from([None, ("A", "B")]))
    shape = shapes.outline(corners, kinds, arcs, unit=shapes.metres)
    slab = shapes.slab(shape, cutouts=tuple(holes), joints=joints, entry=entry)
    return shapes.plan(slab, units=UnitStyle.M)


def clipper_net_m2(plan: Plan) -> float:
    """Net area by integer clipping, arcs not allowed."""
    (slab,) = plan.slabs
    outline = [(c.at.x.m, c.at.y.m) for c in slab.shape.corners]
    clip = pyclipper.Pyclipper()
    clip.AddPath([(round(x * SCALE), round(y * SCALE)) for x, y in outline], pyclipper.PT_SUBJECT, True)
    for cut in slab.cutouts:
        w, d = cut.form.width.m / 2, cut.form.depth.m / 2
        t = math.radians(cut.turn_deg)
        at = cut.at[0]
        ring = [
            (at.x.m + math.cos(t) * x - math.sin(t) * y, at.y.m + math.sin(t) * x + math.cos(t) * y)
            for x, y in ((-w, -d), (w, -d), (w, d), (-w, d))
        ]
        path = [(round(x * SCALE), round(y * SCALE)) for x, y in ring]
        clip.AddPath(path, pyclipper.PT_CLIP, True)
    rings = clip.Execute(pyclipper.CT_DIFFERENCE, pyclipper.PFT_NONZERO, pyclipper.PFT_NONZERO)
    return sum(pyclipper.Area(ring) for ring in rings) / SCALE**2


@FEW
@given(st.one_of(floors(), tight_floors(bent=False)))
def test_net_area_as_by_integer_clipping(plan: Plan):
    """Net area is that of another library, to the micrometres it counts in."""
    try:
        (slab,) = measure(plan).slabs
    except PlanError:
        assume(False)
    assert slab.net_area_m2 == pytest.approx(clipper_net_m2(plan), abs=2e-4)


@FEW
@given(st.one_of(floors(), tight_floors(bent=False), tight_floors(bent=True)))
def test_parts_of_every_floor_add_up(plan: Plan):
    """Deductions, kinds, regions and joints of any floor fit together."""
    try:
        (slab,) = measure(plan).slabs
    except PlanError:
        assume(False)
    taken = sum(c.deducted_m2 for c in slab.cutouts)
    assert slab.net_area_m2 + taken == pytest.approx(slab.gross_area_m2, rel=1e-12)
    assert all(0 <= c.deducted_m2 <= c.area_m2 * (1 + 1e-9) for c in slab.cutouts)
    assert slab.net_area_m2 <= slab.material_area_m2 <= slab.gross_area_m2 * (1 + 1e-12)
    assert 4 * math.pi * slab.gross_area_m2 <= slab.perimeter_m**2 * (1 + 1e-12)
    edges = sum(e.length_m for e in slab.edges)
    assert sum(slab.edge_length_by_kind_m.values()) == pytest.approx(edges, rel=1e-12)
    assert slab.hand_grind_edge_m <= edges * (1 + 1e-12)
    # The polygon's chords are a little shorter than the arcs.
    assert slab.regions.net.length == pytest.approx(edges, rel=1e-5, abs=1e-6)
    for region in (slab.regions.machine, slab.regions.band, slab.regions.pockets):
        assert region.difference(slab.regions.net).area < 1e-9
    assert 0 <= slab.machine_area_m2 <= slab.net_area_m2 * (1 + 1e-9)
    assert slab.hand_grind_area_m2 <= slab.net_area_m2 * (1 + 1e-9)
    for joint in slab.joints:
        assert joint.lines.difference(slab.regions.net.buffer(1e-5)).length < 1e-6
        assert joint.lines.length == pytest.approx(joint.length_m, abs=1e-9)


@FEW
@given(floors(), st.floats(-3, 3))
def test_floor_split_by_a_line_adds_up(plan: Plan, x: float):
    """A floor cut in two by an upright line: the net areas of the parts are that of the whole."""
    (slab,) = plan.slabs
    try:
        (whole,) = measure(plan).slabs
        halves = []
        for low, high in ((-20.0, x), (x, 20.0)):
            wall = shapes.hole("away", [(low, -20), (high, -20), (high, 20), (low, 20)], unit=shapes.metres)
            half = replace(slab, cutouts=(wall, *slab.cutouts), joints=())
            halves += measure(replace(plan, slabs=(half,))).slabs
    except PlanError:
        assume(False)
    assert sum(h.net_area_m2 for h in halves) == pytest.approx(whole.net_area_m2, rel=1e-9, abs=1e-9)


SMALL = st.integers(-6, 6).map(lambda v: v / 2)
ODD = [0.0, 1e-12, 1e-9, 1e-7, 1e-4, 3.0000000001, 1e6, -1e6, 1e200, -1e300]
NASTY = st.integers(0, 30).flatmap(
    lambda n: st.sampled_from(ODD) if n == 0 else (SMALL if n < 16 else st.floats(-5, 5))
)
SIZES = st.integers(0, 30).flatmap(lambda n: st.sampled_from(ODD) if n == 0 else st.floats(0.01, 4))
POINTS = st.tuples(NASTY, NASTY)


@st.composite
def ugly_outlines(draw: st.DrawFn, least: int = 0) -> OutlineShape:
    """Any corners, arcs of any size either way, any kinds, labels that repeat."""
    points = draw(st.lists(st.one_of(st.tuples(SMALL, SMALL), POINTS), min_size=least, max_size=9))
    arcs: dict[int, ArcSpec] = {}
    for i in range(len(points)):
        if draw(st.integers(0, 3)) == 0:
            size = shapes.metres(draw(SIZES))
            bulge = draw(st.sampled_from(Bulge))
            arcs[i] = (
                ArcSpec(rise=size, bulge=bulge)
                if draw(st.booleans())
                else ArcSpec(radius=size, bulge=bulge, major=draw(st.booleans()))
            )
    kinds = draw(st.lists(st.sampled_from(KINDS), min_size=len(points), max_size=len(points)))
    names = ("ABCDEFGHA" if draw(st.integers(0, 20)) == 0 else "ABCDEFGHI")[: len(points)]
    return shapes.outline(points, kinds, arcs, unit=shapes.metres, names=names)


@st.composite
def ugly_cutouts(draw: st.DrawFn) -> Cutout:
    """Any form at any place."""
    where = draw(st.one_of(st.tuples(SMALL, SMALL), POINTS))
    kind = draw(st.sampled_from(KINDS))
    form = draw(st.integers(0, 2))
    turn = draw(st.sampled_from([0.0, 45.0, 90.0, 17.3, 1e9]))
    if form == 0:
        size = (draw(SIZES), draw(SIZES))
        return shapes.cutout("box", where, size, kind=kind, unit=shapes.metres, turn=turn)
    if form == 1:
        return shapes.cutout("pipe", where, draw(SIZES), kind=kind, unit=shapes.metres)
    shape = draw(ugly_outlines())
    at = (shapes.at(*where, shapes.metres),) if draw(st.booleans()) else ()
    return Cutout(name="bed", kind=kind, form=shape, at=at, turn_deg=turn)


@st.composite
def ugly_joints(draw: st.DrawFn) -> Joint:
    """Lines, grids and sides, of what is there and what is not."""
    form = draw(st.integers(0, 2))
    if form == 0:
        typed = draw(st.lists(st.lists(POINTS, min_size=2, max_size=4), max_size=3))
        return shapes.joint("lines", shapes.lines(*typed, unit=shapes.metres))
    if form == 1:
        spacing = [draw(st.one_of(st.none(), SIZES.map(shapes.metres))) for _ in range(2)]
        origin = draw(st.sampled_from(["A", "Q", shapes.at(0.5, 0.5, shapes.metres)]))
        turn = draw(st.sampled_from([0.0, 30.0, 90.0]))
        grid = shapes.JointGrid(spacing_x=spacing[0], spacing_y=spacing[1], origin=origin, turn_deg=turn)
        return shapes.joint("grid", grid)
    known = [("A", "B"), ("C", "B"), ("B", "A")] * 5
    sides = draw(st.lists(st.sampled_from([*known, ("A", "C"), ("X", "Y")]), max_size=3))
    return shapes.joint("along", shapes.JointAlong(sides=tuple(sides)))


@st.composite
def ugly_plans(draw: st.DrawFn) -> Plan:
    """One or two slabs of anything."""
    slabs: list[Slab] = []
    for _ in range(draw(st.integers(1, 2))):
        doors = [None, ("A", "B"), "A", shapes.at(1, 1, shapes.metres)] * 5
        entry = draw(st.sampled_from([*doors, ("X", "Y")]))
        faces = draw(
            st.sampled_from(
                [(), (shapes.face(("A", "B"), shapes.ft(1)),), (shapes.face("box", shapes.ft(1)),)]
            )
        )
        plain = shapes.rectangle(5, 4, draw(st.sampled_from(KINDS)), shapes.metres)
        ring = st.lists(st.floats(1, 5), min_size=3, max_size=9).map(lambda radii: star(radii, 0.3))
        round_ = ring.map(lambda points: shapes.outline(points, "open", unit=shapes.metres))
        shape = draw(st.one_of(ugly_outlines(3), st.just(plain), round_))
        slabs.append(
            shapes.slab(
                shape,
                cutouts=tuple(draw(st.lists(ugly_cutouts(), max_size=4))),
                joints=tuple(draw(st.lists(ugly_joints(), max_size=2))),
                faces=faces,
                entry=entry,
            )
        )
    units = draw(st.sampled_from(UnitStyle))
    head = draw(st.sampled_from([10, 18, 30]))
    grinder = replace(
        shapes.GRINDER,
        head=shapes.inches(head),
        overhang=shapes.inches(draw(st.sampled_from([0, 2, 9, 20]))),
        gap=shapes.inches(draw(st.sampled_from([0, 2]))),
    )
    return shapes.plan(*slabs, units=units, grinder=grinder)


def measures_or_refuses(plan: Plan) -> None:
    """A plan is measured into finite figures, or refused in words; nothing else."""
    try:
        takeoff = measure(plan)
    except PlanError as error:
        assert all(fault.text and fault.code for fault in error.faults)
        return
    for slab in takeoff.slabs:
        for name in ("net_area_m2", "machine_area_m2", "band_area_m2", "pocket_area_m2", "joint_length_m"):
            value = getattr(slab, name)
            assert math.isfinite(value), name
            assert value >= 0, name


@FEW
@given(ugly_plans())
def test_ugly_plans_are_measured_or_refused(plan: Plan):
    """Whatever was typed: figures or faults, never anything else."""
    measures_or_refuses(plan)


@pytest.mark.slow
@MANY
@given(ugly_plans())
def test_very_many_ugly_plans_are_measured_or_refused(plan: Plan):
    """The same, long."""
    measures_or_refuses(plan)

"""A plan written as text reads back as the same plan, its lengths in the user's own words."""

from __future__ import annotations

import math
import string
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from floorplan.geometry.rings import Ring
from floorplan.plan.edge_kinds import SHIPPED, blank
from floorplan.plan.model import (
    ArcSpec,
    Bulge,
    Corner,
    Cutout,
    EdgeKind,
    Face,
    Grinder,
    Heading,
    HeadingKind,
    Joint,
    JointAlong,
    JointGrid,
    JointKind,
    JointLines,
    Leg,
    OffsetsShape,
    OutlineShape,
    Plan,
    Point,
    Rectangle,
    Round,
    SheetInfo,
    Side,
    Slab,
    Station,
    Steps,
    TapeShape,
    Tie,
    Treatment,
    Turning,
    WalkShape,
)
from floorplan.plan.reader import load_plan, read_plan
from floorplan.plan.starters import SHAPES, starter
from floorplan.plan.treatments import NEVER
from floorplan.plan.writer import write_plan
from floorplan.survey.instruments import INSTRUMENTS
from floorplan.system.reader import load_system
from floorplan.units.length import Length, UnitStyle
from floorplan.units.reading import read_length

SAMPLES = sorted((Path(__file__).parents[2] / "sample_plans").glob("*.toml"))

TYPED = st.builds(
    "{}' {}{}\"".format,
    st.integers(0, 300),
    st.integers(0, 11),
    st.sampled_from(["", " 1/8", " 1/2", "½", ".25"]),
) | st.builds("{}{}".format, st.integers(1, 9999), st.sampled_from([" mm", " in", "'", '"', " cm", "", ".5"]))
WORKED_OUT = st.floats(1e-6, 1e4).map(Length)
LENGTHS = TYPED.map(lambda text: read_length(text, UnitStyle.FT_IN)).filter(lambda x: x.m > 0) | WORKED_OUT
COORDINATES = LENGTHS | WORKED_OUT.map(lambda x: Length(-x.m)) | st.just(Length(0.0, "0"))
POINTS = st.builds(Point, x=COORDINATES, y=COORDINATES)
ANGLES = st.floats(-360, 360).map(lambda x: round(x, 6) + 0.0) | st.integers(-90, 90).map(float)
WORDS = st.text(
    st.characters(codec="utf-8", exclude_categories=("C", "Z"), include_characters=" "),
    min_size=1,
    max_size=20,
).map(lambda text: text.strip() or "x")
NOTES = st.lists(WORDS, max_size=3).map(tuple)
KINDS = st.sampled_from(sorted(SHIPPED))
LETTERS = [*string.ascii_uppercase[:9], "a1", "é", "10"]


@st.composite
def sides(draw: st.DrawFn, *, kinds: st.SearchStrategy[str] = KINDS, arcs: bool = True) -> Side:
    """What stands along a side."""
    kind, bulge = draw(kinds), draw(st.sampled_from(Bulge))
    how = draw(st.sampled_from(["rise", "radius", "none"])) if arcs else "none"
    if how == "rise":
        return Side(kind=kind, arc=ArcSpec(rise=draw(WORKED_OUT), bulge=bulge))
    if how == "radius":
        return Side(kind=kind, arc=ArcSpec(radius=draw(WORKED_OUT), bulge=bulge, major=draw(st.booleans())))
    return Side(kind=kind)


@st.composite
def labels(draw: st.DrawFn, least: int = 3) -> tuple[str, ...]:
    """Letters of corners."""
    return tuple(draw(st.lists(st.sampled_from(LETTERS), min_size=least, max_size=7, unique=True)))


@st.composite
def outlines(draw: st.DrawFn, kind: str | None = None) -> OutlineShape:
    """Typed corners, no two the same."""
    names = draw(labels())
    spots = draw(st.lists(POINTS, min_size=len(names), max_size=len(names), unique=True))
    along = sides() if kind is None else sides(kinds=st.just(kind))
    return OutlineShape(
        corners=tuple(Corner(label=label, at=at) for label, at in zip(names, spots, strict=True)),
        sides=tuple(draw(along) for _ in names),
    )


@st.composite
def headings(draw: st.DrawFn, first: bool) -> Heading:
    """A direction without a text, so that the writer has to find the words."""
    kinds = [HeadingKind.ABSOLUTE, HeadingKind.MISSING]
    kind = draw(st.sampled_from(kinds if first else list(HeadingKind)))
    if kind is HeadingKind.MISSING:
        return Heading(kind=kind)
    degrees = float(draw(st.integers(1, 179)))
    return Heading(
        kind=kind, degrees=-degrees if kind is HeadingKind.TURN and draw(st.booleans()) else degrees
    )


@st.composite
def walks(draw: st.DrawFn) -> WalkShape:
    """A walk that need not close."""
    legs = tuple(
        Leg(label=label, heading=draw(headings(i == 0)), length=draw(st.none() | LENGTHS), side=draw(sides()))
        for i, label in enumerate(draw(labels()))
    )
    accuracy = draw(st.none() | LENGTHS)
    instrument = "" if accuracy else draw(st.sampled_from(["", *INSTRUMENTS]))
    angle = draw(st.none() | st.sampled_from([0.25, 1.0]))
    return WalkShape(legs=legs, accuracy=accuracy, instrument=instrument, angle_accuracy_deg=angle)


@st.composite
def tapes(draw: st.DrawFn) -> TapeShape:
    """Taped lengths that need not fit."""
    corners = draw(labels(4))
    around = list(zip(corners, corners[1:] + corners[:1], strict=True))
    taped = [
        Tie(start=a, end=b, length=draw(LENGTHS), side=draw(st.none() | sides())) for a, b in around[:-1]
    ]
    diagonal = Tie(start=corners[0], end=corners[2], length=draw(LENGTHS), accuracy=draw(st.none() | LENGTHS))
    points = draw(st.sampled_from([(), ("P",), ("P", "Q")]))
    on_side = tuple((point, *around[0]) for point in points[: draw(st.integers(0, 2))])
    return TapeShape(
        corners=corners,
        turning=draw(st.sampled_from(Turning)),
        ties=(*taped, diagonal),
        squares=corners[: draw(st.integers(0, 2))],
        points=points,
        accuracy=draw(st.none() | LENGTHS),
        on_side=on_side,
        untaped=((*around[-1], draw(sides())),) if draw(st.booleans()) else (),
        inward=draw(st.sampled_from([None, (), corners[1:2]])),
    )


@st.composite
def offsets(draw: st.DrawFn) -> OffsetsShape:
    """Stations in order along a baseline."""
    steps = draw(st.lists(st.integers(1, 500), min_size=2, max_size=6))
    at = [Length(sum(steps[:i]) / 100) for i in range(len(steps))]
    return OffsetsShape(
        baseline=Length(sum(steps) / 100),
        stations=tuple(Station(station=station, offset=draw(LENGTHS)) for station in at),
        smooth=draw(st.booleans()),
        baseline_side=draw(sides(arcs=False)),
        edge_side=draw(sides(arcs=False)),
        end_sides=(draw(sides(arcs=False)), draw(sides(arcs=False))),
        instrument=draw(st.sampled_from(["", "laser"])),
    )


@st.composite
def cutouts(draw: st.DrawFn) -> Cutout:
    """A cut-out of any form."""
    kind = draw(KINDS)
    form = draw(
        st.builds(Rectangle, width=LENGTHS, depth=LENGTHS)
        | st.builds(Round, diameter=LENGTHS)
        | outlines(kind)
    )
    least = 0 if isinstance(form, OutlineShape) else 1
    return Cutout(
        name=draw(WORDS),
        kind=kind,
        form=form,
        at=tuple(draw(st.lists(POINTS, min_size=least, max_size=3))),
        turn_deg=draw(ANGLES),
        face=draw(st.none() | LENGTHS),
    )


@st.composite
def joints(draw: st.DrawFn, names: tuple[str, ...]) -> Joint:
    """A joint of any form."""
    pairs = [(k, t) for k in JointKind for t in Treatment if (k, t) not in NEVER]
    kind, treatment = draw(st.sampled_from(pairs))
    spots = st.lists(POINTS, min_size=2, max_size=4, unique=True).map(tuple)
    forms: list[st.SearchStrategy[JointLines | JointGrid | JointAlong]] = [
        st.builds(JointLines, lines=st.lists(spots, min_size=1, max_size=3).map(tuple)),
        st.builds(
            JointGrid,
            spacing_x=LENGTHS,
            spacing_y=st.none() | LENGTHS,
            origin=POINTS | st.sampled_from(names or ("A",)),
            turn_deg=ANGLES,
        ),
    ]
    if names:
        forms.append(st.just(JointAlong(sides=((names[0], names[1]),))))
    return Joint(
        name=draw(WORDS),
        kind=kind,
        treatment=treatment,
        form=draw(st.one_of(forms)),
        width=draw(st.none() | LENGTHS),
        depth=draw(st.none() | LENGTHS),
    )


def corner_names(shape: object) -> tuple[str, ...]:
    """The letters of a shape."""
    match shape:
        case OutlineShape(corners=corners):
            return tuple(corner.label for corner in corners)
        case WalkShape(legs=legs):
            return tuple(leg.label for leg in legs)
        case TapeShape(corners=names):
            return names
    return ()


@st.composite
def slabs(draw: st.DrawFn) -> Slab:
    """A slab of any shape."""
    shape = draw(outlines() | walks() | tapes() | offsets())
    names = corner_names(shape)
    side = (names[0], names[1]) if names else ("A", "B")
    return Slab(
        name=draw(WORDS),
        system=load_system(draw(st.sampled_from(["outdoor-full-flake", "clear-seal"]))),
        shape=shape,
        cutouts=tuple(draw(st.lists(cutouts(), max_size=2))),
        joints=tuple(draw(st.lists(joints(names), max_size=2))),
        faces=draw(st.sampled_from([(), (Face(side=side, height=Length(0.1)),)])),
        surface=draw(st.sampled_from(["", "broom"])),
        entry=draw(st.none() | st.just(side) | POINTS),
        exits=tuple(draw(st.lists(st.just(side) | POINTS, max_size=2))),
        notes=draw(NOTES),
    )


@st.composite
def kinds_of_a_plan(draw: st.DrawFn) -> dict[str, EdgeKind]:
    """The shipped table with a changed and an added row."""
    added = EdgeKind(
        name='glass "wall" \\ 2',
        hand_grind=draw(st.booleans()),
        gap=draw(st.none() | LENGTHS),
        mask=draw(st.booleans()),
        mask_height=draw(st.none() | LENGTHS),
        note=draw(st.just("") | WORDS),
    )
    wall = EdgeKind(name="wall", hand_grind=draw(st.booleans()), overhang=draw(st.none() | LENGTHS))
    changed = {name: getattr(SHIPPED["wall"], name) for name in ("mask", "mask_height", "brush", "note")}
    row = EdgeKind(**{name: getattr(wall, name) for name in ("name", "hand_grind", "overhang")}, **changed)
    return {**SHIPPED, "wall": row, added.name: added}


@st.composite
def plans(draw: st.DrawFn) -> Plan:
    """Any plan that a file could hold."""
    head = draw(LENGTHS)
    words = draw(st.lists(st.just("") | WORDS, min_size=7, max_size=7))
    names = ("paper", "scale", "house", "revision", "date", "drawn_by", "firm")
    return Plan(
        title=draw(WORDS),
        site=draw(st.just("") | WORDS),
        units=UnitStyle.FT_IN,
        grinder=Grinder(
            head=head,
            overall=Length(head.m * draw(st.sampled_from([1.0, 1.25]))),
            gap=draw(LENGTHS),
            overhang=Length(head.m / 4),
            band=draw(LENGTHS | st.just(Length(0.0))),
        ),
        slabs=tuple(draw(st.lists(slabs(), min_size=1, max_size=2))),
        steps=tuple(
            draw(
                st.lists(
                    st.builds(
                        Steps,
                        name=WORDS,
                        width=LENGTHS,
                        treads=st.integers(1, 20),
                        tread=LENGTHS,
                        riser=LENGTHS,
                        risers=st.integers(0, 21),
                        open_sides=st.integers(0, 2),
                    ),
                    max_size=2,
                )
            )
        ),
        edge_kinds=draw(st.just(dict(SHIPPED)) | kinds_of_a_plan()),
        ignore_below_m2=draw(st.sampled_from([0.09290304, 0.0, 0.25])),
        sheet=SheetInfo(
            **dict(zip(names, words, strict=True)),
            north_deg=draw(st.none() | st.integers(0, 359).map(float)),
            address=draw(NOTES),
            notes=draw(NOTES),
        ),
    )


@settings(max_examples=60, deadline=None)
@given(plans())
def test_any_plan_reads_back_the_same(plan: Plan) -> None:
    """Written and read again nothing has changed, whatever its shapes, names and notations."""
    text = write_plan(plan)
    again = read_plan(text)
    assert again == plan
    assert write_plan(again) == text


@pytest.mark.parametrize("shape", SHAPES)
def test_starters_read_back_the_same(shape: str) -> None:
    """Plans typed by hand survive too."""
    plan = read_plan(starter(shape))
    assert read_plan(write_plan(plan)) == plan


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_samples_read_back_the_same(path: Path) -> None:
    """So do the sample plans, lengths as typed."""
    plan = load_plan(path)
    text = write_plan(plan)
    assert read_plan(text) == plan
    shape = plan.slabs[0].shape
    if isinstance(shape, OutlineShape):
        assert all(f"{corner.at.x.text}, {corner.at.y.text}" in text for corner in shape.corners)


@pytest.mark.parametrize("way", [1, -1])
def test_arcs_of_a_drawing_are_written_by_their_rise(way: int) -> None:
    """Exact bulges come back as arcs of the same side and size, either way round, over a half circle too."""
    points = [(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)][::way]
    bulges = (0.25, 0.0, -0.5, 1.4)
    shape = OutlineShape(
        corners=tuple(
            Corner(label=label, at=Point(x=Length(x), y=Length(y)))
            for label, (x, y) in zip("ABCD", points, strict=True)
        ),
        sides=(Side(kind="wall"),) * 4,
        exact_bulges=bulges,
    )
    plan = read_plan("[[slab]]\noutline = '''\n0, 0\n9, 0\n9, 9\n'''\n")
    (slab,) = plan.slabs
    plan = Plan(
        title="x",
        site="",
        units=UnitStyle.M,
        grinder=plan.grinder,
        slabs=(Slab(name="x", system=slab.system, shape=shape),),
        steps=(),
        edge_kinds=SHIPPED,
        ignore_below_m2=0.0,
    )
    again = read_plan(write_plan(plan)).slabs[0].shape
    assert isinstance(again, OutlineShape)
    counter_clockwise = Ring(points, bulges).is_ccw
    for i, (side, bulge) in enumerate(zip(again.sides, bulges, strict=True)):
        if bulge == 0.0:
            assert side.arc is None
            continue
        assert side.arc is not None
        assert side.arc.rise is not None
        # DXF Reference: bulge = tan(angle / 4), so rise = |bulge| * chord / 2.
        chord = math.dist(points[i], points[(i + 1) % 4])
        assert side.arc.rise.m == pytest.approx(abs(bulge) * chord / 2, rel=1e-12)
        assert (side.arc.bulge is Bulge.OUT) == ((bulge > 0) == counter_clockwise)


def test_notes_stand_at_the_top() -> None:
    """What is said of the file is a comment that reading passes over."""
    plan = read_plan(starter("rectangle"))
    text = write_plan(plan, notes=("from slab.dxf", "say what stands along each side"))
    assert text.startswith("# from slab.dxf\n# say what stands along each side\n\n")
    assert read_plan(text) == plan


def test_system_file_is_written_by_its_path(tmp_path: Path) -> None:
    """A system of the user's own is named by its file beside the plan."""
    (tmp_path / "shop").mkdir()
    shipped = Path(__file__).parents[2] / "floorplan" / "system" / "data" / "clear-seal.toml"
    (tmp_path / "shop" / "seal.toml").write_text('name = "ours"\n' + shipped.read_text())
    (tmp_path / "plan.toml").write_text(
        starter("rectangle").replace('"outdoor-full-flake"', '"shop/seal.toml"')
    )
    plan = load_plan(tmp_path / "plan.toml")
    assert plan.slabs[0].system.name == "ours"
    assert 'system = "shop/seal.toml"' in write_plan(plan).replace("  ", " ")


WORK = """
[work]
start = "2027-05-04 07:30"
crew = 4
hours = "06:00 - 15:00"
days = "mon-fri"
off = ["2027-05-31"]
temperature = "85 F"
spread = "30 sq ft/min"

[conditions]
air = "72.5 F"
surface = "21 C"
humidity = "65.5 %"
wind = "8 mph"
forecast = '''
2027-05-04 13:00 | 72 F | 65 % | wind 8 mph | rain 20 %
2027-05-04 14:00 | 23.5 C | 61 % | surface 90 F | wind 3.5 m/s
'''
"""


def test_work_and_weather_read_back_the_same() -> None:
    """Hours and forecast survive, in the units that they were typed in where these are tidy."""
    plan = read_plan(starter("rectangle") + WORK)
    text = write_plan(plan)
    assert read_plan(text) == plan
    for typed in (
        '"85 F"',
        '"30 sq ft/min"',
        '"mon-fri"',
        '["2027-05-31"]',
        "06:00 - 15:00",
        "65.5 %",
        "8 mph",
        "rain 20 %",
        "| 72 F",
    ):
        assert typed in text


def test_blank_kind_is_in_the_way() -> None:
    """What a new kind starts from has the plan's caution in it."""
    assert blank("hedge") == EdgeKind(name="hedge", hand_grind=True, mask=True, brush=True)

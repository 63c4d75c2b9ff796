"""Sample plans by plain names, built from values; everything in them is invented.

Coordinates are typed in feet, as on a site sheet, unless a name says otherwise. `outline`, `slab` and
`plan` build any other plan in a line or two.
"""

from __future__ import annotations

import string
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from floorplan.errors import Place
from floorplan.plan.edge_kinds import SHIPPED
from floorplan.plan.model import (
    ArcSpec,
    Bulge,
    Corner,
    Cutout,
    EdgeKind,
    Face,
    Grinder,
    Joint,
    JointAlong,
    JointGrid,
    JointKind,
    JointLines,
    OutlineShape,
    Plan,
    Point,
    Rectangle,
    Round,
    Side,
    Slab,
    Spot,
    Steps,
    Treatment,
)
from floorplan.system.model import CoatingSystem
from floorplan.units.factors import FOOT_M, INCH_M, SQFT_M2
from floorplan.units.length import Length, UnitStyle

SYSTEM = CoatingSystem(name="plain", title="Any coating")


def ft(value: float) -> Length:
    """A length typed in feet."""
    return Length(value * FOOT_M, f"{value:g} ft")


def inches(value: float) -> Length:
    """A length typed in inches."""
    return Length(value * INCH_M, f"{value:g} in")


def metres(value: float) -> Length:
    """A length typed in metres."""
    return Length(value, f"{value:g} m")


def at(x: float, y: float, unit=ft) -> Point:
    """A typed point."""
    return Point(x=unit(x), y=unit(y))


def labels() -> Iterator[str]:
    """A, B, … Z, AA, AB, …"""
    letters = string.ascii_uppercase
    yield from letters
    for first in labels():
        yield from (first + letter for letter in letters)


def rise(value: float, bulge: str = "out", unit=ft) -> ArcSpec:
    """An arc by its rise."""
    return ArcSpec(rise=unit(value), bulge=Bulge(bulge))


def radius(value: float, bulge: str = "out", unit=ft, *, major: bool = False) -> ArcSpec:
    """An arc by its radius."""
    return ArcSpec(radius=unit(value), bulge=Bulge(bulge), major=major)


def outline(
    points: Sequence[tuple[float, float]],
    kinds: str | Sequence[str] = "wall",
    arcs: Mapping[int, ArcSpec] | None = None,
    *,
    unit=ft,
    names: Sequence[str] = (),
    bulges: Sequence[float] = (),
) -> OutlineShape:
    """Typed corners; corner i stands on line i + 1 of the file "plan.toml"."""
    named = list(names) or [label for label, _ in zip(labels(), points, strict=False)]
    sides = [kinds] * len(points) if isinstance(kinds, str) else list(kinds)
    places = [Place(file="plan.toml", line=i + 1) for i in range(len(points))]
    corners = [
        Corner(label=label, at=at(x, y, unit), place=place)
        for label, (x, y), place in zip(named, points, places, strict=True)
    ]
    spec = arcs or {}
    return OutlineShape(
        corners=tuple(corners),
        sides=tuple(Side(kind=kind, arc=spec.get(i), place=places[i]) for i, kind in enumerate(sides)),
        exact_bulges=tuple(bulges),
    )


def rectangle(width: float, depth: float, kinds: str | Sequence[str] = "wall", unit=ft) -> OutlineShape:
    """A rectangle from the origin, counter-clockwise: A, B along the bottom, then C, D."""
    return outline([(0, 0), (width, 0), (width, depth), (0, depth)], kinds, unit=unit)


def cutout(
    name: str,
    where: Spot | tuple[float, float] | Sequence[tuple[float, float]],
    size: tuple[float, float] | float,
    *,
    kind: str = "post",
    unit=ft,
    turn: float = 0.0,
    face: Length | None = None,
) -> Cutout:
    """A rectangle (two sizes) or a round (one size), at one place or several; its line is 100."""
    form = Round(diameter=unit(size)) if isinstance(size, int | float) else None
    if isinstance(where, list):
        spots = tuple(at(x, y, unit) for x, y in where)
    else:
        spots = (at(*where, unit) if isinstance(where, tuple) else where,)
    return Cutout(
        name=name,
        kind=kind,
        form=form or Rectangle(width=unit(size[0]), depth=unit(size[1])),
        at=spots,
        turn_deg=turn,
        face=face,
        place=Place(file="plan.toml", line=100),
    )


def hole(name: str, points: Sequence[tuple[float, float]], *, kind: str = "low wall", unit=ft) -> Cutout:
    """A cut-out by its corners."""
    return Cutout(
        name=name, kind=kind, form=outline(points, unit=unit), place=Place(file="plan.toml", line=100)
    )


def joint(
    name: str,
    form: JointLines | JointGrid | JointAlong,
    *,
    kind: str = "saw cut",
    treatment: str = "brush out",
    width: Length | None = None,
    depth: Length | None = None,
) -> Joint:
    """A joint; its line is 200."""
    return Joint(
        name=name,
        kind=JointKind(kind),
        treatment=Treatment(treatment),
        form=form,
        width=width,
        depth=depth,
        place=Place(file="plan.toml", line=200),
    )


def lines(*typed: Sequence[tuple[float, float]], unit=ft) -> JointLines:
    """Typed lines of two or more points each."""
    return JointLines(lines=tuple(tuple(at(x, y, unit) for x, y in line) for line in typed))


def face(along: tuple[str, str] | str, height: Length) -> Face:
    """A coated face along a side, or round a cut-out; its line is 300."""
    return Face(side=along, height=height, place=Place(file="plan.toml", line=300))


def slab(shape: OutlineShape, name: str = "Patio", **parts: object) -> Slab:
    """A slab of any shape; its line is 1."""
    return Slab(name=name, system=SYSTEM, shape=shape, place=Place(file="plan.toml", line=1), **parts)


GRINDER = Grinder(head=inches(18), overall=inches(22), gap=inches(2), overhang=inches(2), band=inches(6))
"""The grinder of the plan file's defaults."""

WORKED_GRINDER = Grinder(
    head=inches(20), overall=inches(24), gap=inches(2), overhang=inches(4), band=inches(6)
)
"""The grinder of the two worked estimates of the trade brief."""


def plan(
    *slabs: Slab | OutlineShape,
    units: UnitStyle = UnitStyle.FT_IN,
    grinder: Grinder = GRINDER,
    steps: Sequence[Steps] = (),
    kinds: Mapping[str, EdgeKind] = SHIPPED,
    ignore_below_m2: float = SQFT_M2,
    title: str = "Sample",
) -> Plan:
    """A plan of slabs, or of bare outlines."""
    return Plan(
        title=title,
        site="Lot 7, Quarry Row",
        units=units,
        grinder=grinder,
        slabs=tuple(s if isinstance(s, Slab) else slab(s) for s in slabs),
        steps=tuple(steps),
        edge_kinds=kinds,
        ignore_below_m2=ignore_below_m2,
    )


def square(side: float = 20.0, kinds: str | Sequence[str] = "wall", **parts: object) -> Plan:
    """A square room, walls all round."""
    return plan(slab(rectangle(side, side, kinds), **parts))


def square_with_post() -> Plan:
    """A square with one 10 in square post in the middle."""
    return square(20.0, cutouts=(cutout("post", (10, 10), (10 / 12, 10 / 12)),))


def l_shape(kinds: str | Sequence[str] = "wall") -> Plan:
    """An L of 380 sq ft (row A9-L of the outside checks)."""
    return plan(outline([(0, 0), (24, 0), (24, 10), (14, 10), (14, 20), (0, 20)], kinds))


def u_shape(kinds: str | Sequence[str] = "wall") -> Plan:
    """A U of 420 sq ft (row A9-U)."""
    corners = [(0, 0), (30, 0), (30, 18), (20, 18), (20, 6), (10, 6), (10, 18), (0, 18)]
    return plan(outline(corners, kinds))


def half_round(kinds: str | Sequence[str] = ("wall", "open")) -> Plan:
    """A straight side of 12 ft and a half circle back."""
    return plan(outline([(0, 0), (12, 0)], kinds, {1: rise(6)}))


def pool_surround() -> Plan:
    """A ring of floor round a pool with rounded ends, metric; coping inside, a step up at the house."""
    pool = outline(
        [(3, 3), (8, 3), (8, 6), (3, 6)],
        "coping",
        {1: rise(1.5, unit=metres), 3: rise(1.5, unit=metres)},
        unit=metres,
    )
    ring = Cutout(name="pool", kind="coping", form=pool, place=Place(file="plan.toml", line=100))
    shape = rectangle(12, 9, ["step up", "open", "open", "fence"], metres)
    return plan(slab(shape, "Surround", cutouts=(ring,)), units=UnitStyle.M)


WORKED_PATIO_CORNERS = [(0, 0), (31.5, 0), (31.5, 13), (19, 13), (19, 22), (-1.5, 22)]
"""Corners 1 to 6 of worked estimate 10A, feet."""


def worked_patio() -> Plan:
    """Worked estimate 10A of the trade brief: an L-shaped patio with an arc, two posts and grooves."""
    shape = outline(
        WORKED_PATIO_CORNERS,
        ["siding", "open", "open", "open", "open", "slab"],
        {4: rise(3)},
        names="123456",
    )
    x, y = (6.5, 13, 19, 25.25), (6.5, 13, 17.5)
    grooves = [
        joint(f"groove {word}", lines(line), kind="groove", width=inches(3 / 8), depth=inches(3 / 4))
        for word, line in [
            *((f"x {v}", [(v, -1), (v, 30)]) for v in x),
            *((f"y {v}", [(-5, v), (35, v)]) for v in y),
        ]
    ]
    strip = joint(
        "strip",
        JointAlong(sides=(("1", "2"),)),
        kind="isolation",
        treatment="seal",
        width=inches(1 / 2),
        depth=inches(3 / 8),
    )
    posts = (cutout("A", (13, 13), (16 / 12, 16 / 12)), cutout("B", (17.6, 20.9), 1.0))
    return plan(slab(shape, cutouts=posts, joints=(*grooves, strip)), grinder=WORKED_GRINDER)


def worked_garage() -> Plan:
    """Worked estimate 10B: a garage with door line, pad, step, drain, column, saw cuts and a crack."""
    corners = [
        *((0, 0), (3, 0), (3, -0.5), (19, -0.5), (19, 0), (22, 0)),
        *((22, 22), (15, 22), (15, 25.5), (3, 25.5), (0, 22.5)),
    ]
    kinds = ["stem wall", "wall", "garage door", "wall", *["stem wall"] * 7]
    tread = 11 / 12
    holes = (
        cutout("pad", (20.5, 20.5), (3, 3), kind="low wall", face=inches(4)),
        cutout("step", (10, 25.5 - tread / 2), (4, tread), kind="step up"),
        cutout("drain", (11, 9), (1, 1), kind="drain"),
        cutout("column", (11, 16), 4 / 12, kind="post"),
    )
    cuts = joint(
        "saw cuts",
        lines([(11, -0.5), (11, 25.5)], [(0, 12), (22, 12)]),
        treatment="fill",
        width=inches(3 / 16),
        depth=inches(1),
    )
    crack = joint(
        "crack",
        lines([(15, 22), (14.2, 19.5), (12.5, 18)]),
        kind="crack",
        treatment="fill",
        width=inches(1 / 4),
        depth=inches(1 / 2),
    )
    steps = Steps(
        name="House step", width=ft(4), treads=1, tread=inches(11), riser=inches(7), risers=2, open_sides=2
    )
    body = slab(outline(corners, kinds), "Garage", cutouts=holes, joints=(cuts, crack))
    return plan(body, grinder=WORKED_GRINDER, steps=(steps,))


def changed(sample: Plan, **parts: object) -> Plan:
    """A plan whose first slab has other parts."""
    return replace(sample, slabs=(replace(sample.slabs[0], **parts), *sample.slabs[1:]))

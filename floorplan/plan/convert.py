"""Slabs from a drawing as a plan with typed coordinates, ready to edit and to write."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from ..geometry.arcs import rise_m
from ..system.model import CoatingSystem
from ..system.reader import shipped
from ..units.factors import SQFT_M2
from ..units.length import Length, UnitStyle
from .edge_kinds import SHIPPED, UNKNOWN
from .model import (
    ArcSpec,
    Bulge,
    Corner,
    Cutout,
    Drawn,
    Joint,
    JointLines,
    OutlineShape,
    Plan,
    Point,
    Rectangle,
    Round,
    Side,
    Slab,
    Spot,
)
from .reader import IGNORE_BELOW_SQFT
from .table_grinder import default_grinder
from .typed_lengths import typed


def converted(drawn: Sequence[Drawn], *, title: str, units: UnitStyle, system: CoatingSystem) -> Plan:
    """A plan of typed slabs: coordinates from the lower left corner of all, edge kinds as found.

    Args:
        drawn: what the drawing gave, one for each slab.
        title: of the plan.
        units: in which lengths are written.
        system: of every slab; a drawing does not say it.
    """
    left = min(_least(slab, "x") for slab in drawn)
    low = min(_least(slab, "y") for slab in drawn)
    typist = _Typist(units, left, low)
    names = _names(drawn)
    slabs = tuple(
        Slab(
            name=name,
            system=system,
            shape=typist.outline(slab.shape),
            cutouts=tuple(map(typist.cutout, slab.cutouts)),
            joints=tuple(map(typist.joint, slab.joints)),
        )
        for name, slab in zip(names, drawn, strict=True)
    )
    return Plan(
        title=title,
        site="",
        units=units,
        grinder=default_grinder(),
        slabs=slabs,
        steps=(),
        edge_kinds=SHIPPED,
        ignore_below_m2=IGNORE_BELOW_SQFT * SQFT_M2,
    )


def conversion_notes(drawn: Sequence[Drawn], file: str, *, system: CoatingSystem | None = None) -> list[str]:
    """Lines for the head of a converted plan: where it came from, what to fill in, what to look at.

    Args:
        drawn: what the drawing gave, one for each slab.
        file: the name of the drawing.
        system: the coating system where it was taken without being asked for; None where it was.
    """
    notes = [f"From {file}; unit: {drawn[0].unit_how}.", "Corner coordinates start at the lower left."]
    unknown = sum(side.kind == UNKNOWN for slab in drawn for side in slab.shape.sides)
    if unknown:
        kinds = ", ".join(kind for kind in SHIPPED if kind != UNKNOWN)
        notes.append(f"Write what stands along each side that is unknown ({unknown} of them). Kinds:")
        notes.append(f"{kinds}.")
    if system is not None:
        joints = "; joints that name no treatment follow it" if any(slab.joints for slab in drawn) else ""
        notes.append(f"Choose the coating system: the drawing does not say, {system.name} is taken{joints}.")
        notes.append(f"Shipped: {', '.join(shipped())}.")
    told = dict.fromkeys(notice.text for slab in drawn for notice in slab.notices)
    notes += [f"Look at: {text}." for text in told]
    return notes


def _names(drawn: Iterable[Drawn]) -> list[str]:
    names: list[str] = []
    for number, slab in enumerate(drawn, 1):
        name = slab.name.partition("; ")[0] or f"Slab {number}"
        names.append(name if name not in names else f"{name} {number}")
    return names


def _least(slab: Drawn, axis: str) -> float:
    return min(float(getattr(corner.at, axis).m) for corner in slab.shape.corners)


class _Typist:
    """Writes lengths in one style and moves points to the plan's origin."""

    def __init__(self, units: UnitStyle, left: float, low: float) -> None:
        self._units, self._left, self._low = units, left, low

    def outline(self, shape: OutlineShape) -> OutlineShape:
        corners = tuple(Corner(label=corner.label, at=self.point(corner.at)) for corner in shape.corners)
        bulges = shape.exact_bulges or (0.0,) * len(corners)
        ends = (*shape.corners[1:], shape.corners[0])
        sides = tuple(
            Side(kind=side.kind, arc=self._arc(start.at, end.at, bulge))
            for side, start, end, bulge in zip(shape.sides, shape.corners, ends, bulges, strict=True)
        )
        return OutlineShape(corners=corners, sides=sides, source=shape.source)

    def _arc(self, start: Point, end: Point, bulge: float) -> ArcSpec | None:
        """The arc by its rise; outlines of drawings run counter-clockwise, so a positive bulge stands out."""
        rise = abs(rise_m(math.dist((start.x.m, start.y.m), (end.x.m, end.y.m)), bulge))
        length = typed(rise, self._units, with_unit=True)
        if not length.m > 0.0:
            return None
        return ArcSpec(rise=length, bulge=Bulge.OUT if bulge > 0.0 else Bulge.IN)

    def cutout(self, cutout: Cutout) -> Cutout:
        form = cutout.form
        match form:
            case Rectangle():
                form = Rectangle(width=self.length(form.width.m), depth=self.length(form.depth.m))
            case Round():
                form = Round(diameter=self.length(form.diameter.m))
            case OutlineShape():
                form = self.outline(form)
        return Cutout(
            name=cutout.name,
            kind=cutout.kind,
            form=form,
            at=tuple(self.spot(at) for at in cutout.at),
            turn_deg=round(cutout.turn_deg, 6),
        )

    def joint(self, joint: Joint) -> Joint:
        if not isinstance(joint.form, JointLines):
            return joint
        lines = tuple(tuple(self.spot(at) for at in line) for line in joint.form.lines)
        return Joint(
            name=joint.name, kind=joint.kind, treatment=joint.treatment, form=JointLines(lines=lines)
        )

    def spot(self, at: Spot) -> Spot:
        return at if isinstance(at, str) else self.point(at)

    def point(self, at: Point) -> Point:
        return Point(x=self.length(at.x.m - self._left), y=self.length(at.y.m - self._low))

    def length(self, length_m: float) -> Length:
        return typed(length_m, self._units)

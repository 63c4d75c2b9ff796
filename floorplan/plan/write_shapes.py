"""The four typed shapes written as lines of a plan file."""

from __future__ import annotations

import math
from collections.abc import Sequence

from ..geometry.arcs import rise_m
from ..geometry.rings import Ring
from ..units.length import Length
from .edge_kinds import UNKNOWN
from .model import (
    ArcSpec,
    Bulge,
    Heading,
    HeadingKind,
    OffsetsShape,
    OutlineShape,
    Point,
    Shape,
    Side,
    Spot,
    TapeShape,
    WalkShape,
)
from .toml_text import block, columns, length, number, pairs, quoted

_CORNER_HEAD = "# corner   x, y   | what stands along the side from here to the next corner"
_WALK_HEAD = "# corner   direction and length   | what stands along the side"
_TAPE_HEAD = "# from-to   length   | what stands along it, where it is a side"
_STATION_HEAD = "# station   offset"
_UP_DEG = 90.0


def write_shape(shape: Shape, north_deg: float | None) -> tuple[list[str], list[str]]:
    """(lines of the slab's own table, lines of a table below it) of a shape.

    Args:
        shape: as typed, or from a drawing file.
        north_deg: direction of north on the sheet, for bearings without a text.
    """
    match shape:
        case OutlineShape():
            return [f"outline = {outline_block(shape)}"], []
        case WalkShape():
            return _walk(shape, _UP_DEG if north_deg is None else north_deg), []
        case TapeShape():
            return [], ["[slab.tape]", *_tape(shape)]
        case OffsetsShape():
            return [], ["[slab.offsets]", *_offsets(shape)]


def outline_block(shape: OutlineShape) -> str:
    """The block of an outline, of a slab or of a cut-out."""
    sides = _exact_sides(shape) if shape.exact_bulges else shape.sides
    rows = [
        (corner.label, point(corner.at), side_cell(side))
        for corner, side in zip(shape.corners, sides, strict=True)
    ]
    return block([_CORNER_HEAD, *columns(rows)])


def _exact_sides(shape: OutlineShape) -> tuple[Side, ...]:
    """Sides with the arcs of a drawing file, by their rise."""
    points = [(corner.at.x.m, corner.at.y.m) for corner in shape.corners]
    way = 1.0 if Ring(points, shape.exact_bulges).is_ccw else -1.0
    sides = []
    for i, (side, bulge) in enumerate(zip(shape.sides, shape.exact_bulges, strict=True)):
        if bulge == 0.0:
            sides.append(Side(kind=side.kind))
            continue
        rise = rise_m(math.dist(points[i], points[(i + 1) % len(points)]), bulge)
        out = Bulge.OUT if bulge * way > 0 else Bulge.IN
        sides.append(Side(kind=side.kind, arc=ArcSpec(rise=Length(abs(rise)), bulge=out)))
    return tuple(sides)


def point(at: Point) -> str:
    """`x, y`."""
    return f"{length(at.x)}, {length(at.y)}"


def spot(at: Spot) -> str:
    """A point, or a letter."""
    return point(at) if isinstance(at, Point) else at


def side_text(side: Side) -> str:
    """What stands along a side, with its arc."""
    if side.arc is None:
        return side.kind
    arc = side.arc
    if arc.rise is not None:
        return f"{side.kind}, arc rise {length(arc.rise)} {arc.bulge}"
    assert arc.radius is not None
    return f"{side.kind}, arc radius {length(arc.radius)} {arc.bulge}" + (" major" if arc.major else "")


def side_cell(side: Side | None) -> str:
    """The bar and what stands along a side; nothing where it was not stated."""
    if side is None or (side.kind == UNKNOWN and side.arc is None):
        return ""
    return f"| {side_text(side)}"


def _walk(shape: WalkShape, north_deg: float) -> list[str]:
    rows = [
        (
            leg.label,
            f"{_heading(leg.heading, north_deg)} {'?' if leg.length is None else length(leg.length)}",
            side_cell(leg.side),
        )
        for leg in shape.legs
    ]
    lines = _accuracy(shape.accuracy, shape.instrument)
    if shape.angle_accuracy_deg is not None:
        lines.append(("angle_accuracy", number(shape.angle_accuracy_deg)))
    return [*pairs(lines), f"walk = {block([_WALK_HEAD, *columns(rows)])}"]


def _heading(heading: Heading, north_deg: float) -> str:
    """The direction; one that ends with a number is parted from the length by a comma."""
    text = heading.text or _heading_text(heading, north_deg)
    return f"{text}," if any(char.isdigit() for char in text) else text


def _heading_text(heading: Heading, north_deg: float) -> str:
    match heading.kind:
        case HeadingKind.MISSING:
            return "?"
        case HeadingKind.TURN:
            way = "left" if heading.degrees >= 0 else "right"
            return f"turn {way} {number(abs(heading.degrees))}"
        case HeadingKind.INSIDE:
            return f"inside {number(heading.degrees)}"
        case HeadingKind.ABSOLUTE:
            return f"azimuth {number((north_deg - heading.degrees) % 360.0)}"


def _accuracy(accuracy: Length | None, instrument: str) -> list[tuple[str, str]]:
    if accuracy is not None:
        return [("accuracy", quoted(length(accuracy)))]
    return [("accuracy", quoted(instrument))] if instrument else []


def _tape(shape: TapeShape) -> list[str]:
    rows = [("corners", _letters(shape.corners)), ("turning", quoted(shape.turning.value))]
    rows += _accuracy(shape.accuracy, shape.instrument)
    if shape.squares:
        rows.append(("square", _letters(shape.squares)))
    if shape.inward is not None:
        rows.append(("inward", _letters(shape.inward or ("none",))))
    if shape.points:
        rows.append(("points", _letters(shape.points)))
    lines = pairs(rows)
    if shape.on_side:
        lines.append(f"on_side = {block(f'{label}   {a}-{b}' for label, a, b in shape.on_side)}")
    return [*lines, f"lengths = {block([_TAPE_HEAD, *columns(_ties(shape))])}"]


def _ties(shape: TapeShape) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = []
    for tie in shape.ties:
        accuracy = "" if tie.accuracy is None else f" ± {length(tie.accuracy)}"
        side = "" if tie.side is None else f"| {side_text(tie.side)}"
        rows.append((f"{tie.start}-{tie.end}", length(tie.length) + accuracy, side))
    rows += [(f"{a}-{b}", "?", f"| {side_text(side)}") for a, b, side in shape.untaped]
    return rows or [("",)]


def _letters(labels: Sequence[str]) -> str:
    return quoted(" ".join(labels))


def _offsets(shape: OffsetsShape) -> list[str]:
    rows = [
        ("baseline", quoted(length(shape.baseline))),
        ("edge", quoted("smooth" if shape.smooth else "straight")),
    ]
    at_end, at_start = shape.end_sides
    named = {
        "along_baseline": shape.baseline_side,
        "along_edge": shape.edge_side,
        "along_start": at_start,
        "along_end": at_end,
    }
    rows += [(name, quoted(side.kind)) for name, side in named.items() if side.kind != UNKNOWN]
    rows += _accuracy(shape.accuracy, shape.instrument)
    stations = [(length(row.station), length(row.offset)) for row in shape.stations]
    return [*pairs(rows), f"stations = {block([_STATION_HEAD, *columns(stations)])}"]

"""Entities of a DXF read into shapes: which group codes mean what.

Source: DXF reference, ENTITIES section. Angles of arcs run counter-clockwise in the entity's own plane,
degrees; parameters of ellipses in radians.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from typing import Final

from .planes import STRAIGHT_UP, Vector
from .shapes import Chain, Conic, Nurbs, Shape
from .tags import Group, Value

QUARTER: Final = math.tan(math.pi / 8.0)
"""Bulge of a quarter circle."""

_ALIKE_DEG: Final = 1e-9
_MOST_CONTROL: Final = 20_000


class NothingDrawn(ValueError):
    """An entity that draws nothing that can be used; the text says why, in two or three words."""


def line(group: Group, _: Iterable[Group] = ()) -> Shape:
    """A LINE; its ends stand in space, whatever its extrusion."""
    tags = dict(zip(group.codes, group.values, strict=True))
    start = (_must(tags, 10), _must(tags, 20), float(tags.get(30, 0.0)))
    return Chain([start, (_must(tags, 11), _must(tags, 21), float(tags.get(31, 0.0)))], [0.0, 0.0], False)


def circle(group: Group, _: Iterable[Group] = ()) -> Shape:
    """A CIRCLE, as four quarter arcs."""
    centre, radius = _centre_radius(group)
    return _whole_circle(centre, radius, normal_of(group))


def _whole_circle(centre: Vector, radius: float, normal: Vector) -> Chain:
    x, y, z = centre
    corners = [(x + radius, y, z), (x, y + radius, z), (x - radius, y, z), (x, y - radius, z)]
    return Chain(corners, [QUARTER] * 4, True, normal)


def arc(group: Group, _: Iterable[Group] = ()) -> Shape:
    """An ARC, cut where it turns by more than a half circle; equal angles make a whole circle."""
    (x, y, z), radius = _centre_radius(group)
    start, end = group.number(50), group.number(51)
    if not (math.isfinite(start) and math.isfinite(end)):
        raise NothingDrawn("angles unreadable")
    sweep = (end - start) % 360.0
    if sweep < _ALIKE_DEG or sweep > 360.0 - _ALIKE_DEG:
        return _whole_circle((x, y, z), radius, normal_of(group))
    pieces = 1 if sweep <= 180.0 else 2
    angles = [math.radians(start + sweep * k / pieces) for k in range(pieces + 1)]
    points = [(x + radius * math.cos(a), y + radius * math.sin(a), z) for a in angles]
    return Chain(
        points, [math.tan(math.radians(sweep) / pieces / 4.0)] * pieces + [0.0], False, normal_of(group)
    )


def _centre_radius(group: Group) -> tuple[Vector, float]:
    tags = dict(zip(group.codes, group.values, strict=True))
    radius = _must(tags, 40)
    if not radius > 0.0:
        raise NothingDrawn("radius not above 0")
    return (_must(tags, 10), _must(tags, 20), float(tags.get(30, 0.0))), radius


def light_polyline(group: Group, _: Iterable[Group] = ()) -> Shape:
    """An LWPOLYLINE."""
    points: list[list[float]] = []
    bulges: list[float] = []
    closed, height = False, 0.0
    for code, value in zip(group.codes, group.values, strict=True):
        if code == 10:
            points.append([float(value), 0.0, height])
            bulges.append(0.0)
        elif code == 20 and points:
            points[-1][1] = float(value)
        elif code == 42 and points:
            bulges[-1] = float(value)
        elif code == 70:
            closed = bool(int(value) & 1)
        elif code == 38:
            height = float(value)
    if len(points) < 2:
        raise NothingDrawn("fewer than two points")
    if not closed:
        bulges[-1] = 0.0
    return Chain([(x, y, height) for x, y, _ in points], bulges, closed, normal_of(group))


def polyline(group: Group, vertices: Iterable[Group] = ()) -> Shape:
    """A POLYLINE with its VERTEX groups; the frame of a spline is passed over, meshes are none."""
    flags = group.whole(70)
    if flags & (16 | 64):
        raise NothingDrawn("mesh")
    points: list[Vector] = []
    bulges: list[float] = []
    for vertex in vertices:
        if vertex.whole(70) & 16:
            continue
        tags = dict(zip(vertex.codes, vertex.values, strict=True))
        points.append((_must(tags, 10), _must(tags, 20), float(tags.get(30, 0.0))))
        bulges.append(float(tags.get(42, 0.0)))
    if len(points) < 2:
        raise NothingDrawn("fewer than two points")
    in_space = bool(flags & 8)
    closed = bool(flags & 1)
    if in_space:
        bulges = [0.0] * len(points)
    if not closed:
        bulges[-1] = 0.0
    return Chain(points, bulges, closed, STRAIGHT_UP if in_space else normal_of(group))


def ellipse(group: Group, _: Iterable[Group] = ()) -> Shape:
    """An ELLIPSE or a part of one."""
    tags = dict(zip(group.codes, group.values, strict=True))
    centre = (_must(tags, 10), _must(tags, 20), float(tags.get(30, 0.0)))
    major = (_must(tags, 11), _must(tags, 21), float(tags.get(31, 0.0)))
    ratio = float(tags.get(40, 1.0))
    start, end = float(tags.get(41, 0.0)), float(tags.get(42, 2.0 * math.pi))
    numbers = (*centre, *major, ratio, start, end)
    if not all(map(math.isfinite, numbers)) or ratio == 0.0 or math.hypot(*major) == 0.0:
        raise NothingDrawn("no size")
    sweep = (end - start) % (2.0 * math.pi)
    if sweep < 1e-9:
        sweep = 2.0 * math.pi
    n, m = normal_of(group), major
    length = math.hypot(*n)
    if not (length > 0.0 and math.isfinite(length)):
        n, length = STRAIGHT_UP, 1.0
    share = ratio / length
    minor = (
        share * (n[1] * m[2] - n[2] * m[1]),
        share * (n[2] * m[0] - n[0] * m[2]),
        share * (n[0] * m[1] - n[1] * m[0]),
    )
    return Conic(centre, major, minor, start, start + sweep)


def spline(group: Group, _: Iterable[Group] = ()) -> Shape:
    """A SPLINE by its control points; by its fit points where it has no others."""
    control = _points(group, 10)
    degree = group.whole(71, 3)
    knots = [float(v) for c, v in zip(group.codes, group.values, strict=True) if c == 40]
    weights = [float(v) for c, v in zip(group.codes, group.values, strict=True) if c == 41]
    if len(control) > _MOST_CONTROL:
        raise NothingDrawn("too many points")
    if len(control) < 2:
        from .fitting import through

        return through(_points(group, 11), _points(group, 12), _points(group, 13))
    if not knots:
        inner = max(0, len(control) - degree - 1)
        knots = [0.0] * (degree + 1) + [float(k + 1) for k in range(inner)] + [inner + 1.0] * (degree + 1)
    return Nurbs(control, knots, weights if len(weights) == len(control) else [], degree)


def _points(group: Group, code: int) -> list[Vector]:
    """All points whose x stands under `code`, y under code + 10, z under code + 20."""
    found: list[list[float]] = []
    for c, value in zip(group.codes, group.values, strict=True):
        if c == code:
            found.append([float(value), 0.0, 0.0])
        elif found and c == code + 10:
            found[-1][1] = float(value)
        elif found and c == code + 20:
            found[-1][2] = float(value)
    return [(x, y, z) for x, y, z in found]


def normal_of(group: Group) -> Vector:
    """The extrusion of an entity, straight up where none is stated."""
    if 230 not in group.codes and 210 not in group.codes:
        return STRAIGHT_UP
    normal = (group.number(210), group.number(220), group.number(230, 1.0))
    return STRAIGHT_UP if normal[0] == 0.0 and normal[1] == 0.0 and normal[2] > 0.0 else normal


def _must(tags: dict[int, Value], code: int) -> float:
    try:
        return float(tags[code])
    except KeyError:
        raise NothingDrawn("coordinates missing") from None


SHAPES: Final[dict[str, Callable[[Group, Iterable[Group]], Shape]]] = {
    "LINE": line,
    "3DLINE": line,
    "CIRCLE": circle,
    "ARC": arc,
    "LWPOLYLINE": light_polyline,
    "POLYLINE": polyline,
    "ELLIPSE": ellipse,
    "SPLINE": spline,
    "HELIX": spline,
}
"""How each kind of entity that is line work is read."""

WHY_LEFT_OUT: Final[dict[str, str]] = {
    "DIMENSION": "a dimension is no edge",
    "ARC_DIMENSION": "a dimension is no edge",
    "LARGE_RADIAL_DIMENSION": "a dimension is no edge",
    "LEADER": "a leader is no edge",
    "MULTILEADER": "a leader is no edge",
    "MLEADER": "a leader is no edge",
    "TOLERANCE": "a tolerance frame is no edge",
    "POINT": "a point encloses nothing",
    "VIEWPORT": "a window of the sheet",
    "HATCH": "a hatch repeats its outline",
    "SOLID": "a filled patch is no outline",
    "TRACE": "a filled patch is no outline",
    "WIPEOUT": "a cover is no outline",
    "IMAGE": "a picture is no line work",
    "OLE2FRAME": "a picture is no line work",
    "3DFACE": "a face in space; explode it to lines",
    "3DSOLID": "a body in space; export its outline as lines",
    "BODY": "a body in space; export its outline as lines",
    "REGION": "a region; explode it to lines",
    "SURFACE": "a surface; export its outline as lines",
    "MESH": "a mesh in space; export its outline as lines",
    "MLINE": "a multiple line; explode it to lines",
    "RAY": "endless",
    "XLINE": "endless",
    "ACAD_PROXY_ENTITY": "made by another program's add-on; explode it to lines there",
    "ATTDEF": "a text of a block's form",
    "ATTRIB": "a text of a block's form",
}
"""Why each kind of entity that is not line work is left out; kinds that are not here are not known."""

"""Outlines of hatches, read with the DXF library; offered where nothing else closes.

One of the two places (with `fitting`) that call ezdxf for reading; whatever it raises ends here in words.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any, Final

from .entities import NothingDrawn, normal_of
from .planes import Vector
from .shapes import Chain, Conic, Nurbs, Shape
from .tags import Group

_MOST_PATHS: Final = 2_000


def boundaries(group: Group) -> Iterator[Shape]:
    """The boundary paths of a HATCH; closed polylines whole, others piece by piece.

    Raises:
        NothingDrawn: the hatch cannot be read.
    """
    paths, elevation = _paths(group)
    normal = normal_of(group)
    for path in paths[:_MOST_PATHS]:
        vertices = getattr(path, "vertices", None)
        if vertices is not None:
            if len(vertices) > 1:
                points = [(float(x), float(y), elevation) for x, y, _ in vertices]
                yield Chain(points, [float(b) for _, _, b in vertices], True, normal)
            continue
        for edge in path.edges:
            shape = _edge(edge, elevation, normal)
            if shape is not None:
                yield shape


def _paths(group: Group) -> tuple[list[Any], float]:
    from ezdxf.entities import factory
    from ezdxf.lldxf.const import DXFError
    from ezdxf.lldxf.extendedtags import ExtendedTags
    from ezdxf.lldxf.tagger import tag_compiler
    from ezdxf.lldxf.types import DXFTag

    raw = [DXFTag(0, "HATCH")]
    for code, value in zip(group.codes, group.values, strict=True):
        raw.append(DXFTag(code, value.strip().decode("latin-1") if isinstance(value, bytes) else str(value)))
    try:
        hatch: Any = factory.load(ExtendedTags(tag_compiler(iter(raw))))
        return list(hatch.paths), float(hatch.dxf.elevation.z)
    except (
        DXFError,
        ValueError,
        ArithmeticError,
        LookupError,
        TypeError,
        AttributeError,
        AssertionError,
    ) as error:
        raise NothingDrawn("hatch outline unreadable") from error


def _edge(edge: Any, height: float, normal: Vector) -> Shape | None:
    """One edge of a path; None for one that is no curve."""
    kind = type(edge).__name__
    if kind == "LineEdge":
        return Chain([(*edge.start, height), (*edge.end, height)], [0.0, 0.0], False, normal)
    if kind == "ArcEdge":
        start, end = edge.start_angle, edge.end_angle
        sweep = (end - start) % 360.0 or 360.0
        angles = [math.radians(start + sweep * k / 4.0) for k in range(5)]
        x, y = edge.center
        points = [(x + edge.radius * math.cos(a), y + edge.radius * math.sin(a), height) for a in angles]
        bulge = math.tan(math.radians(sweep) / 16.0)
        if sweep >= 360.0 - 1e-9:
            return Chain(points[:-1], [bulge] * 4, True, normal)
        return Chain(points, [bulge] * 4 + [0.0], False, normal)
    if normal != (0.0, 0.0, 1.0):
        return None
    if kind == "EllipseEdge":
        start, end = edge.start_param, edge.end_param
        sweep = (end - start) % (2.0 * math.pi) or 2.0 * math.pi
        major = (float(edge.major_axis[0]), float(edge.major_axis[1]), 0.0)
        minor = (-edge.ratio * major[1], edge.ratio * major[0], 0.0)
        return Conic((*edge.center, height), major, minor, start, start + sweep)
    if kind == "SplineEdge":
        control = [(float(p[0]), float(p[1]), height) for p in edge.control_points]
        weights = [float(w) for w in edge.weights]
        return Nurbs(control, [float(k) for k in edge.knot_values], weights, int(edge.degree))
    return None

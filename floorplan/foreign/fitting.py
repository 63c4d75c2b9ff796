"""Splines that a file gives only by points to pass through: solved with the DXF library.

The one place (with `hatches`) that calls ezdxf for reading; whatever it raises ends here in words.
"""

from __future__ import annotations

from .planes import Vector
from .shapes import Nurbs

_MOST_FIT_POINTS = 2_000


def through(points: list[Vector], start: list[Vector], end: list[Vector]) -> Nurbs:
    """The cubic spline through the points, as CAD programs draw it, with end tangents where given.

    Raises:
        ValueError: fewer than two points, too many, or points that no spline passes through.
    """
    if not 2 <= len(points) <= _MOST_FIT_POINTS:
        raise ValueError("points to pass through missing" if len(points) < 2 else "too many points")
    from ezdxf.lldxf.const import DXFError
    from ezdxf.math import Vec3, fit_points_to_cad_cv

    tangents = [Vec3(*start[0]), Vec3(*end[0])] if start and end else None
    try:
        curve = fit_points_to_cad_cv([Vec3(*p) for p in points], tangents)
        control = [(p.x, p.y, p.z) for p in curve.control_points]
        return Nurbs(control, [float(k) for k in curve.knots()], [], int(curve.degree))
    except (DXFError, ValueError, ArithmeticError, LookupError, TypeError, AssertionError) as error:
        raise ValueError("no spline passes through its points") from error

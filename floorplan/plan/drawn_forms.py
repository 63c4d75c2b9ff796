"""Loops of a drawing as the plan has them: typed corners with exact arcs, rectangles, rounds, joints."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import islice
from typing import Final

import numpy as np

from ..geometry import arcs
from ..geometry.arcs import Floats
from ..geometry.rings import Ring
from ..geometry.tolerance import FLAT_M
from ..units.length import Length
from .labels import letters
from .model import Corner, Cutout, OutlineShape, Point, Rectangle, Round, Side

_SAME: Final = 1e-9
"""Share of its own size by which a form may miss a true rectangle or circle and still be one."""


def outline_of(ring: Ring, kinds: Sequence[str], source: str) -> OutlineShape:
    """An outline with lettered corners; `kinds` says what stands along each side."""
    labels = islice(letters(), len(ring))
    corners = tuple(
        Corner(label=label, at=_point(at)) for label, at in zip(labels, ring.points.tolist(), strict=True)
    )
    return OutlineShape(
        corners=corners,
        sides=tuple(Side(kind=kind) for kind in kinds),
        exact_bulges=tuple(ring.bulges.tolist()) if ring.bulges.any() else (),
        source=source,
    )


def cutout_of(ring: Ring, name: str, kind: str) -> Cutout:
    """A cut-out in its simplest form: round, rectangle, or its corners."""
    circle = circle_of(ring)
    if circle is not None:
        centre, diameter = circle
        return Cutout(name=name, kind=kind, form=Round(diameter=Length(diameter)), at=(_point(centre),))
    rectangle = rectangle_of(ring)
    if rectangle is not None:
        centre, width, depth, turn_deg = rectangle
        form = Rectangle(width=Length(width), depth=Length(depth))
        return Cutout(name=name, kind=kind, form=form, at=(_point(centre),), turn_deg=turn_deg)
    return Cutout(name=name, kind=kind, form=outline_of(ring, [kind] * len(ring), ""))


def together(cutouts: Iterable[Cutout]) -> tuple[Cutout, ...]:
    """Cut-outs of one name, kind, form and turn as one with several places; names that clash are numbered."""
    found: list[Cutout] = []
    for cutout in cutouts:
        like = next((i for i, other in enumerate(found) if _alike(cutout, other)), None)
        if like is None:
            found.append(cutout)
        else:
            found[like] = _with_places(found[like], cutout.at)
    return tuple(_numbered(found))


def joint_lines_of(points: Floats, bulges: Floats, closed: bool) -> tuple[Point, ...]:
    """A stroke in metres as the points of a joint; arcs by chords within the tolerance."""
    ends = np.roll(points, -1, axis=0)
    if not closed:
        points, ends, bulges = points[:-1], ends[:-1], bulges[:-1]
    way, _ = arcs.flattened(points, ends, bulges, FLAT_M)
    return tuple(_point(at) for at in np.vstack((way, ends[-1:])).tolist())


def circle_of(ring: Ring) -> tuple[tuple[float, float], float] | None:
    """Centre and diameter of a ring that is a circle, else None."""
    if not (ring.bulges > 0.0).all():
        return None
    centres = arcs.centres(ring.points, ring.ends, ring.bulges)
    radii = np.hypot(*(ring.points - centres).T)
    middle = centres.mean(axis=0)
    size = float(radii.mean())
    turn = float(4.0 * np.arctan(ring.bulges).sum())
    if abs(turn - 2.0 * math.pi) > 1e-6 or np.ptp(radii) > _SAME * size:
        return None
    if np.abs(centres - middle).max() > _SAME * size:
        return None
    return (float(middle[0]), float(middle[1])), 2.0 * size


def rectangle_of(ring: Ring) -> tuple[tuple[float, float], float, float, float] | None:
    """Centre, width, depth and turn (-45 to 45 degrees) of a ring that is a rectangle, else None."""
    if len(ring) != 4 or ring.bulges.any():
        return None
    along = ring.ends - ring.points
    length = np.hypot(*along.T)
    square = np.abs((along * np.roll(along, -1, axis=0)).sum(axis=1)) / (length * np.roll(length, -1))
    if square.max() > _SAME:
        return None
    # The side that runs most to the right gives the width.
    first = int(np.argmax(along[:, 0] / length))
    turn_deg = math.degrees(math.atan2(along[first, 1], along[first, 0]))
    middle = ring.points.mean(axis=0)
    centre = (float(middle[0]), float(middle[1]))
    return centre, float(length[first]), float(length[(first + 1) % 4]), turn_deg


def _alike(one: Cutout, other: Cutout) -> bool:
    if (one.name, one.kind) != (other.name, other.kind) or not (one.at and other.at):
        return False
    if abs(one.turn_deg - other.turn_deg) > 1e-9:
        return False
    match one.form, other.form:
        case Round(diameter=a), Round(diameter=b):
            return math.isclose(a.m, b.m, rel_tol=_SAME)
        case Rectangle(), Rectangle():
            return math.isclose(one.form.width.m, other.form.width.m, rel_tol=_SAME) and math.isclose(
                one.form.depth.m, other.form.depth.m, rel_tol=_SAME
            )
    return False


def _with_places(cutout: Cutout, more: tuple[Point | str, ...]) -> Cutout:
    return Cutout(
        name=cutout.name, kind=cutout.kind, form=cutout.form, at=(*cutout.at, *more), turn_deg=cutout.turn_deg
    )


def _numbered(cutouts: list[Cutout]) -> Iterable[Cutout]:
    """Cut-outs with a name each of its own."""
    names = [cutout.name for cutout in cutouts]
    seen: dict[str, int] = {}
    for cutout in cutouts:
        if names.count(cutout.name) == 1:
            yield cutout
            continue
        seen[cutout.name] = number = seen.get(cutout.name, 0) + 1
        yield Cutout(
            name=f"{cutout.name} {chr(64 + number) if number <= 26 else number}",
            kind=cutout.kind,
            form=cutout.form,
            at=cutout.at,
            turn_deg=cutout.turn_deg,
        )


def _point(at: Sequence[float]) -> Point:
    return Point(x=Length(float(at[0])), y=Length(float(at[1])))

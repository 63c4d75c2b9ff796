"""Spots of a plan, typed points or labels, as places in the plane of the solved shape."""

from __future__ import annotations

from ..errors import Fault, Place, PlanError
from ..plan.model import Point, Spot
from .solved import LARGEST_COORDINATE_M, SolvedShape, fault


def spot_xy(spot: Spot, shape: SolvedShape, what: str, place: Place | None) -> tuple[float, float]:
    """Where a spot lies, metres.

    Args:
        spot: a typed point, or the label of a corner or of a taped point.
        shape: the solved slab.
        what: whose spot it is, for the fault: "joint groove".
        place: line of that thing, where the spot has none of its own.

    Raises:
        PlanError: no corner and no point has that label, or the point lies nowhere on earth.
    """
    if isinstance(spot, Point):
        x, y = spot.x.m, spot.y.m
        if not (abs(x) <= LARGEST_COORDINATE_M and abs(y) <= LARGEST_COORDINATE_M):
            said = f"{what}: a point lies too far from the origin to be measured"
            raise PlanError(fault("spot-far", said, spot.place or place, "look at the unit of the point"))
        return x, y
    if spot in shape.points:
        return shape.points[spot]
    if spot in shape.labels:
        x, y = shape.ring.points[shape.labels.index(spot)]
        return float(x), float(y)
    raise PlanError(unknown_spot(spot, shape, what, place))


def unknown_spot(spot: str, shape: SolvedShape, what: str, place: Place | None) -> Fault:
    """The fault for a label that nothing has."""
    known = [*shape.labels, *shape.points]
    said = f"{what}: there is no corner or taped point {spot}"
    return fault("spot-unknown", said, place, f"known are {_few(known)}; or give a point as x, y")


def unknown_side(ends: tuple[str, str], shape: SolvedShape, what: str, place: Place | None) -> Fault:
    """The fault for two labels that no side joins."""
    known = [shape.side_label(i) for i in range(min(len(shape.labels), _MOST + 1))]
    said = f"{what}: the outline has no side {ends[0]}-{ends[1]}"
    return fault("side-unknown", said, place, f"its sides are {_few(known)}")


_MOST = 12


def _few(names: list[str]) -> str:
    return ", ".join(names[:_MOST]) + (", …" if len(names) > _MOST else "")

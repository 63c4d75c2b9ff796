"""Typed corners to a ring: arcs put on the right side, and shapes that enclose no floor refused.

The user may list corners either way round. An arc is typed as standing out of the floor or into it, so the
way round must be known before the sign of its bulge is: it is taken from the corners, or, where the
corners alone enclose nothing (two corners and an arc), the listing is read as counter-clockwise.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Final

import numpy as np

from ..errors import Fault, Notice, Place, PlanError
from ..geometry import arcs
from ..geometry.arcs import Floats
from ..geometry.crossings import Crossing, Meeting, crossings
from ..geometry.rings import Ring
from ..geometry.tolerance import HALF_CIRCLE_SLACK, SNAP_M
from ..plan.model import Bulge, Corner, OutlineShape, Side
from ..units.figures import Figures
from .solved import LARGEST_COORDINATE_M, SolvedShape, fault

SAME_POINT_M: Final = 1e-6
"""Corners nearer than a thousandth of a millimetre are one corner typed twice."""

STEEPEST: Final = 1000
"""An arc that rises more than so many chords is a whole circle but for a hair, or a slip of the unit."""

THINNEST_M: Final = 1e-5
"""An outline whose area is less than this times its length is no floor: thinner than a hair."""

THINNEST_SHARE: Final = 1e-7
"""Likewise as a share of its length, so that a great outline is not thinner than its chords stand off."""

MOST_FAULTS: Final = 12
"""So many faults of one kind are named; the rest are counted."""


def solve_outline(
    shape: OutlineShape, figures: Figures, *, whose: str, place: Place | None = None
) -> SolvedShape:
    """The ring of typed corners, in their order and direction.

    Args:
        shape: corners and sides as typed.
        figures: how lengths are written in faults.
        whose: "slab Patio" or "cut-out pool", to name it in faults.
        place: where a fault of the whole shape stands.

    Raises:
        PlanError: too few corners, a corner twice, an arc that cannot be, an outline that meets itself.
    """
    at = np.array([(corner.at.x.m, corner.at.y.m) for corner in shape.corners]).reshape(-1, 2)
    faults = [*_corner_faults(shape, at, whose, place), *_label_faults(shape, whose)]
    if not faults:
        faults = [*_length_faults(shape, at, whose), *_arc_faults(shape, at, figures, whose)]
    if faults:
        raise PlanError(faults)
    if len(at) < 3 and not _bulges(shape, at).any():
        said = f"{whose}: the outline goes there and back and encloses no floor"
        raise PlanError(fault("outline-thin", said, _side_place(shape, 0), "give the rise of its arcs"))
    ring, *others = _rings(shape, at)
    labels = tuple(corner.label for corner in shape.corners)
    met = crossings(ring)
    if met:
        raise PlanError(_meeting_faults(met, shape, figures, whose))
    if ring.area_m2 <= max(THINNEST_M, THINNEST_SHARE * ring.perimeter_m) * ring.perimeter_m:
        said = f"{whose}: the outline is thinner than a hair and encloses no floor"
        raise PlanError(fault("outline-thin", said, _side_place(shape, 0), "look at the coordinates"))
    if not shape.exact_bulges and any(side.arc for side in shape.sides):
        _check_arcs_in(shape, ring, whose)
    return SolvedShape(
        ring=ring,
        labels=labels,
        sides=shape.sides,
        notices=(*_over_half(shape, ring, figures, whose), *_either_way(ring, others, figures, whose)),
    )


def _place(corner: Corner) -> Place | None:
    return corner.place or corner.at.place


def _side_place(shape: OutlineShape, i: int) -> Place | None:
    return shape.sides[i].place or _place(shape.corners[i])


def _name(shape: OutlineShape, i: int) -> str:
    n = len(shape.corners)
    return f"{shape.corners[i].label}-{shape.corners[(i + 1) % n].label}"


def _is_bent(shape: OutlineShape) -> bool:
    return any(side.arc is not None for side in shape.sides) or any(shape.exact_bulges)


def _corner_faults(shape: OutlineShape, at: Floats, whose: str, place: Place | None) -> list[Fault]:
    """Too few corners, or one that lies nowhere on earth."""
    n, least = len(shape.corners), 2 if _is_bent(shape) else 3
    if n < least:
        where = _place(shape.corners[0]) if n else place
        said = f"{whose}: the outline has {n} corner{'' if n == 1 else 's'} and encloses no floor"
        return [fault("corners-few", said, where, "give at least three corners, or two and an arc side")]
    far = np.flatnonzero(~(np.abs(at) <= LARGEST_COORDINATE_M).all(axis=1))
    return [
        fault(
            "corner-far",
            f"{whose}: corner {shape.corners[i].label} lies too far from the origin to be measured",
            _place(shape.corners[i]),
            "shift the coordinates so that one corner is near 0, 0",
        )
        for i in far[:MOST_FAULTS]
    ]


def _label_faults(shape: OutlineShape, whose: str) -> list[Fault]:
    counts = Counter([corner.label for corner in shape.corners])
    if len(counts) == len(shape.corners):
        return []
    seen: set[str] = set()
    faults = []
    for corner in shape.corners:
        if corner.label in seen:
            said = f"{whose}: two corners are called {corner.label}"
            faults.append(fault("label-twice", said, _place(corner), "give each corner a name of its own"))
        elif counts[corner.label] > 1:
            seen.add(corner.label)
    return faults[:MOST_FAULTS]


def _length_faults(shape: OutlineShape, at: Floats, whose: str) -> list[Fault]:
    """Sides without length: a corner typed twice running."""
    n = len(at)
    short = np.flatnonzero(_chords_m(at) <= SAME_POINT_M)
    faults = []
    for i in short[:MOST_FAULTS]:
        one, two = shape.corners[i], shape.corners[(i + 1) % n]
        last = i == n - 1
        hint = "leave out the last line: the outline closes by itself" if last else "leave one of them out"
        pair, side = f"{one.label} and {two.label}", _name(shape, i)
        said = f"{whose}: corners {pair} are the same point, side {side} is 0 long"
        faults.append(fault("corner-repeated", said, _place(one if last else two), hint))
    return faults


def _arc_faults(shape: OutlineShape, at: Floats, figures: Figures, whose: str) -> list[Fault]:
    if shape.exact_bulges:
        return []
    faults = []
    chords = _chords_m(at)
    for i, side in enumerate(shape.sides):
        if side.arc is None:
            continue
        chord = float(chords[i])
        size = side.arc.rise or side.arc.radius
        if size is None or not size.m > 0.0:
            said = f"{whose}: side {_name(shape, i)}: the arc needs a rise or a radius above 0"
            faults.append(fault("arc-size", said, _side_place(shape, i)))
        elif (side.arc.rise or side.arc.major) and size.m > STEEPEST * chord:
            said = f"{whose}: side {_name(shape, i)}: the arc rises more than {STEEPEST} times its chord"
            faults.append(fault("arc-size", said, _side_place(shape, i), "look at the unit of the arc"))
        elif side.arc.radius and size.m < chord / 2.0 * (1.0 - HALF_CIRCLE_SLACK):
            said = (
                f"{whose}: side {_name(shape, i)}: an arc of radius {figures.length(size.m)} does not reach"
                f" across its chord of {figures.length(chord)}"
            )
            hint = (
                f"the radius must be at least half the chord, {figures.length(chord / 2.0)}; or give the rise"
            )
            faults.append(fault("arc-radius-short", said, _side_place(shape, i), hint))
    return faults


def _chords_m(at: Floats) -> Floats:
    across = np.roll(at, -1, axis=0) - at
    return np.hypot(across[:, 0], across[:, 1])


def _rings(shape: OutlineShape, at: Floats) -> list[Ring]:
    """The readings of the corners that make sense, the likeliest first; at least one.

    With arcs, an outline can make sense read either way round: as the corners turn by themselves, or the
    other way, where the arcs hold more floor than the corners do.
    """
    out = _bulges(shape, at)
    if shape.exact_bulges or not out.any():
        return [Ring(at, out)]
    as_ccw, as_cw = Ring(at, out), Ring(at, -out)
    readings = [(as_ccw, True), (as_cw, False)]
    if not _runs_ccw(at):
        readings.reverse()
    right = [ring for ring, ccw in readings if ring.is_ccw == ccw]
    sound = right if len(right) < 2 else [ring for ring in right if not crossings(ring)]
    return sound or right[:1] or [readings[0][0]]


def _bulges(shape: OutlineShape, at: Floats) -> Floats:
    """Exact bulges as given, others as they are on a counter-clockwise outline.

    Arcs that rise less than two points are told apart are straight sides.
    """
    chords = _chords_m(at)
    bulges = np.zeros(len(at))
    if shape.exact_bulges:
        bulges = np.array(shape.exact_bulges)
    else:
        for i, side in enumerate(shape.sides):
            if side.arc is not None:
                bulges[i] = _bulge(side, float(chords[i]))
    return np.where(0.5 * chords * np.abs(bulges) > SNAP_M, bulges, 0.0)


def _bulge(side: Side, chord_m: float) -> float:
    arc = side.arc
    assert arc is not None
    if arc.rise is not None:
        size = arcs.bulge_from_rise(chord_m, arc.rise.m)
    else:
        assert arc.radius is not None
        size = arcs.bulge_from_radius(chord_m, arc.radius.m, major=arc.major)
    return size if arc.bulge is Bulge.OUT else -size


def _runs_ccw(at: Floats) -> bool:
    if len(at) < 3:
        return True
    ring = Ring(at)
    return ring.signed_area_m2 >= -1e-12 * ring.perimeter_m**2


def _meeting_faults(
    met: Sequence[Crossing], shape: OutlineShape, figures: Figures, whose: str
) -> list[Fault]:
    faults = [_meeting_fault(crossing, shape, figures, whose) for crossing in met[:MOST_FAULTS]]
    if len(met) > MOST_FAULTS:
        rest = f"{whose}: the outline meets itself in {len(met) - MOST_FAULTS} more places"
        faults.append(fault("outline-crosses", rest, faults[0].place))
    return faults


def _meeting_fault(crossing: Crossing, shape: OutlineShape, figures: Figures, whose: str) -> Fault:
    one, two = _name(shape, crossing.i), _name(shape, crossing.j)
    at = f"{figures.length(crossing.point[0])}, {figures.length(crossing.point[1])}"
    place = _side_place(shape, crossing.i)
    order = f"look at the order of the corners, and at the coordinates of sides {one} and {two}"
    match crossing.kind:
        case Meeting.CROSS:
            return fault("outline-crosses", f"{whose}: sides {one} and {two} cross at {at}", place, order)
        case Meeting.SPIKE:
            said = f"{whose}: side {two} goes straight back over side {one} at {at}"
            return fault("outline-spike", said, place, "leave out the corner that sticks out")
        case Meeting.OVERLAP:
            said = f"{whose}: sides {one} and {two} lie on each other from {at}"
            return fault("outline-overlaps", said, place, order)
        case Meeting.TOUCH:
            said = f"{whose}: sides {one} and {two} touch at {at}, so the floor is pinched to nothing there"
            return fault("outline-touches", said, place, "give the two parts as two slabs, or leave a gap")
        case Meeting.REPEAT:
            said = f"{whose}: side {one} is 0 long"
            return fault("corner-repeated", said, place, "leave one of its corners out")


def _check_arcs_in(shape: OutlineShape, ring: Ring, whose: str) -> None:
    """Refuse arcs into the floor that reach past all of it, so that the outline turns inside out."""
    if np.all((ring.bulges > 0.0) == (_bulges(shape, ring.points) > 0.0)) == ring.is_ccw:
        return
    i = next(i for i, side in enumerate(shape.sides) if side.arc is not None)
    said = f"{whose}: the arc of side {_name(shape, i)} takes away more than the corners enclose"
    raise PlanError(fault("arc-too-deep", said, _side_place(shape, i), "look at in and out, and at the rise"))


def _either_way(ring: Ring, others: Sequence[Ring], figures: Figures, whose: str) -> list[Notice]:
    """Corners that make sense read either way round, with different areas: said, never picked silently."""
    one = ring.area_m2
    apart = [other.area_m2 for other in others if abs(other.area_m2 - one) > 1e-9 * one]
    if not apart:
        return []
    said = (
        f"{whose}: with these arcs the corners can run either way round the floor; read as they turn they"
        f" enclose {figures.area(one)}, the other way {figures.area(apart[0])}: look at the drawing"
    )
    return [Notice(code="arc-either-way", text=said, where=whose)]


def _over_half(shape: OutlineShape, ring: Ring, figures: Figures, whose: str) -> list[Notice]:
    """An arc taped by a rise above half its chord is more than a half circle: rare enough to ask about."""
    notices = []
    for i, side in enumerate(shape.sides):
        if (
            shape.exact_bulges
            or side.arc is None
            or side.arc.rise is None
            or abs(ring.bulges[i]) <= 1.0 + 1e-9
        ):
            continue
        flipped = ring.bulges.copy()
        flipped[i] = -flipped[i]
        other = {Bulge.OUT: "in", Bulge.IN: "out"}[side.arc.bulge]
        said = (
            f"the rise of side {_name(shape, i)}, {figures.length(side.arc.rise.m)}, is more than half its"
            f" chord of {figures.length(ring.chords_m[i])}, so the arc is more than a half circle; the area"
            f" inside the outline is {figures.area(ring.area_m2)} with it {side.arc.bulge.value} and"
            f" {figures.area(Ring(ring.points, flipped).area_m2)} with it {other}"
        )
        notices.append(Notice(code="arc-over-half", text=said, where=f"{whose}, side {_name(shape, i)}"))
    return notices

"""Circular sides: chord, rise, radius, bulge, angle, length and segment area, each from the others.

Words: the *chord* is the straight distance between the ends; the *rise* (sagitta) the greatest distance
from chord to arc; the *bulge* tan(angle / 4), positive where the arc turns counter-clockwise from start to
end, so that it stands to the right of its chord. An arc whose rise exceeds half its chord is *major*: more
than a half circle, |bulge| > 1.

Everything is worked out from chord and bulge. Radius and centre run off to infinity as an arc gets flat;
chord and bulge do not, so a side that bows by a hair keeps all its digits.

Sources: circular segment with R = c²/8h + h/2 and area R²(θ - sin θ)/2 (CRC Concise Encyclopedia of
Mathematics, "Segment"); bulge = tan(θ/4) = 2h/c (DXF reference, LWPOLYLINE group 42). The rest follows by
putting b = tan(θ/4) into these.
"""

from __future__ import annotations

import math
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .tolerance import HALF_CIRCLE_SLACK, LARGEST_STEP_RAD, ROUNDING, SERIES_BELOW_BULGE

Floats: TypeAlias = NDArray[np.float64]
Ints: TypeAlias = NDArray[np.intp]
Flags: TypeAlias = NDArray[np.bool_]


def bulge_from_rise(chord_m: float, rise_m: float) -> float:
    """Bulge of an arc taped by chord and rise; the sign of the rise is kept.

    >>> round(bulge_from_rise(20.5, 3.0), 4)
    0.2927
    """
    return 2.0 * rise_m / _positive("chord_m", chord_m)


def bulge_from_radius(chord_m: float, radius_m: float, *, major: bool = False) -> float:
    """Bulge, positive, of the shorter (or with `major` the longer) way round between two ends.

    Raises:
        ValueError: the radius is less than half the chord, so no circle passes through both ends.

    >>> bulge_from_radius(2.0, 1.0)
    1.0
    """
    ratio = _positive("chord_m", chord_m) / (2.0 * _positive("radius_m", radius_m))
    if ratio > 1.0 + HALF_CIRCLE_SLACK:
        raise ValueError(f"radius_m {radius_m!r} is less than half of chord_m {chord_m!r}")
    ratio = min(ratio, 1.0)
    minor = ratio / (1.0 + math.sqrt((1.0 - ratio) * (1.0 + ratio)))
    return 1.0 / minor if major else minor


def bulge_from_angle(angle_rad: float) -> float:
    """Bulge of an arc that turns by `angle_rad`, positive counter-clockwise, less than a full turn.

    Raises:
        ValueError: the angle is a full turn or more; a whole circle is two arcs.
    """
    if not abs(angle_rad) < 2.0 * math.pi:
        raise ValueError(f"angle_rad must be less than a full turn, got {angle_rad!r}")
    return math.tan(angle_rad / 4.0)


def bulge_from_length(chord_m: float, length_m: float) -> float:
    """Bulge, not negative, of the arc that is `length_m` long over a chord of `chord_m`.

    Raises:
        ValueError: the arc would be shorter than its chord.
    """
    ratio = length_m / _positive("chord_m", chord_m)
    if not ratio >= 1.0:
        raise ValueError(f"length_m {length_m!r} is less than chord_m {chord_m!r}")
    # length / chord = x / sin x with x = half the angle, which grows steadily from 1 to infinity on [0, pi).
    low, high = 0.0, math.pi
    for _ in range(200):
        middle = 0.5 * (low + high)
        if not low < middle < high:
            break
        if middle < ratio * math.sin(middle):
            low = middle
        else:
            high = middle
    return math.tan(low / 2.0)


def rise_m(chord_m: float, bulge: float) -> float:
    """Rise of an arc, with the sign of the bulge, metres."""
    return 0.5 * chord_m * bulge


def radius_m(chord_m: float, bulge: float) -> float:
    """Radius of an arc, positive, metres; infinite for a straight side.

    >>> round(radius_m(20.5, bulge_from_rise(20.5, 3.0)), 3)
    19.01
    """
    return math.inf if bulge == 0.0 else chord_m * (1.0 + bulge * bulge) / (4.0 * abs(bulge))


def angle_rad(bulge: float) -> float:
    """Angle through which an arc turns, positive counter-clockwise, radians.

    >>> round(math.degrees(angle_rad(bulge_from_rise(20.5, 3.0))), 3)
    65.255
    """
    return 4.0 * math.atan(bulge)


def length_m(chord_m: float, bulge: float) -> float:
    """Length along an arc, metres; the chord for a straight side.

    >>> round(length_m(20.5, bulge_from_rise(20.5, 3.0)), 3)
    21.651
    """
    return float(lengths_m(np.array([chord_m]), np.array([bulge]))[0])


def segment_area_m2(chord_m: float, bulge: float) -> float:
    """Area between a chord and its arc, with the sign of the bulge, m².

    >>> round(segment_area_m2(20.5, bulge_from_rise(20.5, 3.0)), 3)
    41.694
    """
    return float(segment_areas_m2(np.array([chord_m]), np.array([bulge]))[0])


def lengths_m(chords_m: Floats, bulges: Floats) -> Floats:
    """Lengths of arcs, (n,): chord (1 + b²) atan(b) / b."""
    steep = np.where(bulges == 0.0, 1.0, bulges)
    turn = np.where(bulges == 0.0, 1.0, np.arctan(steep) / steep)
    return np.asarray(chords_m * (1.0 + bulges * bulges) * turn, dtype=np.float64)


def segment_areas_m2(chords_m: Floats, bulges: Floats) -> Floats:
    """Signed areas between chords and their arcs, (n,).

    R²(θ - sin θ)/2 with b = tan(θ/4) is c² ((1 + b²)² atan b - b (1 - b²)) / 8b². Its terms cancel for flat
    arcs, so below a bulge of 1/4 the power series of the same expression stands in:
    c² Σ (-1)^k b^(2k-1) / ((2k+1)(2k-1)(2k-3)), k = 1, 2, …
    """
    share = np.zeros_like(bulges)
    flat = np.abs(bulges) < SERIES_BELOW_BULGE
    if flat.any():
        share[flat] = _flat_share(bulges[flat])
    if not flat.all():
        b = bulges[~flat]
        share[~flat] = ((1.0 + b * b) ** 2 * np.arctan(b) - b * (1.0 - b * b)) / (8.0 * b * b)
    return np.asarray(chords_m * chords_m * share, dtype=np.float64)


def _flat_share(b: Floats) -> Floats:
    square = b * b
    total = np.zeros_like(b)
    # Each term is b² of the one before it: stop where the last digit of the sum is no longer touched.
    terms = min(14, 2 + int(-18.5 / math.log(max(float(np.abs(b).max()), 1e-8))))
    for k in range(terms, 0, -1):
        sign = -1.0 if k % 2 else 1.0
        total = total * square + sign / ((2 * k + 1) * (2 * k - 1) * (2 * k - 3))
    return total * b


def centres(starts: Floats, ends: Floats, bulges: Floats) -> Floats:
    """Centres of arcs, (n, 2); not finite for straight sides."""
    across = ends - starts
    left = np.column_stack((-across[:, 1], across[:, 0]))
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        aside = (1.0 - bulges * bulges) / (4.0 * bulges)
        return np.asarray(0.5 * (starts + ends) + left * aside[:, None], dtype=np.float64)


def points_at(starts: Floats, ends: Floats, bulges: Floats, shares: ArrayLike) -> Floats:
    """Points at a share (0 at the start, 1 at the end) of the way along each side, (n, 2).

    The chord from the start to the point is the side's chord, scaled and turned: no centre and no radius,
    so it holds for straight sides and for the flattest arcs.
    """
    share = np.asarray(shares, dtype=np.float64)
    half = 2.0 * np.arctan(bulges)
    bent = half != 0.0
    scale = np.where(bent, np.sin(share * half) / np.where(bent, np.sin(half), 1.0), share)
    turn = -(1.0 - share) * half
    cos, sin = scale * np.cos(turn), scale * np.sin(turn)
    across = ends - starts
    return np.column_stack(
        (
            starts[:, 0] + cos * across[:, 0] - sin * across[:, 1],
            starts[:, 1] + sin * across[:, 0] + cos * across[:, 1],
        )
    )


def chords_needed(chords_m: Floats, bulges: Floats, tolerance_m: float | Floats) -> Ints:
    """How many equal chords keep each side within `tolerance_m` of its arc, (n,), 1 for a straight side.

    An arc is never stepped by more than an eighth of a turn, so that a small post stays round.
    """
    allowed = np.broadcast_to(np.asarray(tolerance_m, dtype=np.float64), bulges.shape)
    if not (allowed > 0.0).all():
        raise ValueError(f"tolerance_m must be > 0, got {tolerance_m!r}")
    counts = np.ones(len(bulges), dtype=np.intp)
    bent = np.flatnonzero(bulges)
    if not len(bent):
        return counts
    b = np.abs(bulges[bent])
    radii = np.maximum(chords_m[bent], np.finfo(float).tiny) * (1.0 + b * b) / (4.0 * b)
    step = 4.0 * np.arcsin(np.sqrt(np.minimum(allowed[bent] / (2.0 * radii), 0.5)))
    step = np.minimum(step, LARGEST_STEP_RAD)
    needed = np.ceil(4.0 * np.arctan(b) / step - ROUNDING)
    counts[bent] = np.maximum(needed, 1.0).astype(np.intp)
    return counts


def flattened(
    starts: Floats, ends: Floats, bulges: Floats, tolerance_m: float | Floats
) -> tuple[Floats, Ints]:
    """Sides as chords: the start of every chord, (m, 2), and the side that it lies on, (m,)."""
    chords = np.hypot(*(ends - starts).T)
    counts = chords_needed(chords, bulges, tolerance_m)
    sides = np.repeat(np.arange(len(counts)), counts)
    first = np.cumsum(counts) - counts
    shares = (np.arange(len(sides)) - first[sides]) / counts[sides]
    points = points_at(starts[sides], ends[sides], bulges[sides], shares)
    points[first] = starts
    return points, sides


def _positive(name: str, value: float) -> float:
    if not value > 0.0:
        raise ValueError(f"{name} must be > 0, got {value!r}")
    return value

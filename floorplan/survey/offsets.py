"""Baseline and offsets to a free edge: straight between the stations, or smooth through them.

The baseline lies along the x axis from the origin; offsets go up. The outline runs counter-clockwise:
along the baseline, up at the last station, back along the free edge, and down at the first station where
its offset is not zero. A smooth edge is drawn by arcs that enclose exactly the area under the spline.
"""

from __future__ import annotations

from enum import StrEnum

import numpy as np

from ..geometry.arcs import Floats, segment_areas_m2
from ..values import dataclass
from .findings import Finding, Unsolved
from .spline import Spline, spline

_MOST_STATIONS = 2000
_EVEN = 1e-6
_NONE_M = 1e-9
# An offset is doubted where it misses the curve through two neighbours a side by this much, and by this many
# times what the offsets of the sheet usually miss. One wrong offset moves two neighbours a side by up to two
# thirds of its error, so that fewer stations cannot tell; no source, chosen on simulated pool edges.
_DOUBT_M = 0.15
_DOUBT_TIMES = 4.0
_DOUBT_STATIONS = 9


class Part(StrEnum):
    """What a side of the outline runs along."""

    BASELINE = "baseline"
    EDGE = "edge"
    FIRST_END = "first end"
    LAST_END = "last end"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """The same offsets by the rules of the books.

    Attributes:
        trapezoid_m2: straight between stations.
        simpson_m2: parabolas over pairs of intervals, the last interval of an odd number a trapezoid; None
            where
            the stations are not evenly spaced.
    """

    trapezoid_m2: float
    simpson_m2: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Offset:
    """A solved offsets shape.

    Attributes:
        points: (n, 2) corners, counter-clockwise from the start of the baseline.
        bulges: (n,) tan(angle / 4) of each side, positive out of the floor.
        parts: (n,) what each side runs along.
        stations: (n,) index of the station that a corner stands for; -1 for points between and on the
            baseline.
        area_m2: enclosed: by straight lines, or exactly under the spline.
        area_std_m2: its standard error.
        rules: for comparison.
        remark: how the area was reckoned, with the rules beside it.
        findings: what the estimator should know.
    """

    points: Floats
    bulges: Floats
    parts: tuple[Part, ...]
    stations: tuple[int, ...]
    area_m2: float
    area_std_m2: float
    rules: Rules
    remark: Finding
    findings: tuple[Finding, ...]


def trapezoid_m2(stations: Floats, offsets: Floats) -> float:
    """Area by the trapezoidal rule.

    >>> trapezoid_m2(np.array([0.0, 1.0, 2.0]), np.array([0.0, 3.0, 4.0]))
    5.0
    """
    return float((np.diff(stations) * (offsets[:-1] + offsets[1:]) / 2.0).sum())


def simpson_m2(stations: Floats, offsets: Floats) -> float | None:
    """Area by Simpson's rule, an odd last interval a trapezoid; None where stations are uneven or too few."""
    steps = np.diff(stations)
    if len(steps) < 2 or np.ptp(steps) > _EVEN * steps.mean():
        return None
    pairs = len(steps) // 2 * 2
    y = offsets[: pairs + 1]
    whole = steps.mean() / 3.0 * (y[0] + y[-1] + 4.0 * y[1:-1:2].sum() + 2.0 * y[2:-1:2].sum())
    return float(whole + trapezoid_m2(stations[pairs:], offsets[pairs:]))


def solve(
    stations_m: Floats,
    offsets_m: Floats,
    *,
    baseline_m: float,
    smooth: bool,
    std_m: float,
    tolerance_m: float,
) -> Offset:
    """Outline, area and error from offsets.

    Args:
        stations_m: (n,) increasing along the baseline, n >= 2.
        offsets_m: (n,) square to the baseline, >= 0.
        baseline_m: length of the baseline; the stations lie within it.
        smooth: a spline through the points, else straight lines.
        std_m: standard error of each station and offset.
        tolerance_m: how far the drawn arcs may stand off the spline.

    Raises:
        Unsolved: the stations or offsets make no outline.
    """
    _must_be_sound(stations_m, offsets_m, baseline_m, std_m)
    rules = Rules(
        trapezoid_m2=trapezoid_m2(stations_m, offsets_m), simpson_m2=simpson_m2(stations_m, offsets_m)
    )
    curve = spline(stations_m, offsets_m) if smooth else None
    if curve is not None:
        _must_stay_above(curve)
        at, bulges = _arcs(curve, tolerance_m)
        heights, area = curve.at(at), curve.area_m2
    else:
        at, heights, bulges, area = stations_m, offsets_m, np.zeros(len(stations_m) - 1), rules.trapezoid_m2
    points, sides, parts, marks = _outline(stations_m, at, heights, bulges)
    return Offset(
        points=points,
        bulges=sides,
        parts=parts,
        stations=marks,
        area_m2=area,
        area_std_m2=_area_std(stations_m, offsets_m, smooth=smooth, std_m=std_m),
        rules=rules,
        remark=_remark(area, rules, smooth=smooth),
        findings=(*_left_out(stations_m, baseline_m), *(_odd(stations_m, offsets_m) if smooth else ())),
    )


def _must_be_sound(stations: Floats, offsets: Floats, baseline_m: float, std_m: float) -> None:
    if len(stations) < 2 or len(stations) > _MOST_STATIONS:
        raise Unsolved(
            Finding(code="offsets-count", figures={"count": str(len(stations)), "most": str(_MOST_STATIONS)})
        )
    found = [
        Finding(code="offsets-backwards", about=(str(k + 1),), figures={"station_m": float(stations[k + 1])})
        for k in np.flatnonzero(np.diff(stations) <= _NONE_M).tolist()
    ]
    outside = (stations < -2.0 * std_m) | (stations > baseline_m + 2.0 * std_m)
    found += [
        Finding(
            code="offsets-off-baseline",
            about=(str(k),),
            figures={"station_m": float(stations[k]), "baseline_m": baseline_m},
        )
        for k in np.flatnonzero(outside).tolist()
    ]
    found += [
        Finding(code="offsets-negative", about=(str(k),), figures={"station_m": float(stations[k])})
        for k in np.flatnonzero(offsets < 0.0).tolist()
    ]
    within = np.flatnonzero(offsets[1:-1] <= _NONE_M) + 1
    found += [
        Finding(code="offsets-pinched", about=(str(k),), figures={"station_m": float(stations[k])})
        for k in within.tolist()
    ]
    if not found and not offsets.max() > _NONE_M:
        found = [Finding(code="offsets-flat")]
    if found:
        raise Unsolved(found)


def _must_stay_above(curve: Spline) -> None:
    """A spline can swing below the baseline between stations; more stations or straight lines serve then."""
    inner = np.linspace(0.0, 1.0, 65)[1:-1]
    x = (curve.knots[:-1, None] + np.diff(curve.knots)[:, None] * inner).ravel()
    below = np.flatnonzero(curve.at(x) < 0.0)
    if len(below):
        k = int(np.searchsorted(curve.knots, x[below[0]]) - 1)
        raise Unsolved(
            Finding(
                code="offsets-swings",
                about=(str(k), str(k + 1)),
                figures={"station_m": float(curve.knots[k]), "next_m": float(curve.knots[k + 1])},
            )
        )


def _arcs(curve: Spline, tolerance_m: float) -> tuple[Floats, Floats]:
    """Stations of the ends of arcs, (m + 1,), and bulges, (m,), that keep to the spline and to its area."""
    x, bulges = [curve.knots[:1]], []
    for start, end in zip(curve.knots[:-1], curve.knots[1:], strict=True):
        pieces = 1
        while True:
            at = np.linspace(start, end, pieces + 1)
            bends = _bulges(curve, at)
            if _off(curve, at, bends) <= tolerance_m or pieces >= 64:
                break
            pieces *= 2
        x.append(at[1:])
        bulges.append(bends)
    return np.concatenate(x), np.concatenate(bulges)


def _bulges(curve: Spline, at: Floats) -> Floats:
    """Bulges of arcs between stations that enclose just what the spline encloses; positive upward."""
    y = curve.at(at)
    chords = np.hypot(np.diff(at), np.diff(y))
    extra = curve.integral(at[:-1], at[1:]) - np.diff(at) * (y[:-1] + y[1:]) / 2.0
    # segment area = chord² f(bulge) with f ≈ bulge / 3: a few secant-like steps settle it to the last digit.
    target = extra / (chords * chords)
    bulges: Floats = np.asarray(3.0 * target, dtype=np.float64)
    for _ in range(60):
        miss = segment_areas_m2(np.ones_like(bulges), bulges) - target
        bulges = np.asarray(bulges - 3.0 * miss / (1.0 + bulges * bulges) ** 2, dtype=np.float64)
        if np.abs(miss).max() < 1e-16:
            break
    return bulges


def _off(curve: Spline, at: Floats, bulges: Floats) -> float:
    """Greatest distance between arcs and spline, looked at in seven places along each arc."""
    y = curve.at(at)
    start, step = np.column_stack((at[:-1], y[:-1])), np.column_stack((np.diff(at), np.diff(y)))
    worst = 0.0
    for share in np.linspace(0.0, 1.0, 9)[1:-1]:
        half = 2.0 * np.arctan(bulges)
        bent = half != 0.0
        scale = np.where(bent, np.sin(share * half) / np.where(bent, np.sin(half), 1.0), share)
        turn = (1.0 - share) * half
        x = start[:, 0] + scale * (np.cos(turn) * step[:, 0] - np.sin(turn) * step[:, 1])
        z = start[:, 1] + scale * (np.sin(turn) * step[:, 0] + np.cos(turn) * step[:, 1])
        inside = np.clip(x, at[0], at[-1])
        gap = np.abs(curve.at(inside) - z) / np.hypot(1.0, curve.slope(inside))
        worst = max(worst, float(gap.max()))
    return worst


def _outline(
    stations: Floats, at: Floats, heights: Floats, bulges: Floats
) -> tuple[Floats, Floats, tuple[Part, ...], tuple[int, ...]]:
    """Corners counter-clockwise, bulges, what each side runs along, and the station of each corner."""
    first, last = float(stations[0]), float(stations[-1])
    index = {float(s): k for k, s in enumerate(stations)}
    corners = [(first, 0.0, -1, Part.BASELINE, 0.0)]
    if heights[-1] > _NONE_M:
        corners.append((last, 0.0, -1, Part.LAST_END, 0.0))
    for k in range(len(at) - 1, 0, -1):
        # Upward bulges stand out of the floor, which is where a counter-clockwise ring has its positive ones.
        corners.append(
            (float(at[k]), float(heights[k]), index.get(float(at[k]), -1), Part.EDGE, float(bulges[k - 1]))
        )
    if heights[0] > _NONE_M:
        corners.append((first, float(heights[0]), 0, Part.FIRST_END, 0.0))
    else:
        corners[0] = (first, 0.0, 0, Part.BASELINE, 0.0)
    return (
        np.array([corner[:2] for corner in corners]),
        np.array([corner[4] for corner in corners]),
        tuple(corner[3] for corner in corners),
        tuple(corner[2] for corner in corners),
    )


def _area_std(stations: Floats, offsets: Floats, *, smooth: bool, std_m: float) -> float:
    """Standard error of the area: every station and every offset off by `std_m` on its own."""
    step = 1e-3 * float(np.diff(stations).min())

    def area(s: Floats, y: Floats) -> float:
        return spline(s, y).area_m2 if smooth else trapezoid_m2(s, y)

    slopes = []
    for k in range(len(stations)):
        nudge = np.zeros(len(stations))
        nudge[k] = step
        slopes.append(area(stations, offsets + nudge) - area(stations, offsets - nudge))
        slopes.append(area(stations + nudge, offsets) - area(stations - nudge, offsets))
    return float(std_m * float(np.linalg.norm(slopes)) / (2.0 * step))


def _remark(area: float, rules: Rules, *, smooth: bool) -> Finding:
    figures: dict[str, float | str] = {"area_m2": area, "trapezoid_m2": rules.trapezoid_m2}
    code = "offsets-smooth" if smooth else "offsets-straight"
    if rules.simpson_m2 is not None:
        code, figures = f"{code}-simpson", figures | {"simpson_m2": rules.simpson_m2}
    return Finding(code=code, figures=figures)


def _odd(stations: Floats, offsets: Floats) -> tuple[Finding, ...]:
    """The offset that stands farthest off a smooth line through its neighbours, where that is far."""
    if len(stations) < _DOUBT_STATIONS:
        return ()
    expected = np.array([_between(stations, offsets, k) for k in range(2, len(stations) - 2)])
    misses = np.abs(offsets[2:-2] - expected)
    worst = int(misses.argmax())
    if misses[worst] < max(_DOUBT_M, _DOUBT_TIMES * float(np.median(misses))):
        return ()
    figures = {"station_m": float(stations[worst + 2]), "offset_m": float(offsets[worst + 2])}
    likely = {"likely_m": float(expected[worst])}
    return (Finding(code="offsets-odd", about=(str(worst + 2),), figures=figures | likely),)


def _between(stations: Floats, offsets: Floats, k: int) -> float:
    """The offset at a station by the cubic through two neighbours a side (Lagrange's formula)."""
    near = np.array([k - 2, k - 1, k + 1, k + 2])
    x, at = stations[near], stations[k]
    weights = [np.prod([(at - b) / (a - b) for b in x if b != a]) for a in x]
    return float(np.dot(weights, offsets[near]))


def _left_out(stations: Floats, baseline_m: float) -> tuple[Finding, ...]:
    """Baseline before the first and after the last station that is worth a word."""
    ends = float(stations[0]), baseline_m - float(stations[-1])
    if max(ends) <= 0.01 * baseline_m:
        return ()
    return (Finding(code="offsets-short", figures={"start_m": ends[0], "end_m": ends[1]}),)

"""A walk round the slab to corners: closing gap, compass rule, missing values, error of the area.

The *compass rule* (Bowditch) spreads the closing gap over the corners in proportion to the length walked
so far. It is applied only within the limits of `survey.limits`; a walk that misses by more is refused, and
both the walked and the adjusted corners are kept side by side. Source: published traverses, any surveying
text; see the tests.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ..geometry.arcs import Floats
from ..values import dataclass, replace
from .closing import Closed, close
from .enclosed import Enclosed, enclosed, shoelace_m2
from .findings import Finding, Unsolved
from .gaps import Doubt, direction_deg, doubtful_legs, gap_figures, open_finding
from .headings import Headings, Leg, Said, headings, senses
from .instruments import ANGLE_STD_DEG
from .limits import Grade, angle_limits_deg, gap_grade
from .simple import crossing_sides
from .walk_suspects import angle_sum_mends

MOST_LEGS = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Walked:
    """A walk brought to close.

    Attributes:
        points: (n, 2) corners, metres, the first at the origin, gap spread.
        as_walked: (n + 1, 2) corners before that; the last should be the first.
        closed: lengths and headings with missing ones filled in, gap not yet spread.
        lengths_m: (n,) of the sides after the gap was spread.
        degrees: (n,) headings after the gap was spread.
        gap_m: how far the walk misses its start.
        gap_deg: direction from the start to where the walk ended, counter-clockwise from the sheet's right.
        ratio: perimeter over gap; 0 when it closes.
        grade: of the gap.
        redundancy: checks that are left: two from closing, less one for each value found, and one from
            angles.
        doubts: in an amber walk, legs of which one may be misread.
        area_m2: enclosed, arcs included.
        area_std_m2: its standard error.
        std_m: (n,) standard error of each corner against the first.
        side_std_m: (n,) standard error of each side's length once the gap was spread.
        findings: what the estimator should know.
    """

    points: Floats
    as_walked: Floats
    closed: Closed
    lengths_m: Floats
    degrees: Floats
    gap_m: float
    gap_deg: float
    ratio: float
    grade: Grade
    redundancy: int
    doubts: tuple[Doubt, ...]
    area_m2: float
    area_std_m2: float
    std_m: tuple[float, ...]
    side_std_m: tuple[float, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class _Try:
    """One way to read the walk."""

    said: Headings
    closed: Closed
    sense: int
    walked: Floats

    @property
    def gap(self) -> Floats:
        return np.asarray(self.walked[-1], dtype=np.float64)

    @property
    def gap_m(self) -> float:
        return float(np.hypot(*self.gap))

    @property
    def perimeter_m(self) -> float:
        return float(self.closed.lengths_m.sum())

    @property
    def grade(self) -> Grade:
        return gap_grade(self.gap_m, self.perimeter_m)


def solve(legs: Sequence[Leg], *, angle_std_deg: float = ANGLE_STD_DEG, feet: bool = True) -> Walked:
    """Corners, gap and area of a walk.

    Args:
        legs: in the order walked, at least three (two where both are arcs).
        angle_std_deg: standard error of a direction or angle.
        feet: the tape is marked in feet and inches (for the words on a misread length).

    Raises:
        Unsolved: the walk does not close, its angles do not add up, or what is missing cannot be found.
    """
    if len(legs) > MOST_LEGS:
        raise Unsolved(
            Finding(code="walk-too-long", figures={"legs": str(len(legs)), "most": str(MOST_LEGS)})
        )
    chosen, mirrored = _chosen(legs, _tries(legs, angle_std_deg))
    if chosen.grade is Grade.RED:
        raise Unsolved(open_finding(legs, chosen.said, chosen.closed, chosen.gap, feet=feet))
    points = spread(chosen.walked, chosen.closed.lengths_m)
    sides = np.roll(points, -1, axis=0) - points
    shape = enclosed(points, np.array([leg.rise_m for leg in legs]))
    area_std, std, side_std = _errors(legs, chosen, shape, angle_std_deg)
    return Walked(
        points=points,
        as_walked=chosen.walked,
        closed=chosen.closed,
        lengths_m=np.hypot(sides[:, 0], sides[:, 1]),
        degrees=np.degrees(np.arctan2(sides[:, 1], sides[:, 0])) % 360.0,
        gap_m=chosen.gap_m,
        gap_deg=direction_deg(chosen.gap),
        ratio=chosen.perimeter_m / chosen.gap_m if chosen.gap_m > 1e-9 else 0.0,
        grade=chosen.grade,
        redundancy=2 - chosen.closed.found + (chosen.said.angle_gap_deg is not None),
        doubts=doubtful_legs(legs, chosen.closed, chosen.gap, feet=feet)
        if chosen.grade is Grade.AMBER
        else (),
        area_m2=shape.area_m2,
        area_std_m2=area_std,
        std_m=std,
        side_std_m=side_std,
        findings=tuple(_findings(legs, chosen, mirrored=mirrored, angle_std_deg=angle_std_deg)),
    )


def spread(walked: Floats, lengths_m: Floats) -> Floats:
    """Compass rule: corners, (n, 2), from a walk of n + 1 points that misses its start.

    Args:
        walked: (n + 1, 2), the last point should be the first.
        lengths_m: (n,) of the legs.
    """
    share = np.concatenate(([0.0], np.cumsum(lengths_m))) / lengths_m.sum()
    return np.asarray((walked - share[:, None] * (walked[-1] - walked[0]))[:-1], dtype=np.float64)


def _tries(legs: Sequence[Leg], angle_std_deg: float) -> list[_Try]:
    """Every way to read the walk that gives a shape; the fault of the first way when none does."""
    tries: list[_Try] = []
    refused: list[Unsolved] = []
    for sense in senses(legs):
        try:
            said = headings(legs, sense, angle_std_deg)
            closed = close(legs, said)
        except Unsolved as error:
            refused.append(error)
            continue
        tries += [_Try(said, answer, sense, _walked(answer)) for answer in closed]
    if not tries:
        raise _least_refused(legs, refused, angle_std_deg)
    return tries


def _least_refused(legs: Sequence[Leg], refused: list[Unsolved], angle_std_deg: float) -> Unsolved:
    """The refusal for the likelier way round; where angles do not add up, with what would put them right."""
    ways = list(zip(senses(legs), refused, strict=True))
    sense, first = min(ways, key=lambda way: float(way[1].findings[0].figures.get("gap_deg", 0.0)))
    finding = first.findings[0]
    if finding.code != "walk-angles-open":
        return first
    mends = angle_sum_mends(legs, sense, angle_std_deg)
    if not mends:
        return first
    return Unsolved(replace(finding, code="walk-angles-open-suspects", about=mends[0].about, choices=mends))


def _walked(closed: Closed) -> Floats:
    turn = np.radians(closed.degrees)
    steps = closed.lengths_m[:, None] * np.column_stack((np.cos(turn), np.sin(turn)))
    return np.concatenate((np.zeros((1, 2)), np.cumsum(steps, axis=0)))


def _chosen(legs: Sequence[Leg], tries: list[_Try]) -> tuple[_Try, bool]:
    """The one try that makes an outline, and whether it was taken of two mirror images.

    Raises:
        Unsolved: two different outlines remain.
    """
    closing = [t for t in tries if t.grade is not Grade.RED]
    sound = [t for t in closing if _is_outline(t)]
    if not sound:
        return min(closing or tries, key=lambda t: t.gap_m), False
    if len(sound) == 1:
        return sound[0], False
    one, other = sound[0], sound[1]
    if {one.sense, other.sense} == {1, -1} and np.allclose(one.closed.lengths_m, other.closed.lengths_m):
        # Inside angles alone fit a shape and its mirror image; sketches are lettered clockwise (common
        # practice).
        return (one if one.sense < 0 else other), True
    raise Unsolved(_which(legs, one, other))


def _is_outline(one: _Try) -> bool:
    """A simple outline that runs the way round that its inside angles were read for."""
    points = one.walked[:-1]
    way = np.sign(shoelace_m2(points))
    return crossing_sides(points) is None and (one.sense == 0 or way == one.sense)


def _which(legs: Sequence[Leg], one: _Try, other: _Try) -> Finding:
    areas = [abs(shoelace_m2(t.walked[:-1])) for t in (one, other)]
    figures: dict[str, float | str] = {"area_m2": areas[0], "other_area_m2": areas[1]}
    for key, value in (("", one), ("other_", other)):
        lengths = [float(value.closed.lengths_m[k]) for k in value.closed.found_lengths]
        turns = [float(value.closed.degrees[k]) for k in value.closed.found_trains]
        figures |= {f"{key}length{i}_m": v for i, v in enumerate(lengths)}
        figures |= {f"{key}heading{i}_deg": v for i, v in enumerate(turns)}
    codes = {(2, 0): "lengths", (1, 1): "length-heading", (0, 2): "headings"}
    kind = codes.get((len(one.closed.found_lengths), len(one.closed.found_trains)), "areas")
    about = tuple(legs[k].name for k in (*one.closed.found_lengths, *one.closed.found_trains))
    return Finding(code=f"walk-two-shapes-{kind}", about=about, figures=figures)


def _errors(
    legs: Sequence[Leg], one: _Try, shape: Enclosed, angle_std_deg: float
) -> tuple[float, tuple[float, ...], tuple[float, ...]]:
    """Standard errors of area, corners and sides, through missing values and compass rule."""
    n = len(legs)
    lengths, turn = one.closed.lengths_m, np.radians(one.closed.degrees)
    units = np.column_stack((np.cos(turn), np.sin(turn)))
    left = lengths[:, None] * np.column_stack((-units[:, 1], units[:, 0]))
    # Columns: steps by each length and by each said angle; then by each missing length and missing heading.
    known = np.array([leg.length_m is not None for leg in legs])
    by_length = np.zeros((n, 2, n))
    by_length[np.arange(n), :, np.arange(n)] = units
    by_angle = left[:, :, None] * np.radians(1.0) * one.said.slopes[:, None, :]
    by_train = [np.where((one.said.train == k)[:, None], left, 0.0) for k in one.closed.found_trains]
    missing = [by_length[:, :, k] for k in one.closed.found_lengths] + by_train
    steps = np.concatenate((by_length[:, :, known], by_angle), axis=2)
    stds = np.concatenate(
        ([leg.length_std_m for leg, is_known in zip(legs, known, strict=True) if is_known],
         [0.0 if leg.said is Said.MISSING else angle_std_deg for leg in legs])
    )  # fmt: skip
    if missing:
        steps = steps + _made_up(np.stack(missing, axis=2), steps)
    total = steps.sum(axis=0)
    share = np.concatenate(([0.0], np.cumsum(lengths)[:-1])) / lengths.sum()
    corners = (
        np.concatenate((np.zeros((1, *total.shape)), np.cumsum(steps, axis=0)[:-1]))
        - share[:, None, None] * total
    )
    area = np.einsum("kx,kxj->j", shape.by_corner, corners)
    rises = shape.by_rise * np.array([leg.rise_std_m for leg in legs])
    spread_ = np.sqrt(((corners * stds) ** 2).sum(axis=(1, 2)))
    sides = np.einsum("kx,kxj->kj", units, np.roll(corners, -1, axis=0) - corners)
    along = np.sqrt(((sides * stds) ** 2).sum(axis=1))
    return (
        float(np.sqrt(((area * stds) ** 2).sum() + (rises**2).sum())),
        tuple(spread_.tolist()),
        tuple(along.tolist()),
    )


def _made_up(missing: Floats, steps: Floats) -> Floats:
    """How the missing values move, to keep the walk closed, when something measured moves; in steps.

    With two missing the gap stays shut; with one it stays square to what the missing value can do.
    """
    can, moved = missing.sum(axis=0), steps.sum(axis=0)
    answer = -np.linalg.lstsq(can, moved, rcond=None)[0]
    return np.asarray(np.einsum("kxm,mj->kxj", missing, answer), dtype=np.float64)


def _findings(legs: Sequence[Leg], one: _Try, *, mirrored: bool, angle_std_deg: float) -> list[Finding]:
    out: list[Finding] = []
    if mirrored:
        out.append(Finding(code="walk-taken-clockwise"))
    if one.closed.found == 2:
        out.append(Finding(code="walk-unchecked", about=_found_names(legs, one.closed)))
    if one.grade is Grade.AMBER:
        out.append(Finding(code="walk-amber", figures=gap_figures(one.closed, one.gap)))
    gap = one.said.angle_gap_deg
    if gap is not None and abs(gap) > angle_limits_deg(angle_std_deg, len(legs))[0]:
        out.append(Finding(code="walk-angles-amber", figures={"gap_deg": abs(gap)}))
    return out


def _found_names(legs: Sequence[Leg], closed: Closed) -> tuple[str, ...]:
    return tuple(legs[k].name for k in sorted({*closed.found_lengths, *closed.found_trains}))

"""Which one side of an open walk was misread: every single mistake is put right in turn and tried.

Along a side whose length is wrong lies the gap; about a corner whose angle is wrong the end swings round,
so that its distance from there is right. A *mend* is one such correction; those that a known mistake
explains come before those that only happen to close the walk, and mends that fit equally are all named.

Source: both rules are those by which any surveying text looks for the one mistake in a traverse (from
memory); what crews usually misread is common practice.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator, Sequence

import numpy as np

from ..geometry.arcs import Floats
from ..values import dataclass, replace
from .closing import close
from .enclosed import shoelace_m2
from .findings import Finding
from .headings import Headings, Leg, Said, angle_gap_deg, compass_word, headings, said_angle
from .limits import GAP_GREEN_M, Grade, gap_grade
from .misreadings import MisreadAngle, likely, misread_angles
from .simple import crossing_sides

MOST_NAMED = 6

_KNOWN, _BARE = 0, 1
_PARALLEL_DEG, _ACROSS_DEG = 2.0, 30.0
_DEGREE_OFF = 1.0

Steps = np.ndarray[tuple[int], np.dtype[np.complex128]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mend:
    """One way to bring a walk back to its start.

    Attributes:
        finding: which side, and what would stand there in place of what was read.
        steps: the legs with it put right, as complex numbers.
        rank: 0 where a known mistake explains it, 1 where it only closes.
    """

    finding: Finding
    steps: Steps
    rank: int

    @property
    def gap_m(self) -> float:
        """How far the mended walk still misses its start."""
        return float(abs(self.steps.sum()))


@dataclass(frozen=True, slots=True)
class _Walk:
    """An open walk: its legs, what their headings hang on, and its steps."""

    legs: Sequence[Leg]
    said: Headings
    steps: Steps
    feet: bool

    @property
    def gap(self) -> complex:
        return complex(self.steps.sum())

    def side(self, k: int) -> str:
        return f"{self.legs[k].name}-{self.legs[(k + 1) % len(self.legs)].name}"

    def mend(self, code: str, k: int, steps: Steps, rank: int, **figures: float | str) -> Mend:
        about = (self.legs[k].name,)
        finding = Finding(code=code, about=about, figures={"leg": self.side(k), **figures})
        return Mend(finding=finding, steps=steps, rank=rank)

    def with_step(self, k: int, step: complex) -> Steps:
        steps = self.steps.copy()
        steps[k] = step
        return steps


def mends(
    legs: Sequence[Leg], said: Headings, lengths_m: Floats, degrees: Floats, *, feet: bool
) -> list[Finding]:
    """The likeliest single mistakes, all that fit equally; empty when no single one closes the walk.

    Args:
        legs: as walked; where a value was missing, only lengths are doubted.
        said: what each heading hangs on.
        lengths_m: (n,) with missing ones filled in.
        degrees: (n,) headings, likewise.
        feet: the tape is marked in feet and inches.
    """
    turn = np.radians(degrees)
    walk = _Walk(legs, said, np.asarray(lengths_m * np.exp(1j * turn), dtype=np.complex128), feet)
    found = list(_lengths(walk))
    if all(leg.length_m is not None for leg in legs) and not np.any(said.train >= 0):
        found += [*_ways(walk), *_angles(walk), *_twice(walk), *_left_out(walk)]
    perimeter = float(lengths_m.sum())
    return _best([mend for mend in found if gap_grade(mend.gap_m, perimeter) is not Grade.RED], perimeter)


def _best(found: list[Mend], perimeter_m: float) -> list[Finding]:
    """The mends of the best class: known mistakes first, then what closes within the green limit."""
    classes: dict[tuple[int, bool], list[Mend]] = {}
    for mend in sorted(found, key=lambda mend: round(mend.gap_m / GAP_GREEN_M, 1)):
        green = gap_grade(mend.gap_m, perimeter_m) is Grade.GREEN
        if green or mend.rank == _KNOWN:
            classes.setdefault((mend.rank, not green), []).append(mend)
    for key in sorted(classes):
        sound = [mend.finding for mend in classes[key] if _is_outline(mend.steps)]
        if sound:
            return sound[:MOST_NAMED]
    return []


def _is_outline(steps: Steps) -> bool:
    at = np.concatenate(([0.0], np.cumsum(steps)[:-1]))
    points = np.column_stack((at.real, at.imag))
    return crossing_sides(points) is None and shoelace_m2(points) != 0.0


def _lengths(walk: _Walk) -> Iterator[Mend]:
    """A length misread: the gap lies along the side."""
    gap = walk.gap
    for k, leg in enumerate(walk.legs):
        if leg.length_m is None:
            continue
        unit = walk.steps[k] / abs(walk.steps[k])
        along = float((gap * unit.conjugate()).real)
        if abs(gap - along * unit) > 0.5 * abs(gap):
            continue
        read = likely(leg.length_m, leg.length_m - along, GAP_GREEN_M, feet=walk.feet)
        if read is not None:
            steps = walk.with_step(k, read.true_m * unit)
            yield walk.mend(
                "walk-mend-length", k, steps, _KNOWN, true_m=read.true_m, taped_m=leg.length_m, why=read.why
            )
        elif leg.length_m > along:
            true = leg.length_m - along
            steps = walk.with_step(k, true * unit)
            yield walk.mend("walk-mend-length-bare", k, steps, _BARE, true_m=true, taped_m=leg.length_m)


def _ways(walk: _Walk) -> Iterator[Mend]:
    """A direction typed the wrong way: right for left, up for right, east for west."""
    for k, leg in enumerate(walk.legs):
        step = complex(walk.steps[k])
        if leg.said is not Said.ABSOLUTE or _turned_with(walk.said, k) != [k]:
            continue
        others = (-step, step.conjugate(), -step.conjugate(), step * 1j, step * -1j)
        for n, other in enumerate(others):
            if abs(other - step) > GAP_GREEN_M and all(abs(other - o) > GAP_GREEN_M for o in others[:n]):
                way, true = compass_word(_deg(step)), compass_word(_deg(other))
                yield walk.mend("walk-mend-way", k, walk.with_step(k, other), _KNOWN, way=way, true_way=true)


def _angles(walk: _Walk) -> Iterator[Mend]:
    """A turn or angle misread: all that hangs on it swings about the corner."""
    gap = walk.gap
    for k, leg in enumerate(walk.legs):
        hung = _turned_with(walk.said, k)
        if leg.said is Said.MISSING or not hung or (leg.said is Said.ABSOLUTE and hung == [k]):
            continue
        sign = float(walk.said.slopes[hung[0], k])
        swung = complex(walk.steps[hung].sum())
        rest = gap - swung
        if min(abs(swung), abs(rest)) < GAP_GREEN_M:
            continue
        turn = math.degrees(cmath.phase(-rest / swung))
        yield from _angle(walk, k, hung, leg.degrees + turn / sign)


def _angle(walk: _Walk, k: int, hung: list[int], best_deg: float) -> Iterator[Mend]:
    """A known slip of the angle near the one that closes best, or that one itself."""
    leg = walk.legs[k]
    sign = float(walk.said.slopes[hung[0], k])
    read = _slip(leg, best_deg)
    true = read.true_deg if read else best_deg
    steps = walk.steps.copy()
    steps[hung] *= cmath.exp(1j * math.radians(sign * (true - leg.degrees)))
    words = {"true_angle": said_angle(leg.said, true), "angle": said_angle(leg.said, leg.degrees)}
    if read is None:
        yield walk.mend("walk-mend-angle-bare", k, steps, _BARE, **words)
    else:
        yield walk.mend("walk-mend-angle", k, steps, _KNOWN, **words, why=read.why)


def _turned_with(said: Headings, k: int) -> list[int]:
    """Legs that turn with what was said at leg k; none where not all of them turn alike."""
    slopes = said.slopes[:, k]
    hung = np.flatnonzero(np.abs(slopes) > 1e-9)
    alike = len(hung) > 0 and bool(np.all(np.abs(slopes[hung] - slopes[hung[0]]) < 1e-9))
    return [int(j) for j in hung] if alike and abs(abs(slopes[hung[0]]) - 1.0) < 1e-9 else []


def _twice(walk: _Walk) -> Iterator[Mend]:
    """A side written twice: two legs in a row are the same, and the gap is one of them."""
    for k, step in enumerate(walk.steps.tolist()):
        if abs(step - walk.steps[k - 1]) < GAP_GREEN_M:
            yield walk.mend("walk-mend-twice", k, walk.with_step(k, 0j), _KNOWN)


def _left_out(walk: _Walk) -> Iterator[Mend]:
    """A side not written down: two legs in a row run along one line, and the gap goes across it."""
    side = -walk.gap
    for k, after in enumerate(walk.steps.tolist()):
        before = complex(walk.steps[k - 1])
        bend = abs(math.sin(cmath.phase(after / before)))
        across = abs(math.sin(cmath.phase(side / before)))
        if bend < math.sin(math.radians(_PARALLEL_DEG)) and across > math.sin(math.radians(_ACROSS_DEG)):
            yield walk.mend(
                "walk-mend-left-out", k, np.insert(walk.steps, k, side), _KNOWN,
                before=walk.side((k - 1) % len(walk.legs)), way=compass_word(_deg(side)), length_m=abs(side),
            )  # fmt: skip


def angle_sum_mends(legs: Sequence[Leg], sense: int, angle_std_deg: float) -> tuple[Finding, ...]:
    """Angles of which one, put right by what the sum is off, brings the walk back to its start too."""
    gap, found, perimeter = angle_gap_deg(legs, sense), list[Mend](), 0.0
    for k, leg in enumerate(legs):
        true = leg.degrees - gap * (1.0 if leg.said is Said.TURN else -sense)
        if not abs(true) < 360.0 or (leg.said is Said.INSIDE and true <= 0.0):
            continue
        righted = [*legs[:k], replace(leg, degrees=true), *legs[k + 1 :]]
        said = headings(righted, sense, angle_std_deg)
        for closed in close(righted, said):
            turn = np.radians(closed.degrees)
            walk = _Walk(legs, said, np.asarray(closed.lengths_m * np.exp(1j * turn)), feet=True)
            perimeter = float(closed.lengths_m.sum())
            if gap_grade(abs(walk.gap), perimeter) is not Grade.RED:
                found.append(_righted(walk, k, true))
    return tuple(_best(found, perimeter))


def _righted(walk: _Walk, k: int, best_deg: float) -> Mend:
    leg = walk.legs[k]
    read = _slip(leg, best_deg)
    words = {
        "true_angle": said_angle(leg.said, read.true_deg if read else best_deg),
        "angle": said_angle(leg.said, leg.degrees),
    }
    if read is None:
        return walk.mend("walk-mend-angle-bare", k, walk.steps, _BARE, **words)
    return walk.mend("walk-mend-angle", k, walk.steps, _KNOWN, **words, why=read.why)


def _slip(leg: Leg, best_deg: float) -> MisreadAngle | None:
    """The known slip that lies nearest to the angle that would close best."""

    def off(read: MisreadAngle) -> float:
        return abs((read.true_deg - best_deg + 180.0) % 360.0 - 180.0)

    kinds = misread_angles(leg.degrees, inside=leg.said is Said.INSIDE)
    return min((read for read in kinds if off(read) < _DEGREE_OFF), key=off, default=None)


def _deg(step: complex) -> float:
    return math.degrees(cmath.phase(step)) % 360.0

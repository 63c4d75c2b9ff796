"""Sides and diagonals to corners: the whole of a taped sketch in one call.

The first corner lies at the origin and the first side along the x axis. The stated accuracy of the tape is
taken as it is; only where the lengths plainly contradict it (one chance in a thousand) are the standard
errors widened to match.
"""

from __future__ import annotations

from itertools import combinations

import numpy as np

from ..geometry.arcs import Floats
from ..values import dataclass
from .adjust import CHECKED_ABOVE, Fit
from .blunders import Snooped, Suspect, snoop, spread_m
from .choosing import choose
from .enclosed import area_std_m2, enclosed
from .findings import Finding, Unsolved
from .limits import RESIDUAL_AMBER_M, WEAK_ANGLE_DEG, chi2_limit
from .network import Network
from .rigidity import best_checks, freedom

MOST_POINTS = 200
MOST_TIES = 2000


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One length as taped and as fitted.

    Attributes:
        start: point.
        end: point.
        taped_m: as read; None for a side that was worked out.
        fitted_m: between the fitted points.
        std_m: standard error of the fitted length.
        residual_m: fitted less taped, 0 where nothing was taped.
        standardised: residual over its standard error.
        redundancy: share of an error here that would show in the residual, 0 to 1.
    """

    start: str
    end: str
    taped_m: float | None
    fitted_m: float
    std_m: float
    residual_m: float = 0.0
    standardised: float = 0.0
    redundancy: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """A solved sketch.

    Attributes:
        points: (n, 2) metres by name, corners first.
        std_m: standard error of each point against the first corner and first side.
        area_m2: enclosed, arcs included.
        area_std_m2: its standard error.
        area_without_m2: what the area would be without the suspects that stand alone; None without such.
        rows: every taped length in its order, then the sides that were worked out.
        suspects: lengths and squares that do not fit.
        redundancy: lengths beyond those needed.
        unit_error: size of the residuals against the stated accuracy, about 1 where it is right.
        findings: what the estimator should know.
        fit: the adjustment.
    """

    points: Floats
    std_m: tuple[float, ...]
    area_m2: float
    area_std_m2: float
    area_without_m2: float | None
    rows: tuple[Row, ...]
    suspects: tuple[Suspect, ...]
    redundancy: int
    unit_error: float
    findings: tuple[Finding, ...]
    fit: Fit


@dataclass(frozen=True, slots=True, kw_only=True)
class Rises:
    """Arc rises of the sides, (n,), positive out of the floor, 0 for straight ones; their standard errors."""

    out_m: Floats
    std_m: Floats

    @classmethod
    def none(cls, count: int) -> Rises:
        """All sides straight."""
        return cls(out_m=np.zeros(count), std_m=np.zeros(count))


def solve(
    network: Network,
    *,
    clockwise: bool,
    rises: Rises | None = None,
    inward: frozenset[str] | None = None,
    feet: bool = True,
) -> Solved:
    """Corners, areas and errors of a taped sketch.

    Args:
        network: what was taped.
        clockwise: the way round in which the corners are listed.
        rises: arcs of the sides; None for straight sides.
        inward: corners that stand in, where the sketch says so.
        feet: the tape is marked in feet and inches (for the words on a misread length).

    Raises:
        Unsolved: too few lengths, lengths that make no figure, or more than one figure.
    """
    _must_be_enough(network)
    broken = broken_triangles(network)
    if broken and len(network) <= network.needed:
        raise Unsolved(broken)
    fit = choose(network, clockwise=clockwise, inward=inward)
    arcs = rises or Rises.none(network.corner_count)
    snooped = snoop(network, fit, feet=feet)
    widened = _widening(fit)
    n = network.corner_count
    shape = enclosed(fit.points[:n], arcs.out_m)
    std = area_std_m2(shape, widened**2 * fit.covariance[: 2 * n, : 2 * n], arcs.std_m)
    alone = any(suspect.alone for suspect in snooped.suspects)
    return Solved(
        points=fit.points,
        std_m=tuple(widened * fit.std_m(k) for k in range(len(fit.points))),
        area_m2=shape.area_m2,
        area_std_m2=std,
        area_without_m2=enclosed(snooped.without.points[:n], arcs.out_m).area_m2 if alone else None,
        rows=_rows(network, fit, widened),
        suspects=snooped.suspects,
        redundancy=fit.redundancy,
        unit_error=fit.unit_error,
        findings=(*broken, *_findings(network, fit, snooped, arcs)),
        fit=fit,
    )


def _must_be_enough(network: Network) -> None:
    if len(network.names) > MOST_POINTS or len(network) > MOST_TIES:
        raise Unsolved(
            Finding(
                code="tape-too-large",
                figures={"points": str(len(network.names)), "most": str(MOST_POINTS), "ties": str(MOST_TIES)},
            )
        )
    open_ = freedom(network)
    if open_.missing:
        raise Unsolved(
            Finding(
                code="tape-loose",
                about=open_.loose,
                figures={
                    "missing": str(open_.missing),
                    "corners": ", ".join(open_.loose),
                    "next": ", ".join("-".join(tie) for tie in open_.next_ties),
                },
            )
        )
    long = _too_long_side(network)
    if long:
        raise Unsolved(long)


def _too_long_side(network: Network) -> Finding | None:
    """A side longer than all others together, where every side was taped."""
    n, tied = network.corner_count, network.tied()
    sides = [tied.get((min(i, (i + 1) % n), max(i, (i + 1) % n))) for i in range(n)]
    if any(side is None for side in sides):
        return None
    lengths = [side for side in sides if side is not None]
    worst = int(np.argmax(lengths))
    others = sum(lengths) - lengths[worst]
    if lengths[worst] <= others:
        return None
    ends = network.corners[worst], network.corners[(worst + 1) % n]
    return Finding(
        code="tape-side-too-long",
        about=ends,
        figures={"side": "-".join(ends), "length_m": lengths[worst], "others_m": others},
    )


def broken_triangles(network: Network) -> tuple[Finding, ...]:
    """Triples of taped lengths of which one is longer than the other two together, beyond the tape's error.

    Source: Euclid I.20; three lengths of which the longest exceeds the sum of the others make no triangle.
    """
    tied = network.tied()
    std = {}
    for (i, j), s in zip(network.ends.tolist(), network.stds.tolist(), strict=False):
        std[min(i, j), max(i, j)] = s
    near: list[set[int]] = [set() for _ in network.names]
    for i, j in tied:
        near[i].add(j)
        near[j].add(i)
    found = []
    for i, j in sorted(tied):
        for k in sorted(near[i] & near[j]):
            if k > j:
                sides = sorted(((i, j), (i, k), (j, k)), key=lambda pair: tied[pair])
                over = tied[sides[2]] - tied[sides[0]] - tied[sides[1]]
                if over > 4.0 * float(np.hypot(std[sides[0]], np.hypot(std[sides[1]], std[sides[2]]))):
                    found.append(_broken(network, sides, [tied[s] for s in sides], over))
    return tuple(found)


def _broken(network: Network, sides: list[tuple[int, int]], lengths: list[float], over_m: float) -> Finding:
    names = ["-".join(network.names[k] for k in side) for side in sides]
    corners = sorted({k for side in sides for k in side})
    return Finding(
        code="tape-triangle-broken",
        about=tuple(network.names[k] for k in corners),
        figures={
            "long": names[2], "one": names[0], "two": names[1],
            "long_m": lengths[2], "one_m": lengths[0], "two_m": lengths[1], "over_m": over_m,
        },
    )  # fmt: skip


def _widening(fit: Fit) -> float:
    """Factor on the standard errors: 1 unless the lengths contradict the stated accuracy."""
    return fit.unit_error if fit.chi2 > chi2_limit(fit.redundancy) else 1.0


def _rows(network: Network, fit: Fit, widened: float) -> tuple[Row, ...]:
    rows = []
    for k, (tie, (i, j)) in enumerate(zip(network.ties, network.ends.tolist(), strict=True)):
        rows.append(
            Row(
                start=tie.start,
                end=tie.end,
                taped_m=tie.length_m,
                fitted_m=tie.length_m + float(fit.misfits[k]),
                std_m=widened * spread_m(fit, i, j),
                residual_m=float(fit.misfits[k]),
                standardised=float(fit.standardised[k]),
                redundancy=float(fit.redundancies[k]),
            )
        )
    n, tied = network.corner_count, network.tied()
    for i in range(n):
        j = (i + 1) % n
        if (min(i, j), max(i, j)) not in tied:
            length = float(np.hypot(*(fit.points[j] - fit.points[i])))
            std = widened * spread_m(fit, i, j)
            rows.append(
                Row(start=network.names[i], end=network.names[j], taped_m=None, fitted_m=length, std_m=std)
            )
    return tuple(rows)


def _findings(network: Network, fit: Fit, snooped: Snooped, arcs: Rises) -> list[Finding]:
    out: list[Finding] = []
    if fit.redundancy == 0:
        std = float(np.median(network.stds[: len(network.ties)]))
        ties = best_checks(network, fit, arcs.out_m, std, count=2)
        names = ", ".join("-".join(pair) for pair, _ in ties)
        code = "tape-unchecked" if names else "tape-unchecked-triangle"
        out.append(Finding(code=code, figures={"count": str(len(network)), "next": names}))
    else:
        out += _unchecked_ties(network, fit)
    out += _suspect_findings(network, snooped)
    out += _weak_corners(network, fit)
    if not snooped.suspects and fit.chi2 > chi2_limit(fit.redundancy):
        std = float(np.median(network.stds[: len(network.ties)]))
        out.append(Finding(code="tape-rougher", figures={"stated_m": std, "seen_m": std * fit.unit_error}))
    for k, tie in enumerate(network.ties):
        if abs(fit.misfits[k]) > RESIDUAL_AMBER_M and not snooped.suspects:
            names = "-".join((tie.start, tie.end))
            out.append(
                Finding(
                    code="tape-misfit",
                    about=(tie.start, tie.end),
                    figures={"tie": names, "residual_m": abs(float(fit.misfits[k]))},
                )
            )
    return out


def _unchecked_ties(network: Network, fit: Fit) -> list[Finding]:
    """Lengths of a braced sketch that no other length checks."""
    names = [
        f"{tie.start}-{tie.end}" for k, tie in enumerate(network.ties) if fit.redundancies[k] <= CHECKED_ABOVE
    ]
    return [Finding(code="tape-part-unchecked", figures={"ties": ", ".join(names)})] if names else []


def _suspect_findings(network: Network, snooped: Snooped) -> list[Finding]:
    """One for each suspect that stands alone, one together for those that cannot be told apart."""
    out = []
    for suspect in snooped.suspects:
        if suspect.alone:
            out.append(_suspect_finding(network, suspect))
    together = [_name(network, s.observation) for s in snooped.suspects if not s.alone]
    if together:
        out.append(Finding(code="tape-suspects", figures={"ties": ", ".join(together)}))
    return out


def _suspect_finding(network: Network, suspect: Suspect) -> Finding:
    name, k = _name(network, suspect.observation), suspect.observation
    if k < len(network.ties):
        tie = network.ties[k]
        why = suspect.misreading.why if suspect.misreading else "no usual misreading"
        figures: dict[str, float | str] = {
            "tie": name, "taped_m": tie.length_m, "expected_m": suspect.expected,
            "off_m": abs(tie.length_m - suspect.expected), "why": why,
        }  # fmt: skip
        return Finding(code="tape-suspect", about=(tie.start, tie.end), figures=figures)
    k -= len(network.ties)
    if k < len(network.squares):
        off: dict[str, float | str] = {
            "corner": network.squares[k],
            "off_deg": abs(float(np.degrees(suspect.expected))),
        }
        return Finding(code="tape-not-square", about=(network.squares[k],), figures=off)
    on = network.on_sides[k - len(network.squares)]
    away: dict[str, float | str] = {
        "point": on[0],
        "side": "-".join(on[1:]),
        "off_m": abs(suspect.expected),
    }
    return Finding(code="tape-not-on-side", about=(on[0],), figures=away)


def _name(network: Network, observation: int) -> str:
    if observation < len(network.ties):
        tie = network.ties[observation]
        return f"{tie.start}-{tie.end}"
    observation -= len(network.ties)
    if observation < len(network.squares):
        return f"the square at {network.squares[observation]}"
    return f"{network.on_sides[observation - len(network.squares)][0]} on its side"


def _weak_corners(network: Network, fit: Fit) -> list[Finding]:
    """Points at which no two lengths (or a length and a square or side) cross at a good angle."""
    held: list[list[Floats]] = [[] for _ in network.names]
    slopes = network.slopes(fit.points)
    for row in slopes:
        for k in np.flatnonzero(np.hypot(row[::2], row[1::2])).tolist():
            held[k].append(row[2 * k : 2 * k + 2] / np.hypot(*row[2 * k : 2 * k + 2]))
    limit = np.sin(np.radians(WEAK_ANGLE_DEG))
    out = []
    for k, units in enumerate(held):
        best = max((abs(float(a[0] * b[1] - a[1] * b[0])) for a, b in combinations(units, 2)), default=1.0)
        if best < limit:
            figures: dict[str, float | str] = {
                "corner": network.names[k],
                "angle_deg": float(np.degrees(np.arcsin(best))),
                "std_m": fit.std_m(k),
            }
            out.append(Finding(code="tape-weak-corner", about=(network.names[k],), figures=figures))
    return out

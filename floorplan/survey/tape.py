"""Sides and diagonals to corners: the whole of a taped sketch in one call.

The first corner lies at the origin and the first side along the x axis. The stated accuracy of the tape is
taken as it is; only where the lengths plainly contradict it (one chance in a thousand) are the standard
errors widened to match.
"""

from __future__ import annotations

import numpy as np

from ..geometry.arcs import Floats
from ..values import dataclass
from .adjust import Fit
from .blunders import Suspect, snoop, spread_m
from .choosing import choose
from .enclosed import area_std_m2, enclosed
from .findings import Finding, Unsolved
from .limits import chi2_limit
from .network import Network
from .rigidity import freedom
from .sheet_findings import sheet_findings
from .triangles import broken_triangles, too_long_side

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
        findings=(*broken, *sheet_findings(network, fit, snooped, arcs.out_m)),
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
    long = too_long_side(network)
    if long:
        raise Unsolved(long)


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

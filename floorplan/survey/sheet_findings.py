"""What a fitted tape sheet has to tell: what nothing checks, what does not fit, which corners are weak."""

from __future__ import annotations

from itertools import combinations

import numpy as np

from ..geometry.arcs import Floats
from .adjust import CHECKED_ABOVE, Fit
from .blunders import Snooped, Suspect
from .findings import Finding
from .limits import RESIDUAL_AMBER_M, WEAK_ANGLE_DEG, chi2_limit
from .network import Network
from .rigidity import best_checks


def sheet_findings(network: Network, fit: Fit, snooped: Snooped, rises_out_m: Floats) -> list[Finding]:
    """What the estimator should know of a fitted sheet, the most telling first."""
    out: list[Finding] = []
    if fit.redundancy == 0:
        std = float(np.median(network.stds[: len(network.ties)]))
        ties = best_checks(network, fit, rises_out_m, std, count=2)
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

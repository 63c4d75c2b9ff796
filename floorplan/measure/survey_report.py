"""How a walk or a tape sheet fitted, as the values that the takeoff carries."""

from __future__ import annotations

from ..survey.blunders import Suspect as Misfit
from ..survey.limits import Grade, residual_grade
from ..survey.network import Network
from ..survey.tape import Row, Solved
from ..survey.walk import Walked
from .model import Measurement, SurveyReport, Suspect

UNCHECKED_BELOW = 0.05
"""A redundancy number under this: nineteen twentieths of a misreading there would not show."""


def walk_report(labels: tuple[str, ...], found: Walked) -> SurveyReport:
    """Each side as walked and as it is once the gap was spread."""
    rows = []
    for k, (start, end) in enumerate(zip(labels, labels[1:] + labels[:1], strict=True)):
        walked, fitted = float(found.closed.lengths_m[k]), float(found.lengths_m[k])
        if k in found.closed.found_lengths:
            status, note = "inferred", "length from closing"
        else:
            status = _status(fitted - walked)
            note = "direction from closing" if k in found.closed.found_trains else ""
        rows.append(
            Measurement(
                start=start,
                end=end,
                taped_m=walked,
                fitted_m=fitted,
                residual_m=fitted - walked,
                status=status,
                note=note,
                std_m=found.side_std_m[k],
            )
        )
    suspects = tuple(
        Suspect(
            start=labels[doubt.leg],
            end=labels[(doubt.leg + 1) % len(labels)],
            taped_m=float(found.closed.lengths_m[doubt.leg]),
            likely_m=doubt.true_m,
            why=doubt.why,
        )
        for doubt in found.doubts
    )
    return SurveyReport(
        method="walk",
        measurements=tuple(rows),
        suspects=suspects,
        closure_gap_m=found.gap_m if found.redundancy else None,
        closure_ratio=found.ratio if found.redundancy else None,
        redundancy=found.redundancy,
        as_walked_m=tuple((float(x), float(y)) for x, y in found.as_walked),
    )


def tape_report(network: Network, found: Solved) -> SurveyReport:
    """Each length as taped and as fitted, sides that were worked out, and what does not fit."""
    suspects = [
        _suspect(network, misfit) for misfit in found.suspects if misfit.observation < len(network.ties)
    ]
    doubted = {(suspect.start, suspect.end) for suspect in suspects}
    return SurveyReport(
        method="tape",
        measurements=tuple(_measurement(row, (row.start, row.end) in doubted) for row in found.rows),
        suspects=tuple(suspects),
        redundancy=found.redundancy,
        area_without_suspect_m2=found.area_without_m2,
    )


def _measurement(row: Row, doubted: bool) -> Measurement:
    status, note = "inferred", "worked out"
    if row.taped_m is not None:
        status, note = _status(row.residual_m), "" if row.redundancy > UNCHECKED_BELOW else "not checked"
    return Measurement(
        start=row.start,
        end=row.end,
        taped_m=row.fitted_m if row.taped_m is None else row.taped_m,
        fitted_m=row.fitted_m,
        residual_m=row.residual_m,
        standardised=row.standardised,
        status=status,
        note="suspect" if doubted else note,
        std_m=row.std_m,
    )


def _status(residual_m: float) -> str:
    return "taped" if residual_grade(residual_m) is Grade.GREEN else "adjusted"


def _suspect(network: Network, misfit: Misfit) -> Suspect:
    tie = network.ties[misfit.observation]
    why = misfit.misreading.why if misfit.misreading else "does not fit, and no usual misreading explains it"
    if not misfit.alone:
        why = f"one of several that the lengths cannot tell apart; {why}"
    return Suspect(
        start=tie.start,
        end=tie.end,
        taped_m=tie.length_m,
        likely_m=misfit.misreading.true_m if misfit.misreading else misfit.expected,
        why=why,
    )

"""What `check` says: the plan as it was understood, how its measurements fit, and what is doubtful."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..measure.smooth import listed_edges
from ..units.figures import Figures
from .columns import aligned, shortened

if TYPE_CHECKING:
    from ..measure.model import Measurement, SlabTakeoff, SurveyReport, Takeoff


def check_text(takeoff: Takeoff) -> str:
    """Each slab in a few lines; for a taped or walked slab also every length beside the fitted one."""
    figures = Figures(takeoff.plan.units)
    lines = [f"{takeoff.plan.title or 'plan'}: no faults"]
    for slab in takeoff.slabs:
        lines += ["", *_slab(slab, figures)]
    count = len(takeoff.notices)
    lines += ["", "no warnings" if not count else f"{count} warning{'s' if count > 1 else ''}, below"]
    return "\n".join(lines) + "\n"


def _slab(slab: SlabTakeoff, figures: Figures) -> list[str]:
    rows: list[tuple[str, ...]] = [
        ("net area", figures.area(slab.net_area_m2)),
        ("corners", str(len(slab.corners))),
    ]
    rows += [
        (f"side {edge.label}", figures.length(edge.length_m), edge.kind, _arc(edge.rise_m, figures))
        for edge in listed_edges(slab)
        if edge.side is not None
    ]
    cutouts = [c.name for c in slab.cutouts]
    if cutouts:
        rows.append(("cut-outs", str(len(cutouts)), shortened(cutouts)))
    lines = [slab.name, *aligned(rows, "lrll")]
    if slab.survey is not None:
        lines += _survey(slab, slab.survey, figures)
    return lines


def _arc(rise_m: float, figures: Figures) -> str:
    return f"arc, rise {figures.length(rise_m)}" if rise_m else ""


def _survey(slab: SlabTakeoff, survey: SurveyReport, figures: Figures) -> list[str]:
    lines = [f" Measured by {survey.method}{_checked(survey)}", *(f"  {remark}" for remark in survey.remarks)]
    if survey.closure_gap_m is not None:
        ratio = f", 1 in {survey.closure_ratio:.0f} of the perimeter" if survey.closure_ratio else ""
        lines.append(f"  closes within {_fine(figures).length(survey.closure_gap_m)}{ratio}")
    if survey.measurements:
        rows: list[tuple[str, ...]] = [("from", "to", "taped", "fitted", "±", "off by", "")]
        rows += [_measurement(m, figures) for m in survey.measurements]
        lines += aligned(rows, "llrrrrl")
    if survey.closure_gap_m:
        lines += ["  corners as walked, and with the gap spread", *_corners(slab, survey, figures)]
    lines.append(f"  area standard error {figures.area(slab.area_std_m2)}")
    for suspect in survey.suspects:
        likely = figures.length(suspect.likely_m)
        lines.append(f"  suspect {suspect.start}-{suspect.end}: likely {likely}; {suspect.why}")
    if survey.area_without_suspect_m2 is not None:
        lines.append(f"  without it the outline holds {figures.area(survey.area_without_suspect_m2)}")
    return lines


def _checked(survey: SurveyReport) -> str:
    """How many of the measurements check the others."""
    if not survey.measurements:
        return ""
    return f", {survey.redundancy} more than needed" if survey.redundancy else ", nothing checks it"


def _fine(figures: Figures) -> Figures:
    # Residuals are smaller than the display step of a length, so they are shown to 1/16 in or 1 mm.
    return Figures(figures.style, parts=16)


def _measurement(m: Measurement, figures: Figures) -> tuple[str, ...]:
    off = _fine(figures).length(m.residual_m) if m.status != "inferred" else ""
    taped = figures.length(m.taped_m) if m.status != "inferred" else "~"
    note = m.note or ("adjusted" if m.status == "adjusted" else "")
    return (m.start, m.end, taped, figures.length(m.fitted_m), _fine(figures).length(m.std_m), off, note)


def _corners(slab: SlabTakeoff, survey: SurveyReport, figures: Figures) -> list[str]:
    """Each corner of a walk before and after; last where the walk ended."""
    rows: list[tuple[str, ...]] = [("", "walked x", "y", "spread x", "y")]
    first = slab.corners[0]
    ends = (*slab.corners, first)
    for corner, walked in zip(ends, survey.as_walked_m, strict=False):
        where = (*walked, corner.x_m, corner.y_m)
        rows.append((corner.label, *(figures.length(value) for value in where)))
    return aligned(rows, "lrrrr")

"""The figures and names that stand on a drawing."""

from __future__ import annotations

from typing import Final

from ..measure.model import Edge, MeasuredCutout, SlabTakeoff
from ..plan.model import EdgeKind, OutlineShape, TapeShape, WalkShape
from ..units.factors import CM_M, FOOT_M, MM_M
from ..units.figures import Figures
from ..units.length import Length, UnitStyle
from ..units.rounding import decimal_text
from ..values import replace

UNKNOWN = "unknown"

_UNIT_WORDS = {
    UnitStyle.FT_IN: "feet and inches",
    UnitStyle.FT: "feet",
    UnitStyle.IN: "inches",
    UnitStyle.M: "metres",
    UnitStyle.CM: "centimetres",
    UnitStyle.MM: "millimetres",
}


def units_words(style: UnitStyle) -> str:
    """What the figures of the drawing are in."""
    return _UNIT_WORDS[style]


_INCH_MARKS: Final = ("in", "ft", '"', "'", "″", "′", "”", "’")


def measure(length_m: float, figures: Figures) -> str:
    """A length as it stands on a dimension line: without its unit where the title block says it."""
    text = figures.length(length_m)
    return text if figures.style in (UnitStyle.FT_IN, UnitStyle.IN) else text.rsplit(" ", 1)[0]


def typed(length: Length | None, figures: Figures) -> str:
    """A length in the user's own words, else as measured; "" for none.

    On a metric sheet, inches (those of the shipped edge kinds and grinder too) stand as millimetres.
    """
    if length is None:
        return ""
    text = length.text.strip()
    if not figures.is_us and any(mark in text for mark in _INCH_MARKS):
        return f"{decimal_text(length.m / MM_M, 0)} mm"
    return text or measure(length.m, figures)


def coarse_measure(length_m: float, figures: Figures) -> str:
    """A length for those who do not build: to the inch, the tenth of a foot or the centimetre."""
    if figures.style in (UnitStyle.FT_IN, UnitStyle.IN):
        return measure(length_m, replace(figures, parts=1))
    if figures.style is UnitStyle.MM:
        return measure(round(length_m, 2), figures)
    per_unit, digits = {UnitStyle.FT: (FOOT_M, 1), UnitStyle.CM: (CM_M, 0)}.get(figures.style, (1.0, 2))
    return decimal_text(length_m / per_unit, digits)


def side_lengths(slab: SlabTakeoff, figures: Figures, *, coarse: bool = False) -> dict[int, str]:
    """The figure of each side's dimension, its chord, as taped where it was.

    "~" stands before one that was never taped, "*" behind one moved farther than the tape can be off.

    `coarse` figures are rounded for those who do not build; what was taped is rounded too.
    """
    taped = {} if coarse else _taped(slab)
    inferred, moved = _of_status(slab, "inferred"), _of_status(slab, "adjusted")
    texts: dict[int, str] = {}
    for edge in slab.edges:
        if edge.side is None:
            continue
        fitted = (coarse_measure if coarse else measure)(edge.chord_m, figures)
        if edge.label in inferred:
            texts[edge.side] = f"~{fitted}"
        elif edge.label in moved and not coarse:
            texts[edge.side] = f"{fitted}*"
        else:
            texts[edge.side] = taped.get(edge.label) or fitted
    return texts


def _taped(slab: SlabTakeoff) -> dict[str, str]:
    shape = slab.slab.shape
    if isinstance(shape, TapeShape):
        rows = [(tie.start, tie.end, tie.length) for tie in shape.ties]
        return {f"{a}-{b}": length.text for s, e, length in rows if length.text for a, b in ((s, e), (e, s))}
    if isinstance(shape, WalkShape):
        after = [leg.label for leg in shape.legs[1:]] + [shape.legs[0].label]
        return {
            f"{leg.label}-{end}": leg.length.text
            for leg, end in zip(shape.legs, after, strict=True)
            if leg.length is not None and leg.length.text
        }
    return {}


def _of_status(slab: SlabTakeoff, status: str) -> frozenset[str]:
    """Sides, named either way, whose measurement has a status."""
    if slab.survey is None:
        return frozenset()
    rows = [m for m in slab.survey.measurements if m.status == status]
    return frozenset(f"{a}-{b}" for m in rows for a, b in ((m.start, m.end), (m.end, m.start)))


def arc_words(slab: SlabTakeoff, edge: Edge, figures: Figures) -> str:
    """Length, rise and radius of an arc side; the user's own words for what he typed."""
    shape = slab.slab.shape
    rise, radius = measure(edge.rise_m, figures), measure(edge.radius_m, figures)
    if isinstance(shape, OutlineShape) and edge.side is not None and edge.side < len(shape.sides):
        arc = shape.sides[edge.side].arc
        if arc is not None:
            rise, radius = typed(arc.rise, figures) or rise, typed(arc.radius, figures) or radius
    return f"arc {measure(edge.length_m, figures)}, rise {rise}, R {radius}"


def edge_words(edge: Edge, kinds: dict[str, EdgeKind], figures: Figures) -> str:
    """Name of an edge on the crew's drawing: what stands there, and how high it is masked."""
    kind = kinds.get(edge.kind)
    height = f", mask {typed(kind.mask_height, figures)}" if kind and kind.mask and kind.mask_height else ""
    return f"{edge.kind.upper()}{height}"


def cutout_words(cutout: MeasuredCutout) -> list[str]:
    """Name and size of a cut-out, the size on its own line."""
    return [cutout.name, *([cutout.size_text] if cutout.size_text else [])]

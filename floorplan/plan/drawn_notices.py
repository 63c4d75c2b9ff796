"""What is told about a slab from a drawing: what was mended, chosen, left out; and why none came."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ..errors import Fault, Notice
from ..foreign.drawing import Drawing
from ..foreign.gaps import Gap
from ..foreign.joining import stroke_lengths
from ..foreign.model import LeftOut, Source
from ..units.factors import INCH_M, MM_M
from ..units.figures import Figures

_MOST: Final = 6
_MOST_GAPS: Final = 10


def scale_without_paper(source: Source) -> Fault:
    """A scale of paper for a drawing that is on none."""
    return Fault(
        code="drawing-scale-unused",
        text=f"{source.name}: only an SVG lies on paper; this drawing has no scale, but a unit",
        hint='write units = "ft" or the like in place of scale, or one taped length, known = "A-B = 24\'"',
    )


def mended(drawing: Drawing, unit_m: float, figures: Figures) -> Iterator[Notice]:
    """Gaps that were closed, lines drawn twice, loops too small to be anything."""
    where, joined = drawing.source.name, drawing.joined
    for gap in joined.gaps[:_MOST_GAPS]:
        text = f"closed a gap of {_gap(gap, unit_m, figures)}"
        yield Notice(code="drawing-gap-closed", text=text, where=where)
    if len(joined.gaps) > _MOST_GAPS:
        text = f"closed {len(joined.gaps) - _MOST_GAPS} narrower gaps"
        yield Notice(code="drawing-gap-closed", text=text, where=where)
    twice = joined.repeated + int(drawing.nest.repeated.sum())
    if twice:
        text = f"{_count(twice, 'line')} drawn twice; counted once"
        yield Notice(code="drawing-drawn-twice", text=text, where=where)
    if drawing.dropped:
        text = f"{_count(drawing.dropped, 'loop')} too thin to be anything; dropped"
        yield Notice(code="drawing-loop-dropped", text=text, where=where)


def left_out(rows: Sequence[LeftOut], where: str) -> Iterator[Notice]:
    """One line that counts what was not used, by kind and layer."""
    if not rows:
        return
    count: Counter[tuple[str, str]] = Counter()
    for row in rows:
        count[row.kind, row.layer] += row.count
    told = [f"{n} {kind} on {layer}" for (kind, layer), n in count.most_common(_MOST)]
    more = sum(count.values()) - sum(n for _, n in count.most_common(_MOST))
    text = "left out: " + "; ".join(told) + (f"; {more} more" if more else "")
    yield Notice(code="drawing-left-out", text=text, where=where)


def hidden(drawing: Drawing, used: NDArray[np.bool_]) -> Iterator[Notice]:
    """Line work on layers that are off or frozen, which was not used."""
    source = drawing.source
    count = np.bincount(source.strokes.layer, minlength=len(source.layers))
    told = [
        f"{n} on {layer.name}"
        for layer, n, chosen in zip(source.layers, count.tolist(), used.tolist(), strict=True)
        if layer.hidden and n and not chosen
    ]
    if told:
        text = f"lines on layers that are off or frozen were not used: {', '.join(told[:_MOST])}"
        yield Notice(code="drawing-hidden-layers", text=text, where=source.name)


def others(drawing: Drawing, chosen: int, unit_m: float, figures: Figures) -> Iterator[Notice]:
    """Other outlines that were not taken, and how to take them."""
    rest = [k for k in drawing.outlines() if k != chosen and int(drawing.nest.parent[k]) < 0]
    if not rest:
        return
    area = drawing.loops.signed_areas() * unit_m * unit_m
    numbers = {k: n for n, k in enumerate(drawing.outlines(), 1)}
    told = [f"{numbers[k]}: {figures.area(float(area[k]))}{_called(drawing, k)}" for k in rest[:_MOST]]
    more = f"; {len(rest) - _MOST} more" if len(rest) > _MOST else ""
    text = (
        f"{_count(len(rest), 'other outline')} not used ({'; '.join(told)}{more}); to take one, write its"
        ' number or name, such as pick = "2"'
    )
    yield Notice(code="drawing-other-outlines", text=text, where=drawing.source.name)


def islands(drawing: Drawing, holes: Iterable[int]) -> Iterator[Notice]:
    """Floor inside cut-outs, which is a slab of its own."""
    count = sum(len(drawing.inside(hole)) for hole in holes)
    if count:
        text = (
            f"{_count(count, 'outline')} inside cut-outs not used; if it is floor, make it a slab of its own"
        )
        yield Notice(code="drawing-islands", text=text, where=drawing.source.name)


def loose_lines(
    drawing: Drawing, spoken_for: NDArray[np.bool_], unit_m: float, figures: Figures
) -> Iterator[Notice]:
    """Lines that bound nothing and have no other use, by layer."""
    length = stroke_lengths(drawing.strokes) * unit_m
    count: Counter[str] = Counter()
    total = 0.0
    for k in drawing.open_strokes():
        layer = int(drawing.strokes.layer[k])
        if not spoken_for[layer]:
            count[drawing.source.layers[layer].name] += 1
            total += float(length[k])
    if not count:
        return
    told = ", ".join(f"{n} on {layer}" for layer, n in count.most_common(_MOST))
    text = (
        f"{_count(sum(count.values()), 'line')} bound nothing and were not used ({told};"
        f" {figures.run(total)} in all); where they are joints, name their layer:"
        ' joints = "NAME" in a plan, --joints NAME for convert'
    )
    yield Notice(code="drawing-loose-lines", text=text, where=drawing.source.name)


def texts(drawing: Drawing, chosen: int) -> Iterator[Notice]:
    """Several texts in the outline: which is its name is not certain."""
    words = drawing.names[chosen].split("; ")
    if len(words) > 1:
        text = f"{len(words)} texts stand in the outline: {drawing.names[chosen][:200]}"
        yield Notice(code="drawing-labels", text=text, where=drawing.source.name)


def nothing_closes(drawing: Drawing, unit_m: float | None, snap_m: float, figures: Figures) -> Fault:
    """The fault of line work that encloses nothing: the nearest free ends, and what would close them."""
    source = drawing.source
    layers = Counter(source.layers[int(i)].name for i in drawing.strokes.layer.tolist())
    told = ", ".join(f"{n} on {layer}" for layer, n in layers.most_common(_MOST))
    text = f"{source.name}: its {_count(len(drawing.strokes), 'line')} ({told}) enclose no floor"
    hint = "close the outline in the drawing"
    if drawing.joined.left_gaps:
        gap = drawing.joined.left_gaps[0]
        text += f"; its nearest free ends are {_gap(gap, unit_m, figures)} apart"
        if unit_m is None:
            hint = f"say the unit, so that gaps up to {figures.length(snap_m)} are closed, or {hint}"
        else:
            wide = figures.length(_next_up(gap.width * unit_m, figures))
            hint += f', or write snap = "{wide.replace(chr(34), " in")}" if the gap is not meant'
    return Fault(code="drawing-nothing-closes", text=text, hint=hint)


def no_such_outline(drawing: Drawing, pick: str, found: Sequence[int]) -> Fault:
    """The fault of a pick that fits none, or several."""
    numbers = {k: n for n, k in enumerate(drawing.outlines(), 1)}
    shown = list(found) or drawing.outlines()
    told = "; ".join(f"{numbers[k]}{_called(drawing, k)} on {drawing.layer_name(k)}" for k in shown[:_MOST])
    more = f"; {len(shown) - _MOST} more" if len(shown) > _MOST else ""
    fits = f"fits {len(found)} outlines" if found else "fits no outline"
    return Fault(
        code="drawing-pick",
        text=f"{drawing.source.name}: pick = {pick!r} {fits}",
        hint=f"outlines, largest first: {told}{more}",
    )


def _next_up(width_m: float, figures: Figures) -> float:
    """The width rounded up to what the figures can show."""
    step = INCH_M / figures.parts if figures.is_us else MM_M
    return step * math.ceil(width_m / step - 1e-6)


def _gap(gap: Gap, unit_m: float | None, figures: Figures) -> str:
    """A gap's width, and where it is in the drawing's own coordinates."""
    at = f"at {_spot(gap.start)} and {_spot(gap.end)} in the drawing"
    if unit_m is None:
        return f"{gap.width:.4g} drawing units ({at})"
    width = gap.width * unit_m
    shown = figures.length(width)
    least = INCH_M / figures.parts if figures.is_us else MM_M
    return f"{'less than ' + figures.length(least) if width < least else shown} ({at})"


def _called(drawing: Drawing, k: int) -> str:
    return f" {drawing.names[k][:60]!r}" if drawing.names[k] else ""


def _spot(at: tuple[float, float]) -> str:
    return f"{at[0]:.10g}, {at[1]:.10g}"


def _count(n: int, word: str) -> str:
    return f"{n} {word}" if n == 1 else f"{n} {word}s"

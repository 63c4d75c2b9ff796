"""What `look` says of a drawing file: layers, unit, closed regions, what is not used and why."""

from __future__ import annotations

from collections import Counter
from itertools import islice
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from ..foreign.curves import CURVE_SHARE
from ..foreign.scale import Size, sizes, unit_of_dimensions
from ..units.factors import SQFT_M2
from ..units.figures import Figures
from .columns import aligned, shortened

if TYPE_CHECKING:
    from ..foreign.drawing import Drawing

_MOST_OUTLINES: Final = 20
_MOST_LAYERS: Final = 60
_MOST_ROWS: Final = 20
_FREE_CURVES: Final = ("ELLIPSE", "SPLINE", "HELIX", "ellipse")


def drawing_text(drawing: Drawing, unit_m: float | None, figures: Figures, *, corners: bool = False) -> str:
    """The whole report.

    Args:
        drawing: with its loops found.
        unit_m: metres for one drawing unit, None where it is not known.
        figures: writes lengths and areas.
        corners: list the corners of the largest outline with their letters.
    """
    source = drawing.source
    lines = [f"{source.name}: {source.form}", _unit_line(drawing, unit_m)]
    lines += ["", *_layers(drawing)]
    show = _Shown(drawing, unit_m, figures)
    lines += ["", *_outlines(drawing, show)]
    if unit_m is None and drawing.outlines():
        lines += [
            "",
            "with a unit of",
            *(f"  {line}" for line in sizes(_size(drawing, drawing.outlines()[0]))),
        ]
    if corners and drawing.outlines():
        lines += ["", *_corners(drawing, show)]
    for part in (_gaps(drawing, show), _curves(drawing), _loose(drawing), _left_out(drawing)):
        if part:
            lines += ["", *part]
    return "\n".join(lines) + "\n"


def drawing_json(drawing: Drawing, unit_m: float | None) -> dict[str, Any]:
    """The same as a document; areas and lengths in drawing units, and in metres where the unit is known."""
    source = drawing.source
    area, perimeter = drawing.loops.signed_areas(), drawing.loops.perimeters()
    counts = _per_layer(drawing)
    regions = [
        {
            "number": number,
            "layer": drawing.layer_name(k),
            "label": drawing.names[k],
            "area": float(area[k]),
            "area_m2": float(area[k]) * unit_m**2 if unit_m else None,
            "perimeter": float(perimeter[k]),
            "perimeter_m": float(perimeter[k]) * unit_m if unit_m else None,
            "box": drawing.loops.boxes()[k].tolist(),
            "cutouts": [
                {"layer": drawing.layer_name(c), "label": drawing.names[c], "area": float(area[c])}
                for c in drawing.inside(k)
            ],
            "crosses_itself_at": drawing.crossing(k),
        }
        for number, k in enumerate(islice(drawing.outlines(), 1000), 1)
    ]
    return {
        "made_by": "floorplan",
        "file": source.name,
        "format": source.form,
        "unit_m": unit_m,
        "unit_said": source.unit_said,
        "layers": [
            {"name": layer.name, "hidden": layer.hidden, "lines": counts[i][0], "closed": counts[i][1]}
            for i, layer in enumerate(source.layers)
        ],
        "outlines": regions,
        "gaps_closed": [gap.width for gap in drawing.joined.gaps],
        "nearest_free_ends": [
            {"width": gap.width, "from": gap.start, "to": gap.end} for gap in drawing.joined.left_gaps
        ],
        "left_out": [
            {"kind": row.kind, "layer": row.layer, "count": row.count, "why": row.why}
            for row in source.left_out
        ],
        "warnings": [
            {"code": n.code, "text": n.text, "where": n.where} for n in (*source.damage, *source.notices)
        ],
    }


class _Shown:
    """Writes areas and lengths in the user's units, or in drawing units where the unit is not known."""

    def __init__(self, drawing: Drawing, unit_m: float | None, figures: Figures) -> None:
        self._unit_m, self._figures = unit_m, figures
        self.area_of = drawing.loops.signed_areas()
        self.boxes = drawing.loops.boxes()

    def area(self, value: float) -> str:
        if self._unit_m is None:
            return f"{value:.6g} square units"
        square = value * self._unit_m**2
        digits = None if square >= SQFT_M2 else 3
        return str(self._figures.figure("area", square, digits))

    def length(self, value: float) -> str:
        return f"{value:.6g}" if self._unit_m is None else self._figures.length(value * self._unit_m)

    def box(self, k: int) -> str:
        x0, y0, x1, y1 = self.boxes[k].tolist()
        return f"{self.length(x1 - x0)} x {self.length(y1 - y0)}"


def _unit_line(drawing: Drawing, unit_m: float | None) -> str:
    source = drawing.source
    told = unit_of_dimensions(source.dimensions)
    said = f"unit: {source.unit_said}" if source.unit_said else "unit: the file does not say"
    if unit_m is not None and unit_m != source.unit_m:
        said += f"; read with {unit_m:g} m for one"
    if told:
        said += f"; its dimensions ({told[1].text} over {told[1].measured:g}) speak for {told[0]}"
    return said


def _per_layer(drawing: Drawing) -> list[tuple[int, int, int]]:
    """Lines, closed lines and texts on each layer."""
    source, count = drawing.source, len(drawing.source.layers)
    lines = np.bincount(source.strokes.layer, minlength=count)
    closed = np.bincount(source.strokes.layer[source.strokes.closed], minlength=count)
    texts = Counter(label.layer for label in source.labels)
    return [(int(lines[i]), int(closed[i]), texts[source.layers[i].name]) for i in range(count)]


def _layers(drawing: Drawing) -> list[str]:
    rows: list[tuple[str, ...]] = [("layer", "lines", "closed", "texts", "")]
    counts = _per_layer(drawing)
    used = [i for i, row in enumerate(counts) if any(row)]
    for i in used[:_MOST_LAYERS]:
        layer = drawing.source.layers[i]
        lines, closed, texts = (str(n) if n else "" for n in counts[i])
        rows.append((layer.name, lines, closed, texts, "off or frozen: not used" if layer.hidden else ""))
    shown = aligned(rows, "lrrrl", indent=0)
    if len(used) > _MOST_LAYERS:
        shown.append(f"and {len(used) - _MOST_LAYERS} more layers")
    return shown if used else ["no line work on any layer"]


def _outlines(drawing: Drawing, show: _Shown) -> list[str]:
    ranked = drawing.outlines()
    if not ranked:
        return ["nothing closes: no floor to measure"]
    lines = [
        "closed regions, largest first, less the cut-outs in them (pick takes one by number, name or layer)"
    ]
    rows = []
    for number, k in enumerate(ranked[:_MOST_OUTLINES], 1):
        holes = drawing.inside(k)
        taken = f"less {len(holes)}: {show.area(float(show.area_of[holes].sum()))}" if holes else ""
        words = f'"{drawing.names[k][:50]}"' if drawing.names[k] else ""
        remark = "in a cut-out" if int(drawing.nest.depth[k]) else ""
        if drawing.crossing(k):
            remark = "crosses itself"
        area = show.area(float(show.area_of[k]))
        rows.append((str(number), area, show.box(k), f"on {drawing.layer_name(k)}", words, taken, remark))
    lines += aligned(rows, "rrrllll")
    if len(ranked) > _MOST_OUTLINES:
        rest = float(show.area_of[ranked[_MOST_OUTLINES:]].sum())
        lines.append(f"  and {len(ranked) - _MOST_OUTLINES} more, {show.area(rest)} together")
    return lines


def _corners(drawing: Drawing, show: _Shown) -> list[str]:
    from ..plan.labels import letters

    ring = drawing.ring(drawing.outlines()[0])
    rows = [
        (label, f"{x:.8g}, {y:.8g}", f"to next {show.length(length)}", "arc" if bulge else "")
        for label, (x, y), length, bulge in zip(
            letters(), ring.points.tolist(), ring.chords_m.tolist(), ring.bulges.tolist(), strict=False
        )
    ]
    return ["corners of 1 (drawing units)", *aligned(rows, "llll")]


def _gaps(drawing: Drawing, show: _Shown) -> list[str]:
    def line(width: float, start: tuple[float, float], end: tuple[float, float]) -> str:
        return f"  {show.length(width)} at {start[0]:.8g}, {start[1]:.8g} and {end[0]:.8g}, {end[1]:.8g}"

    lines = []
    if drawing.joined.gaps:
        lines.append("gaps closed")
        lines += [line(gap.width, gap.start, gap.end) for gap in drawing.joined.gaps[:_MOST_ROWS]]
    if drawing.joined.left_gaps and not drawing.outlines():
        lines.append("nearest free ends")
        lines += [line(gap.width, gap.start, gap.end) for gap in drawing.joined.left_gaps]
    return lines


def _curves(drawing: Drawing) -> list[str]:
    """Curves that are no circles, and how near the arcs are that stand in for them."""
    kinds = Counter(drawing.source.kinds[k] for k in drawing.strokes.kind.tolist() if k >= 0)
    told = [f"{kinds[kind]} {kind}" for kind in _FREE_CURVES if kinds[kind]]
    if not told:
        return []
    return [f"{', '.join(told)}: read as chains of arcs within 1/{1.0 / CURVE_SHARE:,.0f} of their size"]


def _loose(drawing: Drawing) -> list[str]:
    count: Counter[str] = Counter()
    for k in drawing.open_strokes():
        count[drawing.source.layers[int(drawing.strokes.layer[k])].name] += 1
    if not count:
        return []
    told = shortened([f"{n} on {layer}" for layer, n in count.most_common()], 80)
    return [f"lines that bound nothing (joints?): {told}"]


def _left_out(drawing: Drawing) -> list[str]:
    rows = [(str(row.count), row.kind, f"on {row.layer}", row.why) for row in drawing.source.left_out]
    if not rows:
        return []
    rest = [f"  and {len(rows) - _MOST_ROWS} more kinds"] if len(rows) > _MOST_ROWS else []
    return ["left out", *aligned(rows[:_MOST_ROWS], "rlll"), *rest]


def _size(drawing: Drawing, k: int) -> Size:
    x0, y0, x1, y1 = drawing.loops.boxes()[k].tolist()
    return Size(float(drawing.loops.signed_areas()[k]), x1 - x0, y1 - y0)

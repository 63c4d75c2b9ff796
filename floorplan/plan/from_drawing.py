"""A slab from a drawing file: which loop is the floor, which are cut-outs, which lines are joints.

Reads the file through `foreign`, decides the unit, and gives typed corners with exact arcs. Whatever was
mended, chosen or left out goes along as a notice.
"""

from __future__ import annotations

from fnmatch import fnmatchcase
from typing import Final

import numpy as np

from ..errors import DrawingFileError, Fault, Notice
from ..foreign.drawing import Drawing, bounds_of, find_loops, no_line_work
from ..foreign.drawing_units import UNITS
from ..foreign.joining import stroke_lengths
from ..foreign.model import Source
from ..foreign.reader import load_source
from ..foreign.scale import Known, Scale, Size, scale_of
from ..foreign.strokes import Strokes
from ..foreign.svg import SCALE_STATED
from ..geometry.arcs import Floats
from ..geometry.rings import Ring
from ..units.factors import FOOT_M
from ..units.length import Length
from . import drawn_notices as told
from .drawn_edges import edge_kinds_of
from .drawn_forms import joint_lines_of, outline_of, together
from .drawn_holes import cutout_from, holes_of, metres
from .drawn_ours import as_ours, treatment_of
from .drawn_roles import Roles, figures_for, roles_of, snap_m, snap_of
from .labels import letters
from .model import Drawn, DxfSource, Joint, JointLines, Point

_FAR: Final = 100.0
"""A drawing that lies this many times its own size from its origin is moved to it."""

_DUST_M: Final = 1e-6
"""A joint line that is no longer than this is a point, and is passed over."""


def resolve(asked: DxfSource, source: Source | None = None) -> Drawn:
    """The slab that a `[slab.dxf]` table asks for.

    Args:
        asked: the table.
        source: the file as read already; None reads it.

    Raises:
        DrawingFileError: the file cannot be used as it is: with what is wrong and what would help.
    """
    if source is None:
        source = load_source(asked.file, name=asked.name, paper_scale=asked.paper_scale)
        if asked.paper_scale is not None and not source.unit_said.endswith(SCALE_STATED):
            raise DrawingFileError(told.scale_without_paper(source))
    asked = as_ours(asked, source)
    drawing, roles, scale = _read(asked, source)
    return _drawn(drawing, _pick(drawing, asked.pick), roles, asked, scale)


def resolve_all(asked: DxfSource, source: Source) -> tuple[Drawn, ...]:
    """A slab for every outline that stands in no other, largest first; else as `resolve`.

    Raises:
        DrawingFileError: see `resolve`.
    """
    asked = as_ours(asked, source)
    drawing, roles, scale = _read(asked, source)
    ranked = [k for k in drawing.outlines() if int(drawing.nest.parent[k]) < 0]
    return tuple(_drawn(drawing, k, roles, asked, scale, alone=False) for k in ranked)


def _read(asked: DxfSource, source: Source) -> tuple[Drawing, Roles, Scale]:
    """The loops, what the layers are for, and the unit, which decides how wide a gap is closed."""
    if not len(source.strokes) and source.hatches is None:
        raise DrawingFileError(no_line_work(source))
    roles = roles_of(source, asked)
    tentative = UNITS.get(asked.units, source.unit_m)
    drawing = _drawing(source, roles, asked, tentative)
    if not drawing.outlines():
        figures = figures_for(tentative or FOOT_M)
        raise DrawingFileError(told.nothing_closes(drawing, tentative, snap_m(asked.snap), figures))
    scale = _scale(drawing, _pick(drawing, asked.pick), asked)
    if scale.unit_m != tentative:
        drawing = _drawing(source, roles, asked, scale.unit_m)
    return drawing, roles, scale


def _drawing(source: Source, roles: Roles, asked: DxfSource, unit_m: float | None) -> Drawing:
    """Loops of the outline's layers; the outlines of hatches where no line work closes."""
    snap = snap_of(asked.snap, source, unit_m)
    drawing = find_loops(source, layers=roles.outline, texts=roles.texts, snap=snap, unit_m=unit_m)
    if drawing.outlines() or source.hatches is None:
        return drawing
    from_hatches = find_loops(
        source, layers=roles.outline, texts=roles.texts, snap=snap, unit_m=unit_m, hatches=True
    )
    return from_hatches if from_hatches.outlines() else drawing


def _pick(drawing: Drawing, pick: str) -> int:
    """The loop asked for: by its text, its number in size, a point in it, its layer; or the largest."""
    ranked = drawing.outlines()
    if not pick:
        return ranked[0]
    words = pick.strip().casefold()
    found = [k for k in ranked if words in drawing.names[k].casefold()]
    found = [k for k in found if words in drawing.names[k].casefold().split("; ")] or found
    if not found and words.isdecimal() and len(words) < 10 and 1 <= int(words) <= len(ranked):
        found = [ranked[int(words) - 1]]
    if not found:
        found = _around(drawing, pick)
    if not found:
        found = [k for k in ranked if fnmatchcase(drawing.layer_name(k).casefold(), words)]
    if len(found) == 1:
        return found[0]
    raise DrawingFileError(told.no_such_outline(drawing, pick, found))


def _around(drawing: Drawing, pick: str) -> list[int]:
    """The smallest outline around a point typed in drawing units, none where no point was typed."""
    try:
        x, y = (float(part) for part in pick.split(","))
    except ValueError:
        return []
    around = [k for k in drawing.outlines() if drawing.ring(k).contains((x, y))[0]]
    return around[-1:]


def _scale(drawing: Drawing, k: int, asked: DxfSource) -> Scale:
    ring = drawing.ring(k)
    x0, y0, x1, y1 = ring.bounds()
    known = None if asked.known is None else _known(ring, asked.known, drawing.source.name)
    return scale_of(drawing.source, Size(ring.area_m2, x1 - x0, y1 - y0), units=asked.units, known=known)


def _known(ring: Ring, known: tuple[str, str, Length], name: str) -> Known:
    """The taped length beside the drawn one; without corners it is of the longest side."""
    one, two, length = known
    shown = length.text or f"{length.m:g} m"
    if not one:
        return Known("the longest side", float(ring.chords_m.max()), length.m, shown)
    labels = [label for label, _ in zip(letters(), range(len(ring)), strict=False)]
    missing = [label for label in (one, two) if label not in labels]
    if missing or one == two:
        fault = Fault(
            code="known-corner",
            text=f"{name}: known = {one}-{two}: "
            + (f"there is no corner {missing[0]}" if missing else "its two corners are one"),
            hint=f"the corners are {labels[0]} to {labels[-1]}; `floorplan look --corners` lists them",
        )
        raise DrawingFileError(fault)
    a, b = (ring.points[labels.index(label)] for label in (one, two))
    return Known(f"{one}-{two}", float(np.hypot(*(a - b))), length.m, shown)


def _drawn(
    drawing: Drawing, k: int, roles: Roles, asked: DxfSource, scale: Scale, *, alone: bool = True
) -> Drawn:
    source, unit_m = drawing.source, scale.unit_m
    figures = figures_for(unit_m)
    shift, moved = _shift(source, unit_m)
    ring = drawing.ring(k)
    tolerance = max(drawing.snap, 4.0 * drawing.noise)
    kinds = edge_kinds_of(ring, source.strokes, roles.edges, tolerance)
    holes, cutout_notices = holes_of(drawing, k, roles, asked, unit_m)
    joints = _joints(source, roles, asked, unit_m, shift)
    notices = [
        *source.notices,
        *scale.notices,
        *moved,
        *_hatches_used(drawing),
        *told.mended(drawing, unit_m, figures),
        *told.left_out(source.left_out, source.name),
        *told.hidden(drawing, roles.outline),
        *told.texts(drawing, k),
        *(told.others(drawing, k, unit_m, figures) if alone else ()),
        *cutout_notices,
        *told.loose_lines(drawing, roles.spoken_for(), unit_m, figures),
    ]
    return Drawn(
        shape=outline_of(metres(ring, unit_m, shift), kinds, source.name),
        cutouts=together(cutout_from(hole, asked, roles, unit_m, shift) for hole in holes),
        joints=joints,
        notices=tuple(notices),
        name=drawing.names[k],
        unit_m=unit_m,
        unit_how=scale.how,
    )


def _shift(source: Source, unit_m: float) -> tuple[Floats, list[Notice]]:
    """How far the whole drawing is moved, metres: to its origin when it lies far from it."""
    x0, y0, x1, y1 = (value * unit_m for value in bounds_of(source.strokes))
    size = max(x1 - x0, y1 - y0)
    if max(abs(x0), abs(y0)) <= _FAR * size:
        return np.zeros(2), []
    text = (
        f"its line work lies {max(abs(x0), abs(y0)):,.0f} m from its origin; moved by {-x0:.3f}, {-y0:.3f} m"
    )
    return np.array((-x0, -y0)), [Notice(code="drawing-moved", text=text, where=source.name)]


def _hatches_used(drawing: Drawing) -> list[Notice]:
    kinds = {drawing.source.kinds[k] for k in np.unique(drawing.strokes.kind).tolist()}
    if kinds != {"HATCH"}:
        return []
    text = "no line work closes; the outlines of its hatches were used instead"
    return [Notice(code="drawing-hatches-used", text=text, where=drawing.source.name)]


def _joints(
    source: Source, roles: Roles, asked: DxfSource, unit_m: float, shift: Floats
) -> tuple[Joint, ...]:
    """One joint for each joint layer."""
    if roles.joints is None:
        return ()
    strokes = source.strokes
    chosen = np.flatnonzero(roles.joints[strokes.layer] & (stroke_lengths(strokes) * unit_m > _DUST_M))
    return tuple(
        Joint(
            name=source.layers[layer].name,
            kind=asked.joint_kind,
            treatment=treatment_of(source.layers[layer].name, asked.joint_treatment),
            form=JointLines(
                lines=tuple(
                    _line(strokes, k, unit_m, shift) for k in chosen[strokes.layer[chosen] == layer].tolist()
                )
            ),
            place=asked.place,
        )
        for layer in dict.fromkeys(strokes.layer[chosen].tolist())
    )


def _line(strokes: Strokes, k: int, unit_m: float, shift: Floats) -> tuple[Point, ...]:
    rows = strokes.rows(k)
    return joint_lines_of(strokes.xy[rows] * unit_m + shift, strokes.bulges[rows], bool(strokes.closed[k]))

"""Cut-outs of a drawn slab: loops inside the outline, or all loops of the layers named for them."""

from __future__ import annotations

from shapely.geometry.base import BaseGeometry

from ..errors import DrawingFileError, Notice
from ..foreign.drawing import Drawing, find_loops
from ..foreign.layers import visible
from ..foreign.nesting import inner_points
from ..geometry.arcs import Floats
from ..geometry.rings import Ring
from . import drawn_notices as told
from .drawn_forms import cutout_of
from .drawn_roles import Mask, Roles, figures_for, snap_m, snap_of
from .model import Cutout, DxfSource

Hole = tuple[Drawing, int]
"""A loop that is a cut-out, with the drawing it is of."""


def holes_of(
    drawing: Drawing, k: int, roles: Roles, asked: DxfSource, unit_m: float
) -> tuple[list[Hole], list[Notice]]:
    """Cut-outs of outline k, and what there is to say about them.

    Where the plan names no layers for cut-outs, loops of every visible layer that stand in the outline count:
    a post that is left out costs more than a loop too many, which shows in every list.
    """
    if roles.cutouts is not None:
        return _on_layers(drawing, k, roles.cutouts, roles, asked, unit_m)
    if not asked.outline:
        return _by_nesting(drawing, k, k, drawing)
    layers = visible(drawing.source.layers)
    layers = layers if roles.joints is None else layers & ~roles.joints
    return _by_nesting(drawing, k, -1, _loops_on(drawing, layers, roles, asked, unit_m))


def cutout_from(hole: Hole, asked: DxfSource, roles: Roles, unit_m: float, shift: Floats) -> Cutout:
    """One loop as a cut-out: named by its text or layer, its kind by its layer where the plan says so."""
    drawing, k = hole
    layer = int(drawing.loops.layer[k])
    kind = next((kind for chosen, kind in roles.edges if chosen[layer]), asked.cutout_kind)
    layer_name = drawing.layer_name(k)
    name = drawing.names[k].partition("; ")[0] or (layer_name if layer_name != "0" else "cut-out")
    return cutout_of(metres(drawing.ring(k), unit_m, shift), name, kind)


def metres(ring: Ring, unit_m: float, shift: Floats) -> Ring:
    """A ring in drawing units as one in metres, moved."""
    return Ring(ring.points * unit_m + shift, ring.bulges)


def _loops_on(drawing: Drawing, layers: Mask, roles: Roles, asked: DxfSource, unit_m: float) -> Drawing:
    snap = snap_of(asked.snap, drawing.source, unit_m)
    return find_loops(drawing.source, layers=layers, texts=roles.texts, snap=snap, unit_m=unit_m)


def _by_nesting(drawing: Drawing, k: int, self_: int, own: Drawing) -> tuple[list[Hole], list[Notice]]:
    """Loops of `own` directly inside outline k of `drawing`; `self_` is that outline in `own`, or -1."""
    outline = _polygon(drawing, k)
    area = own.loops.signed_areas()
    boxes, around = own.loops.boxes(), drawing.loops.boxes()[k]
    points = inner_points(own.loops)
    ring = drawing.ring(k)
    inside: set[int] = set()
    crossing: list[int] = []
    for c in own.floor_and_holes():
        if c == self_ or (boxes[c, :2] > around[2:]).any() or (around[:2] > boxes[c, 2:]).any():
            continue
        if self_ < 0 and abs(area[c] - ring.area_m2) <= 1e-6 * ring.area_m2 and _same_box(boxes[c], around):
            continue
        if _overlap(_polygon(own, c), outline):
            crossing.append(c)
        elif area[c] < ring.area_m2 and ring.contains(points[c])[0]:
            inside.add(c)
    holes = [c for c in sorted(inside) if _outermost(own, c, inside)]
    notices = list(told.islands(own, holes))
    notices += [_crosses(own, c, "not used") for c in crossing]
    return [(own, hole) for hole in holes], notices


def _outermost(own: Drawing, c: int, among: set[int]) -> bool:
    """Whether loop c stands in no other of these, or reaches out of the one it stands in."""
    parent = int(own.nest.parent[c])
    return parent not in among or _overlap(_polygon(own, c), _polygon(own, parent))


def _same_box(one: Floats, other: Floats) -> bool:
    return bool(abs(one - other).max() <= 1e-6 * abs(other[2:] - other[:2]).max())


def _on_layers(
    drawing: Drawing, k: int, layers: Mask, roles: Roles, asked: DxfSource, unit_m: float
) -> tuple[list[Hole], list[Notice]]:
    """Every loop of the named layers that lies in the outline at least in part."""
    own = _loops_on(drawing, layers, roles, asked, unit_m)
    figures = figures_for(unit_m)
    if not own.outlines():
        raise DrawingFileError(told.nothing_closes(own, unit_m, snap_m(asked.snap), figures))
    outline = _polygon(drawing, k)
    holes, notices = [], []
    every = set(own.floor_and_holes())
    for hole in own.floor_and_holes():
        if not _outermost(own, hole, every):
            continue
        polygon = _polygon(own, hole)
        if outline.intersection(polygon).area > 1e-9 * polygon.area:
            holes.append(hole)
            if not outline.covers(polygon.buffer(-4.0 * drawing.noise)):
                notices.append(_crosses(own, hole, "deducted as far as it lies inside"))
    notices += told.mended(own, unit_m, figures)
    notices += told.islands(own, holes)
    return [(own, hole) for hole in holes], notices


def _polygon(drawing: Drawing, k: int) -> BaseGeometry:
    ring = drawing.ring(k)
    x0, y0, x1, y1 = ring.bounds()
    polygon = ring.polygon(1e-4 * max(x1 - x0, y1 - y0))
    return polygon if polygon.is_valid else polygon.buffer(0.0)


def _overlap(one: BaseGeometry, other: BaseGeometry) -> bool:
    """Whether two loops lie partly in each other: neither holds the other."""
    shared = one.intersection(other).area
    smaller = min(one.area, other.area)
    return bool(1e-6 * smaller < shared < (1.0 - 1e-6) * smaller)


def _crosses(drawing: Drawing, k: int, what: str) -> Notice:
    x, y = drawing.ring(k).points[0].tolist()
    text = f"a loop on layer {drawing.layer_name(k)} (corner at {x:.8g}, {y:.8g}) crosses the outline; {what}"
    return Notice(code="drawing-crosses", text=text, where=drawing.source.name)

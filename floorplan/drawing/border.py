"""The border: a band along the outline in a colour of its own, dotted, with its width and what goes on it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

import shapely

from ..measure.model import SlabTakeoff
from ..order.surfaces import border_floor
from ..system.model import CoatingSystem, Surface
from ..units.figures import Figures
from .labels import note
from .lettering import FINE
from .marks import XY, Stroke
from .pens import BORDER, BORDER_EDGE
from .plane import between, direction, left_of, shifted
from .sketch import Sketch
from .view import line_runs, polygons, region_runs


def draw_border(sketch: Sketch, slab: SlabTakeoff, slab_id: str) -> None:
    """The band with its inner edge; nothing where the system has no border."""
    region = _region(sketch, slab)
    if region is None:
        return
    inner = region.boundary.difference(sketch.view.region(slab.regions.outline).boundary.buffer(0.05))
    name = sketch.new_id(slab_id, "border")
    title = f"Border of {slab.name}"
    sketch.add("band", Stroke(runs=region_runs(region), id=name, title=title))
    runs = line_runs(inner)
    sketch.add("band", Stroke(runs=runs, pen=BORDER_EDGE))
    sketch.block(runs)
    sketch.texture("band", region, BORDER)


def letter_border(sketch: Sketch, slab: SlabTakeoff, *, products: bool) -> None:
    """Name the band beside it, on a leader from its middle line; `products` says what goes on it."""
    region = _region(sketch, slab)
    if region is None:
        return
    words = border_words(slab.slab.system, sketch.figures, products=products)
    for at in _middles(sketch, slab, region):
        if sketch.label("labels", note(at, [words], nearest=6.0, heights=(FINE,))):
            return
    sketch.unplaced.append((words, f"along the outline of {slab.name}"))


def border_words(system: CoatingSystem, figures: Figures, *, products: bool) -> str:
    """`border 1'-0" wide: border flake`."""
    words = f"border {figures.length(system.border_m)} wide"
    named = dict.fromkeys(
        [coat.name for coat in system.coats if Surface.BORDER in coat.on]
        + [thrown.name for thrown in system.broadcasts if Surface.BORDER in thrown.on]
    )
    return f"{words}: {', '.join(named)}" if products and named else words


def bordered(slabs: Iterable[SlabTakeoff]) -> list[CoatingSystem]:
    """The systems with a border, each once."""
    found: list[CoatingSystem] = []
    for slab in slabs:
        if slab.slab.system.border_m and slab.slab.system not in found:
            found.append(slab.slab.system)
    return found


def _region(sketch: Sketch, slab: SlabTakeoff) -> Any:
    floor = border_floor(slab)
    region = None if floor is None else sketch.view.region(floor)
    return region if region is not None and polygons(region) else None


def _middles(sketch: Sketch, slab: SlabTakeoff, region: Any) -> list[XY]:
    """Points in the middle of the band, along its sides from the longest."""
    half = 0.5 * sketch.view.mm(slab.slab.system.border_m)
    corners = sketch.view.points(slab.ring.counter_clockwise().points)
    sides = zip(corners, (*corners[1:], corners[0]), strict=True)
    places = []
    for a, b in sorted(sides, key=lambda side: -math.dist(*side)):
        inward = left_of(direction(a, b))
        places += [shifted(between(a, b, share), inward, half) for share in (0.5, 0.3, 0.7)]
    shapely.prepare(region)
    return [place for place in places if shapely.contains_xy(region, *place)]

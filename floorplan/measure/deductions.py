"""What cut-outs take from the floor: each piece once, in the order of the plan."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import shapely
from shapely import Polygon

from ..errors import Fault, Notice
from ..geometry.regions import Subtraction
from ..plan.model import Slab
from ..units.figures import Figures
from .cutouts import Placed
from .model import MeasuredCutout
from .nearby import corner_words
from .solved import SolvedShape, fault

SAME_AREA: Final = 1e-9
"""Share of an area that rounding may cost."""

SPECK_M2: Final = 1e-6
"""A part of the floor smaller than a square millimetre is rounding."""


def measure_cutouts(
    placed: Sequence[Placed], floor: Subtraction, ignore_below_m2: float
) -> tuple[MeasuredCutout, ...]:
    """Area and deduction of every copy; an opening just as large as the limit is not ignored."""
    limit = ignore_below_m2 * (1.0 - SAME_AREA)
    return tuple(
        MeasuredCutout(
            name=copy.name,
            kind=copy.cutout.kind,
            area_m2=copy.ring.area_m2,
            deducted_m2=deducted,
            ignored=copy.ring.area_m2 < limit,
            ring=copy.ring,
            centre=copy.centre,
            size_text=copy.size_text,
        )
        for copy, deducted in zip(placed, floor.deducted_m2, strict=True)
    )


def cutout_faults(
    placed: Sequence[Placed], floor: Subtraction, outline: Polygon, slab: Slab, figures: Figures
) -> Iterator[Fault]:
    """Cut-outs that stand wholly off the slab, and cut-outs that leave no floor."""
    shapely.prepare(outline)
    for copy, deducted in zip(placed, floor.deducted_m2, strict=True):
        if deducted > SAME_AREA * copy.ring.area_m2:
            continue
        polygon = copy.ring.polygon()
        inside = shapely.intersection(polygon, outline).area if polygon.is_valid else 0.0
        if inside <= 1e-6 * polygon.area:
            said = f"cut-out {copy.name} lies outside the outline, so it takes nothing away"
            x0, y0, x1, y1 = (figures.length(value) for value in outline.bounds)
            within = f"the slab lies within x {x0} to {x1}, y {y0} to {y1}"
            hint = f"look at its place, and at the unit of it: {within}"
            yield fault("cutout-outside", said, copy.cutout.place, hint)
    if placed and floor.net_area_m2 <= max(SPECK_M2, SAME_AREA * floor.gross_area_m2):
        names = ", ".join(copy.name for copy in placed[:6])
        said = f"slab {slab.name}: the cut-outs ({names}) leave no floor"
        yield fault(
            "floor-gone", said, placed[0].cutout.place or slab.place, "look at the size of each cut-out"
        )


def cutout_notices(
    placed: Sequence[Placed], floor: Subtraction, shape: SolvedShape, slab: Slab, figures: Figures
) -> Iterator[Notice]:
    """Cut-outs over the edge, cut-outs over one another, and floor in several parts."""
    polygons = [copy.ring.polygon() for copy in placed]
    outline = shape.ring.polygon()
    shapely.prepare(outline)
    covered = [bool(shapely.covers(outline, polygon)) for polygon in polygons]
    earlier = _earlier(polygons)
    for k, (copy, deducted) in enumerate(zip(placed, floor.deducted_m2, strict=True)):
        lost = copy.ring.area_m2 - deducted
        if lost <= max(SPECK_M2, 1e-6 * copy.ring.area_m2):
            continue
        others = [placed[e].name for e in earlier.get(k, ())]
        over = "" if covered[k] else "the edge of the slab"
        beside = " and ".join(filter(None, (over, ", ".join(others))))
        if not beside:
            continue
        text = (
            f"cut-out {copy.name} lies partly over {beside}: of its {figures.small_area(copy.ring.area_m2)}"
            f" only {figures.small_area(deducted)} is deducted"
        )
        code = "cutouts-overlap" if others else "cutout-over-edge"
        yield Notice(code=code, text=text, where=f"slab {slab.name}, cut-out {copy.name}")
    yield from _split(placed, polygons, floor, shape, slab, figures)


def _earlier(polygons: Sequence[Polygon]) -> dict[int, list[int]]:
    """Earlier cut-outs that each one shares floor with."""
    if len(polygons) < 2:
        return {}
    one, two = shapely.STRtree(polygons).query(polygons, predicate="intersects")
    found: dict[int, list[int]] = {}
    for k, before in sorted(zip(one.tolist(), two.tolist(), strict=True)):
        if before < k and shapely.intersection(polygons[k], polygons[before]).area > SPECK_M2:
            found.setdefault(k, []).append(before)
    return found


def _split(
    placed: Sequence[Placed],
    polygons: Sequence[Polygon],
    floor: Subtraction,
    shape: SolvedShape,
    slab: Slab,
    figures: Figures,
) -> Iterator[Notice]:
    parts = [part for part in floor.net.geoms if part.area > SPECK_M2]
    if len(parts) < 2:
        return
    tree = shapely.STRtree(parts)
    touching = [
        copy.name
        for copy, polygon in zip(placed, polygons, strict=True)
        if len(tree.query(polygon, predicate="dwithin", distance=1e-6)) > 1
    ]
    words = ", ".join(f"{figures.area(p.area)} {corner_words(p, shape)}" for p in parts[:6])
    text = f"cut-outs {', '.join(touching)} split the floor into {len(parts)} parts: {words}"
    yield Notice(code="floor-split", text=text, where=f"slab {slab.name}")

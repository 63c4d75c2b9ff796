"""What keeps the walk-behind out, in words: narrow gaps, parts that it cannot cross between, pockets."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np
import shapely
from shapely import Polygon

from ..errors import Notice
from ..plan.model import Plan, Slab
from ..units.figures import Figures
from .model import Edge
from .nearby import corner_words, own_corners
from .reach import Reach, body_keep_off
from .solved import SolvedShape

TOUCHING_M: Final = 1e-4
"""Things nearer than this stand against each other: there is no gap."""

MOST_GAPS: Final = 8
"""The narrowest are named; the rest are counted."""


def gap_notices(slab: Slab, edges: Sequence[Edge], plan: Plan, figures: Figures) -> Iterator[Notice]:
    """Gaps beside cut-outs that stop the machine, narrowest first."""
    found = sorted(_gaps(edges, plan), key=lambda gap: gap[0])
    for clear, needed, one, two in found[:MOST_GAPS]:
        text = (
            f"the gap between {one} and {two} is {figures.length(clear)}; the walk-behind needs"
            f" {figures.length(needed)} there, so it is ground by hand"
        )
        yield Notice(code="gap-narrow", text=text, where=f"slab {slab.name}, {one}")
    if len(found) > MOST_GAPS:
        text = f"{len(found) - MOST_GAPS} more gaps are too narrow for the walk-behind"
        yield Notice(code="gap-narrow", text=text, where=f"slab {slab.name}")


def _gaps(edges: Sequence[Edge], plan: Plan) -> Iterator[tuple[float, float, str, str]]:
    """Clear width, needed width and names, the smaller thing first, for each gap beside a cut-out."""
    standing = [edge for edge in edges if edge.length_m > 0.0]
    holes = [k for k, edge in enumerate(standing) if edge.cutout is not None]
    if not holes:
        return
    keep_off = {name: max(0.0, body_keep_off(plan.grinder, kind)) for name, kind in plan.edge_kinds.items()}
    half = np.array([keep_off[edge.kind] for edge in standing])
    lines = np.array([edge.lines for edge in standing], dtype=object)
    reach = 2.0 * float(half.max())
    asked, near = shapely.STRtree(lines).query(lines[holes], predicate="dwithin", distance=reach)
    one = np.array(holes)[asked]
    first = np.array([standing[k].cutout is not None for k in near]) & (near <= one)
    one, near = one[~first], near[~first]
    clear = shapely.distance(lines[one], lines[near])
    needed = half[one] + half[near]
    for k in np.flatnonzero((clear > TOUCHING_M) & (clear < needed - 1e-9)):
        a, b = standing[one[k]], standing[near[k]]
        if b.cutout is not None and b.length_m < a.length_m:
            a, b = b, a
        yield float(clear[k]), float(needed[k]), _name(a), _name(b)


def _name(edge: Edge) -> str:
    return edge.label if edge.cutout is not None else f"side {edge.label}"


def part_notices(
    slab: Slab, shape: SolvedShape, reach: Reach, plan: Plan, figures: Figures, least_m2: float
) -> Iterator[Notice]:
    """Parts of the floor that the machine cannot get to, or cannot cross between."""
    wide = figures.length(plan.grinder.overall.m)
    if slab.entry is not None:
        lost = _largest([p for p in reach.cut_off if p.area >= least_m2])
        near = own_corners([*lost, reach.machine], shape) if lost else []
        for part, corner in zip(lost, near, strict=False):
            text = (
                f"from the entry the walk-behind ({wide} wide) does not get to {figures.area(part.area)} of"
                f" floor near corner {corner}, so that part is ground by hand"
            )
            yield Notice(code="entry-cut-off", text=text, where=f"slab {slab.name}")
        return
    if len(reach.parts) > 1:
        near = list(dict.fromkeys(own_corners(_largest(reach.parts), shape)))
        text = (
            f"the walk-behind cannot cross between {len(reach.parts)} parts of the floor, near corners"
            f" {', '.join(near)}; all are counted as ground by it: say where it comes in with entry, or"
            " plan to carry it over"
        )
        yield Notice(code="floor-parts", text=text, where=f"slab {slab.name}")


def _largest(parts: Sequence[Polygon]) -> list[Polygon]:
    return sorted(parts, key=lambda part: -part.area)[:MOST_GAPS]


def pocket_notice(
    slab: Slab, shape: SolvedShape, edges: Sequence[Edge], reach: Reach, figures: Figures, least_m2: float
) -> Iterator[Notice]:
    """Pockets large enough to be forgotten on the slab: how much, and beside what."""
    large = [p for p in reach.pockets.geoms if p.area >= least_m2]
    if not large:
        return
    holes = [edge for edge in edges if edge.cutout is not None and not edge.lines.is_empty]
    words = []
    for pocket in sorted(large, key=lambda p: -p.area)[:MOST_GAPS]:
        beside = [edge.label for edge in holes if shapely.dwithin(edge.lines, pocket, 0.3)]
        place = f"by {beside[0]}" if beside else corner_words(pocket, shape)
        words.append(f"{figures.area(pocket.area)} {place}")
    text = f"outside the hand-ground band the walk-behind leaves {', '.join(words)}"
    yield Notice(code="pockets", text=text, where=f"slab {slab.name}")

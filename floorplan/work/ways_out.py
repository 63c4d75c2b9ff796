"""Where people leave a slab while it is poured."""

from __future__ import annotations

from typing import Any, Final

from shapely import Point

from ..errors import Notice
from ..measure.model import Edge, SlabTakeoff

LIKELY_KINDS: Final = ("garage door", "slab", "open", "step down", "threshold", "step up")
"""Edges that people can leave over, the likeliest first: common practice, no source."""
HOUSE_DOOR: Final = "threshold"


def ways_out(slab: SlabTakeoff) -> tuple[tuple[Any, ...], tuple[Notice, ...]]:
    """Points and lines that people leave a slab by, and what is to be said of them."""
    typed = slab.slab.exits or ((slab.slab.entry,) if slab.slab.entry is not None else ())
    if not typed:
        return _likely(slab)
    edges = [_edge(slab, way) for way in typed]
    found = [edge.lines if edge is not None else point for edge, point in zip(edges, slab.exits, strict=True)]
    kinds = [edge.kind for edge in edges if edge is not None]
    return tuple(found), _words(slab, kinds if len(kinds) == len(edges) else [])


def _edge(slab: SlabTakeoff, way: object) -> Edge | None:
    if not isinstance(way, tuple):
        return None
    labels = {f"{way[0]}-{way[1]}", f"{way[1]}-{way[0]}"}
    return next((edge for edge in slab.edges if edge.side is not None and edge.label in labels), None)


def _likely(slab: SlabTakeoff) -> tuple[tuple[Any, ...], tuple[Notice, ...]]:
    sides = [edge for edge in slab.edges if edge.side is not None and edge.length_m > 0.0]
    for kind in LIKELY_KINDS:
        same = [edge for edge in sides if edge.kind == kind]
        if same:
            edge = max(same, key=lambda e: e.length_m)
            text = f"no exit is stated; people are taken to leave over side {edge.label} ({kind})"
            notice = Notice(code="exit-assumed", text=text, where=_where(slab))
            return (edge.lines,), (notice, *_words(slab, [kind]))
    text = "no exit is stated and no side can be left over; write exits = [...] for this slab"
    start = Point(slab.ring.points[0])
    return (start,), (Notice(code="exit-missing", text=text, where=_where(slab)),)


def _words(slab: SlabTakeoff, kinds: list[str]) -> tuple[Notice, ...]:
    if not kinds or any(kind != HOUSE_DOOR for kind in kinds):
        return ()
    text = "the only way out is a house door: the owner must agree, and the way must be covered"
    return (Notice(code="exit-house-door", text=text, where=_where(slab)),)


def _where(slab: SlabTakeoff) -> str:
    return f"slab {slab.name}"

"""Textures as lines: parallel lines inside a region, with the boxes of lettering left clear.

Lines are cut by counting the edges that each one crosses (even-odd), which holds for any polygon, slivers and
touching rings included, where general overlay of polygons may fail.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

import numpy as np

from .marks import Run
from .pens import Texture
from .placing import Hull
from .view import polygons

Spans = dict[int, list[tuple[float, float]]]
"""Pieces (from, to) along each line, by the number of the line."""

_SHORTEST_MM = 0.05


def hatched(region: Any, texture: Texture, lettering: Sequence[Hull] = ()) -> tuple[Run, ...]:
    """Lines of a texture inside a region (on paper, mm), without those under `lettering`.

    Lines stand on a grid that is fixed on the paper, so that neighbouring regions match.
    """
    rings = [
        np.asarray(ring.coords)[:-1] for part in polygons(region) for ring in (part.exterior, *part.interiors)
    ]
    if not rings:
        return ()
    return tuple(
        run for angle in texture.angles_deg for run in _lines(rings, lettering, angle, texture.spacing_mm)
    )


def _lines(
    rings: Sequence[Any], lettering: Sequence[Hull], angle_deg: float, spacing: float
) -> Iterator[Run]:
    turn = math.radians(angle_deg)
    cos, sin = math.cos(turn), math.sin(turn)
    spans = _spans(rings, cos, sin, spacing)
    clear: Spans = defaultdict(list)
    for hull in lettering:
        for k, pieces in _spans([np.array(hull)], cos, sin, spacing).items():
            clear[k] += pieces
    for k in sorted(spans):
        across = k * spacing
        for low, high in _without(spans[k], sorted(clear[k])) if k in clear else spans[k]:
            if high - low > _SHORTEST_MM:
                start = (low * cos - across * sin, low * sin + across * cos)
                yield Run((start, (high * cos - across * sin, high * sin + across * cos)))


def _spans(rings: Iterable[Any], cos: float, sin: float, spacing: float) -> Spans:
    """Pieces of each line that lie inside rings, by the even-odd rule."""
    lines, along = [], []
    for ring in rings:
        u, v = ring @ (cos, sin), ring @ (-sin, cos) / spacing
        du, dv = np.roll(u, -1) - u, np.roll(v, -1) - v
        first = np.ceil(np.minimum(v, v + dv)).astype(int)
        # A line through a corner counts with one of its two edges only.
        count = np.ceil(np.maximum(v, v + dv)).astype(int) - first
        edge = np.repeat(np.arange(len(u)), count)
        k = first[edge] + np.arange(len(edge)) - np.repeat(np.cumsum(count) - count, count)
        lines.append(k)
        along.append(u[edge] + du[edge] * (k - v[edge]) / dv[edge])
    k, u = np.concatenate(lines), np.concatenate(along)
    order = np.lexsort((u, k))
    spans: Spans = defaultdict(list)
    pairs = zip(k[order][::2].tolist(), u[order][::2].tolist(), u[order][1::2].tolist(), strict=True)
    for line, low, high in pairs:
        spans[line].append((low, high))
    return spans


def _without(
    pieces: Iterable[tuple[float, float]], holes: Sequence[tuple[float, float]]
) -> Iterator[tuple[float, float]]:
    """Pieces less holes, both in order along the line."""
    for low, high in pieces:
        at = low
        for start, end in holes:
            if end > at and start < high:
                if start > at:
                    yield at, start
                at = max(at, end)
        if at < high:
            yield at, high

"""Shapes of a DXF put down on the plan: strokes, texts, heights, and what had to be left out on the way."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ..geometry.arcs import Ints
from .blocks import Item, Other, Sink, Text
from .curves import NO_CURVE, Chains
from .entities import SHAPES, NothingDrawn
from .layer_table import LayerTable
from .model import Label, LeftOut
from .planes import Placement
from .shapes import Nurbs, Shape, flat_spline, height_of, is_upright, put_down
from .splines import Spline, spline_chains
from .strokes import StrokeBook, Strokes, sound
from .texts import printable

KINDS: Final = (*SHAPES, "HATCH")
"""Kinds of entity that strokes come from, as `Strokes.kind` counts them."""

KIND_INDEX: Final = {kind: i for i, kind in enumerate(KINDS)}

_MOST_LABELS: Final = 20_000
_SPLINES_AT_ONCE: Final = 2_000
_MEETING_SHARE: Final = 1e-9
"""Ends of a spline nearer than this share of its size meet."""


class Placer:
    """Takes shapes and texts with their placements; gives strokes, labels and what was left out."""

    def __init__(self, layers: LayerTable) -> None:
        self._layers = layers
        self._book = StrokeBook()
        self._splines: list[tuple[Spline, int, int]] = []
        self._labels: list[Label] = []
        self._left_out: Counter[tuple[str, int, str]] = Counter()
        self.heights = (float("inf"), float("-inf"))

    def sink(self) -> Sink:
        """Where blocks are put down."""
        return Sink(self.put, self.put_text, self.put_other)

    def leave_out(self, kind: str, layer: bytes, why: str) -> None:
        """Count something that is not used."""
        self._left_out[printable(kind)[:40], self._layers.index(layer), why] += 1

    def put(self, item: Item, placement: Placement | None, insert_layer: bytes) -> None:
        """One entity; `placement` None leaves it where it is."""
        layer = _passed(item.layer, insert_layer)
        kind = KINDS[item.kind]
        try:
            if is_upright(item.shape, placement):
                self.leave_out(kind, layer, "stands upright, seen edge-on")
                return
            if isinstance(item.shape, Nurbs):
                spline = flat_spline(item.shape, placement)
                self._splines.append((spline, self._layers.index(layer), item.kind))
            else:
                drawn = put_down(item.shape, placement)
                index = self._layers.index(layer)
                self._book.add(drawn.points, drawn.bulges, closed=drawn.closed, layer=index, kind=item.kind)
        except (ValueError, OverflowError) as error:
            known = isinstance(error, NothingDrawn) or type(error) is ValueError
            self.leave_out(kind, layer, str(error) if known else "numbers unreadable")
            return
        if placement is None:
            self._note_height(item.shape)

    def _note_height(self, shape: Shape) -> None:
        low, high = height_of(shape)
        self.heights = min(self.heights[0], low), max(self.heights[1], high)

    def put_text(self, text: Text, placement: Placement, insert_layer: bytes) -> None:
        """One text."""
        if len(self._labels) >= _MOST_LABELS:
            return
        x, y, _ = placement[:, :3] @ text.at + placement[:, 3]
        layer = self._layers[self._layers.index(_passed(text.layer, insert_layer))]
        self._labels.append(Label(text.text, float(x), float(y), layer.name))

    def put_other(self, other: Other, insert_layer: bytes) -> None:
        """One entity of a block that is no line work."""
        self.leave_out(other.kind, _passed(other.layer, insert_layer), other.why)

    def strokes(self) -> Strokes:
        """All line work; strokes whose numbers are no places on a drawing are left out."""
        self._draw_splines()
        strokes = self._book.strokes()
        good = sound(strokes)
        for k in (~good).nonzero()[0].tolist():
            key = (KINDS[int(strokes.kind[k])], int(strokes.layer[k]), "coordinates out of all reach")
            self._left_out[key] += 1
        return strokes.chosen(good)

    def labels(self) -> tuple[Label, ...]:
        """All texts."""
        return tuple(self._labels)

    def left_out(self) -> tuple[LeftOut, ...]:
        """What was not used, in the order met."""
        rows = self._left_out.items()
        return tuple(LeftOut(kind, self._layers[layer].name, n, why) for (kind, layer, why), n in rows)

    def _draw_splines(self) -> None:
        """Splines come last, many at once: one by one they take longer than all else together."""
        self._splines.sort(key=lambda row: row[0].degree)
        for _, group in itertools.groupby(self._splines, key=lambda row: row[0].degree):
            rows = list(group)
            for start in range(0, len(rows), _SPLINES_AT_ONCE):
                self._add_splines(rows[start : start + _SPLINES_AT_ONCE])
        self._splines.clear()

    def _add_splines(self, some: Sequence[tuple[Spline, int, int]]) -> None:
        splines, layers, kinds = zip(*some, strict=True)
        drawn = spline_chains(splines)
        good = drawn.counts > 0
        for k in np.flatnonzero(~good).tolist():
            self._left_out[KINDS[kinds[k]], layers[k], NO_CURVE] += 1
        if good.any():
            self._book.add_all(_closed_or_open(drawn, good, np.array(layers), np.array(kinds)))


def _closed_or_open(drawn: Chains, good: NDArray[np.bool_], layers: Ints, kinds: Ints) -> Strokes:
    """The good chains as strokes: closed, without their last point, where their ends meet."""
    points, begin, end = drawn.points, drawn.first[:-1][good], drawn.first[1:][good] - 1
    low, high = np.minimum.reduceat(points, begin, axis=0), np.maximum.reduceat(points, begin, axis=0)
    size = (high - low).max(axis=1)
    closed = np.hypot(*(points[end] - points[begin]).T) <= _MEETING_SHARE * size
    keep = np.ones(len(points), np.bool_)
    keep[end[closed]] = False
    first = np.concatenate(([0], np.cumsum(drawn.counts[good] - closed)))
    return Strokes(points[keep], drawn.bulges[keep], first, closed, layers[good], kinds[good])


def _passed(own: bytes, insert_layer: bytes) -> bytes:
    """Layer 0 inside a block is the layer of its insert."""
    return insert_layer if insert_layer and own in (b"", b"0") else own

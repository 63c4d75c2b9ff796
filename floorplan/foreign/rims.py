"""Walks round faces written as loops: parts of one piece that follow each other become one side again."""

from __future__ import annotations

import math
from collections import Counter

from ..geometry.arcs import Floats, Ints
from .faces import Walk
from .loops import LoopBook
from .noding import Net, Pieces


class RimWriter:
    """Writes walks along one net into a book; plain lists, as most walks are a few parts long.

    Args:
        net: what the walks run along.
        pieces: of which the net's parts are.
        layer: (k,) of each stroke.
        kind: (k,) of each stroke.
        weight: (k,) how much each stroke has to say about the layer of a loop; None is all the same.
    """

    def __init__(
        self, net: Net, pieces: Pieces, layer: Ints, kind: Ints, weight: Floats | None = None
    ) -> None:
        self._spots: list[tuple[float, float]] = list(map(tuple, net.spots.tolist()))
        self._a, self._b = net.a.tolist(), net.b.tolist()
        self._bulge, self._piece = net.bulges.tolist(), net.piece.tolist()
        self._stroke = pieces.stroke.tolist()
        self._layer, self._kind = layer.tolist(), kind.tolist()
        self._weight = None if weight is None else weight.tolist()

    def strokes(self, walk: Walk) -> list[int]:
        """The strokes that a walk runs along, each once."""
        return list(dict.fromkeys(self._stroke[self._piece[part]] for part in walk.parts))

    def write(self, walk: Walk, book: LoopBook, faces: int = 1) -> None:
        """Put the outline of a walk into a book."""
        parts, ahead = walk.parts, walk.forward
        count = len(parts)
        keys = [(self._piece[part], way) for part, way in zip(parts, ahead, strict=True)]
        begin = next((i for i in range(count) if keys[i] != keys[i - 1]), 0)
        corners: list[tuple[float, float]] = []
        bulges: list[float] = []
        runs: list[float] = []
        length: Counter[int] = Counter()
        last: tuple[int, bool] | None = None
        for i in (*range(begin, count), *range(begin)):
            part, way = parts[i], ahead[i]
            start = self._spots[self._a[part] if way else self._b[part]]
            chord = math.dist(self._spots[self._a[part]], self._spots[self._b[part]])
            bulge = self._bulge[part] if way else -self._bulge[part]
            if keys[i] == last:
                runs[-1] += math.atan(bulge)
                bulges[-1] = math.tan(runs[-1])
            else:
                corners.append(start)
                bulges.append(bulge)
                runs.append(math.atan(bulge))
            last = keys[i]
            stroke = self._stroke[keys[i][0]]
            weight = 1.0 if self._weight is None else self._weight[stroke]
            length[stroke] += weight * chord  # type: ignore[assignment]
        self._put(corners, bulges, length, book, faces)

    def _put(
        self,
        corners: list[tuple[float, float]],
        bulges: list[float],
        length: Counter[int],
        book: LoopBook,
        faces: int,
    ) -> None:
        layers: dict[int, float] = {}
        for stroke, value in length.items():
            layers[self._layer[stroke]] = layers.get(self._layer[stroke], 0.0) + value
        longest = max(length, key=lambda stroke: length[stroke])
        layer = max(layers, key=lambda each: layers[each])
        book.add(corners, bulges, layer=layer, kind=self._kind[longest], faces=faces)

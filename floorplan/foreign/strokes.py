"""Strokes: the line work of a drawing in plain arrays, whatever file it came from.

A *stroke* is one entity's worth of line work: points joined by straight or circular pieces, open or closed.
Pieces carry a bulge, tan(angle / 4), positive counter-clockwise, as everywhere. Coordinates are those of the
drawing; nothing has been converted yet.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from ..geometry.arcs import Floats, Ints
from ..values import dataclass

LARGEST_COORDINATE = 1e12
"""Anything farther out is no place on a drawing; squares of it would still be finite."""

_LARGEST_BULGE = 1e6


@dataclass(frozen=True, slots=True, eq=False)
class Strokes:
    """Many strokes, each a run of rows.

    Attributes:
        xy: (n, 2) points of all strokes in turn; a closed stroke does not repeat its first point.
        bulges: (n,) bulge of the piece that starts at each point; 0 after the last point of an open stroke.
        first: (k + 1,) row of the first point of each stroke, and n.
        closed: (k,) whether the last point is joined to the first.
        layer: (k,) index into the drawing's layers.
        kind: (k,) index into the kinds of entity that the reader knows.
    """

    xy: Floats
    bulges: Floats
    first: Ints
    closed: NDArray[np.bool_]
    layer: Ints
    kind: Ints

    def __len__(self) -> int:
        return len(self.closed)

    @property
    def counts(self) -> Ints:
        """Number of points of each stroke, (k,)."""
        return np.diff(self.first)

    def rows(self, k: int) -> slice:
        """The rows of one stroke."""
        return slice(int(self.first[k]), int(self.first[k + 1]))

    def chosen(self, keep: NDArray[np.bool_]) -> Strokes:
        """Only the strokes where `keep`, (k,), is true."""
        if keep.all():
            return self
        counts = self.counts
        rows = np.repeat(keep, counts)
        first = np.concatenate(([0], np.cumsum(counts[keep])))
        return Strokes(
            self.xy[rows], self.bulges[rows], first, self.closed[keep], self.layer[keep], self.kind[keep]
        )

    def moved(self, xy: Floats) -> Strokes:
        """The same strokes with other points."""
        return Strokes(xy, self.bulges, self.first, self.closed, self.layer, self.kind)


class StrokeBook:
    """Collects strokes while a file is read."""

    def __init__(self) -> None:
        self._xy, self._bulges = array("d"), array("d")
        self._counts, self._layer, self._kind = array("q"), array("q"), array("q")
        self._closed = array("b")

    def add(
        self,
        points: Iterable[Sequence[float]],
        bulges: Iterable[float],
        *,
        closed: bool,
        layer: int,
        kind: int,
    ) -> None:
        """One stroke; as many bulges as points."""
        before = len(self._xy)
        for point in points:
            self._xy.append(point[0])
            self._xy.append(point[1])
        self._bulges.extend(bulges)
        self._counts.append((len(self._xy) - before) // 2)
        self._layer.append(layer)
        self._kind.append(kind)
        self._closed.append(closed)

    def add_all(self, strokes: Strokes) -> None:
        """Many strokes at once."""
        self._xy.frombytes(strokes.xy.tobytes())
        self._bulges.frombytes(strokes.bulges.tobytes())
        for book, column in (
            (self._counts, strokes.counts),
            (self._layer, strokes.layer),
            (self._kind, strokes.kind),
            (self._closed, strokes.closed),
        ):
            book.frombytes(column.astype(book.typecode).tobytes())

    def strokes(self) -> Strokes:
        """What was collected."""
        return Strokes(
            np.array(self._xy).reshape(-1, 2),
            np.array(self._bulges),
            np.concatenate(([0], np.cumsum(self._counts, dtype=np.intp))),
            np.array(self._closed, np.bool_),
            np.array(self._layer, np.intp),
            np.array(self._kind, np.intp),
        )


def following(strokes: Strokes) -> Ints:
    """Row of the point after each point, (n,); the last one's is the first of its stroke."""
    after = np.arange(1, len(strokes.xy) + 1)
    after[strokes.first[1:] - 1] = strokes.first[:-1]
    return after


def sound(strokes: Strokes) -> NDArray[np.bool_]:
    """Which strokes have only real numbers within reach, (k,)."""
    good = (np.abs(strokes.xy) <= LARGEST_COORDINATE).all(axis=1) & (np.abs(strokes.bulges) <= _LARGEST_BULGE)
    bad = np.zeros(len(strokes) + 1, dtype=np.intp)
    np.add.at(bad, np.searchsorted(strokes.first, np.flatnonzero(~good), side="right") - 1, 1)
    return np.asarray(bad[:-1] == 0, dtype=np.bool_)

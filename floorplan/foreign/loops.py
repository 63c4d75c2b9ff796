"""Loops in plain arrays: thousands are measured at once, a `Ring` is made only of those that are used."""

from __future__ import annotations

from array import array
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray

from ..geometry import arcs
from ..geometry.arcs import Floats, Ints
from ..geometry.rings import Ring, side_boxes
from ..values import dataclass
from .strokes import Strokes

_ROWS_AT_ONCE: Final = 1 << 15
"""Corners worked on together: what is worked out on the way stays in the processor's cache, and small."""


@dataclass(frozen=True, slots=True, eq=False)
class Loops:
    """Closed runs of pieces, counter-clockwise.

    Attributes:
        xy: (n, 2) corners of all loops, one after the other.
        bulges: (n,) of the side from each corner to the next.
        first: (k + 1,) row of each loop's first corner, and n.
        layer: (k,) index of the layer that most of it lies on.
        kind: (k,) kind of entity of its first piece.
        faces: (k,) into how many parts inner lines split it.
    """

    xy: Floats
    bulges: Floats
    first: Ints
    layer: Ints
    kind: Ints
    faces: Ints

    def __len__(self) -> int:
        return len(self.layer)

    @property
    def counts(self) -> Ints:
        """Corners of each loop, (k,)."""
        return np.diff(self.first)

    @property
    def ends(self) -> Floats:
        """The corner after each corner, (n, 2)."""
        after = np.arange(1, len(self.xy) + 1)
        after[self.first[1:] - 1] = self.first[:-1]
        return self.xy[after]

    def lengths(self) -> Floats:
        """Length of each side, arcs exact, (n,)."""
        across = self.ends - self.xy
        return arcs.lengths_m(np.hypot(across[:, 0], across[:, 1]), self.bulges)

    def perimeters(self) -> Floats:
        """Length round each loop, arcs exact, (k,)."""
        return self.by_parts(lambda part: np.add.reduceat(part.lengths(), part.first[:-1]))

    def signed_areas(self) -> Floats:
        """Area of each loop, arcs exact, positive counter-clockwise, (k,)."""
        return self.by_parts(_signed_areas)

    def boxes(self) -> Floats:
        """Box around each loop: least x, least y, greatest x, greatest y, (k, 4)."""
        return self.by_parts(_boxes) if len(self) else np.zeros((0, 4))

    def parts(self) -> Iterator[Loops]:
        """The loops in turn, as many at a time as are well worked on together."""
        start = 0
        while start < len(self):
            stop = int(np.searchsorted(self.first, self.first[start] + _ROWS_AT_ONCE, side="right")) - 1
            some = slice(start, max(stop, start + 1))
            low, high = int(self.first[some.start]), int(self.first[some.stop])
            yield Loops(
                self.xy[low:high],
                self.bulges[low:high],
                self.first[some.start : some.stop + 1] - low,
                self.layer[some],
                self.kind[some],
                self.faces[some],
            )
            start = some.stop

    def by_parts(self, measure: Callable[[Loops], Floats]) -> Floats:
        """What a measure gives, taken of some loops at a time."""
        return np.concatenate([measure(part) for part in self.parts()]) if len(self) else np.zeros(0)

    def ring(self, k: int) -> Ring:
        """One loop as a ring, in drawing units."""
        rows = slice(int(self.first[k]), int(self.first[k + 1]))
        return Ring(self.xy[rows], self.bulges[rows])

    def polygons(self, tolerances: Floats) -> NDArray[np.object_]:
        """Each loop as a polygon of chords, (k,), every arc within its loop's tolerance, (k,)."""
        if not len(self):
            return np.zeros(0, dtype=object)
        owner = np.repeat(np.arange(len(self)), self.counts)
        steps = np.ones(len(self.xy), np.intp)
        bent = np.flatnonzero(self.bulges)
        if len(bent):
            # Arcs are stepped by the rise of a step: half of it is a quarter of the rise.
            chord = np.hypot(*(self.ends[bent] - self.xy[bent]).T)
            rise = 0.5 * chord * np.abs(self.bulges[bent])
            wanted = np.sqrt(rise / tolerances[owner[bent]])
            steps[bent] = np.clip(np.ceil(wanted), 2, 512).astype(np.intp)
        side = np.repeat(np.arange(len(steps)), steps)
        start = np.cumsum(steps) - steps
        share = (np.arange(len(side)) - start[side]) / steps[side]
        points = arcs.points_at(self.xy[side], self.ends[side], self.bulges[side], share)
        points[start] = self.xy
        index = owner[side]
        return np.asarray(shapely.polygons(shapely.linearrings(points, indices=index)))

    def chosen(self, keep: NDArray[np.bool_]) -> Loops:
        """Only the loops where `keep`, (k,), is true."""
        if keep.all():
            return self
        counts = self.counts
        rows = np.repeat(keep, counts)
        first = np.concatenate(([0], np.cumsum(counts[keep])))
        return Loops(
            self.xy[rows], self.bulges[rows], first, self.layer[keep], self.kind[keep], self.faces[keep]
        )


def _signed_areas(loops: Loops) -> Floats:
    about = np.repeat(loops.xy[loops.first[:-1]], loops.counts, axis=0)
    p, q = loops.xy - about, loops.ends - about
    share = 0.5 * (p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0])
    share += arcs.segment_areas_m2(np.hypot(*(q - p).T), loops.bulges)
    return np.add.reduceat(share, loops.first[:-1])


def _boxes(loops: Loops) -> Floats:
    low, high = side_boxes(loops.xy, loops.ends, loops.bulges)
    start = loops.first[:-1]
    return np.hstack((np.minimum.reduceat(low, start, axis=0), np.maximum.reduceat(high, start, axis=0)))


class LoopBook:
    """Collects loops one by one."""

    def __init__(self) -> None:
        self._xy, self._bulges = array("d"), array("d")
        self._counts, self._layer, self._kind, self._faces = array("q"), array("q"), array("q"), array("q")

    def __len__(self) -> int:
        return len(self._counts)

    def add(
        self,
        corners: Sequence[tuple[float, float]],
        bulges: Sequence[float],
        *,
        layer: int,
        kind: int,
        faces: int = 1,
    ) -> None:
        """One loop; what encloses nothing (fewer than three corners, all straight) is passed over."""
        if len(corners) < 2 or (len(corners) == 2 and not any(bulges)):
            return
        # Pieces come in any order; from the lower left is where a person begins to read.
        start = min(range(len(corners)), key=lambda i: corners[i][0] + corners[i][1])
        for x, y in (*corners[start:], *corners[:start]):
            self._xy.append(x)
            self._xy.append(y)
        self._bulges.extend(bulges[start:])
        self._bulges.extend(bulges[:start])
        self._counts.append(len(corners))
        self._layer.append(layer)
        self._kind.append(kind)
        self._faces.append(faces)

    def loops(self) -> Loops:
        """Everything collected."""
        first = np.concatenate(([0], np.cumsum(self._counts))).astype(np.intp)
        layer, kind, faces = (np.array(v, np.intp) for v in (self._layer, self._kind, self._faces))
        return Loops(np.array(self._xy).reshape(-1, 2), np.array(self._bulges), first, layer, kind, faces)


class ChainWriter:
    """Writes open strokes that meet end to end into a book, as loops."""

    def __init__(self, soup: Strokes) -> None:
        self._xy: list[tuple[float, float]] = list(map(tuple, soup.xy.tolist()))
        self._bulges, self._first = soup.bulges.tolist(), soup.first.tolist()
        self._layer, self._kind = soup.layer.tolist(), soup.kind.tolist()

    def write(self, chain: list[int], forward: list[bool], book: LoopBook) -> None:
        """One loop of strokes, each forward or backward."""
        corners: list[tuple[float, float]] = []
        bulges: list[float] = []
        for k, ahead in zip(chain, forward, strict=True):
            low, last = self._first[k], self._first[k + 1] - 1
            if ahead:
                corners += self._xy[low:last]
                bulges += self._bulges[low:last]
            else:
                corners += self._xy[low + 1 : last + 1][::-1]
                bulges += [-bulge for bulge in self._bulges[low:last][::-1]]
        layer = Counter(self._layer[k] for k in chain).most_common(1)[0][0]
        book.add(corners, bulges, layer=layer, kind=self._kind[chain[0]])


def loops_of_closed(strokes: Strokes, closed: NDArray[np.bool_], noise: float) -> Loops:
    """The closed strokes as loops; corners that repeat the one before are dropped."""
    some = strokes.chosen(closed)
    keep = np.ones(len(some.xy), np.bool_)
    # One that is closed by ends that meet repeats its first point.
    keep[some.first[1:][~some.closed] - 1] = False
    after = _next_kept(some.first, keep)
    step = np.hypot(*(some.xy[after] - some.xy).T)
    # A side of no length says nothing; the corner at its end stands for both.
    keep &= step > noise * 1e-3
    owner = np.repeat(np.arange(len(some)), some.counts)
    count = np.bincount(owner[keep], minlength=len(some))
    bent = np.bincount(owner[keep & (some.bulges != 0.0)], minlength=len(some)) > 0
    real = (count > 2) | ((count == 2) & bent)
    keep &= real[owner]
    first = np.concatenate(([0], np.cumsum(count[real])))
    ones = np.ones(int(real.sum()), np.intp)
    return Loops(some.xy[keep], some.bulges[keep], first, some.layer[real], some.kind[real], ones)


def _next_kept(first: Ints, keep: NDArray[np.bool_]) -> Ints:
    """Row of the point that follows each point of its run, passing over a last one that is not kept."""
    after = np.arange(1, len(keep) + 1)
    last = first[1:] - 1
    dropped = ~keep[last]
    after[last] = first[:-1]
    before_last = last[dropped & (np.diff(first) > 1)] - 1
    after[before_last] = first[:-1][dropped & (np.diff(first) > 1)]
    return after


def counter_clockwise(one: Loops, other: Loops) -> Loops:
    """Two collections as one, each loop turned counter-clockwise."""
    parts = [_turned(part) for loops in (one, other) for part in loops.parts()]
    if not parts:
        return one
    return Loops(
        np.concatenate([part.xy for part in parts]),
        np.concatenate([part.bulges for part in parts]),
        np.concatenate((one.first, other.first[1:] + one.first[-1])),
        np.concatenate((one.layer, other.layer)),
        np.concatenate((one.kind, other.kind)),
        np.concatenate((one.faces, other.faces)),
    )


def _turned(loops: Loops) -> Loops:
    clockwise = loops.signed_areas() < 0.0
    if not clockwise.any():
        return loops
    rows = np.arange(len(loops.xy))
    owner = np.repeat(np.arange(len(loops)), loops.counts)
    turn = clockwise[owner]
    # Corner 0 stays first, the others follow backwards; side i becomes side n - 1 - i.
    start, count = loops.first[:-1][owner], loops.counts[owner]
    place = rows - start
    corner = np.where(turn, start + (count - place) % count, rows)
    side = np.where(turn, start + count - 1 - place, rows)
    bulges = np.where(turn, -loops.bulges[side], loops.bulges[side])
    return Loops(loops.xy[corner], bulges, loops.first, loops.layer, loops.kind, loops.faces)

"""Strokes joined into loops: ends clustered, gaps closed, crossings cut, outlines walked.

Steps, each on exact pieces: closed strokes are loops as they are; open strokes whose ends meet two by two are
chained; what is left (crossings, ends on the middle of another, inner lines) is cut where it meets and walked
round from outside. Ends that meet within the noise of an exporter are joined unasked; ends up to `snap` apart
are joined and each such gap is reported; wider gaps stay open and are reported.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from ..geometry import arcs
from ..geometry.arcs import Floats, Ints
from ..values import dataclass
from .clusters import components, places
from .faces import outlines
from .gaps import Gap, close_gaps, nearest_free
from .loops import ChainWriter, LoopBook, Loops, counter_clockwise, loops_of_closed
from .noding import noded, pieces_of
from .rims import RimWriter
from .strokes import Strokes, following

NOISE_SHARE: Final = 3e-6
"""Ends nearer than this share of the drawing's size meet: what exporters leave (1,565 files were counted)."""


@dataclass(frozen=True, slots=True, eq=False)
class Tails:
    """A loop whose lines run on beyond it: its number, how far in all, and its strokes."""

    loop: int
    length: float
    strokes: Ints


@dataclass(frozen=True, slots=True, eq=False)
class Joined:
    """Loops, and what did not become loops.

    Attributes:
        loops: every loop found, counter-clockwise.
        open: (k,) strokes that bound no loop.
        inner: (k,) strokes that split an outline into faces.
        repeated: strokes or parts of strokes drawn twice.
        gaps: gaps that were closed, widest first.
        left_gaps: nearest free ends that stay apart, nearest first.
        tails: loops whose lines run on beyond them.
    """

    loops: Loops
    open: NDArray[np.bool_]
    inner: NDArray[np.bool_]
    repeated: int
    gaps: tuple[Gap, ...]
    left_gaps: tuple[Gap, ...]
    tails: tuple[Tails, ...] = ()


def join(strokes: Strokes, *, noise: float, snap: float = 0.0) -> Joined:
    """Loops from strokes; `noise` and `snap` in drawing units.

    Raises:
        DrawingFileError: the line work is too tangled.
    """
    closed = closed_strokes(strokes, noise)
    book = LoopBook()
    open_ = ~closed
    long_enough = stroke_lengths(strokes) > noise
    left = np.flatnonzero(open_ & long_enough)
    soup = strokes.chosen(open_ & long_enough)
    ends, spots = _ends(soup, noise)
    once, repeated = _each_once(soup, ends, noise)
    if repeated:
        soup, ends, left = soup.chosen(once), ends[once], left[once]
    soup, ends, spots, closings = close_gaps(soup, ends, spots, noise=noise, snap=snap)
    simple = _simple(ends, len(spots))
    _chain(soup, ends, simple, book)
    loose, inner, more, tails = _walk(soup, ~simple, noise, book)
    gaps = sorted(
        (c.gap for c in closings if not (loose | inner)[list(c.strokes)].any()), key=lambda gap: -gap.width
    )
    opened = np.zeros(len(strokes), np.bool_)
    opened[left[loose[: len(left)]]] = True
    inside = np.zeros(len(strokes), np.bool_)
    inside[left[inner[: len(left)]]] = True
    rings = loops_of_closed(strokes, closed, noise)
    beyond = tuple(
        Tails(len(rings) + tail.loop, tail.length, left[tail.strokes[tail.strokes < len(left)]])
        for tail in tails
    )
    loops = counter_clockwise(rings, book.loops())
    free = nearest_free(ends, spots)
    return Joined(loops, opened, inside, repeated + more, tuple(gaps), free, beyond)


def closed_strokes(strokes: Strokes, noise: float) -> NDArray[np.bool_]:
    """Which strokes are closed, by flag or by ends that meet."""
    if not len(strokes):
        return np.zeros(0, np.bool_)
    counts = strokes.counts
    start, end = strokes.xy[strokes.first[:-1]], strokes.xy[strokes.first[1:] - 1]
    meets = (np.hypot(*(end - start).T) <= noise) & (counts > 2)
    return np.asarray(strokes.closed | meets, dtype=np.bool_)


def stroke_lengths(strokes: Strokes) -> Floats:
    """Length along each stroke, (k,)."""
    if not len(strokes):
        return np.zeros(0)
    return np.add.reduceat(_piece_lengths(strokes), strokes.first[:-1])


def _piece_lengths(strokes: Strokes) -> Floats:
    across = strokes.xy[following(strokes)] - strokes.xy
    length = arcs.lengths_m(np.hypot(across[:, 0], across[:, 1]), strokes.bulges)
    length[strokes.first[1:] - 1] *= strokes.closed
    return length


def _ends(soup: Strokes, noise: float) -> tuple[Ints, Floats]:
    """Places of both ends of every stroke, (k, 2), and where the places are."""
    start, end = soup.xy[soup.first[:-1]], soup.xy[soup.first[1:] - 1]
    index, spots = places(np.vstack((start, end)), noise)
    return index.reshape(2, -1).T, spots


def _each_once(soup: Strokes, ends: Ints, noise: float) -> tuple[NDArray[np.bool_], int]:
    """Which strokes to keep when those drawn twice (same ends, length and middle) count once."""
    keep = np.ones(len(soup), np.bool_)
    if len(soup) < 2:
        return keep, 0
    low, high = ends.min(axis=1), ends.max(axis=1)
    length = stroke_lengths(soup)
    order = np.lexsort((length, high, low))
    alike = (low[order][1:] == low[order][:-1]) & (high[order][1:] == high[order][:-1])
    if not alike.any():
        return keep, 0
    middle = middles(soup)
    alike &= np.abs(np.diff(length[order])) <= 4.0 * noise
    alike &= np.hypot(*np.diff(middle[order], axis=0).T) <= 4.0 * noise
    keep[order[1:][alike]] = False
    return keep, int(alike.sum())


def middles(soup: Strokes) -> Floats:
    """A point of each open stroke that does not depend on its direction: the mean of its pieces' middles."""
    after = following(soup)
    half = arcs.points_at(soup.xy, soup.xy[after], soup.bulges, np.full(len(soup.xy), 0.5))
    half[soup.first[1:] - 1] = 0.0
    return np.asarray(np.add.reduceat(half, soup.first[:-1], axis=0) / (soup.counts - 1)[:, None])


def _simple(ends: Ints, count: int) -> NDArray[np.bool_]:
    """Strokes in groups where every end meets exactly one other: they close without any cutting."""
    if not len(ends):
        return np.zeros(0, np.bool_)
    degree = np.bincount(ends.ravel(), minlength=count)
    group = components(count, ends[:, 0], ends[:, 1])
    odd = np.zeros(count, np.bool_)
    odd[group[(degree != 2) & (degree > 0)]] = True
    return ~odd[group[ends[:, 0]]]


def _chain(soup: Strokes, ends: Ints, simple: NDArray[np.bool_], book: LoopBook) -> None:
    """Loops of strokes that meet end to end."""
    index = np.flatnonzero(simple)
    if not len(index):
        return
    a, b = ends[index, 0], ends[index, 1]
    halves = np.argsort(np.concatenate((a, b)), kind="stable")
    owner = index[halves % len(index)].tolist()
    at = np.searchsorted(np.concatenate((a, b))[halves], np.arange(int(max(a.max(), b.max())) + 1)).tolist()
    start, end = ends[:, 0].tolist(), ends[:, 1].tolist()
    writer = ChainWriter(soup)
    used = set()
    for first in index.tolist():
        if first in used:
            continue
        chain: list[int] = []
        forward: list[bool] = []
        stroke, spot = first, start[first]
        while stroke not in used:
            used.add(stroke)
            ahead = start[stroke] == spot
            chain.append(stroke)
            forward.append(ahead)
            spot = end[stroke] if ahead else start[stroke]
            one, other = owner[at[spot]], owner[at[spot] + 1]
            stroke = other if one == stroke else one
        writer.write(chain, forward, book)


def _walk(
    soup: Strokes, rest: NDArray[np.bool_], noise: float, book: LoopBook
) -> tuple[NDArray[np.bool_], NDArray[np.bool_], int, list[Tails]]:
    """Loops of strokes that have to be cut.

    Returns:
        Which strokes bound nothing, which split an outline, how many parts were drawn twice, tails.
    """
    loose, inner = np.zeros(len(soup), np.bool_), np.zeros(len(soup), np.bool_)
    tails: list[Tails] = []
    if not rest.any():
        return loose, inner, 0, tails
    pieces = pieces_of(soup, rest)
    net = noded(pieces, noise)
    found = outlines(net)
    across = net.spots[net.b] - net.spots[net.a]
    length = arcs.lengths_m(np.hypot(across[:, 0], across[:, 1]), net.bulges) * found.loose
    over = np.bincount(pieces.stroke[net.piece], weights=length, minlength=len(soup))
    over_of: list[float] = over.tolist()
    writer = RimWriter(net, pieces, soup.layer, soup.kind)
    for walk, faces in zip(found.walks, found.faces, strict=True):
        strokes = writer.strokes(walk)
        beyond = sum(over_of[stroke] for stroke in strokes)
        if beyond > 0.0:
            tails.append(Tails(len(book), beyond, np.array(strokes, dtype=np.intp)))
        writer.write(walk, book, faces)
    bounding = np.zeros(len(soup), np.bool_)
    bounding[pieces.stroke[net.piece[~found.loose & ~found.inner]]] = True
    inner[pieces.stroke[net.piece[found.inner]]] = True
    inner &= ~bounding
    loose[rest] = True
    loose &= ~bounding & ~inner
    return loose, inner, net.repeated, tails

"""Floor drawn against something that is closed already: a patio of three lines on the wall of a house.

Open lines outside every loop are cut together with the loops that they touch; faces that they bound outside
the loops are floor. Where several such faces hang together along open lines, their union is one outline.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from ..geometry import arcs
from ..geometry.arcs import Floats, Ints
from .faces import Faces, faces_of, outlines
from .joining import middles
from .loops import LoopBook, Loops
from .nesting import holders
from .noding import Net, Pieces, noded, pieces_of
from .rims import RimWriter
from .strokes import Strokes

MOST_LINES: Final = 2_000
MOST_LOOPS: Final = 2_000
"""Beyond so many open lines or loops nobody drew them by hand, and it is not tried."""

_INWARD: Final = 1e-3


def floors_against(
    strokes: Strokes, open_: NDArray[np.bool_], loops: Loops, noise: float
) -> tuple[Loops, NDArray[np.bool_]]:
    """Loops that open lines and existing loops bound together, and which strokes bound them.

    Args:
        strokes: all of them.
        open_: (k,) those that bound nothing by themselves.
        loops: those found so far.
        noise: distance within which ends meet.
    """
    nothing = LoopBook().loops(), np.zeros(len(strokes), np.bool_)
    outside = np.flatnonzero(open_)
    if not 0 < len(outside) <= MOST_LINES or not 0 < len(loops) <= MOST_LOOPS:
        return nothing
    mask = open_.copy()
    lines = strokes.chosen(mask)
    inside, _ = holders(loops, middles(lines))
    keep = np.ones(len(lines), np.bool_)
    keep[inside] = False
    if not keep.any():
        return nothing
    lines, outside = lines.chosen(keep), outside[keep]
    pieces = _together(lines, loops)
    net = noded(pieces, noise)
    faces = faces_of(net)
    floor = _floor(net, pieces, faces, loops, len(lines))
    book = LoopBook()
    used = _add_outlines(net, pieces, faces, floor, lines, loops, book)
    bounding = np.zeros(len(strokes), np.bool_)
    bounding[outside[used]] = True
    return book.loops(), bounding


def _together(lines: Strokes, loops: Loops) -> Pieces:
    """Pieces of the lines (strokes 0 to k - 1) and sides of the loops (k and up)."""
    own = pieces_of(lines, np.ones(len(lines), np.bool_))
    owner = len(lines) + np.repeat(np.arange(len(loops)), loops.counts)
    return Pieces(
        np.vstack((own.starts, loops.xy)),
        np.vstack((own.ends, loops.ends)),
        np.concatenate((own.bulges, loops.bulges)),
        np.concatenate((own.stroke, owner)),
    )


def _floor(net: Net, pieces: Pieces, faces: Faces, loops: Loops, lines: int) -> NDArray[np.bool_]:
    """Which faces are bounded by a line and lie outside every loop, by number."""
    count = len(faces.area)
    half = np.flatnonzero((pieces.stroke[net.piece[faces.part]] < lines) & (faces.area[faces.number] > 0.0))
    floor = np.zeros(count, np.bool_)
    if not len(half):
        return floor
    points = _beside(net, faces, half)
    held, _ = holders(loops, points)
    free = np.ones(len(half), np.bool_)
    free[held] = False
    floor[faces.number[half[free]]] = True
    floor[faces.number[half[~free]]] = False
    return floor


def _beside(net: Net, faces: Faces, half: Ints) -> Floats:
    """A point in the face of each half, close beside its middle."""
    part, ahead = faces.part[half], faces.forward[half]
    start, end = net.spots[net.a[part]], net.spots[net.b[part]]
    middle = arcs.points_at(start, end, net.bulges[part], np.full(len(part), 0.5))
    across = np.where(ahead[:, None], end - start, start - end)
    return np.asarray(middle + _INWARD * np.column_stack((-across[:, 1], across[:, 0])))


def _add_outlines(
    net: Net,
    pieces: Pieces,
    faces: Faces,
    floor: NDArray[np.bool_],
    lines: Strokes,
    loops: Loops,
    book: LoopBook,
) -> Ints:
    """Put the outlines of the floor into the book; the lines that bound or split it."""
    if not floor.any():
        return np.zeros(0, np.intp)
    on = floor[faces.number].reshape(-1, 2)
    parts = faces.part[0::2]
    edge = parts[on[:, 0] != on[:, 1]]
    rim = Net(net.spots, net.a[edge], net.b[edge], net.bulges[edge], net.piece[edge], 0)
    layer, kind = np.concatenate((lines.layer, loops.layer)), np.concatenate((lines.kind, loops.kind))
    # The loop's own name and kind say nothing about what was drawn against it.
    weight = np.concatenate((np.ones(len(lines)), np.zeros(len(loops))))
    writer = RimWriter(rim, pieces, layer, kind, weight)
    for walk in outlines(rim).walks:
        writer.write(walk, book)
    strokes = np.unique(pieces.stroke[net.piece[parts[on.any(axis=1)]]])
    return strokes[strokes < len(lines)]

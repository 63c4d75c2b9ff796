"""Cutting pieces where they meet: crossings, ends on the middle of another, overlaps.

Everything is worked out on the exact lines and circles, so that the pieces between cuts keep their arcs.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray

from ..errors import DrawingFileError, Fault
from ..geometry import arcs
from ..geometry.arcs import Floats, Ints
from ..geometry.rings import side_boxes
from ..values import dataclass
from .clusters import places
from .geos import boxes
from .strokes import Strokes, following

MOST_PAIRS: Final = 2_000_000
"""Pairs of pieces whose boxes touch, beyond which the line work is refused as too tangled."""

_STRAIGHT: Final = 1e-9
_AT_ONCE: Final = 8192


@dataclass(frozen=True, slots=True, eq=False)
class Pieces:
    """Straight and circular pieces: starts (n, 2), ends (n, 2), bulges (n,), the stroke each is of (n,)."""

    starts: Floats
    ends: Floats
    bulges: Floats
    stroke: Ints

    def __len__(self) -> int:
        return len(self.bulges)


@dataclass(frozen=True, slots=True, eq=False)
class Net:
    """Pieces cut at every place where they meet.

    Attributes:
        spots: (k, 2) the places.
        a: (m,) place where each part starts.
        b: (m,) place where it ends.
        bulges: (m,) of each part.
        piece: (m,) the piece that it is of.
        repeated: how many parts lay on another and were dropped.
    """

    spots: Floats
    a: Ints
    b: Ints
    bulges: Floats
    piece: Ints
    repeated: int


def pieces_of(soup: Strokes, wanted: NDArray[np.bool_]) -> Pieces:
    """Single pieces of the wanted strokes."""
    stroke = np.repeat(np.arange(len(soup)), soup.counts)
    real = wanted[stroke].copy()
    real[soup.first[1:] - 1] &= soup.closed
    after = following(soup)
    return Pieces(soup.xy[real], soup.xy[after[real]], soup.bulges[real], stroke[real])


def piece_boxes(pieces: Pieces) -> tuple[Floats, Floats]:
    """Boxes around pieces, arcs exact: least corners (n, 2) and greatest corners (n, 2)."""
    return side_boxes(pieces.starts, pieces.ends, pieces.bulges)


def noded(pieces: Pieces, tolerance: float) -> Net:
    """The pieces cut wherever they meet or overlap within the tolerance, each part once.

    Raises:
        DrawingFileError: there are too many meetings to work through.
    """
    cuts: list[Cuts] = []
    for i, j in _meeting(pieces, tolerance):
        cuts += _ends_on(pieces, i, j, tolerance)
        cuts += _ends_on(pieces, j, i, tolerance)
        cuts += _crossings(pieces, i, j, tolerance)
    piece = np.concatenate([np.zeros(0, np.intp), *(c[0] for c in cuts)])
    share = np.concatenate([np.zeros(0), *(c[1] for c in cuts)])
    point = np.concatenate([np.zeros((0, 2)), *(c[2] for c in cuts)])
    n = len(pieces)
    everything = np.vstack((pieces.starts, pieces.ends, point))
    node, spots = places(everything, tolerance)
    owner = np.concatenate((np.arange(n), np.arange(n), piece))
    along = np.concatenate((np.zeros(n), np.ones(n), share))
    order = np.lexsort((along, owner))
    owner, along, node = owner[order], along[order], node[order]
    same = owner[1:] == owner[:-1]
    a, b, of = node[:-1][same], node[1:][same], owner[1:][same]
    part = (along[1:] - along[:-1])[same]
    bulge = np.where(part == 1.0, pieces.bulges[of], np.tan(np.arctan(pieces.bulges[of]) * part))
    real = a != b
    return _each_once(Net(spots, a[real], b[real], bulge[real], of[real], 0), tolerance)


def _each_once(net: Net, tolerance: float) -> Net:
    """Without parts that lie on another: the same ends and the same rise."""
    low, high = np.minimum(net.a, net.b), np.maximum(net.a, net.b)
    chord = np.hypot(*(net.spots[net.b] - net.spots[net.a]).T)
    rise = 0.5 * chord * np.where(net.a == low, net.bulges, -net.bulges)
    order = np.lexsort((net.piece, rise, high, low))
    again = np.zeros(len(order), dtype=np.bool_)
    again[1:] = (
        (low[order][1:] == low[order][:-1])
        & (high[order][1:] == high[order][:-1])
        & (np.abs(np.diff(rise[order])) <= 2.0 * tolerance)
    )
    keep = np.sort(order[~again])
    return Net(net.spots, net.a[keep], net.b[keep], net.bulges[keep], net.piece[keep], int(again.sum()))


def _meeting(pieces: Pieces, tolerance: float) -> Iterator[tuple[Ints, Ints]]:
    """Pairs (i < j) of pieces whose boxes touch within the tolerance, some at a time."""
    low, high = piece_boxes(pieces)
    around = boxes(low, high, tolerance)
    tree = shapely.STRtree(around)
    _refuse_tangle(tree, around)
    for start in range(0, len(around), _AT_ONCE):
        pairs = tree.query(around[start : start + _AT_ONCE])
        pairs[0] += start
        pairs = pairs[:, pairs[0] < pairs[1]]
        yield pairs[0], pairs[1]


def _refuse_tangle(tree: shapely.STRtree, around: NDArray[np.object_]) -> None:
    """Count the meetings before any is worked through."""
    count = 0
    for start in range(0, len(around), _AT_ONCE):
        # Each pair is found twice, and each box meets itself.
        count += tree.query(around[start : start + _AT_ONCE]).shape[1]
        if count > 2 * MOST_PAIRS + len(around):
            raise DrawingFileError(
                Fault(
                    code="drawing-tangled",
                    text=f"{len(around):,} pieces of line work cross or touch one another in more than"
                    f" {MOST_PAIRS:,} places",
                    hint="choose the layers of the slab, or delete hatching drawn as lines",
                )
            )


Cuts = tuple[Ints, Floats, Floats]


def _ends_on(pieces: Pieces, i: Ints, j: Ints, tolerance: float) -> list[Cuts]:
    """Cuts of pieces i at the ends of pieces j that lie on their middle."""
    cuts = []
    for ends in (pieces.starts, pieces.ends):
        points = ends[j]
        share, off = along(pieces, i, points)
        length = np.hypot(*(pieces.ends[i] - pieces.starts[i]).T)
        inside = (off <= tolerance) & _between(pieces, i, points, share, tolerance) & (length > 0.0)
        cuts.append((i[inside], share[inside], points[inside]))
    return cuts


def _between(pieces: Pieces, i: Ints, points: Floats, share: Floats, tolerance: float) -> NDArray[np.bool_]:
    """Whether points on pieces are clear of both ends."""
    clear = np.hypot(*(points - pieces.starts[i]).T) > tolerance
    clear &= np.hypot(*(points - pieces.ends[i]).T) > tolerance
    return np.asarray(clear & (share > 0.0) & (share < 1.0))


def along(pieces: Pieces, i: Ints, points: Floats) -> tuple[Floats, Floats]:
    """How far along pieces i points stand (0 start, 1 end) and how far off line or circle, (k,) each."""
    start, across = pieces.starts[i], pieces.ends[i] - pieces.starts[i]
    rel = points - start
    square = np.maximum((across * across).sum(axis=1), 1e-300)
    share = (rel * across).sum(axis=1) / square
    off = np.abs(across[:, 0] * rel[:, 1] - across[:, 1] * rel[:, 0]) / np.sqrt(square)
    bent = np.flatnonzero(np.abs(pieces.bulges[i]) > _STRAIGHT)
    if len(bent):
        k = i[bent]
        centre, radius = circles(pieces, k)
        share[bent] = _turned(pieces, k, centre, points[bent])
        off[bent] = np.abs(np.hypot(*(points[bent] - centre).T) - radius)
    return share, off


def circles(pieces: Pieces, i: Ints) -> tuple[Floats, Floats]:
    """Centres (k, 2) and radii (k,) of curved pieces."""
    b = pieces.bulges[i]
    centre = arcs.centres(pieces.starts[i], pieces.ends[i], b)
    chord = np.hypot(*(pieces.ends[i] - pieces.starts[i]).T)
    return centre, chord * (1.0 + b * b) / (4.0 * np.abs(b))


def _turned(pieces: Pieces, i: Ints, centre: Floats, points: Floats) -> Floats:
    """Share of an arc's angle at which each point stands; above 1 when past its end."""
    u, v = pieces.starts[i] - centre, points - centre
    way = np.sign(pieces.bulges[i])
    angle = way * np.arctan2(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0], (u * v).sum(axis=1))
    angle = np.where(angle < -1e-12, angle + 2.0 * np.pi, angle)
    return np.asarray(angle / (4.0 * np.arctan(np.abs(pieces.bulges[i]))), dtype=np.float64)


def _crossings(pieces: Pieces, i: Ints, j: Ints, tolerance: float) -> list[Cuts]:
    """Cuts of both pieces of a pair where they cross clear of all ends."""
    bent_i = np.abs(pieces.bulges[i]) > _STRAIGHT
    bent_j = np.abs(pieces.bulges[j]) > _STRAIGHT
    cuts: list[Cuts] = []
    flat = ~bent_i & ~bent_j
    cuts += _accepted(pieces, i[flat], j[flat], _line_line(pieces, i[flat], j[flat]), tolerance)
    one = bent_i ^ bent_j
    straight, curved = np.where(bent_i, j, i)[one], np.where(bent_i, i, j)[one]
    for points in _line_circle(pieces, straight, curved):
        cuts += _accepted(pieces, straight, curved, points, tolerance)
    both = bent_i & bent_j
    for points in _circle_circle(pieces, i[both], j[both]):
        cuts += _accepted(pieces, i[both], j[both], points, tolerance)
    return cuts


def _accepted(pieces: Pieces, i: Ints, j: Ints, points: Floats, tolerance: float) -> list[Cuts]:
    real = np.isfinite(points).all(axis=1)
    i, j, points = i[real], j[real], points[real]
    share_i, off_i = along(pieces, i, points)
    share_j, off_j = along(pieces, j, points)
    good = (off_i <= tolerance) & (off_j <= tolerance)
    good &= _between(pieces, i, points, share_i, tolerance) & _between(pieces, j, points, share_j, tolerance)
    return [(i[good], share_i[good], points[good]), (j[good], share_j[good], points[good])]


def _line_line(pieces: Pieces, i: Ints, j: Ints) -> Floats:
    p, d = pieces.starts[i], pieces.ends[i] - pieces.starts[i]
    q, e = pieces.starts[j], pieces.ends[j] - pieces.starts[j]
    with np.errstate(divide="ignore", invalid="ignore"):
        cross = d[:, 0] * e[:, 1] - d[:, 1] * e[:, 0]
        gap = q - p
        t = (gap[:, 0] * e[:, 1] - gap[:, 1] * e[:, 0]) / cross
        return np.asarray(p + t[:, None] * d, dtype=np.float64)


def _line_circle(pieces: Pieces, i: Ints, j: Ints) -> tuple[Floats, Floats]:
    """Both points where the line of piece i meets the circle of piece j; not finite where they miss."""
    centre, radius = circles(pieces, j)
    p, d = pieces.starts[i], pieces.ends[i] - pieces.starts[i]
    unit = d / np.maximum(np.hypot(*d.T), 1e-300)[:, None]
    middle = p + ((centre - p) * unit).sum(axis=1)[:, None] * unit
    with np.errstate(invalid="ignore"):
        half = np.sqrt(radius**2 - ((middle - centre) ** 2).sum(axis=1))[:, None]
    return middle - half * unit, middle + half * unit


def _circle_circle(pieces: Pieces, i: Ints, j: Ints) -> tuple[Floats, Floats]:
    """Both points where the circles of two pieces meet; not finite where they do not."""
    c0, r0 = circles(pieces, i)
    c1, r1 = circles(pieces, j)
    d = c1 - c0
    apart = np.hypot(*d.T)
    with np.errstate(divide="ignore", invalid="ignore"):
        unit = d / apart[:, None]
        a = (apart**2 + r0**2 - r1**2) / (2.0 * apart)
        half = np.sqrt(r0**2 - a**2)[:, None]
        middle = c0 + a[:, None] * unit
        aside = half * np.column_stack((-unit[:, 1], unit[:, 0]))
        return middle - aside, middle + aside

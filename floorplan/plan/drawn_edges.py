"""What stands along the sides of a drawn outline, by the layers on which these sides are drawn as well."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from ..foreign.noding import Pieces, along, pieces_of
from ..foreign.strokes import Strokes
from ..geometry import arcs
from ..geometry.arcs import Floats
from ..geometry.rings import Ring
from .edge_kinds import UNKNOWN

_LOOKED_AT = (0.25, 0.5, 0.75)


def edge_kinds_of(
    ring: Ring, strokes: Strokes, layers: Sequence[tuple[NDArray[np.bool_], str]], tolerance: float
) -> list[str]:
    """The edge kind of each side.

    Args:
        ring: the outline, in drawing units.
        strokes: all line work of the drawing.
        layers: which layers speak for which kind; the one that runs nearest to a side wins.
        tolerance: how far off the side a line may run, drawing units.
    """
    kinds = [UNKNOWN] * len(ring)
    nearest = np.full(len(ring), tolerance)
    for chosen, kind in layers:
        some = strokes.chosen(chosen[strokes.layer]) if len(strokes) else strokes
        if not len(some):
            continue
        off = _off(ring, pieces_of(some, np.ones(len(some), np.bool_)), tolerance)
        for i in np.flatnonzero((off < nearest) | ((off <= nearest) & (nearest == tolerance))).tolist():
            kinds[i], nearest[i] = kind, off[i]
    return kinds


def _off(ring: Ring, pieces: Pieces, tolerance: float) -> Floats:
    """How far the nearest pieces run off each side, seen at its quarters."""
    worst = np.zeros(len(ring))
    every = np.arange(len(pieces))
    for share in _LOOKED_AT:
        points = arcs.points_at(ring.points, ring.ends, ring.bulges, np.full(len(ring), share))
        for i in np.flatnonzero(worst <= tolerance).tolist():
            place, off = along(pieces, every, np.broadcast_to(points[i], (len(every), 2)))
            beside = (place >= -1e-9) & (place <= 1.0 + 1e-9)
            worst[i] = max(worst[i], off[beside].min(initial=np.inf))
    return worst

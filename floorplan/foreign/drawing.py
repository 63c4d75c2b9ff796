"""From line work to a drawing: which loops there are, which stands in which, what they are called."""

from __future__ import annotations

from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray

from ..errors import Fault
from ..geometry.arcs import Floats, Ints
from ..geometry.rings import Ring
from ..values import dataclass, replace
from .against import floors_against
from .gaps import Gap
from .joining import NOISE_SHARE, Joined, join
from .layers import visible
from .loops import Loops, counter_clockwise
from .model import Source
from .nesting import Nest, holders, nest
from .strokes import Strokes

WIDEST_NOISE_M: Final = 2e-4
"""Where the unit is known, ends farther apart than a fifth of a millimetre are no exporter's noise."""

_TAIL_SHARE: Final = 0.1
"""Lines that run on beyond their loop by more than this share of it cross the floor rather than end it."""


@dataclass(frozen=True, slots=True, eq=False)
class Drawing:
    """A drawing whose loops have been found; coordinates in drawing units.

    Attributes:
        source: what was read.
        strokes: the line work that was looked at.
        loops: loops, counter-clockwise.
        nest: which stands in which.
        names: (k,) the texts that stand in each loop and in none inside it, "; " between them.
        joined: open lines, inner lines, gaps.
        dropped: loops too small to be anything.
        noise: distance within which ends were joined unasked.
        snap: distance within which gaps were closed.
    """

    source: Source
    strokes: Strokes
    loops: Loops
    nest: Nest
    names: tuple[str, ...]
    joined: Joined
    dropped: int
    noise: float
    snap: float

    def outlines(self) -> list[int]:
        """Loops that are floor, largest first."""
        area = self.loops.signed_areas()
        even = np.flatnonzero((self.nest.depth % 2 == 0) & ~self.nest.repeated)
        return [int(k) for k in even[np.argsort(-area[even], kind="stable")]]

    def floor_and_holes(self) -> list[int]:
        """Every loop once, in the order found."""
        return [int(k) for k in np.flatnonzero(~self.nest.repeated)]

    def inside(self, k: int) -> list[int]:
        """Loops directly inside loop k: cut-outs of an outline, islands of a cut-out."""
        return [int(c) for c in np.flatnonzero((self.nest.parent == k) & ~self.nest.repeated)]

    def layer_name(self, k: int) -> str:
        """The layer of loop k."""
        return self.source.layers[int(self.loops.layer[k])].name

    def ring(self, k: int) -> Ring:
        """Loop k as a ring, in drawing units."""
        return self.loops.ring(k)

    def open_strokes(self) -> list[int]:
        """Indices into `strokes` of lines that bound no loop, those that split an outline included."""
        return [int(k) for k in np.flatnonzero(self.joined.open | self.joined.inner)]

    def crossing(self, k: int) -> tuple[float, float] | None:
        """Where loop k crosses or touches itself, None when it does not."""
        box = self.loops.boxes()[k]
        size = max(box[2] - box[0], box[3] - box[1])
        only = np.zeros(len(self.loops), np.bool_)
        only[k] = True
        polygon = self.loops.chosen(only).polygons(np.array([1e-4 * size]))[0]
        if shapely.is_valid(polygon):
            return None
        words = shapely.is_valid_reason(polygon)
        try:
            x, y = words[words.index("[") + 1 : words.index("]")].split()[:2]
            return float(x), float(y)
        except ValueError:
            return float(polygon.centroid.x), float(polygon.centroid.y)


def bounds_of(strokes: Strokes) -> tuple[float, float, float, float]:
    """Box around the points of strokes: least x, least y, greatest x, greatest y; zeros for none."""
    if not len(strokes.xy):
        return 0.0, 0.0, 0.0, 0.0
    (x0, y0), (x1, y1) = strokes.xy.min(axis=0), strokes.xy.max(axis=0)
    return float(x0), float(y0), float(x1), float(y1)


def noise_of(strokes: Strokes, unit_m: float | None) -> float:
    """Distance within which ends meet unasked, drawing units."""
    x0, y0, x1, y1 = bounds_of(strokes)
    size = float(np.hypot(x1 - x0, y1 - y0))
    # What doubles can tell apart at these coordinates bounds it from below.
    least = 16.0 * np.finfo(float).eps * max(abs(x0), abs(y0), abs(x1), abs(y1))
    noise = NOISE_SHARE * size
    if unit_m:
        noise = min(noise, WIDEST_NOISE_M / unit_m)
    return max(noise, float(least))


def find_loops(
    source: Source,
    *,
    layers: NDArray[np.bool_] | None = None,
    snap: float = 0.0,
    hatches: bool = False,
    texts: NDArray[np.bool_] | None = None,
    unit_m: float | None = None,
) -> Drawing:
    """Loops of the line work on some layers.

    Args:
        source: what was read.
        layers: (layers,) which to look at; None takes all that are neither off nor frozen.
        snap: gaps up to this are closed and told, drawing units.
        hatches: take the outlines of hatches instead of line work.
        texts: (layers,) which layers' texts name loops; None takes all that are neither off nor frozen.
        unit_m: metres for one drawing unit where known; keeps the noise small on wide sheets.

    Raises:
        DrawingFileError: the line work is too tangled.
    """
    strokes = source.strokes
    if hatches and source.hatches is not None:
        strokes = source.hatches()
    wanted = visible(source.layers) if layers is None else layers
    if len(strokes):
        strokes = strokes.chosen(wanted[strokes.layer])
    noise = noise_of(strokes, unit_m or source.unit_m)
    x0, y0, x1, y1 = bounds_of(strokes)
    # Work about the middle: products of far-out coordinates lose digits.
    middle = np.array((0.5 * (x0 + x1), 0.5 * (y0 + y1)))
    with np.errstate(all="ignore"):
        shifted = strokes.moved(strokes.xy - middle)
        joined = join(shifted, noise=noise, snap=snap)
        large = _large_enough(joined.loops, noise)
        dropped = int((~large).sum())
        loops, nested, crossed = _nested(joined, large, noise)
        joined, loops, nested = _against(shifted, joined, loops, nested, noise)
    loops = Loops(loops.xy + middle, loops.bulges, loops.first, loops.layer, loops.kind, loops.faces)
    return Drawing(
        source,
        strokes,
        loops,
        nested,
        _names(source, loops, nested.repeated, visible(source.layers) if texts is None else texts),
        _finished(joined, crossed, middle),
        dropped,
        noise,
        snap,
    )


def _large_enough(loops: Loops, noise: float) -> NDArray[np.bool_]:
    """Which loops are no thinner than the noise."""
    return np.asarray(np.abs(loops.signed_areas()) > noise * np.maximum(loops.perimeters(), noise))


def _nested(joined: Joined, large: NDArray[np.bool_], noise: float) -> tuple[Loops, Nest, Ints]:
    """Loops and how they nest, less those that are only lines across a floor; and the strokes of these.

    A grid of joints encloses its inner fields, but its lines run on to the edge of the slab: it is no
    cut-out.
    """
    loops = joined.loops.chosen(large)
    nested = nest(loops, noise)
    place = np.cumsum(large) - 1
    perimeter = joined.loops.perimeters()
    lines = [
        tail
        for tail in joined.tails
        if large[tail.loop]
        and nested.depth[place[tail.loop]] > 0
        and tail.length > _TAIL_SHARE * perimeter[tail.loop]
    ]
    if not lines:
        return loops, nested, np.zeros(0, np.intp)
    keep = large.copy()
    keep[[tail.loop for tail in lines]] = False
    loops = joined.loops.chosen(keep)
    return loops, nest(loops, noise), np.concatenate([tail.strokes for tail in lines])


def _against(
    strokes: Strokes, joined: Joined, loops: Loops, nested: Nest, noise: float
) -> tuple[Joined, Loops, Nest]:
    """The same with floor that open lines and loops bound together."""
    more, bounding = floors_against(strokes, joined.open, loops.chosen(~nested.repeated), noise)
    if not len(more):
        return joined, loops, nested
    loops = counter_clockwise(loops, more.chosen(_large_enough(more, noise)))
    return replace(joined, open=joined.open & ~bounding), loops, nest(loops, noise)


def _finished(joined: Joined, crossed: Ints, middle: Floats) -> Joined:
    """What was joined, in the drawing's own coordinates; lines across a floor count as inner ones."""
    inner = joined.inner.copy()
    inner[crossed] = True
    dx, dy = float(middle[0]), float(middle[1])

    def moved(gap: Gap) -> Gap:
        return Gap((gap.start[0] + dx, gap.start[1] + dy), (gap.end[0] + dx, gap.end[1] + dy), gap.width)

    return replace(
        joined,
        inner=inner,
        gaps=tuple(map(moved, joined.gaps)),
        left_gaps=tuple(map(moved, joined.left_gaps)),
    )


def _names(
    source: Source, loops: Loops, repeated: NDArray[np.bool_], wanted: NDArray[np.bool_]
) -> tuple[str, ...]:
    """For each loop the texts that stand in it and in no smaller one."""
    chosen = {layer.name for layer, use in zip(source.layers, wanted.tolist(), strict=True) if use}
    labels = [label for label in source.labels if label.layer in chosen]
    texts: list[list[str]] = [[] for _ in range(len(loops))]
    if labels and len(loops):
        points = np.array([(label.x, label.y) for label in labels])
        single = np.flatnonzero(~repeated)
        i, k = holders(loops.chosen(~repeated), points)
        k = single[k]
        order = np.lexsort((-loops.signed_areas()[k], i))
        smallest = dict(zip(i[order].tolist(), k[order].tolist(), strict=True))
        for n, loop in smallest.items():
            texts[loop].append(labels[n].text)
    return tuple("; ".join(dict.fromkeys(words)) for words in texts)


def no_line_work(source: Source) -> Fault:
    """The fault of a file in which nothing is line work: what it holds instead, and what to export."""
    held: dict[tuple[str, str], int] = {}
    for left in source.left_out:
        held[left.kind, left.why] = held.get((left.kind, left.why), 0) + left.count
    told = "; ".join(
        f"{n} {kind} ({why})" for (kind, why), n in sorted(held.items(), key=lambda i: -i[1])[:6]
    )
    return Fault(
        code="drawing-no-lines",
        text=f"{source.name}: no line work in its model space" + (f"; left out: {told}" if told else ""),
        hint="export the outline as lines, arcs or polylines in the model space",
    )

"""Lettering of cut-outs: name and size, sides of typed ones, and where each stands.

Many copies of one thing, such as the posts of a rail, are named once and located in a table.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from ..geometry.rings import Side
from ..measure.model import MeasuredCutout, SlabTakeoff
from .dimensions import location, side_dimension
from .labels import note
from .locating import references
from .placing import Candidate
from .plane import direction
from .rooms import Lettering, open_places, said, set_rows
from .sketch import Sketch
from .wording import cutout_words, measure

MANY = 6
"""More copies than this are named once."""
SAME_M = 1e-6
"""Opposite sides of a rectangle differ by no more."""
WIDE_MM = 18.0
"""A cut-out at least this wide on paper is lettered inside."""


def letter_cutouts(sketch: Sketch, slab: SlabTakeoff, what: Lettering) -> None:
    """Letter every cut-out of a slab that is on this page."""
    copies = _copies(slab)
    named: set[str] = set()
    for cutout, name in zip(slab.cutouts, copies, strict=True):
        count = copies.count(name)
        if not sketch.view.shows(sketch.view.xy(*cutout.centre)) or (count > MANY and name in named):
            continue
        words = [f"{count} x {name}", *cutout_words(cutout)[1:]] if count > MANY else cutout_words(cutout)
        if _letter(sketch, cutout, words, what):
            named.add(name)
        elif count <= MANY:
            sketch.unplaced.append((cutout.name, cutout.size_text))
    if what.located:
        for cutout, name in zip(slab.cutouts, copies, strict=True):
            if sketch.view.shows(sketch.view.xy(*cutout.centre)):
                _locate(sketch, slab, cutout, drawn=copies.count(name) <= MANY)


def _copies(slab: SlabTakeoff) -> list[str]:
    """For each cut-out the name that its copies share."""
    names = [cutout.name for cutout in slab.slab.cutouts for _ in range(max(1, len(cutout.at)))]
    return names if len(names) == len(slab.cutouts) else [cutout.name for cutout in slab.cutouts]


def _letter(sketch: Sketch, cutout: MeasuredCutout, words: list[str], what: Lettering) -> bool:
    x0, y0, x1, y1 = sketch.view.box(cutout.ring.bounds())
    middle = sketch.view.xy(*cutout.centre) if cutout.size_text else (0.5 * (x0 + x1), 0.5 * (y0 + y1))
    if what.sides and not cutout.size_text:
        _sides(sketch, cutout, what)
    if min(x1 - x0, y1 - y0) > WIDE_MM:
        rows = [(words[0], 2.5, True), *((line, 1.8, False) for line in words[1:])]
        if set_rows(sketch, open_places(sketch.view.region(cutout.ring.polygon(sketch.view.flat_m))), rows):
            return True
    return sketch.label("labels", note(middle, words, half=(0.5 * (x1 - x0), 0.5 * (y1 - y0)), nearest=1.5))


def _sides(sketch: Sketch, cutout: MeasuredCutout, what: Lettering) -> None:
    """Lengths of the sides of a cut-out with a typed outline, inside it where it is large."""
    for alike in sorted(_alike(list(cutout.ring.sides())), key=lambda alike: alike[0].chord_m):
        text = said(alike[0].chord_m, sketch, what)
        ways = (way for side in alike for way in _beside(sketch, side, text))
        if not sketch.label("dimensions", ways):
            sketch.unplaced.append((f"side of {cutout.name}", text))


def _alike(sides: list[Side]) -> list[list[Side]]:
    """Sides that one figure serves: opposite ones of a rectangle; every other side has its own."""
    pairs = [sides[::2], sides[1::2]] if len(sides) == 4 else []
    if pairs and all(_opposite(*pair) for pair in pairs):
        return pairs
    return [[side] for side in sides]


def _opposite(one: Side, other: Side) -> bool:
    """Straight, as long as each other, and run the other way round."""
    runs = [np.subtract(side.end, side.start) for side in (one, other)]
    return one.bulge == other.bulge == 0.0 and bool(np.allclose(runs[0], -runs[1], rtol=0.0, atol=SAME_M))


def _beside(sketch: Sketch, side: Side, text: str) -> Iterator[Candidate]:
    """Ways to letter one side."""
    a, b = sketch.view.points((side.start, side.end))
    way = direction(a, b)
    beyond = max(0.0, -0.5 * side.bulge * math.dist(a, b))
    # The ring runs counter-clockwise: the cut-out lies to the left.
    yield from side_dimension(a, b, (-way[1], way[0]), text, beyond=beyond)


def _locate(sketch: Sketch, slab: SlabTakeoff, cutout: MeasuredCutout, *, drawn: bool) -> None:
    """Distances of a cut-out's centre square to the two nearest sides that are not parallel."""
    for reference in references(slab, cutout):
        a, b = sketch.view.points((reference.foot, reference.point))
        text = measure(reference.distance_m, sketch.figures)
        whole = drawn and sketch.view.shows(a) and sketch.view.shows(b)
        if not whole or not sketch.label("dimensions", location(a, b, text)):
            sketch.unplaced.append((f"{cutout.name} from {reference.side}", text))

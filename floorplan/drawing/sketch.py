"""A drawing in the making: marks by layer, surfaces to be textured, and the crowd of labels.

Textures are worked out last, so that the lettering placed in the meantime can be cut out of them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

from ..units.figures import Figures
from ..values import dataclass
from .arcs import chords
from .hatching import hatched
from .marks import Group, Mark, Run, Stroke
from .pens import Texture
from .placing import Candidate, Crowd, Hull
from .view import View

LAYERS = (
    "floor",
    "band",
    "pockets",
    "off-floor",
    "joints",
    "zones",
    "cutouts",
    "outline",
    "edges",
    "arrows",
    "dimensions",
    "labels",
    "scale",
)
"""From the lowest to the highest."""


@dataclass(frozen=True, slots=True)
class _Surface:
    region: Any
    texture: Texture


class Sketch:
    """Marks of one drawing on one page; changes as parts are added.

    Attributes:
        view: metres to paper.
        crowd: what labels must keep clear of.
        figures: how lengths and areas are written.
        unplaced: labels that found no room, as (what, text), for a table.
    """

    def __init__(self, view: View, bounds: tuple[float, float, float, float], figures: Figures) -> None:
        self.view = view
        self.crowd = Crowd(bounds)
        self.figures = figures
        self.unplaced: list[tuple[str, str]] = []
        self._marks: dict[str, list[Mark | _Surface]] = {layer: [] for layer in LAYERS}
        self._ids: set[str] = set()

    def name_unplaced(self, first: int, slab: str) -> None:
        """Say of which slab the labels without room are, from the first given on."""
        self.unplaced[first:] = [(f"{slab}, {what}", text) for what, text in self.unplaced[first:]]

    def add(self, layer: str, *marks: Mark) -> None:
        """Put marks on a layer."""
        self._marks[layer] += marks

    def texture(self, layer: str, region: Any, texture: Texture) -> None:
        """Cover a region (on paper) with a texture."""
        if not region.is_empty:
            self._marks[layer].append(_Surface(region, texture))

    def block(self, runs: Iterable[Run]) -> None:
        """Keep text off runs; arcs count as a few chords that stay within a fifth of a millimetre of them."""
        for run in runs:
            self.crowd.add_line(chords(run))

    def label(self, layer: str, candidates: Iterable[Candidate], *, crossing: bool = True) -> bool:
        """Place a label; False when there is no room for it."""
        marks = self.crowd.place(candidates, crossing=crossing)
        if marks is None:
            return False
        self.add(layer, *marks)
        return True

    def new_id(self, *parts: object) -> str:
        """A lasting id from names, e.g. "slab-1-edge-a-b"; a number follows where it is taken."""
        words = (re.sub(r"[^0-9a-z]+", "-", str(part).casefold()).strip("-") for part in parts)
        plain = "-".join(word for word in words if word)
        name, count = plain, 1
        while name in self._ids:
            count += 1
            name = f"{plain}-{count}"
        self._ids.add(name)
        return name

    def groups(self) -> tuple[Group, ...]:
        """All marks, lowest layer first."""
        layers = ((layer, tuple(self._drawn(marks))) for layer, marks in self._marks.items())
        return tuple(Group(marks=marks, layer=layer) for layer, marks in layers if marks)

    def _drawn(self, marks: Iterable[Mark | _Surface]) -> Iterator[Mark]:
        for mark in marks:
            if not isinstance(mark, _Surface):
                yield mark
                continue
            lines = hatched(mark.region, mark.texture, self._lettered(mark.region))
            if lines:
                yield Stroke(runs=lines, pen=mark.texture.pen, texture=True)

    def _lettered(self, region: Any) -> list[Hull]:
        """Boxes of lettering on a region."""
        x0, y0, x1, y1 = region.bounds
        return [
            hull
            for hull in self.crowd.boxes
            if max(x for x, _ in hull) > x0
            and min(x for x, _ in hull) < x1
            and max(y for _, y in hull) > y0
            and min(y for _, y in hull) < y1
        ]

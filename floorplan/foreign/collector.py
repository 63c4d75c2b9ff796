"""Collects line work, layers, texts and what was left out of a format that has no layer table of its own."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from ..errors import Notice
from ..geometry.arcs import Floats
from .model import Label, Layer, LeftOut, Source
from .strokes import StrokeBook, sound
from .texts import printable


class Collector:
    """Filled while a file is read; `source` gives everything."""

    def __init__(self, name: str, form: str) -> None:
        self.name, self.form = name, form
        self.unit_m: float | None = None
        self.unit_said = ""
        self.notices: list[Notice] = []
        self._book = StrokeBook()
        self._layers: dict[str, int] = {}
        self._kinds: dict[str, int] = {}
        self._labels: list[Label] = []
        self._left_out: Counter[tuple[str, str, str]] = Counter()

    def stroke(
        self,
        points: Sequence[Sequence[float]] | Floats,
        bulges: Iterable[float] | None = None,
        *,
        closed: bool,
        layer: str,
        kind: str,
    ) -> None:
        """One stroke; straight where no bulges are given. Fewer than two points draw nothing."""
        if len(points) < 2:
            self.leave_out(kind, layer, "fewer than two points")
            return
        bends = [0.0] * len(points) if bulges is None else bulges
        index = self._layers.setdefault(printable(layer) or "0", len(self._layers))
        self._book.add(
            points, bends, closed=closed, layer=index, kind=self._kinds.setdefault(kind, len(self._kinds))
        )

    def label(self, text: str, x: float, y: float, layer: str) -> None:
        """A text and where it stands."""
        words = " ".join(printable(text).split())[:200]
        layer = printable(layer) or "0"
        self._layers.setdefault(layer, len(self._layers))
        if words:
            self._labels.append(Label(words, x, y, layer))

    def leave_out(self, kind: str, layer: str, why: str, count: int = 1) -> None:
        """Something that is not used."""
        self._left_out[printable(kind)[:40], printable(layer) or "0", why] += count

    def source(self) -> Source:
        """Everything collected."""
        strokes = self._book.strokes()
        layers, kinds = list(self._layers), list(self._kinds)
        good = sound(strokes)
        for k in (~good).nonzero()[0].tolist():
            kind, layer = kinds[int(strokes.kind[k])], layers[int(strokes.layer[k])]
            self.leave_out(kind, layer, "coordinates out of all reach")
        return Source(
            name=self.name,
            form=self.form,
            strokes=strokes.chosen(good),
            layers=tuple(Layer(layer) for layer in layers),
            kinds=tuple(kinds),
            labels=tuple(self._labels),
            left_out=tuple(LeftOut(kind, layer, n, why) for (kind, layer, why), n in self._left_out.items()),
            unit_m=self.unit_m,
            unit_said=self.unit_said,
            notices=tuple(self.notices),
        )

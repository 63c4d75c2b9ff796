"""The layers of a DXF while it is read: names in any case and any encoding, hidden ones known."""

from __future__ import annotations

from .model import Layer
from .tags import Group
from .texts import decoded


class LayerTable:
    """Gives every layer an index, in the order of the file; one that no table names is visible."""

    def __init__(self) -> None:
        self.codec = "cp1252"
        self._rows: list[Layer] = []
        self._by_name: dict[str, int] = {}
        self._by_raw: dict[bytes, int] = {}

    def __getitem__(self, index: int) -> Layer:
        return self._rows[index]

    def rows(self) -> tuple[Layer, ...]:
        """All layers."""
        return tuple(self._rows)

    def declare(self, group: Group) -> None:
        """A LAYER row of the layer table: frozen by flag 1, off by a colour below 0."""
        name = self.text(group.raw(2))
        if name and name.casefold() not in self._by_name:
            self._add(Layer(name, bool(group.whole(70) & 1) or group.whole(62, 7) < 0))

    def index(self, raw: bytes) -> int:
        """Index of a layer by its name as it stands in the file."""
        index = self._by_raw.get(raw)
        if index is None:
            name = self.text(raw) or "0"
            index = self._by_name.get(name.casefold())
            index = self._by_raw[raw] = self._add(Layer(name)) if index is None else index
        return index

    def text(self, raw: bytes) -> str:
        """Bytes of the file as text."""
        return decoded(raw, self.codec).strip()

    def _add(self, layer: Layer) -> int:
        index = self._by_name[layer.name.casefold()] = len(self._rows)
        self._rows.append(layer)
        return index

"""Blocks and where they are put: nested, turned, mirrored, stretched, in rows and columns.

A block is kept as it was read and put down once for each INSERT. Before anything is put down the entities are
counted, so that a file of a few lines that would explode into millions is refused instead.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

import numpy as np

from ..values import dataclass, field, replace
from .planes import Placement, Vector, placed_block, then
from .shapes import Shape

MOST_PUT_DOWN: Final = 500_000
"""Entities that the blocks of one drawing may come to, all copies counted."""

DEEPEST: Final = 64
"""How deep blocks may stand in blocks."""


@dataclass(frozen=True, slots=True)
class Item:
    """One entity of a block: its layer (b"" or "0" takes the insert's), its kind and what it draws."""

    layer: bytes
    kind: int
    shape: Shape


@dataclass(frozen=True, slots=True)
class Text:
    """A text of a block."""

    layer: bytes
    text: str
    at: Vector


@dataclass(frozen=True, slots=True)
class Other:
    """An entity of a block that is no line work, and why it is left out."""

    layer: bytes
    kind: str
    why: str


@dataclass(frozen=True, slots=True)
class Insert:
    """One INSERT: a block by its upper-case name, put down `columns` x `rows` times."""

    layer: bytes
    name: str
    at: Vector
    scale: Vector
    turn_deg: float
    normal: Vector
    columns: int = 1
    rows: int = 1
    column_step: float = 0.0
    row_step: float = 0.0


@dataclass(slots=True)
class Block:
    """A block as read."""

    name: str
    base: Vector = (0.0, 0.0, 0.0)
    reference: str = ""
    items: list[Item] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    inserts: list[Insert] = field(default_factory=list)
    others: list[Other] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a block cannot be put down: "missing", "cyclic", "deep" or "outside" (an external reference)."""

    why: str
    name: str


class Census:
    """Counts what each block comes to, nested copies included; finds those that cannot be put down."""

    def __init__(self, blocks: dict[str, Block]) -> None:
        self._blocks = blocks
        self._counts: dict[str, int] = {}
        self.refused: dict[str, Refusal] = {}

    def of(self, name: str, above: tuple[str, ...] = ()) -> int:
        """Entities that one copy of a block comes to; 0 for one that is refused."""
        if name in self._counts:
            return self._counts[name]
        if name in above:
            for member in above[above.index(name) :]:
                self.refused[member] = Refusal("cyclic", self._blocks[member].name)
            return 0
        why = self._refusal(name, above)
        if why:
            self.refused[name] = Refusal(why, self._blocks[name].name if name in self._blocks else name)
            self._counts[name] = 0
            return 0
        block = self._blocks[name]
        count = len(block.items) + len(block.texts) + len(block.others)
        for insert in block.inserts:
            count += max(1, insert.columns * insert.rows) * (self.of(insert.name, (*above, name)) + 1)
        self._counts[name] = count
        return count

    def _refusal(self, name: str, above: tuple[str, ...]) -> str:
        if name not in self._blocks:
            return "missing"
        if len(above) >= DEEPEST:
            return "deep"
        return "outside" if self._blocks[name].reference else ""


def placements(insert: Insert, base: Vector, outer: Placement | None) -> Iterator[Placement]:
    """Each copy's placement, rows and columns in turn."""
    one = placed_block(
        at=insert.at, base=base, scale=insert.scale, turn_deg=insert.turn_deg, normal=insert.normal
    )
    if insert.rows <= 1 and insert.columns <= 1:
        yield one if outer is None else then(outer, one)
        return
    # Rows and columns step along the turned axes of the block, in its plane, unscaled.
    turned = placed_block(
        at=(0.0, 0.0, 0.0),
        base=(0.0, 0.0, 0.0),
        scale=(1.0, 1.0, 1.0),
        turn_deg=insert.turn_deg,
        normal=insert.normal,
    )
    for row in range(max(1, insert.rows)):
        for column in range(max(1, insert.columns)):
            copy = one
            if row or column:
                copy = one.copy()
                copy[:, 3] += turned[:, :3] @ np.array(
                    (column * insert.column_step, row * insert.row_step, 0.0)
                )
            yield copy if outer is None else then(outer, copy)


@dataclass(frozen=True, slots=True)
class Sink:
    """Where what is put down goes."""

    item: Callable[[Item, Placement, bytes], None]
    text: Callable[[Text, Placement, bytes], None]
    other: Callable[[Other, bytes], None]


def put_down_block(
    insert: Insert, blocks: dict[str, Block], sink: Sink, outer: Placement | None = None
) -> None:
    """Every entity of a block and of the blocks in it, each with its placement and the insert's layer.

    `blocks` holds only those that the census has passed; others are passed over.
    """
    block = blocks.get(insert.name)
    if block is None:
        return
    for placement in placements(insert, block.base, outer):
        for item in block.items:
            sink.item(item, placement, insert.layer)
        for text in block.texts:
            sink.text(text, placement, insert.layer)
        for other in block.others:
            sink.other(other, insert.layer)
        for inner in block.inserts:
            # Layer 0 inside a block is the layer of the insert, however deep.
            on_zero = inner.layer in (b"", b"0")
            put_down_block(replace(inner, layer=insert.layer) if on_zero else inner, blocks, sink, placement)

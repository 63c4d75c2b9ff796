"""Setting blocks in columns."""

from __future__ import annotations

from collections.abc import Sequence

from ..values import dataclass
from .blocks import Block, split
from .marks import Mark

COLUMN_GAP_MM = 5.0
LEAST_MM = 42.0
"""Lower columns would part every block."""


@dataclass(frozen=True, slots=True)
class Area:
    """A rectangle of paper by its lower left corner, mm."""

    x: float
    y: float
    width: float
    height: float

    @property
    def top(self) -> float:
        """Its upper edge."""
        return self.y + self.height

    @property
    def right(self) -> float:
        """Its right edge."""
        return self.x + self.width

    def inset(self, mm: float) -> Area:
        """The rectangle made smaller all round."""
        return Area(self.x + mm, self.y + mm, self.width - 2 * mm, self.height - 2 * mm)


@dataclass(frozen=True, slots=True)
class Filled:
    """Blocks set in columns: (column, distance down from its top, block), and what is left."""

    placed: tuple[tuple[int, float, Block], ...]
    rest: tuple[Block, ...]

    @property
    def must_rest(self) -> bool:
        """True when a block that belongs on the first page found no room."""
        return any(not block.spills for block in self.rest)


def fill(blocks: Sequence[Block], columns: int, height_mm: float) -> Filled:
    """Set blocks from the top of the first column on, in order; those that may not spill go in first.

    Blocks follow each other from column to column; only where some would then find no room do they fill
    the gaps that others left.
    """
    flowing = _fill(blocks, columns, height_mm, gaps=False)
    if not flowing.rest:
        return flowing
    packed = _fill(blocks, columns, height_mm, gaps=True)
    return min((flowing, packed), key=lambda filled: (filled.must_rest, len(filled.rest)))


def _fill(blocks: Sequence[Block], columns: int, height_mm: float, *, gaps: bool) -> Filled:
    used = [0.0] * columns
    placed: list[tuple[int, float, Block]] = []
    rest: list[Block] = []
    for block in sorted(blocks, key=lambda block: block.spills):
        remaining: Block | None = block
        while remaining is not None:
            first = 0 if gaps else max((k for k, taken in enumerate(used) if taken), default=0)
            column, part, after = _next(remaining, used, first, height_mm)
            if part is None:
                rest.append(remaining)
                break
            placed.append((column, used[column], part))
            used[column] += part.height_mm
            remaining = after
    return Filled(tuple(placed), tuple(rest))


def _next(
    block: Block, used: Sequence[float], first: int, height_mm: float
) -> tuple[int, Block | None, Block | None]:
    """Where the next block goes, from column `first` on: whole where it can, else its first part."""
    ways = [(column, *split(block, height_mm - used[column])) for column in range(first, len(used))]
    for column, part, after in ways:
        if part is not None and after is None:
            return column, part, None
    for column, part, after in ways:
        if part is not None:
            return column, part, after
    return 0, None, block


def least_height(blocks: Sequence[Block], columns: int, most_mm: float) -> float | None:
    """The least height of so many columns that takes all blocks; None where `most_mm` does not."""
    if fill(blocks, columns, most_mm).rest:
        return None
    low, high = min(LEAST_MM, most_mm), most_mm
    if not fill(blocks, columns, low).rest:
        return low
    while high - low > 1.0:
        middle = 0.5 * (low + high)
        if fill(blocks, columns, middle).rest:
            low = middle
        else:
            high = middle
    return high


def paint(filled: Filled, area: Area, column_mm: float) -> tuple[Mark, ...]:
    """Marks of blocks set in the columns of an area."""
    return tuple(
        mark
        for column, down, block in filled.placed
        for mark in block.paint(area.x + column * (column_mm + COLUMN_GAP_MM), area.top - down)
    )

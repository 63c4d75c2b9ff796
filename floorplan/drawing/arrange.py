"""Paper, direction and scale: the largest standard scale at which drawing and text share a sheet.

A sheet has the drawing and, at its right or below it, the text in columns with the title block at the lower
right.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from ..values import dataclass, field
from .blocks import Block
from .columns import COLUMN_GAP_MM, Area, Filled, fill, least_height
from .furniture import frame_area, title_block_height
from .paper import Paper
from .scales import Scale

COLUMN_MM = 58.0
PAD_MM = 3.5
"""White between the frame and what stands inside it."""

BlocksAt = Callable[[float, Scale], list[Block]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """The floor in metres, and the paper around it for dimensions (left, bottom, right, top), mm."""

    width_m: float
    height_m: float
    around_mm: tuple[float, float, float, float]

    def paper_mm(self, scale: Scale) -> tuple[float, float]:
        """Width and height on paper."""
        left, bottom, right, top = self.around_mm
        return scale.paper_mm(self.width_m) + left + right, scale.paper_mm(self.height_m) + bottom + top


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrangement:
    """A page laid out: where the drawing, the columns and the title block go."""

    paper: Paper
    landscape: bool
    scale: Scale
    frame: Area
    drawing: Area
    title: Area
    columns: Area
    column_mm: float
    blocks: tuple[Block, ...] = field(repr=False)
    filled: Filled = field(repr=False)

    @property
    def count(self) -> int:
        """Number of columns."""
        return round((self.columns.width + COLUMN_GAP_MM) / (self.column_mm + COLUMN_GAP_MM))


def arrange(
    need: Need, blocks_at: BlocksAt, papers: Sequence[Paper], scales: Sequence[Scale], readable: float
) -> Arrangement | None:
    """The best page on which the drawing stands at a readable scale; None where no paper holds it.

    Down to a comfortable scale a larger drawing wins; beyond it lists rather go to a page behind. Of several
    papers a later, larger one is taken only for what it adds.
    """
    best: tuple[float, Arrangement] | None = None
    for rank, paper in enumerate(papers):
        if best is not None and not best[1].filled.must_rest:
            break
        for scale in scales:
            # No smaller drawing can make up for its scale.
            least = _smallness(scale) + LARGER_PAPER * rank
            if scale.ratio > readable or (best is not None and best[0] <= least):
                break
            for made in _ways(need, blocks_at, paper, scale):
                score = cost(made, need) + LARGER_PAPER * rank
                if best is None or score < best[0]:
                    best = (score, made)
    return best[1] if best is not None else None


LARGER_PAPER = 1.5
"""What speaks against a larger paper than the office's usual: as much as a drawing of half the size."""
COMFORTABLE = 50.0
"""A crew reads a drawing of 1:48 or 1:50 at arm's length (common practice, no source)."""


def _smallness(scale: Scale) -> float:
    doublings = math.log2(scale.ratio / COMFORTABLE)
    return (1.5 if doublings > 0.0 else 0.4) * doublings


def cost(made: Arrangement, need: Need) -> float:
    """What speaks against a page: a smaller scale, text that goes to another page, paper left empty."""
    wide, tall = need.paper_mm(made.scale)
    empty = 1.0 - wide * tall / (made.drawing.width * made.drawing.height)
    text = (0.5 if made.filled.rest else 0.0) + (1.2 if made.filled.must_rest else 0.0)
    return _smallness(made.scale) + text + 0.5 * empty


def _ways(need: Need, blocks_at: BlocksAt, paper: Paper, scale: Scale) -> Iterator[Arrangement]:
    for landscape in (True, False):
        area = frame_area(*paper.size_mm(landscape=landscape))
        wide, tall = need.paper_mm(scale)
        if wide > area.width or tall > area.height:
            continue
        for way in (_beside, _below):
            made = way(paper, landscape, scale, area, (wide, tall), blocks_at)
            if made is not None:
                yield made


def _beside(
    paper: Paper, landscape: bool, scale: Scale, frame: Area, need: tuple[float, float], blocks_at: BlocksAt
) -> Arrangement | None:
    """Text in columns at the right of the drawing, title block under the text."""
    room = frame.width - need[0] - 2.0 * PAD_MM
    most = int((room + COLUMN_GAP_MM) // (COLUMN_MM + COLUMN_GAP_MM))
    if most < 1:
        return None
    blocks = blocks_at(COLUMN_MM, scale)
    best: tuple[int, Filled, float] | None = None
    for count in range(1, min(most, 4) + 1):
        panel = count * (COLUMN_MM + COLUMN_GAP_MM) - COLUMN_GAP_MM + 2.0 * PAD_MM
        tall = frame.height - title_block_height(panel) - 2.0 * PAD_MM
        filled = fill(blocks, count, tall)
        best = (count, filled, tall)
        if not filled.rest:
            break
    assert best is not None
    count, filled, tall = best
    if not filled.rest and all(column < count - 1 for column, _, _ in filled.placed):
        # Two columns that one would nearly have done for share the text.
        filled = fill(blocks, count, least_height(blocks, count, tall) or tall)
    panel = count * (COLUMN_MM + COLUMN_GAP_MM) - COLUMN_GAP_MM + 2.0 * PAD_MM
    x = frame.right - panel
    title = title_block_height(panel)
    return Arrangement(
        paper=paper,
        landscape=landscape,
        scale=scale,
        frame=frame,
        drawing=Area(frame.x, frame.y, frame.width - panel, frame.height),
        title=Area(x, frame.y, panel, title),
        columns=Area(x + PAD_MM, frame.y + title + PAD_MM, panel - 2.0 * PAD_MM, tall),
        column_mm=COLUMN_MM,
        blocks=tuple(blocks),
        filled=filled,
    )


def _below(
    paper: Paper, landscape: bool, scale: Scale, frame: Area, need: tuple[float, float], blocks_at: BlocksAt
) -> Arrangement | None:
    """Text in columns under the drawing, title block across the foot."""
    title = title_block_height(frame.width)
    room = frame.height - title - need[1] - 2.0 * PAD_MM
    if room < 30.0:
        return None
    width = frame.width - 2.0 * PAD_MM
    count = int((width + COLUMN_GAP_MM) // (COLUMN_MM - 3.0 + COLUMN_GAP_MM))
    column = (width - (count - 1) * COLUMN_GAP_MM) / count
    blocks = blocks_at(column, scale)
    tall = least_height(blocks, count, room) or room
    filled = fill(blocks, count, tall)
    panel = tall + 2.0 * PAD_MM
    low = frame.y + title
    return Arrangement(
        paper=paper,
        landscape=landscape,
        scale=scale,
        frame=frame,
        drawing=Area(frame.x, low + panel, frame.width, frame.height - title - panel),
        title=Area(frame.x, frame.y, frame.width, title),
        columns=Area(frame.x + PAD_MM, low + PAD_MM, width, tall),
        column_mm=column,
        blocks=tuple(blocks),
        filled=filled,
    )

"""One paper for all pages of a sheet, where nobody asked for one, and words on what was chosen and why."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..values import dataclass, replace
from .arrange import COMFORTABLE, LARGER_PAPER, Arrangement, cost
from .job import Job, SheetKind
from .pages import Drawn, Wish, arranged, need
from .paper import Paper

_PARTED = 100.0
"""What speaks against a paper on which a drawing has to be parted over several pages."""

Group = tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """The drawings of a sheet laid out on one paper; None for one that does not fit on a page."""

    paper: Paper
    drawings: Mapping[Group, Arrangement | None]
    cost: float

    @property
    def ratio(self) -> float | None:
        """Of the smallest drawing, 48 for 1:48; None where one has to be parted."""
        made = [drawing for drawing in self.drawings.values() if drawing is not None]
        if len(made) < len(self.drawings):
            return None
        return max(drawing.scale.ratio for drawing in made)

    @property
    def serves(self) -> bool:
        """True where every drawing is large, with all that belongs beside it."""
        made = self.drawings.values()
        return all(m is not None and m.scale.ratio <= COMFORTABLE and not m.filled.must_rest for m in made)


def lay(job: Job, kind: SheetKind, groups: Sequence[Group], wish: Wish) -> tuple[Laid, tuple[Laid, ...]]:
    """All drawings of a sheet on the one paper that serves them best, and on every paper tried.

    The first paper is the one in every office: a larger one is taken only for a drawing that would be small
    there or would lose what belongs beside it.
    """
    tried: list[Laid] = []
    for rank, paper in enumerate(wish.papers):
        tried.append(_on(job, kind, groups, replace(wish, papers=(paper,)), rank))
        if tried[-1].serves:
            break
    return min(tried, key=lambda laid: laid.cost), tuple(tried)


def _on(job: Job, kind: SheetKind, groups: Sequence[Group], wish: Wish, rank: int) -> Laid:
    drawings = {group: arranged(replace(job, group=group), kind, group, wish, bars=False) for group in groups}
    costs = [_PARTED if made is None else cost(made, need(job, group)) for group, made in drawings.items()]
    dear = LARGER_PAPER * (4.0 if kind.office else 1.0)
    return Laid(paper=wish.papers[0], drawings=drawings, cost=sum(costs) / len(costs) + dear * rank)


def why(best: Laid, tried: Sequence[Laid], pages: Sequence[Drawn | None]) -> str:
    """Why a sheet has its paper and scale, when its drawings stand on their pages (None for one in parts)."""
    made = [drawn.made for drawn in pages if drawn is not None]
    if len(made) < len(pages):
        return f"{best.paper.name} in parts"
    smallest = max((drawing.scale for drawing in made), key=lambda scale: scale.ratio)
    behind = ", lists on a page behind" if any(drawn is not None and drawn.rest for drawn in pages) else ""
    words = f"{best.paper.name} at {smallest}{behind}"
    if best is not tried[0]:
        how = "in parts" if tried[0].ratio is None else f"at 1:{tried[0].ratio:g}"
        return f"{words}: on {tried[0].paper.name} it would be drawn {how}"
    for laid in tried[1:]:
        if laid.ratio is not None and laid.ratio < smallest.ratio:
            return f"{words}; --paper {laid.paper.name} draws it at 1:{laid.ratio:g}"
    return words

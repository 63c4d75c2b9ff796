"""What a sheet is made from, and what makes one sheet differ from another."""

from __future__ import annotations

from collections.abc import Callable

from ..measure.model import Takeoff
from ..plan.model import Plan
from ..units.figures import Figures
from ..values import dataclass
from ..work.plan import WorkPlan
from ..work.pours import Pour
from .blocks import Block
from .floor import Shown
from .rooms import Lettering
from .scales import Scale
from .sketch import Sketch


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """The plan, its takeoff, how figures are written; where known, zones of every coat and the days."""

    plan: Plan
    takeoff: Takeoff
    figures: Figures
    work: tuple[Pour, ...] = ()
    schedule: WorkPlan | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetKind:
    """One kind of sheet: a row of the table in `sheets`.

    Attributes:
        name: as asked for.
        title: in the title block.
        shown: what is drawn of the floor.
        lettering: what is lettered on it.
        blocks: the written part at a column width, the most weighty first.
        area: name, area and basis that stand in a slab, by its index.
        first: what is drawn and lettered before everything else, for a slab by its index.
        last: what is lettered when everything else stands.
    """

    name: str
    title: str
    shown: Shown
    lettering: Lettering
    blocks: Callable[[Job, float, Scale], list[Block]]
    area: Callable[[Job, int], tuple[str, str, str]]
    first: Callable[[Sketch, Job, int], None] | None = None
    last: Callable[[Sketch, Job, int], None] | None = None


def kept(*blocks: Block | None) -> list[Block]:
    """The blocks that there are."""
    return [block for block in blocks if block is not None]

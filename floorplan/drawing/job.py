"""What a sheet is made from, and what makes one sheet differ from another."""

from __future__ import annotations

from collections.abc import Callable

from ..errors import Notice
from ..measure.model import MeasuredSteps, SlabTakeoff, Takeoff
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
    """The plan, its takeoff, how figures are written; where known, zones of every coat and the days.

    `group` are the slabs of one page by index; empty for all.
    """

    plan: Plan
    takeoff: Takeoff
    figures: Figures
    work: tuple[Pour, ...] = ()
    schedule: WorkPlan | None = None
    group: tuple[int, ...] = ()

    @property
    def slabs(self) -> tuple[SlabTakeoff, ...]:
        """The slabs of the page."""
        slabs = self.takeoff.slabs
        return tuple(slabs[i] for i in self.group) if self.group else slabs

    @property
    def steps(self) -> tuple[MeasuredSteps, ...]:
        """The flights that are coated with them."""
        return (
            tuple(flight for i in self.group for flight in self.takeoff.steps_of(i))
            if self.group
            else (self.takeoff.steps)
        )

    def label(self, slab: SlabTakeoff, text: str) -> str:
        """An edge or a face by its letters, with its slab where the page has several."""
        return f"{slab.name} {text}" if len(self.slabs) > 1 else text

    def is_elsewhere(self, notice: Notice) -> bool:
        """True for what is said of a slab on another page."""
        here = {slab.name for slab in self.slabs}
        others = (slab.name for slab in self.takeoff.slabs if slab.name not in here)
        return any(f"{notice.where},".startswith(f"slab {name},") for name in others)


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
        office: goes with a letter, so it keeps to the office's usual paper wherever that holds it.
    """

    name: str
    title: str
    shown: Shown
    lettering: Lettering
    blocks: Callable[[Job, float, Scale], list[Block]]
    area: Callable[[Job, int], tuple[str, str, str]]
    first: Callable[[Sketch, Job, int], None] | None = None
    last: Callable[[Sketch, Job, int], None] | None = None
    office: bool = False


def kept(*blocks: Block | None) -> list[Block]:
    """The blocks that there are."""
    return [block for block in blocks if block is not None]

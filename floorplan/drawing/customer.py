"""The customer's sheet: what is coated, what is not, and how the floor stops; nothing of the shop."""

from __future__ import annotations

from .annotate import Lettering
from .blocks import Block, text_rows
from .floor import Shown
from .job import Job, SheetKind
from .legend import customer_legend
from .lettering import BODY
from .scales import Scale
from .wording import rounded_area


def blocks(job: Job, room_mm: float, scale: Scale) -> list[Block]:
    """The written part."""
    slabs = job.takeoff.slabs
    total = rounded_area(job.takeoff.total("net_area_m2"), job.figures)
    rows = text_rows(f"Coated floor: about {total}", room_mm, height=BODY, bold=True)
    legend = customer_legend(slabs, room_mm, scale.paper_mm(1.0))
    words = "Not a survey; not for construction or boundary use."
    return [
        Block(heading="Area", width_mm=room_mm, rows=tuple(rows)),
        legend,
        Block(heading="Please note", width_mm=room_mm, rows=tuple(text_rows(words, room_mm))),
    ]


def area(job: Job, index: int) -> tuple[str, str, str]:
    """Name and rounded area."""
    slab = job.takeoff.slabs[index]
    return slab.name, f"about {rounded_area(slab.net_area_m2, job.figures)}", ""


SHEET = SheetKind(
    name="customer",
    title="Floor drawing",
    shown=Shown(hand=False, coated=True),
    lettering=Lettering(masks=False, corners=False, located=False, joints=False),
    blocks=blocks,
    area=area,
)

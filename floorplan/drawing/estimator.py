"""The estimator's sheet: every measurement, how it fits, and how the areas add up."""

from __future__ import annotations

from . import crew
from .annotate import Lettering
from .blocks import Block
from .floor import Shown
from .job import Job, SheetKind
from .scales import Scale


def blocks(job: Job, room_mm: float, scale: Scale) -> list[Block]:
    """The written part."""
    return crew.blocks(job, room_mm, scale)


SHEET = SheetKind(
    name="estimator",
    title="Estimator sheet",
    shown=Shown(hand=True),
    lettering=Lettering(),
    blocks=blocks,
    area=crew.area,
)

"""Zone maps: a page for each later coat whose zones are not those of the coat before."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from ..values import replace
from ..work.pours import Pour, PourZone
from .blocks import Block
from .crew import area, cautions
from .floor import Shown
from .job import Job, SheetKind, kept
from .pages import Draft, Wish, arranged, one_page
from .rooms import Lettering
from .scales import Scale
from .sketch import Sketch
from .zones import draw_zones, zone_block, zones_on

PLAIN = Lettering(
    sides=False, kinds=False, masks=False, cutouts=True, located=False, chains=False, joints=False
)


def zone_pages(job: Job, group: Sequence[int], wish: Wish) -> list[Draft]:
    """One page for each coat after the first on these slabs, where its zones differ from those drawn last."""
    pages: list[Draft] = []
    here = [pour for pour in job.work if zones_on(pour, group)]
    for before, pour in itertools.pairwise(here):
        if not _same(zones_on(before, group), zones_on(pour, group)):
            kind = _kind(pour)
            made = arranged(job, kind, group, wish, bars=False)
            drawn = one_page(job, kind, group, wish, made)
            pages += [replace(page, what=f"zones, {pour.layer}") for page in drawn]
    return pages


def _same(a: Sequence[PourZone], b: Sequence[PourZone]) -> bool:
    floors = [[zone.floor for zone in zones] for zones in (a, b)]
    return len(floors[0]) == len(floors[1]) and all(
        p.equals(q) for p, q in zip(floors[0], floors[1], strict=True)
    )


def _kind(pour: Pour) -> SheetKind:
    def blocks(job: Job, room_mm: float, scale: Scale) -> list[Block]:
        return kept(zone_block(pour, job.figures, room_mm, job.schedule, job.group), cautions(room_mm))

    def first(sketch: Sketch, job: Job, index: int) -> None:
        draw_zones(sketch, pour, index)

    return SheetKind(
        name="crew",
        title="Crew sheet",
        shown=Shown(hand=False),
        lettering=PLAIN,
        blocks=blocks,
        area=area,
        first=first,
    )

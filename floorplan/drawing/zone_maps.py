"""Zone maps: a page for each later coat whose zones are not those of the coat before."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence

from ..values import replace
from ..work.pours import Pour, PourZone
from .blocks import Block, text_rows
from .crew import area, cautions
from .floor import Shown
from .job import Job, SheetKind, kept
from .pages import Draft, Drawn, Wish, arranged, one_page
from .rooms import Lettering
from .scales import Scale
from .sketch import Sketch
from .zones import draw_zones, zone_block, zones_on

PLAIN = Lettering(
    sides=False, kinds=False, masks=False, cutouts=True, located=False, chains=False, joints=False
)


def zone_pages(
    job: Job, group: Sequence[int], wish: Wish, ratio: float, carried: Sequence[Block]
) -> tuple[list[Draft], tuple[Block, ...]]:
    """One page for each coat after the first on these slabs, where its zones differ from those drawn last.

    `ratio` is that of the drawing before. The lists in `carried`, which found no room on the crew's drawing,
    go under the first of these maps rather than on a page of their own; what finds no room there comes back.
    """
    # No larger than the drawing before, so that lists find room and lengths compare from page to page.
    same = replace(wish, scales=tuple(scale for scale in wish.scales if scale.ratio >= ratio))
    pages: list[Draft] = []
    rest = tuple(carried)
    here = [pour for pour in job.work if zones_on(pour, group)]
    for before, pour in itertools.pairwise(here):
        if not _same(zones_on(before, group), zones_on(pour, group)):
            drawn = _drawn(job, pour, group, same, rest)
            if drawn is None:
                continue
            lists = len(drawn.rest) < len(rest)
            pages.append(replace(drawn.page, what=f"zones, {pour.layer}{' and lists' if lists else ''}"))
            rest = drawn.rest
    return pages, rest


def _drawn(job: Job, pour: Pour, group: Sequence[int], wish: Wish, carried: Sequence[Block]) -> Drawn | None:
    """A map with the cautions again; it points to those before where only so a page of lists is saved."""

    def way(warned: Callable[[float], Block]) -> Drawn | None:
        kind = _kind(pour, carried, warned)
        return one_page(job, kind, group, wish, arranged(job, kind, group, wish, bars=False))

    full = way(cautions)
    if full is None or not full.rest:
        return full
    short = way(_cautions_before)
    return full if short is None or short.rest else short


def _cautions_before(room_mm: float) -> Block:
    rows = text_rows("Those on the drawing before hold here too.", room_mm)
    return Block(heading="Cautions", width_mm=room_mm, rows=tuple(rows))


def _same(a: Sequence[PourZone], b: Sequence[PourZone]) -> bool:
    floors = [[zone.floor for zone in zones] for zones in (a, b)]
    return len(floors[0]) == len(floors[1]) and all(
        p.equals(q) for p, q in zip(floors[0], floors[1], strict=True)
    )


def _kind(pour: Pour, carried: Sequence[Block], warned: Callable[[float], Block]) -> SheetKind:
    def blocks(job: Job, room_mm: float, scale: Scale) -> list[Block]:
        zones = zone_block(pour, job.figures, room_mm, job.schedule, job.group)
        return kept(zones, warned(room_mm), *carried)

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

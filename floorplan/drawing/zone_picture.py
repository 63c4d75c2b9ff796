"""The small map of a coat's zones on a day card; slabs whose place to each other is unknown lie apart."""

from __future__ import annotations

from collections.abc import Sequence

from ..values import dataclass, replace
from ..work.pours import Pour
from .blocks import Row, stack, text_rows
from .floor import Shown, draw_floor
from .job import Job
from .labels import note
from .lettering import FINE, letter, shortened
from .marks import Anchor, Group, Mark, Stroke
from .pages import bounds_m
from .pens import SMALL_ZONE
from .rooms import open_places, set_rows
from .scales import Scale, scales
from .sketch import Sketch
from .together import views
from .view import View
from .zones import draw_zones, zone_name

SHOWN = Shown(hand=False, joints=True, border=False)
APART_MM = 8.0
"""White between slabs that do not share a drawing."""
LEAST_MM = 20.0
"""A slab takes so much of the width, that its name may stand under it."""
NAME_MM = 4.0
APART = "Slabs drawn apart: how they lie to each other is not stated."


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cell:
    """Slabs that share a drawing, with their box in metres."""

    group: tuple[int, ...]
    box: tuple[float, float, float, float]

    def size_mm(self, scale: Scale) -> tuple[float, float]:
        x0, y0, x1, y1 = self.box
        return max(scale.paper_mm(x1 - x0), LEAST_MM), scale.paper_mm(y1 - y0)


def zone_picture(job: Job, pour: Pour, room_mm: float, map_mm: float) -> Row:
    """The zones of a coat on a small plan of every slab that has it, each slab by its name."""
    here = {zone.slab_index for zone in pour.zones}
    groups = [tuple(i for i in group if i in here) for group in views(job.takeoff.slabs, job.plan.origin)]
    cells = [_Cell(group=group, box=bounds_m(job, group)) for group in groups if group]
    alone = len(job.takeoff.slabs) > 1 and any(len(cell.group) == 1 for cell in cells)
    named = NAME_MM if alone else 0.0
    fitting = (
        (scale, rows)
        for scale in scales(metric=not job.figures.is_us)
        if (rows := _rows(cells, scale, room_mm - 4.0)) is not None
        and sum(_tall(row, scale) + named for row in rows) <= map_mm - 4.0
    )
    least = scales(metric=not job.figures.is_us)[-1]
    scale, rows = next(fitting, (least, [[cell] for cell in cells]))
    drawn = [_row(job, pour, scale, row, room_mm, named) for row in rows]
    apart = text_rows(APART, room_mm) if len(cells) > 1 else []
    return stack([*drawn, *apart, *_without(job, pour, scale, cells, room_mm)])


def _without(job: Job, pour: Pour, scale: Scale, cells: Sequence[_Cell], room_mm: float) -> list[Row]:
    """Names the zones whose numbers found no room on a map so small."""
    missing = [
        number
        for cell in cells
        for number in _sketch(job, pour, scale, cell, (0.0, 0.0, room_mm, _tall([cell], scale)))[1]
    ]
    if not missing:
        return []
    words = f"No room here for the number of zone {', '.join(str(n) for n in sorted(missing))}:"
    return text_rows(f"{words} the crew sheet has the map at size.", room_mm)


def _tall(cells: Sequence[_Cell], scale: Scale) -> float:
    return max(cell.size_mm(scale)[1] for cell in cells) + 4.0


def _rows(cells: Sequence[_Cell], scale: Scale, room_mm: float) -> list[list[_Cell]] | None:
    """Drawings beside each other as long as the width holds them; None where one alone is too wide."""
    rows: list[list[_Cell]] = []
    used = 0.0
    for cell in cells:
        wide = cell.size_mm(scale)[0]
        if wide > room_mm:
            return None
        if rows and used + APART_MM + wide <= room_mm:
            rows[-1].append(cell)
            used += APART_MM + wide
        else:
            rows.append([cell])
            used = wide
    return rows


def _row(job: Job, pour: Pour, scale: Scale, cells: Sequence[_Cell], room_mm: float, named_mm: float) -> Row:
    tall = _tall(cells, scale)
    whole = sum(cell.size_mm(scale)[0] for cell in cells) + APART_MM * (len(cells) - 1)

    def paint(x: float, top: float) -> tuple[Mark, ...]:
        marks: list[Mark] = []
        left = x + 0.5 * (room_mm - whole)
        for cell in cells:
            wide = cell.size_mm(scale)[0]
            outer = (left - 0.5 * APART_MM, top - tall, left + wide + 0.5 * APART_MM, top)
            bounds = (x, top - tall, x + room_mm, top) if len(cells) == 1 else outer
            marks += _picture(job, pour, scale, cell, bounds)
            if named_mm and len(cell.group) == 1:
                name = job.takeoff.slabs[cell.group[0]].name
                name = shortened(name, FINE, wide + APART_MM - 2.0, bold=True)
                at = (left + 0.5 * wide, top - tall - FINE - 0.2)
                marks.append(letter(name, at, FINE, anchor=Anchor.MIDDLE, bold=True))
            left += wide + APART_MM
        return tuple(marks)

    return Row(tall + named_mm, paint)


def _picture(
    job: Job, pour: Pour, scale: Scale, cell: _Cell, bounds: tuple[float, float, float, float]
) -> list[Mark]:
    """Slabs that share a drawing in the middle of a box on paper."""
    sketch, _ = _sketch(job, pour, scale, cell, bounds)
    for index in cell.group if len(cell.group) > 1 else ():
        _name(sketch, job, index)
    # Two coats may share a page, and names in a file must be its own.
    return [_unnamed(mark) for mark in sketch.groups()]


def _sketch(
    job: Job, pour: Pour, scale: Scale, cell: _Cell, bounds: tuple[float, float, float, float]
) -> tuple[Sketch, list[int]]:
    """The zones on the floor, and the numbers of those that are not lettered."""
    x0, y0, x1, y1 = cell.box
    left = 0.5 * (bounds[0] + bounds[2]) - 0.5 * scale.paper_mm(x0 + x1)
    low = 0.5 * (bounds[1] + bounds[3]) - 0.5 * scale.paper_mm(y0 + y1)
    tries: list[tuple[int, Sketch]] = []
    # Lines of joints take the room of numbers on a map so small; without them more may stand in their zones.
    for shown in (SHOWN, replace(SHOWN, joints=False)):
        sketch = Sketch(View(scale, (left, low)), bounds, job.figures)
        for index in cell.group:
            draw_floor(sketch, job.takeoff.slabs[index], index + 1, shown)
        outside = sum(draw_zones(sketch, pour, index, SMALL_ZONE) for index in cell.group)
        tries.append((len(sketch.unplaced) * len(pour.zones) + outside, sketch))
        if not outside:
            break
    sketch = min(tries, key=lambda found: found[0])[1]
    bare = {what for what, _ in sketch.unplaced}
    zones = [zone for zone in pour.zones if zone.slab_index in cell.group]
    return sketch, [zone.order for zone in zones if zone_name(zone) in bare]


def _name(sketch: Sketch, job: Job, index: int) -> None:
    """The name of one of several slabs: in it, else beside it with a leader."""
    slab = job.takeoff.slabs[index]
    places = open_places(sketch.view.region(slab.regions.net))
    if places and not set_rows(sketch, places, [(slab.name, FINE, True)]):
        sketch.label("labels", note(places[0], [slab.name], nearest=6.0, heights=(FINE,)))


def _unnamed(mark: Mark) -> Mark:
    if isinstance(mark, Group):
        return replace(mark, id="", marks=tuple(_unnamed(each) for each in mark.marks))
    return replace(mark, id="") if isinstance(mark, Stroke) else mark

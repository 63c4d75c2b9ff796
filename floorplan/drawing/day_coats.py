"""The coats of a day card: zones on a small map and by the clock, what to measure out, and what it took."""

from __future__ import annotations

from datetime import timedelta

from ..order.part_kits import part_kit
from ..units.factors import GRAM_KG, OUNCE_KG
from ..units.figures import Figures
from ..work.days import Block as Stretch
from ..work.days import clock_text, people_words
from ..work.plan import WorkPlan
from ..work.pours import THROW_M, Pour
from .blocks import Block, Column, item, table, text_rows
from .forms import Cell, form
from .job import Job
from .zone_picture import zone_picture

MAPS_MM = (62.0, 46.0, 32.0)
"""Heights that the map of a coat's zones may have, the best first."""


def coat_blocks(
    job: Job, work: WorkPlan, stretch: Stretch, pour: Pour, room: float, *, map_mm: float
) -> list[Block]:
    """One coat: its zones with their map, part-kits, and blanks for what each zone took."""
    f = job.figures
    cells = []
    for zone in pour.zones:
        t = zone.times
        cells.append(
            (
                str(zone.order),
                f.area(zone.area_m2),
                f"{zone.kits:.2f}",
                f.weight(zone.flake_kg) if zone.flake_kg else "-",
                *(_at(stretch.start, m) for m in (t.mix, t.start, t.end, t.flake_by, t.pail_by)),
            )
        )
    columns = (
        Column("Zone", 0.8),
        Column("Floor", 1.7, right=True),
        Column("Kits", 0.8, right=True),
        Column("Flake", 1.3, right=True),
        *(Column(head, 1.0, right=True) for head in ("Mix", "Start", "Down", "Flake by", "Pail by")),
    )
    head, rows = table(columns, cells, room)
    kit = f"{f.volume(pour.batch.kit_l)} {pour.batch.coat.product.pack_word}"
    rate = f.rate(pour.batch.coverage_m2_per_l)
    words = f"{people_words(pour.people)}. A batch is one {kit} at {rate}, less waste."
    if pour.batch.broadcast is not None:
        words += " Look over 10 to 20 min after each zone."
        far = [str(zone.order) for zone in pour.zones if zone.throw_m > THROW_M]
        words += f" Throw zone {', '.join(far)} on spiked shoes: too wide from dry standing." if far else ""
    own = [n for n in work.notices if n.where.endswith(f", {pour.layer}")]
    said = [item(f"{n.text[:1].upper()}{n.text[1:]}.", room, bullet="!", bold=True) for n in own]
    picture = zone_picture(job, pour, room, map_mm)
    first = Block(
        heading=f"{capital(pour.layer)}: pour in this order",
        width_mm=room,
        rows=(picture, *head, *rows, *text_rows(words, room), *said),
        splits=True,
    )
    return [first, *_weigh(f, pour, room), _used(f, pour, room)]


def _at(start: timedelta, minutes: float | None) -> str:
    return "-" if minutes is None else hour_text(start + timedelta(minutes=minutes))


def _weigh(f: Figures, pour: Pour, room: float) -> list[Block]:
    """What goes into the pail for each zone that takes less than a kit."""
    coat = pour.batch.coat
    if not coat.product.parts:
        return []
    names = [part.name for part in coat.product.parts]
    cells = []
    for zone, mixed_l in zip(pour.zones, pour.mixed_l, strict=True):
        kit = part_kit(coat.product, min(mixed_l / pour.batch.kit_l, 1.0), grit=coat.grit)
        parts = [
            f.volume(part.volume_l) + (f", {f.weight(part.weight_kg)}" if part.weight_kg is not None else "")
            for part in kit.parts
        ]
        grit = [_small_weight(f, kit.grit_kg)] if coat.grit is not None else []
        cells.append((str(zone.order), f"{kit.fraction:.2f}", *parts, *grit))
    columns = (
        Column("Zone", 0.8),
        Column("Kit", 0.8, right=True),
        *(Column(f"Part {name}", 1.8, right=True) for name in names),
        *([Column("Grit", 1.2, right=True)] if coat.grit is not None else []),
    )
    head, rows = table(columns, cells, room)
    weighed = all(part.density_kg_per_l is not None for part in coat.product.parts)
    words = "" if weighed else "By weight once the densities of both parts stand in the system file. "
    stir = " Weigh the grit; stir it as you pour." if coat.grit is not None else ""
    note = text_rows(f"{words}Never part a kit by eye.{stir}", room)
    heading = f"{capital(pour.layer)}: measure out"
    return [Block(heading=heading, width_mm=room, rows=(*rows, *note), head_rows=head, splits=True)]


def _small_weight(f: Figures, kg: float) -> str:
    """Ounces or grams."""
    return f"{kg / OUNCE_KG:.1f} oz" if f.is_us else f"{kg / GRAM_KG:.0f} g"


def _used(f: Figures, pour: Pour, room: float) -> Block:
    """Blanks for what each zone really took."""
    thrown = pour.batch.broadcast is not None
    unit = "lb" if f.is_us else "kg"
    heads = [Cell("zone", 0.6), Cell("mixed at", 1.2), Cell("down at", 1.2), Cell("kits", 1.0)]
    heads += [Cell(f"{unit} thrown", 1.2)] if thrown else []
    heads += [Cell("lot", 1.2)]
    lines = [(str(zone.order), *[""] * (len(heads) - 1)) for zone in pour.zones]
    head, rows = form(heads, lines, room)
    heading = f"{capital(pour.layer)}: what it took"
    return Block(heading=heading, width_mm=room, rows=rows, head_rows=(head,), splits=True)


def capital(text: str) -> str:
    """A text with a capital first letter."""
    return text[:1].upper() + text[1:]


def hour_text(offset: timedelta) -> str:
    """The time of day, `13:40`."""
    return clock_text(offset)[-5:]

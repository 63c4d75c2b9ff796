"""Day cards: one page for each day on site, to work from, to sign and to write actual figures on.

A card has the day by the clock, the zones of its coats with their own small maps, what to weigh out for
part-kits, the weather to read and its limits, what goes on the truck, and the cautions.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta

from ..order.part_kits import part_kit
from ..order.words import plural
from ..units.factors import GRAM_KG, OUNCE_KG
from ..units.figures import Figures, percent
from ..values import replace
from ..work.days import Block as Stretch
from ..work.days import Day, clock_text
from ..work.dew import SpreadRule
from ..work.holds import BEFORE
from ..work.loading import DayLoad, loading
from ..work.plan import SLIP, WorkPlan
from ..work.pours import THROW_M, Pour
from ..work.weather import HIGH_C, LOW_C, MOST_HUMID, MOST_WIND_M_S
from .annotate import Lettering
from .blocks import Block, Column, Row, item, table, text_rows
from .columns import COLUMN_GAP_MM, Area, fill, least_height, paint
from .crew import area, cautions, hold_rows
from .floor import Shown, draw_floor
from .forms import Cell, blank_row, form, tick_row
from .furniture import frame_area, title_block_height
from .job import Job, SheetKind
from .marks import Group, Mark, Stroke
from .pages import Draft, bounds_m
from .paper import Paper
from .scales import scales
from .sketch import Sketch
from .view import View
from .zones import draw_zones

PAD_MM = 3.0
MAP_MM = 62.0
"""Tallest map of a coat's zones."""

KIND = SheetKind(
    name="day",
    title="Day card",
    shown=Shown(hand=False, joints=True),
    lettering=Lettering(),
    blocks=lambda job, room, scale: [],
    area=area,
)


def day_drafts(job: Job, work: WorkPlan, paper: Paper) -> list[Draft]:
    """The cards, one page a day; what finds no room stands on a page behind."""
    loads = {load.day: load for load in loading(work.days)}
    return [page for day in work.days.days for page in _day(job, work, day, loads[day.number], paper)]


def _day(job: Job, work: WorkPlan, day: Day, load: DayLoad, paper: Paper) -> Iterator[Draft]:
    outer = frame_area(*paper.size_mm(landscape=False))
    title = Area(outer.x, outer.y, outer.width, title_block_height(outer.width))
    inner = outer.inset(PAD_MM)
    body = Area(inner.x, inner.y + title.height, inner.width, inner.height - title.height)
    room = (body.width - COLUMN_GAP_MM) / 2
    rest: Sequence[Block] = _blocks(job, work, day, load, room)
    what = f"day {day.number}"
    at = work.days.at(day.start)
    if at is not None:
        what = f"{what}, {at:%a %Y-%m-%d}"
    while rest:
        filled = fill(rest, 2, least_height(rest, 2, body.height) or body.height)
        if not filled.placed:
            raise AssertionError("a block of a day card is taller than a page")
        text = Group(marks=paint(filled, body, room), layer="text")
        yield Draft(
            paper=paper, landscape=False, frame=outer, title=title, marks=(text,), scale=None, what=what
        )
        rest = filled.rest
        what = f"day {day.number}, continued"


def _blocks(job: Job, work: WorkPlan, day: Day, load: DayLoad, room: float) -> list[Block]:
    """The card's blocks, the most weighty first."""
    found = [_clock(work, day, room), _holds(day, room)]
    for stretch in day.blocks:
        if stretch.pour is not None:
            found += _coat(job, work, stretch, stretch.pour, room)
    found += [_weather(job.figures, room), _actual(job.figures, day, room)]
    found += [_loading(job.figures, load, room), _cautions(room)]
    return found


def _cautions(room: float) -> Block:
    """The cautions of every crew sheet, and that of slipping on the finished floor."""
    usual = cautions(room)
    slip = item(f"{SLIP[:1].upper()}{SLIP[1:]}.", room)
    return replace(usual, rows=(*usual.rows, slip), spills=True, splits=False)


def _clock(work: WorkPlan, day: Day, room: float) -> Block:
    cells = [
        (f"{_hour(stretch.start)} - {_hour(stretch.end)}", stretch.name, f"{stretch.man_hours:.1f}", "")
        for stretch in day.blocks
    ]
    heads = (Cell("planned", 2.2), Cell("work", 2.2), Cell("man-h", 0.9), Cell("actual from - to", 2.2))
    head, rows = form(heads, cells, room)
    words = f"{day.people} people, {day.man_hours:.1f} man-hours with {day.travel_h:.1f} on the road."
    tasks = [(chore.name, f"{chore.hours:.1f} h") for part in day.blocks for chore in part.chores]
    _, hours = table((Column("", 4.0), Column("", 1.0, right=True)), tasks, room)
    layers = [pour.layer for pour in work.pours]
    general = [n for n in work.notices if not any(n.where.endswith(f", {layer}") for layer in layers)]
    told = [item(f"{n.text[:1].upper()}{n.text[1:]}.", room, bullet="!") for n in general]
    notes = (*text_rows(words, room), *_windows(work, day, room), *told)
    return Block(
        heading="The day by the clock", width_mm=room, rows=(*rows, *hours, *notes), head_rows=(head,)
    )


def _windows(work: WorkPlan, day: Day, room: float) -> list[Row]:
    """When the coats of the day may go down and when the next one may, in clock times."""
    rows: list[Row] = []
    names = {pour.layer for pour in day.coats}
    for window in work.days.recoats:
        if window.before in names or window.after in names:
            until = f", latest {_when(work, window.latest)}" if window.latest is not None else ""
            words = f"{window.before} over {window.after}: earliest {_when(work, window.earliest)}{until}."
            rows += text_rows(words, room, bold=True)
            if window.latest is not None and window.before in names:
                rows += text_rows(f"Window missed: {window.missed}.", room)
    if day is work.days.days[-1]:
        for use in work.days.uses:
            rows += text_rows(f"{use.what}: from {_when(work, use.start)}.", room, bold=True)
    return rows


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _hour(offset: timedelta) -> str:
    return clock_text(offset)[-5:]


def _when(work: WorkPlan, offset: timedelta) -> str:
    at = work.days.at(offset)
    return clock_text(offset) if at is None else f"{at:%a %m-%d %H:%M}"


def _holds(day: Day, room: float) -> Block:
    holds = [block.hold for block in day.blocks if block.hold is not None]
    if day.number == 1:
        holds.insert(0, BEFORE)
    rows = hold_rows([(hold.code, hold.text) for hold in dict.fromkeys(holds)], room)
    return Block(heading="Hold points: initial each", width_mm=room, rows=rows)


def _coat(job: Job, work: WorkPlan, stretch: Stretch, pour: Pour, room: float) -> list[Block]:
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
    words = (
        f"{pour.people} people. A batch is one {kit} at {f.rate(pour.batch.coverage_m2_per_l)}, less waste."
    )
    if pour.batch.broadcast is not None:
        words += " Look over 10 to 20 min after each zone."
        far = [str(zone.order) for zone in pour.zones if zone.throw_m > THROW_M]
        words += f" Throw zone {', '.join(far)} on spiked shoes: too wide from dry standing." if far else ""
    own = [n for n in work.notices if n.where.endswith(f", {pour.layer}")]
    said = [item(f"{n.text[:1].upper()}{n.text[1:]}.", room, bullet="!", bold=True) for n in own]
    picture = _map(job, pour, room)
    first = Block(
        heading=f"{_capital(pour.layer)}: pour in this order",
        width_mm=room,
        rows=(picture, *head, *rows, *text_rows(words, room), *said),
    )
    return [first, *_weigh(f, pour, room), _used(f, pour, room)]


def _at(start: timedelta, minutes: float | None) -> str:
    return "-" if minutes is None else _hour(start + timedelta(minutes=minutes))


def _map(job: Job, pour: Pour, room: float) -> Row:
    """The zones of a coat on a small plan, every slab that has it."""
    group = sorted({zone.slab_index for zone in pour.zones})
    x0, y0, x1, y1 = bounds_m(job, group)
    fitting = [
        scale
        for scale in scales(metric=not job.figures.is_us)
        if scale.paper_mm(x1 - x0) <= room - 4.0 and scale.paper_mm(y1 - y0) <= MAP_MM - 4.0
    ]
    scale = fitting[0] if fitting else scales(metric=not job.figures.is_us)[-1]
    tall = scale.paper_mm(y1 - y0) + 4.0

    def paint_map(x: float, top: float) -> tuple[Mark, ...]:
        left = x + 0.5 * (room - scale.paper_mm(x1 - x0)) - scale.paper_mm(x0)
        low = top - tall + 2.0 - scale.paper_mm(y0)
        sketch = Sketch(View(scale, (left, low)), (x, top - tall, x + room, top), job.figures)
        for index in group:
            draw_floor(sketch, job.takeoff.slabs[index], index + 1, KIND.shown)
            draw_zones(sketch, pour, index)
        # Two coats may share a page, and names in a file must be its own.
        return tuple(_unnamed(mark) for mark in sketch.groups())

    return Row(tall, paint_map)


def _unnamed(mark: Mark) -> Mark:
    if isinstance(mark, Group):
        return replace(mark, id="", marks=tuple(_unnamed(each) for each in mark.marks))
    return replace(mark, id="") if isinstance(mark, Stroke) else mark


def _weigh(f: Figures, pour: Pour, room: float) -> list[Block]:
    """What goes into the pail for each zone that takes less than a kit."""
    coat = pour.batch.coat
    if not coat.product.parts:
        return []
    names = [part.name for part in coat.product.parts]
    cells = []
    for zone in pour.zones:
        kit = part_kit(coat.product, min(zone.kits, 1.0), grit=coat.grit)
        parts = [
            f.volume(part.volume_l) + (f", {f.weight(part.weight_kg)}" if part.weight_kg is not None else "")
            for part in kit.parts
        ]
        grit = [_small_weight(f, kit.grit_kg)] if coat.grit is not None else []
        cells.append((str(zone.order), f"{min(zone.kits, 1.0):.2f}", *parts, *grit))
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
    heading = f"{_capital(pour.layer)}: measure out"
    return [Block(heading=heading, width_mm=room, rows=(*rows, *note), head_rows=head)]


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
    heading = f"{_capital(pour.layer)}: what it took"
    return Block(heading=heading, width_mm=room, rows=rows, head_rows=(head,), splits=True)


def _weather(f: Figures, room: float) -> Block:
    rule = SpreadRule.FAHRENHEIT_5 if f.is_us else SpreadRule.CELSIUS_3
    heads = tuple(Cell(head, 1.0) for head in ("time", "air", "slab", "humidity", "dew point", "wind"))
    head, rows = form(heads, [("",) * 6] * 2, room)
    band = f"{f.temperature(LOW_C)} to {f.temperature(HIGH_C)}"
    limits = (
        f"Go: air and slab {band}, humidity to {percent(MOST_HUMID)}, slab {rule.words} or more above the dew"
        f" point and cooling, no rain, wind below {f.speed(MOST_WIND_M_S)} to throw flake."
        " The data sheet governs."
    )
    ticks = tick_row(("go", "no-go", "sprinklers off"), room, per_row=3)
    rows = (*rows, *ticks, *text_rows(limits, room))
    return Block(heading="Weather, before each coat", width_mm=room, rows=rows, head_rows=(head,))


def _actual(f: Figures, day: Day, room: float) -> Block:
    unit = "lb" if f.is_us else "kg"
    captions = ["hours on site, all people", "material temperature", "kits opened, kits left"]
    if any(pour.batch.broadcast is not None for pour in day.coats):
        captions.append(f"{unit} flake opened")
    captions.append(f"{unit} flake swept and bagged (less the bag)")
    captions.append("left to do, remarks")
    rows = tuple(blank_row(caption, room) for caption in captions)
    return Block(heading="What it really took", width_mm=room, rows=rows)


def _loading(f: Figures, load: DayLoad, room: float) -> Block:
    words_of = [
        f"{plural(row.count, row.product.pack_word)}, {row.name}, {f.weight(row.weight_kg)}"
        if row.product is not None
        else row.name
        for row in load.loads
    ]
    rows = tick_row(words_of, room, per_row=1)
    guessed = any(row.guessed for row in load.loads)
    words = f"About {f.weight(load.weight_kg)} in all" + (
        ", liquids at a typical density." if guessed else "."
    )
    rows += [*text_rows(words, room)]
    return Block(heading="On the truck", width_mm=room, rows=tuple(rows), splits=True, spills=True)

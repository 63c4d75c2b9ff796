"""Day cards: one page for each day on site, to work from, to sign and to write actual figures on.

A card has the day by the clock, the zones of its coats with their own small maps, what to weigh out for
part-kits, the weather to read and its limits, what goes on the truck, and the cautions.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta

from ..order.words import plural
from ..units.figures import Figures, percent
from ..values import replace
from ..work.days import Day, clock_text, people_words
from ..work.dew import SpreadRule
from ..work.holds import BEFORE
from ..work.loading import DayLoad, loading
from ..work.plan import SLIP, WorkPlan
from ..work.weather import HIGH_C, LOW_C, MOST_HUMID, MOST_WIND_M_S
from .blocks import Block, Column, Row, item, table, text_rows
from .columns import COLUMN_GAP_MM, Area, fill, least_height, paint
from .crew import area, cautions, hold_rows
from .day_coats import MAPS_MM, coat_blocks, hour_text
from .forms import Cell, blank_row, form, tick_row
from .furniture import frame_area, title_block_height
from .job import Job, SheetKind
from .marks import Group
from .pages import Draft
from .paper import Paper
from .questions import notice_words
from .rooms import Lettering
from .zone_picture import SHOWN

PAD_MM = 3.0

KIND = SheetKind(
    name="day",
    title="Day card",
    shown=SHOWN,
    lettering=Lettering(),
    blocks=lambda job, room, scale: [],
    area=area,
)


def day_drafts(job: Job, work: WorkPlan, paper: Paper) -> list[Draft]:
    """The cards, one page a day; what finds no room stands on a page behind."""
    loads = {load.day: load for load in loading(work.days, work.supplies)}
    return [page for day in work.days.days for page in _day(job, work, day, loads[day.number], paper)]


def _day(job: Job, work: WorkPlan, day: Day, load: DayLoad, paper: Paper) -> Iterator[Draft]:
    outer = frame_area(*paper.size_mm(landscape=False))
    title = Area(outer.x, outer.y, outer.width, title_block_height(outer.width))
    inner = outer.inset(PAD_MM)
    body = Area(inner.x, inner.y + title.height, inner.width, inner.height - title.height)
    room = (body.width - COLUMN_GAP_MM) / 2
    rest: Sequence[Block] = ()
    for map_mm in MAPS_MM:
        rest = _blocks(job, work, day, load, room, map_mm)
        if not fill(rest, 2, body.height).rest:
            break
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


def _blocks(job: Job, work: WorkPlan, day: Day, load: DayLoad, room: float, map_mm: float) -> list[Block]:
    """The card's blocks, the most weighty first."""
    found = [_clock(work, day, room), _holds(day, room)]
    for stretch in day.blocks:
        if stretch.pour is not None:
            found += coat_blocks(job, work, stretch, stretch.pour, room, map_mm=map_mm)
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
        (
            f"{hour_text(stretch.start)} - {hour_text(stretch.end)}",
            stretch.name,
            f"{stretch.man_hours:.1f}",
            "",
        )
        for stretch in day.blocks
    ]
    heads = (Cell("planned", 2.2), Cell("work", 2.2), Cell("man-h", 0.9), Cell("actual from - to", 2.2))
    head, rows = form(heads, cells, room)
    words = f"{people_words(day.people)}, {day.man_hours:.1f} man-hours with {day.travel_h:.1f} on the road."
    tasks = [(chore.name, f"{chore.hours:.1f} h") for part in day.blocks for chore in part.chores]
    _, hours = table((Column("", 4.0), Column("", 1.0, right=True)), tasks, room)
    layers = [pour.layer for pour in work.pours]
    general = [
        n
        for n in work.notices
        if not any(n.where.endswith(f", {layer}") for layer in layers)
        and (not n.where.startswith("day ") or n.where == f"day {day.number}")
    ]
    told = [item(f"{notice_words(n)}.", room, bullet="!") for n in general]
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


def _when(work: WorkPlan, offset: timedelta) -> str:
    at = work.days.at(offset)
    return clock_text(offset) if at is None else f"{at:%a %m-%d %H:%M}"


def _holds(day: Day, room: float) -> Block:
    holds = [block.hold for block in day.blocks if block.hold is not None]
    if day.number == 1:
        holds.insert(0, BEFORE)
    rows = hold_rows([(hold.code, hold.text) for hold in dict.fromkeys(holds)], room)
    return Block(heading="Hold points: initial each", width_mm=room, rows=rows)


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
        f"{plural(row.count, row.product.pack_word)}, {row.name}"
        + (f", {f.weight(row.weight_kg)}" if row.weight_kg else "")
        if row.product is not None
        else (f"{row.count} x {row.name}" if row.count > 1 else row.name)
        for row in load.loads
    ]
    rows = tick_row(words_of, room, per_row=1)
    guessed = any(row.guessed for row in load.loads)
    words = f"About {f.weight(load.weight_kg)} in all" + (
        ", liquids at a typical density." if guessed else "."
    )
    rows += [*text_rows(words, room)]
    return Block(heading="On the truck", width_mm=room, rows=tuple(rows), splits=True, spills=True)

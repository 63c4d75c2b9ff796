"""Pour zones on the drawing: outlines, big numbers in pouring order, arrows to the next, and their table."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from datetime import timedelta

import shapely

from ..units.figures import Figures
from ..work.days import clock_text, people_words
from ..work.plan import WorkPlan
from ..work.pours import Pour, PourZone
from ..work.zone_words import upright_words
from .blocks import Block, Column, item, table, text_rows
from .job import Job
from .labels import note, stacked
from .lettering import BODY, FINE, LOUD
from .marks import XY, Pen, Run, Stroke
from .pens import BLACK, ORDER, ZONE
from .placing import Candidate
from .plane import direction, left_of, shifted
from .rooms import open_places
from .sketch import Sketch
from .view import line_runs

HEAD_MM = 3.2
NARROW_MM = 0.8
"""Places in a narrow zone lie so near to each other."""
BESIDE_MM = 0.4
"""A zone's border this near to the edge of the floor is drawn as the edge already."""


def zones_on(pour: Pour, group: Sequence[int]) -> tuple[PourZone, ...]:
    """The zones of a coat on some slabs, by index; all of them where none is named."""
    return tuple(zone for zone in pour.zones if not group or zone.slab_index in group)


def first_pour(job: Job) -> Pour | None:
    """The first coat that goes on a slab of the page."""
    return next((pour for pour in job.work if zones_on(pour, job.group)), None)


def draw_zones(sketch: Sketch, pour: Pour, slab: int, pen: Pen = ZONE) -> int:
    """The zones of one coat on one slab, before any other lettering, so that their numbers stand largest.

    Returns:
        How many have no number of their own in them: it stands beside them, or nowhere.
    """
    zones = [zone for zone in pour.zones if zone.slab_index == slab]
    floors = [sketch.view.region(zone.floor) for zone in zones]
    if not floors:
        return 0
    edge = shapely.union_all(floors).boundary.buffer(BESIDE_MM)
    borders = shapely.union_all([floor.boundary for floor in floors]).difference(edge)
    runs = line_runs(shapely.line_merge(borders) if borders.geom_type == "MultiLineString" else borders)
    if runs:
        sketch.add("zones", Stroke(runs=runs, pen=pen, id=sketch.new_id(f"slab-{slab + 1}", "zones")))
        sketch.block(runs)
    ground = shapely.union_all(floors).buffer(BESIDE_MM)
    shapely.prepare(ground)
    places: list[XY | None] = []
    outside = 0
    for zone, floor in zip(zones, floors, strict=True):
        place = _number(sketch, zone, floor)
        if place is None:
            place = _beside(sketch, zone, floor, floors)
            outside += 1
        places.append(place)
    for here, there in itertools.pairwise(places):
        if here is not None and there is not None:
            sketch.label("zones", (way for way in _arrows(here, there) if _on_floor(way, ground)))
    return outside


def _number(sketch: Sketch, zone: PourZone, floor: shapely.Geometry) -> XY | None:
    """Set a zone's number in it, with its area and kits where they fit; where it stands, None for nowhere."""
    number = str(zone.order)
    alone = [[(number, LOUD, True)], [(number, BODY, True)]]
    whole = [(number, LOUD, True), (_amount(sketch.figures, zone), FINE, False)]
    # A narrow zone is looked through more finely, and has the smallest number before one beside it.
    for step, ways in ((3.0, [whole, *alone]), (NARROW_MM, [*alone, [(number, FINE, True)]])):
        places = open_places(floor, step)
        for rows in ways:
            ((x0, y0), _, (x1, y1), _) = stacked((0.0, 0.0), rows).boxes[0]
            for place in itertools.islice(sketch.crowd.free_places(places, (x0, y0, x1, y1)), 20):
                if sketch.label("zones", [stacked(place, rows)]):
                    return place
    return None


def _amount(f: Figures, zone: PourZone) -> str:
    return f"{f.figure('area', zone.area_m2, 0 if f.is_us else 1)}, {zone.kits:.2f} kit"


def _beside(
    sketch: Sketch, zone: PourZone, floor: shapely.Geometry, floors: Sequence[shapely.Geometry]
) -> XY | None:
    """Set the number of a narrow zone beside it; never in another zone, whose number it would be read as."""
    number = str(zone.order)
    places = open_places(floor)
    whole = shapely.union_all(floors)
    others = whole.difference(floor)
    # Cut-outs are drawn over the zones, and would hide what stands in them.
    holes = shapely.polygons(shapely.get_exterior_ring(shapely.get_parts(whole)))
    holes = shapely.union_all(holes).difference(whole)
    ways = note(places[0], [number], nearest=4.0) if places else ()
    if sketch.label("zones", (way for way in ways if _tells(way, places[0], others, holes))):
        return places[0]
    sketch.unplaced.append((zone_name(zone), _amount(sketch.figures, zone)))
    return None


def zone_name(zone: PourZone) -> str:
    """What a table of labels without room calls a zone."""
    return f"zone {zone.order} of {zone.layer}"


def _tells(way: Candidate, place: XY, others: shapely.Geometry, holes: shapely.Geometry) -> bool:
    """True when a number beside a zone can mean no other: off them, and without a leader none between."""
    text = shapely.Polygon(way.boxes[0])
    between = shapely.LineString((place, text.centroid.coords[0]))
    if shapely.intersects(others, text) or shapely.intersects(holes, between):
        return False
    return bool(way.lines) or not shapely.intersects(others, between)


def _arrows(here: XY, there: XY) -> Iterator[Candidate]:
    """Ways to point from one number to the next, clear of both."""
    way = direction(here, there)
    for aside in (0.0, 4.0, -4.0, 8.0, -8.0):
        for near in (8.0, 12.0, 16.0):
            a = shifted(shifted(here, way, near), left_of(way), aside)
            b = shifted(shifted(there, way, -near), left_of(way), aside)
            if (b[0] - a[0]) * way[0] + (b[1] - a[1]) * way[1] > 2.0 * HEAD_MM:
                neck = shifted(b, way, -HEAD_MM)
                wing = left_of(way)
                head = Run((b, shifted(neck, wing, 1.1), shifted(neck, wing, -1.1)), closed=True)
                marks = (Stroke(runs=(Run((a, neck)),), pen=ORDER), Stroke(runs=(head,), fill=BLACK))
                yield Candidate(marks=marks, lines=((a, b),))


def _on_floor(way: Candidate, ground: shapely.Geometry) -> bool:
    """True when an arrow runs over floor alone, through no post or planter."""
    return bool(shapely.contains(ground, shapely.LineString(way.lines[0])))


def zone_block(
    pour: Pour | None,
    figures: Figures,
    room_mm: float,
    schedule: WorkPlan | None = None,
    group: Sequence[int] = (),
) -> Block | None:
    """Zones of a coat: area, kits, and the clock: times of day where the days are laid out, else minutes.

    `group` are the slabs whose zones stand here; empty for all.
    """
    zones = () if pour is None else zones_on(pour, group)
    if pour is None or not zones:
        return None
    begin = None if schedule is None else _begin(pour, schedule)
    cells = [
        (
            str(zone.order),
            str(figures.figure("area", zone.area_m2, 0 if figures.is_us else 1)),
            f"{zone.kits:.2f}",
            _moment(begin, zone.times.mix),
            _moment(begin, zone.times.end),
            "" if zone.times.flake_by is None else _moment(begin, zone.times.flake_by),
        )
        for zone in zones
    ]
    columns = (
        Column("No", 0.5),
        Column("Area", 1.5, right=True),
        Column("Kits", 0.8, right=True),
        Column("Mix", 0.9, right=True),
        Column("End", 0.9, right=True),
        Column("Flake", 0.9, right=True),
    )
    head, rows = table(columns, cells, room_mm)
    upright = upright_words(pour, zones)
    words = [_basis(pour, begin, schedule), *([f"{upright[:1].upper()}{upright[1:]}."] if upright else [])]
    basis = text_rows(" ".join(words), room_mm)
    said = [item(f"{text[:1].upper()}{text[1:]}.", room_mm, bullet="!") for text in _said(pour, schedule)]
    heading = f"Pour in this order: {pour.layer}"
    return Block(heading=heading, width_mm=room_mm, rows=(*rows, *basis, *said), head_rows=head, splits=True)


def _said(pour: Pour, schedule: WorkPlan | None) -> list[str]:
    """What the work plan says of this coat."""
    notices = schedule.notices if schedule is not None else ()
    return [notice.text for notice in notices if notice.where.endswith(f", {pour.layer}")]


def _begin(pour: Pour, schedule: WorkPlan) -> timedelta | None:
    blocks = (block for day in schedule.days.days for block in day.blocks)
    return next((block.start for block in blocks if block.pour is pour), None)


def _moment(begin: timedelta | None, minutes: float) -> str:
    return f"{minutes:.0f}" if begin is None else clock_text(begin + timedelta(minutes=minutes))[-5:]


def _basis(pour: Pour, begin: timedelta | None, schedule: WorkPlan | None) -> str:
    if begin is None or schedule is None:
        return f"Minutes from the first mixing of the coat.{_flake(pour)}"
    at = schedule.days.at(begin)
    day = clock_text(begin)[:-6] if at is None else f"{at:%a %Y-%m-%d}"
    again = "Read times again from the real first mixing."
    return f"Planned for {day}; {people_words(pour.people)}.{_flake(pour)} {again}"


def _flake(pour: Pour) -> str:
    """What the last column says, where it says anything."""
    return " Flake: all down by then." if any(z.times.flake_by is not None for z in pour.zones) else ""

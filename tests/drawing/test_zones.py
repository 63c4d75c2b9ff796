"""Pour zones on the crew sheet: every zone drawn and numbered; a map for each coat that differs."""

from __future__ import annotations

import itertools

import pytest
import shapely
from overlaps import overlaps
from sample_sheets import NAMES, layer, takeoff

import floorplan
from floorplan.drawing.arcs import chords
from floorplan.drawing.floor import Shown, draw_floor
from floorplan.drawing.marks import Page, Stroke, Text, walk
from floorplan.drawing.placing import text_box
from floorplan.drawing.scales import Scale
from floorplan.drawing.sheets import compose
from floorplan.drawing.sketch import Sketch
from floorplan.drawing.view import View
from floorplan.drawing.zones import draw_zones
from floorplan.units.figures import Figures
from floorplan.work.pours import Pour, pours

RATE_M2_PER_MIN = 2.3


def poured(name: str) -> tuple[Pour, ...]:
    """The coats of a sample in zones."""
    return pours(takeoff(name), rate_m2_per_min=RATE_M2_PER_MIN, people=3)[0]


def sheet(name: str) -> tuple[Page, ...]:
    """The crew sheet with zones."""
    measured = takeoff(name)
    return compose(measured.plan, measured, work=poured(name))


@pytest.mark.parametrize("name", NAMES)
def test_every_zone_has_its_number(name: str) -> None:
    """The first coat's zones are numbered large on the drawing."""
    numbers = {m.content for m in walk(layer(sheet(name)[0].marks, "zones")) if isinstance(m, Text)}
    assert {str(zone.order) for zone in poured(name)[0].zones} <= numbers


def borders_agree(page: Page, pour: Pour) -> None:
    """The length of the borders on paper is that of the edges that zones share (worked out with shapely)."""
    drawn = sum(
        shapely.LineString(chords(run)).length
        for mark in walk(layer(page.marks, "zones"))
        if isinstance(mark, Stroke) and mark.pen and mark.pen.dashes_mm
        for run in mark.runs
    )
    floors = [zone.floor for zone in pour.zones]
    shared = sum(
        a.boundary.intersection(b.boundary.buffer(1e-6)).length for a, b in itertools.combinations(floors, 2)
    )
    assert drawn == pytest.approx(shared * 1000.0 / page.scale, abs=1.5 * max(1, len(floors)))


@pytest.mark.parametrize("name", NAMES)
def test_zone_borders_part_the_zones(name: str) -> None:
    """Those of the first coat stand on the first page, with everything else."""
    borders_agree(sheet(name)[0], poured(name)[0])


@pytest.mark.parametrize("name", NAMES)
def test_nothing_overlaps_with_zones(name: str) -> None:
    """Numbers and arrows keep clear of all else on every page."""
    for page in sheet(name):
        assert overlaps(page) == []


def test_each_coat_that_differs_has_its_map() -> None:
    """Two topcoats in other zones than the primer have a page each."""
    titles = [page.title for page in sheet("l-patio")]
    coats = [pour.layer for pour in poured("l-patio")][1:]
    assert all(any(coat in title for title in titles) for coat in coats)


def test_maps_of_later_coats_bear_their_zones() -> None:
    """Each map holds the borders of its own coat's zones, to scale, and every number."""
    checked = 0
    for page, pour in itertools.product(sheet("l-patio"), poured("l-patio")[1:]):
        if f"zones, {pour.layer}" in page.title:
            borders_agree(page, pour)
            numbers = {m.content for m in walk(layer(page.marks, "zones")) if isinstance(m, Text)}
            assert {str(zone.order) for zone in pour.zones} <= numbers
            checked += 1
    assert checked == 2


def test_no_zone_no_map() -> None:
    """Without a work plan the sheet shows no zones."""
    measured = takeoff("l-patio")
    assert layer(compose(measured.plan, measured)[0].marks, "zones") == ()


PORCH_AND_WALK = """
units = "ft"
[[slab]]
name = "Porch"
entry = "B-C"
outline = \"\"\"
A 0, 0  | siding
B 18, 0 | open
C 18, 8 | step down
D 10, 8 | open
E 0, 8  | low wall
\"\"\"
[[slab]]
name = "Walk"
entry = "A-B"
outline = \"\"\"
A 10, 8  | slab
B 14, 8  | open
C 14, 26 | open
D 10, 26 | open
\"\"\"
"""


def test_label_without_room_says_of_which_slab_it_is() -> None:
    """Two slabs on one drawing both have a side A-B; the way into the second lies on the first, and the
    list names the side by its letters, because the crew has no plan file to look into."""
    measured = floorplan.takeoff(floorplan.read(PORCH_AND_WALK))
    pages = compose(measured.plan, measured, paper="letter")
    said = [mark.content for page in pages for mark in walk(page.marks) if isinstance(mark, Text)]
    assert any(line.startswith("Walk, in and out: at side A-B") for line in said)


def test_every_slab_of_a_drawing_bears_its_name() -> None:
    """Three floors side by side, the middle one so small that its number nearly fills it: all are named.

    At 1:64 on letter the middle floor is 8 x 6 ft, 38 x 29 mm on paper, less a band of 2.4 mm by its walls.
    """
    boxes = (("North bay", 0, 12, 10), ("Middle bay", 13, 21, 6), ("South bay", 22, 40, 20))
    text = "[rules]\norigin = 'shared'\n" + "".join(
        f"[[slab]]\nname = '{name}'\nsystem = 'outdoor-full-flake'\noutline = \"\"\"\n"
        f"{x0}', 0 | wall\n{x1}', 0 | open\n{x1}', {y}' | wall\n{x0}', {y}' | wall\n\"\"\"\n"
        for name, x0, x1, y in boxes
    )
    plan = floorplan.read(text)
    measured = floorplan.takeoff(plan)
    days = floorplan.schedule(plan, measured)
    pages = compose(plan, measured, work=days.pours, schedule=days)
    maps = [page for page in pages if page.scale]
    assert len(maps) > 1
    for page in maps:
        labels = {mark.content for mark in walk(layer(page.marks, "labels")) if isinstance(mark, Text)}
        assert {name for name, *_ in boxes} <= labels
        assert overlaps(page) == []


STRIPS = """
units = "ft"
[[slab]]
name = "Bay"
system = "garage-full-flake"
entry = "A-B"
outline = \"\"\"
A 0, 0   | garage door
B 40, 0  | wall
C 40, 30 | wall
D 24, 30 | wall
E 24, 50 | garage door
F 0, 50  | wall
\"\"\"
[[slab.cutout]]
name = "pit"
kind = "drain"
at = ["30, 15"]
size = "6 ft x 10 ft"
[[slab.joint]]
kind = "saw cut"
spacing = "12' x 10'"
from = "A"
"""


@pytest.mark.parametrize("ratio", [100, 300, 700, 1200])
def test_no_number_stands_in_another_zone(ratio: float) -> None:
    """However small the map, a number is in its own zone or off the floor, never over a cut-out."""
    measured = floorplan.takeoff(floorplan.read(STRIPS))
    for pour in pours(measured, rate_m2_per_min=RATE_M2_PER_MIN, people=3)[0]:
        view = View(Scale(ratio), (100.0, 100.0))
        sketch = Sketch(view, (0.0, 0.0, 400.0, 400.0), Figures(measured.plan.units))
        draw_floor(sketch, measured.slabs[0], 1, Shown(hand=False, joints=False, border=False))
        draw_zones(sketch, pour, 0)
        texts = [mark for mark in walk(layer(sketch.groups(), "zones")) if isinstance(mark, Text)]
        boxes = {int(t.content): shapely.Polygon(text_box(t)) for t in texts if t.content.isdigit()}
        floors = {zone.order: sketch.view.region(zone.floor) for zone in pour.zones}
        gross = shapely.Polygon(shapely.union_all(list(floors.values())).buffer(0.01).exterior)
        assert boxes
        for number, box in boxes.items():
            assert floors[number].contains(box) or not gross.intersects(box)

"""Day cards and what the work plan puts on the crew sheet."""

from __future__ import annotations

import re
from functools import cache

import pytest
import shapely
from estimates import estimate
from overlaps import overlaps
from random_plans import random_plan
from sample_sheets import NAMES, SAMPLES, layer, takeoff

import floorplan
from floorplan.drawing.marks import Page, Stroke, Text, walk
from floorplan.drawing.sheets import compose
from floorplan.errors import SheetError
from floorplan.plan.forecast import read_time
from floorplan.plan.model_work import WorkSettings
from floorplan.render.svg import render
from floorplan.work.cautions import CAUTIONS
from floorplan.work.plan import WorkPlan

START = read_time("2027-05-04 07:30")


@cache
def planned(name: str) -> WorkPlan:
    """The work plan of a sample."""
    measured = takeoff(name)
    return floorplan.schedule(measured.plan, measured, settings=WorkSettings(start=START))


@cache
def cards(name: str) -> tuple[Page, ...]:
    """Its day cards."""
    measured = takeoff(name)
    return compose(measured.plan, measured, sheet="day", schedule=planned(name))


def words(page: Page) -> str:
    """All text of a page in one line."""
    return " ".join(mark.content for mark in walk(page.marks) if isinstance(mark, Text))


@pytest.mark.parametrize("name", NAMES)
def test_each_day_is_one_page(name: str) -> None:
    """As many pages as days, each with its date in the title."""
    found = cards(name)
    assert len(found) == len(planned(name).days.days)
    assert "day 1, Tue 2027-05-04" in found[0].title


@pytest.mark.parametrize("name", NAMES)
def test_card_holds_what_the_crew_signs_and_writes(name: str) -> None:
    """Clock, holds, zones, weather, actual figures, loading and every caution stand on each card."""
    for page, day in zip(cards(name), planned(name).days.days, strict=True):
        text = words(page)
        for heading in ("The day by the clock", "Hold points", "Weather, before each coat", "On the truck"):
            assert heading in text
        for block in day.blocks:
            assert block.hold is None or block.hold.code in text
        for caution in CAUTIONS:
            assert caution.split()[0] in text
        for pour in day.coats:
            assert f"{pour.layer[:1].upper()}{pour.layer[1:]}: pour in this order" in text


@pytest.mark.parametrize("name", NAMES)
def test_nothing_overlaps_on_a_card(name: str) -> None:
    """No text stands over text or over a line."""
    for page in cards(name):
        assert overlaps(page) == []


@pytest.mark.parametrize("name", NAMES)
def test_nothing_overlaps_on_the_crew_sheet_with_days(name: str) -> None:
    """Test points and clock times find their place beside everything else."""
    measured = takeoff(name)
    for page in compose(measured.plan, measured, sheet="crew", schedule=planned(name)):
        assert overlaps(page) == []


@pytest.mark.parametrize("name", NAMES)
def test_tests_stand_where_they_were_laid_out(name: str) -> None:
    """A crossed square on the crew's drawing, at its spot or near by: a test has no exact place.

    The drawing is one similar figure, so distances between squares are those between spots, at scale.
    """
    measured = takeoff(name)
    page = compose(measured.plan, measured, sheet="crew", schedule=planned(name))[0]
    squares = {}
    for group in walk(page.marks):
        if isinstance(group, Text) and re.fullmatch(r"[A-Z]\d", group.content) and group.height_mm < 2.5:
            squares[group.content] = group.at
    middles = [
        shapely.LinearRing(run.points).centroid
        for mark in walk(page.marks)
        if isinstance(mark, Stroke)
        for run in mark.runs
        if run.closed
        and len(run.points) == 4
        and shapely.LinearRing(run.points).length == pytest.approx(12.0)
    ]
    spots = {
        f"{spots.letter}{k + 1}": at
        for tests in planned(name).tests
        for spots in tests.spots
        for k, at in enumerate(spots.at)
    }
    drawn = {
        n: min(middles, key=lambda m: m.distance(shapely.Point(squares[n]))) for n in spots if n in squares
    }
    assert drawn
    x0, y0, *_ = measured.slabs[0].ring.bounds()
    outline = [
        point
        for mark in walk(layer(page.marks, "outline"))
        if isinstance(mark, Stroke)
        for run in mark.runs
        for point in run.points
    ]
    left, low = min(x for x, _ in outline), min(y for _, y in outline)
    for test, middle in drawn.items():
        x, y = spots[test]
        wanted = shapely.Point(left + (x - x0) * 1000 / page.scale, low + (y - y0) * 1000 / page.scale)
        assert middle.distance(wanted) < 15.0
        assert middle.distance(shapely.Point(squares[test])) < 3.5


@pytest.mark.parametrize(("units", "words_"), [("ft-in", ("oz", "lb thrown")), ("m", (" g", "kg thrown"))])
def test_card_measures_out_in_the_units_of_the_plan(units: str, words_: tuple[str, str]) -> None:
    """Grit is weighed in ounces or grams, what is thrown in pounds or kilograms, never in both."""
    text = (SAMPLES / "l-patio.toml").read_text().replace('units = "ft-in"', f'units = "{units}"')
    plan = floorplan.read(text)
    measured = floorplan.takeoff(plan)
    work = floorplan.schedule(plan, measured, settings=WorkSettings(start=START))
    found = " ".join(words(page) for page in compose(plan, measured, sheet="day", schedule=work))
    assert re.search(rf"\d {words_[0].strip()}\b", found)
    assert words_[1] in found
    other = "kg thrown" if units == "ft-in" else "lb thrown"
    assert other not in found


@pytest.mark.parametrize("name", NAMES)
def test_crew_sheet_shows_times_and_tests(name: str) -> None:
    """The table of zones has times of day, and every test is drawn or listed."""
    measured = takeoff(name)
    pages = compose(measured.plan, measured, sheet="crew", schedule=planned(name))
    text = " ".join(words(page) for page in pages)
    assert "Planned for Tue 2027-05-04" in text
    for tests in planned(name).tests:
        for spots in tests.spots:
            assert spots.kind.value.split(" (")[0] in text
            assert all(f"{spots.letter}{k + 1}" in text for k in range(len(spots.at)))


def test_same_card_twice() -> None:
    """The same plan gives the same bytes."""
    measured = takeoff(NAMES[0])
    again = compose(measured.plan, measured, sheet="day", schedule=planned(NAMES[0]))
    assert [render(page) for page in again] == [render(page) for page in cards(NAMES[0])]


def test_ids_of_a_card_are_its_own() -> None:
    """Two maps on one page carry no ids, so that none stands twice in a file."""
    import re

    for name in NAMES:
        for page in cards(name):
            ids = re.findall(r' id="([^"]+)"', render(page).decode())
            assert len(ids) == len(set(ids))


def test_day_card_needs_days() -> None:
    """Without a work plan there is no card, in words."""
    measured = takeoff(NAMES[0])
    with pytest.raises(SheetError) as caught:
        compose(measured.plan, measured, sheet="day")
    assert caught.value.faults[0].code == "sheet-days"


@pytest.mark.parametrize("seed", [0, 11, 15])
def test_nothing_overlaps_on_random_plans(seed: int) -> None:
    """Test points, assumed exits and cards keep clear of everything; 11 and 15 once did not."""
    measured = floorplan.takeoff(floorplan.read(random_plan(seed)))
    work = floorplan.schedule(measured.plan, measured)
    for sheet in ("crew", "day"):
        for page in compose(measured.plan, measured, sheet=sheet, schedule=work):
            assert overlaps(page) == []


def test_pails_of_a_coat_hold_all_that_it_takes() -> None:
    """A zone of 1.02 kit is carried over from the pail before, which is measured out that much larger: the
    column of kits adds up to the coat, but for the rounding of four figures to hundredths."""
    measured = estimate("patio")
    plan = floorplan.schedule(measured.plan, measured)
    (coat,) = (pour for pour in plan.pours if pour.layer == "topcoat 1")
    assert any(zone.carried_l for zone in coat.zones)
    pages = compose(measured.plan, measured, sheet="day", schedule=plan)
    texts = [mark.content for page in pages for mark in walk(page.marks) if isinstance(mark, Text)]
    start = texts.index("Topcoat 1: measure out")
    body = texts[start + 6 : start + 6 + 5 * len(coat.zones)]
    assert sum(float(kit) for kit in body[1::5]) == pytest.approx(
        sum(zone.kits for zone in coat.zones), abs=0.02
    )
    assert float(body[-4]) <= 1.0

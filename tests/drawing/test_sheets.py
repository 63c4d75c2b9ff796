"""Sheets: what each must show and must not show, on paper that is found or given."""

from __future__ import annotations

import math
import re

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from overlaps import overlaps
from sample_sheets import EVERY, NAMES, layer, pages, takeoff

import floorplan.api
from floorplan.drawing.arcs import chords
from floorplan.drawing.marks import Page, Stroke, Text, walk
from floorplan.drawing.paper import PAPERS
from floorplan.drawing.sheets import SHEETS, compose
from floorplan.errors import SheetError
from floorplan.render.svg import render
from floorplan.work.cautions import CAUTIONS
from floorplan.work.holds import HOLDS

UNKNOWN = """
title = "Unknown"
units = "ft"
[[slab]]
name = "Pad"
system = "clear-seal"
outline = \"\"\"
A 0, 0 | wall
B 20, 0
C 20, 12 |
D 0, 12 | open
\"\"\"
"""

SHOP = (
    "kit box hour cost margin price kept thrown hand-grind hand ground grind band pocket walk-behind stock "
    "labour grit batch mask brush primer pail crew estimator shop slack"
)
"""Words of the shop that the customer never reads (trade brief 7, common practice, no source)."""


def texts(page: Page) -> list[str]:
    """Every line of text on a page."""
    return [mark.content for mark in walk(page.marks) if isinstance(mark, Text)]


def words(pages_: tuple[Page, ...]) -> str:
    """All text of a sheet, and what its files say of themselves."""
    parts = [line for page in pages_ for line in (*texts(page), page.title, page.description)]
    return " ".join(parts)


def draw(text: str, **options: str) -> tuple[Page, ...]:
    """The pages of a plan given as text."""
    plan = floorplan.read(text)
    return compose(plan, floorplan.takeoff(plan), **options)


@pytest.mark.parametrize(("name", "sheet"), EVERY)
def test_samples_have_no_overlap(name: str, sheet: str) -> None:
    """No text over text or lines on any sheet of any sample."""
    for page in pages(name, sheet):
        assert overlaps(page) == []


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("sheet", ["crew", "estimator"])
def test_every_side_is_dimensioned(name: str, sheet: str) -> None:
    """Each side's length stands on the drawing, or in the table of what found no room there."""
    found = words(pages(name, sheet))
    for slab in takeoff(name).slabs:
        for edge in slab.edges:
            if edge.side is not None:
                text = floorplan_figure(name, edge.chord_m)
                assert text in found, edge.label


def floorplan_figure(name: str, length_m: float) -> str:
    """A length as the sample's sheets write it, from the public formatter."""
    from floorplan.units.figures import Figures

    figures = Figures(takeoff(name).plan.units)
    text = figures.length(length_m)
    return text if figures.is_us else text.rsplit(" ", 1)[0]


@pytest.mark.parametrize(("name", "sheet"), EVERY)
def test_every_corner_is_lettered(name: str, sheet: str) -> None:
    """Corner letters stand on every drawing: sides are named by them."""
    for slab in takeoff(name).slabs:
        assert {corner.label for corner in slab.corners} <= set(texts(pages(name, sheet)[0]))


@pytest.mark.parametrize("name", NAMES)
def test_crew_sheet_has_cautions_holds_and_print_check(name: str) -> None:
    """Cautions and a line of exactly 2 in or 50 mm are on the first page, all hold boxes together on one."""
    page, *behind = pages(name, "crew")
    said = " ".join(texts(page))
    assert all(caution.split()[0] in said for caution in CAUTIONS)
    assert any(all(hold.code in texts(each) for hold in HOLDS) for each in (page, *behind))
    bar = next(m for m in walk(page.marks) if isinstance(m, Stroke) and m.id == "print-check")
    (start, end) = bar.runs[0].points
    assert math.dist(start, end) == pytest.approx(50.8 if takeoff(name).plan.units.value != "m" else 50.0)


@pytest.mark.parametrize("name", NAMES)
def test_customer_sheet_has_what_it_must(name: str) -> None:
    """Hatched floor, rounded area, how the floor ends, joints, and what the drawing is not."""
    said = words(pages(name, "customer"))
    for phrase in ("about", "coated floor", "not coated", "Where the floor ends", "Joints", "not a survey"):
        assert phrase in said
    assert "Steps and upright faces" in said
    assert any(
        m.texture for m in walk(layer(pages(name, "customer")[0].marks, "floor")) if isinstance(m, Stroke)
    )


@pytest.mark.parametrize("name", NAMES)
def test_customer_sheet_has_no_word_of_the_shop(name: str) -> None:
    """Searched as text, page titles and descriptions included."""
    said = re.findall(r"[a-z-]+", words(pages(name, "customer")).casefold())
    shop = set(SHOP.split())
    assert [word for word in said if word in shop or word.rstrip("s") in shop] == []


@pytest.mark.parametrize("name", NAMES)
def test_customer_file_hides_no_word_of_the_shop(name: str) -> None:
    """Titles, ids and classes of the SVG are searched like its text."""
    made = pages(name, "customer")
    svg = b" ".join(render(page) for page in made).decode()
    named = re.findall(r'<(?:title|desc)>([^<]*)<|(?:id|class)="([^"]*)"', svg)
    hidden = " ".join(part for pair in named for part in pair)
    found = [word for word in re.findall(r"[a-z]+", hidden.casefold()) if word.rstrip("s") in SHOP.split()]
    assert found == []


@pytest.mark.parametrize("name", NAMES)
def test_customer_sheet_has_no_false_precision(name: str) -> None:
    """No fraction of an inch and no millimetre among the dimensions; areas in whole square feet."""
    page = pages(name, "customer")[0]
    dimensions = [m.content for m in walk(layer(page.marks, "dimensions")) if isinstance(m, Text)]
    assert dimensions
    assert not [text for text in dimensions if "/" in text or re.search(r"\.\d{3}", text)]
    assert not re.search(r"\d\.\d+ sq ft", words(pages(name, "customer")))


def test_unknown_side_is_loud() -> None:
    """A side of no stated kind says ASK on the drawing, white on black, and heads the text."""
    page = draw(UNKNOWN)[0]
    asked = [m for m in walk(page.marks) if isinstance(m, Text) and m.content.startswith("ASK")]
    assert sum(m.colour == "#ffffff" for m in asked) == 2
    assert any("B to D" in m.content for m in asked)


def test_unknown_side_is_to_be_agreed_with_the_customer() -> None:
    """The customer reads no ASK, but that the edge is still to be agreed."""
    said = words(draw(UNKNOWN, sheet="customer"))
    assert "ASK" not in said
    assert "to be agreed" in said


@pytest.mark.parametrize("paper", sorted(PAPERS))
def test_paper_asked_for_is_used(paper: str) -> None:
    """Every known paper can be asked for; the page has its size, one way or the other."""
    page = draw(UNKNOWN, paper=paper)[0]
    assert sorted((page.width_mm, page.height_mm)) == [PAPERS[paper].short_mm, PAPERS[paper].long_mm]
    assert page.paper == paper


def test_scale_asked_for_is_used() -> None:
    """A scale that fits is taken as asked."""
    assert draw(UNKNOWN, scale="1:100")[0].scale == 100.0


def test_scale_that_does_not_fit_is_tiled() -> None:
    """Asked for 1:10, a pad of 20 x 12 ft goes over several sheets behind a key plan."""
    made = draw(UNKNOWN, scale="1:10")
    assert "key plan" in made[0].title
    parts = [page for page in made if "part" in page.title]
    assert len(parts) > 3
    assert {page.scale for page in parts} == {10.0}
    for page in made:
        ink = [run.points for mark in walk(page.marks) if isinstance(mark, Stroke) for run in mark.runs]
        lowest, highest = (tuple(f(p[k] for run in ink for p in run) for k in (0, 1)) for f in (min, max))
        assert min(lowest) >= 0.0
        assert highest[0] <= page.width_mm
        assert highest[1] <= page.height_mm


def test_parts_cover_the_outline_once() -> None:
    """The outline's pieces on all parts together are as long as the outline, and match at their edges."""
    made = [page for page in draw(UNKNOWN, scale="1:10") if "part" in page.title]
    drawn = sum(
        shapely.LineString(chords(run)).length
        for page in made
        for mark in walk(layer(page.marks, "outline"))
        if isinstance(mark, Stroke) and mark.id.startswith("slab-1-outline")
        for run in mark.runs
    )
    assert drawn == pytest.approx(2 * (20 + 12) * 304.8 / 10.0, abs=0.2)
    numbers = {line for page in made for line in texts(page) if line.startswith("match line")}
    assert len(numbers) >= len(made) / 2


def test_absurd_scale_is_a_fault() -> None:
    """A scale that would need hundreds of sheets is refused with the cure."""
    with pytest.raises(SheetError) as caught:
        draw(UNKNOWN.replace("20", "2000"), scale="1:10")
    assert caught.value.faults[0].code == "sheet-too-many"


def test_unknown_sheet_is_a_fault() -> None:
    """The known sheets are offered."""
    with pytest.raises(SheetError) as caught:
        draw(UNKNOWN, sheet="plumber")
    assert all(name in caught.value.faults[0].hint for name in SHEETS)


def _second(x: float) -> str:
    outline = f"A {x}, 0 | wall\nB {x + 10}, 0 | open\nC {x + 10}, 8 | open\nD {x}, 8 | open"
    return f'{UNKNOWN}\n[[slab]]\nname = "Walk"\nsystem = "clear-seal"\noutline = """\n{outline}\n"""\n'


def test_slabs_apart_share_a_drawing() -> None:
    """Two slabs that do not overlap as typed stand on one page, each with its id."""
    ids = {mark.id for mark in walk(draw(_second(25))[0].marks) if isinstance(mark, Stroke)}
    assert {"slab-1-outline", "slab-2-outline"} <= ids


def test_slabs_that_overlap_have_a_page_each() -> None:
    """Two slabs typed from the same corner are drawn on their own pages."""
    made = draw(_second(0))
    ids = [{mark.id for mark in walk(page.marks) if isinstance(mark, Stroke)} for page in made]
    assert any("slab-1-outline" in each for each in ids)
    assert any("slab-2-outline" in each and "slab-1-outline" not in each for each in ids)


@pytest.mark.parametrize("sheet", ["crew", "estimator", "customer"])
def test_page_of_one_slab_tells_of_no_other(sheet: str) -> None:
    """Where slabs have a page each, edges, questions and sums on it are of that slab: A-B stands on every
    slab."""
    made = draw(_second(0), sheet=sheet)
    walks = [page for page in made if "Walk" in texts(page) and "Pad" not in texts(page)]
    assert walks
    for page in walks:
        shown = " ".join(texts(page))
        assert "unknown" not in shown
        assert "ASK" not in shown
        assert "20'" not in shown
        assert "240.0 sq ft" not in shown or sheet == "estimator"


def test_edges_of_several_slabs_on_a_page_carry_their_slab() -> None:
    """The customer reads where each slab ends, not "A-B" twice."""
    (page,) = draw(_second(25), sheet="customer")
    shown = " ".join(texts(page))
    assert "Pad A-B, Walk A-B: up to the wall" in shown


def test_zone_pages_are_of_slabs_that_have_the_coat() -> None:
    """A walk that is sealed once has one crew page, though a patio beside it gets three coats."""
    plan = floorplan.read(_second(0).replace("clear-seal", "outdoor-full-flake", 1))
    measured = floorplan.takeoff(plan)
    made = compose(plan, measured, schedule=floorplan.schedule(plan, measured))
    walks = [page for page in made if "Walk" in texts(page) and "Pad" not in texts(page)]
    assert len(walks) == 1
    assert "Pour in this order: seal" in texts(walks[0])


@pytest.mark.parametrize("name", NAMES)
def test_no_crew_page_is_spent_on_lists_alone(name: str) -> None:
    """What the first page has no room for goes under a zone map, where the cautions give way to it."""
    measured = takeoff(name)
    made = compose(measured.plan, measured, schedule=floorplan.schedule(measured.plan, measured))
    assert all(page.scale for page in made)
    assert "Isopropyl burns" in " ".join(texts(made[0]))
    for page in made[1:]:
        assert "Cautions" in texts(page)


@pytest.mark.parametrize(("name", "sheet"), EVERY)
def test_same_plan_same_pages(name: str, sheet: str) -> None:
    """Two layouts of one plan are equal in every mark."""
    measured = takeoff(name)
    assert compose(measured.plan, measured, sheet=sheet) == pages(name, sheet)


@pytest.mark.parametrize("name", NAMES)
def test_title_block_has_the_essentials(name: str) -> None:
    """Row G12: the mandatory fields of ISO 7200 that a plan can give stand in the title block."""
    page, plan = pages(name, "crew")[0], takeoff(name).plan
    block = [m.content for m in walk(layer(page.marks, "title-block")) if isinstance(m, Text)]
    for value in (
        plan.title,
        plan.site,
        plan.sheet.date,
        plan.sheet.revision,
        "Crew sheet",
        f"1 of {len(pages(name, 'crew'))}",
    ):
        assert value in block
    assert any(f"1:{page.scale:g}" in text for text in block)
    assert {"Approved", "Drawn by", "Scale"} <= set(block)


@given(st.text(min_size=1, max_size=80).filter(lambda s: '"' not in s and "\\" not in s and s.isprintable()))
def test_any_title_keeps_the_layout(title: str) -> None:
    """However long or odd the title, nothing overlaps and nothing leaves the paper."""
    for page in draw(UNKNOWN.replace('"Unknown"', f'"{title}"')):
        assert overlaps(page) == []


def test_file_says_nothing_of_the_clock() -> None:
    """No date where the plan gives none."""
    assert not re.search(r"\b20\d\d\b", words(draw(UNKNOWN)))


@pytest.mark.parametrize("name", NAMES)
def test_a_size_without_room_takes_no_page_of_its_own(name: str) -> None:
    """What found no room in the drawing of a crew sheet, zones and all, stands beside it."""
    measured = takeoff(name)
    for page in floorplan.api.pages(measured.plan, measured, sheet="crew")[1:]:
        words = [mark.content for mark in walk(page.marks) if isinstance(mark, Text)]
        assert words[0] != "Not lettered on the drawing"

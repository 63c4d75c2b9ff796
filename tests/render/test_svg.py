"""SVG sheets: true to size, text as text, safe, and read without complaint by programs that are not ours."""

from __future__ import annotations

import math
import re
from xml.etree import ElementTree

import outside
import pytest
import resvg_py
from hypothesis import given
from hypothesis import strategies as st
from pictures import FONTS, svg_pixels
from sample_sheets import EVERY, NAMES, pages, takeoff

from floorplan.drawing.lettering import clean, letter
from floorplan.drawing.marks import Group, Page, Pen, Run, Stroke
from floorplan.render.svg import render

SVG = "{http://www.w3.org/2000/svg}"
ELEMENTS = {"svg", "defs", "g", "path", "rect", "text", "title", "desc", "image"}


def parsed(page: Page) -> ElementTree.Element:
    """The SVG of a page, read back."""
    return ElementTree.fromstring(render(page))


def page_with(*marks: object, title: str = "A title") -> Page:
    """A small page with some marks."""
    return Page(width_mm=100.0, height_mm=80.0, marks=marks, title=title, description="A page.", scale=48.0)


@pytest.mark.parametrize(("name", "sheet"), EVERY)
def test_root_is_in_true_millimetres(name: str, sheet: str) -> None:
    """Width, height and viewBox are the paper's millimetres; the scale stands beside them."""
    for page in pages(name, sheet):
        root = parsed(page)
        assert root.get("width") == f"{page.width_mm:g}mm"
        assert root.get("height") == f"{page.height_mm:g}mm"
        assert root.get("viewBox") == f"0 0 {page.width_mm:g} {page.height_mm:g}"
        assert root.get("data-scale") == (f"{page.scale:g}" if page.scale else None)


def test_letter_is_816_pixels_wide() -> None:
    """Row G8-Letter: an independent renderer finds 816 x 1056 CSS pixels in a letter page."""
    row = outside.row("g_drawing", "G8-Letter")
    page = pages("l-patio", "crew")[0]
    picture = svg_pixels(render(page), 96)
    assert picture.size == (row["expected"]["w_px"], row["expected"]["h_px"])


def _lengths(path: str) -> list[float]:
    """Lengths of the straight and circular pieces of a path of M, L, A and Z."""
    out: list[float] = []
    here = first = (0.0, 0.0)
    for command, numbers in re.findall(r"([MLAZ])([^MLAZ]*)", path):
        values = [float(n) for n in re.findall(r"-?[\d.]+", numbers)]
        if command == "Z":
            out.append(math.dist(here, first))
            continue
        there = (values[-2], values[-1])
        if command == "M":
            first = there
        elif command == "L":
            out.append(math.dist(here, there))
        else:
            half = math.asin(min(1.0, math.dist(here, there) / 2.0 / values[0]))
            out.append(2.0 * values[0] * (math.pi - half if values[3] else half))
        here = there
    return out


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("sheet", ["crew", "customer"])
def test_outline_is_true_to_scale(name: str, sheet: str) -> None:
    """Each side of the outline measures its length over the scale, arcs as arcs, to 0.1 mm."""
    page, slab = pages(name, sheet)[0], takeoff(name).slabs[0]
    outline = parsed(page).find(f".//{SVG}path[@id='slab-1-outline']")
    assert outline is not None
    drawn = [length for length in _lengths(outline.get("d", "")) if length > 1e-6]
    wanted = [1000.0 * length / page.scale for length in slab.ring.side_lengths_m]
    assert drawn == pytest.approx(wanted, abs=0.1)


@pytest.mark.parametrize("bulge", [0.2, 1.0, 2.0, -0.5, -1.5])
def test_arcs_bulge_to_their_side(bulge: float) -> None:
    """A counter-clockwise arc from left to right hangs below its chord, a clockwise one stands above."""
    run = Run(((40.0, 40.0), (60.0, 40.0)), (bulge,))
    page = page_with(Stroke(runs=(run,), pen=Pen(1.0)))
    picture = svg_pixels(render(page), 254).convert("L")
    rise = 0.5 * bulge * 20.0
    middle = picture.getpixel((500, round((80.0 - (40.0 - rise)) * 10)))
    assert middle < 60
    assert picture.getpixel((500, round((80.0 - (40.0 + rise)) * 10))) > 200


@pytest.mark.parametrize(("name", "sheet"), EVERY)
def test_only_plain_elements(name: str, sheet: str) -> None:
    """No script, style, link, foreign object or outside reference; every id stands once."""
    for page in pages(name, sheet):
        ids = []
        for element in parsed(page).iter():
            assert element.tag.removeprefix(SVG) in ELEMENTS
            for key, value in element.attrib.items():
                assert not key.startswith("on")
                assert not key.endswith("href") or value.startswith("data:image/png;base64,")
                assert "url(" not in value
            if "id" in element.attrib:
                ids.append(element.attrib["id"])
        assert len(ids) == len(set(ids))


@pytest.mark.parametrize(("name", "sheet"), EVERY)
def test_title_description_and_language(name: str, sheet: str) -> None:
    """Title and desc come first, and the language is given: who cannot see the page hears what it is."""
    root = parsed(pages(name, sheet)[0])
    children = [child.tag.removeprefix(SVG) for child in root]
    assert children[:2] == ["title", "desc"]
    assert takeoff(name).plan.title in (root[0].text or "")
    assert root.get("role") == "img"
    assert b'xml:lang="en"' in render(pages(name, sheet)[0])


@given(st.text(max_size=40))
def test_any_text_is_escaped(words: str) -> None:
    """Whatever a user types comes back as the same text, never as markup."""
    page = page_with(letter(words, (10.0, 10.0)), title=words)
    text = parsed(page).find(f".//{SVG}text")
    assert text is not None
    assert (text.text or "") == clean(words)


@pytest.mark.parametrize(
    "words", ["<script>alert(1)</script>", "a & b", "]]>", '"quoted"', "&#0;", "\x00\x01"]
)
def test_markup_in_a_title_stays_text(words: str) -> None:
    """Markup in a plan's title or in a group's title is shown, not obeyed."""
    page = page_with(Group(marks=(letter(words, (1.0, 1.0)),), title=words), title=words)
    root = parsed(page)
    assert root.find(f".//{SVG}script") is None
    assert (root[0].text or "") == clean(words)


def test_text_keeps_its_width_in_any_viewer() -> None:
    """Each text carries the width it was laid out with, in fonts that share their metrics."""
    root = parsed(pages("garage", "crew")[0])
    texts = root.findall(f".//{SVG}text")
    assert texts
    assert all(float(text.get("textLength", "0")) > 0.0 for text in texts)
    assert "Arial" in (root.get("font-family") or "")


@pytest.mark.parametrize(("name", "sheet"), EVERY)
def test_same_page_same_bytes(name: str, sheet: str) -> None:
    """Nothing of the moment gets into the file."""
    for page in pages(name, sheet):
        assert render(page) == render(page)


@pytest.mark.parametrize(("name", "sheet"), EVERY)
def test_independent_reader_does_not_complain(
    name: str, sheet: str, capfd: pytest.CaptureFixture[str]
) -> None:
    """resvg, which no one here wrote, reads every sheet without a warning."""
    for page in pages(name, sheet):
        resvg_py.svg_to_bytes(
            svg_string=render(page).decode(),
            dpi=96,
            font_dirs=[FONTS],
            skip_system_fonts=True,
            log_information=True,
        )
    said = capfd.readouterr()
    complaints = [
        line
        for line in (said.out + said.err).splitlines()
        if "warn" in line.casefold() or "error" in line.casefold()
    ]
    assert complaints == []


def test_titles_stand_only_where_there_is_one() -> None:
    """A mark with a title says it to whoever points at it; one without has no empty title, id or class."""
    run = Run(((1.0, 1.0), (9.0, 1.0)))
    named = Stroke(runs=(run,), pen=Pen(0.5), id="side-1", title="Side A-B")
    bare = Stroke(runs=(run,), pen=Pen(0.5))
    root = parsed(page_with(Group(marks=(named, bare), layer="edges", title="Edges"), Group(marks=(bare,))))
    assert [title.text for title in root.iter(f"{SVG}title")] == ["A title", "Edges", "Side A-B"]
    first, second = root.findall(f".//{SVG}g[@class='edges']/{SVG}path")
    assert (first.get("id"), second.get("id")) == ("side-1", None)
    assert [group.get("class") for group in root.iter(f"{SVG}g")] == ["edges", None]


@pytest.mark.parametrize(
    ("bulges", "commands"), [((), "MLLZ"), ((0.0, 0.0, 0.5), "MLLAZ"), ((0.5, 0.0, 0.0), "MALZ")]
)
def test_the_closing_side_is_drawn_once(bulges: tuple[float, ...], commands: str) -> None:
    """A triangle has three sides: a straight last one is the closing itself, an arc is drawn and closed."""
    run = Run(((10.0, 10.0), (60.0, 10.0), (10.0, 50.0)), bulges, closed=True)
    path = parsed(page_with(Stroke(runs=(run,), pen=Pen(0.5)))).find(f".//{SVG}path")
    assert path is not None
    assert re.sub("[^A-Z]", "", path.get("d", "")) == commands

"""PDF and PNG sheets: exact size, text that can be copied, embedded fonts, no dates, nothing left changed."""

from __future__ import annotations

import io
import math
import subprocess
import sys

import matplotlib as mpl
import numpy as np
import outside
import pymupdf
import pypdf
import pytest
from PIL import Image
from sample_sheets import EVERY, pages, takeoff

from floorplan.drawing.lettering import letter
from floorplan.drawing.marks import Page, Pen, Run, Stroke
from floorplan.render.figure import render_pdf, render_png


def read(data: bytes) -> pypdf.PdfReader:
    """A PDF, read by a library that did not write it."""
    return pypdf.PdfReader(io.BytesIO(data))


def words_page(words: str) -> Page:
    """A page with one line of text."""
    return Page(
        width_mm=100.0, height_mm=50.0, marks=(letter(words, (10.0, 20.0)),), title=words, description=""
    )


def test_letter_is_612_by_792_points() -> None:
    """Row G8-Letter: the page of a PDF has exactly the paper's points."""
    row = outside.row("g_drawing", "G8-Letter")
    box = read(render_pdf(pages("l-patio", "crew")))
    assert float(box.pages[0].mediabox.width) == pytest.approx(row["expected"]["w_pt"], abs=0.01)
    assert float(box.pages[0].mediabox.height) == pytest.approx(row["expected"]["h_pt"], abs=0.01)


def test_all_pages_in_one_pdf() -> None:
    """A sheet of two pages is one PDF of two pages."""
    sheet = pages("l-patio", "estimator")
    assert len(sheet) > 1
    assert len(read(render_pdf(sheet)).pages) == len(sheet)


@pytest.mark.parametrize(("name", "sheet"), EVERY)
def test_pdf_text_can_be_copied(name: str, sheet: str) -> None:
    """Every side's dimension and the title come out as text."""
    text = "".join(page.extract_text() for page in read(render_pdf(pages(name, sheet))).pages)
    assert takeoff(name).plan.title in text
    assert "Scale" in text


def test_pdf_fonts_are_embedded() -> None:
    """Each font of the PDF carries its font file, so that no viewer puts another in its place."""
    with pymupdf.open(stream=render_pdf(pages("garage", "crew")), filetype="pdf") as document:
        fonts = {font[0]: font for page in document for font in page.get_fonts()}
        assert fonts
        for xref, font in fonts.items():
            assert "LiberationSans" in font[3]
            assert document.extract_font(xref)[3], font


def test_pdf_carries_no_date() -> None:
    """Title and maker, and nothing of the moment."""
    data = render_pdf(pages("garage", "customer"))
    assert set(read(data).metadata or {}) == {"/Title", "/Creator"}
    assert b"CreationDate" not in data
    assert b"ModDate" not in data


@pytest.mark.parametrize(("name", "sheet"), EVERY[::4])
def test_same_pages_same_bytes(name: str, sheet: str) -> None:
    """The same sheet gives the same PDF and PNG."""
    assert render_pdf(pages(name, sheet)) == render_pdf(pages(name, sheet))
    page = pages(name, sheet)[0]
    assert render_png(page, 60) == render_png(page, 60)


def test_pdf_needs_a_page() -> None:
    """No page is a caller's mistake."""
    with pytest.raises(ValueError, match="page"):
        render_pdf(())


def test_png_has_its_resolution() -> None:
    """A letter page at 150 dots to the inch is 1275 x 1650 and says so."""
    image = Image.open(io.BytesIO(render_png(pages("l-patio", "crew")[0], 150)))
    assert image.size == (1275, 1650)
    assert image.info["dpi"] == pytest.approx((150, 150), abs=0.05)


def test_settings_are_put_back() -> None:
    """matplotlib is left as it was found."""
    before = dict(mpl.rcParams)
    render_pdf(pages("garage", "customer"))
    render_png(pages("garage", "customer")[0], 50)
    assert dict(mpl.rcParams) == before


def test_no_pyplot() -> None:
    """Drawing loads no pyplot, which would hold state and pick a window system."""
    code = (
        "import sys\n"
        "from floorplan.drawing.marks import Page\n"
        "from floorplan.render.figure import render_pdf, render_png\n"
        "page = Page(width_mm=10.0, height_mm=10.0, marks=(), title='t', description='')\n"
        "render_pdf([page]); render_png(page)\n"
        "assert 'matplotlib.pyplot' not in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


@pytest.mark.parametrize("words", ["", " ", "\u00a0"])
def test_text_without_ink_is_nothing(words: str) -> None:
    """An empty line draws nothing, in either format."""
    assert read(render_pdf([words_page(words)])).pages[0].extract_text().strip() == ""
    assert np.asarray(Image.open(io.BytesIO(render_png(words_page(words), 60)))).min() == 255


@pytest.mark.parametrize(
    "words", ["床 floor", "cost $5 and $6", r"\frac{1}{2}", 'Ø 12 in, 3/8" × ½', "naïve Łódź"]
)
def test_odd_text_is_drawn_without_a_fuss(words: str, recwarn: pytest.WarningsRecorder) -> None:
    """Characters the font lacks become a square; formula marks are plain text; no warning is given."""
    data = render_pdf([words_page(words)])
    render_png(words_page(words), 60)
    text = read(data).pages[0].extract_text()
    assert text.strip() == words.replace("床", "\N{WHITE SQUARE}")
    # What one library says to another of names that will go is no fuss about the text.
    ours = [w for w in recwarn if not issubclass(w.category, DeprecationWarning)]
    assert [str(warning.message) for warning in ours] == []


def strokes_page(*strokes: Stroke) -> Page:
    """A page with lines only."""
    return Page(width_mm=100.0, height_mm=100.0, marks=strokes, title="", description="")


@pytest.mark.parametrize("degrees", [5.0, 29.0, 31.0, 59.0, 90.0, 180.0, 300.0, -59.0, -200.0])
def test_arcs_of_a_pdf_are_circles(degrees: float) -> None:
    """Each curve of an arc of 30 mm stays within 4e-7 of the radius of the circle, and they turn as far.

    A cubic over an angle t is off by 2/27 sin(t/4)^6 / cos(t/4)^2 of the radius (Goldapp 1991, the curve
    that meets the middle): 3.7e-7 for 30 degrees.
    """
    radius, half = 30.0, math.radians(degrees) / 2.0
    ends = [(50.0 + radius * math.cos(t), 50.0 + radius * math.sin(t)) for t in (-half, half)]
    run = Run((ends[0], ends[1]), (math.tan(half / 2.0),))
    page = read(render_pdf([strokes_page(Stroke(runs=(run,), pen=Pen(0.5)))])).pages[0]
    content = pypdf.generic.ContentStream(page.get_contents(), page.pdf)
    here, turned = 0j, 0.0
    for numbers, operator in content.operations:
        values = [float(number) * 25.4 / 72.0 for number in numbers] if operator in (b"m", b"c") else []
        points = [complex(*values[k : k + 2]) - 50.0 * (1 + 1j) for k in range(0, len(values), 2)]
        if operator == b"c":
            t = np.linspace(0.0, 1.0, 201)
            a, b, c = points
            curve = (1 - t) ** 3 * here + 3 * t * (1 - t) ** 2 * a + 3 * t**2 * (1 - t) * b + t**3 * c
            assert np.abs(np.abs(curve) - radius).max() < 4e-7 * radius
            turned += float(np.angle(curve[1:] / curve[:-1]).sum())
        if points:
            here = points[-1]
    assert math.degrees(turned) == pytest.approx(degrees, abs=1e-4)


def test_png_says_who_made_it_and_which_page_it_is() -> None:
    """The Software text of a PNG (registered keyword of PNG 1.2, 11.3.4.2) names the program."""
    image = Image.open(io.BytesIO(render_png(strokes_page(), 50)))
    assert image.text["Software"] == "floorplan"
    assert image.text["Page"].strip() == "1 of 1"


@pytest.mark.parametrize("part", [0.0, 0.2, 0.5, 0.8])
def test_lines_of_a_png_stand_at_the_fraction_of_a_pixel(part: float) -> None:
    """A level line of 1.5 pixels has its ink where it was set, to a tenth of a pixel, and as much of it."""
    y_mm = 10.0 + part / 10.0
    line = Stroke(runs=(Run(((10.0, y_mm), (90.0, y_mm))),), pen=Pen(0.15))
    grey = np.asarray(Image.open(io.BytesIO(render_png(strokes_page(line), 254.0))).convert("L"))
    ink = 1.0 - grey[:, 500] / 255.0
    rows = np.arange(len(ink)) + 0.5
    assert ink.sum() == pytest.approx(1.5, abs=0.05)
    assert (rows * ink).sum() / ink.sum() == pytest.approx(1000.0 - 10.0 * y_mm, abs=0.1)


def test_pens_of_a_pdf_are_in_points() -> None:
    """Width, dashes, colour and ends are those of the pen, at 72 points to 25.4 mm."""
    ends = ((10.0, 10.0), (90.0, 10.0))
    pens = Pen(0.7, "#0072b2", (3.0, 2.0)), Pen(0.25, "#404040", (), True)
    data = render_pdf([strokes_page(*(Stroke(runs=(Run(ends),), pen=pen) for pen in pens))])
    with pymupdf.open(stream=data, filetype="pdf") as document:
        first, second = document[0].get_drawings()
    assert first["width"] == pytest.approx(0.7 * 72 / 25.4, rel=1e-4)
    assert second["width"] == pytest.approx(0.25 * 72 / 25.4, rel=1e-4)
    dashes = [float(number) for number in first["dashes"].replace("[", "").replace("]", "").split()]
    assert dashes == pytest.approx([3.0 * 72 / 25.4, 2.0 * 72 / 25.4, 0.0], rel=1e-3)
    assert first["color"] == pytest.approx((0.0, 0x72 / 255, 0xB2 / 255), abs=1e-3)
    assert second["color"] == pytest.approx((0x40 / 255,) * 3, abs=1e-3)
    # Source: PDF 32000-1, tables 54 and 55: 0 butt and mitre, 1 round.
    assert (set(first["lineCap"]), first["lineJoin"]) == ({0}, 0)
    assert (set(second["lineCap"]), second["lineJoin"] > 0) == ({1}, True)

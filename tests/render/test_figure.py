"""PDF and PNG sheets: exact size, text that can be copied, embedded fonts, no dates, nothing left changed."""

from __future__ import annotations

import io
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
from floorplan.drawing.marks import Page
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

"""Lettering: widths against the font itself, line breaking, and what is left out."""

from __future__ import annotations

from importlib.resources import files

import outside
import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from floorplan.drawing import lettering
from floorplan.drawing.lettering import clean, shortened, width_mm, wrap


@pytest.mark.parametrize("bold", [False, True])
def test_widths_equal_those_of_the_font(bold: bool) -> None:
    """Every character of the bundled font has its advance width in the table (read with fontTools)."""
    name = f"fonts/LiberationSans-{'Bold' if bold else 'Regular'}.ttf"
    font = TTFont(str(files("floorplan.render").joinpath(name)))
    em = 1.0 / (font["OS/2"].sCapHeight / font["head"].unitsPerEm)
    names = font.getBestCmap()
    for code, glyph in names.items():
        wanted = font["hmtx"][glyph][0] / font["head"].unitsPerEm * em
        assert width_mm(chr(code), 1.0, bold) == pytest.approx(wanted), hex(code)


def test_heights_are_of_the_standard_row() -> None:
    """Row G11: lettering heights of ISO 3098."""
    heights = outside.row("g_drawing", "G11")["inputs"]["h"]
    used = {lettering.FINE, lettering.BODY, lettering.HEAD, lettering.TITLE, lettering.LOUD}
    assert used <= {float(h) for h in heights}


def test_width_of_text_is_the_sum_of_its_letters() -> None:
    """No kerning: what is laid out holds in every viewer."""
    assert width_mm("AVA", 2.5) == pytest.approx(2 * width_mm("A", 2.5) + width_mm("V", 2.5))


def test_character_outside_the_font_has_a_width() -> None:
    """A Chinese character takes a square, an unknown narrow one as much as M."""
    assert width_mm("床", 2.5) == pytest.approx(2.5 / lettering.CAPITAL)
    assert width_mm("ກ", 2.5) == pytest.approx(width_mm("M", 2.5))


@given(st.text(max_size=60), st.floats(3.0, 80.0))
def test_wrapped_lines_fit_and_keep_every_letter(content: str, room: float) -> None:
    """No line is wider than the room (but for a single letter), and nothing is lost."""
    lines = wrap(content, 2.5, room)
    assert all(width_mm(line, 2.5) <= room + 1e-9 or len(line) == 1 for line in lines)
    assert "".join(lines).replace(" ", "") == clean(content).replace(" ", "")


@given(st.text(max_size=40))
def test_shortened_text_fits(content: str) -> None:
    """A cut text fits its room and ends in an ellipsis."""
    line = shortened(content, 2.5, 20.0)
    assert width_mm(line, 2.5) <= 20.0
    assert line == clean(content) or line.endswith("…")


@pytest.mark.parametrize(
    ("typed", "set_"),
    [
        ("a\tb\n c", "a b c"),
        ("bell\x07", "bell"),
        ("\u202eabc", "abc"),
        ("  two  spaces ", "two spaces"),
        ("lone \ud800 surrogate", "lone surrogate"),
    ],
)
def test_clean_text(typed: str, set_: str) -> None:
    """Controls and direction marks go, white space becomes one space."""
    assert clean(typed) == set_

"""Every mark can be drawn by every renderer: a new mark fails here until all of them know it."""

from __future__ import annotations

import io
import typing

import numpy as np
import pytest
from pictures import pdf_picture, png_picture, svg_picture
from PIL import Image

from floorplan.drawing import marks
from floorplan.drawing.lettering import letter
from floorplan.drawing.marks import Group, Mark, Page, Pen, Picture, Run, Stroke, Text
from floorplan.render.figure import render_pdf, render_png
from floorplan.render.svg import render

DPI = 100
SPOTS = ((35, 15), (15, 15), (15, 35), (35, 35))
"""Places on paper in the four pixels of the example, the white one first."""


def _png() -> bytes:
    pixels = np.zeros((2, 2, 3), dtype=np.uint8)
    pixels[1, 1] = 255
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, format="PNG")
    return out.getvalue()


EXAMPLES: dict[type, Mark] = {
    Stroke: Stroke(
        runs=(Run(((10, 10), (40, 10), (40, 40)), (0.0, 0.5, 0.2), closed=True),),
        pen=Pen(1.0),
        fill="#b0b0b0",
    ),
    Text: letter("Floor 1/2", (10.0, 20.0), 7.0, angle_deg=20.0),
    Picture: Picture(at=(10.0, 10.0), width_mm=30.0, height_mm=30.0, png=_png()),
    Group: Group(
        marks=(Stroke(runs=(Run(((5, 5), (45, 45))),), pen=Pen(2.0, "#0072b2", (3.0, 2.0))),), layer="x"
    ),
}


def _middle(picture: np.ndarray) -> tuple[float, float]:
    """Where the ink of a picture balances, pixels."""
    ink = 1.0 - picture
    rows, columns = np.indices(ink.shape)
    return float((rows * ink).sum() / ink.sum()), float((columns * ink).sum() / ink.sum())


def test_every_mark_has_an_example() -> None:
    """The examples below leave no mark out."""
    assert set(EXAMPLES) == set(typing.get_args(marks.Mark))


@pytest.mark.parametrize("mark", EXAMPLES.values(), ids=[kind.__name__ for kind in EXAMPLES])
def test_mark_looks_the_same_in_every_format(mark: Mark) -> None:
    """The same ink at the same place, to a grey that edges and lettering may differ by."""
    page = Page(width_mm=50.0, height_mm=50.0, marks=(mark,), title="", description="")
    drawn = (
        svg_picture(render(page), DPI),
        pdf_picture(render_pdf([page]), DPI),
        png_picture(render_png(page, DPI)),
    )
    ink = [float((1.0 - picture).sum()) for picture in drawn]
    assert min(ink) > 20.0
    assert max(ink) < 1.08 * min(ink)
    assert np.ptp([_middle(picture) for picture in drawn], axis=0).max() < 1.0


def test_picture_is_the_right_way_up() -> None:
    """The white pixel of the example lies at the lower right, as in the file."""
    page = Page(width_mm=50.0, height_mm=50.0, marks=(EXAMPLES[Picture],), title="", description="")
    for picture in (
        svg_picture(render(page), DPI),
        pdf_picture(render_pdf([page]), DPI),
        png_picture(render_png(page, DPI)),
    ):
        spots = [picture[round((50 - y) * DPI / 25.4), round(x * DPI / 25.4)] for x, y in SPOTS]
        assert spots[0] > 0.8
        assert max(spots[1:]) < 0.2


def test_run_needs_two_points() -> None:
    """A run of one point is a caller's mistake."""
    with pytest.raises(ValueError, match="two points"):
        Run(((0.0, 0.0),))


def test_run_needs_a_bulge_for_each_piece() -> None:
    """Bulges that do not match are a caller's mistake."""
    with pytest.raises(ValueError, match="bulges"):
        Run(((0.0, 0.0), (1.0, 0.0)), (0.0, 1.0))

"""A sheet looks the same in every format; areas and lengths can be measured back out of the pictures."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pymupdf
import pytest
import shapely
from pictures import pdf_picture, png_picture, same_size, svg_picture, svg_pixels
from sample_sheets import EVERY, NAMES, layer, pages, takeoff
from scipy.ndimage import gaussian_filter

from floorplan.drawing.marks import Group, Page, Stroke, walk
from floorplan.render.figure import render_pdf, render_png
from floorplan.render.svg import render

DPI = 100
BLUR = 2.0
"""Pixels. Renderers shade edges and kern letters differently by a pixel; the blur looks past that."""


def distance(a: np.ndarray, b: np.ndarray) -> tuple[float, float]:
    """Mean difference of two blurred pictures, and the share of pixels more than a quarter apart."""
    off = np.abs(gaussian_filter(a, BLUR) - gaussian_filter(b, BLUR))
    return float(off.mean()), float((off > 0.25).mean())


@pytest.mark.parametrize(("name", "sheet"), EVERY)
def test_svg_pdf_and_png_look_the_same(name: str, sheet: str) -> None:
    """SVG by resvg, PDF by MuPDF and our PNG differ by under 1 % of grey, nowhere by more than a letter."""
    page = pages(name, sheet)[0]
    svg, pdf, png = same_size(
        svg_picture(render(page), DPI),
        pdf_picture(render_pdf([page]), DPI),
        png_picture(render_png(page, DPI)),
    )
    for other in (pdf, png):
        mean, far = distance(svg, other)
        assert mean < 0.01
        assert far < 0.001


def test_distance_sees_a_missing_line() -> None:
    """The measure means something: a sheet without its dimensions is told from the whole one."""
    page = pages("garage", "crew")[0]
    kept = tuple(m for m in page.marks if not (isinstance(m, Group) and m.layer == "dimensions"))
    bare = Page(
        width_mm=page.width_mm, height_mm=page.height_mm, marks=kept, title=page.title, description=""
    )
    _, far = distance(*same_size(svg_picture(render(page), DPI), svg_picture(render(bare), DPI)))
    assert far > 0.001


@pytest.mark.parametrize("name", NAMES)
def test_area_counted_from_the_picture(name: str) -> None:
    """Pixels of coated floor on the customer's sheet, times the scale, give the net area to 0.5 %.

    What lies over the floor as lines and letters is left off, cut-outs are kept.
    """
    page = pages(name, "customer")[0]
    kept = tuple(m for m in page.marks if isinstance(m, Group) and m.layer in ("floor", "cutouts"))
    bare = Page(width_mm=page.width_mm, height_mm=page.height_mm, marks=kept, title="", description="")
    fill = next(m.fill for m in walk(layer(page.marks, "floor")) if isinstance(m, Stroke) and m.fill)
    tint = np.array([int(fill[k : k + 2], 16) for k in (1, 3, 5)])
    texture = [m for m in walk(layer(page.marks, "floor")) if isinstance(m, Stroke) and m.texture]
    assert texture, "the floor is hatched"
    dpi = 300
    pixels = np.asarray(svg_pixels(render(_without_texture(bare)), dpi)).astype(int)
    floor = np.abs(pixels - tint).max(axis=2) <= 2
    pixel_m = 0.0254 / dpi * page.scale
    wanted = sum(slab.net_area_m2 for slab in takeoff(name).slabs)
    assert floor.sum() * pixel_m**2 == pytest.approx(wanted, rel=5e-3)


def _without_texture(page: Page) -> Page:
    marks = tuple(
        replace(m, pen=None) for m in walk(page.marks) if isinstance(m, Stroke) and not m.texture and m.fill
    )
    return Page(width_mm=page.width_mm, height_mm=page.height_mm, marks=marks, title="", description="")


@pytest.mark.parametrize("name", NAMES)
def test_hatch_covers_the_coated_floor(name: str) -> None:
    """Length of the hatch times its spacing is the floor less what lettering hides."""
    from floorplan.drawing.pens import COATED

    page = pages(name, "customer")[0]
    runs = [
        r for m in walk(layer(page.marks, "floor")) if isinstance(m, Stroke) and m.texture for r in m.runs
    ]
    covered = shapely.MultiLineString([run.points for run in runs]).length * COATED.spacing_mm
    floor_mm2 = takeoff(name).total("net_area_m2") * (1000.0 / page.scale) ** 2
    assert 0.85 * floor_mm2 < covered < 1.02 * floor_mm2


@pytest.mark.parametrize("name", NAMES)
def test_side_measured_out_of_the_pdf(name: str) -> None:
    """The longest straight side of the outline is found in the PDF's own drawing commands at its length."""
    page, slab = pages(name, "crew")[0], takeoff(name).slabs[0]
    edge = max((e for e in slab.edges if e.side is not None and not e.bulge), key=lambda e: e.chord_m)
    wanted = edge.chord_m * 1000.0 / page.scale * 72.0 / 25.4
    with pymupdf.open(stream=render_pdf([page]), filetype="pdf") as document:
        lengths = [
            abs(item[1] - item[2])
            for drawing in document[0].get_drawings()
            for item in drawing["items"]
            if item[0] == "l"
        ]
    assert min(abs(length - wanted) for length in lengths) < 0.1 * 72.0 / 25.4


def test_side_measured_out_of_the_png() -> None:
    """The print-check bar is two inches of dark pixels."""
    page = pages("l-patio", "crew")[0]
    bar = next(m for m in walk(page.marks) if isinstance(m, Stroke) and m.id == "print-check")
    (x0, y), (x1, _) = bar.runs[0].points
    dpi = 200
    picture = png_picture(render_png(page, dpi))
    row = picture[round((page.height_mm - y) * dpi / 25.4)]
    middle = round(0.5 * (x0 + x1) * dpi / 25.4)
    dark = row < 0.75
    left = middle - int(np.argmin(dark[middle::-1]))
    right = middle + int(np.argmin(dark[middle:]))
    assert (right - left) / dpi == pytest.approx(2.0, abs=0.02)

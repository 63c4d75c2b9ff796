"""The firm's logo: taken when it is a plain picture, stripped of hidden words, refused otherwise."""

from __future__ import annotations

import io

import pytest
import shapely
from pictures import svg_picture
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from floorplan.drawing.logo import logo_marks, plain_png
from floorplan.drawing.marks import Page, Picture, Stroke, walk
from floorplan.errors import SheetError
from floorplan.render.svg import render

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20">'


def png(size: tuple[int, int] = (40, 20), **words: str) -> bytes:
    """A PNG with hidden words."""
    info = PngInfo()
    for key, value in words.items():
        info.add_text(key, value)
    out = io.BytesIO()
    Image.new("RGB", size, "#204080").save(out, format="PNG", pnginfo=info)
    return out.getvalue()


def svg(*shapes: str) -> bytes:
    """An SVG of some shapes."""
    return (HEAD + "".join(shapes) + "</svg>").encode()


def area(data: bytes) -> float:
    """Filled area of a logo that fills a box of 40 x 20 mm."""
    strokes = [m for m in walk(logo_marks(data, 0, 0, 40, 20)) if isinstance(m, Stroke)]
    rings = [shapely.Polygon(run.points) for m in strokes for run in m.runs]
    outer = max(rings, key=lambda ring: ring.area)
    holes = sum(ring.area for ring in rings if ring is not outer and outer.contains(ring))
    return outer.area - holes


def test_png_is_set_in_the_middle_of_its_box() -> None:
    """A wide picture in a square box keeps its shape."""
    (picture,) = logo_marks(png(), 10, 10, 20, 20)
    assert isinstance(picture, Picture)
    assert (picture.width_mm, picture.height_mm) == pytest.approx((20, 10))
    assert picture.at == pytest.approx((10, 15))


@pytest.mark.parametrize(("wide", "tall"), [(20, 20), (60, 20), (20, 90)])
def test_svg_is_set_in_the_middle_of_its_box(wide: float, tall: float) -> None:
    """A shape of 40 by 20 off its file's origin fills the box one way and is centred the other."""
    (group,) = logo_marks(svg('<rect x="30" y="7" width="40" height="20"/>'), 10, 100, wide, tall)
    points = [point for mark in walk(group.marks) for run in mark.runs for point in run.points]
    (x0, y0), (x1, y1) = (tuple(f(p[axis] for p in points) for axis in (0, 1)) for f in (min, max))
    scale = min(wide / 40, tall / 20)
    assert (x1 - x0, y1 - y0) == pytest.approx((40 * scale, 20 * scale))
    assert (0.5 * (x0 + x1), 0.5 * (y0 + y1)) == pytest.approx((10 + wide / 2, 100 + tall / 2))


def test_png_loses_its_hidden_words() -> None:
    """Comments in a picture never reach the customer; the picture stays the same."""
    data = png(Comment="margin 30 %", Author="shop")
    plain, wide, tall = plain_png(data)
    assert b"margin" not in plain
    assert b"shop" not in plain
    assert (wide, tall) == (40, 20)
    assert Image.open(io.BytesIO(plain)).tobytes() == Image.open(io.BytesIO(data)).tobytes()


@pytest.mark.parametrize(
    ("shape", "wanted"),
    [
        ('<rect x="0" y="0" width="40" height="20"/>', 800.0),
        ('<path d="M0 0H40V20H0Z"/>', 800.0),
        ('<path d="m0,0 40,0 0,20 -40,0z"/>', 800.0),
        ('<g transform="scale(2)"><rect width="20" height="10"/></g>', 800.0),
        ('<polygon points="0,0 40,0 40,20 0,20"/>', 800.0),
        ('<ellipse cx="20" cy="10" rx="20" ry="10"/>', 628.3),
        ('<path d="M0 10A20 10 0 0 1 40 10A20 10 0 0 1 0 10Z"/>', 628.3),
        ('<path fill-rule="evenodd" d="M0 0H40V20H0Z M10 5H30V15H10Z"/>', 600.0),
        ('<path d="M0 0H40V20H0Z M10 5V15H30V5Z"/>', 600.0),
    ],
)
def test_svg_shapes_have_their_area(shape: str, wanted: float) -> None:
    """Closed forms: rectangle, ellipse πab, a frame drawn by either fill rule."""
    assert area(svg(shape)) == pytest.approx(wanted, rel=5e-3)


def test_svg_logo_looks_as_another_renderer_draws_it() -> None:
    """Colours and curves of a logo match resvg's drawing of the same file."""
    data = svg(
        '<rect width="40" height="20" fill="#e0e0e0"/>',
        '<path d="M5 15C5 5 15 5 15 15Z" fill="rgb(200,0,0)"/>',
        '<g transform="translate(20 0)"><circle cx="8" cy="10" r="6" style="fill:#036;stroke:none"/></g>',
    )
    marks = logo_marks(data, 0, 0, 40, 20)
    page = Page(width_mm=40, height_mm=20, marks=marks, title="", description="")
    sized = data.replace(b"viewBox", b'width="40mm" height="20mm" viewBox')
    ours, theirs = svg_picture(render(page), 127), svg_picture(sized, 127)
    assert ours.shape == theirs.shape
    assert abs(ours - theirs).mean() < 0.005


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"GIF89a",
        b"<html></html>",
        b"\x89PNG\r\n\x1a\n",
        png()[:60],
        png().replace(b"IDAT", b"IDOT"),
        svg("<text>shop</text>"),
        svg("<script>alert(1)</script>"),
        svg('<image href="http://example.invalid/a.png"/>'),
        svg('<use href="#a"/>'),
        svg("<foreignObject/>"),
        svg('<defs><linearGradient id="a"/></defs>', '<rect width="9" height="9" fill="url(#a)"/>'),
        svg('<rect width="9" height="9" fill="url(http://example.invalid)"/>'),
        svg('<circle r="-4"/>'),
        svg('<rect width="50%" height="9"/>'),
        svg(),
        svg("<g>" * 60 + "</g>" * 60),
        b'<!DOCTYPE svg [<!ENTITY a "b">]>' + svg("<rect width='9' height='9'/>"),
        svg('<ellipse rx="3" ry="2" stroke="red" stroke-width="' + 400 * "9" + '"/>'),
        b"x" * 2_000_001,
    ],
    ids=range(20),
)
def test_what_is_no_plain_picture_is_refused(data: bytes) -> None:
    """A fault with a cure, never a traceback, and nothing fetched or run."""
    with pytest.raises(SheetError) as caught:
        logo_marks(data, 0, 0, 20, 10)
    fault = caught.value.faults[0]
    assert fault.code == "logo-unusable"
    assert fault.hint


def test_picture_with_too_many_pixels_is_refused() -> None:
    """A picture of 7000 pixels a side would make every sheet heavy."""
    with pytest.raises(SheetError, match="pixels"):
        plain_png(png((7000, 1)))

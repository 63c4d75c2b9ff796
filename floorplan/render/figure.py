"""Marks to PDF and PNG through matplotlib's own backends: no pyplot, no figure, and no setting that stays.

A page of the PDF is exactly the page's millimetres in points; its text stays text (embedded TrueType), so
that it can be searched and copied. In a PNG text is drawn as outlines, so that it stands where it was set to
the fraction of a pixel. Neither carries a date.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from importlib.resources import as_file, files
from typing import Any

import numpy as np
from matplotlib import rc_context
from matplotlib.backends import backend_agg, backend_pdf
from matplotlib.font_manager import FontProperties
from matplotlib.path import Path
from matplotlib.textpath import TextPath
from matplotlib.transforms import Affine2D
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from ..drawing.lettering import CAPITAL, clean, covered
from ..drawing.marks import XY, Anchor, Page, Pen, Picture, Run, Stroke, Text, walk
from ..units.factors import INCH_MM, POINT_MM

POINTS_IN_INCH = 72
MADE_BY = "floorplan"
"""What a file says of its maker, so that the program knows its own files again."""
MISSING = "\N{WHITE SQUARE}"
"""Stands for a character that the bundled font does not have."""

# The backends carry no types.
_agg: Any = backend_agg
_pdf: Any = backend_pdf
_SETTINGS: dict[Any, Any] = {
    "pdf.fonttype": 42,
    "pdf.compression": 6,
    "pdf.use14corefonts": False,
    "path.simplify": False,
}
_SHARES = {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}


def render_pdf(pages: Sequence[Page]) -> bytes:
    """All pages as one PDF; the same pages give the same bytes.

    Raises:
        ValueError: there is no page.
    """
    if not pages:
        raise ValueError("a PDF needs at least one page")
    out = io.BytesIO()
    title = clean(pages[0].title)
    information = {"Title": title, "Creator": MADE_BY, "Producer": None, "CreationDate": None}
    with rc_context(_SETTINGS), _fonts() as fonts:
        document = _pdf.PdfFile(out, metadata=information)
        for page in pages:
            width, height = page.width_mm / INCH_MM, page.height_mm / INCH_MM
            document.newPage(width, height)
            renderer = _pdf.RendererPdf(document, POINTS_IN_INCH, height, width)
            _PdfPainter(renderer, 1.0 / POINT_MM, fonts).paint(page)
            renderer.finalize()
        document.finalize()
        document.close()
    return out.getvalue()


def render_png(page: Page, dpi: float = 150.0) -> bytes:
    """One page as a PNG that carries its resolution; same page, same libraries, same bytes."""
    per_mm = dpi / INCH_MM
    width, height = round(page.width_mm * per_mm), round(page.height_mm * per_mm)
    with rc_context(_SETTINGS), _fonts() as fonts:
        renderer = _agg.RendererAgg(width, height, dpi)
        renderer.clear()
        painter = _PngPainter(renderer, per_mm, fonts)
        painter.background(page)
        painter.paint(page)
    image = Image.fromarray(np.asarray(renderer.buffer_rgba())).convert("RGB")
    out = io.BytesIO()
    made_by = PngInfo()
    made_by.add_text("Software", MADE_BY)
    made_by.add_text("Page", f"{page.number} of {page.of}\n")
    image.save(out, format="PNG", dpi=(dpi, dpi), optimize=False, pnginfo=made_by)
    return out.getvalue()


@contextmanager
def _fonts() -> Iterator[dict[bool, FontProperties]]:
    """The bundled fonts, regular and bold, as files for as long as they are needed."""
    folder = files(__package__) / "fonts"
    with (
        as_file(folder / "LiberationSans-Regular.ttf") as regular,
        as_file(folder / "LiberationSans-Bold.ttf") as bold,
    ):
        yield {False: FontProperties(fname=str(regular)), True: FontProperties(fname=str(bold))}


class _Painter:
    """Draws marks with a matplotlib renderer whose unit is `per_mm` of a millimetre."""

    def __init__(self, renderer: Any, per_mm: float, fonts: dict[bool, FontProperties]) -> None:
        self.renderer = renderer
        self.per_mm = per_mm
        self.fonts = fonts
        self.to_device = Affine2D().scale(per_mm)

    def paint(self, page: Page) -> None:
        """Every mark of a page."""
        for mark in walk(page.marks):
            match mark:
                case Stroke():
                    self.stroke(mark)
                case Text():
                    # matplotlib cannot outline a text without ink.
                    if mark.content.strip():
                        self.text(mark)
                case Picture():
                    self.picture(mark)

    def stroke(self, stroke: Stroke) -> None:
        pen = stroke.pen or Pen(0.0)
        context = self.renderer.new_gc()
        context.set_foreground(pen.colour)
        # Both backends take widths and dashes in points.
        context.set_linewidth(pen.width_mm / POINT_MM)
        context.set_antialiased(True)
        context.set_snap(False)
        context.set_capstyle("round" if pen.round_ends else "butt")
        context.set_joinstyle("round" if pen.round_ends else "miter")
        if pen.dashes_mm:
            context.set_dashes(0.0, [dash / POINT_MM for dash in pen.dashes_mm])
        fill = _rgb(stroke.fill) if stroke.fill else None
        self.renderer.draw_path(context, _path(stroke.runs), self.to_device, fill)
        context.restore()

    def start(self, text: Text) -> XY:
        """Where the first letter of a line stands on the baseline, device units."""
        back = _SHARES[text.anchor] * text.width_mm
        turn = math.radians(text.angle_deg)
        x, y = text.at
        return (x - back * math.cos(turn)) * self.per_mm, (y - back * math.sin(turn)) * self.per_mm

    def text(self, text: Text) -> None:
        raise NotImplementedError

    def picture(self, picture: Picture) -> None:
        raise NotImplementedError


class _PdfPainter(_Painter):
    def text(self, text: Text) -> None:
        font = self.fonts[text.bold].copy()
        font.set_size(text.height_mm / CAPITAL * self.per_mm)
        context = self.renderer.new_gc()
        context.set_foreground(text.colour)
        x, y = self.start(text)
        self.renderer.draw_text(context, x, y, _drawable(text.content), font, text.angle_deg)
        context.restore()

    def picture(self, picture: Picture) -> None:
        context = self.renderer.new_gc()
        size = Affine2D().scale(picture.width_mm * self.per_mm, picture.height_mm * self.per_mm)
        x, y = picture.at[0] * self.per_mm, picture.at[1] * self.per_mm
        self.renderer.draw_image(context, x, y, _pixels(picture.png)[::-1], size)
        context.restore()


class _PngPainter(_Painter):
    def background(self, page: Page) -> None:
        """White paper."""
        corners = ((0.0, 0.0), (page.width_mm, 0.0), (page.width_mm, page.height_mm), (0.0, page.height_mm))
        self.stroke(Stroke(runs=(Run(corners, closed=True),), fill="#ffffff", pen=Pen(0.0, "#ffffff")))

    def text(self, text: Text) -> None:
        size = text.height_mm / CAPITAL * self.per_mm
        outlines = TextPath((0.0, 0.0), _drawable(text.content), size=size, prop=self.fonts[text.bold])
        place = Affine2D().rotate_deg(text.angle_deg).translate(*self.start(text))
        context = self.renderer.new_gc()
        context.set_linewidth(0.0)
        context.set_foreground(text.colour)
        context.set_antialiased(True)
        self.renderer.draw_path(context, outlines, place, _rgb(text.colour))
        context.restore()

    def picture(self, picture: Picture) -> None:
        width = max(1, round(picture.width_mm * self.per_mm))
        height = max(1, round(picture.height_mm * self.per_mm))
        image = Image.fromarray(_pixels(picture.png)).resize((width, height), Image.Resampling.LANCZOS)
        context = self.renderer.new_gc()
        x, y = round(picture.at[0] * self.per_mm), round(picture.at[1] * self.per_mm)
        self.renderer.draw_image(context, x, y, np.array(image)[::-1].copy())
        context.restore()


def _pixels(png: bytes) -> Any:
    with Image.open(io.BytesIO(png)) as image:
        return np.array(image.convert("RGBA"))


def _drawable(content: str) -> str:
    """The text with a square in place of each character that the font lacks."""
    return "".join(c if covered(c) else MISSING for c in clean(content))


def _rgb(colour: str) -> tuple[float, float, float]:
    red, green, blue = (int(colour[k : k + 2], 16) / 255.0 for k in (1, 3, 5))
    return red, green, blue


def _path(runs: Sequence[Run]) -> Path:
    points: list[XY] = []
    codes: list[int] = []
    for run in runs:
        points.append(run.points[0])
        codes.append(int(Path.MOVETO))
        for start, end, bulge in run.pieces():
            if bulge:
                curve = _curve(start, end, bulge)
                points += curve
                codes += [int(Path.CURVE4)] * len(curve)
            else:
                points.append(end)
                codes.append(int(Path.LINETO))
        if run.closed:
            points.append(run.points[0])
            codes.append(int(Path.CLOSEPOLY))
    return Path(np.array(points), codes)


def _curve(start: XY, end: XY, bulge: float) -> list[XY]:
    """A circular piece as cubic curves of at most 30 degrees, off the circle by under 4e-7 of its radius."""
    turn = 4.0 * math.atan(bulge)
    count = max(1, math.ceil(abs(turn) / (math.pi / 6.0) - 1e-9))
    chord = math.dist(start, end)
    # Centre: left of the chord for a minor counter-clockwise piece.
    aside = (1.0 - bulge * bulge) / (4.0 * bulge)
    dx, dy = end[0] - start[0], end[1] - start[1]
    cx, cy = 0.5 * (start[0] + end[0]) - dy * aside, 0.5 * (start[1] + end[1]) + dx * aside
    radius = chord * (1.0 + bulge * bulge) / (4.0 * abs(bulge))
    step, first = turn / count, math.atan2(start[1] - cy, start[0] - cx)
    reach = 4.0 / 3.0 * math.tan(step / 4.0) * radius
    points: list[XY] = []
    for k in range(count):
        a, b = first + k * step, first + (k + 1) * step
        p = (cx + radius * math.cos(a), cy + radius * math.sin(a))
        q = end if k == count - 1 else (cx + radius * math.cos(b), cy + radius * math.sin(b))
        points.append((p[0] - reach * math.sin(a), p[1] + reach * math.cos(a)))
        points.append((q[0] + reach * math.sin(b), q[1] - reach * math.cos(b)))
        points.append(q)
    return points

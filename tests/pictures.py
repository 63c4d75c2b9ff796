"""Pages as pictures, by renderers that are not ours: MuPDF (pymupdf) for PDF, resvg for SVG.

resvg is given the bundled fonts and no others, so that pictures do not depend on the machine.
"""

from __future__ import annotations

import io
from importlib.resources import files

import numpy as np
import pymupdf
import resvg_py
from numpy.typing import NDArray
from PIL import Image

Grey = NDArray[np.float64]
FONTS = str(files("floorplan.render").joinpath("fonts"))


def svg_pixels(svg: bytes, dpi: float) -> Image.Image:
    """An SVG in colour on white paper."""
    png = resvg_py.svg_to_bytes(
        svg_string=svg.decode("utf-8"),
        dpi=dpi,
        background="#ffffff",
        font_dirs=[FONTS],
        skip_system_fonts=True,
    )
    return Image.open(io.BytesIO(bytes(png))).convert("RGB")


def svg_picture(svg: bytes, dpi: float) -> Grey:
    """An SVG in grey, 0 black to 1 white."""
    return _grey(svg_pixels(svg, dpi))


def pdf_picture(pdf: bytes, dpi: float, page: int = 0) -> Grey:
    """A page of a PDF in grey."""
    with pymupdf.open(stream=pdf, filetype="pdf") as document:
        pixels = document[page].get_pixmap(dpi=round(dpi), alpha=False)
        return _grey(Image.frombytes("RGB", (pixels.width, pixels.height), pixels.samples))


def png_picture(png: bytes) -> Grey:
    """A PNG in grey."""
    return _grey(Image.open(io.BytesIO(png)))


def _grey(image: Image.Image) -> Grey:
    return np.asarray(image.convert("L"), dtype=np.float64) / 255.0


def same_size(*pictures: Grey) -> list[Grey]:
    """Pictures cut to their common size: renderers round a half pixel either way."""
    tall, wide = (min(picture.shape[k] for picture in pictures) for k in (0, 1))
    return [picture[:tall, :wide] for picture in pictures]

"""Pages as finished files, by format; each renderer loads only when its format is asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..errors import Fault, SheetError

if TYPE_CHECKING:
    from ..drawing.marks import Page
    from ..measure.model import Takeoff

PNG_DPI = 150


def render_pages(pages: tuple[Page, ...], format: str) -> tuple[bytes, ...]:
    """One file for each page; a PDF is one file with all pages.

    Raises:
        SheetError: a format that no renderer knows.
    """
    if format == "svg":
        from .svg import render

        return tuple(render(page) for page in pages)
    if format == "pdf":
        from .figure import render_pdf

        return (render_pdf(pages),)
    if format == "png":
        from .figure import render_png

        return tuple(render_png(page, PNG_DPI) for page in pages)
    fault = Fault(code="format-unknown", text=f"no renderer for {format!r}", hint="use svg, pdf, png or dxf")
    raise SheetError(fault)


def render_true_size(takeoff: Takeoff) -> bytes:
    """The measured plan at true size as a DXF file."""
    from .dxf import render

    return render(takeoff)

"""The door for drawings from elsewhere: bytes of any known format to a `Source`."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import numpy as np

from ..errors import DrawingFileError, Fault
from ..files.text import read_bytes
from .dxf import read_dxf
from .dxf_report import not_dxf
from .geojson import read_geojson
from .model import Source
from .points import POINT_SUFFIXES, looks_like_points, read_points
from .svg import read_svg
from .tags import UNKNOWN, look_of
from .wkt import STARTS, read_wkt

LARGEST_BYTES: Final = 100_000_000
"""A larger file is refused unread; half a million entities of a DXF stay below."""


def load_source(
    path: str | Path, *, name: str = "", damaged: bool = False, paper_scale: float | None = None
) -> Source:
    """What a drawing file holds.

    Args:
        path: where it is.
        name: for faults; "" is the path.
        damaged: use what can be read of a file that has lost something.
        paper_scale: of an SVG: 48 for a drawing at 1:48.

    Raises:
        DrawingFileError: it cannot be read, is too large, is no drawing, or has lost something.
    """
    _refuse_large(Path(path))
    return read_source(
        read_bytes(path, LARGEST_BYTES, error=DrawingFileError),
        name or str(path),
        damaged=damaged,
        paper_scale=paper_scale,
    )


def read_source(data: bytes, name: str, *, damaged: bool = False, paper_scale: float | None = None) -> Source:
    """What the bytes of a drawing file hold, the format told by what they begin with; see `load_source`."""
    if len(data) > LARGEST_BYTES:
        raise DrawingFileError(_too_large(name, len(data)))
    look = look_of(data)
    if look in ("text", "binary"):
        source = read_dxf(data, name)
        if source.damage and not damaged:
            raise DrawingFileError(_lost(source))
        return source
    # Numbers beyond all drawings come out as none, and what has no place is left out and told.
    with np.errstate(all="ignore"):
        other = _other_format(data, name, look, paper_scale)
    if other is None:
        raise DrawingFileError(not_dxf(name, look))
    return other


def _other_format(data: bytes, name: str, look: str, paper_scale: float | None) -> Source | None:
    """The file as one of the other formats, by what it begins with; None where it is none of them."""
    head = data[:4096].removeprefix(b"\xef\xbb\xbf").lstrip()
    if head.startswith(b"<"):
        return read_svg(data, name, paper_scale=paper_scale)
    if look != UNKNOWN:
        return None
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return None
    if head.startswith((b"{", b"[")):
        return read_geojson(text, name)
    if STARTS.match(text):
        return read_wkt(text, name)
    if name.lower().endswith(POINT_SUFFIXES) or looks_like_points(text):
        return read_points(text, name)
    return None


def _refuse_large(path: Path) -> None:
    try:
        size = path.stat().st_size if path.is_file() else 0
    except OSError:
        return  # reading it will say what is wrong
    if size > LARGEST_BYTES:
        raise DrawingFileError(_too_large(str(path), size))


def _too_large(name: str, size: int) -> Fault:
    return Fault(
        code="file-too-big",
        text=f"{name}: {size / 1e6:,.0f} million bytes; at most {LARGEST_BYTES / 1e6:.0f} million are read",
        hint="export the layers of the slab alone, without the rest of the site",
    )


def _lost(source: Source) -> list[Fault]:
    """What a file has lost, as faults: figures from the rest would look whole and be wrong."""
    return [
        Fault(
            code=loss.code,
            text=f"{source.name}: {loss.text}",
            hint="get the file again; `floorplan look` shows what can be read of it",
        )
        for loss in source.damage
    ]

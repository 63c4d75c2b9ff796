"""The door for drawings from elsewhere: bytes of any known format to a `Source`."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from ..errors import DrawingFileError, Fault
from ..files.text import read_bytes
from .drawing import Drawing, find_loops
from .dxf import read_dxf
from .dxf_report import not_dxf
from .model import Source
from .tags import look_of

LARGEST_BYTES: Final = 100_000_000
"""A larger file is refused unread; half a million entities of a DXF stay below."""


def load_source(path: str | Path, *, name: str = "", damaged: bool = False) -> Source:
    """What a drawing file holds.

    Args:
        path: where it is.
        name: for faults; "" is the path.
        damaged: use what can be read of a file that has lost something.

    Raises:
        DrawingFileError: it cannot be read, is too large, is no drawing, or has lost something.
    """
    _refuse_large(Path(path))
    return read_source(
        read_bytes(path, LARGEST_BYTES, error=DrawingFileError), name or str(path), damaged=damaged
    )


def read_source(data: bytes, name: str, *, damaged: bool = False) -> Source:
    """What the bytes of a drawing file hold; see `load_source`."""
    if len(data) > LARGEST_BYTES:
        raise DrawingFileError(_too_large(name, len(data)))
    look = look_of(data)
    if look not in ("text", "binary"):
        raise DrawingFileError(not_dxf(name, look))
    source = read_dxf(data, name)
    if source.damage and not damaged:
        raise DrawingFileError(_lost(source))
    return source


def read_drawing(data: bytes, name: str, *, damaged: bool = False, snap: float = 0.0) -> Drawing:
    """The loops of a drawing file's visible line work; gaps up to `snap` drawing units are closed and told.

    Raises:
        DrawingFileError: see `load_source`; or the line work is too tangled.
    """
    return find_loops(read_source(data, name, damaged=damaged), snap=snap)


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

"""The firm's logo: a PNG as it is, or an SVG of plain shapes taken over as shapes.

A PNG is checked and stripped to the parts that make the picture, so that no words hidden in it leave the
office. Of an SVG only shapes, groups, transforms and plain colours are read; whatever could fetch, run or
hide something (scripts, style sheets, images, links, entities, text in unknown fonts) is refused with the
cure.
"""

from __future__ import annotations

import struct
import zlib
from typing import Final

from ..errors import Fault, SheetError
from .marks import Group, Mark, Picture, Run, Stroke
from .svg_shapes import Shape, read_shapes

LARGEST_BYTES: Final = 2_000_000
LARGEST_PIXELS: Final = 6000
_PNG: Final = b"\x89PNG\r\n\x1a\n"
# Channels by colour type, and where and how far apart the passes of an interlaced PNG are (PNG, 11.2.2, 8.2).
_CHANNELS: Final = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}
_ADAM7: Final = (
    (0, 0, 8, 8), (4, 0, 8, 8), (0, 4, 4, 8), (2, 0, 4, 4), (0, 2, 2, 4), (1, 0, 2, 2), (0, 1, 1, 2),
)  # fmt: skip
_PIECE: Final = 1_000_000
_KEPT: Final = (b"IHDR", b"PLTE", b"tRNS", b"IDAT", b"IEND")
SAVE_AS_PNG: Final = "save the logo as a PNG, or as an SVG with all text turned into paths"


def logo_fault(text: str, hint: str = SAVE_AS_PNG) -> SheetError:
    """A logo that cannot be used."""
    return SheetError(Fault(code="logo-unusable", text=f"the logo {text}", hint=hint))


def logo_marks(data: bytes, x: float, y: float, width: float, height: float) -> tuple[Mark, ...]:
    """The logo as large as it fits into a box (lower left corner, mm), in its middle.

    Raises:
        SheetError: the file is no picture that can be used.
    """
    if len(data) > LARGEST_BYTES:
        raise logo_fault(f"is larger than {LARGEST_BYTES / 1e6:g} million bytes", "make the picture smaller")
    if data.startswith(_PNG):
        return _png_marks(data, x, y, width, height)
    return _svg_marks(data, x, y, width, height)


def _png_marks(data: bytes, x: float, y: float, width: float, height: float) -> tuple[Mark, ...]:
    png, across, down = plain_png(data)
    scale = min(width / across, height / down)
    wide, tall = across * scale, down * scale
    at = (x + 0.5 * (width - wide), y + 0.5 * (height - tall))
    return (Picture(at=at, width_mm=wide, height_mm=tall, png=png, title="logo"),)


def plain_png(data: bytes) -> tuple[bytes, int, int]:
    """A PNG reduced to its picture, and its width and height in pixels.

    Raises:
        SheetError: it is damaged or too large.
    """
    parts, place = [_PNG], len(_PNG)
    names: list[bytes] = []
    across = down = 0
    form, packed = b"", b""
    while place + 12 <= len(data):
        (size,) = struct.unpack(">I", data[place : place + 4])
        name, body = data[place + 4 : place + 8], data[place + 8 : place + 8 + size]
        end = place + 12 + size
        if end > len(data) or zlib.crc32(name + body) != int.from_bytes(data[end - 4 : end], "big"):
            raise logo_fault("is a damaged PNG")
        if name == b"IHDR" and size == 13:
            across, down = struct.unpack(">II", body[:8])
            form = body[8:]
        if name == b"IDAT":
            packed += body
        if name in _KEPT:
            parts.append(data[place:end])
            names.append(name)
        if name == b"IEND":
            break
        place = end
    if names[:1] != [b"IHDR"] or names[-1:] != [b"IEND"] or b"IDAT" not in names or not across or not down:
        raise logo_fault("is a damaged PNG")
    if max(across, down) > LARGEST_PIXELS:
        raise logo_fault(f"has more than {LARGEST_PIXELS} pixels a side", "make the picture smaller")
    if not _is_complete(packed, across, down, form):
        raise logo_fault("is a damaged PNG")
    return b"".join(parts), across, down


def _is_complete(packed: bytes, across: int, down: int, form: bytes) -> bool:
    """True where the rows unpack to what the size asks for; a bomb is not unpacked further than that."""
    depth, colour, _, _, interlaced = form
    bits = depth * _CHANNELS.get(colour, 0)
    passes = _ADAM7 if interlaced else ((0, 0, 1, 1),)
    wanted = 0
    for x, y, step_x, step_y in passes:
        wide, tall = -(-(across - x) // step_x), -(-(down - y) // step_y)
        wanted += tall * (1 + (wide * bits + 7) // 8) if wide > 0 and tall > 0 else 0
    unpacker, found, rest = zlib.decompressobj(), 0, packed
    try:
        while rest and found < wanted:
            found += len(unpacker.decompress(rest, _PIECE))
            rest = unpacker.unconsumed_tail
    except zlib.error:
        return False
    return bits > 0 and found >= wanted


def _svg_marks(data: bytes, x: float, y: float, width: float, height: float) -> tuple[Mark, ...]:
    try:
        shapes = read_shapes(data)
    except ValueError as problem:
        raise logo_fault(str(problem)) from problem
    points = [point for shape in shapes for run in shape.runs for point in run.points]
    if not points:
        raise logo_fault("holds no shape that can be drawn")
    x0, y0 = min(p[0] for p in points), min(p[1] for p in points)
    x1, y1 = max(p[0] for p in points), max(p[1] for p in points)
    scale = min(width / max(x1 - x0, 1e-9), height / max(y1 - y0, 1e-9))
    left = x + 0.5 * (width - scale * (x1 - x0))
    low = y + 0.5 * (height - scale * (y1 - y0))
    strokes = tuple(_placed(shape, scale, left - scale * x0, low - scale * y0) for shape in shapes)
    return (Group(marks=strokes, layer="logo", title="logo"),)


def _placed(shape: Shape, scale: float, dx: float, dy: float) -> Stroke:
    runs = tuple(
        Run(tuple((dx + scale * x, dy + scale * y) for x, y in run.points), closed=run.closed)
        for run in shape.runs
    )
    return Stroke(runs=runs, pen=shape.pen(scale), fill=shape.fill)

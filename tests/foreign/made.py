"""Small DXF files made for the tests with ezdxf, and ways to read them."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from typing import Any

import ezdxf

from floorplan.foreign.drawing import Drawing, find_loops
from floorplan.foreign.model import Source
from floorplan.foreign.reader import read_source

Point = tuple[float, float]


def dxf(draw: Callable[[Any], object], *, units: int = 6, version: str = "R2010") -> bytes:
    """A DXF whose model space `draw` fills; `units` is $INSUNITS."""
    document: Any = ezdxf.new(version, units=units)
    draw(document.modelspace())
    return written(document)


def written(document: Any, *, form: str = "asc") -> bytes:
    """A document as bytes, text or (form "bin") binary."""
    if form == "bin":
        binary = io.BytesIO()
        document.write(binary, fmt="bin")
        return binary.getvalue()
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode("utf-8", errors="surrogateescape")


def source_of(draw: Callable[[Any], object], **how: Any) -> Source:
    """What our reader makes of such a file."""
    return read_source(dxf(draw, **how), "made.dxf")


def drawing_of(draw: Callable[[Any], object], *, snap: float = 0.0, **how: Any) -> Drawing:
    """Its loops."""
    return find_loops(source_of(draw, **how), snap=snap)


def areas(drawing: Drawing) -> list[float]:
    """Areas of all loops that are not drawn twice, largest first."""
    area = drawing.loops.signed_areas()
    return sorted(
        (float(a) for a, twice in zip(area, drawing.nest.repeated, strict=True) if not twice), reverse=True
    )


def lines(model: Any, *points: Point, closed: bool = False, layer: str = "0") -> None:
    """Separate LINEs through points."""
    ends: Sequence[Point] = (*points[1:], points[0]) if closed else points[1:]
    for start, end in zip(points, ends, strict=False):
        model.add_line(start, end, dxfattribs={"layer": layer})


def pairs(*tags: tuple[int, object]) -> bytes:
    """Group codes and values as the text of a DXF."""
    return "".join(f"{code:>3}\n{value}\n" for code, value in tags).encode()


def entities(*tags: tuple[int, object]) -> bytes:
    """A DXF of an ENTITIES section only, without header and version."""
    return pairs((0, "SECTION"), (2, "ENTITIES"), *tags, (0, "ENDSEC"), (0, "EOF"))

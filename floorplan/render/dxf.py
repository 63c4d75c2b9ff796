"""The measured plan at true size as a DXF file: outlines with exact arcs, edges, joints, hatches, dimensions.

Layers go by what is on them, in plain words, so that a drafter can switch them and our own reader can find
them again: `FLOOR-OUTLINE`, `FLOOR-CUTOUT-kind`, `FLOOR-EDGE-kind`, `FLOOR-JOINT-treatment`, `FLOOR-BAND`,
`FLOOR-POCKET`, `FLOOR-DIM`, `FLOOR-NAME`, `FLOOR-TEXT`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from io import StringIO
from typing import Any, Final

from shapely import MultiLineString, MultiPolygon, unary_union
from shapely.geometry.base import BaseGeometry

from ..errors import Fault, SheetError
from ..geometry.rings import Ring
from ..measure.model import SlabTakeoff, Takeoff
from ..units.factors import CM_M, FOOT_M, INCH_M, MM_M
from ..units.figures import Figures
from ..units.length import UnitStyle
from ..version import VERSION
from .dxf_notes import Pencil, dimension_sides, letter_corners, name_cutouts, name_slab, title

VERSION_WRITTEN: Final = "R2010"

_UNITS: Final[dict[UnitStyle, tuple[int, float, int]]] = {
    UnitStyle.FT_IN: (1, INCH_M, 4),
    UnitStyle.FT: (2, FOOT_M, 2),
    UnitStyle.IN: (1, INCH_M, 2),
    UnitStyle.M: (6, 1.0, 2),
    UnitStyle.CM: (5, CM_M, 2),
    UnitStyle.MM: (4, MM_M, 2),
}
"""$INSUNITS, metres for one drawing unit, $LUNITS (2 decimal, 4 feet and inches) by the plan's units."""

# Colour index (7 is black or white) and line width in 1/100 mm, by the start of a layer's name.
_LOOKS: Final = (
    ("FLOOR-OUTLINE", 7, 70),
    ("FLOOR-CUTOUT", 7, 50),
    ("FLOOR-EDGE", 7, 35),
    ("FLOOR-JOINT", 5, 25),
    ("FLOOR-BAND", 8, 13),
    ("FLOOR-POCKET", 1, 13),
    ("FLOOR-DIM", 8, 18),
    ("FLOOR-NAME", 7, 25),
    ("FLOOR-TEXT", 7, 18),
)
_LETTER_SHARE: Final = 1.0 / 110.0
_NOT_IN_NAMES: Final = re.compile(r"[^\w-]+")


def render(takeoff: Takeoff) -> bytes:
    """A DXF file of every slab; the same takeoff gives the same bytes.

    Raises:
        SheetError: there is no slab to draw.
    """
    if not takeoff.slabs:
        raise SheetError(Fault(code="drawing-empty", text="there is no slab to draw"))
    with _fixed_metadata() as library:
        return _written(takeoff, library)


def _written(takeoff: Takeoff, library: Any) -> bytes:
    code, unit_m, notation = _UNITS[takeoff.plan.units]
    document: Any = library.new(VERSION_WRITTEN, units=code)
    document.header["$LUNITS"] = notation
    document.header["$MEASUREMENT"] = 0 if takeoff.plan.units.is_us else 1
    document.header.custom_vars.append("maker", f"floorplan {VERSION}")
    model = document.modelspace()
    pencil = Pencil(
        document=document,
        model=model,
        unit_m=unit_m,
        letter=_size_m(takeoff) * _LETTER_SHARE / unit_m,
        figures=Figures(takeoff.plan.units),
    )
    pencil.prepare()
    for slab, (dx, dy) in zip(takeoff.slabs, _shifts(takeoff), strict=True):
        _slab(pencil.moved(dx, dy), slab)
    title(pencil, takeoff)
    _dress_layers(document)
    stream = StringIO()
    document.write(stream)
    return stream.getvalue().encode("utf-8", errors="replace")


def layer_name(*parts: str) -> str:
    """A layer's name from its parts: `FLOOR-EDGE-STEP_UP`."""
    return "-".join(_NOT_IN_NAMES.sub("_", part).upper() for part in ("FLOOR", *parts))


def _slab(pencil: Pencil, slab: SlabTakeoff) -> None:
    pencil.ring(slab.ring, layer_name("OUTLINE"))
    for edge in slab.edges:
        if edge.side is not None:
            side = slab.ring.side(edge.side)
            pencil.side(side, layer_name("EDGE", edge.kind))
    for cutout in slab.cutouts:
        kind = cutout.kind
        pencil.ring(cutout.ring, layer_name("CUTOUT", kind))
    for joint in slab.joints:
        _lines(pencil, joint.lines, layer_name("JOINT", joint.joint.treatment.value))
    _hatch(pencil, slab.regions.band, layer_name("BAND"), "ANSI31")
    _hatch(pencil, slab.regions.pockets, layer_name("POCKET"), "ANSI37")
    dimension_sides(pencil, slab)
    letter_corners(pencil, slab)
    name_cutouts(pencil, slab)
    name_slab(pencil, slab)


def _lines(pencil: Pencil, lines: MultiLineString, layer: str) -> None:
    for line in lines.geoms:
        pencil.line(list(line.coords), layer)


def _hatch(pencil: Pencil, region: MultiPolygon, layer: str, pattern: str) -> None:
    for polygon in region.geoms:
        rings = [list(ring.coords)[:-1] for ring in (polygon.exterior, *polygon.interiors)]
        pencil.hatch(rings, layer, pattern)


def _size_m(takeoff: Takeoff) -> float:
    boxes = [slab.ring.bounds() for slab in takeoff.slabs]
    return max(max(x1 - x0, y1 - y0) for x0, y0, x1, y1 in boxes)


def _shifts(takeoff: Takeoff) -> Iterator[tuple[float, float]]:
    """How far each slab is moved, metres: not at all, or to the right of all before where it would cover one.

    Slabs of one plan may each have been measured from an origin of their own.
    """
    drawn: BaseGeometry = MultiPolygon()
    # Room for the notes of both, whose size goes by the largest slab.
    room = 0.25 * _size_m(takeoff)
    for slab in takeoff.slabs:
        outline, dx = slab.regions.outline, 0.0
        if drawn.intersection(outline).area > 1e-6 * outline.area:
            x0 = outline.bounds[0]
            dx = drawn.bounds[2] - x0 + room
        yield dx, 0.0
        drawn = unary_union([drawn, _moved(slab.ring, dx)])


def _moved(ring: Ring, dx: float) -> Any:
    return ring.moved(dx, 0.0).polygon()


def _dress_layers(document: Any) -> None:
    for layer in document.layers:
        for start, colour, width in _LOOKS:
            if layer.dxf.name.startswith(start):
                layer.dxf.color, layer.dxf.lineweight = colour, width
                break


@contextmanager
def _fixed_metadata() -> Iterator[Any]:
    """The DXF library, with no clock and no random names in what it writes; its setting is put back."""
    library: Any = import_module("ezdxf")
    options = library.options
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield library
    finally:
        options.write_fixed_meta_data_for_testing = before

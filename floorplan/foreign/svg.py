"""SVG: paths and basic shapes as line work, with arcs kept where they are circular.

Lengths of an SVG are those of paper, so the unit must be stated, be known from one taped length, or follow
from a scale; sheets of our own say their scale. Source: SVG 1.1, chapters 7 to 10 (coordinate systems, paths,
basic shapes), appendix F.6 for the arcs.
"""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from typing import Final

import numpy as np

from ..errors import DrawingFileError, Fault
from ..units.factors import INCH_MM, MM_M, POINT_MM
from .collector import Collector
from .model import Source
from .planes import Placement, then
from .svg_paths import Outline, circle, ellipse_outline, outlines_of, placed, polygon
from .svg_transforms import matrix_of, svg_number

_NUMBER: Final = re.compile(r"\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*([a-z%]*)")
_NUMBERS: Final = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_PIXEL_MM: Final = INCH_MM / 96.0
_MM: Final = {
    "": _PIXEL_MM,
    "px": _PIXEL_MM,
    "mm": 1.0,
    "cm": 10.0,
    "in": INCH_MM,
    "pt": POINT_MM,
    "pc": INCH_MM / 6.0,
    "q": 0.25,
}
"""Paper millimetres of a length by its unit (CSS Values: 96 px to the inch)."""

_SKIPPED: Final = frozenset(
    [
        "defs",
        "symbol",
        "clippath",
        "mask",
        "marker",
        "pattern",
        "metadata",
        "style",
        "script",
        "title",
        "desc",
        "lineargradient",
        "radialgradient",
        "filter",
        "namedview",
    ]
)
_LEFT_OUT: Final = {
    "image": "a picture is no line work",
    "use": "a copy; unlink it",
    "foreignobject": "no line work",
}
_DEEPEST: Final = 100


SCALE_STATED: Final = "scale as stated"
"""How a drawing on paper says its unit where the user stated the scale."""


def read_svg(data: bytes, name: str, *, paper_scale: float | None = None) -> Source:
    """The paths and shapes of an SVG.

    Args:
        data: the file.
        name: for faults.
        paper_scale: 48 for a drawing at 1:48; None where it is not stated, or a sheet of ours states it.

    Raises:
        DrawingFileError: no SVG, or one with entity declarations, which are refused.
    """
    root = _root(data, name)
    collector = Collector(name, "SVG")
    _read_scale(root, collector, paper_scale)
    # The y of an SVG runs down the sheet.
    _walk(root, collector, matrix_of("scale(1,-1)"), "0")
    return collector.source()


def _root(data: bytes, name: str) -> ET.Element:
    if b"<!ENTITY" in data:
        raise DrawingFileError(
            Fault(
                code="drawing-svg-entities",
                text=f"{name}: it declares entities, which can be made to grow without end; it was not read",
                hint="save it again as plain SVG",
            )
        )
    if b"\0" in data:  # another coding, in which entities would pass unseen
        fault = Fault(
            code="drawing-not-svg", text=f"{name}: this is no SVG in UTF-8", hint="save it as UTF-8"
        )
        raise DrawingFileError(fault)
    try:
        root = ET.fromstring(data)
    except (ET.ParseError, ValueError, LookupError) as error:
        line = getattr(error, "position", (0, 0))[0]
        where = f" at line {line}" if line else ""
        fault = Fault(code="drawing-not-svg", text=f"{name}: this is no SVG{where}", hint="save it again")
        raise DrawingFileError(fault) from error
    if _tag(root) != "svg":
        raise DrawingFileError(
            Fault(code="drawing-not-svg", text=f"{name}: its root is {_tag(root)[:30]}, not svg")
        )
    return root


def _tag(element: ET.Element) -> str:
    return element.tag.rpartition("}")[2].lower() if isinstance(element.tag, str) else ""


def _read_scale(root: ET.Element, collector: Collector, paper_scale: float | None) -> None:
    scale, said = paper_scale, SCALE_STATED
    if scale is None:
        try:
            scale, said = float(root.get("data-scale", "")), "scale of the sheet (data-scale)"
        except ValueError:
            return
    if not (scale > 0.0 and math.isfinite(scale)):
        return
    collector.unit_m = _user_unit_mm(root) * MM_M * scale
    collector.unit_said = f"1:{scale:g}, {said}"


def _user_unit_mm(root: ET.Element) -> float:
    """Paper millimetres for one user unit, from width and viewBox."""
    width = _NUMBER.match(root.get("width", ""))
    box = [svg_number(part) for part in _NUMBERS.findall(root.get("viewBox", ""))[:4]]
    if width and len(box) == 4 and box[2] > 0.0 and width[2] in _MM:
        return svg_number(width[1]) * _MM[width[2]] / box[2]
    return _MM[""]


def _walk(element: ET.Element, collector: Collector, outer: Placement, layer: str, depth: int = 0) -> None:
    tag = _tag(element)
    if tag in _SKIPPED or depth > _DEEPEST:
        return
    if _hidden(element):
        collector.leave_out(tag, layer, "hidden")
        return
    placement = outer
    if element.get("transform"):
        placement = then(outer, matrix_of(element.get("transform", "")))
    if tag in ("g", "svg", "a", "switch"):
        own = next((v for k, v in element.attrib.items() if k.endswith("}label")), None) or element.get("id")
        inner = own if own and tag == "g" else layer
        for child in element:
            _walk(child, collector, placement, inner, depth + 1)
    elif tag == "text":
        _text(element, collector, placement, layer)
    elif tag in _LEFT_OUT:
        collector.leave_out(tag, layer, _LEFT_OUT[tag])
    elif tag:
        _shape(element, tag, collector, placement, layer)


def _hidden(element: ET.Element) -> bool:
    style = element.get("style", "").replace(" ", "")
    return (
        element.get("display") == "none"
        or element.get("visibility") == "hidden"
        or "display:none" in style
        or "visibility:hidden" in style
    )


def _shape(element: ET.Element, tag: str, collector: Collector, placement: Placement, layer: str) -> None:
    try:
        for outline in _outlines(element, tag):
            drawn = placed(outline, placement)
            collector.stroke(drawn.points, drawn.bulges, closed=drawn.closed, layer=layer, kind=tag)
    except KeyError:
        collector.leave_out(tag, layer, "not known as line work")
    except (ValueError, OverflowError, ArithmeticError):
        collector.leave_out(tag, layer, "numbers unreadable")


def _outlines(element: ET.Element, tag: str) -> Iterator[Outline]:
    def size(key: str) -> float:
        match = _NUMBER.match(element.get(key, "0"))
        if not match:
            raise ValueError(key)
        return svg_number(match[1]) * (_MM[match[2]] / _PIXEL_MM if match[2] in _MM else 1.0)

    if tag == "path":
        yield from outlines_of(element.get("d", ""))
    elif tag in ("polygon", "polyline"):
        yield polygon(element.get("points", ""), closed=tag == "polygon")
    elif tag == "line":
        ends = [(size("x1"), size("y1")), (size("x2"), size("y2"))]
        yield Outline(np.array(ends), np.zeros(2), False)
    elif tag == "rect":
        x, y, w, h = (size(key) for key in ("x", "y", "width", "height"))
        yield Outline(np.array([(x, y), (x + w, y), (x + w, y + h), (x, y + h)]), np.zeros(4), True)
    elif tag == "circle":
        yield circle(size("cx"), size("cy"), size("r"))
    elif tag == "ellipse":
        yield ellipse_outline(size("cx"), size("cy"), size("rx"), size("ry"))
    else:
        raise KeyError(tag)


def _text(element: ET.Element, collector: Collector, placement: Placement, layer: str) -> None:
    words = "".join(element.itertext())
    match_x, match_y = (_NUMBER.match(element.get(key, "0")) for key in ("x", "y"))
    if match_x and match_y:
        at = np.array((svg_number(match_x[1]), svg_number(match_y[1])))
        spot = placement[:2, :2] @ at + placement[:2, 3]
        collector.label(words, float(spot[0]), float(spot[1]), layer)

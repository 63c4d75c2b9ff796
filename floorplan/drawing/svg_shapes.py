"""Plain shapes out of an SVG: paths, rectangles, circles, ellipses, polygons and lines with flat colours.

Curves become short chords. Anything that is more than a shape is an error in words (`ValueError`).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any, Final
from xml.etree import ElementTree

import numpy as np
import shapely

from ..foreign.planes import Placement, then
from ..foreign.svg_paths import Outline, circle, ellipse_outline, outlines_of, placed, polygon
from ..foreign.svg_transforms import matrix_of, svg_number
from ..geometry.arcs import flattened
from ..patterns import pattern
from ..values import dataclass
from .marks import Pen, Run
from .view import region_runs

MOST_SHAPES: Final = 2000
_DEEPEST: Final = 40
_FLAT_SHARE: Final = 1e-3
_IGNORED: Final = ("title", "desc", "metadata", "namedview")
_LENGTH: Final = pattern(r"\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?)\s*(?:px)?\s*", re.IGNORECASE)
_COLOURS: Final = {
    "black": "#000000",
    "white": "#ffffff",
    "red": "#ff0000",
    "green": "#008000",
    "lime": "#00ff00",
    "blue": "#0000ff",
    "navy": "#000080",
    "teal": "#008080",
    "maroon": "#800000",
    "olive": "#808000",
    "purple": "#800080",
    "orange": "#ffa500",
    "yellow": "#ffff00",
    "silver": "#c0c0c0",
    "grey": "#808080",
    "gray": "#808080",
    "currentcolor": "#000000",
}


@dataclass(frozen=True, slots=True)
class Shape:
    """A shape, y up, in the units of the file: runs, fill colour ("" for none), line colour and width."""

    runs: tuple[Run, ...]
    fill: str
    line: str
    line_width: float

    def pen(self, scale: float) -> Pen | None:
        """The pen of its line at a scale."""
        return Pen(round(self.line_width * scale, 4), self.line) if self.line else None


@dataclass(frozen=True, slots=True)
class _Style:
    fill: str = "#000000"
    line: str = ""
    width: float = 1.0
    even_odd: bool = False


def read_shapes(data: bytes) -> list[Shape]:
    """Every shape of an SVG, lowest first.

    Raises:
        ValueError: it is no SVG, or holds what is not taken; the message goes on "the logo ...".
    """
    if b"<!ENTITY" in data.upper():
        raise ValueError("declares entities, which are not taken")
    if b"\0" in data:  # another coding, in which entities would pass unseen
        raise ValueError("is neither a PNG nor an SVG in UTF-8")
    try:
        root = ElementTree.fromstring(data)
    except (ElementTree.ParseError, ValueError, LookupError) as problem:
        raise ValueError("is neither a PNG nor an SVG") from problem
    if _tag(root) != "svg":
        raise ValueError("is neither a PNG nor an SVG")
    # Downwards becomes upwards here, once.
    with np.errstate(all="ignore"):
        shapes = list(_shapes(root, matrix_of("scale(1 -1)"), _Style(), 0))
    if len(shapes) > MOST_SHAPES:
        raise ValueError(f"has more than {MOST_SHAPES} shapes")
    return shapes


def _tag(element: ElementTree.Element) -> str:
    return element.tag.rpartition("}")[2].casefold() if isinstance(element.tag, str) else ""


def _shapes(element: ElementTree.Element, outer: Placement, style: _Style, depth: int) -> Iterator[Shape]:
    tag = _tag(element)
    if tag in _IGNORED or not tag or (tag == "defs" and not len(element)):
        return
    if depth > _DEEPEST:
        raise ValueError("is nested too deeply")
    placement = then(outer, matrix_of(element.get("transform", "")))
    style = _styled(element, style)
    if tag in ("svg", "g", "a"):
        for child in element:
            yield from _shapes(child, placement, style, depth + 1)
        return
    shape = _made([placed(outline, placement) for outline in _outlines(element, tag)], placement, style)
    if shape is not None:
        yield shape


def _outlines(element: ElementTree.Element, tag: str) -> list[Outline]:
    def size(key: str) -> float:
        return _number(element.get(key, "0"))

    if tag == "path":
        return list(outlines_of(element.get("d", "")))
    if tag in ("polygon", "polyline"):
        return [polygon(element.get("points", ""), closed=tag == "polygon")]
    if tag == "line":
        return [Outline(np.array([(size("x1"), size("y1")), (size("x2"), size("y2"))]), np.zeros(2), False)]
    if tag == "rect":
        x, y, w, h = (size(key) for key in ("x", "y", "width", "height"))
        return [Outline(np.array([(x, y), (x + w, y), (x + w, y + h), (x, y + h)]), np.zeros(4), True)]
    if tag == "circle":
        return [circle(size("cx"), size("cy"), size("r"))]
    if tag == "ellipse":
        return [ellipse_outline(size("cx"), size("cy"), size("rx"), size("ry"))]
    raise ValueError(f"holds <{tag}>, which is not taken")


def _made(outlines: Sequence[Outline], placement: Placement, style: _Style) -> Shape | None:
    if not all(np.isfinite(outline.points).all() for outline in outlines):
        raise ValueError("holds numbers beyond all drawings")
    rows = [(_chords(outline), outline.closed) for outline in outlines if len(outline.points) > 1]
    if not rows or not (style.fill or style.line):
        return None
    if style.line:
        width = style.width * float(np.sqrt(abs(np.linalg.det(placement[:2, :2]))))
        if not np.isfinite(width):
            raise ValueError("holds numbers beyond all drawings")
        runs = tuple(Run(tuple(map(tuple, points.tolist())), closed=closed) for points, closed in rows)
        return Shape(runs, style.fill, style.line, width)
    runs = region_runs(_filled([points for points, _ in rows if len(points) > 2], style))
    return Shape(runs, style.fill, "", 0.0) if runs else None


def _chords(outline: Outline) -> Any:
    """Points of an outline, (m, 2), its arcs as chords."""
    if not outline.bulges.any():
        return outline.points
    tolerance = _FLAT_SHARE * float(np.ptp(outline.points, axis=0).max())
    ends = np.roll(outline.points, -1, axis=0)
    bulges = outline.bulges if outline.closed else np.append(outline.bulges[:-1], 0.0)
    points, _ = flattened(outline.points, ends, bulges, max(tolerance, 1e-9))
    return points


def _filled(rings: Sequence[Any], style: _Style) -> Any:
    """Rings as one figure: even-odd, or holes where a ring runs the other way than the first (non-zero)."""
    figure: Any = shapely.Polygon()
    for points in rings:
        ring = shapely.make_valid(shapely.Polygon(points))
        if style.even_odd:
            figure = figure.symmetric_difference(ring)
        elif shapely.LinearRing(points).is_ccw == shapely.LinearRing(rings[0]).is_ccw:
            figure = figure.union(ring)
        else:
            figure = figure.difference(ring)
    return figure


def _number(text: str) -> float:
    match = _LENGTH.fullmatch(text)
    if match is None:
        raise ValueError(f'has the length "{text[:20]}", which is not taken')
    return svg_number(match.group(1))


def _styled(element: ElementTree.Element, style: _Style) -> _Style:
    given = {key: element.get(key, "") for key in ("fill", "stroke", "stroke-width", "fill-rule", "display")}
    for part in element.get("style", "").split(";"):
        key, _, value = part.partition(":")
        given[key.strip()] = value.strip()
    if given["display"] == "none":
        return _Style(fill="", line="")
    return _Style(
        fill=_colour(given["fill"], style.fill),
        line=_colour(given["stroke"], style.line),
        width=_number(given["stroke-width"]) if given["stroke-width"] else style.width,
        even_odd=given["fill-rule"] == "evenodd" if given["fill-rule"] else style.even_odd,
    )


def _colour(text: str, inherited: str) -> str:
    plain = text.strip().casefold()
    if not plain or plain == "inherit":
        return inherited
    if plain in ("none", "transparent"):
        return ""
    if plain in _COLOURS:
        return _COLOURS[plain]
    if re.fullmatch(r"#[0-9a-f]{6}", plain):
        return plain
    if re.fullmatch(r"#[0-9a-f]{3}", plain):
        return "#" + "".join(2 * c for c in plain[1:])
    match = re.fullmatch(r"rgb\(\s*(\d+)\s*,\s*(\d+)\s*,\s*(\d+)\s*\)", plain)
    if match:
        return "#" + "".join(f"{min(255, int(n)):02x}" for n in match.groups())
    raise ValueError(f'has the colour "{text[:20]}", which is not taken')

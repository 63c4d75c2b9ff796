"""Marks to SVG: millimetres, text as text, nothing but what stands in the page.

Attributes are those of SVG 1.1, with `data-scale` and `role` from SVG 2. Every string goes through the XML
writer; there are no scripts, no links and no outside references.
"""

from __future__ import annotations

import base64
import math
from typing import Any
from xml.etree import ElementTree

import svgwrite

from ..drawing.lettering import CAPITAL, clean
from ..drawing.marks import Anchor, Group, Mark, Page, Pen, Picture, Run, Stroke, Text

FONTS = '"Liberation Sans", Arimo, Arial, Helvetica, sans-serif'


def render(page: Page) -> bytes:
    """The page as an SVG document, UTF-8; the same page gives the same bytes."""
    drawing = svgwrite.Drawing(
        size=(f"{_n(page.width_mm)}mm", f"{_n(page.height_mm)}mm"),
        viewBox=f"0 0 {_n(page.width_mm)} {_n(page.height_mm)}",
        debug=False,
    )
    drawing.attribs |= {"font-family": FONTS, "xml:lang": page.language, "role": "img", "class": "floorplan"}
    if page.scale:
        drawing.attribs["data-scale"] = f"{page.scale:g}"
    drawing.set_desc(title=clean(page.title), desc=clean(page.description))
    writer = _Writer(drawing, page.height_mm)
    paper = drawing.rect(insert=(0, 0), size=(_n(page.width_mm), _n(page.height_mm)), fill="#ffffff")
    drawing.add(paper)
    for mark in page.marks:
        drawing.add(writer.element(mark))
    # As the drawing's own `tostring`, which encodes every piece by itself and takes twice as long.
    text = ElementTree.tostring(drawing.get_xml(), encoding="unicode")
    return b'<?xml version="1.0" encoding="UTF-8"?>\n' + text.encode("utf-8") + b"\n"


class _Writer:
    """Turns marks into elements; y is turned over here and nowhere else."""

    def __init__(self, drawing: Any, height_mm: float) -> None:
        self.drawing = drawing
        self.height_mm = height_mm

    def element(self, mark: Mark) -> Any:
        match mark:
            case Stroke():
                return self.stroke(mark)
            case Text():
                return self.text(mark)
            case Picture():
                return self.picture(mark)
            case Group():
                return self.group(mark)

    def group(self, group: Group) -> Any:
        named = {"class_": group.layer} if group.layer else {}
        element = self.drawing.g(**named)
        _name(element, group.id, group.title)
        for mark in group.marks:
            element.add(self.element(mark))
        return element

    def stroke(self, stroke: Stroke) -> Any:
        path = " ".join(self.run(run) for run in stroke.runs)
        element = self.drawing.path(d=path, fill=stroke.fill or "none")
        if stroke.fill:
            element.attribs["fill-rule"] = "evenodd"
        if stroke.pen:
            element.attribs |= _pen(stroke.pen)
        _name(element, stroke.id, stroke.title)
        return element

    def run(self, run: Run) -> str:
        x, y = run.points[0]
        parts = [f"M{_n(x)},{_n(self.height_mm - y)}"]
        for start, end, bulge in run.pieces():
            parts.append(self.piece(start, end, bulge))
        if run.closed:
            # The last straight piece is the closing one.
            parts[-1] = "Z" if parts[-1][0] == "L" else parts[-1] + "Z"
        return "".join(parts)

    def piece(self, start: tuple[float, float], end: tuple[float, float], bulge: float) -> str:
        x, y = _n(end[0]), _n(self.height_mm - end[1])
        if not bulge:
            return f"L{x},{y}"
        radius = _n(math.dist(start, end) * (1.0 + bulge * bulge) / (4.0 * abs(bulge)))
        # Counter-clockwise with y up is the negative direction of angles with y down.
        return f"A{radius},{radius},0,{int(abs(bulge) > 1.0)},{int(bulge < 0.0)},{x},{y}"

    def text(self, text: Text) -> Any:
        x, y = _n(text.at[0]), _n(self.height_mm - text.at[1])
        element = self.drawing.text(clean(text.content))
        size = _n(text.height_mm / CAPITAL)
        element.attribs |= {"x": x, "y": y, "font-size": size, "fill": text.colour}
        if text.bold:
            element.attribs["font-weight"] = "bold"
        if text.anchor is not Anchor.START:
            element.attribs["text-anchor"] = text.anchor.value
        if text.width_mm:
            # Holds the layout in a viewer that has none of the fonts.
            element.attribs |= {"textLength": _n(text.width_mm), "lengthAdjust": "spacingAndGlyphs"}
        if text.angle_deg:
            element.attribs["transform"] = f"rotate({_n(-text.angle_deg)},{x},{y})"
        return element

    def picture(self, picture: Picture) -> Any:
        element = self.drawing.image(
            href="data:image/png;base64," + base64.b64encode(picture.png).decode("ascii"),
            insert=(_n(picture.at[0]), _n(self.height_mm - picture.at[1] - picture.height_mm)),
            size=(_n(picture.width_mm), _n(picture.height_mm)),
        )
        _name(element, "", picture.title)
        return element


def _name(element: Any, id_: str, title: str) -> None:
    if id_:
        element.attribs["id"] = id_
    if title:
        element.set_desc(title=clean(title))


def _pen(pen: Pen) -> dict[str, str]:
    attributes = {"stroke": pen.colour, "stroke-width": _n(pen.width_mm)}
    if pen.dashes_mm:
        attributes["stroke-dasharray"] = ",".join(_n(dash) for dash in pen.dashes_mm)
    if pen.round_ends:
        attributes |= {"stroke-linecap": "round", "stroke-linejoin": "round"}
    return attributes


def _n(value: float) -> str:
    """Millimetres to the thousandth, without trailing zeros or a minus zero."""
    whole = round(value * 1000.0)
    if not whole % 1000:
        return str(whole // 1000)
    return f"{whole / 1000.0:.3f}".rstrip("0")

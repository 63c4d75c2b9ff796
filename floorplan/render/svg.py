"""Marks to SVG: millimetres, text as text, nothing but what stands in the page.

Attributes are those of SVG 1.1, with `data-scale` and `role` from SVG 2. Every string goes through the XML
writer; there are no scripts, no links and no outside references.
"""

from __future__ import annotations

import base64
import math
from functools import cache
from xml.etree import ElementTree
from xml.etree.ElementTree import Element, SubElement

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
    drawing.attribs["data-page"] = f"{page.number} of {page.of}"
    drawing.set_desc(title=clean(page.title), desc=clean(page.description))
    paper = drawing.rect(insert=(0, 0), size=(_n(page.width_mm), _n(page.height_mm)), fill="#ffffff")
    drawing.add(paper)
    root = drawing.get_xml()
    # Marks become elements of the tree at once: by way of the drawing's own each takes three times as long.
    writer = _Writer(page.height_mm)
    root.extend([writer.element(mark) for mark in page.marks])
    text = ElementTree.tostring(root, encoding="unicode")
    return b'<?xml version="1.0" encoding="UTF-8"?>\n' + text.encode("utf-8") + b"\n"


class _Writer:
    """Turns marks into elements, their attributes by the alphabet; y is turned over here and nowhere else."""

    def __init__(self, height_mm: float) -> None:
        self.height_mm = height_mm

    def element(self, mark: Mark) -> Element:
        match mark:
            case Stroke():
                return self.stroke(mark)
            case Text():
                return self.text(mark)
            case Picture():
                return self.picture(mark)
            case Group():
                return self.group(mark)

    def group(self, group: Group) -> Element:
        element = Element("g", {"class": group.layer} if group.layer else {})
        _name(element, group.id, group.title)
        element.extend([self.element(mark) for mark in group.marks])
        return element

    def stroke(self, stroke: Stroke) -> Element:
        path = " ".join([self.run(run) for run in stroke.runs])
        element = Element("path", {"d": path, "fill": stroke.fill or "none"})
        if stroke.fill:
            element.set("fill-rule", "evenodd")
        _name(element, stroke.id, stroke.title)
        if stroke.pen:
            element.attrib.update(_pen(stroke.pen))
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

    def text(self, text: Text) -> Element:
        x, y = _n(text.at[0]), _n(self.height_mm - text.at[1])
        element = Element("text", {"fill": text.colour, "font-size": _n(text.height_mm / CAPITAL)})
        element.text = clean(text.content)
        if text.bold:
            element.set("font-weight", "bold")
        if text.width_mm:
            element.set("lengthAdjust", "spacingAndGlyphs")
        if text.anchor is not Anchor.START:
            element.set("text-anchor", text.anchor.value)
        if text.width_mm:
            # Holds the layout in a viewer that has none of the fonts.
            element.set("textLength", _n(text.width_mm))
        if text.angle_deg:
            element.set("transform", f"rotate({_n(-text.angle_deg)},{x},{y})")
        element.attrib.update(x=x, y=y)
        return element

    def picture(self, picture: Picture) -> Element:
        place = {
            "height": _n(picture.height_mm),
            "width": _n(picture.width_mm),
            "x": _n(picture.at[0]),
            "xlink:href": "data:image/png;base64," + base64.b64encode(picture.png).decode("ascii"),
            "y": _n(self.height_mm - picture.at[1] - picture.height_mm),
        }
        element = Element("image", place)
        _name(element, "", picture.title)
        return element


def _name(element: Element, id_: str, title: str) -> None:
    if id_:
        element.set("id", id_)
    if title:
        SubElement(element, "title").text = clean(title)


@cache
def _pen(pen: Pen) -> dict[str, str]:
    attributes = {"stroke": pen.colour}
    if pen.dashes_mm:
        attributes["stroke-dasharray"] = ",".join(_n(dash) for dash in pen.dashes_mm)
    if pen.round_ends:
        attributes |= {"stroke-linecap": "round", "stroke-linejoin": "round"}
    return attributes | {"stroke-width": _n(pen.width_mm)}


def _n(value: float) -> str:
    """Millimetres to the thousandth, without trailing zeros or a minus zero."""
    whole = round(value * 1000.0)
    if not whole % 1000:
        return str(whole // 1000)
    return f"{whole / 1000.0:.3f}".rstrip("0")

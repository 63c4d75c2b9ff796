"""Counts text over text, text over lines and dimension lines over one another, from a page's marks alone.

Works from the ink of the glyphs (fontTools) and shapely: it shares nothing with the code that places labels.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files

import shapely
from fontTools.ttLib import TTFont
from shapely import affinity

from floorplan.drawing.arcs import chords
from floorplan.drawing.marks import Anchor, Page, Stroke, Text, walk
from floorplan.drawing.pens import DIMENSION

CAPITAL = 1409 / 2048


@cache
def _font(bold: bool) -> tuple[dict[int, str], object, object]:
    name = f"fonts/LiberationSans-{'Bold' if bold else 'Regular'}.ttf"
    font = TTFont(str(files("floorplan.render").joinpath(name)))
    return font.getBestCmap(), font["glyf"], font["hmtx"]


def ink(text: Text) -> shapely.Polygon:
    """Box around the ink of a line of text, turned and placed."""
    names, glyphs, metrics = _font(text.bold)
    em = text.height_mm / CAPITAL / 2048
    pen, low, high = 0, 0, 0
    for character in text.content:
        name = names.get(ord(character), ".notdef")
        glyph = glyphs[name]
        if glyph.numberOfContours:
            low, high = min(low, glyph.yMin), max(high, glyph.yMax)
        pen += metrics[name][0]
    wide = pen * em
    start = {Anchor.START: 0.0, Anchor.MIDDLE: -0.5 * wide, Anchor.END: -wide}[text.anchor]
    flat = shapely.box(start, low * em, start + wide, high * em)
    return affinity.translate(affinity.rotate(flat, text.angle_deg, origin=(0, 0)), *text.at)


def overlaps(page: Page) -> list[str]:
    """One line of words for each text that lies on another text, on a line, or off the paper.

    And one for each two dimension lines that share more than an end: neither can be told from the other.
    """
    texts = [mark for mark in walk(page.marks) if isinstance(mark, Text) and mark.content]
    boxes = [ink(text) for text in texts]
    lines, pens = [], []
    for mark in walk(page.marks):
        if isinstance(mark, Stroke) and mark.pen:
            for run in mark.runs:
                lines.append(
                    shapely.LineString(chords(run, 0.02)).buffer(0.5 * mark.pen.width_mm, cap_style="flat")
                )
                pens.append(mark)
    paper = shapely.box(0.0, 0.0, page.width_mm, page.height_mm)
    found = [
        f"{t.content!r} off the paper" for t, b in zip(texts, boxes, strict=True) if not paper.contains(b)
    ]
    tree = shapely.STRtree(boxes)
    for i, j in tree.query(boxes, predicate="intersects").T:
        if i < j and boxes[i].intersection(boxes[j]).area > 1e-6:
            found.append(f"{texts[i].content!r} over {texts[j].content!r}")
    if lines:
        for i, j in shapely.STRtree(lines).query(boxes, predicate="intersects").T:
            if boxes[i].intersection(lines[j]).area > 1e-6:
                mark = pens[j]
                at = tuple(round(v, 1) for v in texts[i].at)
                what = mark.id or f"{mark.pen.width_mm} {mark.pen.colour}"
                found.append(f"{texts[i].content!r} at {at} over a line {what}")
    return [*found, *_doubled(page)]


def _doubled(page: Page) -> list[str]:
    """Dimension lines that run along one another; in a dimension's stroke its own line comes first."""
    lines = [
        shapely.LineString(mark.runs[0].points)
        for mark in walk(page.marks)
        if isinstance(mark, Stroke) and mark.pen == DIMENSION and len(mark.runs[0].points) == 2
    ]
    both = shapely.STRtree(lines).query(lines, predicate="intersects").T if lines else ()
    shared = [lines[i].intersection(lines[j]) for i, j in both if i < j]
    return [f"two dimensions along {piece.wkt}" for piece in shared if piece.length > 1.0]

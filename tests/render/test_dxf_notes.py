"""What stands in the true-size drawing: layers, hatches, words and dimensions, each in its place."""

from __future__ import annotations

import io
import math
from functools import cache
from typing import Any

import ezdxf
import numpy as np
import pytest
import shapely
from command_runs import GARAGE, PATIO, POOL
from ezdxf.colors import aci2rgb
from overlaps import ink

import floorplan
from floorplan.drawing.marks import Anchor, Text
from floorplan.measure.model import Takeoff
from floorplan.render.dxf import render
from floorplan.units.factors import FOOT_M, INCH_M

SAMPLES = (PATIO, GARAGE, POOL)
UNIT_M = {"ft-in": INCH_M, "ft": FOOT_M, "in": INCH_M, "m": 1.0, "cm": 0.01, "mm": 0.001}
ISO_WIDTHS = (13, 18, 25, 35, 50, 70)
"""Line widths of ISO 128-2, hundredths of a millimetre."""

ROOM = """
A 0 m, 0 m    | wall
B 11 m, 0 m   | wall
C 11 m, 6 m   | wall
D 10.8 m, 6 m | wall
E 10.8 m, 5 m | wall
F 0 m, 5 m    | open, arc rise 0.5 m out
"""
POST = '[[slab.cutout]]\nname = "post"\nkind = "post"\nat = ["4 m, 2 m"]\nsize = "0.4 m x 0.4 m"\n'
JOINT = '[[slab.joint]]\nkind = "saw cut"\ntreatment = "fill"\nlines = "8 m, 0 m -> 8 m, 5 m"\n'
GRINDER = '[grinder]\nhead = "50 cm"\noverall = "60 cm"\ngap = "5 cm"\noverhang = "5 cm"\nband = "15 cm"\n'


def _plan(*slabs: str, units: str = "m", sheet: str = "") -> Takeoff:
    head = f'title = "A room"\nunits = "{units}"\n{sheet}{GRINDER}'
    return floorplan.takeoff(floorplan.read(head + "".join(slabs)))


def _slab(outline: str, *parts: str, name: str = "Floor") -> str:
    return f'[[slab]]\nname = "{name}"\noutline = """{outline}"""\n' + "".join(parts)


def _box(x: float, y: float, wide: float, deep: float) -> str:
    corners = ((x, y), (x + wide, y), (x + wide, y + deep), (x, y + deep))
    return "\n" + "".join(f"{a} m, {b} m | wall\n" for a, b in corners)


@cache
def _measured(path: str) -> Takeoff:
    return floorplan.takeoff(floorplan.load(path))


class Back:
    """A DXF read again by ezdxf, in metres."""

    def __init__(self, takeoff: Takeoff) -> None:
        self.document: Any = ezdxf.read(io.StringIO(render(takeoff).decode("utf-8")))
        self.unit_m = UNIT_M[takeoff.plan.units.value]
        self.model = self.document.modelspace()

    def texts(self, layer: str = "*") -> list[Any]:
        """Texts on a layer."""
        return list(self.model.query(f'TEXT[layer ? "{layer.replace("*", ".*")}"]'))

    def text(self, words: str) -> Any:
        """The one text of these words."""
        (found,) = [text for text in self.texts() if text.dxf.text == words]
        return found

    def at(self, text: Any) -> tuple[float, float]:
        """Where a text is centred, metres."""
        place = text.get_placement()[1]
        return place.x * self.unit_m, place.y * self.unit_m

    def box(self, text: Any) -> shapely.Polygon:
        """Around the ink of a text as set in Liberation Sans, metres."""
        return _words(text.dxf.text, self.at(text), text.dxf.height * self.unit_m)

    def hatches(self, layer: str) -> shapely.Geometry:
        """The union of the regions of hatches on a layer, m²."""
        regions = []
        for hatch in self.model.query(f'HATCH[layer=="{layer}"]'):
            rings = [np.array([v[:2] for v in path.vertices]) * self.unit_m for path in hatch.paths]
            regions.append(shapely.Polygon(rings[0], rings[1:]))
        return shapely.union_all(regions)

    def spacings(self) -> list[float]:
        """Between the lines of each hatch pattern, metres.

        Source: DXF reference, HATCH, groups 53, 45 and 46: a line's angle, its offset to the next.
        """
        lines = [line for hatch in self.model.query("HATCH") for line in hatch.pattern.lines]
        assert lines
        turned = [(line.offset, math.radians(line.angle)) for line in lines]
        return [abs(o.y * math.cos(a) - o.x * math.sin(a)) * self.unit_m for o, a in turned]

    def dimensions(self) -> list[tuple[shapely.LineString, shapely.Polygon, str]]:
        """The dimension line, the box of the words, and the words of every dimension, as drawn, metres."""
        drawn = []
        for dimension in self.model.query("DIMENSION"):
            block = list(dimension.get_geometry_block())
            lines = [line for line in block if line.dxftype() == "LINE"]
            (words,) = [part for part in block if part.dxftype() == "MTEXT"]
            ends = [(part.x * self.unit_m, part.y * self.unit_m) for part in _ends(lines[-1])]
            spot = (words.dxf.insert.x * self.unit_m, words.dxf.insert.y * self.unit_m)
            box = _words(words.text, spot, words.dxf.char_height * self.unit_m, words.get_rotation())
            drawn.append((shapely.LineString(ends), box, words.text))
        return drawn


def _ends(line: Any) -> tuple[Any, Any]:
    return line.dxf.start, line.dxf.end


def _words(words: str, at: tuple[float, float], height: float, turn: float = 0.0) -> shapely.Polygon:
    """The box of words centred on a point, of capitals of this height."""
    text = Text(at=(0.0, 0.0), content=words, height_mm=height, anchor=Anchor.MIDDLE)
    flat = shapely.affinity.translate(ink(text), 0.0, -0.5 * height)
    return shapely.affinity.translate(shapely.affinity.rotate(flat, turn, origin=(0, 0)), *at)


def _luminance(colour: int) -> float:
    """Relative luminance of a colour index.

    Source: WCAG 2.1, "relative luminance".
    """
    shares = [c / 255.0 for c in aci2rgb(colour)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in shares]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("path", SAMPLES)
def test_layers_are_dressed(path: str) -> None:
    """Continuous lines in widths of ISO 128-2, the heavier the more solid; colours that show on paper.

    Index 7 is black on white. Any other keeps a contrast of 3 to 1 with white (WCAG 2.1, 1.4.11) and is grey
    where it must not catch the eye, of one hue where it must.
    """
    layers = {layer.dxf.name: layer for layer in Back(_measured(path)).document.layers}
    ours = {name: layer for name, layer in layers.items() if name.startswith("FLOOR-")}
    widths = {name: layer.dxf.lineweight for name, layer in ours.items()}
    assert set(widths.values()) <= set(ISO_WIDTHS)
    assert {layer.dxf.linetype for layer in ours.values()} == {"Continuous"}

    def width(role: str) -> int:
        (found,) = {width for name, width in widths.items() if name.startswith(f"FLOOR-{role}")}
        return found

    assert width("OUTLINE") > width("CUTOUT") > width("EDGE") > width("JOINT") > width("DIM") > width("BAND")
    assert width("TEXT") < width("NAME")
    for name, layer in ours.items():
        role, colour = name.split("-")[1], layer.dxf.color
        if role in ("OUTLINE", "CUTOUT", "EDGE", "NAME", "TEXT"):
            assert colour == 7
        else:
            assert 1.05 / (_luminance(colour) + 0.05) >= 3.0
            assert len(set(aci2rgb(colour))) == (1 if role in ("BAND", "DIM") else 2)


@pytest.mark.parametrize(
    ("units", "notation"), [("ft-in", 4), ("ft", 2), ("in", 2), ("m", 2), ("cm", 2), ("mm", 2)]
)
def test_header_says_how_lengths_are_written(units: str, notation: int) -> None:
    """$LUNITS 2 is decimal, 4 feet and inches; $MEASUREMENT 0 is English, 1 metric; who made the file.

    Source: DXF reference, HEADER section.
    """
    document = Back(_plan(_slab(_box(0, 0, 4, 3)), units=units)).document
    assert document.header["$LUNITS"] == notation
    assert document.header["$MEASUREMENT"] == (0 if units in ("ft-in", "ft", "in") else 1)
    made_by = dict(document.header.custom_vars.properties)
    assert made_by == {"maker": f"floorplan {floorplan.__version__}"}


@pytest.mark.parametrize("units", [units for units in UNIT_M if units != "m"])
def test_drawing_is_the_same_in_any_unit(units: str) -> None:
    """One floor typed in another unit is drawn alike: places, heights, hatches and dimensions in metres."""
    # Placed so that one spot alone is the widest: between two, the last digit would choose.
    post, joint = POST.replace("4 m, 2 m", "9.5 m, 1 m"), JOINT.replace("8 m", "4.5 m")
    parts = (_slab(ROOM, post, joint),)
    sheet = '[sheet]\nrevision = "C"\n'
    metres, other = Back(_plan(*parts, sheet=sheet)), Back(_plan(*parts, units=units, sheet=sheet))
    assert len(metres.texts()) == len(other.texts())
    for a, b in zip(metres.texts(), other.texts(), strict=True):
        assert other.at(b) == pytest.approx(metres.at(a), abs=1e-9)
        assert b.dxf.height * other.unit_m == pytest.approx(a.dxf.height, rel=1e-9)
    for (line, _, _), (again, _, _) in zip(metres.dimensions(), other.dimensions(), strict=True):
        assert shapely.hausdorff_distance(line, again) < 1e-9
    assert other.spacings() == pytest.approx(metres.spacings(), rel=1e-9)
    styles = [back.document.dimstyles.get("FLOOR").dxf for back in (metres, other)]
    for size in ("dimtxt", "dimtsz", "dimasz", "dimexo", "dimexe", "dimgap"):
        ours, again = (style.get(size) for style in styles)
        assert again * other.unit_m == pytest.approx(ours, rel=1e-9)


def test_band_hatch_is_the_hand_ground_floor() -> None:
    """Walls all round 6 × 4 m and a post of 0.4 m: the machine's edge stays 5 cm off.

    Nothing is hatched farther than 15 cm from a wall or post but corners that a round head misses; the strip
    alone is 6·4 − 5.7·3.7 = 2.91 m², round the post 4·0.4·0.15 = 0.24 m² and at most four corners of 0.15².
    """
    takeoff = _plan(_slab(_box(0, 0, 6, 4), POST))
    back = Back(takeoff)
    band = back.hatches("FLOOR-BAND")
    post = shapely.box(3.8, 1.8, 4.2, 2.2)
    floor = shapely.box(0, 0, 6, 4).difference(post)
    strip = floor.intersection(floor.boundary.buffer(0.15))
    assert 2.91 + 0.24 <= strip.area <= 2.91 + 0.24 + 4 * 0.15**2
    assert band.difference(strip).area < 4 * (1 - math.pi / 4) * 0.3**2
    assert strip.difference(band).area < 1e-3
    assert band.difference(floor).area < 1e-9
    for hatch in back.model.query("HATCH"):
        first, *holes = hatch.paths
        # Source: DXF reference, HATCH, group 92: 1 external, 2 polyline, 16 outermost.
        assert first.path_type_flags == 1 | 2
        assert [hole.path_type_flags for hole in holes] == [16 | 2] * len(holes)
        assert all(path.is_closed for path in hatch.paths)
        assert not hatch.dxf.solid_fill


@pytest.mark.parametrize("path", SAMPLES)
def test_hatches_cover_what_is_ground_by_hand(path: str) -> None:
    """Band and pockets are hatched with their areas, within the floor, in lines that can be told apart."""
    takeoff = _measured(path)
    back, slab = Back(takeoff), takeoff.slabs[0]
    band, pockets = back.hatches("FLOOR-BAND"), back.hatches("FLOOR-POCKET")
    assert band.area == pytest.approx(slab.band_area_m2, rel=1e-4)
    assert pockets.area == pytest.approx(slab.pocket_area_m2, rel=1e-4, abs=1e-9)
    for hatched in (band, pockets):
        assert hatched.difference(slab.regions.net.buffer(1e-6)).area < 1e-9
    assert band.intersection(pockets).area < 1e-4 * band.area
    letter = back.texts("FLOOR-TEXT")[0].dxf.height * back.unit_m
    assert all(0.25 * letter < spacing < letter for spacing in back.spacings())


@pytest.mark.parametrize("path", SAMPLES)
def test_notes_do_not_cover_each_other_nor_what_they_name(path: str) -> None:
    """No text lies on another or on a dimension's words; the name lies on floor, clear of every joint."""
    takeoff = _measured(path)
    back, slab = Back(takeoff), takeoff.slabs[0]
    floor = slab.ring.polygon()
    boxes = [(text.dxf.text, back.box(text)) for text in back.texts()]
    boxes += [(words, box) for _, box, words in back.dimensions()]
    for i, (words, box) in enumerate(boxes):
        for other, second in boxes[i + 1 :]:
            assert not box.intersects(second), (words, other)
    for words, box in boxes:
        if words == slab.name or words.startswith("net "):
            assert slab.regions.net.contains(box)
            assert all(box.disjoint(joint.lines) for joint in slab.joints)
    for _, box, words in back.dimensions():
        assert box.disjoint(floor), words
    for cutout in slab.cutouts:
        assert cutout.ring.polygon().buffer(1e-6).contains(back.box(back.text(cutout.name))), cutout.name


def test_letters_are_read_at_a_print_of_the_whole() -> None:
    """Letters are 1/110 of the longer side, so that on a sheet 11 in long they are about 2.5 mm (ISO 3098).

    The largest slab counts, whichever is first, and where it lies does not.
    """
    for slabs in (
        (_slab(_box(0, 0, 11, 5)), _slab(_box(20, 0, 2, 2), name="B")),
        (_slab(_box(20, 0, 2, 2)), _slab(_box(30, 40, 5, 11), name="B")),
    ):
        back = Back(_plan(*slabs))
        heights = [text.dxf.height for text in back.texts("FLOOR-TEXT")]
        assert heights == pytest.approx([0.1] * len(heights))
        assert back.texts("FLOOR-NAME")[0].dxf.height > 0.1


def test_name_stands_where_the_floor_is_widest() -> None:
    """A joint parts 11 × 5 m at 8 m: the name stands in the larger part, in the middle of its height.

    The widest circle there has a diameter of 5 m less the clearance; its centre may lie anywhere along.
    """
    back = Back(_plan(_slab(_box(0, 0, 11, 5), JOINT)))
    x, y = back.at(back.text("Floor"))
    assert 2.0 < x < 6.0
    assert y == pytest.approx(2.5, abs=0.2)
    (net,) = [text for text in back.texts() if text.dxf.text.startswith("net ")]
    below = back.at(net)
    assert below[0] == pytest.approx(x)
    assert 1.5 * net.dxf.height <= y - below[1] <= 3.0 * net.dxf.height


@pytest.mark.parametrize("turned", [False, True])
def test_each_corner_has_its_letter_outside(turned: bool) -> None:
    """A letter stands outside, nearest to its corner, on the bisector; beside a straight run square to it.

    The corners go round an L with one more corner (B) on a straight side, either way round.
    """
    corners = [(0, 0), (3, 0), (10, 0), (10, 4), (6, 4), (6, 8), (0, 8)]
    ways = [(-1, -1), (0, -1), (1, -1), (1, 1), (1, 1), (1, 1), (-1, 1)]
    order = range(7)[::-1] if turned else range(7)
    outline = "\n" + "".join(f"P{i} {corners[i][0]} m, {corners[i][1]} m | wall\n" for i in order)
    back = Back(_plan(_slab(outline)))
    floor, letter = shapely.Polygon(corners), 10 / 110
    for i, (corner, way) in enumerate(zip(corners, ways, strict=True)):
        spot = back.at(back.text(f"P{i}"))
        x, y = spot[0] - corner[0], spot[1] - corner[1]
        assert (x, y) == pytest.approx(tuple(np.array(way) * math.hypot(x, y) / math.hypot(*way)), abs=1e-9)
        assert 1.5 * letter < math.hypot(x, y) < 6 * letter
        assert floor.distance(shapely.Point(spot)) > letter
        assert min(range(7), key=lambda k: math.dist(spot, corners[k])) == i


@pytest.mark.parametrize("turned", [False, True])
def test_sides_with_room_have_dimensions_outside(turned: bool) -> None:
    """The side of 0.2 m has none; the arc's says chord, rise and radius, and stands clear of the arc.

    Chord 5 m, rise 0.5 m: R = (2.5² + 0.5²) / (2·0.5) = 6.5 m. Sides read from below or from the right.
    """
    takeoff = _plan(_slab(ROOM if not turned else _mirrored()))
    back, floor = Back(takeoff), takeoff.slabs[0].ring.polygon()
    assert floor.bounds == pytest.approx(
        (0.0, 0.0, 11.5, 6.0) if turned else (-0.5, 0.0, 11.0, 6.0), abs=1e-3
    )
    drawn, letter = back.dimensions(), back.texts("FLOOR-TEXT")[0].dxf.height
    words = sorted(text for _, _, text in drawn)
    arc = "chord 5.000 m, rise 0.500 m, R 6.500 m"
    assert words == sorted(["11.000 m", "6.000 m", "1.000 m", "10.800 m", arc])
    for line, box, text in drawn:
        assert line.length == pytest.approx(5.0 if text == arc else float(text.split()[0]))
        # Those of the two sides of the corner that stands in cross over it.
        if text not in ("1.000 m", "10.800 m"):
            assert 2.5 * letter < line.distance(floor) < 3.5 * letter
            assert box.disjoint(floor)


def _mirrored() -> str:
    """The room seen in a mirror, its corners in the same order: they go round the other way."""
    rows = [row.split(" ", 2) for row in ROOM.strip().splitlines()]
    return "\n" + "".join(
        f"{name} {11 - float(x):g} m, {rest.partition(', ')[2]}\n" for name, x, rest in rows
    )


def test_title_stands_below_everything() -> None:
    """Title, site, revision, date and the reminder, line under line, below all else, under its middle."""
    sheet = '[sheet]\nrevision = "C"\ndate = "2027-03-02"\n'
    takeoff = _plan(_slab(_box(3, 7, 8, 6)), _slab(_box(23, 5, 8, 6), name="B"), sheet=sheet)
    back = Back(takeoff)
    lowest = min(line.bounds[1] for line, _, _ in back.dimensions())
    words = ["A room", "revision C", "2027-03-02", "true size; check one dimension with a tape before use"]
    boxes = [back.box(back.text(line)) for line in words]
    assert [back.at(back.text(line))[0] for line in words] == pytest.approx([7.0] * 4)
    for above, below in zip([lowest, *(box.bounds[1] for box in boxes)], boxes, strict=False):
        assert below.bounds[3] < above
    assert boxes[0].bounds[3] > lowest - 1.5


def test_nothing_is_said_of_what_is_not_given() -> None:
    """Without site, revision and date there are title and reminder, the first line still at the top."""
    bare = Back(_plan(_slab(_box(0, 0, 4, 3))))
    below = {text.dxf.text for text in bare.texts("FLOOR-TEXT") if bare.at(text)[1] < -0.25}
    assert below == {"A room", "true size; check one dimension with a tape before use"}


@pytest.mark.parametrize(("wide", "deep"), [(8.0, 6.0), (0.8, 0.6)])
def test_slabs_from_one_origin_keep_their_notes_apart(wide: float, deep: float) -> None:
    """A slab moved aside stands clear of the notes of the one before, a small one too."""
    back = Back(_plan(_slab(_box(0, 0, 8, 6)), _slab(_box(0, 0, wide, deep), name="B")))
    first, second = (
        shapely.Polygon(np.array([p[:2] for p in line.get_points()]))
        for line in back.model.query('LWPOLYLINE[layer=="FLOOR-OUTLINE"]')
    )
    assert second.area == pytest.approx(wide * deep)
    drawn = [back.box(text) for text in back.texts()] + [box for _, box, _ in back.dimensions()]
    assert all(box.disjoint(first) or box.within(first) for box in drawn)
    for i, box in enumerate(drawn):
        assert all(box.disjoint(other) for other in drawn[i + 1 :])
    lines = [line for line, _, _ in back.dimensions()]
    assert min(line.distance(first) for line in lines[4:]) > 0.3


def test_slabs_with_places_of_their_own_stay_there() -> None:
    """Slabs that do not cover each other are drawn where they were measured, touching ones too."""
    back = Back(_plan(_slab(_box(1, 2, 8, 6)), _slab(_box(9, 2, 4, 6), name="B")))
    lines = back.model.query('LWPOLYLINE[layer=="FLOOR-OUTLINE"]')
    assert [min(p[0] for p in line.get_points()) for line in lines] == pytest.approx([1.0, 9.0])
    assert [min(p[1] for p in line.get_points()) for line in lines] == pytest.approx([2.0, 2.0])


@pytest.mark.parametrize("path", SAMPLES)
def test_outlines_are_closed_and_sides_are_open(path: str) -> None:
    """What encloses closes; a side or a joint ends where it ends; every layer used is listed."""
    back = Back(_measured(path))
    for line in back.model.query("LWPOLYLINE"):
        role = line.dxf.layer.split("-")[1]
        assert line.closed == (role in ("OUTLINE", "CUTOUT"))
        if role == "EDGE":
            assert len(line) == 2
    assert {entity.dxf.layer for entity in back.model} <= {layer.dxf.name for layer in back.document.layers}

"""Groups of text and binary files, what the first bytes look like, and what a broken file costs."""

from __future__ import annotations

import ezdxf
import pytest
from foreign.made import dxf, entities, lines, pairs, written

from floorplan.errors import DrawingFileError
from floorplan.foreign.drawing import find_loops
from floorplan.foreign.reader import read_source
from floorplan.foreign.tags import Damage, GroupStream, groups, look_of

SQUARE = ((0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0))


def _area(data: bytes) -> float:
    drawing = find_loops(read_source(data, "made.dxf"))
    return drawing.ring(drawing.outlines()[0]).area_m2


@pytest.mark.parametrize("version", ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"])
@pytest.mark.parametrize("form", ["asc", "bin"])
def test_every_version_text_and_binary(version: str, form: str) -> None:
    """A 4 x 3 square of lines is 12 in every version that ezdxf writes, as text and as binary."""
    document = ezdxf.new(version)
    lines(document.modelspace(), *SQUARE, closed=True)
    assert _area(written(document, form=form)) == 12.0


@pytest.mark.parametrize("end", [b"\n", b"\r\n", b"\r"])
def test_every_line_end(end: bytes) -> None:
    """Line ends of any system, and with a byte-order mark in front."""
    data = dxf(lambda model: lines(model, *SQUARE, closed=True)).replace(b"\n", end)
    assert _area(data) == 12.0
    assert _area(b"\xef\xbb\xbf" + data) == 12.0


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "an empty file"),
        (b"\0\0  \n", "an empty file"),
        (b"AC1027\0\0\0\0", "a DWG: save it as DXF"),
        (b"%PDF-1.7 ", "a PDF"),
        (b"PK\x03\x04rest", "a ZIP archive"),
        (b"\x89PNG\r\n", "a PNG picture"),
        (b"\xff\xfe0\0", "UTF-16"),
        (b"Dear sir, the drawing", "no drawing that is known"),
    ],
)
def test_other_files_are_named(data: bytes, words: str) -> None:
    """A file that is no DXF is told by what its first bytes look like."""
    with pytest.raises(DrawingFileError) as caught:
        read_source(data, "slab.dxf")
    assert words in caught.value.faults[0].text
    assert caught.value.faults[0].text.startswith("slab.dxf:")


def test_binary_sent_as_text_is_told() -> None:
    """A binary file whose line ends were changed on the way is not read, and the message says why."""
    mangled = b"AutoCAD Binary DXF\n\x1a\x00 and so on"
    assert look_of(mangled) == "mangled"
    with pytest.raises(DrawingFileError, match="sent as text"):
        read_source(mangled, "slab.dxf")


def test_comments_before_the_first_section() -> None:
    """Files may begin with comments (group 999)."""
    data = pairs((999, "drawn by hand"), (999, "0")) + dxf(lambda model: lines(model, *SQUARE, closed=True))
    assert _area(data) == 12.0


def test_unreadable_lines_cost_only_their_entity() -> None:
    """Garbage in one entity leaves that one out, is told with its lines, and the rest is read."""
    data = dxf(lambda model: lines(model, *SQUARE, closed=True) or model.add_circle((9, 9), 1))
    at = data.index(b"CIRCLE")
    broken = data[: at + 7] + b"what is this\nnot a code\n" + data[at + 7 :]
    source = read_source(broken, "slab.dxf")
    assert [notice.code for notice in source.notices] == ["drawing-mended"]
    assert "could not be read" in source.notices[0].text
    assert [(left.kind, left.why) for left in source.left_out] == [("CIRCLE", "damaged")]
    assert _area(broken) == 12.0


def test_cut_off_file_gives_no_figures() -> None:
    """A file that breaks off is a fault with the line and what was read before it, not an area."""
    data = dxf(lambda model: lines(model, *SQUARE, closed=True))
    cut = data[: data.index(b"ENDSEC", data.index(b"ENTITIES")) - 30]
    with pytest.raises(DrawingFileError) as caught:
        read_source(cut, "slab.dxf")
    fault = caught.value.faults[0]
    assert fault.code == "drawing-cut-off"
    assert "breaks off at line" in fault.text
    assert "4 entities" in fault.text
    assert len(read_source(cut, "slab.dxf", damaged=True).strokes) == 3


def test_cut_off_after_the_line_work_is_no_loss() -> None:
    """What comes after the entities holds no line work."""
    data = dxf(lambda model: lines(model, *SQUARE, closed=True))
    assert _area(data[: data.index(b"OBJECTS") + 400]) == 12.0


def test_missing_end_mark_alone_is_no_loss() -> None:
    """A file whose sections are closed may lack its end mark."""
    data = dxf(lambda model: lines(model, *SQUARE, closed=True))
    assert _area(data[: data.rindex(b"  0\nEOF")]) == 12.0


def test_group_can_be_put_back() -> None:
    """A group that was put back comes again."""
    stream = GroupStream(groups(entities((0, "LINE"), (0, "ARC")), Damage()))
    first = next(stream)
    stream.put_back(first)
    assert next(stream) is first
    assert [group.kind for group in stream] == ["LINE", "ARC", "ENDSEC"]


def test_many_polylines_without_end() -> None:
    """POLYLINEs that lack their SEQEND follow one another without nesting the reader in itself."""
    one = [(0, "POLYLINE"), (70, 1)]
    for x, y in SQUARE:
        one += [(0, "VERTEX"), (10, x), (20, y)]
    source = read_source(entities(*(one * 3000)), "slab.dxf")
    assert len(source.strokes) == 3000

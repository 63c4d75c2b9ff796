"""Hostile and damaged files: bounded time and memory, words instead of tracebacks."""

from __future__ import annotations

import random
import time
import warnings
from pathlib import Path

import pytest
from foreign.made import dxf, entities
from outside import DATA

from floorplan.errors import DrawingFileError, FloorplanError
from floorplan.foreign import reader
from floorplan.foreign.drawing import find_loops
from floorplan.foreign.noding import MOST_PAIRS
from floorplan.foreign.reader import load_source, read_source

SMALL = sorted(path for path in (DATA / "dxf").glob("*.dxf") if path.stat().st_size < 30_000)
OTHERS = (
    b'{"type": "FeatureCollection", "units": "m", "features": [{"type": "Feature", "properties": {"name": 1},'
    b' "geometry": {"type": "Polygon", "coordinates": [[[0, 0], [8, 0], [8, 6], [0, 0]]]}}]}',
    b"CURVEPOLYGON (COMPOUNDCURVE ((0 0, 4 0), CIRCULARSTRING (4 0, 5 1, 4 2), (4 2, 0 2, 0 0)))",
    b"name,x,y,ring\nA,0,0,1\nB,12' 6\",0,1\nC,12' 6\",9',1\n",
    b'<svg xmlns="http://www.w3.org/2000/svg" width="200mm" viewBox="0 0 200 100"><g transform="rotate(30)">'
    b'<path d="M0 0 h100 a5 6 0 0 1 3 9 c1 2 3 4 5 6 s1 2 3 4 q1 2 3 4 t1 2 z"/><circle r="4"/></g></svg>',
)
WORDS = (b"nan", b"1e300", b"-1e308", b"inf", b"0", b"-1", b"99999999999", b"ENDSEC", b"SECTION", b" 10",
         b" 42", b"POLYLINE", b"SPLINE", b"INSERT", b"ELLIPSE", b"HATCH", b"")  # fmt: skip


def _mutated(data: bytes, dice: random.Random) -> bytes:
    """Bytes changed, cut, repeated, dropped, or lines replaced by hard words, after the first 60 bytes."""
    mess = bytearray(data)
    for _ in range(dice.choice((1, 2, 5, 20))):
        if len(mess) < 70:
            break
        at = dice.randrange(60, len(mess))
        match dice.randrange(6):
            case 0:
                mess[at] = dice.randrange(256)
            case 1:
                del mess[at : at + dice.randrange(1, 60)]
            case 2:
                mess[at:at] = bytes(dice.randrange(256) for _ in range(dice.randrange(1, 9)))
            case 3:
                lines = mess.split(b"\n")
                lines[dice.randrange(len(lines))] = dice.choice(WORDS)
                mess = bytearray(b"\n".join(lines))
            case 4:
                other = dice.randrange(60, len(mess))
                mess[at:at] = mess[min(at, other) : max(at, other)][:3000]
            case 5:
                del mess[at:]
    return bytes(mess)


def _try(data: bytes) -> None:
    """Read and join; whatever a file can cause must be a fault in words."""
    try:
        source = read_source(data, "mess.dxf", damaged=True)
        drawing = find_loops(source, snap=0.1)
        if source.hatches is not None:
            find_loops(source, hatches=True)
        for k in drawing.outlines()[:3]:
            drawing.crossing(k)
    except FloorplanError as error:
        assert str(error)


def _fuzz(count: int, seed: int) -> None:
    dice = random.Random(seed)
    bases = [path.read_bytes() for path in SMALL] + list(OTHERS)
    for n in range(count):
        data = _mutated(dice.choice(bases), dice)
        with warnings.catch_warnings():
            warnings.simplefilter("error", RuntimeWarning)
            try:
                _try(data)
            except Exception as error:
                Path("mess.bin").write_bytes(data)
                raise AssertionError(f"seed {seed}, case {n}, bytes in mess.bin: {error!r}") from error


def test_mutated_files_give_no_traceback(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Random damage to real files and to the other formats ends in a result or in words."""
    monkeypatch.chdir(tmp_path)
    _fuzz(250, 20270504)


@pytest.mark.slow
def test_many_mutated_files_give_no_traceback(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The same, ten thousand times."""
    monkeypatch.chdir(tmp_path)
    _fuzz(10_000, 7)


@pytest.mark.parametrize("path", SMALL, ids=lambda p: p.name)
def test_files_cut_off_anywhere(path: Path) -> None:
    """Every twentieth of a file cut off: a fault or a result, never a traceback."""
    data = path.read_bytes()
    for part in range(1, 20):
        _try(data[: len(data) * part // 20])


def test_file_too_large_is_refused_unread(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file over the limit is refused by its size, with what to do."""
    monkeypatch.setattr(reader, "LARGEST_BYTES", 1_000_000)
    path = tmp_path / "site.dxf"
    path.write_bytes(b"0\nSECTION\n" * 120_000)
    with pytest.raises(DrawingFileError) as caught:
        load_source(path)
    fault = caught.value.faults[0]
    assert fault.code == "file-too-big"
    assert "at most 1 million" in fault.text
    assert "layers of the slab alone" in fault.hint


def test_limit_is_below_two_hundred_megabytes(tmp_path: Path) -> None:
    """A file of 200 MB (a hole on disk) is refused in no time."""
    path = tmp_path / "huge.dxf"
    with path.open("wb") as file:
        file.write(b"  0\nSECTION\n")
        file.truncate(200_000_000)
    start = time.perf_counter()
    with pytest.raises(DrawingFileError, match="200 million bytes"):
        load_source(path)
    assert time.perf_counter() - start < 0.5


def test_dense_crossings_are_refused() -> None:
    """Three thousand lines across three thousand others are refused as too tangled, in bounded time."""
    tags: list[tuple[int, object]] = []
    for k in range(3000):
        tags += [(0, "LINE"), (10, k), (20, 0), (11, k), (21, 3000)]
        tags += [(0, "LINE"), (10, 0), (20, k), (11, 3000), (21, k)]
    source = read_source(entities(*tags), "grid.dxf")
    start = time.perf_counter()
    with pytest.raises(DrawingFileError) as caught:
        find_loops(source)
    assert caught.value.faults[0].code == "drawing-tangled"
    assert f"{MOST_PAIRS:,}" in caught.value.faults[0].text
    assert time.perf_counter() - start < 30.0


def test_many_rings_in_one_another_are_refused() -> None:
    """Four thousand concentric circles stand in one another in eight million ways: refused in words."""
    tags: list[tuple[int, object]] = []
    for k in range(1, 4000):
        tags += [(0, "CIRCLE"), (10, 0), (20, 0), (40, k)]
    with pytest.raises(DrawingFileError, match="stand in one another"):
        find_loops(read_source(entities(*tags), "target.dxf"))


def test_long_comb_of_dangles() -> None:
    """Fifty thousand free ends are dropped one after the other without counting all anew each time."""
    tags: list[tuple[int, object]] = []
    for k in range(20_000):
        tags += [(0, "LINE"), (10, k), (20, 0), (11, k + 1), (21, 0)]
    start = time.perf_counter()
    drawing = find_loops(read_source(entities(*tags), "comb.dxf"))
    assert drawing.outlines() == []
    assert time.perf_counter() - start < 10.0


def test_huge_numbers_stay_quiet() -> None:
    """Insert scales and coordinates near the largest float cause neither a warning nor a figure."""
    data = dxf(lambda m: m.add_circle((0, 0), 1)).replace(b"1.0\n", b"1e308\n")
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        _try(data)


def test_nested_json_and_wkt_end_in_words() -> None:
    """A hundred thousand brackets are refused, not followed to the end of the stack."""
    for data in (
        b'{"type": "Polygon", "coordinates": ' + b"[" * 100_000,
        b"GEOMETRYCOLLECTION(" * 100_000,
        b"<svg xmlns='http://www.w3.org/2000/svg'>" + b"<g>" * 5_000,
    ):
        with pytest.raises(FloorplanError):
            read_source(data, "deep.json")

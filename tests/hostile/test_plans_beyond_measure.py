"""Plans of the right form with figures beyond all floors: finite results or words, in bounded time."""

from __future__ import annotations

import io
import json
import math
import struct
import time
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from command_runs import run
from fuzz.targets import png
from PIL import Image

import floorplan
from floorplan.drawing.logo import logo_marks
from floorplan.errors import FloorplanError, SheetError
from floorplan.foreign.reader import read_source
from floorplan.report.contract import takeoff_document

SLAB = """title = "x"
units = "m"
{head}
[[slab]]
system = "clear-seal"
surface = "trowelled"
outline = '''
{outline}
'''
{more}
"""
SQUARE = "0, 0 | wall\n9, 0 | open\n9, 9 | wall\n0, 9 | open"

HUGE = [
    "1e308",
    "9" * 400,
    "1e999",
    "nan",
    "inf",
    "-inf",
    "1e15",
    "1e9",
    "1e-300",
    "1e-9",
    "-0.0",
    "0x1p9",
    "1_000",
]


def numbers(document: Any) -> Iterator[float]:
    """Every number of a document."""
    if isinstance(document, dict):
        for value in document.values():
            yield from numbers(value)
    elif isinstance(document, list | tuple):
        for value in document:
            yield from numbers(value)
    elif isinstance(document, float):
        yield document


def outcome(text: str) -> str:
    """`words` for faults, `drawn` for a plan that goes all the way with finite figures."""
    try:
        plan = floorplan.read(text, name="x.toml")
        takeoff = floorplan.takeoff(plan)
        assert all(map(math.isfinite, numbers(takeoff_document(takeoff))))
        floorplan.materials(plan, takeoff)
        for sheet in ("estimator", "crew", "customer"):
            assert b"nan" not in floorplan.draw(plan, takeoff, sheet=sheet)[0].lower().split(b"<title")[0]
        floorplan.draw(plan, takeoff, format="dxf")
    except FloorplanError as error:
        assert error.faults
        assert all(fault.text for fault in error.faults)
        return "words"
    return "drawn"


@pytest.mark.parametrize("number", HUGE)
@pytest.mark.parametrize(
    ("outline", "more", "head"),
    [
        ("0, 0 | wall\n{n}, 0 | open\n{n}, 9 | wall\n0, 9 | open", "", ""),
        ("0, 0 | open, arc rise {n} out\n9, 0 | open\n9, 9 | open", "", ""),
        (SQUARE, '[[slab.cutout]]\nkind = "post"\nat = "4, 4"\nround = "{n}"', ""),
        (SQUARE, '[[slab.cutout]]\nkind = "post"\nat = "{n}, 4"\nsize = "1 x 1"', ""),
        (SQUARE, '[[slab.joint]]\nkind = "crack"\nwidth = "{n}"\nlines = "0, 1 -> 9, {n}"', ""),
        (SQUARE, '[[slab.joint]]\nkind = "groove"\nspacing = "{n} x {n}"', ""),
        (SQUARE, '[[slab.face]]\nside = "A-B"\nheight = "{n}"', ""),
        (SQUARE, '[[steps]]\nwidth = "{n}"\ntreads = 3\ntread = "{n}"\nriser = "1"', ""),
        (SQUARE, "", '[grinder]\nhead = "{n}"\ngap = "{n}"\nband = "{n}"\noverhang = "{n}"'),
        (SQUARE, "", '[sheet]\nscale = "1:{n}"\nnorth = "{n}"'),
        (SQUARE, "", '[rules]\nignore_below = "{n} m2"'),
    ],
)
def test_figures_beyond_all_floors(outline: str, more: str, head: str, number: str) -> None:
    """Wherever a number may stand: finite figures or words."""
    text = SLAB.format(outline=outline, more=more, head=head).replace("{n}", number)
    start = time.monotonic()
    assert outcome(text) in ("words", "drawn")
    assert time.monotonic() - start < 60


@pytest.mark.parametrize(
    "outline",
    [
        "0, 0 | wall\n9, 0 | wall",
        "0, 0\n0, 0\n0, 0",
        "0, 0\n9, 0\n4, 0",
        "0, 0\n9, 9\n9, 0\n0, 9",
        "0, 0\n1e-7, 0\n1e-7, 1e-7",
        "0, 0\n9, 0\n9, 9\n4, 9\n4, 0\n0, 0.000001",
        "1000000, 1000000\n1000009, 1000000\n1000009, 1000009",
    ],
)
def test_outlines_that_are_hardly_floors(outline: str) -> None:
    """Lines, points, bow ties, specks, necks of no width, survey coordinates."""
    assert outcome(SLAB.format(outline=outline, more="", head="")) in ("words", "drawn")


def chunk(name: bytes, body: bytes) -> bytes:
    """A part of a PNG with its check sum."""
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


def bomb(across: int, down: int, rows: bytes) -> bytes:
    """A PNG that says one size and holds something else."""
    head = struct.pack(">IIBBBBB", across, down, 8, 0, 0, 0, 0)
    body = chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows, 9)) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + body


LOGOS = {
    "nothing": b"",
    "words": b"this is no picture",
    "a program": b"\x7fELF" + bytes(200),
    "a photo": b"\xff\xd8\xff\xe0" + bytes(200),
    "half a PNG": png(40, 30)[:60],
    "a PNG with a wrong sum": png(40, 30)[:-6] + b"\0\0\0\0\0\0",
    "a PNG of 4 thousand million pixels": bomb(2**31 - 1, 2**31 - 1, b""),
    "a PNG with far too little in it": bomb(6000, 6000, b"\0"),
    "a PNG that unpacks to 200 MB": bomb(5, 5, bytes(200_000_000)),
    "entities": b'<!DOCTYPE s [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;">]><svg><desc>&b;</desc></svg>',
    "a fetched picture": b'<svg xmlns="http://www.w3.org/2000/svg"><image href="http://example.invalid/x"/></svg>',
    "a script": b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>',
    "depth": b'<svg xmlns="http://www.w3.org/2000/svg">' + b"<g>" * 3000 + b"</g>" * 3000 + b"</svg>",
    "hidden entities": '<!DOCTYPE s [<!ENTITY a "x">]><svg>&a;</svg>'.encode("utf-16"),
}


@pytest.mark.parametrize("form", ["svg", "pdf", "png"])
@pytest.mark.parametrize("name", LOGOS)
def test_logo_that_is_none(name: str, form: str, tmp_path: Path) -> None:
    """A logo that is no picture, or a bomb, is refused in words, or drawn, in bounded time and memory."""
    (tmp_path / "logo.png").write_bytes(LOGOS[name])
    plan = tmp_path / "plan.toml"
    plan.write_text(SLAB.format(outline=SQUARE, more="", head='[sheet]\nlogo = "logo.png"'))
    start = time.monotonic()
    done = run("draw", str(plan), "-o", str(tmp_path / f"sheet.{form}"), "--sheet", "customer")
    assert done.exit_code in (0, 1)
    if done.exit_code:
        assert "logo" in done.stderr
        assert not (tmp_path / f"sheet.{form}").exists()
    assert time.monotonic() - start < 60


@pytest.mark.parametrize("data", LOGOS.values(), ids=LOGOS)
def test_logo_is_taken_or_refused(data: bytes) -> None:
    """The reader of logos itself raises nothing else."""
    try:
        logo_marks(data, 0.0, 0.0, 40.0, 15.0)
    except SheetError as error:
        assert error.faults[0].code == "logo-unusable"


@pytest.mark.slow
def test_million_corners(tmp_path: Path) -> None:
    """A million corners are read and taken off, with the closed form's area."""
    count = 1_000_000
    plan = tmp_path / "big.toml"
    radius = 50.0
    turns = [2.0 * math.pi * k / count for k in range(count)]
    outline = "\n".join(f"{radius * math.cos(t):.9f}, {radius * math.sin(t):.9f}|open" for t in turns)
    plan.write_text(SLAB.format(outline=outline, more="", head=""))
    done = run("takeoff", str(plan), "--json")
    assert done.exit_code == 0, done.stderr[:500]
    exact = 0.5 * count * radius**2 * math.sin(2.0 * math.pi / count)
    assert json.loads(done.stdout)["totals"]["net_area_m2"] == pytest.approx(exact, rel=1e-6)


@pytest.mark.parametrize("mode", ["1", "L", "P", "RGB", "RGBA", "LA", "I;16"])
@pytest.mark.parametrize("size", [(1, 1), (7, 5), (33, 20)])
def test_whole_pngs_are_taken(mode: str, size: tuple[int, int]) -> None:
    """Every colour type and depth that a common library writes counts as complete."""
    stream = io.BytesIO()
    Image.new(mode, size).save(stream, "PNG")
    assert logo_marks(stream.getvalue(), 0.0, 0.0, 40.0, 15.0)


def test_interlaced_png_is_taken() -> None:
    """Passes of a 3 x 3 grey picture (PNG, 8.2): rows of 1, 1, 2, 1, 1 and 3 pixels."""
    rows = b"".join(b"\0" + bytes(width) for width in (1, 1, 2, 1, 1, 3))
    head = struct.pack(">IIBBBBB", 3, 3, 8, 0, 0, 0, 1)
    body = chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")
    data = b"\x89PNG\r\n\x1a\n" + body
    Image.open(io.BytesIO(data)).load()
    assert logo_marks(data, 0.0, 0.0, 40.0, 15.0)
    short = chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows[:-1])) + chunk(b"IEND", b"")
    with pytest.raises(SheetError):
        logo_marks(b"\x89PNG\r\n\x1a\n" + short, 0.0, 0.0, 40.0, 15.0)


def test_entities_in_another_coding_are_refused() -> None:
    """Growing entities written as UTF-16 do not pass by unseen, in a logo or in a drawing."""
    laughs = "".join(f'<!ENTITY a{k} "{f"&a{k - 1};" * 9}">' for k in range(1, 12))
    text = f'<!DOCTYPE svg [<!ENTITY a0 "x">{laughs}]><svg xmlns="http://www.w3.org/2000/svg">&a11;</svg>'
    for coding in ("utf-8", "utf-16", "utf-16-be"):
        data = text.encode(coding)
        with pytest.raises(SheetError):
            logo_marks(data, 0.0, 0.0, 40.0, 15.0)
        with pytest.raises(FloorplanError):
            read_source(data, "slab.svg")

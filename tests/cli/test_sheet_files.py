"""Pages of a sheet on disk: names, and old pages that must not stay as if they were valid."""

from __future__ import annotations

from pathlib import Path

import pytest
from command_runs import run

SMALL = """[[slab]]
system = "clear-seal"
outline = '''
0, 0 | wall
10', 0 | open
10', 10' | open
0, 10' | open
'''
"""
LARGE = SMALL.replace("10'", "200'")


@pytest.mark.parametrize("form", ["svg", "png"])
def test_sheet_that_gets_shorter_leaves_no_old_pages(tmp_path: Path, form: str) -> None:
    """Old pages go and are named; files of other makers and other sheets stay, whatever their name."""
    plan, sheet = tmp_path / "plan.toml", tmp_path / f"crew.{form}"
    plan.write_text(LARGE)
    asked = ("--paper", "tabloid", "--scale", "1:100")
    assert run("draw", str(plan), "-o", str(sheet), *asked).exit_code == 0
    pages = sorted(path.name for path in tmp_path.glob(f"crew*.{form}"))
    assert f"crew-3.{form}" in pages
    plan.write_text(SMALL)
    strange = tmp_path / f"crew-77.{form}"
    strange.write_bytes(b"<svg>not ours</svg>")
    own = tmp_path / f"crew-78.{form}"
    assert run("draw", str(plan), "-o", str(own), "--sheet", "customer").exit_code == 0
    renamed = tmp_path / f"crew-79.{form}"
    renamed.write_bytes((tmp_path / f"crew-2.{form}").read_bytes())
    done = run("draw", str(plan), "-o", str(sheet))
    assert done.exit_code == 0
    left = {path.name for path in tmp_path.glob(f"crew*.{form}")}
    assert {sheet.name, strange.name, own.name, renamed.name} <= left
    written = {line.split()[1].rpartition("/")[2] for line in done.stderr.splitlines() if "wrote" in line}
    assert left - written == {strange.name, own.name, renamed.name}
    assert "crew-3" in done.stderr and "which is no longer part of it" in done.stderr


def test_faulty_plan_takes_no_page_away(tmp_path: Path) -> None:
    """A plan with faults changes nothing on disk."""
    plan, sheet = tmp_path / "plan.toml", tmp_path / "crew.svg"
    plan.write_text(LARGE)
    assert run("draw", str(plan), "-o", str(sheet), "--scale", "1:100").exit_code == 0
    before = {path: path.read_bytes() for path in tmp_path.glob("crew*")}
    plan.write_text("[[slab]]\n")
    assert run("draw", str(plan), "-o", str(sheet)).exit_code == 1
    assert before == {path: path.read_bytes() for path in tmp_path.glob("crew*")}


def test_packet_that_gets_shorter_leaves_no_old_pages(tmp_path: Path) -> None:
    """Every sheet of the packet loses the pages that it no longer has."""
    plan, packet = tmp_path / "plan.toml", tmp_path / "packet"
    plan.write_text(LARGE)
    assert run("packet", str(plan), "-o", str(packet), "--scale", "1:100").exit_code == 0
    plan.write_text(SMALL)
    (packet / "crew-9 notes.svg").write_text("mine")
    done = run("packet", str(plan), "-o", str(packet))
    assert done.exit_code == 0, done.stderr
    written = {line.split()[1].rpartition("/")[2] for line in done.stderr.splitlines() if "wrote" in line}
    assert {path.name for path in packet.iterdir()} - written == {"crew-9 notes.svg"}


def test_packet_of_other_options_leaves_no_old_files(tmp_path: Path) -> None:
    """Sheets of a format no longer asked for and the calendar of a plan without a date go, and no more."""
    plan, packet = tmp_path / "plan.toml", tmp_path / "packet"
    plan.write_text(SMALL + "[work]\nstart = '2027-05-03 07:00'\n")
    asked = [part for form in ("svg", "pdf", "png") for part in ("--format", form)]
    assert run("packet", str(plan), "-o", str(packet), *asked).exit_code == 0
    before = {path.name for path in packet.iterdir()}
    assert {"work.ics", "crew.pdf", "crew.png", "crew.svg"} <= before
    plan.write_text(SMALL)
    done = run("packet", str(plan), "-o", str(packet), "--format", "svg")
    left = {path.name for path in packet.iterdir()}
    gone = {name for name in before if name.endswith((".pdf", ".png", ".ics"))}
    assert left == before - gone
    assert all(f"{name}, which is no longer part of it" in done.stderr for name in gone)


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("work.ics", b"BEGIN:VCALENDAR\r\nPRODID:-//elsewhere//EN\r\nSUMMARY:ask floorplan\r\n"),
        ("crew.pdf", b"%PDF-1.4\n<< /Title (floorplan of the shed) /Creator (elsewhere) >>\n"),
        ("crew.png", b"\x89PNG\r\n\x1a\n floorplan"),
        ("customer.pdf", b"/Creator (floorplan sketches by hand)"),
    ],
)
def test_packet_never_takes_a_users_file_away(tmp_path: Path, name: str, data: bytes) -> None:
    """A file of a name that the packet may use stays when it was made elsewhere, even if it names us."""
    plan, packet = tmp_path / "plan.toml", tmp_path / "packet"
    plan.write_text(SMALL)
    packet.mkdir()
    (packet / name).write_bytes(data)
    assert run("packet", str(plan), "-o", str(packet)).exit_code == 0
    assert (packet / name).read_bytes() == data

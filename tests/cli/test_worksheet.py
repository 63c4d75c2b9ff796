"""`floorplan worksheet`."""

from __future__ import annotations

from pathlib import Path

import pytest
from command_runs import PATIO, run

HALF = """units = "ft-in"
[[slab]]
name = "Patio"
system = "outdoor-full-flake"
[slab.tape]
corners = "A B C D"
turning = "clockwise"
lengths = \"\"\"
A-B 20' | wall
B-C 15'
\"\"\"
"""


@pytest.mark.parametrize("name", ["site.pdf", "site.svg", "site.png"])
def test_blank_sheet_in_every_format(tmp_path: Path, name: str) -> None:
    """A blank sheet needs no plan and is written in the format of its name."""
    done = run("worksheet", "-o", str(tmp_path / name), "--corners", "6")
    assert done.exit_code == 0, done.stderr
    start = {"pdf": b"%PDF", "svg": b"<", "png": b"\x89PNG"}[name.rsplit(".", 1)[1]]
    assert (tmp_path / name).read_bytes().startswith(start)
    assert done.stdout == ""


def test_part_taped_plan_names_what_to_tape(tmp_path: Path) -> None:
    """A plan that cannot be measured yet still gets its sheet, and the lengths to tape are told."""
    plan = tmp_path / "half.toml"
    plan.write_text(HALF, encoding="utf-8")
    done = run("worksheet", str(plan), "-o", str(tmp_path / "site.svg"))
    assert done.exit_code == 0, done.stderr
    assert "Patio: tape C-D, D-A, B-D" in done.stderr or "Patio: tape C-D, D-A, A-C" in done.stderr
    assert (tmp_path / "site-2.svg").exists()


def test_measured_plan_and_stdin(tmp_path: Path) -> None:
    """A typed plan has a sheet to measure it anew; `-` reads and prints."""
    assert run("worksheet", PATIO, "--anew", "-o", str(tmp_path / "a.svg")).exit_code == 0
    done = run("worksheet", "-", "-o", "-", stdin=HALF)
    assert done.exit_code == 0
    assert done.stdout.lstrip().startswith("<")


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("-o", "site.txt"), "end the name in .svg, .pdf, .png"),
        (("--anew", "-o", "site.pdf"), "--anew goes with a plan"),
        ((PATIO, "--corners", "5", "-o", "site.pdf"), "a plan has its own"),
        (("--corners", "500", "-o", "site.pdf"), "500"),
    ],
)
def test_wrong_usage(arguments: tuple[str, ...], says: str) -> None:
    """Wrong usage ends with 2 and says what would be right."""
    done = run("worksheet", *arguments)
    assert done.exit_code == 2
    assert says in done.stderr


def test_unknown_paper(tmp_path: Path) -> None:
    """A paper that is not known ends with 1 and a list of those that are."""
    done = run("worksheet", "-o", str(tmp_path / "site.pdf"), "--paper", "foolscap")
    assert done.exit_code == 1
    assert "foolscap" in done.stderr
    assert not list(tmp_path.iterdir())


def test_foreign_file_is_not_written_over(tmp_path: Path) -> None:
    """A file that the tool did not make stays."""
    target = tmp_path / "site.svg"
    target.write_text("mine", encoding="utf-8")
    done = run("worksheet", "-o", str(target))
    assert done.exit_code == 1
    assert target.read_text(encoding="utf-8") == "mine"

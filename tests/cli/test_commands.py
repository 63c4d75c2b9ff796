"""Every command does its job on the samples, and answers bad input in words with the right exit code."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import click
import pytest
from command_runs import GARAGE, PATIO, POOL, run

from floorplan_cli.main import COMMANDS, cli

BAD_PLAN = """
title = "Bad"
units = "ft-in"
[[slab]]
name = "S"
system = "outdoor-full-flake"
outline = \"\"\"
A 0, 0     | wall
B 10', 0   | wahl
C 10', 8'' | open
\"\"\"
"""


@pytest.mark.parametrize("name", COMMANDS)
def test_help_has_a_plain_line_and_an_example(name: str) -> None:
    """Help of each command says what it does and shows a command that can be typed."""
    result = run(name, "--help")
    assert result.exit_code == 0
    assert "Example: floorplan " + name in result.stdout


@pytest.mark.parametrize("name", COMMANDS)
def test_list_of_commands_says_what_each_says_itself(name: str) -> None:
    """The line in the list is the command's own help, which the list does not load."""
    command = cli.get_command(click.Context(cli), name)
    assert command is not None
    assert command.get_short_help_str(limit=1000) == COMMANDS[name][1]


@pytest.mark.parametrize("plan", [PATIO, GARAGE, POOL])
def test_takeoff_json_has_totals_that_are_sums(plan: str) -> None:
    """Totals of the JSON document are the sums of its slabs."""
    result = run("takeoff", plan, "--json")
    assert result.exit_code == 0
    document = json.loads(result.stdout)
    net = sum(slab["net_area_m2"] for slab in document["slabs"])
    assert document["totals"]["net_area_m2"] == pytest.approx(net, rel=1e-12)
    assert result.stderr == ""


def test_takeoff_text_fits_a_terminal() -> None:
    """The text takeoff is one screen wide and as high as a page."""
    result = run("takeoff", PATIO)
    lines = result.stdout.splitlines()
    assert max(map(len, lines)) <= 100
    assert len(lines) <= 45


def test_plan_from_standard_input() -> None:
    """A plan named - is read from standard input and gives the same figures."""
    text = Path(PATIO).read_text(encoding="utf-8")
    assert run("takeoff", "-", "--json", stdin=text).stdout == run("takeoff", PATIO, "--json").stdout


def test_faults_name_line_and_cure_and_write_nothing(tmp_path: Path) -> None:
    """All faults of a plan are told with file and line, on stderr, with exit code 1."""
    plan = tmp_path / "bad.toml"
    plan.write_text(BAD_PLAN)
    target = tmp_path / "out"
    result = run("packet", str(plan), "-o", str(target))
    assert result.exit_code == 1
    assert result.stdout == ""
    assert "bad.toml:9:" in result.stderr and "wahl" in result.stderr
    assert "bad.toml:10:" in result.stderr and "8''" in result.stderr
    assert not target.exists()


def test_missing_plan_is_a_fault_in_words(tmp_path: Path) -> None:
    """A plan that is not there ends with exit code 1 and its name."""
    result = run("takeoff", str(tmp_path / "none.toml"))
    assert result.exit_code == 1
    assert "none.toml" in result.stderr


def test_wrong_command_offers_the_nearest() -> None:
    """A mistyped command is answered with exit code 2 and the nearest name."""
    result = run("takeof", PATIO)
    assert result.exit_code == 2
    assert "takeoff" in result.stderr


def test_strict_turns_warnings_into_faults(tmp_path: Path) -> None:
    """A side of unknown kind is a warning, and a fault under --strict."""
    plan = tmp_path / "plan.toml"
    plan.write_text(
        'title = "T"\nunits = "ft-in"\n[[slab]]\nname = "S"\nsystem = "outdoor-full-flake"\n'
        'outline = """\nA 0, 0\nB 20\', 0 | wall\nC 20\', 12\' | open\nD 0, 12\' | open\n"""\n'
    )
    relaxed = run("takeoff", str(plan))
    assert relaxed.exit_code == 0 and "warning" in relaxed.stderr
    strict = run("takeoff", str(plan), "--strict")
    assert strict.exit_code == 1 and strict.stdout == ""


def test_materials_csv_has_a_row_for_each_item() -> None:
    """The CSV list and the JSON list hold the same items."""
    rows = list(csv.reader(io.StringIO(run("materials", PATIO, "--csv").stdout)))
    items = json.loads(run("materials", PATIO, "--json").stdout)["items"]
    assert [item["item"] for item in items] == [row[0] for row in rows[-len(items) :]]


@pytest.mark.parametrize("plan", [PATIO, GARAGE, POOL])
def test_packet_holds_sheets_takeoff_and_lists(plan: str, tmp_path: Path) -> None:
    """The main job writes every sheet, the takeoff and the lists; a second run gives the same bytes."""
    first, second = tmp_path / "1", tmp_path / "2"
    assert run("packet", plan, "-o", str(first)).exit_code == 0
    assert run("packet", plan, "-o", str(second)).exit_code == 0
    names = {path.name for path in first.iterdir()}
    assert {"crew.svg", "estimator.svg", "customer.svg", "takeoff.json", "materials.csv"} <= names
    for name in names:
        assert (first / name).read_bytes() == (second / name).read_bytes()
    assert run("packet", plan, "-o", str(first)).exit_code == 0


def test_packet_refuses_to_replace_other_files(tmp_path: Path) -> None:
    """A file of the same name that floorplan did not make stays, and nothing else is written."""
    (tmp_path / "crew.svg").write_text("my own drawing")
    result = run("packet", PATIO, "-o", str(tmp_path))
    assert result.exit_code == 1 and "crew.svg" in result.stderr
    assert [p.name for p in tmp_path.iterdir()] == ["crew.svg"]


@pytest.mark.parametrize("suffix", ["svg", "pdf", "png", "dxf"])
def test_draw_chooses_the_format_by_suffix(suffix: str, tmp_path: Path) -> None:
    """Each format is recognisable by its first bytes, and may be written again."""
    target = tmp_path / f"crew.{suffix}"
    assert run("draw", PATIO, "-o", str(target)).exit_code == 0
    assert run("draw", PATIO, "-o", str(target)).exit_code == 0
    start = target.read_bytes()[:400]
    assert {"svg": b"<svg", "pdf": b"%PDF-", "png": b"\x89PNG", "dxf": b"SECTION"}[suffix] in start


def test_draw_unknown_suffix_is_wrong_usage() -> None:
    """A suffix that no renderer knows is wrong usage."""
    assert run("draw", PATIO, "-o", "crew.docx").exit_code == 2


def test_new_plan_checks_without_faults(tmp_path: Path) -> None:
    """A new plan can be checked at once."""
    plan = tmp_path / "new.toml"
    assert run("new", str(plan)).exit_code == 0
    assert run("check", str(plan)).exit_code == 0
    assert run("new", str(plan)).exit_code == 1


def test_schema_is_one_json_document() -> None:
    """The schema is JSON and names itself."""
    assert "$schema" in json.loads(run("schema").stdout)

"""The README says what is true: commands that exist, tables that are generated, what CI runs."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import click
import pytest

import floorplan
from floorplan.plan.schema import edge_kind_reference, reference
from floorplan_cli.main import COMMANDS, cli

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"```(\w+)\n(.*?)```", README, re.DOTALL)
LINES = [line for kind, block in BLOCKS if kind == "sh" for line in block.splitlines() if line.strip()]
CALLS = [line for line in LINES if line.startswith("floorplan ")]


def _command(words: list[str]) -> tuple[click.Command, list[str]]:
    """The (sub)command that words name, and the words left."""
    command: click.Command = cli
    context = click.Context(cli)
    while isinstance(command, click.Group) and words:
        found = command.get_command(context, words[0])
        assert found is not None, f"no command {words[0]!r}"
        command, words = found, words[1:]
    return command, words


@pytest.mark.parametrize("line", CALLS)
def test_command_in_readme_parses(line: str) -> None:
    """Each command line of the README names a command and options that exist."""
    command, words = _command(shlex.split(line, comments=True)[1:])
    known = {name for option in command.params for name in option.opts}
    assert [w for w in words if w.startswith("--") and w.partition("=")[0] not in known] == []


def test_every_command_is_in_the_readme() -> None:
    """No command is left out."""
    named = {shlex.split(line, comments=True)[1] for line in CALLS}
    named |= set(re.findall(r"`floorplan (\S+?)[ `]", README))
    assert set(COMMANDS) - named == set()


def test_plan_file_reference_is_the_generated_one() -> None:
    """The tables of keys and edge kinds are those that the reader declares."""
    assert reference().strip() in README
    assert edge_kind_reference().strip() in README


def test_ci_runs_the_test_command_of_the_readme() -> None:
    """`.ci/run` holds the README's test command as it stands."""
    command = next(line for line in LINES if line.endswith("pytest"))
    assert command in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


def test_plan_in_readme_can_be_measured() -> None:
    """The example plan reads without faults and gives a floor."""
    text = next(block for kind, block in BLOCKS if kind == "toml")
    takeoff = floorplan.takeoff(floorplan.read(text))
    assert takeoff.slabs[0].net_area_m2 > 0
    assert [n.code for n in takeoff.notices if n.code == "edge-unknown"] == []


def test_python_in_readme_runs(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """The Python example runs as it stands, in the top folder."""
    monkeypatch.chdir(ROOT)
    code = next(block for kind, block in BLOCKS if kind == "python")
    exec(compile(code, "README.md", "exec"), {})
    assert float(capsys.readouterr().out) == pytest.approx(540.0 * 0.09290304, rel=1e-3)

"""A plan from a stranger reads nothing but plain files in its own folder."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

import floorplan
from floorplan.errors import FloorplanError

LOGO, FORECAST, DRAWING, SYSTEM = (
    '[sheet]\nlogo = "{}"',
    '[conditions]\nfile = "{}"',
    '[[slab]]\n[slab.dxf]\nfile = "{}"',
    'system = "{}"',
)
SLAB = '[[slab]]\noutline = """\n0, 0 | wall\n9, 0 | wall\n9, 9 | wall\n"""\n'


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A plan's folder with links out of it; beside it files that the plan must not get."""
    inside = tmp_path / "jobs"
    inside.mkdir()
    (tmp_path / "secret.toml").write_text('extends = "clear-seal"\ntitle = "SECRET"\n')
    (tmp_path / "extra.toml").write_text("add_on = true\n" + 'extends = "clear-seal"\ntitle = "SECRET"\n')
    (tmp_path / "secret.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg"><rect width="3" height="3"/></svg>'
    )
    (tmp_path / "secret.csv").write_text("time,air (F),humidity (%)\n2027-05-04 07:00,62,80\n")
    (inside / "link").symlink_to(tmp_path)
    (inside / "out.toml").symlink_to(tmp_path / "secret.toml")
    (inside / "round.toml").symlink_to("round.toml")
    return inside


def fault_of(folder: Path, text: str) -> str:
    """The code of the first fault that the plan gives."""
    plan = folder / "plan.toml"
    plan.write_text(text, encoding="utf-8")
    with pytest.raises(FloorplanError) as caught:
        floorplan.load(plan)
    assert "SECRET" not in str(caught.value)
    return caught.value.faults[0].code


@pytest.mark.parametrize(
    "name",
    [
        "../secret.toml",
        "../secret",
        "..\\\\secret.toml",
        "link/secret.toml",
        "out.toml",
        "out",
        "./out.toml",
        "/etc/hostname.toml",
        "C:\\\\secret.toml",
        "~/secret.toml",
        "x/../../secret.toml",
        "clear-seal + ../extra.toml",
        "clear-seal+link/extra.toml",
        "clear-seal + out",
    ],
)
def test_system_outside_the_folder_is_not_read(folder: Path, name: str) -> None:
    """By path, link or name, alone or as an add-on."""
    assert fault_of(folder, f'{SLAB}system = "{name}"\n') == "path-leaves-folder"


def test_system_by_links_in_a_circle_is_no_file(folder: Path) -> None:
    """A link to itself is told as what it is, on every Python."""
    assert fault_of(folder, f'{SLAB}system = "round.toml"\n') == "file-missing"


@pytest.mark.parametrize(
    "table", ['[sheet]\nlogo = "{}"', '[conditions]\nfile = "{}"', '[[slab]]\n[slab.dxf]\nfile = "{}"']
)
@pytest.mark.parametrize("name", ["../secret.svg", "link/secret.csv", "/dev/zero", "~root"])
def test_other_files_outside_the_folder_are_not_read(folder: Path, table: str, name: str) -> None:
    """Logos, forecasts and drawings likewise."""
    assert fault_of(folder, f"{SLAB}{table.format(name)}\n") == "path-leaves-folder"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system has no named pipes")
@pytest.mark.parametrize("table", [LOGO, FORECAST, SYSTEM])
def test_pipe_is_not_waited_for(folder: Path, table: str) -> None:
    """Opening a pipe that nobody writes to would wait for ever."""
    os.mkfifo(folder / "pipe.toml")
    start = time.monotonic()
    assert fault_of(folder, f"{SLAB}{table.format('pipe.toml')}\n") == "path-leaves-folder"
    assert time.monotonic() - start < 10


@pytest.mark.parametrize("table", [LOGO, FORECAST, SYSTEM])
@pytest.mark.parametrize("length", [150, 300, 5_000, 20_000])
def test_name_longer_than_any_file(folder: Path, table: str, length: int) -> None:
    """A name that no disk can hold is a fault in words."""
    assert fault_of(folder, f"{SLAB}{table.format('a' * length)}\n")


@pytest.mark.parametrize("mark", ["\\u0000", "\\u202e", "\\u001b[2J", "\\n", "\\ud800"])
def test_name_with_marks_that_steer(folder: Path, mark: str) -> None:
    """Names with control characters are refused, and do not reach the terminal."""
    assert fault_of(folder, f'{SLAB}system = "a{mark}b.toml"\n')

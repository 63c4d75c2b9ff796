"""Files are written whole or not at all, and never over somebody else's work."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from floorplan_cli import output
from floorplan_cli.output import OutputRefused, write_files

OURS = b'<svg class="floorplan"></svg>'


def test_write_new_file_in_new_folder(tmp_path: Path) -> None:
    """A folder that is not there is made, and nothing is left beside the file."""
    target = tmp_path / "packet" / "crew.svg"
    write_files({target: OURS})
    assert target.read_bytes() == OURS
    assert [p.name for p in target.parent.iterdir()] == ["crew.svg"]


def test_write_over_own_file(tmp_path: Path) -> None:
    """A sheet of ours is replaced without asking."""
    target = tmp_path / "crew.svg"
    write_files({target: OURS})
    write_files({target: OURS + b"\n"})
    assert target.read_bytes() == OURS + b"\n"


def test_write_over_other_file_is_refused_and_nothing_written(tmp_path: Path) -> None:
    """One strange file among the targets stops all of them."""
    strange = tmp_path / "plan.toml"
    strange.write_text("title = 'mine'")
    with pytest.raises(OutputRefused, match=r"plan\.toml: already there.*--force"):
        write_files({tmp_path / "crew.svg": OURS, strange: b"new"})
    assert strange.read_text() == "title = 'mine'"
    assert not (tmp_path / "crew.svg").exists()


def test_force_writes_over_other_file(tmp_path: Path) -> None:
    """With force the user has said so."""
    strange = tmp_path / "plan.toml"
    strange.write_text("x")
    write_files({strange: b"new"}, force=True)
    assert strange.read_bytes() == b"new"


def test_failure_while_writing_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A full disk at the second file leaves neither file nor temporary files."""
    written = []

    def full(descriptor: int) -> None:
        written.append(descriptor)
        if len(written) == 2:
            raise OSError(28, "No space left on device")

    monkeypatch.setattr(output.os, "fsync", full)
    with pytest.raises(OutputRefused, match="No space left on device"):
        write_files({tmp_path / "a.svg": OURS, tmp_path / "b.svg": OURS})
    assert list(tmp_path.iterdir()) == []


def test_folder_in_the_way_is_refused(tmp_path: Path) -> None:
    """A folder of the target's name is never replaced."""
    (tmp_path / "crew.svg").mkdir()
    with pytest.raises(OutputRefused):
        write_files({tmp_path / "crew.svg": OURS})


def test_closed_pipe_ends_quietly() -> None:
    """`floorplan schema | head -1` prints no traceback."""
    command = f"{sys.executable} -m floorplan_cli schema | head -c 8"
    done = subprocess.run(["bash", "-c", command], capture_output=True, text=True, check=False)
    assert done.stdout == '{\n  "$sc'
    assert done.stderr == ""

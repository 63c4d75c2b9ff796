"""What a reading looked at is known afterwards, so that a later run can tell whether anything changed."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from floorplan.errors import FloorplanError
from floorplan.files.lock import take_lock
from floorplan.files.noted import MISSING, is_there, noting
from floorplan.files.text import read_bytes
from floorplan.system.reader import load_system


def test_read_file_is_noted_with_its_fingerprint(tmp_path: Path) -> None:
    """The fingerprint is of the bytes that were read, not of what stands there later."""
    path = tmp_path / "a.toml"
    path.write_bytes(b"one")
    with noting() as files:
        read_bytes(path)
        path.write_bytes(b"two")
        read_bytes(path)
    assert files == {path: hashlib.sha256(b"one").hexdigest()}


def test_missing_file_is_noted(tmp_path: Path) -> None:
    """A file that was looked for in vain counts, as its coming would change the outcome."""
    with noting() as files:
        assert not is_there(tmp_path / "a.toml")
        with pytest.raises(FloorplanError):
            read_bytes(tmp_path / "b.toml")
    assert files == {tmp_path / "a.toml": MISSING, tmp_path / "b.toml": MISSING}


def test_nothing_is_noted_outside_the_block(tmp_path: Path) -> None:
    """Work that nobody follows is not collected."""
    path = tmp_path / "a.toml"
    path.write_bytes(b"one")
    with noting() as files:
        pass
    read_bytes(path)
    assert files == {}


def test_system_found_later_in_the_user_s_folder_notes_the_nearer_place(tmp_path: Path) -> None:
    """A system of that name put beside the plan later would be taken instead: the place is noted."""
    beside, folder = tmp_path / "jobs", tmp_path / "systems"
    beside.mkdir()
    folder.mkdir()
    (folder / "ours.toml").write_text('extends = "clear-seal"\n', encoding="utf-8")
    with noting() as files:
        load_system("ours", beside, [folder])
    assert files[beside / "ours.toml"] == MISSING
    assert files[folder / "ours.toml"] != MISSING


def test_lock_is_held_by_one(tmp_path: Path) -> None:
    """A second handle on a locked file does not get it until the first is closed."""
    path = tmp_path / "lock"
    with path.open("a+b") as second:
        with path.open("a+b") as first:
            assert take_lock(first)
            assert not take_lock(second)
        assert take_lock(second)

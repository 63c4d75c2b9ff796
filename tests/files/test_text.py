"""Files that cannot be read end in words with the place, never in an exception of the system."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from floorplan.errors import DataFileError, Fault, FloorplanError
from floorplan.files.text import decode_text, read_bytes, read_text


def fault_of(path: Path | str, **options: int) -> Fault:
    """The one fault that reading the path gives."""
    with pytest.raises(FloorplanError) as caught:
        read_text(path, **options)
    (fault,) = caught.value.faults
    assert fault.place is not None
    assert fault.place.file == str(path).replace("\0", "?")
    return fault


def test_text_with_mark_and_dos_line_ends(tmp_path: Path) -> None:
    """A byte-order mark is dropped and line ends are made plain."""
    path = tmp_path / "a.toml"
    path.write_bytes(b"\xef\xbb\xbfa = 1\r\nb = '\xc2\xbd'\r\n")
    assert read_text(path) == "a = 1\nb = '½'\n"


def test_missing_file_offers_the_nearest_name(tmp_path: Path) -> None:
    """A slip in the name is met with the name that is there."""
    (tmp_path / "Rear-Patio.toml").write_text("")
    fault = fault_of(tmp_path / "rear-patoi.toml")
    assert (fault.code, fault.text) == ("file-missing", "there is no such file")
    assert fault.hint == f"did you mean {tmp_path / 'Rear-Patio.toml'}?"


def test_missing_folder_is_named(tmp_path: Path) -> None:
    """Where the folder is missing, that is said."""
    assert fault_of(tmp_path / "jobs" / "a.toml").hint == f"there is no folder {tmp_path / 'jobs'}"
    assert fault_of(tmp_path / "nothing-like-it.toml").hint == ""


def test_folder_in_place_of_a_file(tmp_path: Path) -> None:
    """A folder is not read."""
    assert fault_of(tmp_path).code == "file-is-folder"


def test_names_that_cannot_be(tmp_path: Path) -> None:
    """A null character, an endless name, a circle of links and a file for a folder are missing files."""
    loop = tmp_path / "loop"
    loop.symlink_to(loop)
    (tmp_path / "plain").write_text("")
    for path in ("a\0b", "x" * 5000, loop, tmp_path / "plain" / "a.toml"):
        assert fault_of(path).code == "file-missing"


def test_file_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Rights and faults of the disk are said in words."""

    def refuse(number: int) -> Callable[..., object]:
        def opens(*_: object) -> object:
            raise OSError(number, os.strerror(number))

        return opens

    path = tmp_path / "a.toml"
    monkeypatch.setattr(Path, "open", refuse(errno.EACCES))
    assert fault_of(path).text == "this file may not be read by you"
    monkeypatch.setattr(Path, "open", refuse(errno.EIO))
    fault = fault_of(path)
    assert (fault.code, fault.text) == ("file-unreadable", "the file cannot be read: input/output error")


def test_file_size_limit(tmp_path: Path) -> None:
    """A file of the limit is read, one byte more is a fault; an endless device ends as well."""
    path = tmp_path / "a.toml"
    path.write_bytes(b"x" * 1000)
    assert len(read_bytes(path, 1000)) == 1000
    fault = fault_of(path, limit_bytes=999)
    assert (fault.code, fault.text) == ("file-too-big", "the file is larger than 0.000999 million bytes")
    assert fault.hint.endswith("goes in as several plans")
    with pytest.raises(DataFileError):
        read_bytes("/dev/zero", 1000, error=DataFileError)


def test_bytes_that_are_not_utf8_name_line_and_column(tmp_path: Path) -> None:
    """A half in an old coding is pointed at."""
    path = tmp_path / "a.toml"
    path.write_bytes("a = 1\nb = '½ 6".encode() + b"\xbd'\n")
    fault = fault_of(path)
    assert (fault.code, fault.text) == ("file-not-utf8", "line 2 holds a byte that is not UTF-8 text")
    assert fault.place is not None
    assert (fault.place.line, fault.place.column) == (2, 9)
    assert "save the file as UTF-8" in fault.hint


def test_other_files_are_no_text() -> None:
    """UTF-16 and null characters are told apart."""
    with pytest.raises(FloorplanError) as caught:
        decode_text("a = 1".encode("utf-16"), "-")
    assert caught.value.faults[0].text == "the text is UTF-16, not UTF-8"
    with pytest.raises(FloorplanError) as caught:
        decode_text(b"a\nb\0", "-")
    fault = caught.value.faults[0]
    assert (fault.code, str(fault.place)) == ("file-not-text", "-:2")

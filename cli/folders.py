"""A folder of finished files put in place whole or not at all, keeping what is not ours in it.

The new folder is made beside the old one under a hidden name and then takes its name. A run that is killed
leaves the old folder, the new one, or, between two renames, the old one under a hidden name; `tidy` puts that
back and clears away what was not finished.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Collection, Iterable, Mapping
from contextlib import suppress
from pathlib import Path

from floorplan.errors import visible

from .output import OutputRefused, hidden, may_replace, public, refused, strange_files, write_through

_NEW, _OLD = ".part", ".old"


def write_folder(
    folder: Path, files: Mapping[str, bytes], *, force: bool = False, outdated: Collection[str] = ()
) -> None:
    """Put a folder with these files in place of the one there, if any.

    Args:
        folder: in an output folder that exists; folders above it are made.
        files: what goes into it, by name; the first is the sign that `tidy` knows our folders by.
        force: replace files of those names that the program did not make.
        outdated: names of our own files there that are no longer wanted.

    Raises:
        OutputRefused: a file there is somebody else's, or the disk or folder refuses; nothing is changed.
    """
    try:
        others = _others(folder, files, force=force, outdated=outdated)
        folder.parent.mkdir(parents=True, exist_ok=True)
        made = Path(tempfile.mkdtemp(dir=folder.parent, prefix=hidden(folder), suffix=_NEW))
    except OSError as error:
        raise refused(error, folder) from error
    try:
        for name, data in files.items():
            write_through(made / name, data)
        for other in others:
            _take_along(other, made / other.name)
        made.chmod(public(0o777))
        _exchange(made, folder, sign=next(iter(files), ""))
    except OSError as error:
        raise refused(error, folder) from error
    finally:
        shutil.rmtree(made, ignore_errors=True)


def _others(
    folder: Path, files: Mapping[str, bytes], *, force: bool, outdated: Collection[str]
) -> tuple[Path, ...]:
    """What stands in the folder and stays there."""
    if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
        raise OutputRefused(f"{visible(str(folder))}: something else of that name stands there; move it away")
    there = tuple(folder.iterdir()) if folder.is_dir() else ()
    if not force:
        strange = [path for path in there if path.name in files and not may_replace(path)]
        if strange:
            raise OutputRefused(strange_files(strange))
    return tuple(path for path in there if path.name not in files and path.name not in outdated)


def _take_along(source: Path, target: Path) -> None:
    if source.is_dir() and not source.is_symlink():
        shutil.copytree(source, target, symlinks=True, copy_function=_link)
    else:
        _link(str(source), str(target))


def _link(source: str, target: str) -> None:
    """The same file under a second name; a copy where the disk cannot do that."""
    try:
        os.link(source, target, follow_symlinks=False)
    except (OSError, NotImplementedError):
        shutil.copy2(source, target, follow_symlinks=False)


def _exchange(made: Path, folder: Path, sign: str) -> None:
    if not folder.exists():
        made.rename(folder)
        return
    old = made.with_suffix(_OLD)
    folder.rename(old)
    try:
        made.rename(folder)
    except OSError:
        old.rename(folder)
        raise
    _remove(old, sign)


def _remove(folder: Path, sign: str) -> None:
    """Remove a folder, its sign last, so that what a kill leaves of it can still be told for ours."""
    with suppress(OSError):
        for entry in folder.iterdir():
            if entry.is_dir() and not entry.is_symlink():
                shutil.rmtree(entry, ignore_errors=True)
            elif entry.name != sign:
                entry.unlink(missing_ok=True)
    shutil.rmtree(folder, ignore_errors=True)


def tidy(folders: Iterable[Path], sign: str) -> None:
    """Clear away what a killed run left beside these folders, and put back what it had moved.

    Args:
        folders: where packets go; they need not be there.
        sign: a file that every folder of ours holds; hidden folders without it, unless empty, are left.
    """
    for folder in folders:
        if not folder.parent.is_dir():
            continue
        for left in sorted(folder.parent.glob(_escaped(hidden(folder)) + "*")):
            if left.suffix not in (_NEW, _OLD) or left.is_symlink() or not left.is_dir():
                continue
            if left.suffix == _OLD and not folder.exists():
                left.rename(folder)
            elif (left / sign).is_file() or not any(left.iterdir()):
                _remove(left, sign)


def _escaped(name: str) -> str:
    return "".join(f"[{char}]" if char in "*?[" else char for char in name)

"""Streams and files: results to stdout, talk to stderr, files written whole or not at all."""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

import click

from floorplan.errors import Fault, Notice, visible

# What a file of ours holds near its start or end, by suffix; others are never written over without --force.
_OURS = {
    ".svg": b'class="floorplan"',
    ".pdf": b"floorplan",
    ".png": b"floorplan",
    ".dxf": b"floorplan",
    ".json": b'"made_by": "floorplan"',
    ".csv": b"floorplan",
    ".txt": b"floorplan",
    ".geojson": b'"made_by": "floorplan"',
    ".ics": b"floorplan",
}
_LOOK_AT = 8192


class OutputRefused(Exception):
    """A file or folder that cannot or must not be written; the text says why and what to do."""


def emit(text: str) -> None:
    """Write a result to stdout, ending in one line end."""
    with _told():
        click.echo(text if text.endswith("\n") else text + "\n", nl=False)


def emit_bytes(data: bytes) -> None:
    """Write a finished file to stdout."""
    with _told():
        click.echo(data, nl=False)


@contextlib.contextmanager
def _told() -> Iterator[None]:
    """What the system says when stdout takes no more, in words; a reader that has gone is another matter."""
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        close_stdout_quietly()
        raise OutputRefused(f"cannot print the result: {error.strerror or error}") from error


def say(text: str) -> None:
    """Tell the user something on stderr."""
    click.echo(text, err=True)


def show_faults(faults: Iterable[Fault]) -> None:
    """Each fault on stderr, the word "fault" in red on a terminal."""
    for fault in faults:
        head, mark, rest = str(fault).partition("fault: ")
        say(head + click.style(mark, fg="red", bold=True) + rest)


def show_notices(notices: Iterable[Notice]) -> None:
    """Each warning on stderr."""
    for notice in notices:
        where = f"{notice.where}: " if notice.where else ""
        say(f"{click.style('warning:', fg='yellow', bold=True)} {visible(where + notice.text)}")


def close_stdout_quietly() -> None:
    """After the reader of a pipe has gone, keep the interpreter from complaining at exit."""
    with contextlib.suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def write_files(files: Mapping[Path, bytes], *, force: bool = False) -> None:
    """Write every file whole, or none: all are put beside their targets first, then renamed.

    Raises:
        OutputRefused: a target is somebody else's file and `force` is not set, or the disk or folder refuses.
    """
    strange = [path for path in files if not (may_replace(path) or (force and not path.is_dir()))]
    if strange:
        raise OutputRefused(strange_files(strange))
    waiting: list[tuple[Path, Path]] = []
    path = Path()
    try:
        for path, data in files.items():
            path.parent.mkdir(parents=True, exist_ok=True)
            waiting.append((_beside(path, data), path))
        for temporary, path in waiting:
            temporary.replace(path)
    except OSError as error:
        raise refused(error, path) from error
    finally:
        for temporary, _ in waiting:
            temporary.unlink(missing_ok=True)
    for path, data in files.items():
        say(f"wrote {visible(str(path))} ({_size(len(data))})")


def refused(error: OSError, path: Path) -> OutputRefused:
    """What the disk or folder said, in words."""
    why = error.strerror or error
    return OutputRefused(f"cannot write {visible(str(path))}: {why}; nothing was changed there")


def strange_files(paths: Iterable[Path]) -> str:
    """Why these files are not written over."""
    names = ", ".join(visible(str(path)) for path in paths)
    return f"{names}: already there and not made by floorplan; give another name or --force"


def may_replace(path: Path) -> bool:
    """True where nothing stands, or a file that the program made.

    Raises:
        OutputRefused: it cannot be looked at.
    """
    try:
        if not path.exists():
            return True
        if not path.is_file():
            return False
        mark = _OURS.get(path.suffix.lower())
        with path.open("rb") as stream:
            head = stream.read(_LOOK_AT)
            stream.seek(max(0, path.stat().st_size - _LOOK_AT))
            return bool(mark) and (mark in head or mark in stream.read())  # type: ignore[operator]
    except OSError as error:
        raise OutputRefused(f"cannot look at {path}: {error.strerror or error}") from error


def _beside(path: Path, data: bytes) -> Path:
    import tempfile

    handle, name = tempfile.mkstemp(dir=path.parent, prefix=hidden(path), suffix=".part")
    try:
        os.close(handle)
        write_through(Path(name), data)
        # mkstemp makes files private; a sheet is to be read by others as any new file is.
        Path(name).chmod(public(0o666))
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    return Path(name)


def hidden(path: Path) -> str:
    """How the hidden name of a file or folder in the making begins; short, as it gets more letters."""
    return f".{path.name[:40]}."


def write_through(path: Path, data: bytes) -> None:
    """Write a file and force it to disk."""
    with path.open("wb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())


def public(mode: int) -> int:
    """A mode less what the user's mask takes away."""
    umask = os.umask(0)
    os.umask(umask)
    return mode & ~umask


def _size(count: int) -> str:
    return f"{count} bytes" if count < 1024 else f"{count / 1024:.0f} kB"

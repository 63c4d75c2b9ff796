"""Drawing again whenever a plan, or a file that it names, is saved.

Files are looked at a few times a second: size and time of the last change. That needs no help of the system,
works on every disk, and sees an editor that writes a new file over the old one.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from pathlib import Path

from floorplan.errors import FloorplanError, visible
from floorplan.files.noted import MISSING, fingerprint, noting
from floorplan.files.text import read_bytes

from .output import OutputRefused, say, show_faults

POLL_S = 0.2
_LARGEST = 1_000_000_000

Stamp = tuple[int, int] | None


def keep_drawing(plan: Path, draw: Callable[[], None]) -> None:
    """Draw, and again after every change, until the user ends it with Ctrl-C.

    Faults are shown and change no file, so that the last good sheet stays.

    Args:
        plan: the file to watch in any case.
        draw: reads, draws and writes.
    """
    drawn = False
    try:
        while True:
            with noting() as files:
                drawn = _drawn(draw, drawn)
            files.setdefault(plan, MISSING)
            say(f"watching {visible(str(plan))} and the files that it names; Ctrl-C ends it")
            _wait(files)
    except KeyboardInterrupt:
        say("ended")


def _drawn(draw: Callable[[], None], before: bool) -> bool:
    """Draw once more; true where a good sheet stands, `before` says whether one stood already."""
    try:
        draw()
        return True
    except FloorplanError as error:
        show_faults(error.faults)
    except (OutputRefused, OSError) as error:
        say(f"floorplan: {error}")
    say("the last good sheet stays" if before else "nothing is drawn yet")
    return before


def _wait(files: Mapping[Path, str]) -> None:
    """Return once a file is no longer what was read of it, and none has moved for a moment."""
    seen: dict[Path, Stamp] = {}
    while True:
        now = {path: _stamp(path) for path in files}
        # An editor may still be writing: the files must have rested for one look before they are compared.
        if now == seen and any(_now(path) != read for path, read in files.items()):
            return
        while now == seen:
            time.sleep(POLL_S)
            now = {path: _stamp(path) for path in files}
        seen = now
        time.sleep(POLL_S)


def _stamp(path: Path) -> Stamp:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size


def _now(path: Path) -> str:
    try:
        return fingerprint(read_bytes(path, _LARGEST))
    except FloorplanError:
        return MISSING

"""A lock on an open file that the system drops when the program ends, however it ends."""

from __future__ import annotations

import sys
from typing import IO


def take_lock(handle: IO[bytes]) -> bool:
    """Take the lock if it is free; closing the handle gives it back."""
    if sys.platform == "win32":
        import msvcrt

        try:
            msvcrt.locking(handle.fileno(), msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True
    import fcntl

    try:
        fcntl.flock(handle.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True

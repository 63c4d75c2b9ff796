"""Which files a piece of work looked for, and what they held: so that it is known when to do it again."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path

MISSING = ""
"""The fingerprint of a file that is not there or cannot be read."""

# A context variable, so that runs in several threads do not see each other's files.
_noting: ContextVar[dict[Path, str] | None] = ContextVar("noting", default=None)


@contextmanager
def noting() -> Iterator[dict[Path, str]]:
    """Collect every file that is read or looked for in the block, with the fingerprint of what was read.

    A file read twice keeps its first fingerprint, so that one changed meanwhile counts as changed.
    """
    files: dict[Path, str] = {}
    token = _noting.set(files)
    try:
        yield files
    finally:
        _noting.reset(token)


def note(path: Path, data: bytes | None) -> None:
    """Add a file to the collection, if there is one; None for one that is missing or cannot be read."""
    files = _noting.get()
    if files is not None:
        files.setdefault(path, MISSING if data is None else fingerprint(data))


def is_there(path: Path) -> bool:
    """True for a file that exists; noted either way, so that its coming or going counts as a change."""
    try:
        there = path.is_file()
    except OSError:  # a name too long for any file
        there = False
    if not there:
        note(path, None)
    return there


def fingerprint(data: bytes) -> str:
    """SHA-256 of the bytes, in hexadecimal digits."""
    # Loads the cryptography of the system; a single command has no use for fingerprints.
    import hashlib

    return hashlib.sha256(data).hexdigest()

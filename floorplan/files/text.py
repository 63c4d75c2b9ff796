"""Files as bytes or text, with every way that reading can go wrong said in words.

The only door to the file system for plans, systems, prices and the like. What a file may hold is bounded, so
that a device, a huge file or a wrong path ends in a fault and not in a full memory.
"""

from __future__ import annotations

import errno
from pathlib import Path
from typing import Final

from ..errors import Fault, FloorplanError, Place
from .noted import note

TEXT_LIMIT_BYTES: Final = 64_000_000
"""A plan of a million corners stays below this."""

_WORDS: Final = {
    errno.ENOENT: ("file-missing", "there is no such file"),
    errno.ENOTDIR: ("file-missing", "there is no such file"),
    errno.EISDIR: ("file-is-folder", "this is a folder, not a file"),
    errno.EACCES: ("file-unreadable", "this file may not be read by you"),
    errno.EPERM: ("file-unreadable", "this file may not be read by you"),
    errno.ENAMETOOLONG: ("file-missing", "the name is too long for a file"),
    errno.ELOOP: ("file-missing", "the links to this file go round in a circle"),
}
_OTHER_CODINGS: Final = (b"\xff\xfe", b"\xfe\xff")


def read_bytes(
    path: str | Path, limit_bytes: int = TEXT_LIMIT_BYTES, *, error: type[FloorplanError] = FloorplanError
) -> bytes:
    """All bytes of a file of at most `limit_bytes`.

    Args:
        path: as the user gave it; faults name it so.
        limit_bytes: a larger file is a fault, and no more than this is read.
        error: which child of `FloorplanError` to raise.
    """
    name = str(path)
    if "\0" in name:
        raise error(_fault("file-missing", "the file name holds a null character", name.replace("\0", "?")))
    try:
        with Path(path).open("rb") as file:
            data = file.read(limit_bytes + 1)
    except OSError as problem:
        note(Path(path), None)
        raise error(_os_fault(problem, Path(path))) from problem
    note(Path(path), data)
    if len(data) > limit_bytes:
        raise error(
            _fault(
                "file-too-big",
                f"the file is larger than {limit_bytes / 1e6:g} million bytes",
                name,
                "check that this is the file you meant; a plan as large as that goes in as several plans",
            )
        )
    return data


def read_text(
    path: str | Path, limit_bytes: int = TEXT_LIMIT_BYTES, *, error: type[FloorplanError] = FloorplanError
) -> str:
    """The text of a UTF-8 file, line ends made plain; see `read_bytes` and `decode_text`."""
    return decode_text(read_bytes(path, limit_bytes, error=error), str(path), error=error)


def decode_text(data: bytes, name: str, *, error: type[FloorplanError] = FloorplanError) -> str:
    r"""Text of UTF-8 bytes, with or without a byte-order mark; `\r\n` becomes `\n`.

    Args:
        data: e.g. what came from standard input.
        name: for faults; "-" is standard input.
        error: which child of `FloorplanError` to raise.
    """
    if data.startswith(_OTHER_CODINGS):
        raise error(
            _fault("file-not-utf8", "the text is UTF-16, not UTF-8", name, "save it as UTF-8 in the editor")
        )
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        raise error(_utf8_fault(data, problem.start, name)) from problem
    null = text.find("\0")
    if null >= 0:
        line = text.count("\n", 0, null) + 1
        raise error(
            Fault(
                code="file-not-text",
                text="the file holds a null character, so it is no text file",
                place=Place(file=name, line=line),
                hint="check that this is the file you meant",
            )
        )
    return text.replace("\r\n", "\n")


def nearest_name(path: Path) -> str:
    """Name of a file in the same folder that is spelled most like this one, "" where none is."""
    try:
        names = sorted(entry.name for entry in path.parent.iterdir())
    except OSError:
        return ""
    by_lower = {name.lower(): name for name in reversed(names)}
    from difflib import get_close_matches

    close = get_close_matches(path.name.lower(), by_lower, n=1, cutoff=0.6)
    return by_lower[close[0]] if close else ""


def _fault(code: str, text: str, name: str, hint: str = "") -> Fault:
    return Fault(code=code, text=text, place=Place(file=name), hint=hint)


def _os_fault(problem: OSError, path: Path) -> Fault:
    code, text = _WORDS.get(
        problem.errno or 0,
        ("file-unreadable", f"the file cannot be read: {(problem.strerror or '').lower()}"),
    )
    hint = ""
    if code == "file-missing":
        near = nearest_name(path)
        if near:
            hint = f"did you mean {path.with_name(near)}?"
        elif not path.parent.is_dir():
            hint = f"there is no folder {path.parent}"
    return _fault(code, text, str(path), hint)


def _utf8_fault(data: bytes, start: int, name: str) -> Fault:
    line = data.count(b"\n", 0, start) + 1
    begin = data.rfind(b"\n", 0, start) + 1
    column = len(data[begin:start].decode("utf-8", "replace")) + 1
    end = data.find(b"\n", start)
    quoted = data[begin : end if end >= 0 else len(data)][:500].decode("utf-8", "replace").replace("\0", "?")
    return Fault(
        code="file-not-utf8",
        text=f"line {line} holds a byte that is not UTF-8 text",
        place=Place(file=name, line=line, column=column, text=quoted),
        hint="save the file as UTF-8 in the editor, or type ½ as 1/2 and ° as deg",
    )

"""Files of a sheet by page: NAME.svg, NAME-2.svg, NAME-3.svg …, and those that an earlier run left over."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from floorplan.errors import visible

from .output import OutputRefused, may_replace, say, write_files

if TYPE_CHECKING:
    from floorplan.drawing.marks import Page

# What a page says of itself in a file of one page (SVG, PNG). PDF and DXF hold a whole sheet.
_PAGE = re.compile(rb'(?:data-page="|tEXtPage\0)(\d+) of (\d+)["\n]')
_LOOK_AT = 8192

# What a whole file of ours says of itself. Stricter than what may be written over when the user asks for a
# file of that name: taking away is nobody's wish, so a word in passing is not enough.
_WHOLE = {
    ".svg": re.compile(rb'data-page="1 of \d+"'),
    ".png": re.compile(rb"tEXtPage\x001 of \d+\n"),
    ".pdf": re.compile(rb"/Creator \(floorplan\)"),
    ".ics": re.compile(rb"^PRODID:-//floorplan//", re.MULTILINE),
}


def numbered(path: Path, files: Sequence[bytes]) -> dict[Path, bytes]:
    """Names for the pages of a sheet: the name itself, then name-2, name-3 …"""
    names = [
        path if i == 0 else path.with_name(f"{path.stem}-{i + 1}{path.suffix}") for i in range(len(files))
    ]
    return dict(zip(names, files, strict=True))


def tell_choice(sheet: str, pages: Sequence[Page], tell: Callable[[str], None] | None) -> None:
    """Say which paper and scale were chosen for a sheet, and why."""
    remark = pages[0].remark
    if remark and tell is not None:
        tell(f"{sheet} sheet: {remark}")


def write_sheets(files: Mapping[Path, bytes], known: Iterable[Path], *, force: bool = False) -> None:
    """Write files, then take away those that an earlier run made and this one did not.

    Args:
        files: every file by its path, pages named by `numbered`.
        known: names that a run may give, written now or not; of sheets the first page stands for all.
        force: write over files that the program did not make.

    Raises:
        OutputRefused: as `write_files`; nothing is taken away then.
    """
    write_files(files, force=force)
    for path in [old for name in known for old in left_over(name) if old not in files]:
        with suppress(OSError):
            path.unlink()
            say(f"removed {visible(str(path))}, which is no longer part of it")


def left_over(name: Path) -> list[Path]:
    """A file of ours and its later pages, as far as they are there and say so themselves."""
    return [*([name] if _is_ours(name) else []), *old_pages(name)]


def old_pages(sheet: Path) -> list[Path]:
    """Files beside a sheet that are a later page of a sheet of its name, by their own word as well.

    A file is one only when the program made it and it says of itself that it is the page of its number: a
    sheet that somebody named NAME-2.svg says page 1.
    """
    name = re.compile(re.escape(sheet.stem) + r"-([1-9]\d*)" + re.escape(sheet.suffix))
    found = []
    for path in sorted(sheet.parent.iterdir()):
        match = name.fullmatch(path.name)
        if match and _page_of(path) == int(match[1]) > 1:
            found.append(path)
    return found


def _is_ours(path: Path) -> bool:
    mark = _WHOLE.get(path.suffix.lower())
    with suppress(OSError):
        if mark is not None and path.is_file() and not path.is_symlink():
            with path.open("rb") as stream:
                head = stream.read(_LOOK_AT)
                stream.seek(max(0, path.stat().st_size - _LOOK_AT))
                return bool(mark.search(head) or mark.search(stream.read()))
    return False


def _page_of(path: Path) -> int | None:
    """The number that a page of ours bears; None for any other file."""
    with suppress(OSError, OutputRefused):
        if path.is_file() and not path.is_symlink() and may_replace(path):
            with path.open("rb") as stream:
                match = _PAGE.search(stream.read(_LOOK_AT))
            return int(match[1]) if match else None
    return None

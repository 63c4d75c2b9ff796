"""The raw groups of a DXF file, text or binary: each begins with a group code 0 and holds codes and values.

The pairs are read here, one group at a time, rather than through a library's document: a damaged entity then
costs itself and not the file, a file without header keeps its closed flags and layers, and a file of any size
needs memory for what is kept only. Rare curves go to the library, group by group (`curves`).
"""

from __future__ import annotations

import re
import struct
from collections.abc import Iterator
from io import BytesIO
from typing import Final, TypeAlias

from ..values import dataclass, field

Value: TypeAlias = bytes | float | int

BINARY_MARK: Final = b"AutoCAD Binary DXF\r\n\x1a\x00"
UNKNOWN: Final = "no drawing that is known: not DXF, SVG, GeoJSON, WKT or a list of points"
_BINARY_MANGLED: Final = b"AutoCAD Binary DXF"

_KIND: Final = re.compile(rb"[!-~]+\Z")
_SURE_KIND: Final = re.compile(rb"(?:3D)?[A-Z][A-Z0-9_]*\Z")


@dataclass(slots=True)
class Group:
    """One group of a file: an entity, a table row, a section mark.

    Attributes:
        kind: the value of its code 0, upper case.
        line: where it starts, counted from 1 (in a binary file the byte).
        codes: the other group codes, in order.
        values: what stands with each code: raw bytes from text, numbers or bytes from a binary file.
        broken: True when unreadable lines follow, so that part of it is lost.
    """

    kind: str
    line: int
    codes: list[int] = field(default_factory=list)
    values: list[Value] = field(default_factory=list)
    broken: bool = False

    def first(self, code: int) -> Value | None:
        """The first value with that code, None when there is none."""
        try:
            return self.values[self.codes.index(code)]
        except ValueError:
            return None

    def number(self, code: int, default: float = 0.0) -> float:
        """The first value with that code as a number, `default` when there is none or it is no number."""
        value = self.first(code)
        if value is None:
            return default
        try:
            return float(value)
        except ValueError:
            return default

    def whole(self, code: int, default: int = 0) -> int:
        """The first value with that code as a whole number, `default` when there is none or it is none."""
        number = self.number(code, float(default))
        return int(number) if abs(number) < 2**31 else default

    def raw(self, code: int) -> bytes:
        """The first value with that code as bytes without white space round it, b"" when there is none."""
        value = self.first(code)
        return value.strip() if isinstance(value, bytes) else b""


@dataclass(slots=True)
class Damage:
    """What was wrong with the pairs of a file, filled while they are read.

    Attributes:
        skipped: (first line, last line, text) of each stretch that could not be read.
        ended: True once the end mark was met.
        last_line: the last line read.
    """

    skipped: list[tuple[int, int, str]] = field(default_factory=list)
    ended: bool = False
    last_line: int = 0


class GroupStream:
    """Groups one after the other; the one last taken may be put back."""

    def __init__(self, source: Iterator[Group]) -> None:
        self._source = source
        self._waiting: Group | None = None

    def __iter__(self) -> GroupStream:
        return self

    def __next__(self) -> Group:
        group, self._waiting = self._waiting, None
        return next(self._source) if group is None else group

    def put_back(self, group: Group) -> None:
        """Let the next step give this group again."""
        self._waiting = group


def look_of(data: bytes) -> str:
    """What the first bytes look like: "text", "binary", "mangled", or words for what it is instead."""
    if not data.strip(b"\0 \t\r\n"):
        return "an empty file"
    if data.startswith(BINARY_MARK):
        return "binary"
    for start, words in _OTHER_FILES:
        if data.startswith(start):
            return words
    if data.startswith(_BINARY_MANGLED):
        return "mangled"
    head = data[:4096].lstrip(b"\xef\xbb\xbf")
    return "text" if _TEXT_HEAD.match(head) else UNKNOWN


# First bytes of files that are sent as DXF by mistake; public format marks.
_OTHER_FILES: Final = (
    (b"AC10", "a DWG: save it as DXF"),
    (b"AC1.", "a DWG: save it as DXF"),
    (b"AC2.", "a DWG: save it as DXF"),
    (b"%PDF", "a PDF: ask for the DXF that it was printed from"),
    (b"PK\x03\x04", "a ZIP archive: take the DXF out of it"),
    (b"\x1f\x8b", "a gzip archive: unpack it first"),
    (b"\x89PNG", "a PNG picture"),
    (b"\xff\xd8\xff", "a JPEG picture"),
    (b"\xff\xfe", "UTF-16 text: save it as a DXF in ASCII or UTF-8"),
    (b"\xfe\xff", "UTF-16 text: save it as a DXF in ASCII or UTF-8"),
)
_TEXT_HEAD: Final = re.compile(
    rb"(?:\s*999[ \t]*\r?[\n\r][^\n\r]*\r?[\n\r])*\s*0[ \t]*\r?[\n\r]\s*(?:SECTION|EOF)"
)


def groups(data: bytes, damage: Damage) -> Iterator[Group]:
    """The groups of a DXF file in order; what cannot be read is passed over and noted in `damage`."""
    if data.startswith(BINARY_MARK):
        yield from _binary_groups(data, damage)
    else:
        yield from _text_groups(data, damage)


def _text_groups(data: bytes, damage: Damage) -> Iterator[Group]:
    if b"\n" not in data[:4096]:
        data = data.replace(b"\r", b"\n")
    lines = iter(BytesIO(data.removeprefix(b"\xef\xbb\xbf")))
    number = 0
    known: dict[bytes, int] = {}
    group: Group | None = None
    codes: list[int] = []
    values: list[Value] = []
    for raw, value in zip(lines, lines, strict=False):
        number += 2
        code = known.get(raw)
        if code is None:
            code = _code(raw)
            if code is not None and len(known) < 10_000:
                known[raw] = code
        if code is None or (code == 0 and not _KIND.match(value.strip())):
            if group is not None:
                group.broken = True
            found, passed = _next_start(lines, value)
            damage.skipped.append((number - 1, number + passed, raw.strip()[:40].decode("latin-1")))
            number += passed
            code, value = 0, found
            if not found:
                break
        if code:
            codes.append(code)
            values.append(value)
            continue
        if group is not None:
            yield group
        kind = value.strip().upper().decode("latin-1")
        if kind == "EOF":
            damage.ended, damage.last_line = True, number
            return
        group = Group(kind, number - 1)
        codes, values = group.codes, group.values
    damage.last_line = number
    if group is not None:
        group.broken = True
        yield group


def _code(raw: bytes) -> int | None:
    try:
        code = int(raw)
    except ValueError:
        return None
    return code if -5 <= code <= 1071 else None


def _next_start(lines: Iterator[bytes], line: bytes) -> tuple[bytes, int]:
    """From a lost place to the next code 0 with an entity name: that name and how many lines were passed."""
    passed, zero = 0, line.strip() == b"0"
    for line in lines:
        passed += 1
        text = line.strip()
        if zero and _SURE_KIND.match(text):
            return text, passed
        zero = text == b"0"
    return b"", passed


def _binary_groups(data: bytes, damage: Damage) -> Iterator[Group]:
    place = len(BINARY_MARK)
    # Since R13 a code takes two bytes; before, one byte, or 255 and two bytes.
    wide = data[place : place + 2] == b"\0\0"
    group: Group | None = None
    try:
        while place < len(data):
            at = place
            if wide:
                code, place = struct.unpack_from("<H", data, place)[0], place + 2
            elif data[place] == 255:
                code, place = struct.unpack_from("<H", data, place + 1)[0], place + 3
            else:
                code, place = data[place], place + 1
            value, place = _binary_value(data, place, code, wide=wide)
            damage.last_line = place
            if code:
                if group is not None:
                    group.codes.append(code)
                    group.values.append(value)
                continue
            if group is not None:
                yield group
            kind = bytes(value).upper() if isinstance(value, bytes) else b""
            if kind == b"EOF":
                damage.ended = True
                return
            if not _KIND.match(kind):
                raise ValueError("no entity name")
            group = Group(kind.decode("latin-1"), at)
    except (struct.error, ValueError, IndexError) as error:
        damage.skipped.append((damage.last_line, len(data), str(error)[:40]))
    if group is not None:
        group.broken = True
        yield group


def _binary_value(data: bytes, place: int, code: int, *, wide: bool) -> tuple[Value, int]:
    form = _binary_form(code, wide=wide)
    if form == "s":
        end = data.index(b"\0", place)
        return data[place:end], end + 1
    if form == "b":
        size = data[place]
        if place + 1 + size > len(data):
            raise ValueError("cut off")
        return data[place + 1 : place + 1 + size], place + 1 + size
    return struct.unpack_from(form, data, place)[0], place + struct.calcsize(form)


def _binary_form(code: int, *, wide: bool) -> str:
    """How a value is stored, by its group code (DXF reference, group code value types)."""
    for low, high, form in _FORMS:
        if low <= code <= high:
            return form
    if 290 <= code <= 299:
        return "<b" if wide else "<h"
    return "s"


_FORMS: Final = (
    (10, 59, "<d"),
    (60, 79, "<h"),
    (90, 99, "<i"),
    (110, 149, "<d"),
    (160, 169, "<q"),
    (170, 179, "<h"),
    (210, 239, "<d"),
    (270, 289, "<h"),
    (310, 319, "b"),
    (370, 389, "<h"),
    (400, 409, "<h"),
    (420, 429, "<i"),
    (440, 459, "<i"),
    (460, 469, "<d"),
    (1004, 1004, "b"),
    (1010, 1059, "<d"),
    (1060, 1070, "<h"),
    (1071, 1071, "<i"),
)

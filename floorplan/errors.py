"""Faults and notices: what a user can get wrong, and what he should know.

A *fault* is a mistake in what the user typed or handed over; all faults of a file are collected and
raised once, inside a `FloorplanError`. A *notice* is a warning that travels inside a result. A caller's
mistake stays a `ValueError` or `TypeError`; a bug keeps its traceback.
"""

from __future__ import annotations

from collections.abc import Iterable

from .values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where something stands in a file.

    Attributes:
        file: name as the user gave it; "-" is standard input.
        line: counted from 1; None when only the file is known.
        column: counted from 1, in characters of `text`; None when the whole line is meant.
        width: how many characters the thing takes, >= 1.
        text: the line as typed, without its line end; "" when not known.
    """

    file: str
    line: int | None = None
    column: int | None = None
    width: int = 1
    text: str = ""

    def __str__(self) -> str:
        """`file:line:column`, as far as known."""
        parts = [self.file, *(str(n) for n in (self.line, self.column) if n is not None)]
        return ":".join(parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One mistake in words: what was read, what is wrong, what would be right.

    Attributes:
        code: short lasting word, e.g. "length-unreadable".
        text: one sentence, lower case, no full stop; names the corner, side or key.
        place: where, or None for a fault of no file.
        hint: what would be right, or "" when nothing better can be said; a table may take several lines.
    """

    code: str
    text: str
    place: Place | None = None
    hint: str = ""

    def __str__(self) -> str:
        """The fault as the terminal shows it: a line, the quoted text with a marker, the cure."""
        head = f"{self.place}: fault: {self.text}" if self.place else f"fault: {self.text}"
        lines = [head]
        if self.place and self.place.text.strip():
            lines += _quoted(self.place)
        if self.hint:
            lines += [f"    {line}" for line in self.hint.split("\n")]
        return "\n".join(visible(line) for line in lines)


def visible(text: str) -> str:
    """The text with control characters as "?", so that a stranger's file cannot steer the terminal."""
    return text if text.isprintable() else "".join(c if c.isprintable() else "?" for c in text)


def _quoted(place: Place) -> list[str]:
    shown = place.text.expandtabs(4).rstrip()
    if place.column is None:
        return [f"      {shown[:160]}"]
    # The marker must stand under the text even where tabs were widened or the line is very long.
    before = len(place.text[: place.column - 1].expandtabs(4))
    start = max(0, before - 120)
    shown = shown[start : start + 160]
    before -= start
    room = max(1, len(shown) - before)
    return [f"      {shown}", "      " + " " * before + "^" * max(1, min(place.width, room))]


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """A warning that belongs to a result.

    Attributes:
        code: short lasting word, e.g. "edge-unknown".
        text: one sentence for the person who measures or builds.
        where: slab, side, corner or joint it is about, "" when about the whole plan.
    """

    code: str
    text: str
    where: str = ""


class FloorplanError(Exception):
    """Everything that a user can cause; carries every fault found.

    Attributes:
        faults: in the order of the file, at least one.
    """

    def __init__(self, faults: Fault | Iterable[Fault]) -> None:
        self.faults: tuple[Fault, ...] = (faults,) if isinstance(faults, Fault) else tuple(faults)
        if not self.faults:
            raise ValueError("a FloorplanError needs at least one fault")
        super().__init__("\n".join(str(fault) for fault in self.faults))


class PlanError(FloorplanError):
    """The plan file, or something it names, has faults."""


class DrawingFileError(FloorplanError):
    """A drawing from elsewhere (DXF and other open formats) cannot be used as it is."""


class DataFileError(FloorplanError):
    """A coating system, price, stock or firm file has faults."""


class SurveyError(FloorplanError):
    """The measurements do not make one shape."""


class SheetError(FloorplanError):
    """The sheet asked for cannot be drawn, e.g. a scale that no tiling can carry."""

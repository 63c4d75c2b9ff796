"""Marks: the display list of a sheet, in millimetres on real paper, y up from the lower left corner.

A *run* is a line of straight and circular pieces. A mark has its pen, fill and lettering already chosen;
whoever draws marks knows no plan, no scale and no trade word. Later marks lie over earlier ones.
"""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum
from typing import TypeAlias

from ..values import dataclass, field

XY: TypeAlias = tuple[float, float]


class Anchor(StrEnum):
    """Which part of a line of text stands at its point."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, slots=True)
class Pen:
    """A line: width, colour "#rrggbb", dashes (on, off, … in mm, empty when continuous), its ends."""

    width_mm: float
    colour: str = "#000000"
    dashes_mm: tuple[float, ...] = ()
    round_ends: bool = False


@dataclass(frozen=True, slots=True)
class Run:
    """Points and the bulge from each to the next (tan(angle/4), positive counter-clockwise, 0 straight).

    Attributes:
        points: at least two.
        bulges: one for each piece (one more piece when closed), or empty when all are straight.
        closed: the last point joins the first.
    """

    points: tuple[XY, ...]
    bulges: tuple[float, ...] = ()
    closed: bool = False

    def __post_init__(self) -> None:
        pieces = len(self.points) - (0 if self.closed else 1)
        if pieces < 1:
            raise ValueError(f"a run needs two points, got {len(self.points)}")
        if self.bulges and len(self.bulges) != pieces:
            raise ValueError(f"{pieces} pieces need {pieces} bulges, got {len(self.bulges)}")

    def pieces(self) -> Iterator[tuple[XY, XY, float]]:
        """Start, end and bulge of every piece."""
        ends = self.points[1:] + (self.points[:1] if self.closed else ())
        bulges = self.bulges or (0.0,) * len(ends)
        return zip(self.points, ends, bulges, strict=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """Runs drawn with one pen, and filled when `fill` is a colour; holes run the other way round than what
    they are in.

    Attributes:
        id: lasting name for whoever picks the mark out of a file, "" for none.
        title: what it is, in words, "" for none.
        texture: many short lines that stand for a surface; lettering is cut out of them beforehand.
    """

    runs: tuple[Run, ...]
    pen: Pen | None = None
    fill: str = ""
    id: str = ""
    title: str = ""
    texture: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """One line of text.

    Attributes:
        at: the anchor on the baseline.
        height_mm: of the capitals.
        angle_deg: counter-clockwise about `at`.
        width_mm: of the text in the lettering table.
    """

    at: XY
    content: str
    height_mm: float
    anchor: Anchor = Anchor.START
    angle_deg: float = 0.0
    bold: bool = False
    colour: str = "#000000"
    width_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A PNG image, its lower left corner at `at`."""

    at: XY
    width_mm: float
    height_mm: float
    png: bytes = field(repr=False)
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Marks that belong together.

    Attributes:
        layer: what they show, one word for all sheets ("outline", "joints", "dimensions" …).
    """

    marks: tuple[Mark, ...]
    layer: str = ""
    id: str = ""
    title: str = ""


Mark: TypeAlias = Stroke | Text | Picture | Group


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One sheet of paper.

    Attributes:
        scale: 48 for 1:48; 0 where nothing is drawn to scale.
        title: for the file and for whoever cannot see the page.
        description: likewise, one or two sentences.
        language: of the text, e.g. "en".
        paper: its name, e.g. "letter".
        number: of the page in its sheet, from 1.
        of: pages in the sheet.
        remark: why the sheet has this paper and scale, where that was chosen for the user.
    """

    width_mm: float
    height_mm: float
    marks: tuple[Mark, ...]
    title: str
    description: str
    scale: float = 0.0
    paper: str = ""
    language: str = "en"
    number: int = 1
    of: int = 1
    remark: str = ""


def walk(marks: tuple[Mark, ...]) -> Iterator[Stroke | Text | Picture]:
    """Every mark that is not a group, in drawing order."""
    for mark in marks:
        if isinstance(mark, Group):
            yield from walk(mark.marks)
        else:
            yield mark

"""Well-known text: polygons, lines and circular strings (kept as arcs), one or several geometries.

Source: OGC 06-103r4 (simple feature access) for the straight geometries; the curved ones as ISO/IEC 13249-3
writes them (from memory).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Final

import numpy as np

from ..errors import DrawingFileError, Fault
from .collector import Collector
from .crs import degrees, looks_like_degrees, unit_of
from .curves import arcs_through
from .drawing import bounds_of
from .model import Source

STARTS: Final = re.compile(
    r"\s*(?:SRID\s*=\s*\d+\s*;\s*)?(?:POINT|LINESTRING|POLYGON|MULTI\w+|GEOMETRYCOLLECTION|CIRCULARSTRING"
    r"|COMPOUNDCURVE|CURVEPOLYGON)\b",
    re.IGNORECASE,
)
_TOKEN: Final = re.compile(r"\s*(?:([A-Za-z_]+)|([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)|([(),;=])|(\S))")
_DEEPEST: Final = 50

Run = tuple[list[tuple[float, float]], list[float]]
"""Points and the bulge after each (0 after the last)."""


def read_wkt(text: str, name: str) -> Source:
    """The geometries of a WKT text.

    Raises:
        DrawingFileError: it cannot be read, or holds degrees.
    """
    collector = Collector(name, "WKT")
    reader = _Reader(text, name, collector)
    reader.everything()
    source = collector.source()
    if source.unit_m is None and looks_like_degrees(bounds_of(source.strokes)):
        raise DrawingFileError(degrees(name, "its extent is a few hundredths of a degree"))
    return source


class _Reader:
    """Takes the text apart, one token ahead."""

    def __init__(self, text: str, name: str, collector: Collector) -> None:
        self._tokens: Iterator[re.Match[str]] = _TOKEN.finditer(text)
        self._text, self._name, self._collector = text, name, collector
        self._now: re.Match[str] | None = None
        self._step()

    def everything(self) -> None:
        while self._now is not None:
            if self._now[3] == ";":
                self._step()
                continue
            word = self._word()
            if word == "SRID":
                self._srid()
            else:
                self._geometry(word, 0)

    def _srid(self) -> None:
        self._take("=")
        code = int(self._number())
        found = unit_of(f"EPSG:{code}", self._name)
        self._collector.unit_m, self._collector.unit_said = found

    def _geometry(self, word: str, depth: int) -> None:
        if depth > _DEEPEST:
            raise self._fault("geometries stand too deep in one another")
        while self._now is not None and self._now[1] and self._now[1].upper() in ("Z", "M", "ZM"):
            self._step()
        if self._is_word("EMPTY"):
            self._step()
        elif word in ("POLYGON", "CURVEPOLYGON"):
            self._each(lambda: self._ring(word, depth))
        elif word in ("LINESTRING", "CIRCULARSTRING", "COMPOUNDCURVE"):
            self._keep(self._run(word, depth), word, closed=False)
        elif word in ("MULTIPOLYGON", "MULTISURFACE"):
            self._each(lambda: self._part("POLYGON", depth))
        elif word in ("MULTILINESTRING", "MULTICURVE"):
            self._each(lambda: self._part("LINESTRING", depth))
        elif word == "GEOMETRYCOLLECTION":
            self._each(lambda: self._geometry(self._word(), depth + 1))
        elif word in ("POINT", "MULTIPOINT"):
            self._collector.leave_out(word.capitalize(), "0", "encloses nothing")
            self._pass_over()
        else:
            raise self._fault(f"{word} is not known")

    def _part(self, usual: str, depth: int) -> None:
        self._geometry(self._word() if self._now is not None and self._now[1] else usual, depth + 1)

    def _ring(self, kind: str, depth: int) -> None:
        word = self._word() if self._now is not None and self._now[1] else "LINESTRING"
        self._keep(self._run(word, depth + 1), kind, closed=True)

    def _keep(self, run: Run, kind: str, *, closed: bool) -> None:
        points, bulges = run
        if closed and len(points) > 1 and points[0] == points[-1]:
            points, bulges = points[:-1], bulges[:-1]
        self._collector.stroke(points, bulges, closed=closed, layer="0", kind=kind.capitalize())

    def _run(self, word: str, depth: int) -> Run:
        if depth > _DEEPEST:
            raise self._fault("geometries stand too deep in one another")
        if word == "COMPOUNDCURVE":
            points: list[tuple[float, float]] = []
            bulges: list[float] = []

            def member() -> None:
                inner = self._word() if self._now is not None and self._now[1] else "LINESTRING"
                more, bends = self._run(inner, depth + 1)
                if points:
                    points.pop()
                    bulges.pop()
                points.extend(more)
                bulges.extend(bends)

            self._each(member)
            return points, bulges
        spots: list[tuple[float, float]] = []
        self._each(lambda: spots.append(self._point()))
        if word == "LINESTRING":
            return spots, [0.0] * len(spots)
        if word != "CIRCULARSTRING":
            raise self._fault(f"{word} is no line")
        if len(spots) < 3 or len(spots) % 2 == 0:
            raise self._fault("a circular string needs 3, 5, 7 … points")
        corners, bends = arcs_through(np.array(spots))
        return [(float(x), float(y)) for x, y in corners], [*bends.tolist(), 0.0]

    def _point(self) -> tuple[float, float]:
        x, y = self._number(), self._number()
        while self._now is not None and self._now[2]:
            self._step()  # heights and measures
        return x, y

    def _each(self, member: Callable[[], object]) -> None:
        self._take("(")
        member()
        while self._now is not None and self._now[3] == ",":
            self._step()
            member()
        self._take(")")

    def _pass_over(self) -> None:
        level = 0
        while self._now is not None:
            level += {"(": 1, ")": -1}.get(self._now[3] or "", 0)
            self._step()
            if level == 0:
                return

    def _word(self) -> str:
        if self._now is None or not self._now[1]:
            raise self._fault("a geometry's name is missing")
        word = self._now[1].upper()
        self._step()
        # "POLYGONZ" is written too.
        return word if word in ("GEOMETRYCOLLECTION",) else re.sub(r"(?<=[A-Z]{4})(ZM|Z|M)$", "", word)

    def _number(self) -> float:
        if self._now is None or not self._now[2]:
            raise self._fault("a number is missing")
        value = float(self._now[2])
        self._step()
        return value

    def _take(self, sign: str) -> None:
        if self._now is None or self._now[3] != sign:
            raise self._fault(f"{sign!r} is missing")
        self._step()

    def _is_word(self, word: str) -> bool:
        return self._now is not None and bool(self._now[1]) and self._now[1].upper() == word

    def _step(self) -> None:
        self._now = next(self._tokens, None)

    def _fault(self, what: str) -> DrawingFileError:
        at = self._now.start() if self._now is not None else len(self._text)
        line = self._text.count("\n", 0, at) + 1
        found = self._text[at : at + 30].strip().splitlines()
        near = f" near {found[0]!r}" if found else " at the end"
        return DrawingFileError(
            Fault(
                code="drawing-not-wkt",
                text=f"{self._name}: line {line}: {what}{near}",
                hint="write it like POLYGON ((0 0, 8 0, 8 6, 0 6, 0 0))",
            )
        )

"""Path data of SVG as points and bulges: circular arcs stay arcs, Bézier curves become chains of arcs.

Source: SVG 1.1, chapter 8 (path data) and appendix F.6 (from end points of an arc to its centre).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import numpy as np

from ..geometry.arcs import Floats
from ..patterns import pattern
from ..values import dataclass
from .curves import bezier, ellipse
from .planes import Placement, similarity
from .shapes import Chain, put_down
from .svg_transforms import svg_number

_TOKEN: Final = pattern(r"([MmZzLlHhVvCcSsQqTtAa])|([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)")
_FLAG: Final = pattern(r"[\s,]*([01])")
_TAKES: Final = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
_MOST_NUMBERS: Final = 2_000_000
_ROUND: Final = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Outline:
    """A sub-path: (n, 2) points, (n,) bulges (0 after the last point of an open one)."""

    points: Floats
    bulges: Floats
    closed: bool


def outlines_of(data: str) -> Iterator[Outline]:
    """The sub-paths of path data; what follows an error is dropped, as SVG says.

    Raises:
        ValueError: numbers that make no curve.
    """
    pen = _Pen()
    for letter, numbers in _commands(data):
        finished = pen.draw(letter, numbers)
        if finished is not None:
            yield finished
    last = pen.finish(closed=False)
    if last is not None:
        yield last


def polygon(text: str, *, closed: bool) -> Outline:
    """The points of a polygon or polyline."""
    numbers = [svg_number(n) for _, n in _TOKEN.findall(text) if n]
    points = np.array(numbers[: len(numbers) // 2 * 2]).reshape(-1, 2)
    return Outline(points, np.zeros(len(points)), closed)


def circle(x: float, y: float, radius: float) -> Outline:
    """A circle as four quarter arcs.

    Raises:
        ValueError: the radius is not above 0.
    """
    if not radius > 0.0:
        raise ValueError("radius not above 0")
    points = np.array([(x + radius, y), (x, y + radius), (x - radius, y), (x, y - radius)])
    return Outline(points, np.full(4, math.tan(math.pi / 8.0)), True)


def ellipse_outline(x: float, y: float, rx: float, ry: float) -> Outline:
    """A whole ellipse as a chain of arcs; a circle stays one.

    Raises:
        ValueError: a radius is not above 0.
    """
    if not (rx > 0.0 and ry > 0.0):
        raise ValueError("radius not above 0")
    if math.isclose(rx, ry, rel_tol=_ROUND):
        return circle(x, y, rx)
    points, bulges = ellipse(np.array((x, y)), np.array((rx, 0.0)), np.array((0.0, ry)), 0.0, 2.0 * math.pi)
    return Outline(points[:-1], bulges, True)


def placed(outline: Outline, placement: Placement) -> Outline:
    """An outline after a transform; arcs that are stretched become chains of arcs."""
    if not outline.bulges.any() or similarity(placement):
        spots = outline.points @ placement[:2, :2].T + placement[:2, 3]
        return Outline(spots, outline.bulges * (similarity(placement) or 1.0), outline.closed)
    spatial = [(float(x), float(y), 0.0) for x, y in outline.points]
    drawn = put_down(Chain(spatial, outline.bulges.tolist(), outline.closed), placement)
    return Outline(np.asarray(drawn.points), np.asarray(drawn.bulges), drawn.closed)


def _commands(data: str) -> Iterator[tuple[str, list[float]]]:
    letter, place, count = "", 0, 0
    numbers: list[float] = []
    # The flags of an arc may be written without a space: 00120 is 0, 0, 120.
    while place < len(data) and count < _MOST_NUMBERS:
        if letter in "Aa" and letter and len(numbers) in (3, 4):
            match = _FLAG.match(data, place)
            if match:
                numbers.append(float(match[1]))
                place = match.end()
                continue
        match = _TOKEN.search(data, place)
        if match is None:
            break
        place, count = match.end(), count + 1
        if match[1]:
            letter, numbers = match[1], []
            if letter in "Zz":
                yield letter, []
            continue
        if not letter or letter in "Zz":
            break
        numbers.append(svg_number(match[2]))
        if len(numbers) == _TAKES[letter.upper()]:
            yield letter, numbers
            # Further pairs after a move are lines.
            letter, numbers = {"M": "L", "m": "l"}.get(letter, letter), []


class _Pen:
    """Where the path is, and the sub-path so far."""

    def __init__(self) -> None:
        self._points: list[Floats] = []
        self._bulges: list[Floats] = []
        self._at = np.zeros(2)
        self._start = np.zeros(2)
        self._control: tuple[str, Floats] | None = None

    def draw(self, letter: str, n: list[float]) -> Outline | None:
        """Follow one command; a sub-path that it ends."""
        upper = letter.upper()
        base = self._at if letter.islower() else np.zeros(2)
        if upper == "M":
            done = self.finish(closed=False)
            self._at = self._start = base + n
            self._control = None
            return done
        if upper == "Z":
            done = self.finish(closed=True)
            self._at, self._control = self._start, None
            return done
        self._side(upper, base, n)
        return None

    def _side(self, upper: str, base: Floats, n: list[float]) -> None:
        start, control = self._at, None
        if upper == "H":
            self._line(np.array((base[0] + n[0], start[1])))
        elif upper == "V":
            self._line(np.array((start[0], base[1] + n[0])))
        elif upper == "L":
            self._line(base + n)
        elif upper == "A":
            self._arc(n, base + n[5:])
        else:
            spots = [base + n[i : i + 2] for i in range(0, len(n), 2)]
            if upper in "ST":
                spots.insert(0, self._mirrored("C" if upper == "S" else "Q"))
            control = ("C" if upper in "CS" else "Q", spots[-2])
            self._bezier(np.array([start, *spots]))
        self._control = control

    def _mirrored(self, kind: str) -> Floats:
        """The last control point mirrored about the pen, as smooth curves take it."""
        if self._control is None or self._control[0] != kind:
            return self._at
        return np.asarray(2.0 * self._at - self._control[1])

    def _line(self, end: Floats) -> None:
        self._add(np.array([self._at]), np.zeros(1), end)

    def _bezier(self, control: Floats) -> None:
        self._chained(*bezier(control))

    def _arc(self, n: list[float], end: Floats) -> None:
        rx, ry = abs(n[0]), abs(n[1])
        if (end == self._at).all():
            return
        if rx == 0.0 or ry == 0.0:
            self._line(end)
            return
        centre, first, second, start, sweep = _centre_form(
            self._at, end, (rx, ry, n[2]), bool(n[3]), bool(n[4])
        )
        if math.isclose(rx, ry, rel_tol=_ROUND):
            halves = 1 if abs(sweep) <= math.pi else 2
            angles = [start + sweep * k / halves for k in range(halves)]
            points = np.array([centre + math.cos(a) * first + math.sin(a) * second for a in angles])
            points[0] = self._at
            self._add(points, np.full(halves, math.tan(sweep / halves / 4.0)), end)
            return
        points, bulges = ellipse(centre, first, second, start, start + sweep)
        points[0], points[-1] = self._at, end
        self._chained(points, bulges)

    def _chained(self, points: Floats, bulges: Floats) -> None:
        self._add(points[:-1], bulges, points[-1])

    def _add(self, points: Floats, bulges: Floats, end: Floats) -> None:
        self._points.append(points)
        self._bulges.append(bulges)
        self._at = end

    def finish(self, *, closed: bool) -> Outline | None:
        """The sub-path so far, None where nothing was drawn."""
        if not self._points:
            return None
        if not closed or not np.allclose(self._at, self._points[0][0], rtol=0.0, atol=0.0):
            self._points.append(np.array([self._at]))
            self._bulges.append(np.zeros(1))
        outline = Outline(np.vstack(self._points), np.concatenate(self._bulges), closed)
        self._points, self._bulges = [], []
        return outline


def _centre_form(
    start: Floats, end: Floats, radii: tuple[float, float, float], large: bool, sweep: bool
) -> tuple[Floats, Floats, Floats, float, float]:
    """Centre, both half axes as vectors, start parameter and sweep of an arc (SVG 1.1, F.6.5 and F.6.6)."""
    rx, ry, turn_deg = radii
    cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    half = 0.5 * (start - end)
    x, y = cos * half[0] + sin * half[1], -sin * half[0] + cos * half[1]
    over = (x / rx) ** 2 + (y / ry) ** 2
    if over > 1.0:
        rx, ry = rx * math.sqrt(over), ry * math.sqrt(over)
    under = (rx * y) ** 2 + (ry * x) ** 2
    root = math.sqrt(max(0.0, (rx * ry) ** 2 / under - 1.0)) * (-1.0 if large == sweep else 1.0)
    cx, cy = root * rx * y / ry, -root * ry * x / rx
    middle = 0.5 * (start + end)
    centre = np.array((cos * cx - sin * cy + middle[0], sin * cx + cos * cy + middle[1]))
    begin = math.atan2((y - cy) / ry, (x - cx) / rx)
    finish = math.atan2((-y - cy) / ry, (-x - cx) / rx)
    angle = finish - begin
    if sweep and angle < 0.0:
        angle += 2.0 * math.pi
    elif not sweep and angle > 0.0:
        angle -= 2.0 * math.pi
    return centre, np.array((rx * cos, rx * sin)), np.array((-ry * sin, ry * cos)), begin, angle

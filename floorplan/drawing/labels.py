"""Ways to set the labels of a drawing: corners, names along sides, notes, areas."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from .lettering import ASCENT, BODY, FINE, HEAD, LEADING, TITLE, letter, width_mm
from .marks import XY, Anchor, Mark, Run, Stroke, Text
from .pens import BLACK, LEADER, WHITE
from .pens import FINE as FINE_PEN
from .placing import CLEAR_MM, Candidate, Hull, around, box, text_box
from .plane import between, direction, polar, shifted, upright_deg

BALLOON_MM = 2.6
SIDE_OFF_MM = 3.2
SIDE_SHARES = (0.5, 0.35, 0.65, 0.22, 0.78)


TURNS = (0.0, 20.0, -20.0, 42.0, -42.0, 65.0, -65.0, 90.0, -90.0, 120.0, -120.0, 150.0, -150.0, 180.0)


def corner_letter(at: XY, outward_deg: float, label: str) -> Iterator[Candidate]:
    """Ways to set a corner letter in a circle: off the corner, then farther on a leader."""
    height = BODY if len(label) < 3 else FINE
    r = max(BALLOON_MM, 0.5 * width_mm(label, height, True) + 0.9)
    for distance in (5.0, 7.0, 10.0, 14.0, 19.0, 25.0, 32.0, 40.0):
        for turn in TURNS:
            middle = shifted(at, polar(outward_deg + turn), distance)
            yield _balloon(at, middle, r, label, height, led=distance > 6.0)


def _balloon(at: XY, middle: XY, r: float, label: str, height: float, *, led: bool) -> Candidate:
    x, y = middle
    circle = Run(((x - r, y), (x + r, y)), (1.0, 1.0), closed=True)
    text = letter(label, (x, y - 0.5 * height), height, anchor=Anchor.MIDDLE, bold=True)
    marks: list[Mark] = []
    lines: tuple[tuple[XY, ...], ...] = ()
    if led:
        toward = direction(at, middle)
        lines = ((shifted(at, toward, 0.8), shifted(middle, toward, -r)),)
        marks.append(Stroke(runs=(Run(lines[0]),), pen=LEADER))
    hull = box(x - r - 0.3, y - r - 0.3, x + r + 0.3, y + r + 0.3)
    marks += [Stroke(runs=(circle,), pen=FINE_PEN, fill=WHITE), text]
    return Candidate(marks=tuple(marks), boxes=(hull,), lines=lines)


def side_name(
    points: Sequence[tuple[XY, XY, XY]],
    length_mm: float,
    lines: Sequence[str],
    *,
    loud: bool = False,
    off: float = SIDE_OFF_MM,
) -> Iterator[Candidate]:
    """Ways to letter a side along it: outside, at several places, then smaller, then inside.

    Args:
        points: (point on the side, direction, outward direction) at each of SIDE_SHARES.
        length_mm: of the side; lettering longer than it is not tried.
        lines: of text, the first one next to the side.
        loud: white on black.
        off: distance from the side.
    """
    for height in (BODY, FINE):
        wide = max(width_mm(line, height, loud) for line in lines)
        if wide > length_mm + (0.0 if len(lines) == 1 else 6.0):
            continue
        for distance in (off, -off - 2.0):
            for at, along, outward in points:
                yield _aligned(at, along, outward, distance, lines, height, loud)


def _aligned(
    at: XY, along: XY, outward: XY, off: float, lines: Sequence[str], height: float, loud: bool
) -> Candidate:
    """Lines of text parallel to a side, stacked away from it."""
    angle = upright_deg(along)
    up = polar(angle + 90.0)
    away = math.copysign(1.0, (outward[0] * up[0] + outward[1] * up[1]) * off)
    pad = 0.8 if loud else 0.0
    texts: list[Text] = []
    # Reading order runs from the top down, whichever way "away from the side" points.
    for k, line in enumerate(lines if away < 0 else reversed(lines)):
        steps = k * LEADING * height
        rise = abs(off) + pad + steps if away > 0 else -(abs(off) + pad + steps + ASCENT * height)
        texts.append(
            letter(
                line,
                shifted(at, up, rise),
                height,
                anchor=Anchor.MIDDLE,
                angle_deg=angle,
                bold=loud,
                colour=WHITE if loud else BLACK,
            )
        )
    boxes = tuple(text_box(text, CLEAR_MM + pad) for text in texts)
    fills = tuple(Stroke(runs=(Run(text_box(text, pad), closed=True),), fill=BLACK) for text in texts if loud)
    return Candidate(marks=(*fills, *texts), boxes=boxes)


def note(
    at: XY,
    lines: Sequence[str],
    *,
    half: XY = (0.0, 0.0),
    nearest: float = 3.0,
    loud: bool = False,
    heights: Sequence[float] = (BODY, FINE),
) -> Iterator[Candidate]:
    """Ways to set a note beside a point: near it without a leader, then farther on one.

    Args:
        at: what it is about.
        lines: of text.
        half: half the width and half the height of the thing itself, so that a long one is lettered at its
            side and not off its ends.
        nearest: gap between the thing and the text.
    """
    for height in heights:
        for distance in (nearest, nearest + 4.0, 11.0, 16.0, 22.0, 30.0, 40.0):
            for angle in (35.0, 145.0, -35.0, -145.0, 0.0, 180.0, 62.0, 118.0, -62.0, -118.0, 90.0, -90.0):
                yield _beside(at, angle, _edge(half, polar(angle)), distance, lines, height, loud)


def _edge(half: XY, way: XY) -> float:
    """How far a thing of that half width and height reaches from its middle in a direction."""
    return min(size / abs(part) for size, part in zip(half, way, strict=True) if abs(part) > 1e-9)


def _beside(
    at: XY, angle: float, start: float, distance: float, lines: Sequence[str], height: float, loud: bool
) -> Candidate:
    way = polar(angle)
    tip = shifted(at, way, start + distance)
    anchor = Anchor.START if way[0] > 0.3 else Anchor.END if way[0] < -0.3 else Anchor.MIDDLE
    step = LEADING * height
    tall = step * (len(lines) - 1) + height
    top = tip[1] + (tall + 1.5 if way[1] > 0.8 else -0.6 if way[1] < -0.8 else 0.5 * tall) - height
    gap = {Anchor.START: 0.8, Anchor.END: -0.8, Anchor.MIDDLE: 0.0}[anchor]
    colour = WHITE if loud else BLACK
    texts = [
        letter(line, (tip[0] + gap, top - k * step), height, anchor=anchor, bold=loud, colour=colour)
        for k, line in enumerate(lines)
    ]
    marks: list[Mark] = []
    drawn: tuple[tuple[XY, ...], ...] = ()
    if distance > 5.0:
        drawn = ((shifted(at, way, start + 0.3), tip),)
        marks.append(Stroke(runs=(Run(drawn[0]),), pen=LEADER))
    pad = 0.8 if loud else 0.0
    marks += [Stroke(runs=(Run(text_box(text, pad), closed=True),), fill=BLACK) for text in texts if loud]
    return Candidate(
        marks=(*marks, *texts), boxes=(around([text_box(t, CLEAR_MM + pad) for t in texts]),), lines=drawn
    )


def stacked(middle: XY, rows: Sequence[tuple[str, float, bool]]) -> Candidate:
    """Centred rows of (text, height, bold) about a point, one box around all."""
    gaps = [0.0, *(max(0.55 * height, 1.3) for _, height, _ in rows[:-1])]
    tall = sum(height for _, height, _ in rows) + sum(gaps)
    y = middle[1] + 0.5 * tall
    texts: list[Text] = []
    for k, (line, height, bold) in enumerate(rows):
        y -= height + gaps[k]
        texts.append(letter(line, (middle[0], y), height, anchor=Anchor.MIDDLE, bold=bold))
    wide = 0.5 * max(text.width_mm for text in texts) + 1.0
    low = min(min(y for _, y in text_box(text)) for text in texts)
    hull: Hull = box(middle[0] - wide, low - 0.8, middle[0] + wide, middle[1] + 0.5 * tall + 0.8)
    return Candidate(marks=tuple(texts), boxes=(hull,))


Rows = Sequence[tuple[str, float, bool]]
"""Centred rows of text: content, height, bold."""


def _halves(area: str) -> list[str]:
    """The area on two lines: its number and unit together where a word stands before or after them."""
    words = area.split(" ")
    number = next((k for k, word in enumerate(words) if word[:1].isdigit()), 0)
    if number:
        return [" ".join(words[:number]), " ".join(words[number:])]
    cut = len(words) - 1 if words[-1] in _BASES else 1
    return [" ".join(words[:cut]), " ".join(words[cut:])] if len(words) > 1 else [area]


_BASES = ("net", "gross")


def area_rows(name: str, area: str, basis: str) -> Iterator[Rows]:
    """Ways to word the area in its floor: in full, then smaller, then without its basis; always by name."""
    full = [(name, HEAD, True), (area, TITLE, True), (basis, FINE, False)]
    halves = _halves(area)
    for rows in (
        [row for row in full if row[0]],
        [(name, BODY, True), (area, HEAD, True), (basis, FINE, False)] if basis else full[:2],
        [(name, HEAD, True), *((word, HEAD, True) for word in halves)],
        [(name, BODY, True), (area, HEAD, True)],
        [(name, HEAD, True), *((word, HEAD, True) for word in area.split(" ", 1))],
        [(name, BODY, True), *((word, BODY, True) for word in halves)],
        [(name, BODY, True), *((word, BODY, True) for word in area.split(" ", 1))],
        [(name, FINE, True), (area, BODY, True)],
        [(name, FINE, True), (area, FINE, False)],
    ):
        yield [row for row in rows if row[0]]


def joint_label(runs: Sequence[tuple[XY, XY]], contents: Sequence[str]) -> Iterator[Candidate]:
    """Ways to letter a joint above one of its lines: in full, then by its short name."""
    for content in contents:
        for a, b in runs:
            text_wide = width_mm(content, FINE)
            if text_wide > math.dist(a, b):
                continue
            for share in (0.5, 0.3, 0.7, 0.15, 0.85):
                angle = upright_deg(direction(a, b))
                for lift in (1.6, -1.6 - FINE * ASCENT):
                    at = shifted(between(a, b, share), polar(angle + 90.0), lift)
                    text = letter(content, at, FINE, anchor=Anchor.MIDDLE, angle_deg=angle)
                    yield Candidate(marks=(text,), boxes=(text_box(text, CLEAR_MM),))

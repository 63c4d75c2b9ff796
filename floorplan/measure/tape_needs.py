"""What is still to be taped of a slab: the list for the site sheet.

A part-measured tape sheet names the lengths that would fix its corners; one that is fixed names those that
would
check it best. Any other shape gets the lengths that would measure it anew: sides, a fan, and lengths
across the fan.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

import numpy as np

from ..errors import PlanError
from ..geometry.arcs import Floats
from ..geometry.rings import Ring
from ..plan.labels import lettered
from ..plan.model import OffsetsShape, OutlineShape, Plan, Side, Slab, TapeShape, Turning, WalkShape
from ..survey.adjust import adjust, on_datum
from ..survey.instruments import DEFAULT, INSTRUMENTS
from ..survey.network import Network, Tie
from ..survey.rigidity import best_checks, freedom
from ..values import dataclass, replace
from .shape import solve_shape
from .solved import SolvedShape
from .survey_shapes import network_of

MOST_CORNERS: Final = 60
"""A site sheet of more corners than this lists the sides only."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A length on the site sheet.

    Attributes:
        start: corner or point.
        end: likewise.
        typed: as the plan has it, "" where it is to be taped.
        why: "" for a side or station, "taped", "needed" (fixes a corner), "check" (checks the rest best) or
            "again" (does not fit).
        is_side: a side of the outline.
    """

    start: str
    end: str
    typed: str
    why: str
    is_side: bool = False

    @property
    def name(self) -> str:
        """`A-C`; the station alone on a baseline."""
        return f"{self.start}-{self.end}" if self.end else self.start


@dataclass(frozen=True, slots=True, kw_only=True)
class SlabNeeds:
    """What a site sheet shows of one slab.

    Attributes:
        name: of the slab.
        labels: its corners in order.
        ring: the outline, metres; where `to_scale` is False only the order of corners is meant; None for a
            slab of which nothing is known.
        kinds: what stands along each side, as far as stated.
        arcs: the arc of each side in words, "" for a straight one.
        lines: sides in order, then other lengths, those still needed last.
        points: (letter, x, y) of other points, metres, where they are known.
        stations: of a baseline with offsets, as typed; else empty.
        trouble: why the slab cannot be measured yet, "" where it can.
    """

    name: str
    labels: tuple[str, ...]
    ring: Ring | None
    to_scale: bool
    kinds: tuple[str, ...]
    arcs: tuple[str, ...]
    lines: tuple[Line, ...]
    points: tuple[tuple[str, float, float], ...] = ()
    stations: tuple[str, ...] = ()
    trouble: str = ""

    @property
    def open_lines(self) -> tuple[Line, ...]:
        """Lengths to tape."""
        return tuple(line for line in self.lines if not line.typed or line.why == "again")


def needs(plan: Plan, *, anew: bool = False) -> tuple[SlabNeeds, ...]:
    """What is still to be taped of each slab of a plan.

    Args:
        plan: as read; slabs that cannot be measured yet are just what this is for.
        anew: leave out what was taped, so that all of it is taped once more.
    """
    return tuple(_slab(plan, slab, anew) for slab in plan.slabs)


def blank_needs(corners: int) -> SlabNeeds:
    """The list for a slab of which only the number of corners is known, or not even that (0)."""
    labels = lettered([""] * corners)
    sides = (
        [Line(start=a, end=b, typed="", why="", is_side=True) for a, b in _pairs(labels)] if corners else []
    )
    scheme = _schematic(corners, clockwise=True)
    across = _diagonals(labels, np.asarray(scheme.points)) if scheme else []
    return SlabNeeds(
        name="",
        labels=labels,
        ring=None,
        to_scale=False,
        kinds=("",) * corners,
        arcs=("",) * corners,
        lines=(*sides, *across),
    )


def _slab(plan: Plan, slab: Slab, anew: bool) -> SlabNeeds:
    trouble, solved = "", None
    try:
        solved = solve_shape(plan, slab)
    except PlanError as error:
        trouble = error.faults[0].text
    match slab.shape:
        case TapeShape():
            return _tape(slab.name, slab.shape, solved, trouble, anew)
        case OffsetsShape():
            return _offsets(slab.name, slab.shape, solved, trouble, anew)
        case OutlineShape():
            labels = tuple(corner.label for corner in slab.shape.corners)
            typed = [""] * len(labels)
            along = slab.shape.sides
        case WalkShape():
            labels = tuple(leg.label for leg in slab.shape.legs)
            typed = ["" if anew or leg.length is None else leg.length.text for leg in slab.shape.legs]
            along = tuple(leg.side for leg in slab.shape.legs)
    sides = zip(_pairs(labels), typed, strict=True)
    lines = [Line(start=a, end=b, typed=text, why="", is_side=True) for (a, b), text in sides]
    return SlabNeeds(
        name=slab.name,
        labels=labels,
        ring=solved.ring if solved else _schematic(len(labels), clockwise=False),
        to_scale=solved is not None,
        kinds=tuple(side.kind for side in along),
        arcs=tuple(arc_words(side) for side in along),
        lines=(*lines, *(_diagonals(labels, np.asarray(solved.ring.points)) if solved else ())),
        trouble=trouble,
    )


def arc_words(side: Side) -> str:
    """The arc of a side as typed: `3' out`, `R 9' in`; "" for a straight side."""
    arc = side.arc
    if arc is None:
        return ""
    size = arc.rise.text if arc.rise is not None else f"R {arc.radius.text if arc.radius else ''}"
    return f"{size} {arc.bulge.value}"


def _pairs(labels: Sequence[str]) -> list[tuple[str, str]]:
    return list(zip(labels, [*labels[1:], labels[0]], strict=True))


def _tape(name: str, shape: TapeShape, solved: SolvedShape | None, trouble: str, anew: bool) -> SlabNeeds:
    typed = {frozenset((tie.start, tie.end)): tie.length.text for tie in shape.ties}
    pairs = _pairs(shape.corners)
    around = {frozenset(pair) for pair in pairs}
    shown = {} if anew else typed
    lines = [
        Line(start=a, end=b, typed=shown.get(frozenset((a, b)), ""), why="", is_side=True) for a, b in pairs
    ]
    for tie in shape.ties:
        if frozenset((tie.start, tie.end)) not in around:
            why = "needed" if anew else "taped"
            lines.append(Line(start=tie.start, end=tie.end, typed="" if anew else tie.length.text, why=why))
    suspects = solved.survey.suspects if solved and solved.survey else ()
    again = {(suspect.start, suspect.end) for suspect in suspects}
    lines = [_again(line) if (line.start, line.end) in again else line for line in lines]
    return SlabNeeds(
        name=name,
        labels=shape.corners,
        ring=solved.ring if solved else _schematic(len(shape.corners), shape.turning is Turning.CLOCKWISE),
        to_scale=solved is not None,
        kinds=tuple(side.kind for side in shape.sides()),
        arcs=tuple(arc_words(side) for side in shape.sides()),
        lines=(*lines, *_further(network_of(shape), solved, around)),
        points=tuple((label, *xy) for label, xy in solved.points.items()) if solved else (),
        trouble=trouble,
    )


def _again(line: Line) -> Line:
    return replace(line, why="again")


def _further(network: Network, solved: SolvedShape | None, around: set[frozenset[str]]) -> Iterable[Line]:
    """Lengths that fix what is loose, or check what is fixed; untaped sides are listed as sides already."""
    if solved is None:
        needed = freedom(network).next_ties
        return [
            Line(start=a, end=b, typed="", why="needed") for a, b in needed if frozenset((a, b)) not in around
        ]
    n = len(network.corners)
    spare = len(network) - network.needed
    points = np.array([*solved.ring.points, *(solved.points[name] for name in network.points)])
    return _checks(network, points, count=max(0, (n + 1) // 2 - spare))


def _checks(network: Network, points: Floats, *, count: int) -> list[Line]:
    """Lengths that would make the area surest."""
    if count == 0 or len(network.names) > MOST_CORNERS:
        return []
    fit = adjust(network, on_datum(points))
    std = float(np.median(network.stds[: len(network.ties)]))
    best = best_checks(network, fit, np.zeros(len(network.corners)), std, count=count)
    return [Line(start=a, end=b, typed="", why="check") for (a, b), _ in best]


def _diagonals(labels: tuple[str, ...], points: Floats) -> list[Line]:
    """A fan and the best lengths across it, to measure a known outline anew: 2n - 3 lengths and n/2 more."""
    n = len(labels)
    if not 4 <= n <= MOST_CORNERS:
        return []
    std = INSTRUMENTS[DEFAULT].std_m
    pairs = [(i, (i + 1) % n) for i in range(n)]
    fan = [(_hub(points), k) for k in range(n)]
    pairs += [(i, j) for i, j in fan if i != j and (j - i) % n not in (1, n - 1)]
    lengths = [float(np.hypot(*(points[j] - points[i]))) for i, j in pairs]
    ties = tuple(
        Tie(start=labels[i], end=labels[j], length_m=length, std_m=std)
        for (i, j), length in zip(pairs, lengths, strict=True)
    )
    lines = [Line(start=labels[i], end=labels[j], typed="", why="needed") for i, j in pairs[n:]]
    return lines + _checks(Network(corners=labels, ties=ties), points, count=(n + 1) // 2)


def _hub(points: Floats) -> int:
    """The corner that sees the others best: the one whose shortest length to any other is longest."""
    gaps = np.hypot(*(points[:, None, :] - points[None, :, :]).transpose(2, 0, 1))
    np.fill_diagonal(gaps, np.inf)
    return int(np.argmax(gaps.min(axis=1)))


def _offsets(
    name: str, shape: OffsetsShape, solved: SolvedShape | None, trouble: str, anew: bool
) -> SlabNeeds:
    baseline = Line(start="baseline", end="", typed="" if anew else shape.baseline.text, why="")
    rows = [
        Line(start=row.station.text, end="", typed="" if anew else row.offset.text, why="")
        for row in shape.stations
    ]
    return SlabNeeds(
        name=name,
        labels=solved.labels if solved else (),
        ring=solved.ring if solved else _schematic(4, clockwise=False),
        to_scale=solved is not None,
        kinds=tuple(side.kind for side in solved.sides) if solved else (),
        arcs=(),
        lines=(baseline, *rows),
        stations=tuple(row.station.text for row in shape.stations),
        trouble=trouble,
    )


def _schematic(count: int, clockwise: bool) -> Ring | None:
    """A regular outline of unit size, the first side along the bottom (or the top, listed clockwise)."""
    if count < 3:
        return None
    turn = 2.0 * np.pi * (np.arange(count) - 0.5) / count - np.pi / 2.0
    points = np.column_stack((np.cos(turn), np.sin(turn)))
    return Ring(points * [1.0, -1.0] if clockwise else points)

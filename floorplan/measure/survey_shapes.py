"""Walks, tape sheets and offsets of a plan, handed to their solvers and brought back as solved shapes.

The solvers know corners and lengths only. Here the plan's values go in, and what comes out gets its line
in the plan, its words, its arcs and its place in the takeoff.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Final

import numpy as np

from ..errors import Fault, Notice, Place, PlanError
from ..geometry.arcs import Floats
from ..plan.labels import lettered
from ..plan.model import (
    Bulge,
    Corner,
    OffsetsShape,
    OutlineShape,
    Plan,
    Point,
    Side,
    Slab,
    TapeShape,
    Turning,
    WalkShape,
)
from ..survey import offsets, tape, walk
from ..survey.findings import Finding, Unsolved
from ..survey.headings import Leg, Said
from ..survey.instruments import ANGLE_STD_DEG, DEFAULT, INSTRUMENTS, SQUARE_STD_DEG
from ..survey.network import Network, Tie
from ..survey.words import in_words
from ..units.figures import Figures
from ..units.length import Length
from ..values import dataclass, replace
from .model import SurveyReport
from .outline import solve_outline
from .solved import SolvedShape
from .survey_report import tape_report, walk_report

EDGE_TOLERANCE_M: Final = 5e-3
"""How far the arcs that draw a smooth edge may stand off it; its area is exact whatever they do."""


@dataclass(frozen=True, slots=True)
class _Source:
    """Whose measurements are solved, and where each stands in the plan."""

    figures: Figures
    slab: Slab
    places: Mapping[tuple[str, ...], Place | None]
    whole: Place | None

    def place(self, about: tuple[str, ...]) -> Place | None:
        """Line of a length or corner; of the whole shape where there is no such line."""
        return self.places.get(about) or self.places.get(about[::-1]) or self.whole

    def refused(self, error: Unsolved) -> PlanError:
        """The findings of a solver as faults of the plan."""
        return PlanError(self._fault(finding) for finding in error.findings)

    def _fault(self, finding: Finding) -> Fault:
        text, hint = in_words(finding, self.figures)
        place = self.place(finding.about)
        hint = "\n".join([hint, *map(self._choice, finding.choices)])
        return Fault(code=finding.code, text=f"slab {self.slab.name}: {text}", place=place, hint=hint)

    def _choice(self, finding: Finding) -> str:
        place = self.place(finding.about)
        line = f"line {place.line}: " if place and place.line else ""
        return f"  {line}{in_words(finding, self.figures)[0]}"

    def notices(self, findings: Iterable[Finding]) -> tuple[Notice, ...]:
        """The findings of a solver as warnings."""
        words = [(finding.code, in_words(finding, self.figures)[0]) for finding in findings]
        return tuple(Notice(code=code, text=text, where=f"slab {self.slab.name}") for code, text in words)

    def solved(
        self,
        points: Floats,
        labels: tuple[str, ...],
        sides: tuple[Side, ...],
        places: Iterable[Place | None],
        bulges: tuple[float, ...] = (),
    ) -> SolvedShape:
        """Corners with their arcs, tested as an outline of typed corners is."""
        corners = tuple(
            Corner(label=label, at=Point(x=Length(x), y=Length(y)), place=place)
            for label, (x, y), place in zip(labels, points.tolist(), places, strict=True)
        )
        shape = OutlineShape(corners=corners, sides=sides, exact_bulges=bulges)
        whose = f"slab {self.slab.name}"
        return solve_outline(shape, self.figures, whose=whose, place=self.whole)


def std_of(accuracy: Length | None, instrument: str) -> Callable[[float], float]:
    """Standard error of a length by what the plan says of the tape: a figure, an instrument or nothing."""
    if accuracy is not None:
        fixed = accuracy.m
        return lambda length_m: fixed
    return INSTRUMENTS[instrument or DEFAULT].std_of_m


def _rise_out_m(side: Side, chord_m: float) -> float:
    """Rise of a side's arc, positive out of the floor; of one given by its radius, over the taped chord."""
    if side.arc is None:
        return 0.0
    sign = 1.0 if side.arc.bulge is Bulge.OUT else -1.0
    if side.arc.rise is not None:
        return sign * side.arc.rise.m
    assert side.arc.radius is not None
    radius = side.arc.radius.m
    middle = np.sqrt(max(0.0, radius * radius - chord_m * chord_m / 4.0))
    return sign * float(radius + middle if side.arc.major else radius - middle)


def solve_walk(shape: WalkShape, plan: Plan, slab: Slab) -> SolvedShape:
    """Corners of a walk.

    Raises:
        PlanError: the walk does not close, or what is missing cannot be found.
    """
    labels = tuple(leg.label for leg in shape.legs)
    places: dict[tuple[str, ...], Place | None] = {(leg.label,): leg.place for leg in shape.legs}
    source = _Source(Figures(plan.units), slab, places, shape.place)
    angle_std = ANGLE_STD_DEG if shape.angle_accuracy_deg is None else shape.angle_accuracy_deg
    try:
        found = walk.solve(_legs(shape), angle_std_deg=angle_std, feet=source.figures.is_us)
    except Unsolved as error:
        raise source.refused(error) from error
    sides = tuple(leg.side for leg in shape.legs)
    outline = source.solved(found.points, labels, sides, (leg.place for leg in shape.legs))
    return replace(
        outline,
        std_m=found.std_m,
        area_std_m2=found.area_std_m2,
        survey=walk_report(labels, found),
        notices=(*source.notices(found.findings), *outline.notices),
    )


def _legs(shape: WalkShape) -> list[Leg]:
    std = std_of(shape.accuracy, shape.instrument)
    legs = []
    for leg in shape.legs:
        length = None if leg.length is None else leg.length.m
        rise = _rise_out_m(leg.side, length or 0.0)
        legs.append(
            Leg(
                name=leg.label,
                said=Said(leg.heading.kind.value),
                degrees=leg.heading.degrees,
                length_m=length,
                length_std_m=0.0 if length is None else std(length),
                rise_m=rise,
                rise_std_m=std(abs(rise)) if rise else 0.0,
            )
        )
    return legs


def solve_tape(shape: TapeShape, plan: Plan, slab: Slab) -> SolvedShape:
    """Corners and points of a tape sheet.

    Raises:
        PlanError: too few lengths, lengths that make no figure, or more than one.
    """
    places: dict[tuple[str, ...], Place | None] = {(tie.start, tie.end): tie.place for tie in shape.ties}
    source = _Source(Figures(plan.units), slab, places, shape.place)
    network, n = network_of(shape), len(shape.corners)
    inward = None if shape.inward is None else frozenset(shape.inward)
    try:
        found = tape.solve(
            network,
            clockwise=shape.turning is Turning.CLOCKWISE,
            rises=rises_of(shape),
            inward=inward,
            feet=source.figures.is_us,
        )
    except Unsolved as error:
        raise source.refused(error) from error
    at = [
        source.place((a, b))
        for a, b in zip(shape.corners, shape.corners[1:] + shape.corners[:1], strict=True)
    ]
    outline = source.solved(found.points[:n], shape.corners, shape.sides(), at)
    return replace(
        outline,
        std_m=found.std_m[:n],
        area_std_m2=found.area_std_m2,
        survey=tape_report(network, found),
        points={
            name: (float(x), float(y)) for name, (x, y) in zip(shape.points, found.points[n:], strict=True)
        },
        notices=(*source.notices(found.findings), *outline.notices),
    )


def network_of(shape: TapeShape) -> Network:
    """What was taped, for the solver."""
    std = std_of(shape.accuracy, shape.instrument)
    return Network(
        corners=shape.corners,
        points=shape.points,
        ties=tuple(
            Tie(
                start=tie.start,
                end=tie.end,
                length_m=tie.length.m,
                std_m=tie.accuracy.m if tie.accuracy is not None else std(tie.length.m),
            )
            for tie in shape.ties
        ),
        squares=shape.squares,
        square_std_rad=float(np.radians(SQUARE_STD_DEG)),
        on_sides=shape.on_side,
        on_side_std_m=max(std(0.0), INSTRUMENTS[DEFAULT].std_m),
    )


def rises_of(shape: TapeShape) -> tape.Rises:
    """Arc rises of the sides of a tape sheet."""
    std = std_of(shape.accuracy, shape.instrument)
    taped = {frozenset((tie.start, tie.end)): tie.length.m for tie in shape.ties}
    pairs = zip(shape.corners, shape.corners[1:] + shape.corners[:1], strict=True)
    rises = [
        _rise_out_m(side, taped.get(frozenset(pair), 0.0))
        for side, pair in zip(shape.sides(), pairs, strict=True)
    ]
    return tape.Rises(
        out_m=np.array(rises), std_m=np.array([std(abs(rise)) if rise else 0.0 for rise in rises])
    )


def solve_offsets(shape: OffsetsShape, plan: Plan, slab: Slab) -> SolvedShape:
    """Outline of a baseline with offsets, counter-clockwise from the start of the baseline.

    Raises:
        PlanError: the stations or offsets make no outline.
    """
    places: dict[tuple[str, ...], Place | None] = {(str(k),): s.place for k, s in enumerate(shape.stations)}
    source = _Source(Figures(plan.units), slab, places, shape.place)
    std = std_of(shape.accuracy, shape.instrument)
    try:
        found = offsets.solve(
            np.array([row.station.m for row in shape.stations]),
            np.array([row.offset.m for row in shape.stations]),
            baseline_m=shape.baseline.m,
            smooth=shape.smooth,
            std_m=std(max(row.offset.m for row in shape.stations)),
            tolerance_m=EDGE_TOLERANCE_M,
        )
    except Unsolved as error:
        raise source.refused(error) from error
    last_end, first_end = shape.end_sides
    along = {
        offsets.Part.BASELINE: shape.baseline_side,
        offsets.Part.EDGE: shape.edge_side,
        offsets.Part.LAST_END: last_end,
        offsets.Part.FIRST_END: first_end,
    }
    labels = lettered([""] * len(found.points))
    at = (source.place((str(k),)) for k in found.stations)
    bulges = tuple(found.bulges.tolist()) if shape.smooth else ()
    outline = source.solved(found.points, labels, tuple(along[part] for part in found.parts), at, bulges)
    return replace(
        outline,
        area_std_m2=found.area_std_m2,
        survey=SurveyReport(
            method="offsets", measurements=(), remarks=(in_words(found.remark, source.figures)[0],)
        ),
        notices=(*source.notices(found.findings), *outline.notices),
    )

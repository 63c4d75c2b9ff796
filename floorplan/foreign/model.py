"""A drawing from elsewhere, as read: line work, layers, texts, and what was left out.

Coordinates are in drawing units. Words: a *loop* is a closed run of pieces that does not meet itself;
the loops that stand in no other are *outlines*, those directly inside one are its *cut-outs*, those
inside a cut-out are *islands* (floor again).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from ..errors import Notice
from ..values import dataclass, field
from .strokes import Strokes


@dataclass(frozen=True, slots=True)
class Layer:
    """A layer by its name as written; `hidden` when it is off or frozen."""

    name: str
    hidden: bool = False


@dataclass(frozen=True, slots=True)
class Label:
    """A text and where it stands, in drawing units."""

    text: str
    x: float
    y: float
    layer: str


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Entities that were not used: how many of a kind on a layer, and why."""

    kind: str
    layer: str
    count: int
    why: str


@dataclass(frozen=True, slots=True)
class DimensionText:
    """A dimension that states its length in words, and what it measures in drawing units."""

    text: str
    measured: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Everything that a file holds, before ends are joined and loops found.

    Attributes:
        name: of the file, as given.
        form: "DXF R2000 (AC1015)", "GeoJSON", … for people.
        strokes: line work.
        layers: every layer, in the order of the file.
        kinds: kinds of entity, as `Strokes.kind` counts them.
        labels: texts.
        left_out: what was not used.
        unit_m: metres for one drawing unit as the file says, None where it does not say.
        unit_said: how the file says it, in words, "" where it does not.
        dimensions: dimensions that state their length.
        hatches: reads the outlines of hatches, for when nothing else closes; None where there are none.
        notices: what was mended, contradictions.
        damage: what was lost and cannot be mended, in words; figures from such a file are given only on
            request.
    """

    name: str
    form: str
    strokes: Strokes
    layers: tuple[Layer, ...]
    kinds: tuple[str, ...]
    labels: tuple[Label, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    unit_m: float | None = None
    unit_said: str = ""
    dimensions: tuple[DimensionText, ...] = ()
    hatches: Callable[[], Strokes] | None = None
    notices: tuple[Notice, ...] = ()
    damage: tuple[Notice, ...] = ()
    header: Mapping[str, str] = field(default_factory=dict)

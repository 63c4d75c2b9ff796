"""A solved shape: where the corners of a slab are, however it was measured."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from ..errors import Fault, Notice, Place
from ..geometry.rings import Ring
from ..plan.model import Side
from ..values import dataclass, field
from .model import SurveyReport

LARGEST_COORDINATE_M: Final = 1e8
"""Beyond this a double no longer holds a micrometre, and nothing on earth is measured from so far away."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SolvedShape:
    """The outline of a slab in the plane, in the user's order and direction.

    Attributes:
        ring: corners and bulges; side i runs from corner i to the next.
        labels: one for each corner.
        sides: what stands along each side, as typed.
        std_m: standard error of each corner; empty where coordinates are taken as exact.
        area_std_m2: standard error of the enclosed area, 0 where coordinates are exact.
        survey: how the measurements fitted; None for typed corners.
        points: named points that are not corners, such as tied post centres.
        notices: what the user should know of the solving.
    """

    ring: Ring
    labels: tuple[str, ...]
    sides: tuple[Side, ...]
    std_m: tuple[float, ...] = ()
    area_std_m2: float = 0.0
    survey: SurveyReport | None = None
    points: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    notices: tuple[Notice, ...] = ()

    def __post_init__(self) -> None:
        n = len(self.ring)
        if len(self.labels) != n or len(self.sides) != n:
            raise ValueError(f"{n} corners need as many labels and sides")
        object.__setattr__(self, "points", MappingProxyType(dict(self.points)))

    def side_label(self, i: int) -> str:
        """Name of side i, "A-B"."""
        return f"{self.labels[i]}-{self.labels[(i + 1) % len(self.labels)]}"

    def side_between(self, ends: tuple[str, str]) -> int | None:
        """Index of the side between two corners, either way round; None where there is none."""
        return side_index(self.labels).get(ends)


def side_index(labels: tuple[str, ...]) -> dict[tuple[str, str], int]:
    """Side by its two corners, either way round; the way of the outline wins where both exist."""
    n = len(labels)
    found = {(labels[(i + 1) % n], labels[i]): i for i in range(n)}
    found |= {(labels[i], labels[(i + 1) % n]): i for i in range(n)}
    return found


def fault(code: str, text: str, place: Place | None, hint: str = "") -> Fault:
    """A fault of the plan; short, because measuring makes many."""
    return Fault(code=code, text=text, place=place, hint=hint)

"""Which area a layer is spread on: floor, treads, faces, risers and the hand-ground band of a slab."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ..measure.model import MeasuredSteps, SlabTakeoff
from ..system.model import Surface
from ..values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Areas of one slab by surface, m²; `std_m2` is the standard error of the floor."""

    slab: str
    areas: tuple[tuple[Surface, float], ...]
    std_m2: float = 0.0

    def on(self, surfaces: Sequence[Surface]) -> tuple[tuple[Surface, float], ...]:
        """The surfaces that a layer covers and this slab has."""
        return tuple((s, area) for s, area in self.areas if s in surfaces and area > 0)


def spread_of(slab: SlabTakeoff, steps: Sequence[MeasuredSteps] = ()) -> Spread:
    """Areas of a slab, with the flights of steps that are coated with it.

    The floor is the material area (net, plus the small openings that the plan's rule keeps). Treads are
    floor to the roller; risers and open cheeks are verticals.
    """
    border = border_area_m2(slab)
    areas = (
        (Surface.FLOOR, slab.material_area_m2),
        (Surface.TREADS, sum(flight.tread_area_m2 for flight in steps)),
        (Surface.FACES, slab.face_area_m2),
        (Surface.RISERS, sum(flight.riser_area_m2 + flight.cheek_area_m2 for flight in steps)),
        (Surface.BAND, slab.band_area_m2),
        (Surface.FIELD, slab.material_area_m2 - border),
        (Surface.BORDER, border),
    )
    return Spread(slab=slab.name, areas=areas, std_m2=slab.area_std_m2)


def border_area_m2(slab: SlabTakeoff) -> float:
    """Net floor within the system's border width of the outline; 0 without a border."""
    floor = border_floor(slab)
    return 0.0 if floor is None else float(floor.area)


def border_floor(slab: SlabTakeoff) -> Any:
    """That floor as a figure in metres; None without a border."""
    width = slab.slab.system.border_m
    if not width:
        return None
    return slab.regions.net.difference(slab.regions.outline.buffer(-width, quad_segs=64))

"""Pours and their zones, as values."""

from __future__ import annotations

from shapely import Polygon

from ..values import dataclass
from .batches import Batch
from .clock import Times


@dataclass(frozen=True, slots=True, kw_only=True)
class PourZone:
    """One batch of one coat on one slab.

    Attributes:
        slab: its name; slab_index in the plan.
        layer: name of the coat.
        order: place in the pouring order of this layer over all slabs, from 1.
        floor: polygon in metres.
        area_m2: of the floor.
        vertical_m2: faces and risers that this batch covers.
        litres: mixed product, waste included.
        kits: of the usual size, as a part.
        carried_l: what comes from the batch before because a kit is not quite enough.
        flake_kg: thrown.
        grit_kg: stirred in.
        wet_edge_m: edges shared with floor that is poured later.
        off_joint_m: of those, not on a joint.
        wet_edge_age_min: age of the oldest of them when it is met; None without one.
        away_m: walking distance from its middle to the exit.
        throw_m: farthest floor from where somebody can stand dry.
        times: clock, minutes from the first mixing of the pour.
    """

    slab: str
    slab_index: int
    layer: str
    order: int
    floor: Polygon
    area_m2: float
    vertical_m2: float
    litres: float
    kits: float
    carried_l: float
    flake_kg: float
    grit_kg: float
    wet_edge_m: float
    off_joint_m: float
    wet_edge_age_min: float | None
    away_m: float
    throw_m: float
    times: Times


@dataclass(frozen=True, slots=True, kw_only=True)
class Pour:
    """One coat of the job: zones of every slab that has it, in pouring order.

    Attributes:
        layer: name of the coat.
        batch: of the first slab; slabs of one pour share product, not always the rate.
        zones: in order.
        people: that spread.
    """

    layer: str
    batch: Batch
    zones: tuple[PourZone, ...]
    people: int

    @property
    def mixed_l(self) -> tuple[float, ...]:
        """Litres to mix for each zone: its own less what the batch before brings, and what it gives on."""
        onward = [*(zone.carried_l for zone in self.zones[1:]), 0.0]
        return tuple(
            zone.litres - zone.carried_l + given for zone, given in zip(self.zones, onward, strict=True)
        )

    @property
    def minutes(self) -> float:
        """From the first mixing to the last floor spread."""
        return max((zone.times.end for zone in self.zones), default=0.0)

"""How much floor one batch of a coat covers: what is in the kit, and what the crew can spread in time.

Words: a *batch* is what is mixed at once, at most one kit; *spreading* is squeegee and roller together.
"""

from __future__ import annotations

import math
from typing import Final

from ..system.model import Broadcast, Coat, CoatingSystem, Grade, Measure, Surface, Times
from ..units.factors import SQFT_M2
from ..values import dataclass
from .temperature import at_temperature

SAFETY_MIN: Final = 5.0
"""Minutes of the pail's life that are kept in hand: common practice, no source."""
FLAKE_SHARE: Final = 25.0 / 45.0
"""Full flake is down within this share of the floor time after mixing, so that the recheck at 10 to 20
minutes still falls on wet floor (25 of 45 min, common practice, no source)."""
RECHECK_MIN: Final = (10.0, 20.0)
"""When thrown floor is looked over for wet and bald spots, minutes: common practice, no source."""
WET_EDGE_MIN: Final = 10.0
"""A wet edge is met within so many minutes: common practice, no source."""
_SPREAD_SQFT: Final = (8.0, 16.0, 25.0, 32.0)
"""Square feet a minute that one, two, three, four people spread: three spread 20 to 30 (common practice, no
source); the others are in proportion, a little less where they stand in each other's way."""
_SMOOTH: Final = Grade(name="", factor=1.0, low=1.0, high=1.0)


def spread_rate_m2_per_min(people: int) -> float:
    """Floor that a crew spreads in a minute."""
    if people < 1:
        raise ValueError(f"people must be >= 1, got {people!r}")
    return _SPREAD_SQFT[min(people, len(_SPREAD_SQFT)) - 1] * SQFT_M2


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """One batch of one coat.

    Attributes:
        coat: what is spread.
        broadcast: what is thrown into it, None for nothing.
        kit_l: in the usual pack.
        coverage_m2_per_l: of floor, after grade and texture, before waste.
        vertical_m2_per_l: of faces and risers.
        rate_m2_per_min: what the crew spreads.
        times: clock of the material at the temperature of the day.
    """

    coat: Coat
    broadcast: Broadcast | None
    kit_l: float
    coverage_m2_per_l: float
    vertical_m2_per_l: float
    rate_m2_per_min: float
    times: Times

    @property
    def kit_m2(self) -> float:
        """Floor that the kit covers after waste."""
        return self.kit_l * self.coverage_m2_per_l / (1.0 + self.coat.waste)

    @property
    def flake_by_min(self) -> float | None:
        """Minutes after mixing by which a full broadcast is down; None where nothing is thrown to refusal."""
        if self.broadcast is None or not self.broadcast.full or self.times.floor_min is None:
            return None
        return self.times.floor_min * FLAKE_SHARE

    @property
    def spread_min(self) -> float:
        """Minutes that a batch may take to spread; infinite where the material does not go off."""
        limits = [self.flake_by_min]
        if self.times.pail_min is not None:
            limits.append(max(self.times.pail_min - SAFETY_MIN, 1.0))
        return min((limit for limit in limits if limit is not None), default=math.inf)

    @property
    def clock_m2(self) -> float:
        """Floor that the crew spreads before the pail or the flake runs out of time."""
        return self.rate_m2_per_min * self.spread_min

    @property
    def area_m2(self) -> float:
        """The largest floor for one batch: the smaller of kit and clock."""
        return min(self.kit_m2, self.clock_m2)

    def litres(self, load_m2: float) -> float:
        """Mixed product for a load of floor, waste included."""
        return load_m2 / self.coverage_m2_per_l * (1.0 + self.coat.waste)

    def as_floor_m2(self, vertical_m2: float) -> float:
        """Floor that takes as much of the coat as so much vertical face."""
        return vertical_m2 * self.coverage_m2_per_l / self.vertical_m2_per_l


def batches(
    system: CoatingSystem,
    *,
    surface: str = "",
    rate_m2_per_min: float,
    temperature_c: float | None = None,
) -> tuple[Batch, ...]:
    """A batch of every coat that covers floor, in the order of the work."""
    grade = system.grade_of(surface) if system.grades else _SMOOTH
    found = []
    for k, layer in enumerate(system.layers):
        if not isinstance(layer, Coat) or Surface.FLOOR not in layer.on:
            continue
        if layer.product.measure is not Measure.VOLUME:
            continue
        after = system.layers[k + 1] if k + 1 < len(system.layers) else None
        batch = Batch(
            coat=layer,
            broadcast=after if isinstance(after, Broadcast) else None,
            kit_l=layer.product.packs[0],
            coverage_m2_per_l=layer.coverage_m2_per_l(Surface.FLOOR, grade.factor),
            vertical_m2_per_l=layer.coverage_m2_per_l(Surface.RISERS, grade.factor),
            rate_m2_per_min=rate_m2_per_min,
            times=at_temperature(layer.times, temperature_c),
        )
        found.append(batch)
    return tuple(found)

"""The clock of a pour: when each batch is mixed, spread, thrown into, looked over, and when its edge is met.

Minutes from the moment the first batch is mixed. Crews of three and more mix the next batch while the last is
spread; smaller ones stop for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from ..values import dataclass
from .batches import RECHECK_MIN, Batch

MIXES_ALONGSIDE: Final = 3
"""People from which one of them mixes while the others spread: common practice, no source."""
PASS_M: Final = 0.4572
"""Width of one pass with an 18 in squeegee."""
MIX_MIN: Final = 3.0
"""Mixing where a product states no time: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Times:
    """Clock of one zone, minutes from the first mixing; None where a time does not apply.

    Attributes:
        mix: the batch is mixed from here.
        start: spreading.
        end: spread, and what is thrown is thrown in as it goes.
        flake_by: full broadcast down.
        pail_by: the pail must be empty.
        recheck: from and to.
    """

    mix: float
    start: float
    end: float
    flake_by: float | None
    pail_by: float | None
    recheck: tuple[float, float] | None


def pour_clock(batch: Batch, loads_m2: Sequence[float], people: int) -> tuple[Times, ...]:
    """The clock of zones poured one after another by one crew."""
    mix_min = batch.times.mix_min if batch.times.mix_min is not None else MIX_MIN
    found: list[Times] = []
    ready = 0.0
    for load in loads_m2:
        mix = ready if not found or people < MIXES_ALONGSIDE else max(ready - mix_min, 0.0)
        start = mix + mix_min
        end = start + load / batch.rate_m2_per_min
        flake = batch.flake_by_min
        pail = batch.times.pail_min
        thrown = batch.broadcast is not None
        found.append(
            Times(
                mix=mix,
                start=start,
                end=end,
                flake_by=None if flake is None else start + flake,
                pail_by=None if pail is None else start + pail,
                recheck=(end + RECHECK_MIN[0], end + RECHECK_MIN[1]) if thrown else None,
            )
        )
        ready = end
    return tuple(found)


def edge_age_min(batch: Batch, edge_m: float, end: float, next_start: float) -> float:
    """How old a wet edge is when it is met: the wait, and a pass along it on either side."""
    return next_start - end + 2.0 * edge_m * PASS_M / batch.rate_m2_per_min

"""How well each measuring instrument reads: one standard error of a length.

Every row is common practice, no source, except the rounding of a scale to its nearest mark, which is the
standard deviation of a uniform error, mark / √12.
"""

from __future__ import annotations

import math

from ..units.factors import FOOT_M, INCH_M
from ..values import dataclass

DEFAULT = "blade tape"


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """One row of the instrument table.

    Attributes:
        name: as typed in a plan.
        std_m: standard error of a length up to `reach_m`.
        far_std_m: standard error beyond `reach_m`.
        reach_m: where the second figure takes over.
        share: error that grows with the length, added as a square.
        note: what spoils its readings.
    """

    name: str
    std_m: float
    far_std_m: float
    reach_m: float = math.inf
    share: float = 0.0
    note: str = ""

    def std_of_m(self, length_m: float) -> float:
        """Standard error of one length, metres.

        >>> round(INSTRUMENTS["reel tape"].std_of_m(20 * FOOT_M) / INCH_M, 3)
        0.25
        """
        fixed = self.std_m if length_m <= self.reach_m else self.far_std_m
        return math.hypot(fixed, self.share * length_m)


def _row(
    name: str, inches: float, note: str, *, far_inches: float = 0.0, reach_ft: float = math.inf
) -> Instrument:
    far = far_inches or inches
    return Instrument(
        name=name, std_m=inches * INCH_M, far_std_m=far * INCH_M, reach_m=reach_ft * FOOT_M, note=note
    )


INSTRUMENTS = {
    row.name: row
    for row in (
        _row(DEFAULT, 1 / 8, "hook play; a bend at the wall costs 1/4 in inside a corner"),
        _row(
            "reel tape",
            1 / 4,
            "sag and pull; is the zero at the ring or at a mark?",
            far_inches=1 / 2,
            reach_ft=50,
        ),
        _row("laser", 1 / 8, "fails in sun, misses low edges, reads to the trim, not to the slab"),
        Instrument(
            name="wheel", std_m=0.0, far_std_m=0.0, share=0.01, note="for a first call, not for an order"
        ),
        Instrument(
            name="decimal tape",
            std_m=0.1 * FOOT_M / math.sqrt(12.0),
            far_std_m=0.1 * FOOT_M / math.sqrt(12.0),
            note="tenths of a foot, not inches: 12.6 ft is 12'-7 3/16\"",
        ),
    )
}

SQUARE_STD_DEG = 0.25
"""A corner checked square: 1/4 in on the 10 of a 6-8-10 is 1/4 degree (common practice, no source)."""

ANGLE_STD_DEG = 0.5
"""A direction or angle of a walk: 1/4 in on the 5 of a 3-4-5 is about 1/2 degree (common practice)."""

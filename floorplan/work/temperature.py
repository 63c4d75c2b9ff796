"""What temperature does to the clock of a mixed material: a rule of thumb, not a data sheet."""

from __future__ import annotations

from typing import Final

from ..system.model import Times
from ..values import replace

HALVES_EVERY_C: Final = 10.0
"""Times halve with every 10 °C (18 °F) of warmer material: rule of thumb (common practice, no source)."""
RULE_WORDS: Final = "times halve for every 10 °C (18 °F) warmer: a rule of thumb, the data sheet governs"
USUAL_C: Final = (75.0 - 32.0) / 1.8
"""Times without a stated temperature are taken to be for 75 °F: common practice, no source."""
_SPEEDS_UP: Final = ("pail_min", "floor_min", "dry_h", "recoat_min_h", "recoat_max_h")
_WAITS: Final = ("foot_h", "furniture_h", "vehicle_h")


def factor(at_c: float | None, now_c: float | None) -> float:
    """What times stated at one temperature are multiplied by at another.

    >>> factor(24.0, 34.0)
    0.5
    """
    if now_c is None:
        return 1.0
    return float(2.0 ** (((USUAL_C if at_c is None else at_c) - now_c) / HALVES_EVERY_C))


def at_temperature(times: Times, now_c: float | None) -> Times:
    """The clock of a material at the temperature it has now; None leaves it as stated.

    Foot, furniture and vehicle times are kept where it is warmer: nobody should drive on a floor earlier
    because of a rule of thumb.
    """
    share = factor(times.at_c, now_c)
    shares = dict.fromkeys(_SPEEDS_UP, share) | dict.fromkeys(_WAITS, max(1.0, share))
    stated = {name: getattr(times, name) for name in shares}
    return replace(times, **{n: value * shares[n] for n, value in stated.items() if value is not None})

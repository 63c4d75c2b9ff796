"""Drawing scales, largest first, and how each is written.

Sources: US architect's and engineer's scales (ratio = inches in a foot over inches on paper); ISO 5455
recommended scales for reduction.
"""

from __future__ import annotations

import math

from ..errors import Fault, SheetError
from ..values import dataclass


@dataclass(frozen=True, slots=True)
class Scale:
    """A scale: 48 for 1:48, and its name on a US drawing ("" on a metric one)."""

    ratio: float
    words: str = ""

    def __str__(self) -> str:
        """`1/4" = 1'-0" (1:48)` or `1:50`."""
        plain = f"1:{self.ratio:g}"
        return f"{self.words} ({plain})" if self.words else plain

    def paper_mm(self, length_m: float) -> float:
        """A length of floor on paper."""
        return length_m * 1000.0 / self.ratio


ARCHITECTS = (
    Scale(4, '3" = 1\'-0"'),
    Scale(8, '1 1/2" = 1\'-0"'),
    Scale(12, '1" = 1\'-0"'),
    Scale(16, '3/4" = 1\'-0"'),
    Scale(24, '1/2" = 1\'-0"'),
    Scale(32, '3/8" = 1\'-0"'),
    Scale(48, '1/4" = 1\'-0"'),
    Scale(64, '3/16" = 1\'-0"'),
    Scale(96, '1/8" = 1\'-0"'),
    Scale(128, '3/32" = 1\'-0"'),
    Scale(192, '1/16" = 1\'-0"'),
)
ENGINEERS = (
    Scale(120, "1\" = 10'"),
    Scale(240, "1\" = 20'"),
    Scale(360, "1\" = 30'"),
    Scale(480, "1\" = 40'"),
    Scale(600, "1\" = 50'"),
    Scale(720, "1\" = 60'"),
)
US_SCALES = tuple(sorted(ARCHITECTS[2:] + ENGINEERS, key=lambda scale: scale.ratio))
METRIC_SCALES = tuple(Scale(ratio) for ratio in (10, 20, 50, 100, 200, 500, 1000))

US_READABLE = 96.0
"""Smallest scale at which bands still read: 1/8 in to the foot (common practice, no source)."""
METRIC_READABLE = 100.0


def scales(*, metric: bool) -> tuple[Scale, ...]:
    """The standard scales, largest drawing first."""
    return METRIC_SCALES if metric else US_SCALES


def readable(*, metric: bool) -> float:
    """The ratio beyond which a plan is rather laid over several sheets."""
    return METRIC_READABLE if metric else US_READABLE


def read_scale(text: str) -> Scale | None:
    """`1:48`, `1/48` or `48` as a scale, None for "auto" or nothing.

    Raises:
        SheetError: it is none of these.
    """
    plain = text.strip().casefold().replace(" ", "")
    if plain in ("", "auto"):
        return None
    number = plain.removeprefix("1:").removeprefix("1/")
    try:
        ratio = float(number)
    except ValueError:
        ratio = math.nan
    if not 1.0 <= ratio <= 10_000.0:
        text_ = f'cannot read the scale "{text}"'
        raise SheetError(Fault(code="scale-unreadable", text=text_, hint='write "1:48" or "auto"'))
    named = (scale for scale in (*ARCHITECTS, *ENGINEERS) if math.isclose(scale.ratio, ratio))
    return next(named, Scale(ratio))

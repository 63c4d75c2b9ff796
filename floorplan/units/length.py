"""Lengths: a value in metres with the user's own text beside it."""

from __future__ import annotations

from enum import StrEnum

from ..values import dataclass, field


class UnitStyle(StrEnum):
    """How bare numbers are read and how results are written."""

    FT_IN = "ft-in"
    FT = "ft"
    IN = "in"
    M = "m"
    CM = "cm"
    MM = "mm"

    @property
    def is_us(self) -> bool:
        """True where feet and inches, gallons and pounds are written; False in metric."""
        return self in (UnitStyle.FT_IN, UnitStyle.FT, UnitStyle.IN)


@dataclass(frozen=True, slots=True)
class Length:
    """A length in metres, and the text that it was read from ("" when worked out)."""

    m: float
    text: str = field(default="", compare=False)

"""Hold points: where somebody signs before the work goes on."""

from __future__ import annotations

from typing import Final

from ..values import dataclass


@dataclass(frozen=True, slots=True)
class Hold:
    """One hold point.

    Attributes:
        code: "H0" to "H5".
        short: for a crowded sheet.
        text: in full.
    """

    code: str
    short: str
    text: str


BEFORE: Final = Hold(
    "H0",
    "dry, bare, sound",
    "slab dry, bare, sound, 28 days old or more; tests written down",
)
READY: Final = Hold(
    "H1",
    "profile even, edges signed off",
    "profile even, edges and pockets ground and signed off on the plan",
)
THROWN: Final = Hold(
    "H2",
    "no wet spots, no bald spots",
    "looked over 10 to 20 min after each zone: no wet spots, no bald spots",
)
SWEPT: Final = Hold(
    "H3",
    "no loose flake, no bald area",
    "no loose flake, no bald area (touch in before the topcoat)",
)
BETWEEN: Final = Hold(
    "H4",
    "no puddles, dry to touch",
    "no puddles in grooves, dry to touch, inside the recoat window",
)
DONE: Final = Hold(
    "H5",
    "walk-off, actuals, care sheet",
    "walked off with the owner, actuals written down, care sheet handed over",
)
HOLDS: Final = (BEFORE, READY, THROWN, SWEPT, BETWEEN, DONE)
"""Hold points of a broadcast floor (trade brief 6.2, common practice, no source)."""

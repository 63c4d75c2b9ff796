"""Cautions for everybody on site; they defer to safety data sheets, local codes and licensed practice."""

from __future__ import annotations

from typing import Final

CAUTIONS: Final = (
    "Labels and safety data sheets govern; local codes too.",
    "Silica dust: shroud and rated vacuum, no dry sweeping (29 CFR 1926.1153 or local rule).",
    "Hardener, topcoat: no skin contact; stop on rash, wheeze.",
    "Isopropyl burns: no flame, heater, spark; let it dry fully.",
    "Leftover mix heats in the pail: spread it thin outdoors.",
    "Wet floor is slippery; mark drops, pits and pools.",
    "No saw or chase before slab heat, conduit and tendons are ruled out; test old coatings.",
    "Keep dust, slurry, coating out of pool, lawn and drains.",
    "Check the figures on site before mixing.",
)
"""Trade brief 9 and row F of the outside checks (common practice, no source)."""

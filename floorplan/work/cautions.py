"""Cautions for everybody on site; they defer to safety data sheets, local codes and licensed practice."""

from __future__ import annotations

from typing import Final

CAUTIONS: Final = (
    "read the label and the safety data sheet of every component; they govern over this plan",
    "grinding makes silica dust: shroud and rated vacuum, no dry sweeping or blowing; see 29 CFR 1926.1153",
    "hardeners and topcoats sensitise: no skin contact; stop and get help on rash, wheeze or tight chest",
    "isopropyl alcohol burns: no flames, heaters, chargers or smoking; air out, fully dry before coating",
    "a mixed pail heats up: pour it out at once in ribbons, spread leftovers thin outdoors",
    "check slab temperature, dew point and weather before each coat, and write them down",
    "wet floor is slippery, spiked shoes on wet base only; mark drops, pits and pools; mind what you lift",
    "no sawing or chasing until heating, conduit and tendons are ruled out; test old coatings first",
    "keep water, lawn and drains clean; waste by local rule",
    "quantities come from the measurements entered: check on site before mixing; local codes apply",
)
"""Trade brief 9 and row F13 of the outside checks (common practice, no source)."""

"""The two worked estimates of the trade brief (common practice, no source), as plans and takeoffs."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import floorplan
from floorplan.measure.model import Takeoff

FOLDER = Path(__file__).parent / "data" / "estimates"
SQFT = 0.3048**2
GALLON = 231 * 0.0254**3 * 1000
POUND = 0.45359237


@cache
def estimate(name: str) -> Takeoff:
    """Takeoff of "patio" (estimate A) or "garage" (estimate B)."""
    return floorplan.takeoff(floorplan.load(FOLDER / f"{name}.toml"))

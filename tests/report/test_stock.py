"""The stock ledger as text: rates of closed jobs in the units of the plan."""

from __future__ import annotations

import pytest

from floorplan.order.stock import Learned, What
from floorplan.report.stock import rates_text
from floorplan.system.model import Measure
from floorplan.units.figures import Figures
from floorplan.units.length import UnitStyle

SQFT_M2, FOOT_M = 0.3048**2, 0.3048
GALLON_L, POUND_KG = 231 * 0.0254**3 * 1000, 0.45359237


@pytest.mark.parametrize(
    ("measure", "over", "us", "metric"),
    [
        # In US units by the exact factors; in metric units as they stand: 3.5 m² or m to one.
        (Measure.VOLUME, "sq ft", f"{3.5 / SQFT_M2 * GALLON_L:.1f} sq ft/gal", "3.5 m²/L"),
        (Measure.WEIGHT, "sq ft", f"{3.5 / SQFT_M2 * POUND_KG:.1f} sq ft/lb", "3.5 m²/kg"),
        (Measure.VOLUME, "ft", f"{3.5 / FOOT_M * GALLON_L:.1f} ft/gal", "3.5 m/L"),
        (Measure.PIECE, "ft", f"{3.5 / FOOT_M:.1f} ft/piece", "3.5 m/piece"),
        (None, "m2", f"{3.5 / SQFT_M2:.1f} sq ft/h", "3.5 m²/h"),
    ],
)
def test_learned_rate_in_the_units_of_the_plan(
    measure: Measure | None, over: str, us: str, metric: str
) -> None:
    """Floor to the gallon, pound, piece or hour of work, or to the litre and kilogram."""
    rate = Learned(
        name="thing", what=What.USED, measure=measure, over_unit=over, typical=3.5, learned=7.0, jobs=2
    )
    for style, words in ((UnitStyle.FT_IN, us), (UnitStyle.M, metric)):
        assert f" {words} " in rates_text([rate], Figures(style))

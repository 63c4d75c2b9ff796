"""Lengths in words on a sheet."""

from __future__ import annotations

import pytest

from floorplan.drawing.wording import typed
from floorplan.units.figures import Figures
from floorplan.units.length import Length, UnitStyle


@pytest.mark.parametrize(
    ("text", "metres", "style", "shown"),
    [
        ("6 in", 0.1524, UnitStyle.FT_IN, "6 in"),
        ("100 mm", 0.1, UnitStyle.FT_IN, "100 mm"),
        ("6 in", 0.1524, UnitStyle.M, "152 mm"),
        ("2' 6\"", 0.762, UnitStyle.MM, "762 mm"),
        ("15 cm", 0.15, UnitStyle.M, "15 cm"),
        ("", 0.15, UnitStyle.M, "0.150"),
    ],
)
def test_typed_length_on_a_sheet(text: str, metres: float, style: UnitStyle, shown: str) -> None:
    """The user's own words stand, but a metric sheet shows no inches (1 in = 25.4 mm): the crew's tape has
    none."""
    assert typed(Length(metres, text), Figures(style)) == shown

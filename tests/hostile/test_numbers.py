"""Numbers that Python reads and a person did not mean."""

from __future__ import annotations

import pytest

from floorplan.errors import DataFileError
from floorplan.order.firm_reader import read_firm
from floorplan.system.reader import read_system

SYSTEM = """
extends = "clear-seal"
[surfaces.rough]
factor = 1.5
range = {}
"""


@pytest.mark.parametrize("value", ['"- "', '["nan", "1e999"]', '["1.2", "x"]'])
def test_range_of_a_surface_that_is_no_number(value: str) -> None:
    """A span of factors that cannot be read is a fault at its line."""
    with pytest.raises(DataFileError) as caught:
        read_system(SYSTEM.format(value), "ours.toml", "ours")
    fault = caught.value.faults[0]
    assert fault.code.startswith("count-")
    assert fault.place is not None
    assert fault.place.line == 5


@pytest.mark.parametrize("crew", ['"²"', '"' + "9" * 400 + '"', '"-1"', '"1.5"', '"nan"'])
def test_crew_that_is_no_number_of_people(crew: str) -> None:
    """Raised figures, endless ones and parts of people are refused."""
    with pytest.raises(DataFileError):
        read_firm(f"[order]\ncrew = {crew}\n", "firm.toml")


@pytest.mark.parametrize("days", ['"²"', '"' + "9" * 400 + '"', '"nan"'])
def test_validity_that_is_no_time(days: str) -> None:
    """So with the days that a quote holds."""
    with pytest.raises(DataFileError):
        read_firm(f"[price]\nvalidity = {days}\n", "firm.toml")

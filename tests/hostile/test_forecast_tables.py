"""Forecast files that are no tables."""

from __future__ import annotations

import pytest

from floorplan.files.cells import Faults
from floorplan.plan.forecast import csv_forecast


@pytest.mark.parametrize("text", ["time,air\r2027-05-04\rx", 'time,air,humidity\n"' + "9" * 200_000])
def test_forecast_that_is_no_table_is_refused(text: str) -> None:
    """Bare carriage returns and endless cells, which the csv module refuses, are told in words."""
    faults = Faults()
    assert csv_forecast(text, "hours.csv", faults) == ()
    assert [fault.code for fault in faults.found] == ["forecast-unreadable"]
    assert "hours.csv is not a table of values with commas between them" in faults.found[0].text


def test_forecast_without_a_line_is_refused() -> None:
    """An empty file is told apart from a damaged one."""
    faults = Faults()
    assert csv_forecast("", "hours.csv", faults) == ()
    assert [fault.code for fault in faults.found] == ["forecast-empty"]

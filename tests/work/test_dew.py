"""Dew points against published tables and a reference library; the two surface rules kept apart."""

from __future__ import annotations

import psychrolib
import pytest
from outside import rows

from floorplan.units.factors import celsius, fahrenheit
from floorplan.work.dew import SpreadRule, dew, dew_point_c, humidity_from_wet_bulb


@pytest.mark.parametrize("row", rows("c_ambient", "C1-"), ids=lambda row: row["id"])
def test_dew_point_is_the_magnus_form(row) -> None:
    """The WMO Magnus form is reproduced, and psychrolib and MetPy agree within the stated spread."""
    found = dew_point_c(row["inputs"]["t_c"], row["inputs"]["rh"] / 100)
    for name, expected in row["expected"].items():
        assert found == pytest.approx(expected, abs=row["tolerance"][name]), (name, row["source"])


@pytest.mark.parametrize("row", rows("c_ambient", "C2-"), ids=lambda row: row["id"])
def test_dew_point_agrees_with_a_printed_table(row) -> None:
    """A printed table to a hundredth of a degree."""
    for humidity, expected in zip(row["inputs"]["rh"], row["expected"]["dew_c"], strict=True):
        found = dew_point_c(row["inputs"]["t_c"], humidity / 100)
        assert found == pytest.approx(expected, abs=row["tolerance"]), row["source"]


@pytest.mark.parametrize("row", [*rows("c_ambient", "C3-"), *rows("c_ambient", "C4")], ids=lambda r: r["id"])
def test_dew_point_agrees_with_a_trade_chart(row) -> None:
    """A coarse chart in whole degrees Fahrenheit."""
    for air, expected in zip(row["inputs"]["t_f"], row["expected"]["dew_f"], strict=True):
        found = fahrenheit(dew_point_c(celsius(air), row["inputs"]["rh"] / 100))
        assert found == pytest.approx(expected, abs=row["tolerance"]), row["source"]


@pytest.mark.parametrize(("air_f", "humidity", "dew_f"), [(60, 0.8, 53.8), (70, 0.8, 63.5), (85, 0.7, 74.1)])
def test_dew_point_of_the_trade_brief(air_f: float, humidity: float, dew_f: float) -> None:
    """Three check values of the trade brief (common practice, no source), to its last digit."""
    assert fahrenheit(dew_point_c(celsius(air_f), humidity)) == pytest.approx(dew_f, abs=0.06)


@pytest.mark.parametrize("row", rows("c_ambient", "C5"), ids=lambda row: row["id"])
def test_worked_example_falls_short_of_three_degrees(row) -> None:
    """A slab 2 degrees above the dew point is refused by the 3 °C rule."""
    given = row["inputs"]
    found = dew(given["t_c"], given["rh"] / 100, given["surface_c"], SpreadRule.CELSIUS_3)
    assert found.point_c == pytest.approx(row["expected"]["dew_c"], abs=row["tolerance"]), row["source"]
    assert found.spread_c == pytest.approx(row["expected"]["margin_c"], abs=row["tolerance"])
    assert found.dry is row["expected"]["ok_3c"]


@pytest.mark.parametrize("row", rows("c_ambient", "C6"), ids=lambda row: row["id"])
def test_wet_bulb_gives_the_dew_point(row) -> None:
    """A sling psychrometer's worked example."""
    given = row["inputs"]
    humidity = humidity_from_wet_bulb(given["t_c"], given["tw_c"])
    found = dew(given["t_c"], humidity, given["surface_c"], SpreadRule.CELSIUS_3)
    assert found.point_c == pytest.approx(row["expected"]["dew_c"], abs=row["tolerance"]), row["source"]
    assert found.spread_c == pytest.approx(row["expected"]["margin_c"], abs=row["tolerance"])


@pytest.mark.parametrize(("dry", "wet"), [(10, 8), (21, 17), (30, 22), (35, 34), (5, 5)])
def test_wet_bulb_agrees_with_a_reference_library(dry: float, wet: float) -> None:
    """Humidity from a wet bulb against psychrolib (ASHRAE equations) at sea level."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    expected = psychrolib.GetRelHumFromTWetBulb(dry, wet, 101325.0)
    assert humidity_from_wet_bulb(dry, wet) == pytest.approx(expected, abs=0.01)


def test_three_celsius_and_five_fahrenheit_are_two_rules() -> None:
    """3 °C is 5.4 °F, so a slab 5.2 °F above the dew point passes one rule and not the other."""
    quoted = rows("c_ambient", "C8")[0]["expected"]
    assert SpreadRule.CELSIUS_3.value == quoted["margin_c"]
    assert SpreadRule.CELSIUS_3.value * 1.8 == pytest.approx(quoted["margin_f_exact"])
    assert SpreadRule.FAHRENHEIT_5.value * 1.8 == pytest.approx(quoted["margin_f_quoted"])
    surface = dew_point_c(20.0, 0.6) + 5.2 / 1.8
    assert dew(20.0, 0.6, surface, SpreadRule.FAHRENHEIT_5).dry
    assert not dew(20.0, 0.6, surface, SpreadRule.CELSIUS_3).dry


@pytest.mark.parametrize("rule", SpreadRule)
def test_spread_on_the_limit_is_dry(rule: SpreadRule) -> None:
    """Exactly as far above the dew point as asked is enough, a hundredth less is not."""
    limit = dew_point_c(20.0, 0.6) + rule.value
    assert dew(20.0, 0.6, limit, rule).dry
    assert not dew(20.0, 0.6, limit - 0.01, rule).dry


@pytest.mark.parametrize(("air", "humidity"), [(-46, 0.5), (61, 0.5), (20, 0.0), (20, 1.01)])
def test_dew_point_out_of_range(air: float, humidity: float) -> None:
    """Outside the range of the coefficients there is no dew point."""
    with pytest.raises(ValueError, match="out of range"):
        dew_point_c(air, humidity)


def test_saturated_air_has_its_own_temperature_as_dew_point() -> None:
    """At 100 % the dew point is the air temperature."""
    assert dew_point_c(17.0, 1.0) == pytest.approx(17.0, abs=1e-9)


def test_wet_bulb_above_dry_bulb() -> None:
    """A wet bulb cannot be warmer than the dry one."""
    with pytest.raises(ValueError, match="wet_bulb_c"):
        humidity_from_wet_bulb(20.0, 21.0)

"""Figures are written in the plan's units, feet and inches rounded once."""

from __future__ import annotations

import math

import pytest

from floorplan.units.factors import FOOT_M, GALLON_L, INCH_M, POINT_MM, POUND_KG, SQFT_M2
from floorplan.units.figures import Figures, duration, percent
from floorplan.units.length import UnitStyle

US = Figures(UnitStyle.FT_IN)
METRIC = Figures(UnitStyle.M)


@pytest.mark.parametrize(
    ("inches", "text"),
    [
        (0, '0"'),
        (3, '3"'),
        (2.999, '3"'),
        (0.125, '1/8"'),
        (0.0625, '1/8"'),
        (0.0624, '0"'),
        (-0.01, '0"'),
        (11.9, '11 7/8"'),
        (11.99, "1'-0\""),
        (35.875, "2'-11 7/8\""),
        (35.99, "3'-0\""),
        (312, "26'-0\""),
        (24.125, "2'-0 1/8\""),
        (150.5, "12'-6 1/2\""),
        (-30, "-2'-6\""),
    ],
)
def test_length_feet_and_inches_rounded_once_to_eighths(inches: float, text: str) -> None:
    """2.999 in is 3", never 2 1/1"; halves go up; there is no -0"."""
    assert US.length(inches * INCH_M) == text


def test_length_sixteenths_on_request() -> None:
    """15/16 in stays with sixteenths and becomes a whole inch with eighths."""
    assert Figures(UnitStyle.FT_IN, 16).length(35.9375 * INCH_M) == "2'-11 15/16\""
    assert US.length(35.9375 * INCH_M) == "3'-0\""


@pytest.mark.parametrize(
    ("style", "text"),
    [("ft", "12.54 ft"), ("in", '150 1/2"'), ("m", "3.823 m"), ("cm", "382.3 cm"), ("mm", "3823 mm")],
)
def test_length_other_styles(style: str, text: str) -> None:
    """150.5 in = 12.5417 ft = 3.8227 m."""
    assert Figures(UnitStyle(style)).length(150.5 * INCH_M) == text


def test_quantities_in_both_systems() -> None:
    """Each kind has its US and its metric unit; the expected metric figures are worked from exact factors."""
    assert US.run(39.977 * FOOT_M) == "39.98 ft"
    assert METRIC.run(39.977 * FOOT_M) == "12.18 m"  # 39.977 x 0.3048 = 12.185 less 0.00001
    assert US.area(636.13 * SQFT_M2) == "636.1 sq ft"
    assert METRIC.area(59.1) == "59.10 m²"
    assert US.volume(4.8 * GALLON_L) == "4.80 gal"
    assert METRIC.volume(4.8 * GALLON_L) == "18.17 L"
    assert US.weight(140 * POUND_KG) == "140.0 lb"
    assert METRIC.weight(140 * POUND_KG) == "63.5 kg"
    assert US.rate(160 * SQFT_M2 / GALLON_L) == "160 sq ft/gal"
    assert METRIC.rate(160 * SQFT_M2 / GALLON_L) == "3.93 m²/L"
    assert US.weight_rate(0.22 * POUND_KG / SQFT_M2) == "0.220 lb/sq ft"
    assert METRIC.weight_rate(0.22 * POUND_KG / SQFT_M2) == "1.07 kg/m²"
    assert US.thickness(2.54e-4) == "10.0 mil"
    assert METRIC.thickness(2.54e-4) == "254 µm"
    assert US.temperature(24) == "75 °F"
    assert METRIC.temperature(24) == "24 °C"
    assert US.density(1.1) == "9.18 lb/gal"
    assert METRIC.density(1.1) == "1.100 kg/L"
    assert US.speed(15 * 0.44704) == "15 mph"
    assert METRIC.speed(15 * 0.44704) == "24 km/h"


def test_figure_number_and_unit_apart() -> None:
    """A table head takes the unit, its column the numbers."""
    assert (US.figure("area", SQFT_M2).number, US.unit("area")) == ("1.0", "sq ft")
    assert US.figure("area", SQFT_M2, 3).number == "1.000"


def test_percent_and_duration() -> None:
    """Shares and times as people say them."""
    assert (percent(0.05), percent(0.125, 1)) == ("5%", "12.5%")
    assert [duration(s) for s in (2700, 5400, 7200, 23400, 259200)] == [
        "45 min",
        "90 min",
        "2 h",
        "6.5 h",
        "3 days",
    ]


@pytest.mark.parametrize("bad", [float("nan"), float("inf")])
def test_figure_not_finite_is_a_callers_mistake(bad: float) -> None:
    """No sheet ever shows nan."""
    with pytest.raises(ValueError):
        US.length(bad)
    with pytest.raises(ValueError):
        METRIC.area(bad)
    with pytest.raises(ValueError):
        Figures(UnitStyle.FT_IN, 10)


def test_section_of_a_joint_in_small_units() -> None:
    """Joint sections are written in inches or whole millimetres, whatever unit the plan uses."""
    assert Figures(UnitStyle.M).section(0.004, 0.025) == "4 x 25 mm"
    assert Figures(UnitStyle.FT).section(3 * 0.0254 / 8, 3 * 0.0254 / 4) == '3/8" x 3/4"'


def test_days_are_written_from_two_on() -> None:
    """24 h is a day's work away, 48 h are two days, 49 h are no whole days."""
    assert [duration(hours * 3600) for hours in (24, 48, 49, 72)] == ["24 h", "2 days", "49 h", "3 days"]


def test_point_is_a_seventy_second_of_an_inch() -> None:
    """Source: ISO 32000-1, 8.3.2.3: the unit of default user space is 1/72 inch (from memory)."""
    assert pytest.approx(25.4) == POINT_MM * 72


@pytest.mark.parametrize(
    ("figures", "area_m2", "text"),
    [
        # A sleeve of 10 mm: pi/4 x 0.01² = 0.00007854 m², over 0.09290304 = 0.000845 sq ft.
        (METRIC, 0.25 * math.pi * 0.01**2, "0.000079 m²"),
        (US, 0.25 * math.pi * 0.01**2, "0.00085 sq ft"),
        (METRIC, 0.005, "0.01 m²"),  # halves up: what `area` can show it shows
        (METRIC, 0.00499, "0.0050 m²"),
        (US, 0.04 * SQFT_M2, "0.040 sq ft"),
        (METRIC, 0.0, "0.00 m²"),
        (METRIC, 1e-15, "0.00 m²"),  # the dust of sums
        (METRIC, 12.345, "12.35 m²"),
    ],
)
def test_area_of_a_small_thing(figures: Figures, area_m2: float, text: str) -> None:
    """A thing of the plan never reads as no area, and any other area reads as everywhere."""
    assert figures.small_area(area_m2) == text

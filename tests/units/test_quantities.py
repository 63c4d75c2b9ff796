"""Areas, volumes, rates, temperatures, durations, angles and bearings as people write them."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from floorplan.units import reading
from floorplan.units.reading import Unreadable

GOOD = [
    (reading.read_area, "636 sq. ft.", 636 * 0.09290304),
    (reading.read_area, "59,1 m²", 59.1),
    (reading.read_area, "1 square foot", 0.09290304),
    (reading.read_area, "144 sq in", 0.09290304),
    (reading.read_area, "1 sq yd", 0.9144**2),
    (reading.read_area, "10000 cm2", 1.0),
    (reading.read_volume, "3 gal", 3 * 3.785411784),
    (reading.read_volume, "4 qt", 3.785411784),
    (reading.read_volume, "8 pints", 3.785411784),
    (reading.read_volume, "231 cu in", 3.785411784),
    (reading.read_volume, "1728 in3", 1728 * 0.0254**3 * 1000),
    (reading.read_volume, "1 cu ft", 1728 * 0.0254**3 * 1000),
    (reading.read_volume, "750 ml", 0.75),
    (reading.read_volume, "0.02 m3", 20.0),
    (reading.read_weight, "500 g", 0.5),
    (reading.read_volume, "10.1 fl oz", 10.1 * 0.0295735295625),
    (reading.read_volume, "5.7 L", 5.7),
    (reading.read_weight, "40 lbs", 40 * 0.45359237),
    (reading.read_weight, "5 oz", 5 * 0.45359237 / 16),
    (reading.read_rate, "160 sq ft/gal", 160 * 0.09290304 / 3.785411784),
    (reading.read_rate, "160 sf/gal", 160 * 0.09290304 / 3.785411784),
    (reading.read_rate, "160 square feet per gallon", 160 * 0.09290304 / 3.785411784),
    (reading.read_rate, "3.9 m2/L", 3.9),
    (reading.read_weight_rate, "0.22 lb/sq ft", 0.22 * 0.45359237 / 0.09290304),
    (reading.read_density, "1.1 kg/L", 1.1),
    (reading.read_thickness, "10 mils", 2.54e-4),
    (reading.read_thickness, "250 µm", 2.5e-4),
    (reading.read_thickness, "2 mm", 0.002),
    (reading.read_thickness, "1/4 in", 0.00635),
    (reading.read_temperature, "212 F", 100.0),
    (reading.read_temperature, "-40°F", -40.0),
    (reading.read_temperature, "24 °C", 24.0),
    (reading.read_duration, "1 h 30 min", 5400.0),
    (reading.read_duration, "6.5 hrs", 23400.0),
    (reading.read_duration, "2 days", 172800.0),
    (reading.read_duration, "45 s", 45.0),
    (reading.read_speed, "15 mph", 15 * 0.44704),
    (reading.read_speed, "36 km/h", 10.0),
    (reading.read_speed, "7 m/s", 7.0),
    (reading.read_percent, "5%", 0.05),
    (reading.read_percent, "12.5 percent", 0.125),
    (reading.read_percent, "0", 0.0),
    (reading.read_angle, "30 deg", 30.0),
    (reading.read_angle, "-30°", -30.0),
    (reading.read_angle, "12°30'", 12.5),
    (reading.read_angle, "12-30-36", 12.51),
    (reading.read_bearing, "N 35 E", 35.0),
    (reading.read_bearing, "N35-30E", 35.5),
    (reading.read_bearing, "S 75°30'36\" W", 255.51),
    (reading.read_bearing, "S 30 E", 150.0),
    (reading.read_bearing, "N 35 W", 325.0),
    (reading.read_bearing, "due north", 0.0),
    (reading.read_bearing, "due east", 90.0),
    (reading.read_bearing, "due south", 180.0),
    (reading.read_bearing, "due west", 270.0),
    (reading.read_bearing, "N 90 E", 90.0),
    (reading.read_bearing, "N 0 W", 0.0),
    (reading.read_bearing, "N E", 45.0),
    (reading.read_bearing, "azimuth 125.5", 125.5),
    (reading.read_bearing, "-90", 270.0),
]


@pytest.mark.parametrize(("reader", "text", "value"), GOOD, ids=[row[1] for row in GOOD])
def test_quantity_read_in_metric(reader: Callable[[str], float], text: str, value: float) -> None:
    """Each is its number times the exact factor of its unit."""
    assert reader(text) == pytest.approx(value, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize(
    ("reader", "text", "low", "high"),
    [
        (reading.read_duration_range, "18–24 h", 64800, 86400),
        (reading.read_duration_range, "10 to 20 min", 600, 1200),
        (reading.read_duration_range, "30 min", 1800, 1800),
        (reading.read_temperature_range, "50-90 F", 10, 290 / 9),
        (reading.read_temperature_range, "50 F to 90 F", 10, 290 / 9),
    ],
)
def test_range_read(reader: Callable[[str], tuple[float, float]], text: str, low: float, high: float) -> None:
    """A range gives its ends, one value gives itself twice."""
    assert reader(text) == pytest.approx((low, high))


FAULTS = [
    (
        reading.read_area,
        "636",
        "area-no-unit",
        "the area 636 has no unit",
        "write it like 636 sq ft or 59 m2",
    ),
    (reading.read_area, "-1 m2", "area-negative", "the area -1 m2 is below zero", ""),
    (
        reading.read_area,
        "1,636 sq ft",
        "area-comma",
        "the comma may be a thousands mark or point",
        "write 1636 or",
    ),
    (reading.read_rate, "160 gal", "rate-unit", "gal is no unit for it", "160 sq ft/gal"),
    (reading.read_weight_rate, "2 lb", "weight-rate-unit", "lb is no unit for it", "lb/sq ft"),
    (reading.read_percent, "5", "share-no-unit", "the share 5 has no unit", "write it like 5%"),
    (reading.read_temperature, "75", "temperature-no-unit", "the temperature 75 has no unit", "75 F or 24 C"),
    (reading.read_temperature, "50-90 F", "temperature-range", "one temperature is wanted", ""),
    (reading.read_duration, "18-24 h", "duration-range", "one duration is wanted", ""),
    (reading.read_duration_range, "24-18 h", "duration-range", "runs from high to low", ""),
    (reading.read_duration_range, "1 h - 30 min", "duration-unit", "mixes units", ""),
    (reading.read_volume, "99999999999 L", "volume-absurd", "far too large", "check the number"),
    (reading.read_bearing, "N 95 E", "bearing-range", "turns more than 90 degrees", "azimuth 125.5"),
    (reading.read_angle, "12°75'", "angle-range", "has 75 minutes", "minutes stay below 60"),
    (reading.read_angle, "12.5°30'", "angle-unreadable", "parts of a degree and minutes both", ""),
    (reading.read_angle, "12-30.5-10", "angle-unreadable", "parts of a degree and minutes both", ""),
    (reading.read_angle, "99999", "angle-range", "more than ten full turns", ""),
    (reading.read_angle, "steep", "angle-unreadable", "cannot read the angle steep", "30 deg"),
]


@pytest.mark.parametrize(
    ("reader", "text", "code", "words", "hint"), FAULTS, ids=[row[2] + row[1] for row in FAULTS]
)
def test_quantity_fault(reader: Callable[[str], object], text: str, code: str, words: str, hint: str) -> None:
    """Each fault has its code and says what is wrong and what would be right."""
    with pytest.raises(Unreadable) as caught:
        reader(text)
    assert caught.value.code == code
    assert words in caught.value.text
    assert hint in caught.value.hint


READERS = [
    getattr(reading, name) for name in reading.__all__ if name.startswith("read_") and name != "read_length"
]


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=90) | st.text(alphabet="0123456789 .-,/%°'\"NSEWFClbgahmsqft½", max_size=14))
def test_quantity_any_text_is_read_or_unreadable(text: str) -> None:
    """No reader raises anything but `Unreadable`, and none gives a number that is not finite."""
    for reader in READERS:
        try:
            value = reader(text)
        except Unreadable as problem:
            assert problem.start <= problem.end
            continue
        for number in value if isinstance(value, tuple) else (value,):
            assert abs(number) < 1e14


@pytest.mark.parametrize(("text", "count"), [("4", 4.0), (" 1.5 ", 1.5), ("0", 0.0), ("2 1/2", 2.5)])
def test_count_is_a_bare_number(text: str, count: float) -> None:
    """A number of pieces has no unit."""
    assert reading.read_count(text) == count


@pytest.mark.parametrize("text", ["", "nan", "inf", "-3", "4 gal", "9" * 400, "1e3", "- "])
def test_count_refuses_what_is_no_count(text: str) -> None:
    """Words, signs, units and numbers beyond all counting are refused."""
    with pytest.raises(Unreadable) as caught:
        reading.read_count(text)
    assert caught.value.code.startswith("count-")

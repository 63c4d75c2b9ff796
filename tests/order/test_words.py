"""Figures as the order's sums write them, in feet and in metres."""

from __future__ import annotations

import pytest

from floorplan.order.words import Words, plural
from floorplan.system.model import Measure
from floorplan.units.length import UnitStyle

US, METRIC = Words(UnitStyle.FT_IN), Words(UnitStyle.M)
GALLON, POUND, INCH = 3.785411784, 0.45359237, 0.0254


@pytest.mark.parametrize(
    ("words", "measure", "amount", "text"),
    [
        (US, Measure.VOLUME, 3 * GALLON, "3 gal"),
        (US, Measure.VOLUME, 10.1 * GALLON / 128, "10.1 fl oz"),
        (US, Measure.VOLUME, GALLON / 4, "0.25 gal"),
        (US, Measure.WEIGHT, 40 * POUND, "40 lb"),
        (US, Measure.WEIGHT, POUND / 2, "0.5 lb"),
        (US, Measure.LENGTH, 30.48, "100 ft"),
        (US, Measure.LENGTH, 0.3048, "1 ft"),
        (US, Measure.PIECE, 12.0, "12"),
        (METRIC, Measure.VOLUME, 10.0, "10 L"),
        (METRIC, Measure.VOLUME, 0.299, "299 mL"),
        (METRIC, Measure.WEIGHT, 0.5, "0.5 kg"),
        (METRIC, Measure.LENGTH, 0.5, "0.5 m"),
    ],
)
def test_pack_size_in_words(words: Words, measure: Measure, amount: float, text: str) -> None:
    """Small volumes are fluid ounces (128 to the gallon) or millilitres; small weights and lengths stay."""
    assert words.size(measure, amount) == text


@pytest.mark.parametrize(
    ("words", "width_m", "text"),
    [
        (US, 3 / 16 * INCH, "3/16 in"),
        (US, 1.5 * INCH, "1 1/2 in"),
        (US, 0.1 * INCH, "0.1 in"),
        (US, 0.18755 * INCH, "0.188 in"),
        (METRIC, 0.012, "12 mm"),
        (METRIC, 0.0125, "12.5 mm"),
    ],
)
def test_width_of_a_joint_in_words(words: Words, width_m: float, text: str) -> None:
    """Whole sixteenths are written as fractions, all else as a decimal that a sum can be redone from."""
    assert words.inches(width_m) == text


def test_rates_and_small_weights_in_words() -> None:
    """160 / 1.15 = 139.130, 160 / 1.3 = 123.077; 5 oz are 141.7 g."""
    rate = 160 * 0.3048**2 / GALLON
    assert US.rate(rate / 1.15) == "139.13 sq ft per gal"
    assert US.rate(rate / 1.3) == "123.08 sq ft per gal"
    assert US.rate(rate) == "160 sq ft per gal"
    assert US.weight_rate(0.22 * POUND / 0.3048**2) == "0.22 lb per sq ft"
    assert US.small_weight(5 * POUND / 16) == "5 oz"
    assert METRIC.small_weight(5 * POUND / 16) == "142 g"


def test_plural_words() -> None:
    """One is one; words in a hiss take es."""
    assert [plural(1, "kit"), plural(2, "kit"), plural(0, "kit")] == ["1 kit", "2 kits", "0 kits"]
    assert [plural(4, "box"), plural(2, "brush"), plural(3, "day")] == ["4 boxes", "2 brushes", "3 days"]

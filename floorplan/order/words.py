"""Sums in the trade's own units: figures, rates and packs as a pencil would write them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..system.model import Measure
from ..units import factors
from ..units.figures import Figures
from ..units.length import UnitStyle
from ..units.rounding import decimal_text
from ..values import dataclass

if TYPE_CHECKING:
    from ..measure.model import MeasuredSteps

_KIND = {Measure.VOLUME: "volume", Measure.WEIGHT: "weight", Measure.LENGTH: "run"}


def plain(value: float, digits: int = 2) -> str:
    """A number with at most so many digits after the point, no trailing zeros: `3`, `1.5`, `10.1`."""
    text = decimal_text(value, digits)
    return text.rstrip("0").rstrip(".") if "." in text else text


def share(value: float) -> str:
    """A share as `5 %`, `12.5 %`."""
    return f"{plain(value * 100, 1)} %"


def plural(count: float, word: str) -> str:
    """`1 kit`, `2 kits`, `4 boxes`."""
    if count == 1:
        return f"{plain(count)} {word}"
    return f"{plain(count)} {word}{'es' if word.endswith(('x', 's', 'sh', 'ch')) else 's'}"


@dataclass(frozen=True, slots=True)
class Words:
    """Writes amounts in the units of a plan; amounts are litres, kilograms, metres or pieces."""

    style: UnitStyle

    @property
    def figures(self) -> Figures:
        """The plain figures of the plan."""
        return Figures(self.style)

    def unit(self, measure: Measure) -> str:
        """`gal`, `lb`, `ft`, or "" for pieces."""
        return self.figures.unit(_KIND[measure]) if measure in _KIND else ""

    def number(self, measure: Measure, amount: float) -> float:
        """An amount in the plan's unit."""
        if measure is Measure.PIECE:
            return amount
        us = {
            Measure.VOLUME: factors.GALLON_L,
            Measure.WEIGHT: factors.POUND_KG,
            Measure.LENGTH: factors.FOOT_M,
        }
        return amount / us[measure] if self.figures.is_us else amount

    def amount(self, measure: Measure, amount: float, digits: int = 2) -> str:
        """`4.80 gal`, `139.95 lb`, `3.00` for pieces."""
        text = decimal_text(self.number(measure, amount), digits)
        return f"{text} {self.unit(measure)}".rstrip()

    def size(self, measure: Measure, amount: float) -> str:
        """A pack's size without needless zeros: `3 gal`, `40 lb`; cartridges as `10.1 fl oz`, `299 mL`."""
        if measure is Measure.VOLUME and amount < factors.QUART_L:
            if self.figures.is_us:
                return f"{plain(amount / factors.FLUID_OUNCE_L, 1)} fl oz"
            return f"{plain(amount * 1000, 0)} mL"
        return f"{plain(self.number(measure, amount))} {self.unit(measure)}".rstrip()

    def area(self, area_m2: float) -> str:
        """`636.1 sq ft`."""
        return self.figures.area(area_m2)

    def rate(self, rate_m2_per_l: float) -> str:
        """`139.13 sq ft per gal`, `120 sq ft per gal`."""
        return f"{self.rate_number(rate_m2_per_l)} {self.figures.unit('rate').replace('/', ' per ')}"

    def rate_number(self, rate_m2_per_l: float) -> str:
        """The number of a rate alone: `160`; fine enough that a sum can be redone from it."""
        return plain(float(self.figures.figure("rate", rate_m2_per_l, 2).number))

    def weight_rate(self, rate_kg_per_m2: float) -> str:
        """`0.22 lb per sq ft`."""
        figure = self.figures.figure("weight_rate", rate_kg_per_m2, 4)
        number = figure.number.rstrip("0").rstrip(".")
        return f"{number} {figure.unit.replace('/', ' per ')}"

    def small_weight(self, weight_kg: float) -> str:
        """`5 oz`, `142 g`."""
        if self.figures.is_us:
            return f"{plain(weight_kg / factors.OUNCE_KG)} oz"
        return f"{plain(weight_kg * 1000, 0)} g"

    def run(self, length_m: float) -> str:
        """`45.75 ft`."""
        return self.figures.run(length_m)

    def inches(self, length_m: float) -> str:
        """A joint's width or depth: `3/16 in`, `12 mm`."""
        if not self.figures.is_us:
            return f"{plain(length_m * 1000, 1)} mm"
        text = Figures(UnitStyle.IN, 16).length(length_m)
        shown = text.removesuffix('"').removeprefix("0 ")
        exact = abs(round(length_m / factors.INCH_M * 16) - length_m / factors.INCH_M * 16) < 1e-6
        return f"{shown} in" if exact else f"{plain(length_m / factors.INCH_M, 3)} in"


def step_words(flight: MeasuredSteps) -> str:
    """What of a flight is coated."""
    return "treads, risers and open sides" if flight.cheek_area_m2 else "treads and risers"

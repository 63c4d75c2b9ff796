"""Rounding rules on both sides of their limits, and money to the cent."""

from __future__ import annotations

from decimal import Decimal

import pytest

from floorplan.units.money import money_text, read_money, times, to_cents, total
from floorplan.units.reading import Unreadable
from floorplan.units.rounding import decimal_text, half_even, half_up, up_to_step, whole_packs


def test_halves_go_up_or_to_even() -> None:
    """The two published rules for ties, negatives mirrored."""
    assert [half_up(x) for x in (0.4999, 0.5, 1.5, 2.5, -0.5, -2.4)] == [0, 1, 2, 3, -1, -2]
    assert [half_even(x) for x in (0.5, 1.5, 2.5, -0.5)] == [0, 2, 2, 0]


def test_packs_round_up_but_for_dust() -> None:
    """2.0000000001 packs are 2; 2.001 are 3; nothing needs nothing."""
    assert [whole_packs(n, 1) for n in (0, 1e-12, 0.001, 2, 2.0000000001, 2.001)] == [0, 0, 1, 2, 2, 3]
    assert whole_packs(0.1 + 0.2, 0.1) == 3
    for bad in ((-1, 1), (1, 0), (float("nan"), 1)):
        with pytest.raises(ValueError):
            whole_packs(*bad)


def test_price_rounded_up_to_ten() -> None:
    """The hand-worked estimates: 7,000.95 is quoted as 7,010, 5,620.05 as 5,630 (common practice)."""
    assert up_to_step(Decimal("7000.95"), Decimal(10)) == 7010
    assert up_to_step(Decimal("5620.05"), Decimal(10)) == 5630
    assert up_to_step(Decimal("7010"), Decimal(10)) == 7010


def test_decimal_text_has_no_minus_zero() -> None:
    """Halves go away from zero, on the decimal as written."""
    assert [decimal_text(x, 1) for x in (0.25, -0.25, -0.04, 1.005)] == ["0.3", "-0.3", "0.0", "1.0"]
    assert decimal_text(1.005, 2) == "1.01"


def test_money_is_read_summed_and_written() -> None:
    """Sums are exact, cents are rounded by one rule."""
    assert [read_money(t) for t in ("$1,250.00", "12.5", "-$4", "0.105")] == [
        Decimal("1250.00"),
        Decimal("12.5"),
        Decimal("-4"),
        Decimal("0.105"),
    ]
    assert to_cents(Decimal("2.345")) == Decimal("2.35")
    assert total(Decimal("0.10") for _ in range(3)) == Decimal("0.30")
    assert total([]) == Decimal("0.00")
    assert times(Decimal("45"), 39.4) == Decimal("1773.00")  # hand-worked estimate: 39.4 x 45
    assert money_text(Decimal("7010")) == "$7,010.00"
    assert money_text(Decimal("-4.005"), "") == "-4.01"


@pytest.mark.parametrize("text", ["", "$", "1,25", "12 kg", "nan", "1e9", "99999999999", "$1.2.3"])
def test_money_unreadable(text: str) -> None:
    """A comma must part thousands, and nothing else may stand there."""
    with pytest.raises(Unreadable) as caught:
        read_money(text)
    assert caught.value.code.startswith("amount-")

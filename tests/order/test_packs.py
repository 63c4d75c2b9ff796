"""Whole packs: rounding up, margins, and the best mix against trying everything."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floorplan.order.packs import best_mix, round_up


def every_mix(need: int, sizes: list[int], prices: list[Fraction]) -> tuple[Fraction, int, int]:
    """Least (price, total, packs) that covers a need, by trying every count of every size."""
    ranges = [range(-(-need // size) + 1) for size in sizes]
    return min(
        (sum(n * p for n, p in zip(counts, prices, strict=True)), total, sum(counts))
        for counts in product(*ranges)
        for total in [sum(n * size for n, size in zip(counts, sizes, strict=True))]
        if total >= need
    )


@given(
    st.integers(1, 40),
    st.lists(st.integers(1, 12), min_size=1, max_size=3, unique=True),
    st.lists(st.integers(1, 30), min_size=3, max_size=3),
)
def test_best_mix_equals_trying_everything(need: int, sizes: list[int], prices: list[int]) -> None:
    """The mix of least price, then least total, then fewest packs is the one found by brute force."""
    money = [Fraction(p) for p in prices[: len(sizes)]]
    counts = best_mix(float(need), [float(size) for size in sizes], money)
    total = sum(n * size for n, size in zip(counts, sizes, strict=True))
    price = sum(n * p for n, p in zip(counts, money, strict=True))
    assert (price, total, sum(counts)) == every_mix(need, sizes, money)


@given(st.integers(1, 60), st.lists(st.integers(1, 12), min_size=1, max_size=3, unique=True))
def test_least_spare_equals_trying_everything(need: int, sizes: list[int]) -> None:
    """Without prices the total is the least that covers the need, in the fewest packs."""
    counts = best_mix(float(need), [float(size) for size in sizes])
    total = sum(n * size for n, size in zip(counts, sizes, strict=True))
    _, least, packs = every_mix(need, sizes, [Fraction(size) for size in sizes])
    assert (total, sum(counts)) == (least, packs)


def test_large_need_is_mixed_at_once_and_exactly() -> None:
    """1000.5 gal of 3 and 1.5 gal kits: 333 of 3 gal and one of 1.5 gal leave nothing."""
    assert best_mix(1000.5, (3.0, 1.5)) == (333, 1)


@pytest.mark.parametrize("fives", [0, 1, 2, 3, 100, 20_000])
def test_large_need_takes_as_many_of_the_other_size_as_small_ones(fives: int) -> None:
    """By hand: 5 for 5.00 or 6 for 6.01. 24 is four sixes, 24.04, or five fives, 25.00, one to spare.

    So 24 and any number of fives more are four sixes and that many fives; no plan has five sixes, for 30 is
    six fives, 30.00 against 30.05.
    """
    assert best_mix(24.0 + 5 * fives, (5.0, 6.0), [500, 601]) == (fives, 4)
    assert best_mix(30.0 + 5 * fives, (5.0, 6.0), [500, 601]) == (fives + 6, 0)


def test_best_unit_price_decides_a_large_need() -> None:
    """By hand: 3 for 7 is dearer by the unit than 2 for 4, 2.33 against 2.00; 2001 is 999 twos and a three.

    1000 twos and a half-used one cost 4004, 999 twos and a three 4003. Where both cost 2.00 the large pack
    goes first, which is fewest packs: 667 threes.
    """
    assert best_mix(2001.0, (2.0, 3.0), [4, 7]) == (999, 1)
    assert best_mix(2001.0, (2.0, 3.0), [4, 6]) == (0, 667)


@pytest.mark.parametrize("prices", [None, [4, 7]])
def test_nothing_needed_is_no_pack(prices: list[int] | None) -> None:
    """No need, no packs, whatever they cost."""
    assert best_mix(0.0, (2.0, 3.0), prices) == (0, 0)


def test_sizes_without_a_common_unit_never_fall_short() -> None:
    """A US gallon and ten litres: whatever is chosen holds the need."""
    sizes = (3.785411784, 10.0)
    for need in (0.5, 3.78, 10.01, 13.9, 47.3):
        assert sum(n * size for n, size in zip(best_mix(need, sizes), sizes, strict=True)) >= need


@pytest.mark.parametrize(
    ("need", "std", "thin", "packs", "why"),
    [
        # By hand, packs of 3: 4.80 is 1.6 packs; 17.82 is 5.94 and leaves 1 %; 5.91 is 1.97 packs ± 0.04.
        (4.80, 0.0, 0.05, 2, ""),
        (17.82, 0.0, 0.05, 7, "thin"),
        (17.82, 0.0, 0.0, 6, ""),
        (5.91, 0.06, 0.0, 3, "uncertain"),
        (5.91, 0.04, 0.0, 2, ""),
        (6.0, 0.0, 0.0, 2, ""),
        (6.0 + 1e-12, 0.0, 0.0, 2, ""),
        (0.0, 0.0, 0.05, 0, ""),
    ],
)
def test_rounding_up(need: float, std: float, thin: float, packs: int, why: str) -> None:
    """Up once, one more for a thin margin or a taped area that may be larger, nothing for nothing."""
    found = round_up(need, 3.0, std=std, thin=thin)
    assert (found.packs, found.why) == (packs, why)


def test_thin_margin_stops_at_five_per_cent() -> None:
    """Just under 5 % spare orders one more, just over does not."""
    assert round_up(6 / 1.0499, 3.0, thin=0.05).why == "thin"
    assert round_up(6 / 1.0501, 3.0, thin=0.05).why == ""


@given(st.floats(0, 1e5), st.floats(0.1, 100), st.floats(0, 0.2))
def test_packs_hold_the_need(need: float, size: float, thin: float) -> None:
    """Packs times size is at least the need, and never more than two packs above it."""
    found = round_up(need, size, thin=thin)
    assert found.packs * size >= need * (1 - 1e-9)
    assert found.packs * size < need + 2 * size + 1e-9 * need

"""Whole packs for a need: rounded up once, with a margin, and the best mix of several pack sizes."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import gcd, lcm

from ..units.rounding import DUST, whole_packs
from ..values import dataclass

# Two standard errors: the area is larger than that in about one job of forty (normal errors).
STD_REACH = 2.0
# Spare above this share of a pack is said: a smaller pack or another rate may fit. Common practice, no
# source.
LARGE_SPARE = 0.6


@dataclass(frozen=True, slots=True, kw_only=True)
class Rounding:
    """How a need became packs.

    Attributes:
        packs: to have, with the extra one where there is one.
        needed: need in packs, not rounded.
        extra: 1 where one more is taken for the area's uncertainty or a thin margin.
        why: "uncertain", "thin" or "".
        large: the spare is more than `LARGE_SPARE` of a pack.
    """

    packs: int
    needed: float
    extra: int = 0
    why: str = ""
    large: bool = False


def round_up(need: float, size: float, *, std: float = 0.0, thin: float = 0.0) -> Rounding:
    """Packs of one size for a need.

    Args:
        need: >= 0; nothing needed is no pack.
        size: of a pack, > 0.
        std: standard error of the need; two of them past the last pack order one more.
        thin: spare below this share of the need orders one more; 0 never does.
    """
    packs = whole_packs(need, size)
    spare = packs * size - need
    why = ""
    if need > 0 and std > 0 and need + STD_REACH * std > packs * size * (1 + DUST):
        why = "uncertain"
    elif thin > 0 and need > 0 and spare < thin * need * (1 - DUST):
        why = "thin"
    extra = 1 if why else 0
    large = not extra and need > 0 and spare > LARGE_SPARE * size
    return Rounding(packs=packs + extra, needed=need / size, extra=extra, why=why, large=large)


def best_mix(
    need: float, sizes: Sequence[float], prices: Sequence[Fraction | int] | None = None
) -> tuple[int, ...]:
    """How many of each pack size cover a need at least cost; ties go to least spare, then to fewest packs.

    Args:
        need: >= 0.
        sizes: each > 0, in the same measure as `need`.
        prices: of one pack of each size; None counts the measure itself, which is least spare.

    Returns:
        A count for each size, in the order given. Exact where the sizes have a common unit (3, 1.5 and 1 gal
        do); otherwise sizes are taken down to a hundredth of the smallest, so that packs are never short.

    >>> best_mix(4.19, (3.0, 1.5))
    (1, 1)
    """
    unit, units = _common_unit(sizes)
    target = whole_packs(need, unit)
    cost = _whole([Fraction(p) for p in prices]) if prices is not None else units
    best = min(range(len(units)), key=lambda i: (Fraction(cost[i], units[i]), -units[i]))
    # Of any w items some add up to a multiple of w units and could be packs of the best unit price
    # instead, so fewer than w = units[best] others are ever needed: the rest of a large need is the best
    # pack.
    keep = (units[best] - 1) * max(units)
    bulk = max(0, (target - keep) // units[best])
    counts = _cover(target - bulk * units[best], units, cost)
    return tuple(n + (bulk if i == best else 0) for i, n in enumerate(counts))


def apportioned(packs: int, shares: Sequence[float]) -> tuple[int, ...]:
    """Whole packs shared out by weight: largest remainders, the first colour first where they tie.

    >>> apportioned(4, (0.5, 0.3, 0.2))
    (2, 1, 1)
    """
    exact = [packs * part for part in shares]
    counts = [int(value + DUST) for value in exact]
    order = sorted(range(len(shares)), key=lambda i: (-(exact[i] - counts[i]), i))
    for i in order[: packs - sum(counts)]:
        counts[i] += 1
    return tuple(counts)


def _common_unit(sizes: Sequence[float]) -> tuple[float, list[int]]:
    smallest = min(sizes)
    ratios = [Fraction(size / smallest).limit_denominator(200) for size in sizes]
    if all(abs(float(r) - s / smallest) <= DUST * float(r) for r, s in zip(ratios, sizes, strict=True)):
        below = lcm(*(r.denominator for r in ratios))
        units = [int(r * below) for r in ratios]
        common = gcd(*units)
        return smallest * common / below, [u // common for u in units]
    unit = smallest / 100
    return unit, [int(size / unit + DUST) for size in sizes]


def _whole(prices: Sequence[Fraction]) -> list[int]:
    """Prices in a common part of a cent, as whole numbers."""
    below = lcm(*(price.denominator for price in prices))
    return [int(price * below) for price in prices]


def _cover(target: int, units: Sequence[int], cost: Sequence[int]) -> list[int]:
    """Least (cost, total, packs) that reaches `target` units: the covering knapsack, one step a unit."""
    reach: list[tuple[int, int, int]] = [(0, 0, 0)]
    took: list[int] = [-1]
    for need in range(1, target + 1):
        options = []
        for i, size in enumerate(units):
            money, total, packs = reach[max(0, need - size)]
            options.append(((money + cost[i], total + size, packs + 1), i))
        state, i = min(options)
        reach.append(state)
        took.append(i)
    counts = [0] * len(units)
    while target > 0:
        counts[took[target]] += 1
        target -= units[took[target]]
    return counts

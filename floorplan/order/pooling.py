"""The need of a product pooled over layers and slabs, what stock gives, and the packs that remain to buy."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from ..system.model import Product
from ..units.rounding import whole_packs
from ..values import dataclass, replace
from .model import Group, Term
from .packs import Rounding, round_up
from .rules import OnHand, OrderRules

DUST: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Pooled:
    """One product's need and how it became packs of the usual size.

    Attributes:
        product: what is needed.
        group: part of the list.
        terms: in the order of the work.
        need: their sum, litres, kilograms, metres or pieces.
        std: its standard error.
        hand: taken from stock.
        reclaimed: of that, swept up after an earlier job.
        kept_back: reclaimed stock that may not be used on this job.
        rounding: of what stock does not give.
        coat_packs: packs of each coat when every coat rounds by itself; empty for one coat.
        spare_kits: more packs for peace of mind.
    """

    product: Product
    group: Group
    terms: tuple[Term, ...]
    need: float
    std: float
    hand: float
    reclaimed: float
    kept_back: float
    rounding: Rounding
    coat_packs: tuple[tuple[str, int], ...]
    spare_kits: int = 0

    @property
    def size(self) -> float:
        """Of the usual pack."""
        return self.product.packs[0]

    @property
    def to_buy(self) -> float:
        """What stock does not give."""
        return self.need - self.hand

    @property
    def bare_packs(self) -> int:
        """Packs that just hold what is to buy, without any margin."""
        return self.rounding.packs - self.rounding.extra

    @property
    def packs(self) -> int:
        """Packs to order."""
        return self.rounding.packs + self.spare_kits


def pooled(
    product: Product, terms: Sequence[Term], group: Group, rules: OrderRules, *, reclaim: float = 1.0
) -> Pooled:
    """The need of one product in packs.

    Args:
        product: what is needed.
        terms: of that product.
        group: part of the list.
        rules: how the firm orders.
        reclaim: the greatest share of the need that may come from reclaimed stock.
    """
    need, std = sum(term.amount for term in terms), std_of(terms)
    stock = rules.on_hand.get(product.name, OnHand(amount=0.0))
    # Reclaimed stock first, as much as may be: it keeps worst.
    reclaimed = min(stock.reclaimed, reclaim * need)
    hand = min(reclaimed + stock.amount - stock.reclaimed, need)
    rounding, coat_packs = _rounded(product, terms, need - hand, rules)
    return Pooled(
        product=product,
        group=group,
        terms=tuple(terms),
        need=need,
        std=std,
        hand=hand,
        reclaimed=reclaimed,
        kept_back=max(0.0, stock.reclaimed - reclaimed - DUST),
        rounding=rounding,
        coat_packs=coat_packs,
        spare_kits=rules.spare_kits if group is Group.COATING and rounding.packs else 0,
    )


def std_of(terms: Sequence[Term]) -> float:
    """Standard error of a sum: layers of one slab share its error, slabs err apart."""
    by_slab: dict[str, float] = {}
    for term in terms:
        by_slab[term.slab] = by_slab.get(term.slab, 0.0) + term.std
    return math.hypot(*by_slab.values())


def _rounded(
    product: Product, terms: Sequence[Term], to_buy: float, rules: OrderRules
) -> tuple[Rounding, tuple[tuple[str, int], ...]]:
    """Packs for the pooled need, and for each coat by itself where there are several."""
    size, thin = product.packs[0], product.spare_share
    by_coat: dict[str, list[Term]] = {}
    for term in terms:
        by_coat.setdefault(term.layer, []).append(term)
    needs = [(sum(term.amount for term in own), std_of(own)) for own in by_coat.values()]
    together = round_up(to_buy, size, std=std_of(terms), thin=thin)
    if len(by_coat) == 1:
        return together, ()
    if rules.split_kits or not thin:
        apart = [whole_packs(amount, size) for amount, _ in needs]
        return together, tuple(zip(by_coat, apart, strict=True))
    apart = [round_up(amount, size, std=std, thin=thin).packs for amount, std in needs]
    held = int((sum(amount for amount, _ in needs) - to_buy) / size)
    packs = max(together.packs, sum(apart) - held)
    extra = packs - whole_packs(to_buy, size)
    whole = replace(together, packs=packs, extra=extra, why="whole kits")
    return whole, tuple(zip(by_coat, apart, strict=True))

"""Lines of the list: a product in packs of one size, a mix of sizes, or the colours of a blend."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from ..errors import Notice
from ..system.model import Product
from ..values import replace
from .margins import pack_notices, packs_words
from .model import Group, MaterialLine, Term
from .packs import STD_REACH, apportioned, best_mix
from .pooling import Pooled, pooled
from .rules import OrderRules, PackChoice
from .words import Words, plain, share


def product_lines(
    product: Product,
    terms: Sequence[Term],
    group: Group,
    rules: OrderRules,
    *,
    words: Words,
    reclaim: float = 1.0,
) -> tuple[list[MaterialLine], list[Notice]]:
    """Lines for one product, and what to say of them.

    Args:
        product: what is needed.
        terms: of that product.
        group: part of the list.
        rules: how the firm orders.
        words: the plan's units.
        reclaim: the greatest share of the need that may come from reclaimed stock.
    """
    pool = pooled(product, terms, group, rules, reclaim=reclaim)
    notices = pack_notices(pool, rules.choice, words)
    if product.colours and pool.packs:
        return _blend(pool, words), notices
    if rules.choice is PackChoice.USUAL or len(product.packs) == 1 or not pool.packs:
        return [_line(pool, words)], notices
    return _mixed(pool, rules, words), notices


def _line(pool: Pooled, words: Words) -> MaterialLine:
    """The line for packs of the usual size."""
    product, measure = pool.product, pool.product.measure
    return MaterialLine(
        item=product.title,
        layer=" + ".join(dict.fromkeys(term.layer for term in pool.terms)),
        need=words.number(measure, pool.need),
        unit=words.unit(measure),
        pack_size=words.number(measure, pool.size),
        packs=pool.packs,
        spare=words.number(measure, pool.packs * pool.size - pool.to_buy),
        how=f"{_sum(pool, words)}; {packs_words(pool, words)}",
        group=pool.group,
        pack_word=product.pack_word,
        product=product.name,
        on_hand=words.number(measure, pool.hand),
        source=", ".join(dict.fromkeys(term.source or product.source for term in pool.terms)),
        coat_packs=pool.coat_packs,
        amount=pool.need,
        pack_amount=pool.size,
        hand_amount=pool.hand,
        pack=_pack(product, pool.size, words),
    )


def _pack(product: Product, size: float, words: Words) -> str:
    return f"{words.size(product.measure, size)} {product.pack_word}".strip()


def _sum(pool: Pooled, words: Words) -> str:
    """The terms written out, their sum, and what stock gives of it."""
    measure = pool.product.measure
    text = pool.terms[0].how
    if len(pool.terms) > 1:
        several = len({term.slab for term in pool.terms}) > 1
        parts = [
            f"{f'{term.slab}, ' if several and term.slab else ''}{term.layer}: {term.how}"
            for term in pool.terms
        ]
        text = f"{'; '.join(parts)}; together {words.amount(measure, pool.need)}"
    if pool.hand:
        text += f"; less {words.amount(measure, pool.hand)} on hand = {words.amount(measure, pool.to_buy)}"
    return text


def _mixed(pool: Pooled, rules: OrderRules, words: Words) -> list[MaterialLine]:
    """A line for each pack size of the best mix; the needs of the lines add up to the need."""
    product, measure = pool.product, pool.product.measure
    margin = max(product.spare_share * pool.to_buy, STD_REACH * pool.std)
    prices = _prices(product, rules)
    sizes = product.packs if prices is None else tuple(prices)
    counts = best_mix(pool.to_buy + margin, sizes, None if prices is None else list(prices.values()))
    by_size = dict(zip(sizes, counts, strict=True))
    by_size[sizes[0]] += pool.spare_kits
    picked = sorted(((size, n) for size, n in by_size.items() if n), reverse=True)
    why = "at least cost" if prices is not None else "with least spare"
    all_words = " + ".join(f"{n} x {words.size(measure, size)}" for size, n in picked)
    line = replace(_line(pool, words), how=f"{_sum(pool, words)}; packs {why}: {all_words}")
    left, hand, rows = pool.need, pool.hand, []
    for i, (size, count) in enumerate(picked):
        last = i == len(picked) - 1
        amount = left if last else min(left, count * size + hand)
        left -= amount
        rows.append(
            replace(
                line,
                need=words.number(measure, amount),
                amount=amount,
                on_hand=words.number(measure, hand),
                hand_amount=hand,
                pack_size=words.number(measure, size),
                pack_amount=size,
                pack=_pack(product, size, words),
                packs=count,
                spare=words.number(measure, count * size + hand - amount),
            )
        )
        hand = 0.0
    return rows


def _prices(product: Product, rules: OrderRules) -> dict[float, Fraction] | None:
    """Price by size for the least cost; None where that is not asked for or no price is known."""
    if rules.choice is not PackChoice.LEAST_COST:
        return None
    known = {
        size: Fraction(rules.pack_prices[product.name, size])
        for size in product.packs
        if (product.name, size) in rules.pack_prices
    }
    return known or None


def _blend(pool: Pooled, words: Words) -> list[MaterialLine]:
    """A line for each colour: whole packs as near the blend as they come, and what they really make.

    The needs of the lines are those of the real proportion, and add up to the need.
    """
    line, colours = _line(pool, words), pool.product.colours
    counts = apportioned(line.packs, [part for _, part in colours])
    asked = " + ".join(f"{plain(part * 100, 1)} % {colour}" for colour, part in colours)
    rows = []
    for (colour, _), count in zip(colours, counts, strict=True):
        real = count / line.packs
        if count:
            rows.append(
                replace(
                    line,
                    item=f"{line.item}, {colour}",
                    need=line.need * real,
                    amount=line.amount * real,
                    packs=count,
                    on_hand=line.on_hand * real,
                    hand_amount=line.hand_amount * real,
                    spare=line.spare * real,
                    how=f"{line.how}; blend {asked}: {count} of {line.packs} is {share(real)} {colour}",
                )
            )
    return rows

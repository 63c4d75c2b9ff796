"""Lines of the list: the terms of a product summed, stock taken off, rounded up once, margins said."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final

from ..errors import Notice
from ..system.model import Product
from ..units import factors
from ..units.rounding import decimal_text, whole_packs
from .model import Group, MaterialLine, Term
from .packs import STD_REACH, Rounding, apportioned, best_mix, round_up
from .rules import OnHand, OrderRules, PackChoice
from .words import Words, plain, plural, share

# Spare below this share of a full broadcast is said; running out in a 45 min window is worse than a box left.
_BROADCAST_MARGIN: Final = 0.05
_DUST: Final = 1e-9


def product_lines(
    product: Product,
    terms: Sequence[Term],
    group: Group,
    rules: OrderRules,
    words: Words,
    *,
    reclaim: float = 1.0,
) -> tuple[list[MaterialLine], list[Notice]]:
    """Lines for one product (more than one where pack sizes are mixed), and what to say of them.

    `reclaim` is the greatest share of the need that may come from reclaimed stock.
    """
    need = sum(term.amount for term in terms)
    std = std_of(terms)
    stock = rules.on_hand.get(product.name, OnHand(amount=0.0))
    hand, reclaimed = _from_stock(stock, need, reclaim)
    how = _sum_of_terms(product, terms, words)
    if hand:
        how += f"; less {words.amount(product.measure, hand)} on hand"
        how += f" = {words.amount(product.measure, need - hand)}"
    rounding, parts = _rounded(product, terms, need - hand, std, rules)
    notices = _notices(product, need - hand, std, rounding, group, rules, words)
    notices += _reclaimed(product, stock, reclaimed, hand + rounding.packs * product.packs[0], words)
    extra = rules.spare_kits if group is Group.COATING and rounding.packs else 0
    packs = rounding.packs + extra
    how += _rounding_words(product, rounding, parts, std, words)
    if extra:
        how += f"; {plural(extra, product.pack_word)} more to spare → {plural(packs, product.pack_word)}"
    line = _line(product, terms, group, need, hand, packs, how, words)
    line = replace(line, coat_packs=tuple(parts))
    if product.colours and packs:
        return _blend(product, line, words), notices
    if rules.choice is PackChoice.USUAL or len(product.packs) == 1 or not packs:
        return [line], notices
    return _mixed(product, line, need - hand, rounding, extra, rules, words), notices


def std_of(terms: Sequence[Term]) -> float:
    """Standard error of a sum: layers of one slab share its error, slabs err apart."""
    by_slab: dict[str, float] = {}
    for term in terms:
        by_slab[term.slab] = by_slab.get(term.slab, 0.0) + term.std
    return math.hypot(*by_slab.values())


def _from_stock(stock: OnHand, need: float, reclaim: float) -> tuple[float, float]:
    """What is taken from stock, and how much of it is reclaimed: as much as may be, since it keeps worst."""
    reclaimed = min(stock.reclaimed, reclaim * need)
    fresh = stock.amount - stock.reclaimed
    return min(reclaimed + fresh, need), reclaimed


def _reclaimed(product: Product, stock: OnHand, used: float, on_site: float, words: Words) -> list[Notice]:
    """Say how much of what is thrown is reclaimed, and what of it must stay in the shop."""
    if used <= 0:
        return []
    weight = words.amount(product.measure, used, 1)
    text = f"{weight} reclaimed is {share_of(used, on_site)} of what is on site: mix it into every bucket"
    notices = [Notice(code="reclaim-mix", text=text, where=product.title)]
    if stock.reclaimed - used > _DUST:
        left = words.amount(product.measure, stock.reclaimed - used, 1)
        text = f"{left} of reclaimed stays in the shop: more would show in the floor"
        notices.append(Notice(code="reclaim-limit", text=text, where=product.title))
    return notices


def _line(
    product: Product,
    terms: Sequence[Term],
    group: Group,
    need: float,
    hand: float,
    packs: int,
    how: str,
    words: Words,
) -> MaterialLine:
    measure, size = product.measure, product.packs[0]
    layers = dict.fromkeys(term.layer for term in terms)
    return MaterialLine(
        item=product.title,
        layer=" + ".join(layers),
        need=words.number(measure, need),
        unit=words.unit(measure),
        pack_size=words.number(measure, size),
        packs=packs,
        spare=words.number(measure, hand + packs * size - need),
        how=how,
        group=group,
        pack_word=product.pack_word,
        product=product.name,
        on_hand=words.number(measure, hand),
        source=", ".join(dict.fromkeys(t.source or product.source for t in terms)),
        amount=need,
        pack_amount=size,
        hand_amount=hand,
        pack=f"{words.size(measure, size)} {product.pack_word}".strip(),
    )


def _sum_of_terms(product: Product, terms: Sequence[Term], words: Words) -> str:
    if len(terms) == 1:
        return terms[0].how
    slabs = {term.slab for term in terms}
    parts = [f"{f'{t.slab}, ' if len(slabs) > 1 and t.slab else ''}{t.layer}: {t.how}" for t in terms]
    return f"{'; '.join(parts)}; together {words.amount(product.measure, sum(t.amount for t in terms))}"


def _rounded(
    product: Product, terms: Sequence[Term], need: float, std: float, rules: OrderRules
) -> tuple[Rounding, list[tuple[str, int]]]:
    """Packs of the usual size for the pooled need, and of each coat by itself where there are several."""
    size, thin = product.packs[0], product.spare_share
    by_coat: dict[str, list[Term]] = {}
    for term in terms:
        by_coat.setdefault(term.layer, []).append(term)
    needs = [(sum(term.amount for term in own), std_of(own)) for own in by_coat.values()]
    parts = [(layer, whole_packs(amount, size)) for layer, (amount, _) in zip(by_coat, needs, strict=True)]
    pooled = round_up(need, size, std=std, thin=thin)
    if rules.split_kits or len(by_coat) == 1 or not thin:
        return pooled, parts if len(parts) > 1 else []
    own = [round_up(amount, size, std=one, thin=thin) for amount, one in needs]
    hand_packs = int((sum(amount for amount, _ in needs) - need) / size)
    packs = max(pooled.packs, sum(r.packs for r in own) - hand_packs)
    parts = [(layer, r.packs) for layer, r in zip(by_coat, own, strict=True)]
    return replace(pooled, packs=packs, extra=packs - whole_packs(need, size), why="whole kits"), parts


def _rounding_words(
    product: Product, rounding: Rounding, parts: Sequence[tuple[str, int]], std: float, words: Words
) -> str:
    """`; / 1.5 gal kit = 5.94 → 6 kits; 1 % spare is a thin margin …`."""
    size, word = product.packs[0], product.pack_word
    needed = decimal_text(rounding.needed, 2)
    if std and decimal_text(STD_REACH * std / size, 2) != "0.00":
        needed += f" ± {decimal_text(STD_REACH * std / size, 2)}"
    plain_packs = rounding.packs - rounding.extra
    text = f"; / {words.size(product.measure, size)} {word} = {needed} → {plural(plain_packs, word)}"
    by_coat = " + ".join(str(count) for _, count in parts)
    total = sum(count for _, count in parts)
    if rounding.why == "whole kits":
        return f"{text}; kits are not split, so coat by coat {by_coat} = {plural(rounding.packs, word)}"
    if rounding.why == "uncertain":
        text += f"; the taped area may be larger: one more → {plural(rounding.packs, word)}"
    elif rounding.why == "thin":
        spare = plain_packs - rounding.needed
        text += f"; {share_of(spare, rounding.needed)} spare is a thin margin: one more"
        text += f" → {plural(rounding.packs, word)}"
    if parts:
        text += f"; coat by coat {by_coat} = {total}"
    return text


def share_of(part: float, whole: float) -> str:
    """A part of a whole in per cent, without needless digits: `1 %`, `0.4 %`."""
    value = part / whole if whole else 0.0
    return f"{plain(value * 100, 0 if value >= 0.01 else 1)} %"


def _notices(
    product: Product,
    need: float,
    std: float,
    rounding: Rounding,
    group: Group,
    rules: OrderRules,
    words: Words,
) -> list[Notice]:
    size, word = product.packs[0], product.pack_word
    plain_packs = whole_packs(need, size)
    where, notices = product.title, []
    if rounding.why == "uncertain":
        text = f"{decimal_text(rounding.needed, 2)} ± {decimal_text(STD_REACH * std / size, 2)} needed"
        notices.append(
            Notice(code="area-uncertain", text=f"{text}: order {plural(rounding.packs, word)}", where=where)
        )
    elif rounding.why == "thin":
        text = (
            f"{decimal_text(rounding.needed, 2)} {word}s needed: {plain_packs} would leave "
            f"{share_of(plain_packs - rounding.needed, rounding.needed)} spare, under "
            f"{share(product.spare_share)}; order {rounding.packs}"
        )
        notices.append(Notice(code="margin-thin", text=text, where=where))
    elif group is Group.BROADCAST and need > 0 and plain_packs * size - need < _BROADCAST_MARGIN * need:
        text = (
            f"{plural(plain_packs, word)} leave {share_of(plain_packs * size - need, need)} spare: "
            "have a bag of the same blend at hand, running out in the wet is worse"
        )
        notices.append(Notice(code="margin-thin", text=text, where=where))
    if (
        rounding.large
        and group in (Group.COATING, Group.BROADCAST)
        and product.spare_share + (group is Group.BROADCAST)
    ):
        notices.append(_large(product, need, plain_packs, rules, words))
    return notices


def _large(product: Product, need: float, packs: int, rules: OrderRules, words: Words) -> Notice:
    size = product.packs[0]
    spare = packs * size - need
    text = (
        f"{words.amount(product.measure, spare)} of {packs} x {words.size(product.measure, size)} is spare "
        f"({share_of(spare, size)} of a {product.pack_word})"
    )
    mix = best_mix(need, product.packs)
    if len(product.packs) > 1 and mix[0] != packs and rules.choice is PackChoice.USUAL:
        text += f": {mix_words(product, mix, words)} would do"
        text += ", if no batch needs more than its kit" if product.parts else ""
    else:
        text += ": another rate or a smaller pack may fit"
    return Notice(code="spare-large", text=text, where=product.title)


def mix_words(product: Product, counts: Sequence[int], words: Words) -> str:
    """`1 x 3 gal + 1 x 1.5 gal`."""
    sizes = [words.size(product.measure, size) for size in product.packs]
    return " + ".join(f"{n} x {size}" for n, size in zip(counts, sizes, strict=True) if n)


def _mixed(
    product: Product,
    line: MaterialLine,
    need: float,
    rounding: Rounding,
    extra: int,
    rules: OrderRules,
    words: Words,
) -> list[MaterialLine]:
    """A line for each pack size of the best mix; the needs of the lines add up to the need."""
    target = max(need * (1 + product.spare_share), need)
    prices = _prices(product, rules)
    sizes = product.packs if prices is None else tuple(prices)
    counts = best_mix(target, sizes, None if prices is None else [Fraction(p) for p in prices.values()])
    by_size = dict(zip(sizes, counts, strict=True))
    by_size[sizes[0]] += extra
    picked = sorted(((size, n) for size, n in by_size.items() if n), reverse=True)
    why = "at least cost" if prices is not None else "with least spare"
    all_words = " + ".join(f"{n} x {words.size(product.measure, size)}" for size, n in picked)
    base = line.how.split(f"; / {words.size(product.measure, product.packs[0])} ")[0]
    left, rows = line.amount, []
    hand = line.on_hand
    for i, (size, count) in enumerate(picked):
        last = i == len(picked) - 1
        amount = left if last else min(left, count * size + (line.amount - need if i == 0 else 0.0))
        left -= amount
        rows.append(
            replace(
                line,
                need=words.number(product.measure, amount),
                amount=amount,
                on_hand=hand if i == 0 else 0.0,
                hand_amount=line.hand_amount if i == 0 else 0.0,
                pack_size=words.number(product.measure, size),
                pack_amount=size,
                pack=f"{words.size(product.measure, size)} {product.pack_word}",
                packs=count,
                spare=words.number(product.measure, count * size - amount) + (hand if i == 0 else 0.0),
                how=f"{base}; packs {why}: {all_words}",
            )
        )
    return rows


def _blend(product: Product, line: MaterialLine, words: Words) -> list[MaterialLine]:
    """A line for each colour: whole packs as near the blend as they come, and the proportion they really
    make.

    The needs of the lines are those of the real proportion, and add up to the need.
    """
    counts = apportioned(line.packs, [part for _, part in product.colours])
    asked = " + ".join(f"{plain(part * 100, 1)} % {colour}" for colour, part in product.colours)
    rows = []
    for (colour, _), count in zip(product.colours, counts, strict=True):
        if not count:
            continue
        real = count / line.packs
        how = f"{line.how}; blend {asked}: {count} of {line.packs} is {share(real)} {colour}"
        amount, on_hand = line.amount * real, line.on_hand * real
        rows.append(
            replace(
                line,
                item=f"{line.item}, {colour}",
                need=words.number(product.measure, amount),
                amount=amount,
                packs=count,
                on_hand=on_hand,
                hand_amount=line.hand_amount * real,
                spare=line.spare * real,
                how=how,
            )
        )
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


def grit_terms(lines: Sequence[MaterialLine], terms: Sequence[Term], words: Words) -> list[Term]:
    """Grit for every kit ordered: it goes in with the fraction of the product's coats that take it."""
    found = []
    for product in dict.fromkeys(term.product for term in terms if term.grit):
        own = [term for term in terms if term.product == product]
        need = sum(term.amount for term in own)
        ordered = [line for line in lines if line.product == product.name]
        litres = sum(line.packs * line.pack_amount for line in ordered) + _on_hand(ordered, words, product)
        for grit in dict.fromkeys(term.grit for term in own if term.grit):
            weight = sum(term.grit_kg for term in own if term.grit == grit) / need
            found.append(_grit(product, grit, ordered, litres, weight, words))
    return found


def _on_hand(lines: Sequence[MaterialLine], words: Words, product: Product) -> float:
    return sum(line.on_hand for line in lines) / words.number(product.measure, 1.0)


def _grit(
    product: Product,
    grit: Product,
    lines: Sequence[MaterialLine],
    litres: float,
    kg_per_l: float,
    words: Words,
) -> Term:
    weight = kg_per_l * litres
    if len(lines) == 1 and not lines[0].on_hand:
        kit = lines[0].pack_amount
        how = f"{plural(lines[0].packs, product.pack_word)} x {words.small_weight(kg_per_l * kit)}"
    else:
        per = factors.GALLON_L if words.figures.is_us else 1.0
        unit = words.unit(product.measure)
        how = f"{words.amount(product.measure, litres)} x {words.small_weight(kg_per_l * per)} per {unit}"
    how += f" = {words.small_weight(weight)} = {words.amount(grit.measure, weight)}"
    source = ", ".join(dict.fromkeys(line.source for line in lines))
    return Term(slab="", layer="in the topcoat", product=grit, amount=weight, how=how, source=source)

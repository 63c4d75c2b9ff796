"""Grit for every kit that is ordered: it goes into the pail with the kit, whole or in part."""

from __future__ import annotations

from collections.abc import Sequence

from ..system.model import Product
from ..units import factors
from .model import MaterialLine, Term
from .words import Words, plural


def grit_terms(lines: Sequence[MaterialLine], terms: Sequence[Term], words: Words) -> list[Term]:
    """Needs of grit, one for each product that takes it.

    Args:
        lines: of the list so far, with the kits ordered.
        terms: of all coats; where only some coats of a product take grit, its kits take their share.
        words: the plan's units.
    """
    found = []
    for product in dict.fromkeys(term.product for term in terms if term.grit):
        own = [term for term in terms if term.product == product]
        need = sum(term.amount for term in own)
        ordered = [line for line in lines if line.product == product.name]
        for grit in dict.fromkeys(term.grit for term in own if term.grit):
            kg_per_l = sum(term.grit_kg for term in own if term.grit == grit) / need
            found.append(_grit(grit, ordered, kg_per_l, words))
    return found


def _grit(grit: Product, lines: Sequence[MaterialLine], kg_per_l: float, words: Words) -> Term:
    litres = sum(line.packs * line.pack_amount + line.hand_amount for line in lines)
    weight = kg_per_l * litres
    if len(lines) == 1 and not lines[0].hand_amount:
        kit = words.small_weight(kg_per_l * lines[0].pack_amount)
        how = f"{plural(lines[0].packs, lines[0].pack_word)} x {kit}"
    else:
        per = factors.GALLON_L if words.figures.is_us else 1.0
        volume = f"{words.figures.volume(litres)}"
        how = f"{volume} x {words.small_weight(kg_per_l * per)} per {words.figures.unit('volume')}"
    how += f" = {words.small_weight(weight)} = {words.amount(grit.measure, weight)}"
    source = ", ".join(dict.fromkeys(line.source for line in lines))
    return Term(slab="", layer="in the topcoat", product=grit, amount=weight, how=how, source=source)

"""How a pooled need became packs, in words: the end of each sum, and the warnings about what is left over."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from ..errors import Notice
from ..system.model import Product
from ..units.rounding import decimal_text
from .model import Group
from .packs import STD_REACH, best_mix
from .pooling import Pooled
from .rules import PackChoice
from .words import Words, plain, plural, share

# Spare below this share of a full broadcast is said; running out in a 45 min window is worse than a box left.
_BROADCAST_MARGIN: Final = 0.05


def packs_words(pool: Pooled, words: Words) -> str:
    """`/ 1.5 gal kit = 5.94 → 6 kits; 1 % spare is a thin margin: one more → 7 kits`."""
    rounding, word = pool.rounding, pool.product.pack_word
    size = words.size(pool.product.measure, pool.size)
    text = f"/ {size} {word} = {_needed(pool)} → {plural(pool.bare_packs, word)}"
    by_coat = " + ".join(str(count) for _, count in pool.coat_packs)
    if rounding.why == "whole kits":
        text += f"; kits are not split, so coat by coat {by_coat} = {plural(rounding.packs, word)}"
    elif rounding.why == "uncertain":
        text += f"; the taped area may be larger: one more → {plural(rounding.packs, word)}"
    elif rounding.why == "thin":
        text += f"; {_spare(pool)} spare is a thin margin: one more → {plural(rounding.packs, word)}"
    if pool.coat_packs and rounding.why != "whole kits":
        text += f"; coat by coat {by_coat} = {sum(count for _, count in pool.coat_packs)}"
    if pool.spare_kits:
        text += f"; {plural(pool.spare_kits, word)} more to spare → {plural(pool.packs, word)}"
    return text


def _needed(pool: Pooled) -> str:
    """`5.94`, or `1.97 ± 0.04` (two standard errors) where the area was taped."""
    spread = decimal_text(STD_REACH * pool.std / pool.size, 2)
    return f"{decimal_text(pool.rounding.needed, 2)}{f' ± {spread}' if spread != '0.00' else ''}"


def _spare(pool: Pooled) -> str:
    """Spare of the bare packs as a share of the need."""
    return share_of(pool.bare_packs * pool.size - pool.to_buy, pool.to_buy)


def share_of(part: float, whole: float) -> str:
    """A part of a whole in per cent, without needless digits: `1 %`, `0.4 %`."""
    value = part / whole if whole else 0.0
    return f"{plain(value * 100, 0 if value >= 0.01 else 1)} %"


def pack_notices(pool: Pooled, choice: PackChoice, words: Words) -> list[Notice]:
    """What the firm should know before it orders."""
    texts = [*_margin(pool), *_large(pool, choice, words), *_reclaimed(pool, words)]
    return [Notice(code=code, text=text, where=pool.product.title) for code, text in texts]


def _margin(pool: Pooled) -> list[tuple[str, str]]:
    rounding, word, needed = pool.rounding, pool.product.pack_word, _needed(pool)
    if rounding.why == "uncertain":
        return [("area-uncertain", f"{needed} needed: order {plural(rounding.packs, word)}")]
    if rounding.why == "thin":
        limit = share(pool.product.spare_share)
        text = f"{needed} {_many(word)} needed: {pool.bare_packs} would leave {_spare(pool)} spare"
        return [("margin-thin", f"{text}, under {limit}; order {rounding.packs}")]
    spare = pool.bare_packs * pool.size - pool.to_buy
    if pool.group is Group.BROADCAST and pool.to_buy > 0 and spare < _BROADCAST_MARGIN * pool.to_buy:
        text = f"{plural(pool.bare_packs, word)} leave {_spare(pool)} spare: have a bag of the same blend"
        return [("margin-thin", f"{text} at hand, running out in the wet is worse")]
    return []


def _many(word: str) -> str:
    return plural(2, word).removeprefix("2 ")


def _large(pool: Pooled, choice: PackChoice, words: Words) -> list[tuple[str, str]]:
    """Much spare in a liquid or a broadcast: another pack, or another rate."""
    product = pool.product
    counts = bool(product.spare_share) or pool.group is Group.BROADCAST
    if not (pool.rounding.large and counts):
        return []
    spare = pool.bare_packs * pool.size - pool.to_buy
    text = f"{words.amount(product.measure, spare)} of {pool.bare_packs} x "
    text += f"{words.size(product.measure, pool.size)} is spare "
    text += f"({share_of(spare, pool.size)} of a {product.pack_word})"
    mix = best_mix(pool.to_buy, product.packs)
    if len(product.packs) > 1 and mix[0] != pool.bare_packs and choice is PackChoice.USUAL:
        text += f": {mix_words(product, mix, words)} would do"
        text += ", if no batch needs more than its kit" if product.parts else ""
    else:
        text += ": another rate or a smaller pack may fit"
    return [("spare-large", text)]


def mix_words(product: Product, counts: Sequence[int], words: Words) -> str:
    """`1 x 3 gal + 1 x 1.5 gal`."""
    sizes = [words.size(product.measure, size) for size in product.packs]
    return " + ".join(f"{n} x {size}" for n, size in zip(counts, sizes, strict=True) if n)


def _reclaimed(pool: Pooled, words: Words) -> list[tuple[str, str]]:
    """How much of what is thrown is reclaimed, and what of it must stay in the shop."""
    if pool.reclaimed <= 0:
        return []
    measure, on_site = pool.product.measure, pool.hand + pool.rounding.packs * pool.size
    part = share_of(pool.reclaimed, on_site)
    used = words.amount(measure, pool.reclaimed, 1)
    said = [("reclaim-mix", f"{used} reclaimed is {part} of what is on site: mix it into every bucket")]
    if pool.kept_back > 0:
        left = words.amount(measure, pool.kept_back, 1)
        text = f"{left} of reclaimed stays in the shop: more would show in the floor"
        said.append(("reclaim-limit", text))
    return said

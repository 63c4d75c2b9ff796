"""A firm's rules of ordering, with the prices of the packs that a job may use."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from ..measure.model import Takeoff
from ..system.model import Broadcast, Coat, Product
from ..units.length import UnitStyle
from ..units.reading import Unreadable, read_length, read_volume, read_weight
from .firm import Firm
from .rules import OnHand, OrderRules, PackChoice


def rules_of(firm: Firm, takeoff: Takeoff, on_hand: Mapping[str, OnHand]) -> OrderRules:
    """The firm's rules of ordering, with the prices of the packs that this job may use."""
    split = firm.figure("order", "split_kits")
    crew, spare = firm.number("order", "crew"), firm.number("order", "spare_kits")
    return OrderRules(
        split_kits=True if split is None else bool(split.value),
        choice=PackChoice(firm.text("order", "packs") or PackChoice.USUAL),
        on_hand=on_hand,
        pack_prices=_pack_prices(firm, takeoff),
        spare_kits=int(spare) if spare else 0,
        crew=int(crew) if crew else None,
        waste=firm.number("order", "waste"),
    )


def products_of(takeoff: Takeoff) -> tuple[Product, ...]:
    """Every product that the systems of a job may use, in the order of the work."""
    found: list[Product] = []
    for slab in takeoff.slabs:
        system = slab.slab.system
        for layer in system.layers:
            if isinstance(layer, Coat | Broadcast):
                found.append(layer.product)
            if isinstance(layer, Coat) and layer.grit:
                found.append(layer.grit.product)
        found += [product for product in (system.joint_filler, system.joint_sealant) if product]
    return tuple(dict.fromkeys(found))


def same_size(text: str, amount: float) -> bool:
    """True where a pack size as typed is an amount in litres, kilograms or metres."""
    for reader in (read_volume, read_weight, lambda t: read_length(t, UnitStyle.FT).m):
        try:
            size = reader(text)
        except Unreadable:
            continue
        return abs(size - amount) <= 1e-6 * amount
    return False


def _pack_prices(firm: Firm, takeoff: Takeoff) -> dict[tuple[str, float], Decimal]:
    prices: dict[tuple[str, float], Decimal] = {}
    for product in products_of(takeoff):
        usual = firm.money("material", product.name)
        if usual is not None:
            prices[product.name, product.packs[0]] = usual
        for path, figure in firm.below("material"):
            if len(path) == 3 and path[1] == product.name and isinstance(figure.value, Decimal):
                for size in product.packs:
                    if same_size(path[2], size):
                        prices[product.name, size] = figure.value
    return prices

"""How a firm orders: kits split or not, one pack size or the best mix, what is on hand."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING

from ..values import dataclass, field

if TYPE_CHECKING:
    from .sundries import Sundry


class PackChoice(StrEnum):
    """Which packs to order: the usual size, the mix with least spare, or the mix that costs least."""

    USUAL = "usual"
    LEAST_SPARE = "least spare"
    LEAST_COST = "least cost"


@dataclass(frozen=True, slots=True, kw_only=True)
class OnHand:
    """Stock that may be used: litres, kilograms, metres or pieces of a product.

    `reclaimed` is the part of it that was swept up after an earlier job.
    """

    amount: float
    reclaimed: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderRules:
    """How needs become an order.

    Attributes:
        split_kits: True where a part of a kit may be mixed (scale and marked pails); False rounds every coat.
        choice: which packs.
        on_hand: stock by product.
        pack_prices: price of a pack by product and size, for the least cost.
        spare_kits: so many more packs of every liquid, for peace of mind.
        crew: people on the first day; None goes by area.
        sundries: rows of the sundries table; None takes the shipped ones.
        waste: replaces every coat's waste; None keeps the systems'.
    """

    split_kits: bool = True
    choice: PackChoice = PackChoice.USUAL
    on_hand: Mapping[str, OnHand] = field(default_factory=dict)
    pack_prices: Mapping[tuple[str, float], Decimal] = field(default_factory=dict)
    spare_kits: int = 0
    crew: int | None = None
    sundries: tuple[Sundry, ...] | None = None
    waste: float | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "on_hand", MappingProxyType(dict(self.on_hand)))
        object.__setattr__(self, "pack_prices", MappingProxyType(dict(self.pack_prices)))

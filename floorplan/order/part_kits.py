"""Parts of a kit by volume, and by weight where the data sheet's densities are known; grit goes with the
fraction.

Never by eye: a part-kit is measured out in marked pails or weighed.
"""

from __future__ import annotations

from typing import Final

from ..system.model import Grit, Product
from ..values import dataclass

# Fractions that a crew mixes without a calculator.
USUAL_FRACTIONS: Final = (0.25, 0.5, 0.75)


@dataclass(frozen=True, slots=True, kw_only=True)
class PartAmount:
    """What of one part goes into the pail; `weight_kg` is None where its density is not known."""

    name: str
    volume_l: float
    weight_kg: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PartKit:
    """A fraction of a kit: its parts and its grit."""

    product: Product
    fraction: float
    volume_l: float
    parts: tuple[PartAmount, ...]
    grit_kg: float = 0.0


def part_kit(product: Product, fraction: float, *, grit: Grit | None = None, pack: int = 0) -> PartKit:
    """What goes into the pail for a fraction of a kit.

    Args:
        product: of two or more parts.
        fraction: above 0, at most 1.
        grit: stirred in, None for none.
        pack: index of the pack size.

    Raises:
        ValueError: a fraction out of range, or a product that is used as it is.
    """
    if not 0 < fraction <= 1:
        raise ValueError(f"fraction must be above 0 and at most 1, got {fraction!r}")
    if not product.parts:
        raise ValueError(f"{product.name} has no parts to mix")
    volume = product.packs[pack] * fraction
    parts = tuple(
        PartAmount(
            name=part.name,
            volume_l=volume * part.share,
            weight_kg=None if part.density_kg_per_l is None else volume * part.share * part.density_kg_per_l,
        )
        for part in product.parts
    )
    grit_kg = grit.kg_per_l * volume if grit else 0.0
    return PartKit(product=product, fraction=fraction, volume_l=volume, parts=parts, grit_kg=grit_kg)

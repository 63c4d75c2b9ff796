"""How system files write mix ratios, grit, film thickness and packs."""

from __future__ import annotations

import re
from typing import Final

from ..patterns import pattern
from ..units.factors import UM_M
from ..units.notation import Unreadable
from ..units.quantities import AREA_M2, VOLUME_L, Quantity, read_quantity, unit_word
from ..units.reading import read_density, read_rate, read_thickness, read_volume, read_weight

# Source: a litre is 1e-3 m³; over 1e-6 m of film it covers 1000 m². The trade's 1604 sq ft·mil/gal is the
# same.
M2_UM_PER_L: Final = 1000.0

CONSUMPTION: Final = Quantity(name="rate", units=VOLUME_L, per=AREA_M2, example="160 sq ft/gal or 0.25 L/m2")

_RATIO = pattern(r"\s*(\d+(?:\.\d+)?(?:\s*:\s*\d+(?:\.\d+)?)+)\s*(?:by volume)?\s*", re.I)
_PER = pattern(r"\s+per\s+|\s*/\s*")


def rate_of_film(film_m: float, solids: float = 1.0) -> float:
    """Square metres that a litre covers at a dry film thickness; with solids 1 the film is wet.

    Args:
        film_m: thickness, metres, > 0.
        solids: share of the volume that stays, in (0, 1].

    Source: volume = area x thickness; 1604 x solids / mil in the trade's units.
    """
    return M2_UM_PER_L * solids / (film_m / UM_M)


def read_ratio(text: str) -> tuple[float, ...]:
    """Parts by volume: `2:1`, `3 : 1 by volume`."""
    match = _RATIO.fullmatch(text)
    parts = tuple(float(part) for part in match[1].split(":")) if match else ()
    if not parts or min(parts) <= 0:
        raise Unreadable(
            "ratio-unreadable",
            f"cannot read the mix ratio {text.strip()}",
            "write it like 2:1",
            end=len(text),
        )
    return parts


def read_above_zero_rate(text: str) -> float:
    """A spread rate above zero, m²/L; a consumption is one as well: `0.25 L/m2` is 4 m²/L."""
    if _is_consumption(text):
        return 1 / _above_zero(read_quantity(CONSUMPTION, text), text, "rate")
    return _above_zero(read_rate(text), text, "rate")


def _is_consumption(text: str) -> bool:
    over, stroke, _ = unit_word(text.lstrip("0123456789.,/ ½¼¾")).partition("/")
    return bool(stroke) and over.strip() in VOLUME_L


def read_film(text: str) -> float:
    """A film thickness above zero, metres."""
    return _above_zero(read_thickness(text), text, "film")


def read_grit(text: str) -> tuple[str, float]:
    """Name of a grit and kilograms to the litre: `grit, 5 oz per 1.5 gal`, `grit, 25 g/L`."""
    name, comma, amount = text.partition(",")
    if not comma or not name.strip():
        raise Unreadable(
            "grit-unreadable",
            f"cannot read the grit {text.strip()}",
            "write its product and how much: grit, 5 oz per 1.5 gal",
            end=len(text),
        )
    return name.strip(), _weight_per_volume(amount.strip())


def _weight_per_volume(text: str) -> float:
    parts = _PER.split(text)
    if len(parts) == 2 and parts[1][:1].isdigit():
        return read_weight(parts[0]) / _above_zero(read_volume(parts[1]), text, "volume")
    return read_density(text)


def _above_zero(value: float, text: str, what: str) -> float:
    if value <= 0:
        raise Unreadable(
            f"{what}-range", f"the {what} {text.strip()} must be more than zero", "", end=len(text)
        )
    return value

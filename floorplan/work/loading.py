"""What goes on the truck each day, and what it weighs."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Final

from ..errors import DataFileError
from ..files.cells import Faults
from ..files.text import read_text
from ..files.toml import read_toml
from ..system.model import Product
from ..units.factors import GALLON_L, POUND_KG
from ..units.quantities import read_weight
from ..units.rounding import whole_packs
from ..values import dataclass
from .days import Day, Days

_DATA: Final = Path(__file__).parent / "data" / "truck.toml"
DENSITY_KG_PER_L: Final = 9.5 * POUND_KG / GALLON_L
"""Weight of a mixed liquid whose data sheet is not at hand: 9.5 lb/gal, common practice, no source."""


class When(StrEnum):
    """Days on which a tool is needed."""

    EVERY = "every"
    FIRST = "first"
    COAT = "coat"
    AFTER_FLAKE = "after flake"
    LAST = "last"


@dataclass(frozen=True, slots=True)
class Tool:
    """A tool or a bundle of them."""

    name: str
    when: When
    weight_kg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """One line of the loading list.

    Attributes:
        name: of the product or tool.
        count: how many; packs, or 1.
        unit: "kit of 3.00 gal" and so on is made from pack_word, size and product; "" for tools.
        product: None for tools.
        pack: size of a pack in litres or kilograms; 0 for tools.
        weight_kg: of all.
        guessed: the weight stands on a typical density.
    """

    name: str
    count: int
    weight_kg: float
    product: Product | None = None
    pack: float = 0.0
    guessed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class DayLoad:
    """The loading list of one day."""

    day: int
    loads: tuple[Load, ...]

    @property
    def weight_kg(self) -> float:
        """All of it."""
        return sum(load.weight_kg for load in self.loads)


@cache
def shipped_tools() -> tuple[Tool, ...]:
    """The shipped list of tools.

    Raises:
        DataFileError: the file has faults.
    """
    return read_tools(read_text(_DATA, error=DataFileError), _DATA.name)


def read_tools(text: str, file: str) -> tuple[Tool, ...]:
    """A list of tools.

    Raises:
        DataFileError: with every fault of the text.
    """
    faults = Faults()
    root = read_toml(text, file, error=DataFileError).table(faults)
    found = []
    for table in root.tables("tool", required=True):
        found.append(
            Tool(
                table.text("name", "", required=True),
                table.choice("day", When, When.EVERY) or When.EVERY,
                table.read("weight", read_weight, 0.0, required=True) or 0.0,
            )
        )
        table.finish()
    root.finish()
    faults.raise_if_any(DataFileError)
    return tuple(found)


def loading(days: Days, tools: Sequence[Tool] | None = None) -> tuple[DayLoad, ...]:
    """The list of every day; packs are opened over the whole job, so a part left over is not loaded twice."""
    rows = shipped_tools() if tools is None else tools
    used: dict[str, float] = {}
    found = []
    for k, day in enumerate(days.days):
        loads = _material(day, used)
        loads += [
            Load(name=tool.name, count=1, weight_kg=tool.weight_kg)
            for tool in rows
            if _needed(tool.when, k, days.days)
        ]
        found.append(DayLoad(day=day.number, loads=tuple(loads)))
    return tuple(found)


def _needed(when: When, k: int, days: Sequence[Day]) -> bool:
    thrown = k > 0 and any(pour.batch.broadcast for pour in days[k - 1].coats)
    return {
        When.EVERY: True,
        When.FIRST: k == 0,
        When.COAT: bool(days[k].coats),
        When.AFTER_FLAKE: thrown or (len(days) == 1 and any(p.batch.broadcast for p in days[k].coats)),
        When.LAST: k + 1 == len(days),
    }[when]


def _material(day: Day, used: dict[str, float]) -> list[Load]:
    """Packs to open on a day: those that the job has opened by its end, less those before."""
    needs: dict[str, tuple[Product, float]] = {}
    for pour in day.coats:
        coat, cast = pour.batch.coat, pour.batch.broadcast
        rows = [(coat.product, sum(zone.litres for zone in pour.zones))]
        if cast is not None:
            rows.append((cast.product, sum(zone.flake_kg for zone in pour.zones)))
        if coat.grit is not None:
            rows.append((coat.grit.product, sum(zone.grit_kg for zone in pour.zones)))
        for product, amount in rows:
            needs[product.name] = (product, needs.get(product.name, (product, 0.0))[1] + amount)
    loads = []
    for name, (product, amount) in needs.items():
        pack = product.packs[0]
        before = used.get(name, 0.0)
        count = whole_packs(before + amount, pack) - whole_packs(before, pack)
        used[name] = before + amount
        if count:
            weight, guessed = _weight(product, count * pack)
            loads.append(
                Load(
                    name=product.title or name,
                    count=count,
                    weight_kg=weight,
                    product=product,
                    pack=pack,
                    guessed=guessed,
                )
            )
    return loads


def _weight(product: Product, amount: float) -> tuple[float, bool]:
    if product.measure.value == "weight":
        return amount, False
    known = [part.density_kg_per_l for part in product.parts]
    if known and all(density is not None for density in known):
        share = sum(part.share for part in product.parts)
        density = sum(part.share * (part.density_kg_per_l or 0.0) for part in product.parts) / share
        return amount * density, False
    return amount * DENSITY_KG_PER_L, True

"""What goes on the truck each day, and what it weighs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import timedelta
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Final

from ..errors import DataFileError
from ..files.cells import Faults
from ..files.text import read_text
from ..files.toml import read_toml
from ..system.model import Measure, Product
from ..units.factors import GALLON_L, POUND_KG
from ..units.quantities import read_weight
from ..units.rounding import whole_packs
from ..values import dataclass
from .days import Day, Days

_DATA: Final = Path(__file__).parent / "data" / "truck.toml"
DENSITY_KG_PER_L: Final = 9.5 * POUND_KG / GALLON_L
"""Weight of a mixed liquid whose data sheet is not at hand: 9.5 lb/gal, common practice, no source."""
_CRUMB: Final = 0.01
"""Less of a pack than this is nothing to bring along."""


class When(StrEnum):
    """Days on which a tool is needed."""

    EVERY = "every"
    FIRST = "first"
    COAT = "coat"
    AFTER_FLAKE = "after flake"
    LAST = "last"


@dataclass(frozen=True, slots=True)
class Tool:
    """A tool or a bundle of them; `tasks` begins the names of the tasks that it does, "" for many."""

    name: str
    when: When
    weight_kg: float
    tasks: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """A product as it is ordered, in packs of one size and colour, and the days that use it.

    Attributes:
        name: of the product, with the colour.
        product: what it is.
        pack: size of a pack in the product's measure (litres, kilograms, metres).
        packs: how many the job takes, bought and out of stock, spare ones with them.
        by_day: what each day uses, in the same measure, by the number of the day from 1.
    """

    name: str
    product: Product
    pack: float
    packs: int
    by_day: tuple[tuple[int, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """One line of the loading list.

    Attributes:
        name: of the product or tool.
        count: how many; packs, or 1.
        unit: "kit of 3.00 gal" and so on is made from pack_word, size and product; "" for tools.
        product: None for tools.
        pack: size of a pack in litres, kilograms or metres; 0 for tools.
        weight_kg: of all; 0 where nothing is known of it.
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
                table.text("tasks", ""),
            )
        )
        table.finish()
    root.finish()
    faults.raise_if_any(DataFileError)
    return tuple(found)


def loading(
    days: Days, supplies: Sequence[Supply], tools: Sequence[Tool] | None = None
) -> tuple[DayLoad, ...]:
    """The list of every day: all that was ordered goes on the truck once, what is left of it again."""
    rows = shipped_tools() if tools is None else tools
    found = []
    for k, day in enumerate(days.days):
        loads = [load for supply in supplies for load in _of_day(supply, day.number)]
        for tool in rows:
            if _needed(tool.when, k, days.days):
                count = _count(tool, day)
                loads.append(Load(name=tool.name, count=count, weight_kg=count * tool.weight_kg))
        found.append(DayLoad(day=day.number, loads=tuple(loads)))
    return tuple(found)


def _count(tool: Tool, day: Day) -> int:
    """As many as the planned clock takes: one man-hour of a task is one hour of the tool."""
    if not tool.tasks:
        return 1
    needs = [
        sum(chore.hours for chore in block.chores if chore.name.startswith(tool.tasks))
        / ((block.end - block.start) / timedelta(hours=1))
        for block in day.blocks
    ]
    return min(max(1, math.ceil(max(needs, default=0.0) - _CRUMB)), max(day.people, 1))


def _needed(when: When, k: int, days: Sequence[Day]) -> bool:
    thrown = k > 0 and any(pour.batch.broadcast for pour in days[k - 1].coats)
    return {
        When.EVERY: True,
        When.FIRST: k == 0,
        When.COAT: bool(days[k].coats),
        When.AFTER_FLAKE: thrown or (len(days) == 1 and any(p.batch.broadcast for p in days[k].coats)),
        When.LAST: k + 1 == len(days),
    }[when]


def _of_day(supply: Supply, number: int) -> list[Load]:
    """New packs of a day, in proportion to what is used up to then, and what earlier days left open.

    Packs are rounded up day by day, so that the spare ones go along from the start.
    """
    used = dict(supply.by_day)
    if not used.get(number):
        return []
    total = sum(used.values())
    before = sum(amount for day, amount in supply.by_day if day < number)
    taken = whole_packs(supply.packs * before / total, 1.0)
    count = whole_packs(supply.packs * (before + used[number]) / total, 1.0) - taken
    left = taken * supply.pack - before
    loads = []
    if count:
        weight, guessed = _weight(supply.product, count * supply.pack)
        loads.append(
            Load(
                name=supply.name,
                count=count,
                weight_kg=weight,
                product=supply.product,
                pack=supply.pack,
                guessed=guessed,
            )
        )
    if taken and left > _CRUMB * supply.pack:
        weight, guessed = _weight(supply.product, left)
        loads.append(
            Load(name=f"what is left of the {supply.name}", count=1, weight_kg=weight, guessed=guessed)
        )
    return loads


def _weight(product: Product, amount: float) -> tuple[float, bool]:
    if product.measure is Measure.WEIGHT:
        return amount, False
    if product.measure is not Measure.VOLUME:
        return 0.0, False
    known = [part.density_kg_per_l for part in product.parts]
    if known and all(density is not None for density in known):
        share = sum(part.share for part in product.parts)
        density = sum(part.share * (part.density_kg_per_l or 0.0) for part in product.parts) / share
        return amount * density, False
    return amount * DENSITY_KG_PER_L, True

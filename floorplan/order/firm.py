"""A firm's own figures: rates, prices, waste, rules of ordering and charging, each with the file it came
from.

A *figure* is a value with its source. Figures have a path of words, as `material / epoxy primer`. A job's
prices go over the firm's own, and those over the typical ones.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType
from typing import Any

from ..values import dataclass, field

Path = tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A value and the file that it was read from.

    Attributes:
        value: money as `Decimal`; a share, a rate or hours as float; a choice or a text as str.
        source: name of the file, "typical" where no file says otherwise.
        text: as typed.
    """

    value: Decimal | float | str | bool
    source: str
    text: str = ""


class Per(StrEnum):
    """What a piece of equipment is charged by."""

    JOB = "job"
    DAY = "day"


class TaxOn(StrEnum):
    """What a tax is taken of; local rules decide."""

    PRICE = "price"
    MATERIALS = "materials"
    LABOUR = "labour"


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """A choice offered to the customer, priced by re-running the job with these changes.

    Attributes:
        name: short ("better").
        title: as the customer reads it.
        says: what it adds, in the customer's words, one line each.
        system: another coating system, "" keeps the plan's.
        faces: height in metres of the faces coated along edges of each kind.
        seal: joint kinds that get sealed.
        fill: joint kinds that get filled.
        extra_coat: name of a coat that goes down once more, "last" for the last one, "" for none.
        spare_kits: kits of each liquid left as a reserve.
        base: name of the option that it builds on, "" for the plan itself.
    """

    name: str
    title: str
    says: tuple[str, ...] = ()
    system: str = ""
    faces: tuple[tuple[str, float], ...] = ()
    seal: tuple[str, ...] = ()
    fill: tuple[str, ...] = ()
    extra_coat: str = ""
    spare_kits: int = 0
    base: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Firm:
    """Figures by path, and what is listed rather than looked up.

    Attributes:
        figures: by path.
        equipment: (name, what it is charged by); its price is the figure ("equipment", name).
        options: offered to the customer, cheapest first.
        exclusions: what the price does not hold.
        terms: of the quote.
        name: of the firm.
        address: lines below the name.
        files: names of the files, the strongest last.
        usual: what a plan takes where it says nothing, by table and key: the grinder, the rules of measuring,
            the firm's name on sheets.
    """

    figures: Mapping[Path, Figure] = field(default_factory=dict)
    equipment: tuple[tuple[str, Per], ...] = ()
    options: tuple[Option, ...] = ()
    exclusions: tuple[str, ...] = ()
    terms: tuple[str, ...] = ()
    name: str = ""
    address: tuple[str, ...] = ()
    files: tuple[str, ...] = ()
    usual: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        object.__setattr__(self, "figures", MappingProxyType(dict(self.figures)))
        object.__setattr__(self, "usual", MappingProxyType(dict(self.usual)))

    def figure(self, *path: str) -> Figure | None:
        """The figure at a path, None where no file gives it."""
        return self.figures.get(path)

    def money(self, *path: str) -> Decimal | None:
        """An amount, None where no file gives it."""
        figure = self.figures.get(path)
        return figure.value if figure is not None and isinstance(figure.value, Decimal) else None

    def number(self, *path: str) -> float | None:
        """A share, a rate or hours, None where no file gives it."""
        figure = self.figures.get(path)
        return float(figure.value) if figure is not None and isinstance(figure.value, int | float) else None

    def text(self, *path: str) -> str:
        """A choice or a text, "" where no file gives it."""
        figure = self.figures.get(path)
        return figure.value if figure is not None and isinstance(figure.value, str) else ""

    def source(self, *path: str) -> str:
        """The file that a figure came from, "typical" where no file gives it."""
        figure = self.figures.get(path)
        return figure.source if figure is not None else "typical"

    def below(self, head: str) -> tuple[tuple[Path, Figure], ...]:
        """All figures whose path begins with a word, in the order read."""
        return tuple((path, figure) for path, figure in self.figures.items() if path[0] == head)

    def over(self, other: Firm) -> Firm:
        """These figures over another's: what both give is taken from here.

        Margin and markup say the same thing, so either one here takes the place of both there.
        """
        figures = dict(other.figures)
        for pair in _ALTERNATIVES:
            if any(path in self.figures for path in pair):
                for path in pair:
                    figures.pop(path, None)
        figures.update(self.figures)
        kept = tuple(row for row in other.equipment if row[0] not in dict(self.equipment))
        return Firm(
            figures=figures,
            equipment=kept + self.equipment,
            options=self.options or other.options,
            exclusions=self.exclusions or other.exclusions,
            terms=self.terms or other.terms,
            name=self.name or other.name,
            address=self.address or other.address,
            files=other.files + self.files,
            usual={
                table: {**other.usual.get(table, {}), **self.usual.get(table, {})}
                for table in (*other.usual, *self.usual)
            },
        )


# Figures of which only one may stand.
_ALTERNATIVES: tuple[tuple[Path, Path], ...] = (
    (("price", "margin"), ("price", "markup")),
    (("overhead", "share"), ("overhead", "per_hour")),
)

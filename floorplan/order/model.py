"""The material list: values only.

A *term* is one layer's need on one slab, with the sum written out. Terms of one product are summed and
rounded up to whole *packs* once; *spare* is what the packs hold beyond the need.
"""

from __future__ import annotations

from enum import StrEnum

from ..errors import Notice
from ..system.model import Product
from ..units.length import UnitStyle
from ..values import dataclass, field

FIRST_LINE = "Typical values: follow the data sheet of each product."


class Group(StrEnum):
    """Part of the list that a line stands in, in the order of the list."""

    COATING = "coatings"
    BROADCAST = "broadcast"
    JOINT = "joints"
    SUNDRY = "sundries"
    TOOL = "tools"


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """What one layer needs on one slab (or flight of steps).

    Attributes:
        slab: name of the slab, "" for the whole job.
        layer: name of the layer.
        product: what it uses.
        amount: need with waste, in the product's measure (litres, kilograms, metres, pieces).
        how: the sum in the trade's units.
        std: standard error of `amount` from the tape, 0 where areas are exact.
        kept: kilograms that stay on the floor (broadcast only).
        back: kilograms that come back with the broom (broadcast only).
        grit_kg: grit that goes into this amount.
        grit: the grit's product, None for none.
        source: file that the rate came from.
    """

    slab: str
    layer: str
    product: Product
    amount: float
    how: str
    std: float = 0.0
    kept: float = 0.0
    back: float = 0.0
    grit_kg: float = 0.0
    grit: Product | None = None
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialLine:
    """One row of the material list: a product in packs of one size.

    Attributes:
        item: in words.
        layer: the layers that use it, joined by " + ".
        need: before rounding, in `unit`; what is on hand is not yet taken off.
        unit: "gal", "lb", "ft", "L", "kg", "m" or "" for pieces.
        pack_size: in `unit`.
        packs: how many to order.
        spare: `on_hand` and `packs` x `pack_size` less `need`, in `unit`.
        how: the whole sum written out.
        group: part of the list.
        pack_word: "kit", "box" …
        product: its name in systems, prices and stock.
        on_hand: in `unit`, taken from stock before rounding up.
        source: file that the rate came from, "" when not known.
        coat_packs: packs of each term when every coat rounds by itself.
        amount: `need` in litres, kilograms, metres or pieces.
        pack_amount: `pack_size` in the same.
        hand_amount: `on_hand` in the same.
        pack: size and word: "3 gal kit", "10.1 fl oz cartridge".
        by_use: priced by wear (`amount` of a pack), not by whole packs.
    """

    item: str
    layer: str
    need: float
    unit: str
    pack_size: float
    packs: int
    spare: float
    how: str
    group: Group = Group.COATING
    pack_word: str = "pack"
    product: str = ""
    on_hand: float = 0.0
    source: str = ""
    coat_packs: tuple[tuple[str, int], ...] = ()
    amount: float = 0.0
    pack_amount: float = 0.0
    hand_amount: float = 0.0
    pack: str = ""
    by_use: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class BroadcastBalance:
    """What becomes of a broadcast product: kilograms thrown, kept, swept back, bought, carried to stock."""

    product: str
    title: str
    thrown_kg: float
    kept_kg: float
    back_kg: float
    bought_kg: float
    stock_kg: float = 0.0

    @property
    def unthrown_kg(self) -> float:
        """Bought or taken from stock and never thrown."""
        return self.bought_kg + self.stock_kg - self.thrown_kg

    @property
    def carried_kg(self) -> float:
        """To stock at the end: opening + bought - kept."""
        return self.bought_kg + self.stock_kg - self.kept_kg


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialList:
    """What to buy for a job.

    Attributes:
        items: in the order of the groups and of the work.
        notices: thin margins, large spare, what could not be worked out.
        title: of the plan.
        units: of `need`, `pack_size` and `spare`.
        first_line: stands first on every list.
        terms: what the lines were summed from.
        balances: of each broadcast product.
        cautions: of the systems and products used.
        tools: what to load beside what is bought.
    """

    items: tuple[MaterialLine, ...]
    notices: tuple[Notice, ...]
    title: str = ""
    units: UnitStyle = UnitStyle.FT_IN
    first_line: str = FIRST_LINE
    terms: tuple[Term, ...] = field(default=(), compare=False)
    balances: tuple[BroadcastBalance, ...] = ()
    cautions: tuple[str, ...] = ()
    tools: tuple[MaterialLine, ...] = ()

    def line(self, product: str) -> MaterialLine:
        """The first line of a product.

        Raises:
            KeyError: it is not on the list.
        """
        for line in self.items:
            if line.product == product:
                return line
        raise KeyError(product)

"""The material list as text, JSON and CSV."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from ..order.model import Group
from ..order.part_kits import USUAL_FRACTIONS, PartKit, part_kit
from ..order.words import Words, plain, plural
from ..units.rounding import decimal_text
from .columns import aligned
from .contract import notices
from .tables import Cell, csv_text

if TYPE_CHECKING:
    from ..order.model import BroadcastBalance, MaterialLine, MaterialList
    from ..system.model import Product

# Figures are kept to this many digits in documents: far below any tolerance of the trade, without binary
# dust.
_DIGITS = 6
_WIDTH = 100


def materials_text(order: MaterialList, *, explain: bool = False) -> str:
    """The list for people: what to buy in packs, then the sums; sundries' sums only where `explain`."""
    head = f"floorplan materials: {order.title}" if order.title else "floorplan materials"
    lines = [order.first_line, head]
    for group in Group:
        own = [line for line in order.items if line.group is group]
        if own:
            lines += ["", group.value.capitalize(), *_table(own)]
    if order.tools:
        rows = [(plural(line.packs, line.pack_word), line.item) for line in order.tools]
        lines += ["", "Load as well", *aligned(rows, "rl")]
    lines += _sums(order, explain)
    lines += _balances(order.balances, Words(order.units))
    lines += _part_kits(order, Words(order.units)) if explain else []
    if order.cautions:
        lines += ["", "Cautions (follow safety data sheets and local rules)"]
        lines += [text for caution in order.cautions for text in _wrapped(f"- {caution}", "  ", "    ")]
    return "\n".join(lines) + "\n"


def _table(lines: Iterable[MaterialLine]) -> list[str]:
    own = list(lines)
    hand = any(line.on_hand for line in own)
    heads = ("item", "need", "on hand", "pack", "order", "spare")
    rows = [heads, *(_row(line) for line in own)]
    if not hand:
        rows = [(*row[:2], *row[3:]) for row in rows]
    return aligned(rows, "lrrlrr" if hand else "lrlrr")


def _row(line: MaterialLine) -> tuple[str, ...]:
    spare = _amount(line.spare, line.unit) if not line.by_use else "by wear"
    hand = _amount(line.on_hand, line.unit) if line.on_hand else ""
    return (
        line.item,
        _amount(line.need, line.unit),
        hand,
        line.pack,
        plural(line.packs, line.pack_word),
        spare,
    )


def _amount(value: float, unit: str) -> str:
    return f"{decimal_text(value, 2)} {unit}".rstrip()


def _sums(order: MaterialList, explain: bool) -> list[str]:
    own = [line for line in order.items if explain or line.group is not Group.SUNDRY]
    lines = ["", "Sums"] if own else []
    seen = set()
    for line in own:
        if (line.item, line.how) not in seen:
            seen.add((line.item, line.how))
            lines += _wrapped(f"{line.item}: {line.how}", "  ", "    ")
            if explain and line.source:
                lines.append(f"    rates from {line.source}")
    return lines


def _balances(balances: Iterable[BroadcastBalance], words: Words) -> list[str]:
    weight = words.figures.weight
    lines = [
        f"{b.title}: thrown {weight(b.thrown_kg)}, kept {weight(b.kept_kg)}, swept back {weight(b.back_kg)}, "
        f"never thrown {weight(b.unthrown_kg)}, to stock {weight(b.carried_kg)}"
        for b in balances
    ]
    return (
        ["", "Broadcast", *(row for line in lines for row in _wrapped(line, "  ", "    "))] if lines else []
    )


def _part_kits(order: MaterialList, words: Words) -> list[str]:
    """What goes into the pail for a part of a kit: quarters, and what the need takes of its last kit."""
    needs: dict[Product, float] = {}
    grits: dict[Product, float] = {}
    for term in order.terms:
        if term.product.parts and not term.layer.endswith(" joints"):
            needs[term.product] = needs.get(term.product, 0.0) + term.amount
            grits[term.product] = grits.get(term.product, 0.0) + term.grit_kg
    lines: list[str] = []
    for product, need in needs.items():
        last = need / product.packs[0] % 1.0
        fractions = sorted({*USUAL_FRACTIONS, *([round(last, 2)] if round(last, 2) > 0 else [])})
        kits = [part_kit(product, fraction) for fraction in fractions]
        rows = [_part_kit_row(kit, grits[product] / need, words) for kit in kits]
        heads = ("of a kit", *(f"part {part.name}" for part in product.parts), "grit")
        lines += ["", f"Part kits of {product.title}", *aligned([heads, *rows], "l" + "r" * (len(heads) - 1))]
        if any(part.density_kg_per_l is None for part in product.parts):
            lines.append("  weights need the density of each part from the data sheet")
    return lines


def _part_kit_row(kit: PartKit, grit_kg_per_l: float, words: Words) -> tuple[str, ...]:
    measure = kit.product.measure
    cells = []
    for part in kit.parts:
        weight = "" if part.weight_kg is None else f" ({words.figures.figure('weight', part.weight_kg, 2)})"
        cells.append(words.amount(measure, part.volume_l, 3) + weight)
    grit = words.small_weight(grit_kg_per_l * kit.volume_l) if grit_kg_per_l else "-"
    return (plain(kit.fraction), *cells, grit)


def _wrapped(text: str, first: str, later: str) -> list[str]:
    return textwrap.wrap(text, _WIDTH, initial_indent=first, subsequent_indent=later, break_long_words=False)


def materials_document(order: MaterialList) -> dict[str, Any]:
    """The list as the JSON document that outside programs read."""
    return {
        "made_by": "floorplan",
        "note": order.first_line,
        "title": order.title,
        "units": order.units.value,
        "items": [_item(line) for line in order.items],
        "broadcast": [
            {
                "product": b.product,
                "thrown_kg": round(b.thrown_kg, _DIGITS),
                "kept_kg": round(b.kept_kg, _DIGITS),
                "back_kg": round(b.back_kg, _DIGITS),
                "bought_kg": round(b.bought_kg, _DIGITS),
                "stock_kg": round(b.stock_kg, _DIGITS),
                "unthrown_kg": round(b.unthrown_kg, _DIGITS),
                "carried_kg": round(b.carried_kg, _DIGITS),
            }
            for b in order.balances
        ],
        "tools": [{"item": line.item, "count": line.packs, "how": line.how} for line in order.tools],
        "cautions": list(order.cautions),
        "warnings": notices(order.notices),
    }


def _item(line: MaterialLine) -> dict[str, Any]:
    return {
        "item": line.item,
        "layer": line.layer,
        "need": round(line.need, _DIGITS),
        "unit": line.unit,
        "pack_size": round(line.pack_size, _DIGITS),
        "packs": line.packs,
        "spare": round(line.spare, _DIGITS),
        "how": line.how,
        "group": line.group.value,
        "product": line.product,
        "pack": line.pack_word,
        "on_hand": round(line.on_hand, _DIGITS),
        "source": line.source,
    }


_COLUMNS = ("item", "layer", "need", "unit", "pack_size", "packs", "spare", "on_hand", "how", "source")


def materials_csv(order: MaterialList) -> str:
    """The list as rows for a spreadsheet; the first row says that the values are typical."""
    rows: list[tuple[Cell, ...]] = [(f"{order.first_line} (floorplan materials: {order.title})",), _COLUMNS]
    for line in order.items:
        document = _item(line)
        rows.append(tuple(document[column] for column in _COLUMNS))
    return csv_text(rows)

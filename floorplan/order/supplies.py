"""What was ordered, handed with the days that use it to the work plan, which ranks below."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from ..measure.model import Takeoff
from ..system.model import Broadcast, Coat, CoatingSystem, Product
from ..units.rounding import whole_packs
from ..work.loading import Supply
from .labour import Labour
from .model import Group, MaterialLine, MaterialList, Term

_LOADED: Final = (Group.COATING, Group.BROADCAST, Group.JOINT)


def supplies(order: MaterialList, takeoff: Takeoff, hours: Labour) -> tuple[Supply, ...]:
    """Coatings, what is thrown, grit, fillers and sealants, a row for each line of the list.

    Joints are filled on the first day and sealed on the last, as the hours have it.
    """
    day_of = {row.coat: row.day + 1 for row in hours.tasks if row.coat}
    day_of |= {
        thrown: day_of[coat]
        for slab in takeoff.slabs
        for thrown, coat in _thrown_into(slab.slab.system).items()
        if coat in day_of
    }
    day_of |= {"fill joints": 1, "seal joints": max(len(hours.people), 1)}
    found = []
    for line in order.items:
        uses = list(_uses(line, order.terms)) if line.group in _LOADED else []
        whole = sum(amount for _, _, amount in uses)
        if whole > 0.0:
            by_day: dict[int, float] = {}
            for _, term, amount in uses:
                day = day_of.get(term.layer, 1)
                by_day[day] = by_day.get(day, 0.0) + amount
            share = line.amount / whole
            found.append(
                Supply(
                    name=line.item,
                    product=uses[0][0],
                    pack=line.pack_amount,
                    packs=line.packs + whole_packs(line.hand_amount, line.pack_amount),
                    by_day=tuple((day, amount * share) for day, amount in sorted(by_day.items())),
                )
            )
    return tuple(found)


def _uses(line: MaterialLine, terms: Iterable[Term]) -> Iterable[tuple[Product, Term, float]]:
    """The terms that a line was summed from; grit goes with the coats that take it."""
    for term in terms:
        for product, amount in ((term.product, term.amount), (term.grit, term.grit_kg)):
            if product is not None and product.name == line.product and line.item.startswith(product.title):
                yield product, term, amount


def _thrown_into(system: CoatingSystem) -> dict[str, str]:
    """The coat that each broadcast falls into, by the names of the layers."""
    coat, found = "", {}
    for layer in system.layers:
        if isinstance(layer, Coat):
            coat = layer.name
        elif isinstance(layer, Broadcast):
            found[layer.name] = coat
    return found

"""Layers read from the `[[layer]]` tables of a system file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from ..files.cells import Cell
from ..files.table import Table, choose
from ..units.reading import read_percent, read_weight_rate
from ..values import replace
from .model import Broadcast, Coat, Grit, Layer, Measure, Product, Surface, Work
from .notations import rate_of_film, read_above_zero_rate, read_film, read_grit
from .products import read_times

_SURFACES: Final = {
    "floor": (Surface.FLOOR,),
    "steps": (Surface.TREADS, Surface.RISERS),
    "treads": (Surface.TREADS,),
    "risers": (Surface.RISERS,),
    "faces": (Surface.FACES,),
    "band": (Surface.BAND,),
    "field": (Surface.FIELD,),
    "border": (Surface.BORDER,),
}
_KINDS: Final = ("coat", "broadcast", "work")


def read_layers(table: Table, products: Mapping[str, Product]) -> tuple[Layer, ...]:
    """What a table gives: one layer, or a coat as often as its `coats` says; none where it cannot be used.

    Only the first of several coats meets the bare ground or the bare flake, so only it takes the surface's
    factor and the texture's loss.
    """
    coats = table.count("coats", 1, low=1, high=20) or 1
    layer = _layer(table, products)
    if not isinstance(layer, Coat) or coats == 1:
        return () if layer is None else (layer,)
    later = replace(layer, first=False, texture=0.0)
    return (
        replace(layer, name=f"{layer.name} 1"),
        *(replace(later, name=f"{layer.name} {n}") for n in range(2, coats + 1)),
    )


def _layer(table: Table, products: Mapping[str, Product]) -> Layer | None:
    kinds = [kind for kind in _KINDS if kind in table]
    if len(kinds) != 1:
        text = (
            f"a layer is one of {', '.join(_KINDS)}; this one gives {' and '.join(kinds) or 'none of them'}"
        )
        table.fault(
            "layer-kind", text, kinds[1] if kinds else "", 'write coat = "…" or broadcast = "…" or work = "…"'
        )
        return None
    layer: Layer | None
    if kinds[0] == "work":
        layer = Work(name=table.text("work", ""), note=table.text("note", ""))
    elif kinds[0] == "coat":
        layer = _coat(table, products)
    else:
        layer = _broadcast(table, products)
    table.finish()
    return layer


def _product(table: Table, key: str, products: Mapping[str, Product]) -> Product | None:
    cell = table.cell(key, required=True)
    return None if cell is None else named_product(cell, products, table, key)


def named_product(cell: Cell, products: Mapping[str, Product], table: Table, what: str) -> Product | None:
    """The product that a cell names; otherwise a fault that offers the nearest."""
    return choose(cell, products, table.faults, what)


def _on(table: Table) -> tuple[Surface, ...]:
    """Surfaces in the order of the model; the floor where none are named."""
    wanted: set[Surface] = set()
    for cell in table.texts("on"):
        found = choose(cell, _SURFACES, table.faults, "on")
        wanted.update(found or ())
    return tuple(s for s in Surface if s in wanted) or (Surface.FLOOR,)


def _share(table: Table, key: str, *, below: float = 1.0) -> float:
    value = table.read(key, read_percent, 0.0) or 0.0
    if not 0 <= value < below:
        table.fault("value-range", f"{key} of {value * 100:g} %; 0 % to {below * 100:g} % is wanted", key)
        return 0.0
    return value


def _coat(table: Table, products: Mapping[str, Product]) -> Coat | None:
    product = _product(table, "coat", products)
    rate = _rate(table, product)
    vertical = table.read("vertical_rate", read_above_zero_rate)
    grit = _grit(table, products)
    name, on, first = (
        table.text("name", product.name if product else ""),
        _on(table),
        table.flag("first", False),
    )
    texture, waste = _share(table, "texture"), _share(table, "waste")
    times = read_times(table, product.times) if product else None
    note = table.text("note", "")
    if product is None or rate is None or times is None:
        table.ignore(*table.keys)
        return None
    if product.measure is not Measure.VOLUME:
        table.fault("coat-measure", f"{product.name} is not sold by volume, so it cannot be a coat", "coat")
    return Coat(
        name=name,
        product=product,
        on=on,
        rate_m2_per_l=rate,
        vertical_m2_per_l=vertical,
        first=first,
        texture=texture,
        waste=waste,
        grit=grit,
        times=times,
        note=note,
    )


def _rate(table: Table, product: Product | None) -> float | None:
    """The spread rate, or what a film thickness makes of it."""
    given = [key for key in ("rate", "wet_film", "dry_film") if key in table]
    if len(given) != 1:
        text = (
            f"a coat has one of rate, wet_film and dry_film; this one gives {' and '.join(given) or 'none'}"
        )
        table.fault("rate-missing", text, given[1] if given else "", 'write rate = "160 sq ft/gal"')
        return None
    if given[0] == "rate":
        return table.read("rate", read_above_zero_rate)
    film = table.read(given[0], read_film)
    if given[0] == "wet_film" or film is None:
        return rate_of_film(film) if film else None
    if product is None:
        return None
    if not product.solids:
        table.fault(
            "solids-missing", "dry_film needs the product's solids", "dry_film", 'give solids = "90 %"'
        )
        return None
    return rate_of_film(film, product.solids)


def _grit(table: Table, products: Mapping[str, Product]) -> Grit | None:
    cell = table.cell("grit")
    read = cell.read(read_grit, table.faults, "grit") if cell else None
    if cell is None or read is None:
        return None
    name, kg_per_l = read
    product = choose(cell.slice(0, len(name)), products, table.faults, "grit")
    if product is not None and product.measure is not Measure.WEIGHT:
        table.fault("grit-measure", f"{product.name} is not sold by weight, so it cannot be grit", "grit")
    return Grit(product=product, kg_per_l=kg_per_l) if product else None


def _broadcast(table: Table, products: Mapping[str, Product]) -> Broadcast | None:
    product = _product(table, "broadcast", products)
    thrown = table.read("thrown", read_weight_rate, required=True)
    vertical = table.read("vertical_thrown", read_weight_rate)
    name, on, full = (
        table.text("name", product.name if product else ""),
        _on(table),
        table.flag("full", False),
    )
    back, vertical_back = _share(table, "back"), _share(table, "vertical_back")
    reclaim = [cell.read(read_percent, table.faults, "reclaim") or 0.0 for cell in table.texts("reclaim")]
    note = table.text("note", "")
    if product is None or thrown is None:
        table.ignore(*table.keys)
        return None
    if product.measure is not Measure.WEIGHT:
        table.fault(
            "broadcast-measure", f"{product.name} is not sold by weight, so it cannot be thrown", "broadcast"
        )
    if thrown <= 0:
        table.fault("value-range", "thrown must be more than zero", "thrown")
    return Broadcast(
        name=name,
        product=product,
        on=on,
        thrown_kg_per_m2=thrown,
        vertical_kg_per_m2=vertical,
        back=back,
        vertical_back=vertical_back,
        full=full,
        reclaim_low=min(reclaim, default=0.0),
        reclaim_high=max(reclaim, default=0.0),
        note=note,
    )

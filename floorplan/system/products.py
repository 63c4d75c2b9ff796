"""Products read from `[product."name"]` tables."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from ..files.cells import Cell
from ..files.table import Table
from ..units import factors
from ..units.notation import Unreadable
from ..units.reading import (
    read_density,
    read_duration,
    read_percent,
    read_temperature,
    read_volume,
    read_weight,
)
from .model import Measure, Part, Product, Times
from .notations import read_ratio

_MINUTES: Final = {"mixing": "mix_min", "pail": "pail_min", "floor": "floor_min"}
_HOURS: Final = {
    "dry": "dry_h",
    "recoat_min": "recoat_min_h",
    "recoat_max": "recoat_max_h",
    "foot": "foot_h",
    "furniture": "furniture_h",
    "vehicle": "vehicle_h",
}


def read_product(table: Table, name: str, source: str, *, base: Product | None = None) -> Product:
    """A product; what the table leaves out comes from `base`. Where faults are noted it only stands in."""
    packs, measure = _packs(table, base)
    solids = table.read("solids", read_percent, base.solids if base else None)
    if solids is not None and not 0 < solids <= 1:
        table.fault("value-range", f"solids of {solids:.0%}; above 0 % to 100 % is wanted", "solids")
    parts = _parts(table, base.parts if base else ())
    thin = table.read("thin_margin", read_percent, base.spare_share if base else 0.0)
    product = Product(
        name=name,
        title=table.text("title", base.title if base else name),
        measure=measure or Measure.VOLUME,
        pack_word=table.text("pack", base.pack_word if base else "pack"),
        packs=packs or (1.0,),
        parts=parts,
        solids=solids,
        times=read_times(table, base.times if base else Times()),
        spare_share=thin or 0.0,
        colours=_colours(table) or (base.colours if base else ()),
        cautions=_lines(table, "cautions") or (base.cautions if base else ()),
        source=source,
        place=table.place,
    )
    table.finish()
    return product


def read_times(table: Table, base: Times) -> Times:
    """The clock of a liquid; a time left out is that of `base`, and "none" takes it away."""
    values: dict[str, float | None] = {name: getattr(base, name) for name in Times.__slots__}
    for keys, seconds in ((_MINUTES, factors.MINUTE_S), (_HOURS, factors.HOUR_S)):
        for key, name in keys.items():
            cell = table.cell(key)
            if cell is None:
                continue
            if cell.text.strip().lower() == "none":
                values[name] = None
                continue
            read = cell.read(read_duration, table.faults, key)
            values[name] = values[name] if read is None else read / seconds
    values["at_c"] = table.read("at", read_temperature, base.at_c)
    times = Times(**values)
    if times.recoat_min_h and times.recoat_max_h and times.recoat_max_h < times.recoat_min_h:
        table.fault("times-order", "recoat_max is before recoat_min", "recoat_max")
    return times


def _packs(table: Table, base: Product | None) -> tuple[tuple[float, ...], Measure | None]:
    cells = table.texts("packs", required=base is None)
    if not cells:
        return (base.packs, base.measure) if base else ((), None)
    found = [_pack(cell, table) for cell in cells]
    good = [pack for pack in found if pack is not None]
    measures = {measure for _, measure in good}
    if len(measures) > 1:
        table.fault("packs-mixed", "packs mixes volumes and weights", "packs", "one kind for one product")
    ok = len(good) == len(cells) and len(measures) == 1
    return (tuple(size for size, _ in good), good[0][1]) if ok else ((), None)


def _pack(cell: Cell, table: Table) -> tuple[float, Measure] | None:
    """Size of a pack by whichever unit is read: `3 gal` or `40 lb`."""
    readers: tuple[tuple[Measure, Callable[[str], float]], ...] = (
        (Measure.VOLUME, read_volume),
        (Measure.WEIGHT, read_weight),
    )
    text = cell.text.strip()
    for measure, reader in readers:
        try:
            size = reader(text)
        except Unreadable:
            continue
        return _sized(cell, table, size, measure)
    hint = "write a volume or a weight: 3 gal, 40 lb"
    cell.fault(table.faults, "pack-unreadable", f"packs: cannot read the size {text[:40]}", hint)
    return None


def _sized(cell: Cell, table: Table, size: float, measure: Measure) -> tuple[float, Measure] | None:
    if size > 0:
        return size, measure
    cell.fault(table.faults, "pack-size", f"packs: a pack of {cell.text.strip()} holds nothing")
    return None


def _parts(table: Table, base: tuple[Part, ...]) -> tuple[Part, ...]:
    """Parts of the mix; a file that gives densities alone gives them to the parts of the base."""
    shares = table.read("mix", read_ratio) or tuple(part.share for part in base)
    densities = [cell.read(read_density, table.faults, "densities") for cell in table.texts("densities")]
    if "mix" not in table and not densities:
        return base
    if not shares:
        return ()
    if densities and len(densities) != len(shares):
        text = f"densities gives {len(densities)} for the {len(shares)} parts of mix"
        table.fault("parts-count", text, "densities", "one density for each part, in the same order")
        densities = []
    total = sum(shares)
    return tuple(
        Part(
            name=chr(ord("A") + i) if i < 26 else str(i + 1),
            share=parts / total,
            density_kg_per_l=densities[i] if densities else None,
        )
        for i, parts in enumerate(shares)
    )


def _colours(table: Table) -> tuple[tuple[str, float], ...]:
    """`colours = { grey = "50 %", black = "50 %" }`, shares by weight that must sum to 100 %."""
    below = table.table("colours")
    if below is None:
        return ()
    rows = [(name, below.read(name, read_percent)) for name in below.keys]
    colours = tuple((name, part) for name, part in rows if part is not None)
    total = sum(part for _, part in colours)
    if colours and abs(total - 1) > 1e-6:
        table.fault(
            "colours-sum", f"the colours sum to {total * 100:g} %", "colours", "make them sum to 100 %"
        )
    return colours


def _lines(table: Table, key: str) -> tuple[str, ...]:
    return tuple(cell.text for cell in table.texts(key))

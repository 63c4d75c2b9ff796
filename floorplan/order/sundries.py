"""Sundries: alcohol, tape, covers, brushes, pails … by rates that stand in a data file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path
from typing import Final

from ..errors import DataFileError
from ..files.cells import Faults
from ..files.table import Table, choose
from ..files.text import read_text
from ..files.toml import read_toml
from ..units.factors import GALLON_L
from ..units.length import UnitStyle
from ..units.reading import read_area, read_count, read_length, read_percent, read_weight
from ..units.rounding import whole_packs
from ..values import dataclass, replace
from .model import Group, MaterialLine
from .quantities import JobQuantities
from .words import Words, plain, plural, share

_DATA: Final = Path(__file__).parent / "data"
AREA, RUN, WEIGHT, COUNT = "area", "run", "weight", "count"
# What a rate counts, and what kind of number it is.
BASES: Final = {
    "floor": AREA,
    "slab": AREA,
    "vertical": AREA,
    "hand edge": RUN,
    "mask": RUN,
    "film": RUN,
    "grooves": RUN,
    "swept": WEIGHT,
    "mixes": COUNT,
    "person days": COUNT,
    "people": COUNT,
    "job": COUNT,
}


# What may be counted for every coat, and where a coat keeps it.
_BY_COAT: Final = {"floor": "floor_m2", "vertical": "vertical_m2", "grooves": "grooves_m"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Sundry:
    """A row of the sundries table.

    Attributes:
        name: as prices and stock name it.
        of: which quantity of the job it goes by, a key of `BASES`.
        one_per: so much of that quantity (m², m, kg or a count) to one pack.
        each: so many to each one counted, before `one_per`.
        extra: added to the quantity, as a share.
        each_coat: counted and rounded for every liquid coat.
        minimum: least number, for each coat where `each_coat`.
        use: priced by wear, not by whole packs.
        gallons: the pack is a gallon (of alcohol) and is written so.
        pack_word: "roll", "cover" …
        tool: loaded, not used up and not bought for the job.
        note: for the crew.
        source: file that the rate came from.
    """

    name: str
    of: str
    one_per: float
    each: float = 1.0
    extra: float = 0.0
    each_coat: bool = False
    minimum: int = 0
    use: bool = False
    gallons: bool = False
    tool: bool = False
    pack_word: str = "piece"
    note: str = ""
    source: str = ""


@cache
def shipped_sundries() -> tuple[Sundry, ...]:
    """The rows that come with the package."""
    return read_sundries(read_text(_DATA / "sundries.toml"), "sundries.toml (shipped)")


def read_sundries(text: str, file: str) -> tuple[Sundry, ...]:
    """Rows of a sundries file.

    Raises:
        DataFileError: every fault of the text.
    """
    faults = Faults()
    root = read_toml(text, file, error=DataFileError).table(faults)
    rows = tuple(_row(table, file) for table in root.tables("sundry"))
    root.finish()
    faults.raise_if_any(DataFileError)
    return rows


def _row(table: Table, file: str) -> Sundry:
    cell = table.cell("of", required=True)
    each_coat = table.flag("each_coat", False)
    of = (
        choose(cell, {name: name for name in (_BY_COAT if each_coat else BASES)}, table.faults, "of")
        if cell
        else None
    )
    of = of or "job"
    readers: dict[str, Callable[[str], float]] = {
        AREA: read_area,
        RUN: lambda text: read_length(text, UnitStyle.FT).m,
        WEIGHT: read_weight,
        COUNT: read_count,
    }
    per = table.read("one_per", readers[BASES[of]], required=True)
    if per is not None and per <= 0:
        table.fault("value-range", "one_per must be more than zero", "one_per")
    row = Sundry(
        name=table.text("name", "", required=True),
        of=of,
        one_per=per or 1.0,
        each=table.number("each", 1.0) or 1.0,
        extra=table.read("extra", read_percent, 0.0) or 0.0,
        each_coat=each_coat,
        minimum=table.count("minimum", 0) or 0,
        use=table.flag("use", False),
        gallons=table.text("unit", "") == "gal",
        tool=table.flag("tool", False),
        pack_word=table.text("pack", "piece"),
        note=table.text("note", ""),
        source=file,
    )
    table.finish()
    return row


def sundry_lines(
    rows: Sequence[Sundry], job: JobQuantities, *, mixes: int, swept_kg: float, words: Words
) -> tuple[MaterialLine, ...]:
    """A line for each sundry that the job needs.

    Args:
        rows: the table.
        job: quantities of the job.
        mixes: pails of mixed product, every coat rounded by itself.
        swept_kg: broadcast that comes back with the broom.
        words: the plan's units.
    """
    lines = []
    for row in rows:
        line = _line(row, _counts(row, job, mixes, swept_kg), words)
        if row.of == "film":
            line = replace(line, how=_with_heights(line.how, job, words))
        if line.packs:
            lines.append(line)
    return tuple(lines)


def _with_heights(how: str, job: JobQuantities, words: Words) -> str:
    """The sum with the film of each kind of edge and its height, which decides the width of the roll."""
    each = ", ".join(
        f"{kind} {words.run(length)}, {words.inches(high)} high" for kind, length, high in job.film
    )
    return f"{each}; {how}"


def _counts(row: Sundry, job: JobQuantities, mixes: int, swept_kg: float) -> list[float]:
    """The quantity, once for the job or once for each coat."""
    if row.each_coat:
        return [getattr(coat, _BY_COAT[row.of]) for coat in job.coats]
    once = {
        "floor": job.floor_m2,
        "slab": job.slab_m2,
        "vertical": job.vertical_m2,
        "hand edge": job.hand_edge_m,
        "mask": job.mask_m,
        "film": job.film_m,
        "grooves": job.grooves_m,
        "swept": swept_kg,
        "mixes": float(mixes),
        "person days": float(job.crew.person_days),
        "people": float(job.crew.most),
        "job": 1.0 if job.floor_m2 > 0 else 0.0,
    }
    return [once[row.of]]


def _line(row: Sundry, counts: Sequence[float], words: Words) -> MaterialLine:
    each = [row.each * count * (1 + row.extra) / row.one_per for count in counts]
    packs = [max(row.minimum, whole_packs(one, 1.0)) for one in each]
    need, total = sum(each), sum(packs)
    unit = "gal" if row.gallons and words.figures.is_us else "L" if row.gallons else ""
    size = (1.0 if words.figures.is_us else GALLON_L) if row.gallons else 1.0
    return MaterialLine(
        item=row.name,
        layer="",
        need=need * size,
        unit=unit,
        pack_size=size,
        packs=total,
        spare=max(0.0, total - need) * size,
        how=_how(row, counts, each, packs, words),
        group=Group.TOOL if row.tool else Group.SUNDRY,
        pack_word=row.pack_word,
        product=row.name,
        source=row.source,
        pack=f"{plain(size)} {unit} {row.pack_word}" if unit else row.pack_word,
        by_use=row.use,
        amount=need,
        pack_amount=1.0,
    )


def _how(
    row: Sundry, counts: Sequence[float], each: Sequence[float], packs: Sequence[int], words: Words
) -> str:
    """`636.1 sq ft / 400 sq ft a can = 1.59 → 2 cans`, with the coats where each rounds by itself."""
    sums = [_one_sum(row, count, one, words) for count, one in zip(counts, each, strict=True)]
    least = f", at least {row.minimum}" if row.minimum else ""
    total = plural(sum(packs), row.pack_word)
    if not row.each_coat:
        return f"{sums[0]}{least} → {total}" if sums[0] else total
    same = len(set(sums)) == 1
    if same:
        return f"{sums[0]}{least} → {packs[0]}, x {len(packs)} coats = {total}"
    rounded = " + ".join(str(n) for n in packs)
    return f"{'; '.join(sums)}{least} → {rounded} = {total}"


def _one_sum(row: Sundry, count: float, one: float, words: Words) -> str:
    kind = BASES[row.of]
    if kind == COUNT:
        return _count_sum(row, count, one)
    write = {AREA: words.area, RUN: words.run, WEIGHT: words.figures.weight}[kind]
    extra = f" + {share(row.extra)}" if row.extra else ""
    rate = write(row.one_per).replace(".00 ", " ").replace(".0 ", " ")
    return f"{row.of} {write(count)}{extra} / {rate} a {row.pack_word} = {plain(one, 4 if row.use else 2)}"


def _count_sum(row: Sundry, count: float, one: float) -> str:
    if row.each == 1 and row.one_per == 1:
        return f"{plain(count)} {row.of}" if row.of != "job" else ""
    each = f" x {plain(row.each)}" if row.each != 1 else ""
    per = f" / {plain(row.one_per)} a {row.pack_word}" if row.one_per != 1 else ""
    return f"{plain(count)} {row.of}{each}{per} = {plain(one)}"

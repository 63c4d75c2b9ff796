"""What the layers of a system need on one slab, each with its sum written out."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import Final

from ..measure.model import MeasuredSteps, SlabTakeoff
from ..system.model import Broadcast, Coat, CoatingSystem, Grade, Surface
from ..values import replace
from .model import Term
from .surfaces import Spread, spread_of
from .words import Words, share

# Parts of a sum are printed finer than its end, so that adding them up by hand gives the printed end.
PART_DIGITS: Final = 3
_AREA_DIGITS: Final = 2
# Surfaces whose area the tape's error moves.
_TAPED: Final = frozenset({Surface.FLOOR, Surface.FIELD})


def layer_terms(
    slab: SlabTakeoff, steps: Sequence[MeasuredSteps], words: Words, *, waste: float | None = None
) -> tuple[Term, ...]:
    """Needs of every coat and broadcast of a slab's system, in the order of the work.

    `waste` replaces every coat's own where it is given.
    """
    system = slab.slab.system
    grade = system.grade_of(slab.slab.surface)
    spread = spread_of(slab, steps)
    if waste is not None:
        layers = [
            replace(layer, waste=waste) if isinstance(layer, Coat) else layer for layer in system.layers
        ]
        system = replace(system, layers=tuple(layers))
    return system_terms(system, spread, grade, words)


def system_terms(system: CoatingSystem, spread: Spread, grade: Grade, words: Words) -> tuple[Term, ...]:
    """Needs of a system on given areas; layers whose surfaces the slab has not are left out."""
    terms: list[Term] = []
    for layer in system.layers:
        if isinstance(layer, Coat) and spread.on(layer.on):
            terms.append(replace(_coat(layer, spread, grade, words), source=system.source))
        elif isinstance(layer, Broadcast) and spread.on(layer.on):
            terms.append(replace(_broadcast(layer, spread, words), source=system.source))
    return tuple(terms)


def _coat(coat: Coat, spread: Spread, grade: Grade, words: Words) -> Term:
    measure = coat.product.measure
    by_rate = groupby(spread.on(coat.on), key=lambda row: coat.coverage_m2_per_l(row[0], grade.factor))
    groups = [(rate, list(rows)) for rate, rows in by_rate]
    digits = 2 if len(groups) == 1 else PART_DIGITS
    parts: list[str] = []
    once, std = 0.0, 0.0
    for rate, surfaces in groups:
        area = sum(a for _, a in surfaces)
        once += area / rate
        std += spread.std_m2 / rate if surfaces[0][0] in _TAPED else 0.0
        shown = f"{_areas(surfaces, words)} / {words.rate(rate)}{_why(coat, surfaces[0][0], grade, words)}"
        parts.append(f"{shown} = {words.amount(measure, area / rate, digits)}")
    how = ", ".join(parts)
    if len(parts) > 1:
        how += f", together {words.amount(measure, once, digits)}"
    amount, how = _with_waste(coat, once, how, words)
    return Term(
        slab=spread.slab,
        layer=coat.name,
        product=coat.product,
        amount=amount,
        how=how,
        std=std * (1 + coat.waste),
        grit=coat.grit.product if coat.grit else None,
        grit_kg=coat.grit.kg_per_l * amount if coat.grit else 0.0,
    )


def _with_waste(coat: Coat, need: float, how: str, words: Words) -> tuple[float, str]:
    if not coat.waste:
        return need, how
    amount = need * (1 + coat.waste)
    return amount, f"{how}, + {share(coat.waste)} waste = {words.amount(coat.product.measure, amount)}"


def _areas(surfaces: Sequence[tuple[Surface, float]], words: Words) -> str:
    """`636.1 sq ft`, `floor 526.33 + treads 3.67 = 530.00 sq ft`."""
    total = sum(area for _, area in surfaces)
    if len(surfaces) == 1:
        surface = surfaces[0][0]
        return words.area(total) if surface is Surface.FLOOR else f"{surface.value} {words.area(total)}"
    figures = [(s.value, words.figures.figure("area", area, _AREA_DIGITS)) for s, area in surfaces]
    each = " + ".join(f"{name} {figure.number}" for name, figure in figures)
    return f"{each} = {words.figures.figure('area', total, _AREA_DIGITS)}"


def _why(coat: Coat, surface: Surface, grade: Grade, words: Words) -> str:
    """How the rate came about: `(160 / 1.15 broom)`, `(200 less 40 % texture)`; "" for the plain rate."""
    if surface.vertical and coat.vertical_m2_per_l is not None:
        return ""
    reasons = []
    if coat.first and grade.factor != 1:
        reasons.append(f"/ {grade.factor:.2f} {grade.name}")
    if coat.texture:
        reasons.append(f"less {share(coat.texture)} texture")
    return f" ({words.rate_number(coat.rate_m2_per_l)} {' '.join(reasons)})" if reasons else ""


def _broadcast(layer: Broadcast, spread: Spread, words: Words) -> Term:
    measure = layer.product.measure
    parts: list[str] = []
    thrown = back = std = 0.0
    by_rate = groupby(spread.on(layer.on), key=lambda row: (layer.thrown_on(row[0]), layer.back_from(row[0])))
    for (rate, share_back), rows in by_rate:
        surfaces = list(rows)
        weight = sum(a for _, a in surfaces) * rate
        thrown += weight
        back += weight * share_back
        std += spread.std_m2 * rate if surfaces[0][0] in _TAPED else 0.0
        parts.append(
            f"{_areas(surfaces, words)} x {words.weight_rate(rate)} = {words.amount(measure, weight)}"
        )
    how = ", ".join(parts)
    if len(parts) > 1:
        how += f", together {words.amount(measure, thrown)}"
    return Term(
        slab=spread.slab,
        layer=layer.name,
        product=layer.product,
        amount=thrown,
        how=f"{how} thrown",
        std=std,
        kept=thrown - back,
        back=back,
    )

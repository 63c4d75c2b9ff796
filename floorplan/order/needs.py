"""The material list: needs of every layer, joint and sundry, summed by product and rounded up once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ..errors import Notice
from ..measure.model import Takeoff
from ..plan.model import Plan
from ..system.model import Measure, Product, Surface
from ..units.rounding import whole_packs
from ..values import dataclass
from .grit import grit_terms
from .joints import joint_terms
from .layers import layer_terms
from .lines import product_lines
from .model import BroadcastBalance, Group, MaterialLine, MaterialList, Term
from .quantities import job_quantities
from .rules import OnHand, OrderRules
from .sundries import Sundry, shipped_sundries, sundry_lines
from .words import Words


@dataclass(frozen=True, slots=True, kw_only=True)
class ProductNeed:
    """All terms of one product, in the order of the work."""

    product: Product
    group: Group
    terms: tuple[Term, ...]


def material_list(plan: Plan, takeoff: Takeoff, *, rules: OrderRules | None = None) -> MaterialList:
    """What to buy for a job.

    Steps belong to the job; they are coated with the first slab's system.

    Args:
        plan: for its units and title.
        takeoff: of the same plan.
        rules: how the firm orders; left out, kits are split and the usual pack of each product is taken.
    """
    rules = rules or OrderRules()
    words = Words(plan.units)
    terms, notices = _terms(takeoff, words, rules)
    lines: list[MaterialLine] = []
    limits = _reclaim_limits(takeoff)
    for need in _by_product(terms, takeoff):
        reclaim = limits.get(need.product, 1.0)
        rows, said = product_lines(need.product, need.terms, need.group, rules, words=words, reclaim=reclaim)
        lines += rows
        notices += said
    for need in _by_product(grit_terms(lines, terms, words), takeoff):
        rows, said = product_lines(need.product, need.terms, Group.COATING, rules, words=words)
        lines += rows
    balances = _balances(terms, lines, rules)
    job = job_quantities(takeoff, crew=rules.crew)
    sundries = rules.sundries if rules.sundries is not None else shipped_sundries()
    swept = sum(balance.back_kg for balance in balances)
    counted = sundry_lines(sundries, job, mixes=mixes(terms), swept_kg=swept, words=words)
    lines += [line for line in counted if line.group is not Group.TOOL]
    named = {line.product for line in counted}
    order = list(Group)
    return MaterialList(
        items=tuple(sorted(lines, key=lambda line: order.index(line.group))),
        notices=tuple(notices),
        title=plan.title,
        units=plan.units,
        terms=tuple(terms),
        balances=balances,
        cautions=_cautions(takeoff, terms, [row for row in sundries if row.name in named]),
        tools=tuple(line for line in counted if line.group is Group.TOOL),
    )


def _terms(takeoff: Takeoff, words: Words, rules: OrderRules) -> tuple[list[Term], list[Notice]]:
    terms: list[Term] = []
    joints: list[Term] = []
    notices = [*_surface_notes(takeoff), *_border_notes(takeoff)]
    for i, slab in enumerate(takeoff.slabs):
        terms += layer_terms(slab, takeoff.steps_of(i), words, waste=rules.waste)
        more, said = joint_terms(slab, words)
        joints += more
        notices += said
    return terms + joints, notices


def _reclaim_limits(takeoff: Takeoff) -> dict[Product, float]:
    """Greatest share of reclaimed in what is thrown, by product; the strictest where systems differ."""
    limits: dict[Product, float] = {}
    for slab in takeoff.slabs:
        for layer in slab.slab.system.broadcasts:
            limits[layer.product] = min(limits.get(layer.product, 1.0), layer.reclaim_high)
    return limits


def _surface_notes(takeoff: Takeoff) -> list[Notice]:
    """What a rough surface means for the first coat."""
    notices = []
    for slab in takeoff.slabs:
        system = slab.slab.system
        if any(coat.first for coat in system.coats):
            grade = system.grade_of(slab.slab.surface)
            if grade.note:
                text = f"{grade.name} surface: {grade.note}"
                notices.append(Notice(code="surface-rough", text=text, where=slab.name))
    return notices


def _border_notes(takeoff: Takeoff) -> list[Notice]:
    """A border that no layer goes on, or that is thrown with the product of the field, has no colour."""
    notices = []
    for system in dict.fromkeys(slab.slab.system for slab in takeoff.slabs):
        field, border = (
            {thrown.product: None for thrown in system.broadcasts if surface in thrown.on}
            for surface in (Surface.FIELD, Surface.BORDER)
        )
        layers = [layer.on for layer in system.coats] + [layer.on for layer in system.broadcasts]
        if system.border_m and not any(Surface.BORDER in on for on in layers):
            text = (
                "a border is given, but no layer goes on it, so nothing is ordered for it and it is coated as"
                ' the field: give the layers of either colour on = ["field"] and on = ["border"]'
            )
            notices.append(Notice(code="border-plain", text=text, where=system.title))
        for product in field:
            if product in border:
                text = (
                    f"{product.title} is thrown on the field and on the border, so both are ordered as one"
                    f' colour: name a product for the border, such as [product."border {product.name}"]'
                )
                notices.append(Notice(code="border-alike", text=text, where=system.title))
    return notices


def _by_product(terms: Iterable[Term], takeoff: Takeoff) -> list[ProductNeed]:
    """Terms of the same product together; two products of one name in two systems stay apart."""
    found: dict[Product, list[Term]] = {}
    for term in terms:
        found.setdefault(term.product, []).append(term)
    thrown = {layer.product for slab in takeoff.slabs for layer in slab.slab.system.broadcasts}
    return [
        ProductNeed(product=product, group=_group(product, rows, thrown), terms=tuple(rows))
        for product, rows in found.items()
    ]


def _group(product: Product, terms: Sequence[Term], thrown: set[Product]) -> Group:
    if product in thrown:
        return Group.BROADCAST
    return Group.JOINT if terms[0].layer.endswith(" joints") else Group.COATING


def mixes(terms: Iterable[Term]) -> int:
    """Pails of mixed product when every coat rounds by itself to its usual kit."""
    by_coat: dict[tuple[Product, str], float] = {}
    for term in terms:
        if term.product.measure is Measure.VOLUME and not term.layer.endswith(" joints"):
            key = (term.product, term.layer)
            by_coat[key] = by_coat.get(key, 0.0) + term.amount
    return sum(whole_packs(amount, product.packs[0]) for (product, _), amount in by_coat.items())


def _balances(
    terms: Sequence[Term], lines: Sequence[MaterialLine], rules: OrderRules
) -> tuple[BroadcastBalance, ...]:
    rows = []
    for product in dict.fromkeys(term.product for term in terms if term.kept or term.back):
        own = [term for term in terms if term.product == product]
        bought = sum(line.packs * line.pack_amount for line in lines if line.product == product.name)
        stock = rules.on_hand.get(product.name, OnHand(amount=0.0)).amount
        rows.append(
            BroadcastBalance(
                product=product.name,
                title=product.title,
                thrown_kg=sum(term.amount for term in own),
                kept_kg=sum(term.kept for term in own),
                back_kg=sum(term.back for term in own),
                bought_kg=bought,
                stock_kg=stock,
            )
        )
    return tuple(rows)


def _cautions(takeoff: Takeoff, terms: Sequence[Term], sundries: Sequence[Sundry]) -> tuple[str, ...]:
    systems = [slab.slab.system for slab in takeoff.slabs]
    lines = [f"{system.title}: never {text}" for system in systems for text in system.never]
    lines += [text for system in systems for text in system.cautions]
    lines += [f"{term.product.title}: {text}" for term in terms for text in term.product.cautions]
    lines += [f"{row.name}: {row.note}" for row in sundries if row.note]
    return tuple(dict.fromkeys(lines))

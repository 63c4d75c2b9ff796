"""A job worked through: takeoff, material list, labour and, where prices are given, cost and price."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from ..measure.model import Takeoff
from ..plan.model import Plan
from ..system.model import Broadcast, Coat, Product
from ..values import dataclass, replace
from .cost import CostSheet, cost_sheet, same_size
from .firm import Firm
from .labour import Labour, labour
from .model import MaterialList
from .needs import material_list
from .rules import OnHand, OrderRules, PackChoice
from .words import Words


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedJob:
    """Everything that follows from a plan; `cost` is None where no prices were given."""

    plan: Plan
    takeoff: Takeoff
    order: MaterialList
    labour: Labour
    cost: CostSheet | None = None


def work_job(
    plan: Plan,
    takeoff: Takeoff,
    *,
    firm: Firm | None = None,
    on_hand: Mapping[str, OnHand] | None = None,
    spare_kits: int = 0,
    crew: int | None = None,
    priced: bool = True,
) -> WorkedJob:
    """List, labour and price of a plan by a firm's figures.

    Args:
        plan: the plan.
        takeoff: of that plan.
        firm: its rates and prices; None takes the typical ones and gives no price.
        on_hand: stock that the job may use.
        spare_kits: more kits of every liquid than the firm's rule.
        crew: people on the first day; None goes by the firm's rule, then by area.
        priced: False leaves the price out, whatever the firm's figures.

    Raises:
        DataFileError: a price that cannot be done without is missing.
    """
    rules = rules_of(firm or Firm(), takeoff, on_hand or {})
    rules = replace(rules, spare_kits=rules.spare_kits + spare_kits, crew=crew or rules.crew)
    order = material_list(plan, takeoff, rules=rules)
    hours = labour(takeoff, Words(plan.units), firm=firm, crew=rules.crew)
    cost = cost_sheet(order, hours, firm) if firm is not None and priced else None
    return WorkedJob(plan=plan, takeoff=takeoff, order=order, labour=hours, cost=cost)


def rules_of(firm: Firm, takeoff: Takeoff, on_hand: Mapping[str, OnHand]) -> OrderRules:
    """The firm's rules of ordering, with the prices of the packs that this job may use."""
    split = firm.figure("order", "split_kits")
    crew, spare = firm.number("order", "crew"), firm.number("order", "spare_kits")
    return OrderRules(
        split_kits=True if split is None else bool(split.value),
        choice=PackChoice(firm.text("order", "packs") or PackChoice.USUAL),
        on_hand=on_hand,
        pack_prices=_pack_prices(firm, takeoff),
        spare_kits=int(spare) if spare else 0,
        crew=int(crew) if crew else None,
        waste=firm.number("order", "waste"),
    )


def products_of(takeoff: Takeoff) -> tuple[Product, ...]:
    """Every product that the systems of a job may use, in the order of the work."""
    found: list[Product] = []
    for slab in takeoff.slabs:
        system = slab.slab.system
        for layer in system.layers:
            if isinstance(layer, Coat | Broadcast):
                found.append(layer.product)
            if isinstance(layer, Coat) and layer.grit:
                found.append(layer.grit.product)
        found += [product for product in (system.joint_filler, system.joint_sealant) if product]
    return tuple(dict.fromkeys(found))


def _pack_prices(firm: Firm, takeoff: Takeoff) -> dict[tuple[str, float], Decimal]:
    prices: dict[tuple[str, float], Decimal] = {}
    for product in products_of(takeoff):
        usual = firm.money("material", product.name)
        if usual is not None:
            prices[product.name, product.packs[0]] = usual
        for path, figure in firm.below("material"):
            if len(path) == 3 and path[1] == product.name and isinstance(figure.value, Decimal):
                for size in product.packs:
                    if same_size(path[2], size):
                        prices[product.name, size] = figure.value
    return prices

"""A job worked through: takeoff, material list, labour and, where prices are given, cost and price."""

from __future__ import annotations

from collections.abc import Mapping

from ..measure.model import Takeoff
from ..plan.model import Plan
from ..values import dataclass, replace
from .cost import CostSheet, cost_sheet
from .firm import Firm
from .firm_rules import rules_of
from .labour import Labour, labour
from .model import MaterialList
from .needs import material_list
from .rules import OnHand
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

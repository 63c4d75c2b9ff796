"""Packs against batches: a total may fit while a zone does not."""

from __future__ import annotations

from estimates import estimate

from floorplan.order.batches import BatchNeed, batch_needs, batch_notices
from floorplan.order.model import MaterialList
from floorplan.order.needs import material_list
from floorplan.order.rules import OrderRules, PackChoice
from floorplan.work.batches import spread_rate_m2_per_min
from floorplan.work.pours import pours

GALLON = 3.785411784


def order(name: str, choice: PackChoice = PackChoice.USUAL) -> MaterialList:
    """Material list of a worked estimate."""
    takeoff = estimate(name)
    return material_list(takeoff.plan, takeoff, rules=OrderRules(choice=choice))


def batch(litres: float, number: int, product: str = "epoxy primer") -> BatchNeed:
    """One batch."""
    return BatchNeed(product=product, layer="primer", order=number, litres=litres)


def test_small_kit_that_cannot_do_its_zone_is_said() -> None:
    """Estimate B: zones of 2.10 and 2.09 gal; 3 + 1.5 gal hold the total of 4.19, but zone 2 has no kit."""
    zones = [batch(2.10 * GALLON, 1), batch(2.09 * GALLON, 2)]
    (notice,) = batch_notices(order("garage", PackChoice.LEAST_SPARE), zones)
    assert notice.code == "batches-short"
    assert "none is left for zone 2 of primer (2.09 gal)" in notice.text
    assert batch_notices(order("garage"), zones) == ()


def test_batch_of_more_than_a_kit_opens_two() -> None:
    """Two kits of 3 gal for batches of 3.1 and 1.0 gal: the first takes both."""
    zones = [batch(3.1 * GALLON, 1), batch(1.0 * GALLON, 2)]
    assert [n.code for n in batch_notices(order("garage"), zones)] == ["batches-short"]


def test_zones_of_the_patio_are_served_by_its_seven_kits() -> None:
    """Estimate A: topcoat zones of 0.95, 0.81, 0.94 and 1.01 kit (0.01 carried over) and the second coat."""
    takeoff = estimate("patio")
    poured, _ = pours(takeoff, rate_m2_per_min=spread_rate_m2_per_min(3), people=3)
    assert batch_notices(order("patio"), batch_needs(poured)) == ()


def test_product_that_is_not_on_the_list_says_nothing() -> None:
    """No line, no warning."""
    assert batch_notices(order("patio"), [batch(1.0, 1, "tar")]) == ()

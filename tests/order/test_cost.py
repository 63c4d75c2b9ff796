"""Labour, cost and price of the two worked estimates, and the rules of charging."""

from __future__ import annotations

from decimal import Decimal

import pytest
from estimates import FOLDER, POUND, estimate
from hypothesis import given, settings
from hypothesis import strategies as st

import floorplan
from floorplan.errors import DataFileError
from floorplan.order.cost import CostGroup, CostSheet, margin_of
from floorplan.order.firm import Firm
from floorplan.order.firm_reader import load_firm, read_firm
from floorplan.order.job import WorkedJob, work_job
from floorplan.order.rules import OnHand
from floorplan.report.quote import cost_text

SMALL = """
title = "Small"
units = "ft"
[[slab]]
name = "Shed"
system = "{system}"
outline = \"\"\"
0, 0
10, 0
10, 10
0, 10
\"\"\"
"""
PRICES = FOLDER / "prices.toml"


def job(name: str, extra: str = "") -> WorkedJob:
    """A worked estimate with its common prices, and some figures over them."""
    firm = read_firm(extra, "job.toml").over(load_firm(PRICES))
    on_hand = {"flake": OnHand(amount=60 * POUND, reclaimed=60 * POUND)} if name == "garage" else {}
    takeoff = estimate(name)
    return work_job(takeoff.plan, takeoff, firm=firm, on_hand=on_hand)


def cost(name: str, extra: str = "") -> CostSheet:
    """Its cost sheet."""
    sheet = job(name, extra).cost
    assert sheet is not None
    return sheet


# Task and man-hours as worked by hand in the trade brief, section 10 (common practice, no source).
PATIO_HOURS = [
    ("travel", 7.00),
    ("set up and protect", 1.50),
    ("walk-behind grinding", 2.45),
    ("hand grinding, edges", 1.33),
    ("groove rake and vacuum", 1.21),
    ("vacuum and alcohol", 1.41),
    ("masking", 1.48),
    ("coat and broadcast", 3.74),
    ("brush out grooves, base coat", 0.72),
    ("recheck", 1.50),
    ("scrape, sweep, bag", 3.18),
    ("blow out, mask again", 1.00),
    ("topcoat, first over flake", 2.89),
    ("topcoat", 2.45),
    ("brush out grooves, topcoat", 0.96 * 2),
    ("de-mask, clean, walk-off", 2.00),
]
GARAGE_HOURS = [
    ("travel", 5.00),
    ("set up and protect", 2.00),
    ("walk-behind grinding", 1.93),
    ("hand grinding, edges", 2.84),
    ("hand grinding, faces and treads", 1.50),
    ("cut and fill joints", 1.14),
    ("chase and fill cracks", 0.33),
    ("vacuum and alcohol", 1.27),
    ("coat and broadcast", 3.12),
    ("verticals, base coat", 0.69),
    ("recheck", 1.50),
    ("scrape, sweep, bag", 2.65),
    ("rub verticals", 0.75),
    ("blow out, mask again", 1.00),
    ("topcoat, first over flake", 2.41),
    ("verticals, topcoat", 0.52),
    ("de-mask, clean, walk-off", 1.50),
]


@pytest.mark.parametrize(("name", "hours"), [("patio", PATIO_HOURS), ("garage", GARAGE_HOURS)])
def test_hours_of_each_task(name: str, hours: list[tuple[str, float]]) -> None:
    """Every task of both estimates to the hundredth of an hour.

    The garage's masking stands apart: the estimate also tapes 4 ft behind the step, where no floor ends.
    """
    found: dict[str, float] = {}
    for row in job(name).labour.tasks:
        found[row.rate_of] = found.get(row.rate_of, 0.0) + row.hours
    if name == "garage":
        assert found.pop("masking") == pytest.approx((99.29 - 4) / 80, abs=0.005)
    assert set(found) == {task for task, _ in hours}
    for task, expected in hours:
        assert found[task] == pytest.approx(expected, abs=0.011), task


@pytest.mark.parametrize(
    ("name", "charged", "people", "even"),
    [("patio", 39.4, (3, 2, 2), (6.1, 5.0, 3.7)), ("garage", 34.5, (3, 2), (6.9, 5.4))],
)
def test_man_hours_and_clock(
    name: str, charged: float, people: tuple[int, ...], even: tuple[float, ...]
) -> None:
    """Man-hours with 10 % held back, people by day, and the clock with everyone busy, as worked by hand."""
    work = job(name).labour
    assert work.charged_hours == charged
    assert work.people == people
    assert [work.even_hours(day) for day in range(len(people))] == pytest.approx(even, abs=0.07)


def test_single_grinder_sets_the_pace() -> None:
    """Day 1 by hand: 2.45 h of grinding while two do 1.33 + 1.21 + 1.48; three share the other 11.87 h."""
    work = job("patio").labour
    rest = 3.00 + 1.50 + 1.41 + 3.74 + 0.72 + 1.50
    assert work.clock_hours(0) == pytest.approx(2.45 + rest / 3, abs=0.01)
    assert work.clock_hours(0) > work.even_hours(0)
    assert work.clock_hours(1) == work.even_hours(1)


def test_sheet_of_costs_sums_the_hours() -> None:
    """The tasks of the patio by hand come to 35.8 man-hours; three and twice two people are seven trips."""
    (line,) = (row for row in cost_text(job("patio")).splitlines() if row.endswith("7 person-trips"))
    hours, _, words = line.partition(" ")
    assert float(hours) == pytest.approx(sum(hours for _, hours in PATIO_HOURS), abs=0.05)
    assert words == "man-hours, 7 person-trips"


# Parts of the direct cost as worked by hand; the estimates round the wear of segments and cup wheel by hand.
@pytest.mark.parametrize(
    ("name", "labour", "materials", "sundries", "equipment", "price"),
    [
        ("patio", "1773.00", "2269.00", 390.30, "235.00", "7010.00"),
        ("garage", "1552.50", "1627.40", 361.80, "205.00", "5630.00"),
    ],
)
def test_cost_and_price_of_the_worked_estimates(
    name: str, labour: str, materials: str, sundries: float, equipment: str, price: str
) -> None:
    """Labour, materials and equipment to the cent, sundries to a few cents, and the price."""
    sheet = cost(name)
    assert sheet.of(CostGroup.LABOUR) == Decimal(labour)
    assert sheet.of(CostGroup.MATERIALS) == Decimal(materials)
    assert float(sheet.of(CostGroup.SUNDRIES)) == pytest.approx(sundries, abs=0.04)
    assert sheet.of(CostGroup.EQUIPMENT) == Decimal(equipment)
    assert sheet.price == Decimal(price)


@pytest.mark.parametrize(("name", "before"), [("patio", 7000.95), ("garage", 5620.05)])
def test_price_before_rounding(name: str, before: float) -> None:
    """Cost over 0.80, as worked by hand, to the cents that the sundries differ by."""
    assert float(cost(name).before_minimum) == pytest.approx(before, abs=0.06)


def test_margin_is_not_markup() -> None:
    """20 % margin is 25 % markup, 30 % is 42.9 %; typing a margin as a markup on the patio loses 280."""
    sheet = cost("patio")
    assert sheet.markup == pytest.approx(0.25)
    assert margin_of(3 / 7) == pytest.approx(0.30)
    wrong = cost("patio", '[price]\nmarkup = "20 %"\n')
    assert wrong.asked_markup and wrong.margin == pytest.approx(1 / 6)
    assert float(sheet.before_minimum - wrong.before_minimum) == pytest.approx(280, abs=0.1)


def test_minimum_charge_is_used_only_above_the_price() -> None:
    """A minimum of 8,000 lifts the patio; one of 7,000 does not."""
    assert cost("patio", "[price]\nminimum = 8000\n").price == Decimal("8000.00")
    assert cost("patio", "[price]\nminimum = 7000\n").price == Decimal("7010.00")


@pytest.mark.parametrize(
    ("tax_on", "taxed"), [("price", "7010.00"), ("labour", "2662.93"), ("materials", "3994.11")]
)
def test_tax_is_of_a_share_of_the_price(tax_on: str, taxed: str) -> None:
    """By hand: 7010 x 1773 / 4667.31 and 7010 x 2659.31 / 4667.31; 8 % of it to the cent."""
    sheet = cost("patio", f'[price]\ntax = "8 %"\ntax_on = "{tax_on}"\n')
    assert sheet.taxed == Decimal(taxed)
    assert sheet.tax == (Decimal(taxed) * Decimal("0.08")).quantize(Decimal("0.01"))
    assert sheet.total == sheet.price + sheet.tax


def test_overhead_by_the_hour() -> None:
    """39.4 h x 12 is 472.80, in place of the firm's share."""
    assert cost("patio", "[overhead]\nper_hour = 12\n").overhead == Decimal("472.80")


def test_every_sheet_adds_up_to_the_cent() -> None:
    """Lines sum to direct, direct and overhead to cost, price and tax to total."""
    for name in ("patio", "garage"):
        sheet = cost(name, '[price]\ntax = "7.25 %"\ndeposit = "33 %"\n')
        assert sum(line.amount for line in sheet.lines) == sheet.direct
        assert sum(sheet.of(group) for group in CostGroup) == sheet.direct
        assert sheet.cost == sheet.direct + sheet.overhead
        amounts = [sheet.direct, sheet.overhead, sheet.price, sheet.tax, sheet.total, sheet.deposit]
        assert all(amount == amount.quantize(Decimal("0.01")) for amount in amounts)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 95), st.integers(1, 100000))
def test_price_never_falls_below_cost(margin: int, step: int) -> None:
    """Whatever margin and step of rounding, the price is at least the cost and a whole number of steps."""
    sheet = cost("patio", f'[price]\nmargin = "{margin} %"\nround_up = {step / 100}\n')
    assert sheet.price >= sheet.cost
    assert (sheet.price / (Decimal(step) / 100)) % 1 == 0


def test_own_rate_of_a_task_goes_over_the_typical_one() -> None:
    """A firm that grinds 300 sq ft an hour, and the file that says so."""
    row = next(
        row
        for row in job("patio", '[tasks]\n"walk-behind grinding" = "300 sq ft/h"\n').labour.tasks
        if row.machine
    )
    assert row.hours == pytest.approx(613.47 / 300, abs=0.001)
    assert row.source == "job.toml"


def test_missing_prices_are_faults_that_name_each() -> None:
    """No price, no quote: every missing price at once, with what to write."""
    takeoff = estimate("patio")
    with pytest.raises(DataFileError) as caught:
        work_job(takeoff.plan, takeoff, firm=Firm(), priced=True)
    codes = [fault.code for fault in caught.value.faults]
    assert codes[:2] == ["price-missing-labour-rate", "price-missing-margin"]
    assert codes.count("price-missing-material") == 4
    assert '"epoxy primer" = 0.00 for a 3 gal kit' in caught.value.faults[2].hint


def test_stock_without_a_value_is_said() -> None:
    """Flake out of stock that no file values is charged at nothing, and the sheet says so."""
    takeoff = estimate("garage")
    text = PRICES.read_text(encoding="utf-8").replace('flake = "1.44 per lb"\n', "")
    on_hand = {"flake": OnHand(amount=60 * POUND)}
    sheet = work_job(takeoff.plan, takeoff, firm=read_firm(text, "prices.toml"), on_hand=on_hand).cost
    assert sheet is not None
    assert [n.code for n in sheet.notices] == ["stock-unvalued"]


def test_one_day_floor_takes_four_people_however_small() -> None:
    """Trade brief 6.1: four people beyond 900 sq ft, or for the one-day system."""
    for system, people in (("one-day-flake", (4,)), ("plain-colour", (1, 1))):
        floor = floorplan.takeoff(floorplan.read(SMALL.format(system=system)))
        assert work_job(floor.plan, floor).labour.people == people


def test_unpriced_sundries_are_said() -> None:
    """A sundry without a price counts as nothing, and the list says so."""
    takeoff = estimate("patio")
    text = PRICES.read_text(encoding="utf-8").replace('"chip brush" = 1.50\n', "")
    sheet = work_job(takeoff.plan, takeoff, firm=read_firm(text, "prices.toml")).cost
    assert sheet is not None
    assert [n.text for n in sheet.notices] == ["no price for chip brush: counted as nothing"]

"""Firm and price files: one form, faults with their place, each figure with its file."""

from __future__ import annotations

from decimal import Decimal

import pytest
from estimates import estimate

from floorplan.errors import DataFileError
from floorplan.order.firm_reader import read_firm
from floorplan.order.firm_rules import rules_of
from floorplan.order.rules import PackChoice

FIRM = """
[firm]
name = "Slate Lane Floors"
[material]
flake = 110
"epoxy primer" = { "3 gal" = 210, "1 gal" = 84 }
[labour]
rate = "$45.00"
[price]
margin = "20 %"
[order]
packs = "least cost"
split_kits = "no"
waste = "7 %"
crew = 4
[stock]
flake = "1.44 per lb"
"""


def faults_of(text: str) -> list[str]:
    """What is wrong with a text, line and code."""
    with pytest.raises(DataFileError) as caught:
        read_firm(text, "firm.toml")
    return [f"{f.place.line if f.place else 0}: {f.code}" for f in caught.value.faults]


def test_job_prices_go_over_the_firms_and_each_names_its_file() -> None:
    """A price in both files is the job's; the rest is the firm's."""
    both = read_firm("[material]\nflake = 115\n", "job.toml").over(read_firm(FIRM, "firm.toml"))
    assert both.money("material", "flake") == Decimal(115)
    assert both.source("material", "flake") == "job.toml"
    assert both.source("labour", "rate") == "firm.toml"
    assert both.source("price", "minimum") == "typical"
    assert both.name == "Slate Lane Floors"
    assert both.files == ("firm.toml", "job.toml")


def test_markup_of_a_job_takes_the_place_of_the_firms_margin() -> None:
    """They say the same thing, so that only the stronger file's stands."""
    both = read_firm('[price]\nmarkup = "30 %"\n', "job.toml").over(read_firm(FIRM, "firm.toml"))
    assert both.number("price", "margin") is None
    assert both.number("price", "markup") == pytest.approx(0.30)


def test_firm_tells_what_a_plan_usually_has() -> None:
    """The grinder and the smallest opening are handed on as typed, and the name and address to the sheet."""
    text = '[firm]\nname = "Slate Lane Floors"\naddress = ["1 Slate Lane", "Oldmere"]\n'
    text += '[grinder]\nhead = "20 in"\ngap = "50 mm"\n[rules]\nignore_below = "2 sq ft"\n'
    assert read_firm(text, "firm.toml").usual == {
        "grinder": {"head": "20 in", "gap": "50 mm"},
        "rules": {"ignore_below": "2 sq ft"},
        "sheet": {"firm": "Slate Lane Floors", "address": ["1 Slate Lane", "Oldmere"]},
    }
    assert read_firm("", "firm.toml").usual == {}


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ('[grinder]\nhead = "20"', "length-no-unit"),
        ('[grinder]\ngap = "-2 in"', "length-range"),
        ('[rules]\nignore_below = "2"', "area-no-unit"),
    ],
)
def test_usual_length_needs_its_unit(text: str, code: str) -> None:
    """Plans differ in their units, so a bare 20 would be inches in one and feet in the next."""
    assert faults_of(text) == [f"2: {code}"]


def test_rules_of_ordering_come_from_the_firm() -> None:
    """Packs, waste, crew and the prices by pack size reach the order."""
    rules = rules_of(read_firm(FIRM, "firm.toml"), estimate("patio"), {})
    assert (rules.choice, rules.split_kits, rules.waste, rules.crew) == (
        PackChoice.LEAST_COST,
        False,
        0.07,
        4,
    )
    gallon = 3.785411784
    assert rules.pack_prices["epoxy primer", 3 * gallon] == Decimal(210)
    assert rules.pack_prices["epoxy primer", gallon] == Decimal(84)


def test_money_is_kept_to_the_digit() -> None:
    """No binary fraction touches a price: 0.10 is one tenth."""
    firm = read_firm('[sundry]\n"chip brush" = 0.10\n', "p.toml")
    assert firm.money("sundry", "chip brush") == Decimal("0.10")


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("[labor]\nrate = 45\n", ["1: key-unknown"]),
        ("[labour]\nrat = 45\n", ["2: key-unknown"]),
        ('[labour]\nrate = "forty"\n', ["2: amount-unreadable"]),
        ("[material]\nflake = -3\n", ["2: price-range"]),
        ('[price]\nmargin = "100 %"\n', ["1: margin-range"]),
        ('[price]\nmargin = "20 %"\nmarkup = "25 %"\n', ["1: margin-twice"]),
        ("[price]\nmargin = 20\n", ["2: share-no-unit"]),
        ('[price]\ntax_on = "prize"\n', ["2: value-unknown"]),
        ('[order]\nsplit_kits = "maybe"\n', ["2: value-unknown"]),
        ('[order]\ncrew = "two"\n', ["2: value-whole"]),
        ('[tasks]\ntravel = "fast"\n', ["2: duration-unreadable"]),
        ("[stock]\nflake = 1.44\n", ["2: stock-value"]),
        ('[stock]\nflake = "1.44 per foot"\n', ["2: unit"]),
        ('[equipment]\n"truck" = { per = "day" }\n', ["2: key-missing"]),
        ('[equipment]\n"truck" = { price = 3, per = "week" }\n', ["2: value-unknown"]),
        ('[[option]]\ntitle = "Good"\n', ["1: key-missing"]),
        ('[[option]]\nname = "a"\nseal = ["grove"]\n', ["3: value-unknown"]),
        ('[[option]]\nname = "a"\nbase = "b"\n', ["1: option-base"]),
        ('[[option]]\nname = "a"\nfaces = { open = "0 in" }\n', ["3: length-range"]),
    ],
)
def test_faults_of_a_firm_file(text: str, faults: list[str]) -> None:
    """Each mistake has its code and its line."""
    assert faults_of(text) == faults

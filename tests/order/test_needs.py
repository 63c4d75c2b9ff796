"""The material list against the two worked estimates of the trade brief and its check values."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from estimates import GALLON, POUND, estimate
from hypothesis import given, settings
from hypothesis import strategies as st

import floorplan
from floorplan.order.model import Group, MaterialList
from floorplan.order.needs import material_list
from floorplan.order.pooling import std_of
from floorplan.order.rules import OnHand, OrderRules, PackChoice
from floorplan.system.reader import load_system, shipped

SQUARE = """
title = "Square"
units = "{units}"
[[slab]]
name = "Patio"
system = "{system}"
outline = \"\"\"
0, 0
{side}, 0
{side}, {other}
0, {other}
\"\"\"
"""


def order_of(
    side: float, other: float, *, system: str = "outdoor-full-flake", units: str = "ft", **rules: object
) -> MaterialList:
    """Material list of a rectangle."""
    plan = floorplan.read(SQUARE.format(side=side, other=other, system=system, units=units))
    return material_list(plan, floorplan.takeoff(plan), rules=OrderRules(**rules))  # type: ignore[arg-type]


def order(name: str, **rules: object) -> MaterialList:
    """Material list of a worked estimate."""
    takeoff = estimate(name)
    return material_list(takeoff.plan, takeoff, rules=OrderRules(**rules))  # type: ignore[arg-type]


def test_720_sq_ft_of_outdoor_full_flake_takes_two_kits_and_four_boxes() -> None:
    """Check value of the trade brief: 720 sq ft, two primer kits, four boxes (common practice, no source)."""
    found = order_of(36, 20)
    assert found.line("epoxy primer").packs == 2
    assert found.line("flake").packs == 4


# Product, need in gal or lb, packs, as worked by hand in estimate A and B of the trade brief.
PATIO = [("epoxy primer", 4.80, 2), ("clear topcoat", 8.906, 7), ("flake", 139.95, 4), ("grit", 35 / 16, 3)]
GARAGE = [
    ("epoxy primer", 4.19, 2),
    ("clear topcoat", 5.42, 4),
    ("flake", 129.01, 4),
    ("grit", 20 / 16, 2),
    ("joint filler", 0.55, 1),
]


@pytest.mark.parametrize(
    ("name", "product", "need", "packs"),
    [("patio", *row) for row in PATIO] + [("garage", *row) for row in GARAGE],
)
def test_need_and_packs_of_the_worked_estimates(name: str, product: str, need: float, packs: int) -> None:
    """Needs to the hundredth and whole packs as worked by hand."""
    line = order(name).line(product)
    assert line.need == pytest.approx(need, abs=0.006)
    assert line.packs == packs


def test_patio_topcoat_rounds_pooled_and_coat_by_coat() -> None:
    """Estimate A: 5.94 kits pooled leaves 1 %, so 7; whole kits a coat give 4 + 3."""
    line = order("patio").line("clear topcoat")
    assert line.coat_packs == (("topcoat 1", 4), ("topcoat 2", 3))
    assert "= 5.94 → 6 kits; 1 % spare is a thin margin: one more → 7 kits" in line.how
    assert "5.57 gal" in line.how and "3.34 gal" in line.how
    notice = next(n for n in order("patio").notices if n.code == "margin-thin")
    assert notice.text == "5.94 kits needed: 6 would leave 1 % spare, under 5 %; order 7"


def test_patio_primer_sum_is_written_out() -> None:
    """The whole sum stands in `how`, in the trade's units."""
    assert order("patio").line("epoxy primer").how == (
        "636.1 sq ft / 139.13 sq ft per gal (160 / 1.15 broom) = 4.57 gal, + 5 % waste = 4.80 gal; "
        "/ 3 gal kit = 1.60 → 2 kits"
    )


def test_patio_flake_balance() -> None:
    """Estimate A: kept 76.97, back 62.98, never thrown 20.05, carried to stock 83.03 lb."""
    (balance,) = order("patio").balances
    pounds = [balance.kept_kg, balance.back_kg, balance.unthrown_kg, balance.carried_kg]
    assert [kg / POUND for kg in pounds] == pytest.approx([76.97, 62.98, 20.05, 83.03], abs=0.01)


def test_garage_flake_with_60_lb_on_hand_buys_two_boxes() -> None:
    """Estimate B: (129.01 - 60) / 40 = 1.73, buy 2; kept 69.1, closing stock 70.9 lb."""
    stock = {"flake": OnHand(amount=60 * POUND, reclaimed=60 * POUND)}
    found = order("garage", on_hand=stock)
    line = found.line("flake")
    assert line.packs == 2
    assert "less 60.00 lb on hand = 69.01 lb; / 40 lb box = 1.73 → 2 boxes" in line.how
    (balance,) = found.balances
    assert [balance.kept_kg / POUND, balance.carried_kg / POUND] == pytest.approx([69.1, 70.9], abs=0.05)


def test_kits_on_hand_take_grit_too() -> None:
    """Estimate A with three kits of 1.5 gal on hand: five ounces for each of them and for each kit bought."""
    found = order("patio", on_hand={"clear topcoat": OnHand(amount=4.5 * GALLON)})
    packs = found.line("clear topcoat").packs
    assert 0 < packs < 7
    grit = found.line("grit")
    assert grit.need == pytest.approx((packs + 3) * 5 / 16)
    assert grit.how.startswith(f"{1.5 * (packs + 3):.2f} gal x 3.33 oz per gal = {5 * (packs + 3)} oz")


def test_garage_primer_spare_of_60_per_cent_of_a_kit_is_said() -> None:
    """Estimate B: 1.81 gal spare; 3 + 1.5 gal would fit in total, but a batch may need a whole kit."""
    notice = next(n for n in order("garage").notices if n.where.startswith("two-part epoxy primer"))
    assert notice.code == "spare-large"
    assert "1.81 gal of 2 x 3 gal is spare (60 % of a kit): 1 x 3 gal + 1 x 1.5 gal would do" in notice.text


SUNDRIES = {
    # Item: (estimate A, estimate B), packs as worked by hand.
    "isopropyl alcohol": (2, 2),
    "masking tape 1.5 in": (1, 1),
    "pre-taped film": (1, 1),
    "18 in roller cover": (6, 4),
    "small roller cover": (0, 2),
    "squeegee blade": (2, 2),
    "chip brush": (9, 4),
    "mixing pail 5 gal": (9, 6),
    "mixing paddles": (1, 1),
    "nitrile gloves": (1, 1),
    "respirator cartridges": (3, 3),
    "vacuum liner": (3, 3),
}


@pytest.mark.parametrize("item", SUNDRIES)
def test_sundries_of_the_worked_estimates(item: str) -> None:
    """Pieces of each sundry as worked by hand."""
    counts = []
    for name in ("patio", "garage"):
        packs = {line.product: line.packs for line in order(name).items if line.group is Group.SUNDRY}
        counts.append(packs.get(item, 0))
    assert tuple(counts) == SUNDRIES[item]


def test_kits_that_are_not_split_round_each_coat() -> None:
    """Estimate A: 4 + 3 = 7 kits where the firm cannot split a kit."""
    line = order("patio", split_kits=False).line("clear topcoat")
    assert line.packs == 7
    assert "kits are not split, so coat by coat 4 + 3 = 7 kits" in line.how


def test_least_spare_mixes_pack_sizes() -> None:
    """Estimate B: 4.19 gal of primer fits one 3 gal and one 1.5 gal kit; the needs add up to the need."""
    rows = [
        row for row in order("garage", choice=PackChoice.LEAST_SPARE).items if row.product == "epoxy primer"
    ]
    assert [(row.pack_size, row.packs) for row in rows] == [(pytest.approx(3.0), 1), (pytest.approx(1.5), 1)]
    assert sum(row.need for row in rows) == pytest.approx(4.188, abs=0.001)


def test_taped_area_that_reaches_a_pack_boundary_orders_one_more() -> None:
    """A need of 1.97 packs with two standard errors of 0.04 may be more than 2: order 3, and say why."""
    plan = floorplan.read(SQUARE.format(side=36, other=20, system="outdoor-full-flake", units="ft"))
    takeoff = floorplan.takeoff(plan)
    area = 1.97 * 3 / 1.05 * 160 / 1.15 * 0.3048**2
    slab = replace(takeoff.slabs[0], material_area_m2=area, area_std_m2=area * 0.02 / 1.97)
    system = slab.slab.system
    primer = replace(system.coats[0], product=replace(system.coats[0].product, spare_share=0.0))
    slab = replace(slab, slab=replace(slab.slab, system=replace(system, layers=(primer,))))
    found = material_list(plan, replace(takeoff, slabs=(slab,)))
    line = found.line("epoxy primer")
    assert line.packs == 3
    assert "1.97 ± 0.04 → 2 kits; the taped area may be larger: one more → 3 kits" in line.how
    assert [(n.code, n.text) for n in found.notices] == [
        ("area-uncertain", "1.97 ± 0.04 needed: order 3 kits")
    ]


def test_slabs_err_apart_and_layers_together() -> None:
    """By hand: layers of one slab add, 0.3 + 0.1 = 0.4; with 0.3 of another slab it is 0.5."""
    term = order("patio").terms[0]
    rows = [
        replace(term, slab="A", std=0.3),
        replace(term, slab="A", std=0.1),
        replace(term, slab="B", std=0.3),
    ]
    assert std_of(rows) == pytest.approx(0.5)
    assert std_of([]) == 0.0


def test_system_of_work_alone_needs_no_material(tmp_path: Path) -> None:
    """A floor that is only ground: no coats, no kits, and nothing fails."""
    (tmp_path / "grind.toml").write_text('[[layer]]\nwork = "grind"\n', encoding="utf-8")
    text = SQUARE.format(side=36, other=20, system="grind.toml", units="ft")
    plan = floorplan.read(text, beside=tmp_path)
    found = material_list(plan, floorplan.takeoff(plan))
    assert {line.group for line in found.items} == {Group.SUNDRY}


def test_first_line_says_to_follow_the_data_sheet() -> None:
    """Every list opens with it."""
    assert order("patio").first_line == "Typical values: follow the data sheet of each product."


def test_two_slabs_with_one_system_share_their_kits() -> None:
    """Two slabs of 360 sq ft take the two kits of one of 720, not two each."""
    text = SQUARE.format(side=36, other=10, system="outdoor-full-flake", units="ft")
    second = text[text.index("[[slab]]") :].replace('"Patio"', '"Walk"').replace("0, 0\n", "100, 0\n", 1)
    second = second.replace("36, 0", "136, 0").replace("36, 10", "136, 10").replace("0, 10\n", "100, 10\n")
    plan = floorplan.read(text + second.replace("13100, 10", "136, 10"))
    found = material_list(plan, floorplan.takeoff(plan))
    assert found.line("epoxy primer").packs == 2
    assert found.line("flake").packs == 4
    assert "Patio, primer:" in found.line("epoxy primer").how


@settings(max_examples=25, deadline=None)
@given(st.floats(5, 60), st.floats(5, 60), st.floats(1.0, 1.5))
def test_more_floor_never_needs_less(side: float, other: float, more: float) -> None:
    """Needs and packs grow with the area; packs hold the need; pooled is at most coat by coat."""
    small, large = order_of(round(side, 2), round(other, 2)), order_of(round(side * more, 2), round(other, 2))
    for line in small.items:
        if line.group is Group.SUNDRY:
            continue
        bigger = large.line(line.product)
        assert bigger.need >= line.need * (1 - 1e-9)
        assert bigger.packs >= line.packs
        assert line.packs * line.pack_size >= line.need * (1 - 1e-9)
        assert line.spare == pytest.approx(line.packs * line.pack_size - line.need)
    apart = order_of(round(side, 2), round(other, 2), split_kits=False)
    for line in small.items:
        if line.group is Group.COATING and line.product != "grit":
            assert line.packs <= apart.line(line.product).packs


# A printed sum, and how to redo it from its own figures.
REDONE = (
    (r"([\d.]+) sq ft / ([\d.]+) sq ft per gal(?: \([^)]*\))? = ([\d.]+) gal", lambda a, b: a / b),
    (r"([\d.]+) sq ft x ([\d.]+) lb per sq ft = ([\d.]+) lb", lambda a, b: a * b),
    (r"([\d.]+) gal, \+ ([\d.]+) % waste = ([\d.]+) gal", lambda a, b: a * (1 + b / 100)),
    (r"\w+ ([\d.]+) \+ \w+ ([\d.]+) = ([\d.]+) sq ft", lambda a, b: a + b),
    (r"= ([\d.]+) gal, faces.* = ([\d.]+) gal, together ([\d.]+) gal", lambda a, b: a + b),
    (r"waste = ([\d.]+) gal; / ([\d.]+) gal kit = ([\d.]+) ", lambda a, b: a / b),
    (r"([\d.]+) cu in / ([\d.]+) = ([\d.]+) gal", lambda a, b: a / b),
    (r"([\d.]+) ft \+ 10 % / ([\d.]+) ft a roll = ([\d.]+)", lambda a, b: a * 1.1 / b),
)


@pytest.mark.parametrize("name", ["patio", "garage"])
def test_every_sum_can_be_redone_from_what_is_printed(name: str) -> None:
    """Each printed step gives its printed result, to one unit of the result's last digit."""
    redone = 0
    for line in order(name).items:
        for pattern, work in REDONE:
            for a, b, result in re.findall(pattern, line.how):
                step = 10.0 ** -len(result.partition(".")[2])
                assert work(float(a), float(b)) == pytest.approx(float(result), abs=1.01 * step), line.how
                redone += 1
    assert redone >= 8


def test_metric_list_is_written_in_metric() -> None:
    """A plan in metres is listed in litres, kilograms and square metres, with no US unit in any sum."""
    found = order_of(8, 6, units="m")
    assert {line.unit for line in found.items} <= {"L", "kg", "m", ""}
    for line in found.items:
        assert not re.search(r"\b(gal|lb|oz|ft)\b", line.how), line.how


def test_film_is_listed_with_its_heights() -> None:
    """Each kind of edge that is masked to a height says so: it decides the width of the film."""
    how = order("patio").line("pre-taped film").how
    assert re.match(r"siding 31\.50 ft, \d+ in high, post 8\.47 ft, \d+ in high; film 39\.97 ft", how)


def test_reclaimed_flake_is_limited_and_mixed_in() -> None:
    """Estimate B: 60 of 140 lb on site is 43 %. Of 100 lb only half of the 129 lb may be used."""
    found = order("garage", on_hand={"flake": OnHand(amount=60 * POUND, reclaimed=60 * POUND)})
    said = {n.code: n.text for n in found.notices}
    assert said["reclaim-mix"] == "60.0 lb reclaimed is 43 % of what is on site: mix it into every bucket"
    found = order("garage", on_hand={"flake": OnHand(amount=100 * POUND, reclaimed=100 * POUND)})
    line, said = found.line("flake"), {n.code: n.text for n in found.notices}
    assert line.on_hand == pytest.approx(129.01 / 2, abs=0.01)
    assert line.packs == 2
    assert said["reclaim-limit"].startswith("35.5 lb of reclaimed stays in the shop")


def test_fresh_stock_is_not_limited() -> None:
    """Unopened boxes of an earlier job are as good as new."""
    line = order("garage", on_hand={"flake": OnHand(amount=120 * POUND)}).line("flake")
    assert (line.on_hand, line.packs) == (pytest.approx(120), 1)


def test_rough_surface_is_said() -> None:
    """Exposed aggregate may need a scratch coat, which must be priced."""
    text = SQUARE.format(side=36, other=20, system="outdoor-full-flake", units="ft")
    plan = floorplan.read(text.replace('name = "Patio"', 'name = "Patio"\nsurface = "aggregate"'))
    found = material_list(plan, floorplan.takeoff(plan))
    assert [n.code for n in found.notices if n.where == "Patio"] == ["surface-rough"]
    assert found.line("epoxy primer").need == pytest.approx(720 / (160 / 1.5) * 1.05, abs=0.001)


def test_tools_are_listed_apart_and_not_bought() -> None:
    """Spiked shoes for each person and a spare drill are loaded; no item of the list is a tool."""
    found = order("patio")
    counts = {line.item: line.packs for line in found.tools}
    assert counts["spiked shoes"] == 3
    assert counts["drill 1/2 in, with a spare"] == 2
    assert not [line for line in found.items if line.group is Group.TOOL]


def test_cautions_defer_to_data_sheets() -> None:
    """Alcohol is flammable; cartridges by the safety data sheet and the firm's programme, no kind named."""
    said = " ".join(order("patio").cautions)
    assert "isopropyl alcohol: flammable" in said
    assert "kind and change schedule by the safety data sheet" in said


@pytest.mark.parametrize("choice", list(PackChoice))
@pytest.mark.parametrize("system", [name for name in shipped() if name != "moisture-layer"])
def test_every_system_is_listed_with_packs_that_hold_the_need(system: str, choice: PackChoice) -> None:
    """Whatever system and packs: stock and packs hold the need, and spare is what is over."""
    takeoff = estimate("garage")
    for name in (system, f"{system} + moisture-layer"):
        slab = replace(takeoff.slabs[0].slab, system=load_system(name), surface="weathered")
        floor = replace(takeoff, slabs=(replace(takeoff.slabs[0], slab=slab),))
        found = material_list(takeoff.plan, floor, rules=OrderRules(choice=choice, spare_kits=1))
        assert [line for line in found.items if line.group is Group.COATING]
        for line in found.items:
            held = line.packs * line.pack_size + line.on_hand
            assert held >= line.need - 1e-6
            assert line.spare == pytest.approx(held - line.need, abs=1e-6)


@pytest.mark.parametrize("named", [False, True])
def test_steps_take_the_system_of_their_slab(named: bool) -> None:
    """Two treads of 5 ft by 1 ft, 10 sq ft, go with the slab that their flight names, else with the first."""
    other = '[[slab]]\nname = "Walk"\nsystem = "clear-seal"\noutline = """\n0, 0\n10, 0\n10, 10\n0, 10\n"""\n'
    steps = "[[steps]]\nwidth = 5\ntreads = 2\ntread = 1\nriser = 0.6\n"
    text = SQUARE.format(side=10, other=10, system="outdoor-full-flake", units="ft") + other + steps
    plan = floorplan.read(text + ('slab = "Walk"\n' if named else ""))
    found = material_list(plan, floorplan.takeoff(plan))
    treads = {term.slab for term in found.terms if "treads 10.00" in term.how}
    assert treads == ({"Walk"} if named else {"Patio"})

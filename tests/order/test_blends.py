"""Blends by weight, borders in a second colour, and parts of a kit."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import floorplan
from floorplan.order.packs import apportioned
from floorplan.order.part_kits import part_kit
from floorplan.order.surfaces import border_area_m2
from floorplan.system.model import Part
from floorplan.system.reader import load_system

POUND = 0.45359237
BLEND = """
extends = "outdoor-full-flake"
[product.flake]
packs = ["40 lb"]
colours = { grey = "50 %", black = "30 %", white = "20 %" }
"""
BORDER = """
title = "Two-tone"
surface = "broom"
border = "1 ft"
[product."border flake"]
title = "border flake"
packs = ["10 lb"]
[[layer]]
coat = "epoxy primer"
rate = "160 sq ft/gal"
first = true
[[layer]]
name = "field flake"
broadcast = "flake"
on = ["field"]
thrown = "0.2 lb/sq ft"
[[layer]]
name = "border flake"
broadcast = "border flake"
on = ["border"]
thrown = "0.2 lb/sq ft"
"""
PLAN = """
title = "Square"
units = "ft"
[[slab]]
name = "Patio"
system = "ours.toml"
outline = \"\"\"
0, 0
{side}, 0
{side}, 20
0, 20
\"\"\"
"""


def plan_with(system: str, folder: Path, side: float) -> floorplan.Plan:
    """A rectangle with a system of its own beside it."""
    (folder / "ours.toml").write_text(system, encoding="utf-8")
    return floorplan.read(PLAN.format(side=side), beside=folder)


def test_blend_is_bought_in_whole_boxes_and_restated(tmp_path: Path) -> None:
    """Trade brief 8: 50/30/20 of 140 lb (636.4 sq ft) is 2 + 1 + 1 boxes of 40 lb, really 50/25/25."""
    order = floorplan.materials(plan_with(BLEND, tmp_path, 31.82))
    rows = [line for line in order.items if line.product == "flake"]
    assert [(line.item, line.packs) for line in rows] == [
        ("1/4 in flake, grey", 2),
        ("1/4 in flake, black", 1),
        ("1/4 in flake, white", 1),
    ]
    assert [line.need for line in rows] == pytest.approx([70.0, 35.0, 35.0], abs=0.01)
    assert "blend 50 % grey + 30 % black + 20 % white: 1 of 4 is 25 % black" in rows[1].how
    (balance,) = order.balances
    assert balance.bought_kg / POUND == pytest.approx(160)


@given(st.integers(1, 60), st.lists(st.integers(1, 20), min_size=1, max_size=5))
def test_apportioned_packs_are_whole_and_near_the_blend(packs: int, weights: list[int]) -> None:
    """All packs are shared out, and no colour is off by a whole pack."""
    shares = [w / sum(weights) for w in weights]
    counts = apportioned(packs, shares)
    assert sum(counts) == packs
    assert all(abs(n - packs * s) < 1 for n, s in zip(counts, shares, strict=True))


def test_border_and_field_share_the_floor(tmp_path: Path) -> None:
    """A 1 ft border round 30 x 20 ft: 600 - 28 x 18 = 96 sq ft, the field 504 sq ft; 19.2 and 100.8 lb."""
    plan = plan_with(BORDER, tmp_path, 30)
    order = floorplan.materials(plan)
    assert order.line("border flake").need == pytest.approx(19.2, rel=1e-4)
    assert order.line("flake").need == pytest.approx(100.8, rel=1e-4)
    slab = floorplan.takeoff(plan).slabs[0]
    assert border_area_m2(slab) / 0.3048**2 == pytest.approx(96, rel=1e-4)
    bare = replace(slab.slab, system=replace(slab.slab.system, border_m=0.0))
    assert border_area_m2(replace(slab, slab=bare)) == 0.0


def test_border_in_the_colour_of_the_field_is_doubted(tmp_path: Path) -> None:
    """One product on field and border is one line of the order, in one colour: the list says so."""
    two = floorplan.materials(plan_with(BORDER, tmp_path, 30))
    assert "border-alike" not in {notice.code for notice in two.notices}
    alike = BORDER.replace('broadcast = "border flake"', 'broadcast = "flake"')
    one = floorplan.materials(plan_with(alike, tmp_path, 30))
    (notice,) = (notice for notice in one.notices if notice.code == "border-alike")
    assert notice.text == (
        "1/4 in flake is thrown on the field and on the border, so both are ordered as one colour: "
        'name a product for the border, such as [product."border flake"]'
    )


def test_border_without_a_layer_is_doubted(tmp_path: Path) -> None:
    """A width alone draws a border that nobody orders."""
    plain = floorplan.materials(plan_with('extends = "outdoor-full-flake"\nborder = "12 in"\n', tmp_path, 30))
    assert "border-plain" in {notice.code for notice in plain.notices}
    two = floorplan.materials(plan_with(BORDER, tmp_path, 30))
    assert "border-plain" not in {notice.code for notice in two.notices}


def test_part_kit_by_volume_and_weight() -> None:
    """0.6 of a 3 gal kit, 2:1: 1.2 gal of A and 0.6 of B; at 9.5 and 8.3 lb/gal 11.4 and 4.98 lb."""
    gallon = 3.785411784
    primer = load_system("outdoor-full-flake").coats[0].product
    a, b = primer.parts
    weighed = replace(
        primer,
        parts=(
            Part(name=a.name, share=a.share, density_kg_per_l=9.5 * POUND / gallon),
            Part(name=b.name, share=b.share, density_kg_per_l=8.3 * POUND / gallon),
        ),
    )
    kit = part_kit(weighed, 0.6)
    assert [part.volume_l / gallon for part in kit.parts] == pytest.approx([1.2, 0.6])
    assert [part.weight_kg and part.weight_kg / POUND for part in kit.parts] == pytest.approx([11.4, 4.98])
    assert [part.weight_kg for part in part_kit(primer, 0.6).parts] == [None, None]


def test_grit_goes_with_the_kit_fraction() -> None:
    """Trade brief 4.5: 5 oz to a 1.5 gal kit, so 2.5 oz to half of one."""
    coat = load_system("outdoor-full-flake").coats[1]
    kit = part_kit(coat.product, 0.5, grit=coat.grit)
    assert kit.grit_kg / POUND * 16 == pytest.approx(2.5)
    assert math.isclose(sum(part.volume_l for part in kit.parts), kit.volume_l)


@pytest.mark.parametrize("fraction", [0.0, -0.1, 1.01])
def test_part_kit_refuses_what_is_no_part(fraction: float) -> None:
    """Nothing, less than nothing and more than a kit are the caller's mistakes."""
    primer = load_system("outdoor-full-flake").coats[0].product
    with pytest.raises(ValueError, match="fraction"):
        part_kit(primer, fraction)
    with pytest.raises(ValueError, match="no parts"):
        part_kit(load_system("clear-seal").coats[0].product, 0.5)

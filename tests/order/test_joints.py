"""Joint filler and sealant against the published table and the worked estimates."""

from __future__ import annotations

import csv
import math
from dataclasses import replace
from itertools import pairwise

import pytest
from outside import DATA

import floorplan
from floorplan.order.joints import EXTRA, ROD_INCHES, joint_terms, rod_inches
from floorplan.order.words import Words
from floorplan.units.length import UnitStyle

PLAN = """
title = "Joint"
units = "ft"
[[slab]]
name = "Floor"
system = "garage-full-flake"
outline = \"\"\"
0, 0
{length}, 0
{length}, 10
0, 10
\"\"\"
[[slab.joint]]
name = "cut"
kind = "{kind}"
treatment = "{treatment}"
width = "{width} in"
depth = "{depth} in"
lines = "0, 5 -> {length}, 5"
"""


def gallons(length: float, width: float, depth: float, treatment: str = "fill") -> float:
    """Filler without the extra, gallons, for one joint of a rectangle as long as the joint."""
    text = PLAN.format(length=length, width=width, depth=depth, treatment=treatment, kind="saw cut")
    slab = floorplan.takeoff(floorplan.read(text)).slabs[0]
    terms, _ = joint_terms(slab, Words(UnitStyle.FT))
    return terms[0].amount / (1 + EXTRA) / (231 * 0.0254**3 * 1000)


def filler_rows() -> list[tuple[float, float, float]]:
    """Width, depth and feet a gallon of the table 231 / (12 w d)."""
    path = DATA / "checks" / "e_joint_filler_lf_per_gallon.csv"
    with path.open(encoding="utf-8", newline="") as file:
        head, *rows = csv.reader(file)
    depths = [float(cell) for cell in head[1:]]
    return [(float(r[0]), d, float(cell)) for r in rows for d, cell in zip(depths, r[1:], strict=True)]


def test_filler_feet_a_gallon_of_the_whole_table() -> None:
    """Every cell of the joint-filler table: so many feet take one gallon (231 cu in to the gallon)."""
    for width, depth, feet in filler_rows():
        if 10 <= feet <= 400:
            assert gallons(feet, width, depth) == pytest.approx(1.0, rel=2e-4), (width, depth)


def test_garage_filler_of_the_worked_estimate() -> None:
    """Estimate B: 45.75 ft of 3/16 x 1 in, a crack of 4.89 ft of 1/4 x 1/2 in, 15 % more: 0.55 gal."""
    slab = floorplan.takeoff(floorplan.load(DATA / "estimates" / "garage.toml")).slabs[0]
    (term,) = joint_terms(slab, Words(UnitStyle.FT_IN))[0]
    assert term.amount / 3.785411784 == pytest.approx(0.549, abs=0.001)
    assert "saw cuts 45.75 ft x 3/16 in x 1 in = 102.9 cu in" in term.how
    assert "crack 4.89 ft x 1/4 in x 1/2 in = 7.3 cu in, together 110.3 cu in / 231 = 0.48 gal" in term.how


def test_sealant_cartridges_of_the_worked_estimate() -> None:
    """Estimate A, option: 31.5 ft of 1/2 x 3/8 in is 70.9 cu in; 15 % more is five 10.1 fl oz cartridges."""
    text = PLAN.format(length=31.5, width="1/2", depth="3/8", treatment="seal", kind="isolation")
    plan = floorplan.read(text)
    line = floorplan.materials(plan).line("joint sealant")
    assert line.packs == 5
    assert "= 70.9 cu in" in line.how


def test_backer_rod_is_wider_than_the_joint() -> None:
    """The first sold size at least a fifth wider, for every joint up to the largest rod."""
    for width in (0.125, 0.25, 0.375, 0.5, 0.75, 1.0, 1.5):
        size = rod_inches(width * 0.0254)
        below = [small for small, large in pairwise(ROD_INCHES) if large == size]
        assert size >= 1.2 * width - 1e-12
        assert all(small < 1.2 * width for small in below)


def test_system_without_a_filler_says_what_is_missing() -> None:
    """No product for the joints: a warning with the volume, and no line."""
    text = PLAN.format(length=100, width="1/4", depth="1", treatment="fill", kind="saw cut")
    takeoff = floorplan.takeoff(floorplan.read(text))
    slab = takeoff.slabs[0]
    bare = replace(slab.slab, system=replace(slab.slab.system, joint_filler=None))
    terms, notices = joint_terms(replace(slab, slab=bare), Words(UnitStyle.FT))
    assert not terms
    assert [n.code for n in notices] == ["joint-product-unknown"]
    assert "1.49 gal" in notices[0].text
    assert math.isclose(100 * 12 * 0.25 / 231 * 1.15, 1.49, abs_tol=0.005)


def test_backer_rod_has_one_name_in_every_plan() -> None:
    """A 12 mm joint of a metric plan takes the 5/8 in rod (16 mm), by the name that prices and stock know."""
    text = PLAN.format(length=10, width="1/2", depth="3/8", treatment="seal", kind="isolation")
    metric = text.replace('"ft"', '"m"').replace("1/2 in", "12 mm").replace("3/8 in", "10 mm")
    line = floorplan.materials(floorplan.read(metric)).line("backer rod 5/8 in")
    assert line.item == "backer rod 16 mm (5/8 in)"
    assert (line.unit, line.packs) == ("m", 1)

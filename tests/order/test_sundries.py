"""Sundries: their sums as a pencil would write them, redone by hand from the figures that they show."""

from __future__ import annotations

import pytest
from estimates import estimate
from order.test_labour import TWO_SYSTEMS

import floorplan
from floorplan.errors import DataFileError
from floorplan.order.sundries import Sundry, read_sundries
from floorplan.plan.model import Plan

# By hand: 636.13 / 400 = 1.5903; 636.13 / 5000 = 0.12723; 39.975 / 1200 = 0.03331;
# 118.18 x 1.1 / 180 = 0.7222; 39.975 x 1.1 / 90 = 0.4886; 636.13 / 450 = 1.4136; 144.74 / 55 = 2.632;
# 7 x 7 / 50 = 0.98; 62.98 / 40 = 1.5745.
PATIO = {
    "isopropyl alcohol": "floor 636.1 sq ft / 400 sq ft a can = 1.59 → 2 cans",
    "metal segments": "slab 636.1 sq ft / 5000 sq ft a set = 0.1272 → 1 set",
    "7 in cup wheel": "hand edge 39.97 ft / 1200 ft a wheel = 0.0333 → 1 wheel",
    "masking tape 1.5 in": "mask 118.18 ft + 10 % / 180 ft a roll = 0.72 → 1 roll",
    "pre-taped film": "siding 31.50 ft, 36 in high, post 8.47 ft, 6 in high; "
    "film 39.97 ft + 10 % / 90 ft a roll = 0.49 → 1 roll",
    "18 in roller cover": "floor 636.1 sq ft / 450 sq ft a cover = 1.41 → 2, x 3 coats = 6 covers",
    "chip brush": "grooves 144.74 ft / 55 ft a brush = 2.63, at least 2 → 3, x 3 coats = 9 brushes",
    "mixing pail 5 gal": "9 mixes → 9 pails",
    "mixing paddles": "1 set",
    "nitrile gloves": "7 person days x 7 / 50 a box = 0.98 → 1 box",
    "respirator cartridges": "3 people → 3 pairs",
    "flake bag": "swept 63.0 lb / 40 lb a bag = 1.57 → 2 bags",
}


def sums(plan: Plan) -> dict[str, str]:
    """The sum of every line of a plan's order."""
    return {line.item: line.how for line in floorplan.materials(plan).items}


@pytest.mark.parametrize("item", PATIO)
def test_sums_of_the_worked_patio(item: str) -> None:
    """Estimate A of the trade brief (common practice, no source), each sum redone above."""
    assert sums(estimate("patio").plan)[item] == PATIO[item]


def test_coats_that_differ_are_summed_one_by_one() -> None:
    """Two floors of 400 and 100 sq ft, primers on 500, 400 and 100, one coat more on 100, by hand.

    500 / 450 = 1.11, two covers; 400 / 450 = 0.89 and 100 / 450 = 0.22, one each; no grooves, so the least
    of brushes for each coat.
    """
    found = sums(floorplan.read(TWO_SYSTEMS))
    assert found["18 in roller cover"] == (
        "floor 500.0 sq ft / 450 sq ft a cover = 1.11; floor 400.0 sq ft / 450 sq ft a cover = 0.89; "
        "floor 100.0 sq ft / 450 sq ft a cover = 0.22; floor 100.0 sq ft / 450 sq ft a cover = 0.22 "
        "→ 2 + 1 + 1 + 1 = 5 covers"
    )
    assert found["chip brush"] == "grooves 0.00 ft / 55 ft a brush = 0, at least 2 → 2, x 4 coats = 8 brushes"


def test_packs_in_words() -> None:
    """A can says what is in it; what comes by the piece is named by its pack alone."""
    packs = {line.item: line.pack for line in floorplan.materials(estimate("patio").plan).items}
    assert (packs["isopropyl alcohol"], packs["chip brush"]) == ("1 gal can", "brush")


ROW = '[[sundry]]\nname = "thing"\nof = "job"\none_per = 1\n'


def test_row_that_says_no_more_than_it_must() -> None:
    """Used up by whole packs, once for the job, with nothing extra, no least number and no unit."""
    assert read_sundries(ROW, "s.toml") == (Sundry(name="thing", of="job", one_per=1.0, source="s.toml"),)
    (row,) = read_sundries(ROW, "s.toml")
    assert (row.each, row.extra, row.minimum) == (1.0, 0.0, 0)
    assert not (row.each_coat or row.use or row.gallons or row.tool)


@pytest.mark.parametrize(
    "text",
    ["sundrys = 1\n" + ROW, ROW + "onep = 2\n", ROW.replace("= 1", "= 0"), ROW.replace("one_per", "each")],
)
def test_unknown_missing_or_empty_values_are_refused(text: str) -> None:
    """A slip in a key at the top or in a row, a rate of nothing, a rate that is not there."""
    with pytest.raises(DataFileError):
        read_sundries(text, "s.toml")

"""Slabs that lie on one another: warned about where their coordinates start at one point."""

from __future__ import annotations

import pytest

import floorplan
from floorplan.errors import Notice
from floorplan.plan.reader import read_plan
from floorplan.plan.writer import write_plan


def _slab(name: str, x: float, y: float, width: float, depth: float, more: str = "") -> str:
    corners = ((x, y), (x + width, y), (x + width, y + depth), (x, y + depth))
    lines = "\n".join(f"{a}', {b}' | open" for a, b in corners)
    return f'[[slab]]\nname = "{name}"\noutline = """\n{lines}\n"""\n{more}\n'


def _overlaps(*slabs: str, origin: str = "") -> list[Notice]:
    rules = f'[rules]\norigin = "{origin}"\n' if origin else ""
    takeoff = floorplan.takeoff(read_plan(rules + "\n".join(slabs)))
    return [notice for notice in takeoff.notices if notice.code == "slabs-overlap"]


PATIO = _slab("Patio", 0, 0, 20, 12)
OVER = _slab("Walk", 18, 2, 10, 4)
"""2 ft by 4 ft of it lie on the patio."""


def test_slab_placed_against_another_overlaps_it() -> None:
    """A walk that starts 2 ft inside the patio counts 2 x 4 = 8 sq ft twice, and both names are said."""
    (notice,) = _overlaps(PATIO, OVER)
    assert notice.where == "slab Walk"
    assert notice.text.startswith("slab Walk lies on slab Patio with 8.0 sq ft, which is counted twice")
    assert 'origin = "own"' in notice.text


def test_slabs_that_share_an_edge_do_not_overlap() -> None:
    """Slabs side by side touch and count nothing twice."""
    assert not _overlaps(PATIO, _slab("Walk", 20, 2, 10, 4))
    assert not _overlaps(PATIO, _slab("Walk", 20, 2, 10, 4), origin="shared")


@pytest.mark.parametrize(("x", "y"), [(0, 0), (-10, 0), (0, -4), (-10, -4)])
def test_slabs_each_from_their_own_corner_are_left_alone(x: float, y: float) -> None:
    """A second slab typed from any corner of its own at 0, 0 is no overlap, unless the plan says shared."""
    own = _slab("Porch", x, y, 10, 4)
    assert not _overlaps(PATIO, own)
    assert len(_overlaps(PATIO, own, origin="shared")) == (1 if (x, y) == (0, 0) else 0)


def test_triangle_whose_box_starts_at_the_origin_is_its_own() -> None:
    """A slab without a corner at 0, 0 whose box starts there was typed from there as well."""
    triangle = '[[slab]]\nname = "T"\noutline = """\n5\', 0 | open\n10\', 8\' | open\n0, 8\' | open\n"""\n'
    assert not _overlaps(PATIO, triangle)


def test_own_origins_as_stated_are_believed() -> None:
    """With origin = "own" nothing is said, wherever the slabs lie."""
    assert not _overlaps(PATIO, OVER, origin="own")


def test_slab_within_a_cutout_of_another_is_no_overlap() -> None:
    """A hot tub pad in the hole that the deck leaves for it lies on no floor of the deck."""
    hole = '[[slab.cutout]]\nname = "pad"\nkind = "slab"\nat = ["10\', 6\'"]\nsize = "6\' x 6\'"'
    deck = _slab("Deck", 0, 0, 20, 12, hole)
    assert not _overlaps(deck, _slab("Pad", 7, 3, 6, 6))
    (notice,) = _overlaps(deck, _slab("Pad", 6, 3, 7, 6))
    assert "with 6.0 sq ft" in notice.text


def test_walked_slab_has_its_own_origin() -> None:
    """A walk starts at 0, 0 whatever lies there: it is never an overlap."""
    legs = "right 5' | open\nup 4' | open\nleft 5' | open\ndown 4' | open"
    walk = f'[[slab]]\nname = "W"\nwalk = """\n{legs}\n"""\n'
    assert not _overlaps(_slab("Patio", 1, 1, 20, 12), walk, origin="shared")


def test_three_slabs_overlap_in_pairs_largest_first() -> None:
    """Each pair is named once, the one with most common floor first: 8, then 2 x 2 = 4 sq ft."""
    third = _slab("Ramp", 26, 4, 6, 6)
    found = _overlaps(PATIO, OVER, third)
    assert [notice.text.split(" with ")[1].split(",")[0] for notice in found] == ["8.0 sq ft", "4.0 sq ft"]


@pytest.mark.parametrize("origin", ["shared", "own"])
def test_origin_is_written_as_read(origin: str) -> None:
    """The key survives writing the plan."""
    plan = read_plan(f'[rules]\norigin = "{origin}"\n{PATIO}')
    assert plan.origin == origin
    assert read_plan(write_plan(plan)) == plan

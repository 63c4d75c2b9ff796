"""The list of lengths for the site sheet."""

from __future__ import annotations

import pytest

import floorplan
from floorplan.measure.tape_needs import SlabNeeds, blank_needs, needs
from floorplan.survey.network import Network, Tie
from floorplan.survey.rigidity import freedom

HEAD = 'units = "ft-in"\n[[slab]]\nname = "Patio"\nsystem = "outdoor-full-flake"\n'


def tape(corners: str, lengths: str, *more: str) -> str:
    """A plan with one tape sheet, corners listed clockwise."""
    keys = "\n".join(more)
    first = f'{HEAD}[slab.tape]\ncorners = "{corners}"\nturning = "clockwise"\n{keys}\n'
    return f'{first}lengths = """\n{lengths}\n"""\n'


def wanted(text: str, *, anew: bool = False) -> SlabNeeds:
    """The needs of the one slab of a plan text."""
    (slab,) = needs(floorplan.read(text), anew=anew)
    return slab


def rigid(slab: SlabNeeds) -> bool:
    """True when all lengths of a list together fix every corner."""
    ties = tuple(Tie(start=line.start, end=line.end, length_m=1.0, std_m=0.01) for line in slab.lines)
    return freedom(Network(corners=slab.labels, ties=ties)).missing == 0


def test_part_taped_sheet_lists_what_is_missing() -> None:
    """Sides not taped and the diagonal that fixes the last corner are open; what was taped stands as
    typed."""
    slab = wanted(tape("A B C D E", "A-B 26' | wall\nB-C 14' 3\"\nA-C 29' 8\""))
    assert [line.name for line in slab.open_lines] == ["C-D", "D-E", "E-A", "A-D"]
    assert {line.name: line.typed for line in slab.lines if line.typed} == {
        "A-B": "26'",
        "B-C": "14' 3\"",
        "A-C": "29' 8\"",
    }
    assert "do not hold D, E" in slab.trouble
    assert not slab.to_scale
    assert rigid(slab)


def test_nothing_taped_lists_everything() -> None:
    """A sheet without one length lists sides and enough diagonals to fix all corners: 2n - 3 in all."""
    slab = wanted(tape("A B C D E F", "A-B ? | wall"))
    assert len(slab.open_lines) == 9
    assert rigid(slab)


def test_fixed_sheet_lists_checks() -> None:
    """A sheet that fixes its corners and checks nothing asks for n/2 lengths to check it, none of them
    taped."""
    square = "A-B 20'\nB-C 15'\nC-D 20'\nD-A 15'\nA-C 25'"
    slab = wanted(tape("A B C D", square))
    assert slab.to_scale
    assert [(line.name, line.why) for line in slab.open_lines] == [("B-D", "check")]


def test_well_braced_sheet_lists_nothing() -> None:
    """Where n/2 lengths check the others nothing more is asked for."""
    square = "A-B 20'\nB-C 15'\nC-D 20'\nD-A 15'\nA-C 25'\nB-D 25'"
    slab = wanted(tape("A B C D", square))
    assert slab.open_lines == ()
    assert slab.trouble == ""


def test_misread_length_is_to_be_taped_again() -> None:
    """A length that does not fit is listed again, with what was read."""
    slab = wanted(tape("A B C D", "A-B 20'\nB-C 15'\nC-D 20'\nD-A 15'\nA-C 25'\nB-D 26'"))
    again = [line.name for line in slab.open_lines if line.why == "again"]
    # One redundant length cannot tell which is wrong: all that may be are listed.
    assert "B-D" in again
    assert all(line.typed for line in slab.lines if line.why == "again")


def test_anew_leaves_out_what_was_taped() -> None:
    """Asked to tape it anew, no length stands in the list, and the list fixes every corner."""
    square = "A-B 20'\nB-C 15'\nC-D 20'\nD-A 15'\nA-C 25'\nB-D 25'"
    slab = wanted(tape("A B C D", square), anew=True)
    assert not any(line.typed for line in slab.lines)
    assert rigid(slab)


@pytest.mark.parametrize("corners", [3, 4, 5, 8, 12])
def test_blank_list_for_so_many_corners(corners: int) -> None:
    """A blank list has the sides, a fan and n/2 lengths across: it fixes every corner and checks it."""
    slab = blank_needs(corners)
    assert len([line for line in slab.lines if line.is_side]) == corners
    if corners > 3:
        extra = min((corners + 1) // 2, corners * (corners - 1) // 2 - (2 * corners - 3))
        assert len(slab.lines) == 2 * corners - 3 + extra
        assert len({frozenset((line.start, line.end)) for line in slab.lines}) == len(slab.lines)
    assert rigid(slab)


def test_blank_list_without_corners() -> None:
    """Where not even the number of corners is known nothing is listed."""
    slab = blank_needs(0)
    assert (slab.labels, slab.lines, slab.ring) == ((), (), None)


def test_walk_lists_sides_and_diagonals() -> None:
    """A walk shows its lengths as typed, leaves open the one from closing, and offers diagonals."""
    slab = wanted(HEAD + 'walk = """\nA right 26\' | wall\nB up 14\' | open\nC left ?\nD down 14\'\n"""\n')
    assert [line.typed for line in slab.lines if line.is_side] == ["26'", "14'", "", "14'"]
    assert {line.name for line in slab.lines if not line.is_side} == {"A-C", "B-D"}
    assert slab.kinds == ("wall", "open", "unknown", "unknown")


def test_open_walk_still_has_a_sheet() -> None:
    """A walk that does not close keeps its sides on the sheet, with the reason."""
    slab = wanted(HEAD + 'walk = """\nA right 26\'\nB up 14\'\nC left 26\'\nD down 12\'\n"""\n')
    assert "too much to spread" in slab.trouble
    assert len(slab.lines) == 4


def test_typed_outline_is_measured_anew() -> None:
    """Typed corners give their sides and diagonals to tape, with arcs and kinds as typed."""
    slab = wanted(
        HEAD
        + 'outline = """\nA 0, 0 | wall\nB 26\', 0 | open, arc rise 2\' out\nC 26\', 14\'\nD 0, 14\'\n"""\n'
    )
    assert [line.name for line in slab.lines] == ["A-B", "B-C", "C-D", "D-A", "A-C", "B-D"]
    assert slab.arcs == ("", "2' out", "", "")
    assert slab.to_scale


def test_offsets_list_stations() -> None:
    """A baseline lists its stations, with or without the offsets."""
    text = HEAD + '[slab.offsets]\nbaseline = "40\'"\nstations = """\n0    6\'\n20\'  7\'\n40\'  6\'\n"""\n'
    slab = wanted(text)
    assert [(line.name, line.typed) for line in slab.lines] == [
        ("baseline", "40'"),
        ("0", "6'"),
        ("20'", "7'"),
        ("40'", "6'"),
    ]
    assert all(not line.typed for line in wanted(text, anew=True).lines)

"""Enough lengths or not, and which to tape next."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from survey.sketches import EIGHTH_M, braced, network, random_slab, taped

from floorplan.survey import tape
from floorplan.survey.network import Network, Tie
from floorplan.survey.rigidity import best_checks, candidates, freedom


def _loop(count: int) -> list[tuple[int, int]]:
    return [(i, (i + 1) % count) for i in range(count)]


def _net(count: int, pairs: list[tuple[int, int]], **more: object) -> Network:
    names = tuple(f"P{k}" for k in range(count))
    ties = tuple(Tie(start=names[i], end=names[j], length_m=1.0, std_m=0.01) for i, j in pairs)
    return Network(corners=names, ties=ties, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize("count", [3, 4, 5, 8, 20])
def test_loop_needs_all_but_three_diagonals(count: int) -> None:
    """n sides alone leave n - 3 lengths to tape: 2n - 3 fix n corners (Laman's count)."""
    left = freedom(_net(count, _loop(count)))
    assert left.missing == count - 3
    assert len(left.next_ties) == count - 3


@pytest.mark.parametrize("seed", range(5))
def test_named_lengths_are_enough(seed: int) -> None:
    """Taping just the named lengths leaves nothing loose."""
    chance = np.random.default_rng(seed)
    slab = random_slab(chance, 8)
    pairs = braced(slab, chance, 8)
    kept = [pairs[k] for k in chance.permutation(len(pairs))[:9]]
    sheet = _net(8, kept)
    left = freedom(sheet)
    assert left.missing == len(left.next_ties) > 0
    more = tuple(Tie(start=a, end=b, length_m=1.0, std_m=0.01) for a, b in left.next_ties)
    assert freedom(replace(sheet, ties=sheet.ties + more)).missing == 0


def test_enough_lengths_in_the_wrong_place() -> None:
    """2n - 3 lengths fix nothing when one part has too many: a braced square with a loose corner hung on
    it."""
    pairs = [(0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3), (3, 4)]
    left = freedom(_net(5, pairs))
    assert len(pairs) == 2 * 5 - 3
    assert left.missing == 1
    assert left.loose == ("P4",)
    assert left.next_ties == (("P4", "P0"),) or left.next_ties == (("P0", "P4"),)


def test_untaped_sides_come_first() -> None:
    """A part-measured sketch asks for the sides that are missing before diagonals."""
    left = freedom(_net(4, [(0, 1), (1, 2), (0, 2)]))
    assert set(left.next_ties) == {("P2", "P3"), ("P0", "P3")}


def test_apart_networks_are_loose() -> None:
    """Two groups of corners that no length ties together are loose against each other."""
    left = freedom(_net(6, [(0, 1), (1, 2), (0, 2), (3, 4), (4, 5), (3, 5)]))
    assert left.missing == 3
    assert left.loose == ("P3", "P4", "P5")


def test_nothing_taped() -> None:
    """A sketch without lengths names a whole set of them, all sides among them."""
    left = freedom(_net(5, []))
    assert left.missing == 7
    assert set(_named(left.next_ties)) >= {frozenset((f"P{i}", f"P{(i + 1) % 5}")) for i in range(5)}


def _named(ties: tuple[tuple[str, str], ...]) -> list[frozenset[str]]:
    return [frozenset(tie) for tie in ties]


def test_squares_count_as_lengths() -> None:
    """A corner checked square takes the place of a diagonal; all four squares of a rectangle count three
    times."""
    square = {"squares": ("P1",), "square_std_rad": 0.01}
    assert freedom(_net(4, _loop(4), **square)).missing == 0
    all_square = {"squares": ("P0", "P1", "P2", "P3"), "square_std_rad": 0.01}
    assert freedom(_net(4, [(0, 1)], **all_square)).missing == 1


def test_candidates_are_the_lengths_not_taped() -> None:
    """Every pair that was not taped is offered once, sides first."""
    offered = candidates(_net(5, [(0, 1), (1, 2), (0, 2)]))
    assert len(offered) == 10 - 3
    assert set(offered[:3]) == {(2, 3), (3, 4), (0, 4)}


def test_best_check_lowers_the_error_as_said() -> None:
    """The stated standard error with one more length is what the sketch has once it is taped."""
    chance = np.random.default_rng(8)
    slab = random_slab(chance, 7)
    pairs = braced(slab, chance, 2)
    found = tape.solve(taped(slab, pairs, None), clockwise=False)
    ((first, std),) = best_checks(taped(slab, pairs, None), found.fit, np.zeros(7), EIGHTH_M, count=1)
    more = [*pairs, tuple(slab.names.index(name) for name in first)]
    again = tape.solve(taped(slab, more, None), clockwise=False)  # type: ignore[arg-type]
    assert again.area_std_m2 == pytest.approx(std, rel=1e-9)
    assert std < found.area_std_m2
    others = [pair for pair in candidates(taped(slab, pairs, None)) if pair != more[-1]]
    for pair in others:
        worse = tape.solve(taped(slab, [*pairs, pair], None), clockwise=False)
        assert worse.area_std_m2 >= std - 1e-12


def test_no_more_checks_than_there_are() -> None:
    """A sketch with every length taped has none to offer."""
    lengths = {"A-B": 4.0, "B-C": 3.0, "C-D": 4.0, "D-A": 3.0, "A-C": 5.0, "B-D": 5.0}
    sketch = network(lengths, "ABCD")
    found = tape.solve(sketch, clockwise=False)
    assert best_checks(sketch, found.fit, np.zeros(4), EIGHTH_M, count=2) == ()

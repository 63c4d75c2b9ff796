"""The sieve of boxes against comparing every box with every other."""

from __future__ import annotations

import doctest

import numpy as np
import pytest

from floorplan.geometry import arcs, boxes, discs
from floorplan.geometry.boxes import RUN, Boxes, meeting, meeting_each_other


def _random(n: int, seed: int, *, in_order: bool) -> Boxes:
    """Boxes along a winding line, or strewn about."""
    rng = np.random.default_rng(seed)
    at = np.cumsum(rng.normal(0, 0.3, (n, 2)), axis=0) if in_order else rng.uniform(0, n**0.5, (n, 2))
    return Boxes(at, at + rng.uniform(0, 1, (n, 2)) * (rng.random((n, 2)) < 0.9))


def _by_all(one: Boxes, two: Boxes) -> set[tuple[int, int]]:
    low = np.maximum(one.low[:, None], two.low[None])
    high = np.minimum(one.high[:, None], two.high[None])
    return set(zip(*(k.tolist() for k in np.nonzero((low <= high).all(axis=2))), strict=True))


@pytest.mark.parametrize("in_order", [True, False])
@pytest.mark.parametrize(("n", "m"), [(1, 1), (1, RUN + 1), (3, 500), (RUN, 2 * RUN), (300, 301)])
def test_pairs_of_two_sets_are_those_of_all_with_all(n: int, m: int, in_order: bool) -> None:
    """Every pair that meets is found once, in order, whatever the sizes."""
    one, two = _random(n, 1, in_order=in_order), _random(m, 2, in_order=in_order)
    first, second = meeting(one, two)
    found = list(zip(first.tolist(), second.tolist(), strict=True))
    assert found == sorted(_by_all(one, two))


@pytest.mark.parametrize("in_order", [True, False])
@pytest.mark.parametrize("n", [1, 2, RUN - 1, RUN, RUN + 1, 700])
def test_pairs_within_one_set_are_those_of_all_with_all(n: int, in_order: bool) -> None:
    """Every pair i < j that meets is found once."""
    every = _random(n, 3, in_order=in_order)
    found = [
        (int(i), int(j)) for one, two in meeting_each_other(every) for i, j in zip(one, two, strict=True)
    ]
    assert len(found) == len(set(found))
    assert set(found) == {(i, j) for i, j in _by_all(every, every) if i < j}


def test_many_boxes_go_by_tree_with_the_same_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    """Past the size for comparing all with all, and where the order is of no use, nothing is lost."""
    one, two = _random(150, 4, in_order=False), _random(900, 5, in_order=False)
    want = sorted(_by_all(one, two))
    monkeypatch.setattr(boxes, "AT_ONCE", RUN * RUN)
    for hopeless in (0, 10**9):
        monkeypatch.setattr(boxes, "HOPELESS", hopeless)
        first, second = meeting(one, two)
        assert list(zip(first.tolist(), second.tolist(), strict=True)) == want


def test_no_boxes_meet_nothing() -> None:
    """Of no boxes there are no pairs."""
    none, some = Boxes(np.empty((0, 2)), np.empty((0, 2))), _random(5, 6, in_order=True)
    assert len(meeting(none, some)[0]) == len(meeting(some, none)[0]) == 0
    assert list(meeting_each_other(none)) == []


@pytest.mark.parametrize("module", [arcs, discs])
def test_examples_in_the_code_hold(module: object) -> None:
    """The examples in docstrings give what they say."""
    result = doctest.testmod(module)
    assert result.attempted > 0 and result.failed == 0

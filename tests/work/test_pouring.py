"""The order of pouring on small graphs that can be judged by eye."""

from __future__ import annotations

from itertools import permutations

import pytest

from floorplan.work.pouring import Border, Network, best_order

OPEN = Border(1.0, True)


def chain(count: int, exits: set[int]) -> Network:
    """Zones in a row, the exit at one or both ends; distances by the nearer exit."""
    borders = {(k, k + 1): OPEN for k in range(count - 1)}
    away = [min(abs(k - door) for door in exits) * 5.0 for k in range(count)]
    return Network(count, borders, frozenset(exits), away)


def test_row_is_poured_from_the_far_end() -> None:
    """Five zones in a row, left at the first: 4, 3, 2, 1, 0."""
    found = best_order(chain(5, {0}))
    assert found.zones == (4, 3, 2, 1, 0)
    assert found.stranded == ()


def test_row_with_exits_at_both_ends_strands_nobody() -> None:
    """Left at both ends, the row is still poured without cutting anything off."""
    found = best_order(chain(6, {0, 5}))
    assert found.stranded == ()
    assert found.zones[-1] in (0, 5)


def test_ring_goes_round_and_ends_at_the_exit() -> None:
    """Round a pool: the exit's zone comes last and each zone touches the one before or the first."""
    borders = {(0, 1): OPEN, (1, 2): OPEN, (2, 3): OPEN, (0, 3): OPEN}
    found = best_order(Network(4, borders, frozenset({0}), [0.0, 5.0, 10.0, 5.0]))
    assert found.zones[-1] == 0
    assert found.stranded == ()


def test_middle_of_a_row_left_at_both_ends_may_come_first() -> None:
    """Pouring the middle first parts the rest, and each part has its own exit."""
    found = best_order(chain(3, {0, 2}))
    assert found.stranded == ()


def test_narrow_border_is_no_way() -> None:
    """A border that nobody gets through does not connect: zone 2 hangs on nothing, whatever the order."""
    borders = {(0, 1): OPEN, (1, 2): Border(1.0, False)}
    found = best_order(Network(3, borders, frozenset({0}), [0.0, 5.0, 10.0]))
    assert set(found.zones) == {0, 1, 2}
    assert found.zones[-1] == 0


@pytest.mark.parametrize("count", [2, 3, 4, 5, 6])
def test_search_finds_the_best_of_all_orders(count: int) -> None:
    """On a wheel of zones round a hub with the exit, no order that strands nobody has shorter waits than
    the found.

    The cost of an order is counted anew here: each border by how many zones lie between its two sides.
    """
    borders = {(0, k): OPEN for k in range(1, count)}
    borders |= {(k, k + 1): OPEN for k in range(1, count - 1)}
    away = [0.0] + [5.0] * (count - 1)
    network = Network(count, borders, frozenset({0}), away)

    def cost(order: tuple[int, ...]) -> float:
        place = {zone: k for k, zone in enumerate(order)}
        gaps = [abs(place[a] - place[b]) for a, b in borders]
        near = sum(0.3 * (max(away[z] for z in order[k:]) - away[zone]) for k, zone in enumerate(order))
        return near + sum({1: 1.0, 2: 3.0}.get(gap, 4.0) for gap in gaps)

    best = min(cost(order) for order in permutations(range(count)) if order[-1] == 0)
    assert cost(best_order(network).zones) == pytest.approx(best)


def test_short_kit_follows_one_with_something_to_spare() -> None:
    """A zone of 1.01 batches is not poured first when another order lets it take from the one before."""
    borders = {(0, 1): OPEN, (1, 2): OPEN, (0, 2): OPEN}
    even = Network(3, borders, frozenset({0, 1, 2}), [0.0, 0.0, 0.0], loads=[0.8, 0.9, 1.01])
    order = best_order(even).zones
    assert order.index(2) > 0


def test_many_zones_are_ordered_quickly() -> None:
    """A long row of sixty zones is still poured from the far end."""
    assert best_order(chain(60, {0})).zones == tuple(range(59, -1, -1))

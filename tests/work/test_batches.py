"""Batches: kit against clock, temperature, and the figures of the trade brief."""

from __future__ import annotations

import pytest

from floorplan.system.model import Times
from floorplan.system.reader import load_system
from floorplan.units.factors import GALLON_L, SQFT_M2, celsius
from floorplan.work.batches import Batch, batches, spread_rate_m2_per_min
from floorplan.work.clock import edge_age_min, pour_clock
from floorplan.work.temperature import at_temperature, factor

RATE = 25 * SQFT_M2


def made(
    system: str = "outdoor-full-flake", temperature_c: float | None = None, rate: float = RATE
) -> list[Batch]:
    """Batches of a shipped system on broom-finished concrete where it has that grade."""
    return list(batches(load_system(system), rate_m2_per_min=RATE, temperature_c=temperature_c))


def test_primer_batch_of_the_trade_brief() -> None:
    """3 gal at 160/1.15 = 139.1 sq ft/gal less 5 % waste cover 397.5 sq ft; the kit, not the clock, is the
    limit.

    By hand: 3 x 160 / 1.15 / 1.05 = 397.52; 25 sq ft/min x min(30 - 5, 25) min = 625 (trade brief 4.5).
    """
    primer = made()[0]
    assert primer.kit_m2 / SQFT_M2 == pytest.approx(3 * 160 / 1.15 / 1.05)
    assert primer.clock_m2 / SQFT_M2 == pytest.approx(625.0)
    assert primer.area_m2 == primer.kit_m2
    assert primer.flake_by_min == pytest.approx(25.0)


def test_topcoat_batches_of_the_trade_brief() -> None:
    """1.5 gal at 120 and 200 sq ft/gal less 5 % waste: 171.4 and 285.7 sq ft."""
    first, second = made()[1:]
    assert first.kit_m2 / SQFT_M2 == pytest.approx(1.5 * 120 / 1.05)
    assert second.kit_m2 / SQFT_M2 == pytest.approx(1.5 * 200 / 1.05)
    assert first.flake_by_min is None


@pytest.mark.parametrize(
    ("fahrenheit", "pail", "floor", "working", "dry_h"),
    [
        (50, 79, 118, 131, 17),
        (60, 53, 80, 89, 11.6),
        (70, 36, 55, 61, 7.9),
        (75, 30, 45, 50, 6.5),
        (80, 25, 37, 41, 5.4),
        (90, 17, 25, 28, 3.6),
        (95, 14, 21, 23, 3.0),
    ],
)
def test_times_follow_temperature(
    fahrenheit: float, pail: float, floor: float, working: float, dry_h: float
) -> None:
    """The table of the trade brief (6.3): times halve for every 18 °F, rounded as printed there."""
    times = Times(pail_min=30, floor_min=45, dry_h=6.5, at_c=celsius(75))
    now = at_temperature(times, celsius(fahrenheit))
    assert now.pail_min == pytest.approx(pail, abs=0.6)
    assert now.floor_min == pytest.approx(floor, abs=0.6)
    assert now.dry_h == pytest.approx(dry_h, rel=0.03)
    assert 50 * factor(celsius(75), celsius(fahrenheit)) == pytest.approx(working, abs=0.6)


def test_waiting_times_are_not_shortened_by_heat() -> None:
    """Foot and vehicle times grow in the cold and stay as stated in the heat."""
    times = Times(foot_h=24, vehicle_h=72, at_c=24.0)
    assert at_temperature(times, 34.0).vehicle_h == 72
    assert at_temperature(times, 14.0).foot_h == pytest.approx(48)


def test_times_without_a_temperature_are_for_75_f() -> None:
    """A product that states no temperature is taken at the usual one."""
    assert factor(None, celsius(75)) == pytest.approx(1.0)
    assert factor(None, None) == 1.0


def test_hot_day_makes_the_clock_the_limit() -> None:
    """At 90 °F pail and flake times are shorter by 2^(15/18), and the clock limits the batch."""
    hot = made(temperature_c=celsius(90))[0]
    assert hot.times.pail_min == pytest.approx(30 / 2 ** (15 / 18))
    assert hot.area_m2 == pytest.approx(hot.clock_m2)
    assert hot.clock_m2 / SQFT_M2 == pytest.approx(25 * (30 / 2 ** (15 / 18) - 5), rel=1e-9)


def test_material_that_does_not_go_off_has_no_clock() -> None:
    """A penetrating seal is limited by its pail alone."""
    (seal,) = made("clear-seal")
    assert seal.clock_m2 == float("inf")
    assert seal.area_m2 == seal.kit_m2


def test_every_coat_is_a_batch() -> None:
    """Both coats of a film seal are there, in order."""
    assert [batch.coat.name for batch in made("clear-film-seal")] == ["seal 1", "seal 2"]


@pytest.mark.parametrize(
    ("people", "least", "most"), [(3, 20, 30), (1, 5, 12), (2, 12, 20), (4, 25, 40), (9, 25, 40)]
)
def test_spread_rate_by_crew(people: int, least: float, most: float) -> None:
    """Three people spread 20 to 30 sq ft/min (trade brief 4.5); more are faster up to four."""
    assert least <= spread_rate_m2_per_min(people) / SQFT_M2 <= most


def test_nobody_spreads_nothing() -> None:
    """A crew has at least one person."""
    with pytest.raises(ValueError, match="people"):
        spread_rate_m2_per_min(0)


def test_clock_of_the_worked_patio() -> None:
    """Zones of 301.60 and 334.53 sq ft take 12.1 and 13.4 min at 25 sq ft/min (trade brief 10A)."""
    first, second = pour_clock(made()[0], [301.60 * SQFT_M2, 334.53 * SQFT_M2], 3)
    assert first.end - first.start == pytest.approx(12.1, abs=0.05)
    assert second.end - second.start == pytest.approx(13.4, abs=0.05)
    assert second.start == pytest.approx(first.end)
    assert first.start == first.mix + 3
    assert first.flake_by == pytest.approx(first.start + 25)
    assert first.pail_by == pytest.approx(first.start + 30)
    assert first.recheck == (first.end + 10, first.end + 20)


def test_two_people_stop_to_mix() -> None:
    """A crew of two mixes between zones, one of three while it spreads."""
    loads = [100 * SQFT_M2, 100 * SQFT_M2]
    batch = made()[0]
    alone, together = (pour_clock(batch, loads, people) for people in (2, 3))
    assert alone[1].start == pytest.approx(alone[0].end + 3)
    assert together[1].start == pytest.approx(together[0].end)
    assert together[1].mix == pytest.approx(together[0].end - 3)


def test_age_of_an_edge_grows_with_wait_and_length() -> None:
    """A long edge is older: by hand 2 passes x 20 ft x 1.5 ft / 25 sq ft/min = 2.4 min."""
    assert edge_age_min(made()[0], 20 * 0.3048, 10.0, 14.0) == pytest.approx(4.0 + 2.4)


def test_litres_of_a_load_hold_waste() -> None:
    """636.13 sq ft at 139.1 sq ft/gal with 5 % waste take 4.80 gal (trade brief 10A)."""
    assert made()[0].litres(636.13 * SQFT_M2) / GALLON_L == pytest.approx(4.80, abs=0.005)

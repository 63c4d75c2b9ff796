"""Simulated sketches: the stated error covers the truth, blunders are found, clean sketches are left alone.

Random slabs of 5 to 10 corners with as many lengths across as corners, normal tape error of 1/8 in. Seeds
are fixed.
The bounds are exact binomial ones (Clopper and Pearson), so that a rate is asserted only where the number
of runs
proves it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pytest
from scipy.stats import beta, binom
from survey.sketches import braced, random_slab, taped

from floorplan.survey import tape
from floorplan.survey.findings import Unsolved
from floorplan.units.factors import FOOT_M

SEED = 20270504
RUNS = 600
SURE = 1e-3


def at_least(hits: int, runs: int) -> float:
    """Lowest rate that so many hits leave possible, with 99.9 % confidence."""
    return 0.0 if hits == 0 else float(beta.ppf(SURE, hits, runs - hits + 1))


def at_most(hits: int, runs: int) -> float:
    """Highest rate that so many hits leave possible, with 99.9 % confidence."""
    return 1.0 if hits == runs else float(beta.ppf(1.0 - SURE, hits + 1, runs - hits))


@dataclass
class Counts:
    """What came of the runs."""

    runs: int = 0
    within_one: int = 0
    within_two: int = 0
    asked: int = 0
    alarms: int = 0
    found: int = 0
    among: int = 0
    wrong: int = 0


def _simulated(runs: int) -> Counts:
    chance = np.random.default_rng(SEED)
    counts = Counts(runs=runs)
    for _ in range(runs):
        count = int(chance.integers(5, 11))
        slab = random_slab(chance, count)
        sheet = taped(slab, braced(slab, chance, count), chance)
        try:
            clean = tape.solve(sheet, clockwise=False)
        except Unsolved:
            counts.asked += 1
        else:
            off = abs(clean.area_m2 - slab.area_m2) / clean.area_std_m2
            counts.within_one += off < 1.0
            counts.within_two += off < 1.959964
            counts.alarms += bool(clean.suspects)
        wrong = int(chance.integers(len(sheet.ties)))
        shift = float(chance.choice((-1.0, 1.0))) * FOOT_M
        tie = sheet.ties[wrong]
        if tie.length_m + shift < 0.1:
            shift = FOOT_M
        ties = list(sheet.ties)
        ties[wrong] = replace(tie, length_m=tie.length_m + shift)
        _count_blunder(counts, replace(sheet, ties=tuple(ties)), wrong)
    return counts


def _count_blunder(counts: Counts, sheet: tape.Network, wrong: int) -> None:
    try:
        suspects = tape.solve(sheet, clockwise=False).suspects
    except Unsolved:
        return
    named = [s.observation for s in suspects]
    counts.found += bool(suspects) and suspects[0].alone and named[0] == wrong
    counts.among += wrong in named
    counts.wrong += bool(suspects) and suspects[0].alone and named[0] != wrong


@pytest.fixture(scope="module")
def counts(request: pytest.FixtureRequest) -> Counts:
    """One set of runs for all claims."""
    return _simulated(RUNS)


@pytest.mark.slow
def test_area_error_covers_the_truth(counts: Counts) -> None:
    """The true area lies within one stated standard error 68.27 % and within 1.96 of them 95 % of the
    time."""
    runs = counts.runs - counts.asked
    for hits, rate in ((counts.within_one, 0.682689), (counts.within_two, 0.95)):
        low, high = binom.ppf((SURE, 1.0 - SURE), runs, rate)
        assert low <= hits <= high, f"{hits} of {runs}, seed {SEED}"


@pytest.mark.slow
def test_foot_blunder_is_found(counts: Counts) -> None:
    """A single foot misread in a well-braced sketch is found, and named alone, in at least 95 % of them."""
    assert at_least(counts.found, counts.runs) >= 0.95, f"{counts}, seed {SEED}"


@pytest.mark.slow
def test_foot_blunder_never_blames_another(counts: Counts) -> None:
    """Where it is not named alone it is among those named; another length is hardly ever blamed alone."""
    assert counts.among >= counts.found
    assert at_most(counts.wrong, counts.runs) <= 0.02, f"{counts}, seed {SEED}"


@pytest.mark.slow
def test_clean_sketch_is_left_alone(counts: Counts) -> None:
    """At most 5 % of clean sketches are said to hold a suspect length."""
    assert at_most(counts.alarms, counts.runs - counts.asked) <= 0.05, f"{counts}, seed {SEED}"


@pytest.mark.slow
def test_well_braced_sketch_is_not_asked_about(counts: Counts) -> None:
    """Lengths across every corner leave one reading: at most 2 % are asked about."""
    assert at_most(counts.asked, counts.runs) <= 0.02, f"{counts}, seed {SEED}"


def test_few_simulated_sketches() -> None:
    """The same claims on a few sketches, without proof of the rates, for the fast run."""
    few = _simulated(24)
    assert few.asked == 0
    assert few.found >= 22
    assert few.wrong == 0
    assert few.alarms <= 2
    assert few.within_two >= 19

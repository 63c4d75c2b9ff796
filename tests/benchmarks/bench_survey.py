"""The tape solver against scipy's least_squares on the same sketches, by size.

Run: python tests/benchmarks/bench_survey.py [CORNERS ...]      (default 8 30 60)

Ours does the whole job: enough lengths?, first places, mirror readings, the fit, standard errors,
suspects; the aim is a second with a misread length among them. scipy does
the fit alone, from the true corners, with and without the analytic Jacobian. Medians of runs in turn.

Fine fans with noise have hundreds of mirror readings: 55 corners a degree apart are to take a second, and
the largest sheet allowed, corners closer than the tape tells apart, half a minute. Run by itself this script
wants OPENBLAS_NUM_THREADS=1, as the program and `run.py` set it: threads that wait for one another count as
processor time.
"""

from __future__ import annotations

import contextlib
import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
from results import Result, told
from scipy.optimize import least_squares

sys.path.insert(0, str(Path(__file__).parent.parent))
from survey.sketches import braced, noisy_fan, random_slab, taped

from floorplan.survey import adjust, tape
from floorplan.survey.findings import Unsolved
from floorplan.survey.network import Network
from floorplan.units.factors import FOOT_M

ROUNDS = 7


def scipy_fit(sheet: Network, start: np.ndarray, *, analytic: bool) -> None:
    """The same fit by scipy, from places that are right already."""
    free = np.flatnonzero(adjust.first_side_held(len(start)))
    weights = 1.0 / sheet.stds

    def points(moved: np.ndarray) -> np.ndarray:
        out = start.copy()
        out.ravel()[free] = moved
        return out

    least_squares(
        lambda moved: weights * sheet.misfits(points(moved)),
        start.ravel()[free],
        jac=(lambda moved: weights[:, None] * sheet.slopes(points(moved))[:, free])
        if analytic
        else "2-point",
    )


def seconds(job: Callable[[], object]) -> float:
    """CPU time of one call, since shared machines are noisy."""
    start = time.process_time()
    job()
    return time.process_time() - start


def main(arguments: list[str]) -> list[Result]:
    """Print a row for each size."""
    sizes = [int(text) for text in arguments] or [8, 30, 60]
    results = []
    print(f"{'corners':>8}{'ties':>6}{'clean ms':>10}{'misread ms':>12}{'scipy ms':>10}{'2-point ms':>12}")
    for count in sizes:
        chance = np.random.default_rng(count)
        slab = random_slab(chance, count)
        # 30 corners get 100 ties.
        pairs = braced(slab, chance, 100 * count // 30 - (2 * count - 3))
        clean = taped(slab, pairs, chance)
        ties = list(clean.ties)
        ties[-1] = replace(ties[-1], length_m=ties[-1].length_m + FOOT_M)
        misread = replace(clean, ties=tuple(ties))
        start = adjust.on_datum(slab.corners)
        jobs: list[Callable[[], object]] = [
            lambda sheet=clean: tape.solve(sheet, clockwise=False),
            lambda sheet=misread: tape.solve(sheet, clockwise=False),
            lambda sheet=clean, at=start: scipy_fit(sheet, at, analytic=True),
            lambda sheet=clean, at=start: scipy_fit(sheet, at, analytic=False),
        ]
        rounds = [[seconds(job) for job in jobs] for _ in range(ROUNDS)]
        a, b, c, d = (1e3 * statistics.median(column) for column in zip(*rounds, strict=True))
        print(f"{count:>8}{len(pairs):>6}{a:>10.1f}{b:>12.1f}{c:>10.1f}{d:>12.1f}")
        results.append(
            Result(f"{count} corners, {len(pairs)} ties, a misread length found", "1 s", b / 1e3, 1.0)
        )
    return results + [fan(55, 1.0, 1.0), fan(tape.MOST_POINTS, 0.09, 30.0)]


def fan(corners: int, step_deg: float, aim_s: float) -> Result:
    """A fine fan with noise, solved once or asked about."""
    _, sheet = noisy_fan(corners, step_deg, 0)

    def solve() -> None:
        with contextlib.suppress(Unsolved):
            tape.solve(sheet, clockwise=False)

    took = seconds(solve)
    print(f"{corners:>8}{len(sheet):>6}{1e3 * took:>10.1f}  fan of corners {step_deg} degrees apart")
    return Result(f"fine fan of {corners} corners", f"{aim_s:.0f} s", took / aim_s, 1.0)


if __name__ == "__main__":
    told(main)

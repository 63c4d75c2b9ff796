"""`floorplan batch` on all cores against one core, and against running `packet` plan by plan.

Run: python tests/benchmarks/bench_batch.py [PLANS]      (default 24)

Wall time of whole commands, in turn; the plans are random ones from fixed seeds. Plan by plan pays for a
fresh start each time, a batch once a core. The aim on c cores is 1.4 / c of one core's time, starting the
processes included.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from random_plans import random_plan
from results import Result, told

ROUNDS = 3
SHARE = 1.4


def cores() -> int:
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def seconds(*commands: list[str]) -> float:
    """Wall time of commands, one after the other."""
    kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    start = time.perf_counter()
    for command in commands:
        done = subprocess.run(
            [sys.executable, "-m", "floorplan_cli", *command], capture_output=True, env=kept
        )
        assert done.returncode == 0, done.stderr.decode()
    return time.perf_counter() - start


def main(arguments: list[str]) -> list[Result]:
    """Print a row for each way."""
    count, known = int(arguments[0]) if arguments else 24, cores()
    with tempfile.TemporaryDirectory() as folder:
        plans = Path(folder) / "plans"
        plans.mkdir()
        for seed in range(count):
            (plans / f"plan-{seed:03d}.toml").write_text(random_plan(seed), encoding="utf-8")
        rounds = []
        for k in range(ROUNDS):
            out = Path(folder) / f"out-{k}"
            batch = ["batch", str(plans), "-o"]
            singly = [["packet", str(p), "-o", str(out / p.stem)] for p in sorted(plans.iterdir())]
            ways = (
                [[*batch, str(out / "all")]],
                [[*batch, str(out / "one"), "--jobs", "1"]],
                singly,
            )
            rounds.append([seconds(*way) for way in ways])
    every, one, singly_s = (statistics.median(column) for column in zip(*rounds, strict=True))
    print(f"{count} plans, {known} cores, medians of {ROUNDS}")
    for name, taken in (("all cores", every), ("one core", one), ("packet by packet", singly_s)):
        print(f"{name:<18}{taken:8.2f} s{count / taken:8.2f} plans a second")
    shares = [statistics.median(r[0] / r[k] for r in rounds) for k in (1, 2)]
    return [
        Result(f"batch of {count} plans, all {known} cores", "`--jobs 1`", shares[0], SHARE / known),
        Result(f"batch of {count} plans, all {known} cores", "`packet` one by one", shares[1], SHARE / known),
    ]


if __name__ == "__main__":
    told(main)

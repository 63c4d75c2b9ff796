"""Cold start of each command against importing the libraries that it needs, in fresh processes in turn.

Run: python tests/benchmarks/bench_start.py

Times are the CPU time of the child (user and system), so that a busy machine does not count. Bytecode is
written to a folder of its own by a first round, as installing writes it; the limits are 1.3, and 1.5 for the
packet. What does not depend on a library stands in "empty": an interpreter that imports nothing.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

from results import Result, told

ROOT = Path(__file__).parent.parent.parent
PATIO = str(ROOT / "sample_plans" / "l-patio.toml")
ROUNDS = 9
AIM = 1.3
AIMS = {"packet": 1.5}

CASES = {
    "empty": (None, "sys"),
    "--help": (["--help"], "click"),
    "check": (["check", PATIO], "click, numpy, shapely, tomllib"),
    "takeoff": (["takeoff", PATIO, "--json"], "click, numpy, shapely, tomllib, json"),
    "materials": (["materials", PATIO], "click, numpy, shapely, tomllib"),
    "draw svg": (["draw", PATIO, "-o", "OUT/crew.svg"], "click, numpy, shapely, tomllib, svgwrite"),
    "draw pdf": (
        ["draw", PATIO, "-o", "OUT/crew.pdf"],
        "click, numpy, shapely, tomllib, matplotlib.backends.backend_pdf, matplotlib.figure",
    ),
    "packet": (["packet", PATIO, "-o", "OUT/packet"], "click, numpy, shapely, tomllib, svgwrite, json"),
}


def cpu_seconds(arguments: list[str], folder: str) -> float:
    """User and system time of one fresh interpreter."""
    kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(
        [sys.executable, *arguments],
        check=True,
        capture_output=True,
        env=kept | {"PYTHONPYCACHEPREFIX": f"{folder}/bytecode"},
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main(_: list[str]) -> list[Result]:
    """Print a row for each command: its median, the median of bare imports, the ratio pair by pair."""
    results = []
    with tempfile.TemporaryDirectory() as folder:
        print(f"{'command':<12}{'command ms':>11}{'imports ms':>11}{'ratio':>8}")
        for name, (arguments, imports) in CASES.items():
            bare = ["-c", f"import {imports}"]
            command = ["-c", "pass"]
            if arguments is not None:
                command = ["-m", "floorplan_cli", *(a.replace("OUT", folder) for a in arguments)]
            cpu_seconds(command, folder), cpu_seconds(bare, folder)
            pairs = [(cpu_seconds(command, folder), cpu_seconds(bare, folder)) for _ in range(ROUNDS)]
            ours, theirs = (statistics.median(column) * 1e3 for column in zip(*pairs, strict=True))
            ratio = statistics.median(a / b for a, b in pairs)
            print(f"{name:<12}{ours:>11.1f}{theirs:>11.1f}{ratio:>8.2f}", flush=True)
            if arguments is not None:
                results.append(Result(f"{name}, CPU", f"importing {imports}", ratio, AIMS.get(name, AIM)))
    return results


if __name__ == "__main__":
    told(main)

"""Cold start of each command against importing the libraries that it needs, in fresh processes in turn.

Run: python tests/benchmarks/bench_start.py
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
PATIO = str(ROOT / "sample_plans" / "l-patio.toml")
ROUNDS = 7

CASES = {
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


def seconds(arguments: list[str]) -> float:
    """Wall time of one fresh interpreter."""
    start = time.perf_counter()
    subprocess.run([sys.executable, *arguments], check=True, capture_output=True, env=os.environ)
    return time.perf_counter() - start


def main() -> None:
    """Print a row for each command: its median, the median of bare imports, the ratio pair by pair."""
    with tempfile.TemporaryDirectory() as folder:
        print(f"{'command':<12}{'command s':>10}{'imports s':>10}{'ratio':>8}")
        for name, (arguments, imports) in CASES.items():
            command = ["-m", "floorplan_cli", *(a.replace("OUT", folder) for a in arguments)]
            bare = ["-c", f"import {imports}"]
            seconds(command), seconds(bare)
            pairs = [(seconds(command), seconds(bare)) for _ in range(ROUNDS)]
            ours, theirs = (statistics.median(column) for column in zip(*pairs, strict=True))
            ratio = statistics.median(a / b for a, b in pairs)
            print(f"{name:<12}{ours:>10.3f}{theirs:>10.3f}{ratio:>8.2f}")


if __name__ == "__main__":
    main()

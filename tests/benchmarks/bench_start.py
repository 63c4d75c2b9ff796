"""Cold start of each command against importing the libraries that it needs, in fresh processes in turn.

Run: python tests/benchmarks/bench_start.py [COMMAND ...]

Times are the CPU time of the child (user and system), so that a busy machine does not count; a batch counts
the processes that it starts. Bytecode is written to a folder of its own by a first round, as installing
writes it. What does not depend on a library stands in "empty": an interpreter that imports nothing.
"""

from __future__ import annotations

import os
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

from results import Result, told

ROOT = Path(__file__).parent.parent.parent
SAMPLES = ROOT / "sample_plans"
PATIO = str(SAMPLES / "l-patio.toml")
TAPED = str(SAMPLES / "porch-tape.toml")
PRICES = str(SAMPLES / "office" / "prices.toml")
DXF = str(ROOT / "tests" / "data" / "dxf" / "bulge-cutouts.dxf")
ROUNDS = 9
AIM = 1.3

FLOOR = "click, tomllib, platformdirs.unix, numpy, shapely"
"""To read a plan and measure it."""
SHEET = f"{FLOOR}, svgwrite, json"
"""To draw it."""
PAPER = f"{FLOOR}, json, matplotlib.backends.backend_pdf, matplotlib.figure"

CASES = {
    "empty": (None, "sys"),
    "--help": (["--help"], "click"),
    "new": (["new", "OUT/new.toml", "--force"], "click"),
    "schema": (["schema"], "click, json"),
    "stock": (["stock", "show", str(SAMPLES / "office" / "stock.csv")], "click, csv, decimal"),
    "look": (["look", DXF], "click, numpy, shapely"),
    "convert": (
        ["convert", DXF, "-o", "OUT/slab.toml", "--units", "ft", "--force"],
        "click, numpy, shapely, tomllib",
    ),
    "check": (["check", PATIO], FLOOR),
    "takeoff": (["takeoff", PATIO, "--json"], f"{FLOOR}, json"),
    "materials": (["materials", PATIO], FLOOR),
    "export": (["export", PATIO, "-o", "OUT/floor.geojson"], f"{FLOOR}, json"),
    "compare": (["compare", PATIO, str(SAMPLES / "garage.toml"), "--all"], FLOOR),
    "work": (["work", PATIO], FLOOR),
    "conditions": (["conditions", PATIO, "--air", "72 F", "--humidity", "65 %"], FLOOR),
    "what-if": (["what-if", PATIO, "--bigger", "5%"], FLOOR),
    "worksheet": (["worksheet", TAPED, "-o", "OUT/site.svg"], SHEET),
    "draw svg": (["draw", PATIO, "-o", "OUT/crew.svg"], SHEET),
    "draw pdf": (["draw", PATIO, "-o", "OUT/crew.pdf"], PAPER),
    "quote": (["quote", PATIO, "--prices", PRICES, "-o", "OUT/quote.pdf"], PAPER),
    "packet": (["packet", PATIO, "-o", "OUT/packet"], SHEET),
    "batch": (["batch", "OUT/plans", "-o", "OUT/all", "--again"], f"{SHEET}, concurrent.futures.process"),
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


def compared(name: str, folder: str) -> tuple[float, float, float]:
    """A command in milliseconds, bare imports likewise (medians), and the median of the ratios of pairs."""
    arguments, imports = CASES[name]
    bare, command = ["-c", f"import {imports}"], ["-c", "pass"]
    if arguments is not None:
        command = ["-m", "floorplan_cli", *(a.replace("OUT", folder) for a in arguments)]
    cpu_seconds(command, folder), cpu_seconds(bare, folder)
    pairs = [(cpu_seconds(command, folder), cpu_seconds(bare, folder)) for _ in range(ROUNDS)]
    ours, theirs = (statistics.median(column) * 1e3 for column in zip(*pairs, strict=True))
    return ours, theirs, statistics.median(a / b for a, b in pairs)


def main(names: list[str]) -> list[Result]:
    """Print a row for each command named, for all where none is."""
    results = []
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "plans").mkdir()
        shutil.copy(PATIO, f"{folder}/plans")
        print(f"{'command':<12}{'command ms':>11}{'imports ms':>11}{'ratio':>8}")
        for name in names or CASES:
            ours, theirs, ratio = compared(name, folder)
            print(f"{name:<12}{ours:>11.1f}{theirs:>11.1f}{ratio:>8.2f}", flush=True)
            if name != "empty":
                results.append(Result(f"{name}, CPU", f"importing {CASES[name][1]}", ratio, AIM))
    return results


if __name__ == "__main__":
    told(main)
